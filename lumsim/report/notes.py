"""What a reader must be told beside the numbers: warnings, and what the light leaves out."""

from __future__ import annotations

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.simulation import Simulation
from lumsim.units import Units, format_length

__all__ = ["DIRECT_LIGHT_ONLY", "LIMITS_OF_THE_MODEL", "layout_warnings", "warnings"]

DIRECT_LIGHT_ONLY = (
    "direct light only: the light that back, returns and face throw back is not followed; "
    "in a white cabinet it evens the face, so a built sign is more even than this"
)

LIMITS_OF_THE_MODEL = (
    "modules are points and cast no shadow; the face passes light as a perfect diffuser; "
    "build a mock-up before cutting for a whole programme of signs"
)


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
    across = simulation.evenness.periods[1 if cabinet.direction == "horizontal" else 0]
    if across < 1:
        window = format_length(simulation.evenness.window, units)
        told.append(
            f"the stripes number averages over {window} and so sees less than one whole period of the rows on "
            "this face: judge max/min as well"
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
    told = []
    for number, group in enumerate(cabinet.groups, start=1):
        if isinstance(group, Rows):
            which = "" if len(cabinet.groups) == 1 else f" of group {number}"
            told.extend(_too_far_from_returns(group, which, units))
    if cabinet.obstructions:
        count = len(cabinet.obstructions)
        told.append(f"{count} obstruction{'s' if count > 1 else ''} not modelled: the true ratio is worse")
    return told


def _too_far_from_returns(group: Rows, which: str, units: Units) -> list[str]:
    told = []
    horizontal = group.direction == "horizontal"
    for what, places, sides in (
        ("row", group.rows, ("bottom", "top") if horizontal else ("left", "right")),
        ("module", group.modules, ("left", "right") if horizontal else ("bottom", "top")),
    ):
        # The pitch of a single place or of listed ones: the widest gap there is, or nothing to compare with.
        gaps = [b - a for a, b in zip(places.positions, places.positions[1:], strict=False)]
        pitch = places.pitch or (max(gaps) if gaps else None)
        if pitch is None:
            continue
        for distance, side in zip(places.edge_distances, sides, strict=True):
            if distance > pitch / 2:
                told.append(
                    f"the outermost {what}{which} is {format_length(distance, units)} from the {side} return, "
                    f"more than half the {what} pitch of {format_length(pitch, units)}: the edge there will "
                    "be darker"
                )
    return told
