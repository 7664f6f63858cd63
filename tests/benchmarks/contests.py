"""What is timed: each kernel beside every plain NumPy loop that does the same."""

from __future__ import annotations

from dataclasses import dataclass

from lumsim.kernels import point_sources as kernels
from tests.benchmarks.loops import Loop, Vector, by_hand, by_log_and_exp, by_power


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
    """All of them; the table is built within the time of its kernel."""
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
    return found
