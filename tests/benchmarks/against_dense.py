"""The balance without a matrix beside the dense direct solution on the same patches."""

from __future__ import annotations

import sys
from statistics import median

import numpy as np

from lumsim.light.exchange import Exchange
from lumsim.light.interreflection import interreflect, reflectances
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from lumsim.simulation import USUAL
from tests import cabinets
from tests.benchmarks.boxes import askew, shallow
from tests.benchmarks.dense_box import DenseBox, balance
from tests.benchmarks.memory import peak
from tests.benchmarks.turns import table, timed

LAYOUTS = {"in mirror image": shallow(), "askew": askew()}

MESHES = [(28, 2, 15), (44, 3, 7), (64, 4, 3), (92, 5, 1)]
"""Columns, layers of the returns, rounds; half as many rows as columns."""

OURS = 3
"""Runs of lumsim in each round, for they are short. [1]"""

AGREE = 1e-7
"""Largest relative difference of any patch's illuminance. [1]"""

USUAL_PATCHES = mesh_of(2.4, 1.2, 0.127, patches_in_depth=USUAL).patches
"""Of the same box. [1]"""

Times = dict[str, list[float]]


def mesh(columns: int, layers: int) -> Mesh:
    """The shallow box in nearly square patches."""
    box = shallow().box
    z = tuple(np.linspace(0.0, box.depth, layers + 1).tolist())
    return Mesh(width=box.width, height=box.height, depth=box.depth, columns=columns, rows=columns // 2, z=z)


def without_a_matrix(exchange: Exchange, direct: Surfaces, reflectance: Surfaces) -> Surfaces:
    """All light on each patch by lumsim [lx]."""
    return interreflect(exchange, direct, reflectance).illuminance


def contest(given: Mesh, rounds: int) -> tuple[Times, dict[str, Times], float]:
    """Both in turn on every layout, and the largest relative difference of any patch's illuminance.

    The direct light, which both start from, is not timed.
    """
    rho = reflectances(shallow())
    direct = {name: direct_on_patches(given, cabinets.upright(one)) for name, one in LAYOUTS.items()}
    dense: Times = {"build": [], "factor": [], "solve": []}
    ours: dict[str, Times] = {name: {"first": [], "other": []} for name in LAYOUTS}
    off = 0.0
    for _ in range(rounds):
        system, seconds = timed(balance, given, rho)
        dense["build"].append(seconds)
        factored, seconds = timed(DenseBox, given, system)
        dense["factor"].append(seconds)
        for name, light in direct.items():
            expected, seconds = timed(factored.illuminance, light)
            dense["solve"].append(seconds)
            for _ in range(OURS):
                exchange, building = timed(Exchange, given)
                found, seconds = timed(without_a_matrix, exchange, light, rho)
                ours[name]["first"].append(building + seconds)
                ours[name]["other"].append(timed(without_a_matrix, exchange, light, rho)[1])
            off = max(off, float(np.max(np.abs(found.joined() / expected.joined() - 1))))
    return dense, ours, off


def main() -> None:
    """Print the table."""
    contest(mesh(8, 2), 1)
    rows = []
    for columns, layers, rounds in MESHES:
        given = mesh(columns, layers)
        dense, ours, off = contest(given, rounds)
        assert off <= AGREE, (given.patches, off)
        build, factor, solve = (median(dense[name]) for name in ("build", "factor", "solve"))
        for name, times in ours.items():
            first, other = median(times["first"]), median(times["other"])
            rows.append(
                [
                    name,
                    str(given.patches),
                    *(f"{1e3 * one:.1f}" for one in (build, factor, solve, first, other)),
                    f"{(build + factor + solve) / first:.3g}",
                    f"{solve / other:.2g}",
                    f"{off:.0e}",
                ]
            )
    rounds_in_words = ", ".join(str(rounds) for *_, rounds in MESHES)
    sys.stdout.write(
        "### The balance alone, against the dense direct solution of the same patches\n\n"
        "Dense: closed forms by NumPy, LU of LAPACK, its factors kept for another layout. Both start from the same "
        "direct light, which is not timed. The difference is the largest of any patch's illuminance. Rounds: "
        f"{rounds_in_words}. The dense solution needed {peak() / 1e3:.1f} GB at its peak; of the {USUAL_PATCHES} "
        f"patches of the usual mesh its matrix alone would be {8e-9 * USUAL_PATCHES**2:.0f} GB.\n\n"
    )
    heads = ["layout", "patches", "build, ms", "factor, ms", "solve, ms", "lumsim first, ms", "another, ms"]
    sys.stdout.write(table([*heads, "first: dense/lumsim", "another: dense/lumsim", "difference"], rows))


if __name__ == "__main__":
    main()
