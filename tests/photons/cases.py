"""Cabinets told twice: as a study, and as sources with formulas of their own."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import RegularGridInterpolator

from tests.beams.written_lm63 import written
from tests.photons.tracer import Array, Box, Intensity, Source

FILE = "lopsided.ies"
WIDTH, HEIGHT, DEPTH = 0.9, 0.45, 0.1
BOX = Box(size=(WIDTH, HEIGHT, DEPTH), reflectances=np.array([[0.9, 0.5], [0.9, 0.9], [0.8, 0.4]]))

HEAD = """
[cabinet]
width = "900 mm"
height = "450 mm"
depth = "100 mm"

[interior]
back_reflectance = 0.8
return_reflectance = 0.9
right_return_reflectance = 0.5

[face]
transmittance = 0.4
reflectance = 0.4

[modules.one]
lumens = 50
"""

TOLD = ((0, 0.6), (20, 0.7), (40, 1.0), (60, 1.6), (75, 1.2), (90, 0.3), (120, 0.15), (180, 0.05))
"""Angles and intensities of a beam that has light behind its module too."""

GAMMA, C = np.arange(0, 91, 5.0), np.arange(0, 361, 15.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One cabinet."""

    study: str
    sources: list[Source]
    lumens: float
    """of all modules [lm]"""


def lopsided() -> Array:
    """(25, 19) candela of a made-up module without any symmetry."""
    gamma, around = np.radians(GAMMA), np.radians(C)[:, None]
    shape = (
        1
        + 0.6 * np.cos(2 * around) * np.sin(gamma) ** 2
        + (0.35 * np.sin(around) + 0.2 * np.cos(around)) * np.sin(gamma)
    )
    candela: Array = np.round(100 * np.cos(gamma).clip(0) * shape, 4)
    candela[-1] = candela[0]
    return candela


def file_text() -> str:
    """The same as a photometric file."""
    return written(GAMMA, C, lopsided())


def _by_file() -> Intensity:
    between = RegularGridInterpolator((C, GAMMA), lopsided())

    def intensity(d: Array) -> Array:
        gamma = np.degrees(np.arccos(np.clip(d[:, 2], -1, 1)))
        # Clockwise as seen from in front.
        around = np.degrees(-np.arctan2(d[:, 1], d[:, 0])) % 360
        found = between(np.stack([around, np.minimum(gamma, 90)], axis=-1))
        return np.asarray(np.where(d[:, 2] > 0, found, 0.0))

    return intensity


def _wide(a: float) -> Intensity:
    return lambda d: np.where(d[:, 2] > 0, (1 + a) * d[:, 2] - a * d[:, 2] ** 3, 0.0)


def _table(d: Array) -> Array:
    angles, values = np.array(TOLD).T
    return np.asarray(np.interp(np.degrees(np.arccos(np.clip(d[:, 2], -1, 1))), angles, values))


def _even_plane(d: Array) -> Array:
    return np.where(d[:, 2] >= 0.5, 1 / np.maximum(d[:, 2], 0.5) ** 3, 0.0)


def _evenly(n: int, extent: float) -> list[float]:
    return [(i + 0.5) / n * extent for i in range(n)]


def _grid(columns: int, rows: int, z: float) -> list[tuple[float, float, float]]:
    return [(x, y, z) for y in _evenly(rows, HEIGHT) for x in _evenly(columns, WIDTH)]


def _all(
    places: Iterable[tuple[float, float, float]], frame: Array, intensity: Intensity, peak: float
) -> list[Source]:
    return [Source(place=place, frame=frame, intensity=intensity, peak=peak) for place in places]


def _on_back(
    beam: str, sources: list[Source], extra: str = "", *, module: str = "", modules: int = 18
) -> Case:
    rows = extra or "count = 3\nmodule_count = 6\n"
    return Case(
        study=f"{HEAD}beam = {beam}\n{module}\n[[rows]]\n{rows}", sources=sources, lumens=50.0 * modules
    )


def _edge_lit(tilt: float) -> Case:
    lean = math.radians(tilt)
    sources: list[Source] = []
    rows = ""
    for name, x, inwards in (("left", 0.002, 1.0), ("right", WIDTH - 0.002, -1.0)):
        axis, along = np.array([inwards * math.cos(lean), 0, math.sin(lean)]), np.array([0.0, 1, 0])
        frame = np.stack([along, np.cross(axis, along), axis])
        sources += _all([(x, y, 0.04) for y in _evenly(6, HEIGHT)], frame, _wide(2), 1.5)
        rows += (
            f'[[rows]]\non = "{name}"\nat = ["40 mm"]\nz = "2 mm"\nmodule_count = 6\ntilt = "{tilt} deg"\n'
        )
    return Case(
        study=f'{HEAD}beam = {{ shape = "wide", width = 2.0 }}\n{rows}', sources=sources, lumens=600.0
    )


def _tilted_and_turned() -> Case:
    tilt, turn = math.radians(25), math.radians(40)
    u, v = np.array([math.cos(turn), math.sin(turn), 0]), np.array([-math.sin(turn), math.cos(turn), 0])
    # About the row, which runs along x, from the face's normal towards the top.
    lean = np.array([[1, 0, 0], [0, math.cos(tilt), math.sin(tilt)], [0, -math.sin(tilt), math.cos(tilt)]])
    frame = np.stack([lean @ u, lean @ v, lean @ np.array([0.0, 0, 1])])
    return _on_back(
        f'{{ file = "{FILE}" }}\nlumens_from = "study"',
        _all(_grid(6, 3, 0.012), frame, _by_file(), 190.0),
        'count = 3\nmodule_count = 6\nz = "12 mm"\ntilt = "25 deg"\nturn = "40 deg"\n',
    )


def _three_leds() -> Case:
    leds = ((-0.02, 0.0), (0.02, 0.005), (0.0, -0.01))
    places = [(x + a, y + b, z) for x, y, z in _grid(6, 3, 0.06) for a, b in leds]
    return _on_back(
        '{ shape = "cosine-power", exponent = 2 }',
        _all(places, np.eye(3), lambda d: np.where(d[:, 2] > 0, d[:, 2] ** 2, 0.0), 1.0),
        'count = 3\nmodule_count = 6\nz = "60 mm"\n',
        module='leds = [["-20 mm", "0 mm"], ["20 mm", "5 mm"], ["0 mm", "-10 mm"]]\n',
    )


def _by_table(z: float) -> Case:
    told = ", ".join(f'["{angle:g} deg", {value}]' for angle, value in TOLD)
    return _on_back(
        f"{{ table = [{told}] }}",
        _all(_grid(6, 3, z), np.eye(3), _table, 1.6),
        f'count = 3\nmodule_count = 6\nz = "{1000 * z:g} mm"\n',
    )


def _vertical_rows() -> Case:
    frame = np.array([[0.0, 1, 0], [-1, 0, 0], [0, 0, 1]])
    return _on_back(
        f'{{ file = "{FILE}" }}\nlumens_from = "study"',
        _all(_grid(3, 4, 0.005), frame, _by_file(), 190.0),
        'direction = "vertical"\ncount = 3\nmodule_count = 4\nz = "5 mm"\n',
        modules=12,
    )


CASES: dict[str, Callable[[], Case]] = {
    "wide, width 3": lambda: _on_back(
        '{ shape = "wide", width = 3.0 }', _all(_grid(6, 3, 0.0), np.eye(3), _wide(3), 2.0)
    ),
    "uniform-plane to 60 deg": lambda: _on_back(
        '{ shape = "uniform-plane", cut_off = "60 deg" }', _all(_grid(6, 3, 0.0), np.eye(3), _even_plane, 8.0)
    ),
    "table to 180 deg, raised 15 mm": lambda: _by_table(0.015),
    "table to 180 deg, flat on the back": lambda: _by_table(0.0),
    "file without symmetry, vertical rows": _vertical_rows,
    "the same file, tilted 25, turned 40 deg": _tilted_and_turned,
    "three LEDs each, 40 mm from the face": _three_leds,
    "edge-lit, tilted 15 deg to the face": lambda: _edge_lit(15),
    "edge-lit, tilted 15 deg to the back": lambda: _edge_lit(-15),
}
