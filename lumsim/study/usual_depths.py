"""The depths that a study is searched at where its user names none."""

from __future__ import annotations

from fractions import Fraction

from lumsim.search.layouts import least_depth, midway, rows_to_vary
from lumsim.study.reading import Study
from lumsim.units import METRES_PER_INCH

__all__ = ["usual_depths"]


def usual_depths(study: Study, group: int | None = None) -> tuple[float, ...]:
    """Seven depths around the study's own, from half to one and a half of its throw, on whole marks.

    Of modules midway between two faces the throws either way are meant, of others that to the front.

    Parameters
    ----------
    study : Study
    group : int, optional
        Whose throw is meant, from 1.
    """
    rows = rows_to_vary(study.cabinet, group, units=study.units)
    own = study.cabinet.box.depth
    emitters = study.cabinet.groups[rows].emitters()
    z = float(emitters.z.max())
    below = 0.0 if midway(study.cabinet, emitters).all() else z
    throw = own - z
    step = METRES_PER_INCH / 4 if study.units == "in" else Fraction(5, 1000)
    shares = (Fraction(i, 6) for i in range(3, 10))
    depths = []
    for share in shares:
        wanted = Fraction(below) + share * Fraction(own - below)
        depths.append(own if share == 1 else float(round(wanted / step) * step))
    least = least_depth(study.cabinet, throw / 4)
    return tuple(dict.fromkeys(depth for depth in depths if depth >= least))
