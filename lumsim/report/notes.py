"""What a reader must be told beside the numbers: warnings, and what the light leaves out."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.orientation import RETURNS, wall_name
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import Rows
from lumsim.cabinet.sources import Half, sources_of
from lumsim.light.beam_steps import error_of_steps
from lumsim.light.point_error import FIVE_TIMES, error_as_point
from lumsim.report.aiming import aiming_warnings
from lumsim.report.counting import counting_warnings
from lumsim.report.fitting import fitting_warnings
from lumsim.report.rows_text import of_rows
from lumsim.simulation import LitFace, Simulation
from lumsim.uniformity.names import percent
from lumsim.uniformity.requirement import Verdict
from lumsim.units import Units, format_length

__all__ = [
    "LIMITS_OF_THE_MODEL",
    "LIMITS_OF_THE_SHEET",
    "LITTLE",
    "followed",
    "layout_warnings",
    "light_followed",
    "little_to_spare",
    "sees_a_period",
    "warnings",
]

DIRECT_LIGHT_ONLY = (
    "direct light only: the light that {walls} throw back is not followed; "
    "in a white cabinet it evens the face, so a built sign is more even than this"
)

WITH_REFLECTED_LIGHT = (
    "direct light and all that {walls} throw back; every surface inside is a perfect diffuser"
)

_LIMITS = (
    "modules are points and cast no shadow; the face passes light as a perfect diffuser; {not_looked_at} are not "
    "looked at; build a mock-up before cutting for a whole programme of signs"
)

LIMITS_OF_THE_MODEL = _LIMITS.format(not_looked_at="power, heat, supports and codes")

LIMITS_OF_THE_SHEET = _LIMITS.format(not_looked_at="heat, the strength of supports and codes")


def light_followed(simulation: Simulation) -> str:
    """Which light a result rests on, in three words, for headings."""
    return "direct light only" if simulation.reflected is None else "with reflected light"


def followed(simulation: Simulation) -> str:
    """Which light a result rests on, in a sentence."""
    text = DIRECT_LIGHT_ONLY if simulation.reflected is None else WITH_REFLECTED_LIGHT
    walls = "returns and both faces" if simulation.cabinet.double_sided else "back, returns and face"
    return text.format(walls=walls)


LITTLE = 0.02
"""Of a limit, below which what is to spare is little: built signs differ by as much. [1]"""


def little_to_spare(verdict: Verdict) -> bool:
    """Whether a requirement is met, and some limit of it by little.

    Parameters
    ----------
    verdict : Verdict
    """
    return verdict.met and any(one.to_spare < LITTLE for one in verdict.judged)


UNLIT = 1e9
"""Max/min from which the running integrals of a face no longer hold its darkest parts. [1]"""


def warnings(simulation: Simulation, units: Units) -> list[str]:
    """What may make the numbers mean something else than a reader thinks.

    Parameters
    ----------
    simulation : Simulation
    units : {"in", "mm"}
        For the lengths in the text.
    """
    cabinet = simulation.cabinet
    told = layout_warnings(cabinet, units)
    apart = cabinet.double_sided and not cabinet.mirrored_faces
    for lit in simulation.faces if apart else simulation.faces[:1]:
        told += _of_face(lit, f"the {lit.side} face" if apart else "this face", units)
    lost = simulation.ledger.absorbed_modules / simulation.ledger.emitted
    if lost > LOST:
        told.append(
            f"{percent(lost)} of the lumens are lost in the modules themselves: their light that goes behind the "
            "surface that they are on is lost; raised above it (z) they would light it instead"
        )
    if simulation.reflected is not None and _close_to_face_and_return(cabinet):
        face = "a face" if cabinet.double_sided else "the face"
        told.append(
            f"modules are close to {face} and to a return at once: the light thrown back there changes within "
            "the mesh it is computed on, and beside these modules single points are good to a few per cent only"
        )
    return told


LOST = 0.01
"""Of the lumens in the modules themselves, from which it is warned of. [1]"""

CLOSE_TO_FACE, CLOSE_TO_RETURN = 0.4, 0.1
"""Throw, and distance off a return, in depths, below which both together are too near for the usual mesh. [1]"""


def _close_to_face_and_return(cabinet: Cabinet) -> bool:
    box = cabinet.box
    for side, _ in cabinet.faces:
        modules = cabinet.towards(side)
        off = np.minimum(
            np.minimum(modules.x, box.width - modules.x), np.minimum(modules.y, box.height - modules.y)
        )
        close = (cabinet.throws(side) < CLOSE_TO_FACE * box.depth) & (off < CLOSE_TO_RETURN * box.depth)
        if close.any():
            return True
    return False


def sees_a_period(lit: LitFace) -> bool:
    """Whether the stripes number of a face sees one whole period of its rows; else it tells less than there is.

    Parameters
    ----------
    lit : LitFace
    """
    return lit.evenness.periods[1 if lit.direction == "horizontal" else 0] >= 1 - 1e-6


def _of_face(lit: LitFace, which: str, units: Units) -> list[str]:
    even = lit.evenness
    told = []
    if even.max_to_min > UNLIT:
        told.append(
            f"parts of {which.replace('this', 'the')} get next to no light (max/min {even.max_to_min:.2g}): stripes, "
            "edge dimming and ripple are then not exact"
        )
    if not sees_a_period(lit):
        window = format_length(even.window, units)
        told.append(
            f"the stripes number averages over {window} and so sees less than one whole period of the rows on "
            f"{which}: judge max/min as well"
        )
    return told


def layout_warnings(cabinet: Cabinet, units: Units) -> list[str]:
    """What a layout may do to the face that a reader should know before lighting it.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
        For the lengths in the text.
    """
    told = [*_outermost(cabinet, "row", units), *_outermost(cabinet, "module", units)]
    told += counting_warnings(cabinet, units)
    told += [*fitting_warnings(cabinet, units), *aiming_warnings(cabinet)]
    told += [*too_near_for_points(cabinet, units), *_coarse_beams(cabinet)]
    if cabinet.obstructions:
        count = len(cabinet.obstructions)
        told.append(f"{count} obstruction{'s' if count > 1 else ''} not modelled: the true ratio is worse")
    return told


COARSE = 0.01
"""Difference from a smooth curve, as a share of the peak, from which a beam's angles are called coarse. [1]"""


def too_near_for_points(cabinet: Cabinet, units: Units) -> list[str]:
    """Modules nearer to a face than five times what shines of them, and how far off that makes them.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
        For the lengths in the text.
    """
    told = []
    for number, group in enumerate(cabinet.groups, start=1):
        which = f"modules{of_rows(cabinet, number)}"
        placed = group.emitters()
        for index, kind in enumerate(placed.kinds):
            mine = placed.only(placed.kind == index)
            if kind.opening is None or len(mine) == 0:
                continue
            nearest = _nearest_led(mine, cabinet)
            longest = max(kind.opening)
            if nearest is None or not nearest.throw < FIVE_TIMES * longest * (1 - 1e-9):
                continue
            error = error_as_point(
                nearest.half, nearest.frame, kind.opening, nearest.throw, round_opening=kind.round_opening
            )
            several = len(kind.leds) > 1
            what = f"LEDs of {which}" if several else which
            cure = "" if several else "; place its LEDs with leds = [[…, …], …]"
            told.append(
                f"{what} are {format_length(nearest.throw, units)} from the {nearest.face} and "
                f"{format_length(longest, units)} long, less than five times that: taken for a point, the light of "
                f"{'an LED' if several else 'a module'} there is off by up to {percent(error)} of its highest{cure}"
            )
    return told


class _Nearest(NamedTuple):
    half: Half
    frame: NDArray[np.float64]
    throw: float
    face: str


def _nearest_led(placed: Emitters, cabinet: Cabinet) -> _Nearest | None:
    """The LED that is nearest to a face, of those that do not shine straight away from it."""
    sources, depth = sources_of(placed), cabinet.box.depth
    ways = [(wall_name(2, far=True, two_faces=cabinet.double_sided), sources)]
    if cabinet.double_sided:
        ways.append(("rear face", sources.mirrored(depth)))
    found = []
    for face, seen in ways:
        throws = np.where(seen.frames[:, 2, 2] > -1, depth - seen.z, np.inf)
        number = int(np.argmin(throws))
        found.append(
            _Nearest(seen.halves[seen.half[number]], seen.frames[number], float(throws[number]), face)
        )
    nearest = min(found, key=lambda one: one.throw)
    return nearest if nearest.throw < np.inf else None


def _coarse_beams(cabinet: Cabinet) -> list[str]:
    """Tables and files whose angles are so far apart that straight lines between them are a guess."""
    kinds = {kind.name: kind for group in cabinet.groups for kind in group.emitters().kinds}
    told = []
    for name, kind in kinds.items():
        error = error_of_steps(kind.beam)
        if error > COARSE:
            told.append(
                f"the beam of modules.{name} has coarse steps: between its angles a smooth curve differs from the "
                f"straight lines taken by up to {percent(error)} of its peak; give it more angles where it bends"
            )
    return told


def _outermost(cabinet: Cabinet, what: str, units: Units) -> list[str]:
    """Returns without rows of their own, more than half a pitch from the outermost row (or module of the rows)."""
    lit = {group.on for group in cabinet.groups if isinstance(group, Rows)}
    told = []
    for direction in ("horizontal", "vertical"):
        groups = [
            group
            for group in cabinet.groups
            if isinstance(group, Rows)
            and group.direction == direction
            # Across rows on a return lies the depth.
            and not (what == "row" and group.on in RETURNS)
        ]
        across_y = (what == "row") == (direction == "horizontal")
        found: dict[tuple[str, str], list[str]] = {}
        for end, side in enumerate(("bottom", "top") if across_y else ("left", "right")):
            nearest, staggered = min(
                (
                    (group.rows, False) if what == "row" else (group.modules, any(group.shifts))
                    for group in groups
                ),
                key=lambda one: one[0].edge_distances[end],
                default=(None, False),
            )
            pitch = None if nearest is None else nearest.pitch or _widest_gap(nearest)
            if nearest is None or pitch is None or side in lit:
                continue
            distance = nearest.edge_distances[end]
            if distance > pitch / 2:
                mean = ", in the mean of staggered rows," if staggered else ""
                numbers = f"{format_length(distance, units)}{mean}", format_length(pitch, units)
                found.setdefault(numbers, []).append(side)
        told += [
            f"the outermost {what} is {distance} from the {' and '.join(sides)} "
            f"return{'s' if len(sides) > 1 else ''}, more than half the {what} pitch of {pitch}: "
            "the edge there will be darker"
            for (distance, pitch), sides in found.items()
        ]
    return told


def _widest_gap(places: Places) -> Fraction | None:
    """What stands for the pitch of listed places; a single one has none. [m]"""
    return max((b - a for a, b in zip(places.positions, places.positions[1:], strict=False)), default=None)
