"""The light on a face, measured by a general-purpose path tracer that shares no code with lumsim.

Only the description of a cabinet is taken from lumsim. It becomes a scene of Mitsuba 3: six diffuse walls, and for
each module a very small square that emits as a Lambertian surface does. Just behind the face stands a camera without
perspective, which looks at the face's inner side; one pixel of its picture is one cell of the face, return to return.
A diffuse face of reflectance ρ shows the luminance L = ρE/π, so the mean illuminance of the cell is E = πL/ρ. Paths
end by roulette alone, which is unbiased.
"""

from __future__ import annotations

import math
from time import process_time
from typing import Any

import mitsuba
import numpy as np

from lumsim.beams.closed import LAMBERTIAN
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.orientation import UPRIGHT
from tests.path_tracer.cells import Cells
from tests.path_tracer.emitter_size import SIDE
from tests.path_tracer.measured import Measured

__all__ = ["VARIANT", "photograph"]

Point = tuple[float, float, float]

VARIANT = "scalar_rgb"
"""The build of the tracer that every installation has; it computes in single precision."""

ROULETTE_FROM = 5
"""Reflections after which a path may end by roulette. [1]"""

GREY = 1e-6
"""Reflectance of a black face, which no camera would see: its light adds a millionth or less. [1]"""


def photograph(
    cabinet: Cabinet,
    cells: Cells,
    side: Side = "front",
    *,
    batches: int,
    samples: int,
    seed: int,
    variant: str = VARIANT,
) -> Measured:
    """Measure the illuminance on the inner side of a cabinet's face; cells are as seen from in front.

    Parameters
    ----------
    cabinet : Cabinet
        With Lambertian modules.
    cells : Cells
        Equal cells of the face.
    side : {"front", "rear"}
        Which face.
    batches : int
        Pictures, each from a seed of its own. [1]
    samples : int
        Paths for each cell of a picture; a square number, for they are stratified. [1]
    seed : int
        From which the seeds of the pictures are drawn.
    variant : str
        Build of the tracer.

    Raises
    ------
    ValueError
        Where a module's beam is not Lambertian or it is tilted, or a black face is lit by walls that throw light back.
    """
    emitters = cabinet.emitters()
    if any(kind.beam != LAMBERTIAN or len(kind.leds) > 1 for kind in emitters.kinds):
        raise ValueError("only Lambertian modules can be traced: a small square emits as cos θ")
    if not (emitters.frames == UPRIGHT).all():
        raise ValueError("only modules that shine straight at a face can be traced")
    mitsuba.set_variant(variant)
    box = cabinet.box
    rho = {
        "back": box.back_reflectance if cabinet.rear is None else cabinet.rear.reflectance,
        "face": cabinet.face.reflectance,
        "bottom": box.bottom_return_reflectance,
        "top": box.top_return_reflectance,
        "left": box.left_return_reflectance,
        "right": box.right_return_reflectance,
    }
    seen = "face" if side == "front" else "back"
    if rho[seen] == 0:
        if any(rho.values()):
            raise ValueError("a black face in a cabinet that throws light back shows nothing to a camera")
        rho[seen] = GREY
    parts = _walls(cabinet, rho) | _modules(cabinet) | _camera(cabinet, cells, side, samples)
    # Its optimising puts the modules in another order each time, and no seed would repeat a picture.
    scene = mitsuba.load_dict({"type": "scene"} | parts, optimize=False)
    mitsuba.render(scene)  # some builds compile now

    # Not in a row: the tracer's random numbers start from places a few apart for seeds that are.
    seeds = np.random.SeedSequence(seed).generate_state(batches)
    pictures = []
    start = process_time()
    for one in seeds:
        picture = np.array(mitsuba.render(scene, seed=int(one)), dtype=np.float64)
        # Rows of a picture run down; seen from within, x runs to the left on the front face.
        pictures.append(picture[::-1, :: -1 if side == "front" else 1, 0])
    seconds = process_time() - start
    return Measured(
        batches=np.stack(pictures) * (math.pi / rho[seen]), samples=batches * samples, seconds=seconds
    )


def _walls(cabinet: Cabinet, rho: dict[str, float]) -> dict[str, Any]:
    """The six walls, each looking inwards.

    The scene is in millimetres about the middle of the box: the tracer lifts the start of a ray off its wall by
    9e-5 of one more than the largest coordinate.
    """
    width, height, depth = (1e3 * size for size in (cabinet.box.width, cabinet.box.height, cabinet.box.depth))
    y, z = (0, 1, 0), (0, 0, 1)
    walls = {
        "back": ((0, 0, -depth / 2), y, width, height),
        "face": ((0, 0, depth / 2), y, width, height),
        "bottom": ((0, -height / 2, 0), z, width, depth),
        "top": ((0, height / 2, 0), z, width, depth),
        "left": ((-width / 2, 0, 0), y, depth, height),
        "right": ((width / 2, 0, 0), y, depth, height),
    }
    return {
        name: _rectangle(_looking(centre, (0, 0, 0), up), across, along, rho[name])
        for name, (centre, up, across, along) in walls.items()
    }


def _modules(cabinet: Cabinet) -> dict[str, Any]:
    """A square for each module and each way that it shines, with the luminance Φ/πA of a Lambertian surface.

    Between two faces the two squares of a module lie back to back in one plane.
    """
    at, box = cabinet.emitters(), cabinet.box
    squares = {}
    for i in range(len(at)):
        x, y, z = (
            1e3 * float(place - extent / 2)
            for place, extent in ((at.x[i], box.width), (at.y[i], box.height), (at.z[i], box.depth))
        )
        for way, share in ((1, float(at.front_share[i])), (-1, 1 - float(at.front_share[i]))):
            if share > 0:
                luminance = share * float(at.flux[i]) / (math.pi * SIDE**2)
                square = _rectangle(
                    _looking((x, y, z), (x, y, z + way), (0, 1, 0)), 1e3 * SIDE, 1e3 * SIDE, 0.0
                )
                light = {"emitter": {"type": "area", "radiance": _grey(luminance)}}
                squares[f"module_{i}_{way:+d}"] = square | light
    return squares


def _camera(cabinet: Cabinet, cells: Cells, side: Side, samples: int) -> dict[str, Any]:
    """The camera, nearer to the face than any module, and the way its picture is traced."""
    box = cabinet.box
    face = 1e3 * box.depth / 2 * (1 if side == "front" else -1)
    away = 1e3 * float(np.min(cabinet.throws(side))) / 2
    origin = (0.0, 0.0, math.copysign(abs(face) - away, face))
    # Pixels are square before this: the picture spans 1 to either side, and rows / columns up and down.
    stretched = (1e3 * box.width / 2, 1e3 * box.height / 2 * cells.columns / cells.rows, 1)
    return {
        "camera": {
            "type": "orthographic",
            "near_clip": away / 10,
            "far_clip": 2 * away,
            "to_world": _looking(origin, (0, 0, face), (0, 1, 0))
            @ mitsuba.ScalarTransform4f().scale(stretched),
            "film": {
                "type": "hdrfilm",
                "width": cells.columns,
                "height": cells.rows,
                "rfilter": {"type": "box"},
                "pixel_format": "luminance",
                "component_format": "float32",
            },
            "sampler": {"type": "multijitter", "sample_count": samples},
        },
        "integrator": {
            "type": "path",
            "max_depth": -1,
            "rr_depth": ROULETTE_FROM,
            # Pixels are seeded by block and place in it: larger blocks, jutting out of the picture, would run into
            # the seeds of the next picture.
            "block_size": 1,
        },
    }


def _looking(origin: Point, target: Point, up: Point) -> Any:
    return mitsuba.ScalarTransform4f().look_at(origin=origin, target=target, up=up)


def _rectangle(at: Any, width: float, height: float, rho: float) -> dict[str, Any]:
    return {
        "type": "rectangle",
        "to_world": at @ mitsuba.ScalarTransform4f().scale((width / 2, height / 2, 1)),
        "bsdf": {"type": "diffuse", "reflectance": _grey(rho)},
    }


def _grey(value: float) -> dict[str, Any]:
    return {"type": "rgb", "value": value}
