"""What stands out on a face, as text: stripes, hot spots, dark spots."""

from __future__ import annotations

from lumsim.report.numbers import significant
from lumsim.simulation import LitFace
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import percent
from lumsim.uniformity.spots import MOST_TOLD, Spot
from lumsim.units import Units, format_length

__all__ = ["MOST_STRIPES", "ends_of", "spot_lines"]

MOST_STRIPES = 2 * MOST_TOLD
"""Stripes that the text shows; JSON lists all. [1]"""


def spot_lines(lit: LitFace, units: Units) -> list[str]:
    """Stripes in order across the rows, then spots strongest first, numbered as a picture numbers them.

    The face's brightest place is a peak too. Where it is the only one it is no fault and not told as a spot;
    where there are others it is told as what it is.

    Parameters
    ----------
    lit : LitFace
    units : {"in", "mm"}
    """
    spots = lit.spots
    least = f"contrast {percent(spots.least_contrast)} or more"
    beside = " beside the stripes" if spots.stripes else ""
    lines = _stripe_lines(lit, units)
    if spots.lone_peak(lit.evenness):
        lines.append(f"No hot spot of {least} beside the brightest place")
    else:
        lines += _kind_lines("hot", spots.hot, spots.hot_not_listed, lit, units, f"{beside}, {least}")
    return lines + _kind_lines("dark", spots.dark, spots.dark_not_listed, lit, units, f"{beside}, {least}")


def _stripe_lines(lit: LitFace, units: Units) -> list[str]:
    spots = lit.spots
    least = f"contrast {percent(spots.least_contrast)} or more"
    if not spots.stripes:
        return [f"No stripe of {least}"]
    side = "bottom" if spots.direction == "horizontal" else "left"
    lines = [f"Stripes, {least} ({len(spots.stripes)})"]
    for stripe in spots.stripes[:MOST_STRIPES]:
        rows = " and ".join(str(row) for row in stripe.rows)
        where = f"row {rows}" if len(stripe.rows) == 1 else f"rows {rows}"
        lines.append(
            f"  {where:<14}{format_length(stripe.position, units):>10} from {side:<7} "
            f"contrast {percent(stripe.contrast)}"
        )
    if len(spots.stripes) > MOST_STRIPES:
        lines.append(f"  and {len(spots.stripes) - MOST_STRIPES} more")
    return lines


def ends_of(kind: str, even: Evenness) -> tuple[float, str, str]:
    """What the first spot of a kind is held against, since nothing passes it: how much, and both ends' names.

    Parameters
    ----------
    kind : {"hot", "dark"}
    even : Evenness
        Of the face.

    Returns
    -------
    far_end : float
        [cd/m²]
    own, other : str
        What the spot itself is, and what it is held against.
    """
    if kind == "hot":
        return even.darkest.value, "brightest", "darkest"
    return even.brightest.value, "darkest", "brightest"


def _kind_lines(
    kind: str, found: tuple[Spot, ...], not_listed: int, lit: LitFace, units: Units, which: str
) -> list[str]:
    count = len(found) + not_listed
    if not found:
        beside, _, least = which.rpartition(", ")
        return [f"No {kind} spot of {least}{beside}"]
    lines = [f"{kind.capitalize()} spots{which} ({count})"]
    far_end, own, other = ends_of(kind, lit.evenness)
    for number, spot in enumerate(found[:MOST_TOLD], start=1):
        # Nothing passes the highest peak: its contrast is held against the other end.
        told = (
            f"the {own} place, {percent(spot.contrast)} against the {other}"
            if spot.saddle == far_end
            else f"contrast {percent(spot.contrast)}"
        )
        lines.append(
            f"  {number} {format_length(spot.x, units):>10} from left, {format_length(spot.y, units):>10} from "
            f"bottom: {significant(spot.luminance, 4)} cd/m², {told}"
        )
    if count > MOST_TOLD:
        lines.append(f"  and {count - MOST_TOLD} more")
    return lines
