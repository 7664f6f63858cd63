"""Warnings of modules that are aimed oddly: backwards, into what they are on, or turned to no effect."""

from __future__ import annotations

from lumsim.beams.beam import Beam
from lumsim.beams.zones import light_by_direction
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.orientation import RETURNS, Direction, Mount, frame
from lumsim.cabinet.rows import Rows
from lumsim.report.rows_text import of_rows
from lumsim.uniformity.names import percent

__all__ = ["aiming_warnings", "share_behind"]

MUCH = 0.2
"""Of a module's light into what it is on, from which it is told. [1]"""

MOSTLY = 0.5
"""Of a module's light behind it, from which it is told. [1]"""

NO_ANGLE = 1e-9
"""A turn or a tilt up to this is what floats leave of none. [rad]"""


def aiming_warnings(cabinet: Cabinet) -> list[str]:
    """Beams that shine backwards, tilts into what the modules are on, and turns that change nothing.

    Parameters
    ----------
    cabinet : Cabinet
    """
    told = []
    for number, group in enumerate(cabinet.groups, start=1):
        which = f"modules{of_rows(cabinet, number)}"
        on, turn, tilt = cabinet.mounting(group)
        for kind in (group.module,) if isinstance(group, Rows) else group.placed.kinds:
            behind = 1 - kind.beam.forward_share
            if behind > MOSTLY:
                told.append(
                    f"{percent(behind)} of the light of modules.{kind.name} lies beyond 90 deg from its axis, behind "
                    "the module: was its beam measured facing up? Then its angles must be turned over"
                )
            if abs(tilt) > NO_ANGLE and on != "plane":
                share = share_behind(kind.beam, on, group.direction, turn=turn, tilt=tilt)
                wall = f"{on} return" if on in RETURNS else "back"
                if share > MUCH:
                    told.append(
                        f"{which} are tilted so far that {percent(share)} of their light goes straight into the "
                        f"{wall} that they are on"
                    )
            if abs(turn) > NO_ANGLE and _alike_all_round(kind):
                told.append(
                    f"the turn of {which} changes nothing: the beam of modules.{kind.name} is alike all round its axis"
                )
    return told


def share_behind(beam: Beam, on: Mount, direction: Direction, *, turn: float, tilt: float) -> float:
    """What share of a module's light goes straight towards the surface that it is on. [1]

    Parameters
    ----------
    beam : Beam
    on : str
        What the module is on.
    direction : {"horizontal", "vertical"}
        How its row runs.
    turn, tilt : float
        [rad]
    """
    inwards = frame(on, direction)[2]
    directions, shares = light_by_direction(beam)
    return float(shares[inwards @ frame(on, direction, turn=turn, tilt=tilt).T @ directions < 0].sum())


def _alike_all_round(kind: Module) -> bool:
    """Whether a turn about its own axis leaves a module as it was."""
    shape = kind.opening is None or (kind.round_opening and kind.opening[0] == kind.opening[1])
    return kind.beam.axial and kind.leds == ((0.0, 0.0),) and shape
