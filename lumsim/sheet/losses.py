"""What of a sign may fail, and what each failure takes from its modules."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.search.twins import twins
from lumsim.sheet.assembly import Assembly
from lumsim.sheet.failures import Loss
from lumsim.sheet.strings import RowString, with_light
from lumsim.sheet.wiring import Electrics, WiredString, Wiring, with_joint_open

__all__ = ["joint_losses", "module_losses", "string_losses", "supply_losses"]


def module_losses(cabinet: Cabinet, rows: tuple[RowString, ...], shares: NDArray[np.float64]) -> list[Loss]:
    """Each module dead in turn; of modules in mirror image one stands for all. None where there is but one.

    Parameters
    ----------
    cabinet : Cabinet
        As it is drawn.
    rows : tuple of RowString
    shares : (modules,)
        Of its light that each module has while all is well; dark ones have nothing to lose. [1]
    """
    lit = np.flatnonzero(shares > 0)
    if len(lit) < 2:
        return []
    row_of = {module: one for one in rows for module in one.modules}
    alone = lit[twins(with_light(cabinet, shares)).alone].tolist()
    return [
        Loss(
            kind="module",
            what=f"module {row_of[module].modules.index(module) + 1} of row {row_of[module].name}",
            modules=(module,),
        )
        for module in alone
    ]


def string_losses(parts: tuple[RowString, ...]) -> list[Loss]:
    """Each string dead in turn: a row, or a part of one that is fed by itself. None where there is but one.

    Parameters
    ----------
    parts : tuple of RowString
    """
    if len(parts) < 2:
        return []
    return [Loss(kind="row", what=f"row {one.name}", modules=one.modules) for one in parts]


def supply_losses(assembly: Assembly, cabinet: Cabinet) -> list[Loss]:
    """Each supply dead in turn.

    Where a string has two circuits, the first lights the front and the second the rear of modules that shine both ways;
    any other circuits of a string share the light of each of its modules evenly.

    Parameters
    ----------
    assembly : Assembly
        With its strings on their wire, where it has supplies.
    cabinet : Cabinet
    """
    front_share = cabinet.emitters().front_share
    both_ways = (front_share > 0) & (front_share < 1)
    lost: dict[int, list[tuple[WiredString, tuple[int, ...]]]] = {}
    for one, fed_by in zip(assembly.wired or (), assembly.fed_by, strict=False):
        for supply in dict.fromkeys(fed_by):
            lost.setdefault(supply, []).append((one, fed_by))
    losses = []
    for supply, strings in sorted(lost.items()):
        modules: list[int] = []
        left: list[tuple[float, float]] = []
        for one, fed_by in strings:
            alive = [float(by != supply) for by in fed_by]
            evenly = sum(alive) / len(alive)
            for module, share in zip(one.string.modules, one.shares.tolist(), strict=True):
                front, rear = alive if len(alive) == 2 and both_ways[module] else (evenly, evenly)
                modules.append(module)
                left.append((share * front, share * rear))
        losses.append(Loss(kind="supply", what=f"supply {supply}", modules=tuple(modules), left=tuple(left)))
    return losses


def joint_losses(assembly: Assembly, electrics: Mapping[str, Electrics], wiring: Wiring) -> list[Loss]:
    """Each joint come apart in turn: what has no feed left is dark, the rest is on its wire by itself.

    Parameters
    ----------
    assembly : Assembly
        With its strings on their wire.
    electrics : mapping
        Of every kind of module that the strings hold.
    wiring : Wiring
    """
    losses = []
    for number, one in enumerate(assembly.wired or ()):
        kind = one.string.kind.name
        for before in assembly.joints(number):
            open_shares = with_joint_open(
                one, electrics[kind], wiring, assembly.pitches.get(kind), before=before
            )
            losses.append(
                Loss(
                    kind="joint",
                    what=f"the joint before module {before + 1} of row {one.string.name}",
                    modules=one.string.modules,
                    left=tuple((share, share) for share in open_shares.tolist()),
                )
            )
    return losses
