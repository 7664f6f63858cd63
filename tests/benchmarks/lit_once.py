"""One box at one fineness, in a process of its own: ``lit_once box 10 1`` and ``lit_once sign 10``."""

from __future__ import annotations

import sys
from statistics import median

from lumsim.light.interior import Inside
from lumsim.light.interreflection import interreflect, reflectances
from lumsim.light.mirrors import PARITIES
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from lumsim.simulation import USUAL, Lighting, simulate
from lumsim.uniformity.evenness import evenness
from tests import cabinets
from tests.benchmarks.boxes import any_mesh, large_sign, of_size
from tests.benchmarks.layouts import in_known_box
from tests.benchmarks.memory import peak, tell
from tests.benchmarks.turns import timed
from tests.cabinets import shop_sign

ENOUGH = 3.0
"""Work is repeated, up to five times, until so much time is spent. [s]"""


def balanced(mesh: Mesh, direct: Surfaces, reflectance: Surfaces) -> Inside:
    """All that a mesh fixes, and the balance of a first layout."""
    inside = Inside(mesh)
    interreflect(inside.exchange, direct, reflectance)
    return inside


def box(patches_in_depth: int, times: float) -> dict[str, float]:
    """A box of the shallow one's depth: its exchange with the balance of one layout, and of another."""
    given, before = of_size(times), peak()
    width, height, depth = given.box.width, given.box.height, given.box.depth
    with any_mesh():
        mesh = mesh_of(width, height, depth, patches_in_depth=patches_in_depth)
    direct, rho = direct_on_patches(mesh, cabinets.upright(given)), reflectances(given)
    first: list[float] = []
    other: list[float] = []
    highest = corner = 0.0
    while not first or (len(first) < 5 and sum(first) < ENOUGH):
        inside, seconds = timed(balanced, mesh, direct, rho)
        first.append(seconds)
        highest = highest or peak() - before
        other += [timed(interreflect, inside.exchange, direct, rho)[1] for _ in range(3)]
        corner = inside.exchange.part(PARITIES[0])._adjacent.nbytes / 1e6
        del inside
    return {
        "plane": mesh.columns * mesh.rows,
        "patches": mesh.patches,
        "first": median(first),
        "another": median(other),
        "peak": highest,
        "corner": corner,
    }


def sign(patches_in_depth: int) -> dict[str, float]:
    """The large sign: the whole answer at the usual fineness; of a finer mesh its light on the face alone."""
    given, before = large_sign(), peak()
    if patches_in_depth == USUAL:
        found, seconds = timed(simulate, given)
        highest = peak() - before
        patches, even = found.patches, found.evenness
        del found
        seconds = median([seconds, *(timed(simulate, given)[1] for _ in range(2))])
    else:
        size = given.box.width, given.box.height, given.box.depth
        with any_mesh():
            mesh = mesh_of(*size, patches_in_depth=patches_in_depth)
        found_light, seconds = timed(lambda: in_known_box(given, Inside(mesh)))
        patches, even, highest = mesh.patches, evenness(found_light, given.stripe_window), peak() - before
    return {"patches": patches, "seconds": seconds, "peak": highest, "max_to_min": even.max_to_min}


def main() -> None:
    """Tell the figures of one box at one fineness, as JSON."""
    # Whatever is loaded or compiled only once is so before anything is measured.
    simulate(shop_sign(), lighting=Lighting(patches_in_depth=4))
    what, patches_in_depth, *times = sys.argv[1:]
    if what == "box":
        tell(box(int(patches_in_depth), float(times[0])))
    else:
        tell(sign(int(patches_in_depth)))


if __name__ == "__main__":
    main()
