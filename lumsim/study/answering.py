"""A study's question answered: what the command line, notebooks and tests all call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lumsim.cabinet.cabinet import Cabinet
from lumsim.search.depths import pitch_against_depth, refuse_shallow
from lumsim.search.layouts import least_depth, midway, rows_to_vary
from lumsim.search.row_pitch import PitchSearch, widest_row_pitch
from lumsim.search.trying import Progress
from lumsim.simulation import ALL_LIGHT, FINE, USUAL, Lighting, Simulation, simulate
from lumsim.study.reading import Study
from lumsim.units import METRES_PER_INCH, Units

__all__ = ["MARK", "SearchAnswer", "answer", "lighting_of", "search", "usual_depths"]

MARK: dict[Units, Fraction] = {"in": METRES_PER_INCH / 16, "mm": Fraction(1, 1000)}
"""Distance between the marks of a tape measure. [m]"""


def answer(study: Study, *, direct_only: bool = False, fine: bool = False) -> Simulation:
    """Light the study's cabinet and judge its face.

    Parameters
    ----------
    study : Study
    direct_only : bool
        Leave out the light that the cabinet throws back.
    fine : bool
        Take a finer mesh for it, for more digits.

    Raises
    ------
    TooLargeError
        Where the face would need too fine a grid.
    """
    return simulate(
        study.cabinet,
        study.requirement,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        ageing=study.ageing,
    )


def lighting_of(*, direct_only: bool, fine: bool) -> Lighting:
    """How light is followed.

    Parameters
    ----------
    direct_only : bool
        Leave out the light that the cabinet throws back.
    fine : bool
        Take a finer mesh for it, for more digits.
    """
    return Lighting(direct_only=direct_only, patches_in_depth=FINE if fine else USUAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchAnswer:
    """The widest row pitch at the study's depth, and at others where asked."""

    group: int
    """whose rows were moved, from 0"""
    at_depth: PitchSearch
    """at the study's own depth"""
    verified: Simulation
    """the layout to build, or the one that came nearest, simulated whole"""
    own: Simulation
    """the study's own layout, simulated whole"""
    against_depth: tuple[PitchSearch, ...]
    """at each depth asked for"""


def search(
    study: Study,
    *,
    group: int | None = None,
    depths: Sequence[float] = (),
    whole_curve: bool = False,
    lighting: Lighting = ALL_LIGHT,
    progress: Progress | None = None,
) -> SearchAnswer:
    """Search the widest row pitch that meets the study's requirement.

    Parameters
    ----------
    study : Study
    group : int, optional
        Which group of rows moves, from 1; needed where there are several.
    depths : sequence of float
        Depths to search besides the study's own. [m]
    whole_curve : bool
        Try every pitch, not only down to the answer.
    lighting : Lighting
        How light is followed.
    progress : callable, optional

    Raises
    ------
    InputError
        Where there is no limit, no group to move, or a depth leaves no throw.
    """
    moved = rows_to_vary(study.cabinet, group, units=study.units)
    # Before minutes are spent on the study's own depth.
    refuse_shallow(study.cabinet, depths)
    mark = MARK[study.units]
    own_share = 1 / (1 + len(depths))

    def part(start: float, share: float) -> Progress | None:
        if progress is None:
            return None
        tell: Callable[[float, str], None] = progress
        return lambda done, what: tell(start + share * done, what)

    interior = lighting.interior(study.cabinet.box)
    at_depth = widest_row_pitch(
        study.cabinet,
        moved,
        study.requirement,
        mark=mark,
        whole_curve=whole_curve,
        lighting=lighting,
        interior=interior,
        ageing=study.ageing,
        progress=part(0.0, own_share),
    )
    against_depth = pitch_against_depth(
        study.cabinet,
        moved,
        study.requirement,
        depths,
        mark=mark,
        lighting=lighting,
        ageing=study.ageing,
        progress=part(own_share, 1 - own_share),
    )

    def whole(cabinet: Cabinet) -> Simulation:
        return simulate(cabinet, study.requirement, lighting=lighting, interior=interior, ageing=study.ageing)

    return SearchAnswer(
        group=moved,
        at_depth=at_depth,
        verified=whole(at_depth.best.cabinet),
        own=whole(study.cabinet),
        against_depth=against_depth,
    )


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
