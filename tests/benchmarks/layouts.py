"""Light thrown back in a shallow cabinet, a layout at a time: in a box from nothing, and in one that is known."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.interior import Inside, interior_of
from lumsim.light.lit_inside import light_inside
from lumsim.light.surfaces import mesh_of
from lumsim.simulation import USUAL, simulate
from lumsim.uniformity.face_map import FaceMap
from lumsim.whole_light import light_on_face
from tests.benchmarks.boxes import askew, shallow, unequal_returns
from tests.benchmarks.turns import in_turn, table

ROUNDS = 5

LAYOUTS = {
    "rows, Lambertian": shallow(),
    "rows, m = 2": shallow(exponent=2.0),
    "rows, m = 1.7": shallow(exponent=1.7),
    "modules askew": askew(),
    "unequal returns": unequal_returns(),
}

PROMISED = 1e-3
"""What the usual mesh may be off by at points an inch and more from the edges. [1]"""


def in_known_box(cabinet: Cabinet, inside: Inside) -> FaceMap:
    """All light at the visible face of a cabinet whose box is known."""
    return light_on_face(cabinet, light_inside(cabinet, inside).reflected())


def from_nothing(cabinet: Cabinet) -> FaceMap:
    """All light at the visible face, the box's exchange included."""
    return in_known_box(cabinet, interior_of(cabinet.box, patches_in_depth=USUAL).fine)


def difference(one: FaceMap, other: FaceMap) -> float:
    """Largest relative one, over the samples of the visible face."""
    return float(np.max(np.abs(one.values / other.values - 1)))


def main() -> None:
    """Print the table."""
    box = shallow().box
    usual, finer = (
        Inside(mesh_of(box.width, box.height, box.depth, patches_in_depth=n)) for n in (USUAL, 2 * USUAL)
    )
    rows = []
    for name, cabinet in LAYOUTS.items():
        off = difference(in_known_box(cabinet, usual), in_known_box(cabinet, finer))
        assert off <= PROMISED, (name, off)
        assert difference(from_nothing(cabinet), in_known_box(cabinet, usual)) < 1e-12, name
        works: dict[str, Callable[[], object]] = {
            "first": partial(from_nothing, cabinet),
            "whole": partial(simulate, cabinet),
            "known": partial(in_known_box, cabinet, usual),
        }
        spent = in_turn(works, ROUNDS)
        seconds = [f"{spent[one]:.3f}" for one in ("first", "whole", "known")]
        rows.append([name, *seconds, f"{100 * off:.3f} %"])
    sys.stdout.write(
        f"### 2.4 × 1.2 × 0.127 m, 92 modules, {usual.mesh.patches} patches\n\n"
        "Light at the face: all of it, direct and thrown back, at every sample of the visible face, an inch and "
        "more from the edges; its difference is the largest from a mesh twice as fine "
        f"({finer.mesh.patches} patches).\n\n"
    )
    heads = ["layout", "first in its box, s", "`simulate` from nothing, s", "another in a known box, s"]
    sys.stdout.write(table([*heads, "largest difference"], rows))


if __name__ == "__main__":
    main()
