"""What a study says of how far off its sign is looked at."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from lumsim.study.reports import Report, distance_shown
from lumsim.study.table import Table
from lumsim.study.values import Distance
from lumsim.units import Units

__all__ = ["MOST_DISTANCES", "ViewingForm", "viewing_asked"]

MOST_DISTANCES = 20
"""That one study may name. [1]"""


class ViewingForm(Table):
    """From where the sign is looked at: what the eye may then notice of rows and modules is told, not judged."""

    distances: Annotated[list[Distance], Field(min_length=1, max_length=MOST_DISTANCES)] | None = Field(
        default=None, description="from the face, straight in front; the nearest and the farthest among them"
    )


def viewing_asked(form: ViewingForm, units: Units, report: Report) -> tuple[float, ...]:
    """The distances of a study, rising; none where it names none. [m]

    Parameters
    ----------
    form : ViewingForm
    units : {"in", "mm"}
        Of the study, for messages.
    report : callable
        Told of distances that stand there twice.
    """
    distances = sorted(form.distances or ())
    for one in sorted({one for one in distances if distances.count(one) > 1}):
        report(("viewing", "distances"), f"names {distance_shown(float(one), units)} twice: once is enough")
    return tuple(float(one) for one in distances)
