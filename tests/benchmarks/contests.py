"""What is timed: each kernel beside every plain NumPy loop that does the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lumsim.beams.beam import Beam
from lumsim.beams.closed import Wide
from lumsim.beams.webs import Web
from lumsim.cabinet.orientation import frame as mounted
from lumsim.kernels import point_sources as kernels
from lumsim.kernels import shaped_sources as shaped
from tests.benchmarks.loops import Loop, Vector, by_hand, by_law, by_log_and_exp, by_power


@dataclass(frozen=True, slots=True, kw_only=True)
class Contest:
    """One kernel against the NumPy loops."""

    name: str
    """The beam and the way it is computed."""
    kernel: Loop
    """The kernel, called with points and modules only."""
    loops: dict[str, Loop]
    """Its rivals by name."""
    rtol: float
    """Largest relative difference allowed between any two of them."""


def _roots(halves: int) -> Loop:
    def kernel(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        return kernels.cosine_power_by_roots(x, y, sx, sy, h, c, halves)

    return kernel


def _table(q: float) -> Loop:
    def kernel(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        return kernels.cosine_power_by_table(x, y, sx, sy, h, c, *kernels.power_table(q))

    return kernel


def contests() -> list[Contest]:
    """All of them; of cosine powers the table is built within the time of its kernel."""
    general = {"power": by_power, "log and exp": by_log_and_exp}
    found = [
        Contest(name="lambertian", kernel=kernels.lambertian, loops={"by hand": by_hand(2.0)}, rtol=1e-13)
    ]
    for m in (2.0, 3.0):
        q = (m + 3.0) / 2.0
        loops = {name: build(q) for name, build in (general | {"by hand": by_hand}).items()}
        kernel = _roots(round(m + 3.0))
        found.append(Contest(name=f"m = {m}, roots", kernel=kernel, loops=loops, rtol=1e-13))
    for m in (0.8046, 1.5, 2.37, 27.3):
        q = (m + 3.0) / 2.0
        loops = {name: build(q) for name, build in general.items()}
        found.append(Contest(name=f"m = {m}, table", kernel=_table(q), loops=loops, rtol=1.2e-10))
    wide = Wide(width=2.0)
    frame = mounted("back", "horizontal", turn=math.radians(30), tilt=math.radians(20))
    loops = {"by the law": by_law(wide)}
    found.append(Contest(name="wide, upright table", kernel=_upright(wide), loops=loops, rtol=2e-4))
    loops = {"by the law": by_law(wide, frame)}
    found.append(Contest(name="wide, tilted", kernel=_tilted(wide, frame), loops=loops, rtol=2e-4))
    web = lopsided()
    loops = {"by the law": by_law(web, frame)}
    found.append(Contest(name="web of 19 × 25, aimed", kernel=_aimed(web, frame), loops=loops, rtol=3e-4))
    return found


def lopsided() -> Web:
    """A made-up beam measured every 5 and 15 degrees: more along its 0 degree plane, and more to one side of it."""
    gamma, C = np.radians(np.arange(0, 91, 5.0)), np.radians(np.arange(0, 361, 15.0))[:, None]
    shape = 1 + 0.5 * np.cos(2 * C) * np.sin(gamma) ** 2 + 0.2 * np.sin(C) * np.sin(gamma)
    return Web(
        photometric_type="C",
        vertical=gamma,
        horizontal=C.ravel(),
        values=np.cos(gamma).clip(0) * shape,
    )


def _upright(beam: Beam) -> Loop:
    table = shaped.upright_table(lambda theta: beam.intensity(theta, np.zeros(1)))

    def kernel(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        return shaped.upright(x, y, sx, sy, h, c, table)

    return kernel


def _tilted(beam: Beam, frame: Vector) -> Loop:
    table = shaped.upright_table(lambda theta: beam.intensity(theta, np.zeros(1)))

    def kernel(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        axes = np.tile(frame[2], (len(sx), 1))
        return shaped.tilted(x, y, sx, sy, h, axes, c * h**2, table)

    return kernel


def _aimed(beam: Beam, frame: Vector) -> Loop:
    table = shaped.aimed_table(beam.intensity, 512)

    def kernel(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        return shaped.aimed(x, y, sx, sy, h, np.tile(frame.ravel(), (len(sx), 1)), c * h**2, table)

    return kernel
