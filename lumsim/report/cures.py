"""What helps a face that is not even enough, by what its rows are on and how their modules lean."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from lumsim.beams.zones import light_by_direction
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import RETURNS, Mount
from lumsim.cabinet.rows import Rows
from lumsim.report.luminance_limits import LUMINANCE_LIMITS
from lumsim.simulation import Simulation
from lumsim.uniformity.names import percent
from lumsim.uniformity.requirement import Judged

__all__ = ["cures"]

STRONG_TILT = math.radians(30)
"""From which modules light the face beside them rather than before them. [rad]"""

DOTS = 1.01
"""Ripple along the rows from which its modules show. [1]"""

DEEP = 1 / 3
"""Of the depth below modules on the back, from which less of it is worth telling. [1]"""

FAR_APART = 0.5
"""Module pitch, in throws, up to which modules of several rows never show one by one. [1]"""

LEANS = 0.02
"""Mean direction of a beam's light beside its axis, from which it leans to one side. [1]"""

ONE_SIDED = 1.05
"""Mean along one edge of the face over that along the one opposite, from which a side is darker. [1]"""

EDGE_POINTS = 64
"""At which the mean along an edge is taken. [1]"""

OPPOSITE: dict[Mount, Mount] = {"left": "right", "right": "left", "bottom": "top", "top": "bottom"}


def cures(failing: Sequence[Judged], simulation: Simulation) -> list[str]:
    """What helps against each limit on evenness that is missed.

    Parameters
    ----------
    failing : sequence of Judged
        The limits that are missed.
    simulation : Simulation
        What they are missed by.
    """
    even, cabinet = simulation.evenness, simulation.cabinet
    names = {one.name for one in failing} - LUMINANCE_LIMITS
    stripes, edges = even.stripe_max_to_min, even.edge_dimming
    whole_face = bool(names - {"stripe_max_to_min", "hot_spot_contrast", "edge_dimming"})
    edge_lit = _lit_returns(cabinet)
    told = []
    by_ratio = "stripe_max_to_min" in names or (whole_face and stripes > edges)
    if by_ratio or "hot_spot_contrast" in names:
        of_contrast = f"against stripes and dots (contrast {percent(even.hot_spot_contrast)})"
        against = f"against stripes ({stripes:.2f})" if by_ratio else of_contrast
        if edge_lit:
            closer = ["modules closer along the returns"] if _dots(simulation) else []
            ways = [*closer, "another tilt", "a wider visible border over the light beside the returns"]
            told.append(f"{against} {_or(ways)}")
        else:
            told.append(f"{against} {_or(_against_stripes(simulation))}")
    if "edge_dimming" in names or (whole_face and edges >= stripes):
        if edge_lit:
            told.append(
                f"against light that falls off from the lit {'return' if len(edge_lit) == 1 else 'returns'} "
                f"({edges:.2f}) {_or(_against_falling_off(cabinet, edge_lit))}"
            )
        else:
            told.append(f"against dark edges ({edges:.2f}) {_or(_against_dark_edges(simulation))}")
    return told


def _lit_returns(cabinet: Cabinet) -> list[Mount]:
    """The returns that rows are on, where all rows are on returns; else none."""
    on = [cabinet.mounting(group).on for group in cabinet.groups]
    return [side for side in RETURNS if side in on] if set(on) <= set(RETURNS) else []


def _against_stripes(simulation: Simulation) -> list[str]:
    cabinet = simulation.cabinet
    told = ["less tilt"] if _tilted(cabinet) else []
    if sum(len(group.row_lines) for group in cabinet.groups) == 1:
        told += ["a second row", *(["modules closer along the row"] if _dots(simulation) else [])]
    else:
        told.append("rows closer together")
        told += ["modules closer along the rows"] if _far_apart(simulation) and _dots(simulation) else []
    return [*told, *_farther(simulation), "a deeper cabinet"]


def _against_dark_edges(simulation: Simulation) -> list[str]:
    if _leans_to_brighter_side(simulation):
        told = ["another turn or tilt of the modules, whose beam leans to one side"]
    else:
        told = ["less tilt"] if _tilted(simulation.cabinet) else []
    return [*told, "outer rows nearer the returns", "whiter returns"]


def _against_falling_off(cabinet: Cabinet, edge_lit: list[Mount]) -> list[str]:
    missing = [OPPOSITE[side] for side in edge_lit if OPPOSITE[side] not in edge_lit]
    told = []
    if missing:
        told.append(f"rows on the {' and the '.join(missing)} return too")
    elif len(edge_lit) == 2:
        # Light from the longer sides has the shorter way to go.
        across = cabinet.box.width if "left" in edge_lit else cabinet.box.height
        other = cabinet.box.height if "left" in edge_lit else cabinet.box.width
        nearer = "bottom and the top" if "left" in edge_lit else "left and the right"
        if other < across:
            told.append(f"rows on the {nearer} return, which are nearer to each other")
    back = [] if cabinet.double_sided else ["rows nearer the back"]
    return [*told, "another tilt", *back, "whiter returns" if cabinet.double_sided else "a whiter inside"]


def _dots(simulation: Simulation) -> bool:
    """Whether modules show one by one along the rows."""
    even = simulation.evenness
    return (even.ripple_x if simulation.cabinet.direction == "horizontal" else even.ripple_y) > DOTS


def _far_apart(simulation: Simulation) -> bool:
    """Whether modules along rows on the back are so far apart that they, and not the edges, may show along the rows."""
    cabinet = simulation.cabinet
    pitches = [
        float(group.modules.pitch)
        for group in cabinet.groups
        if isinstance(group, Rows)
        and not cabinet.mounting(group).on_return
        and group.modules.pitch is not None
    ]
    throws = cabinet.throws(simulation.worse.side)
    return len(throws) > 0 and max(pitches, default=0.0) > FAR_APART * throws.min()


def _leans_to_brighter_side(simulation: Simulation) -> bool:
    """Whether a side of the face is darker, and light of beams that lean to one side goes to the one opposite."""
    modules = simulation.cabinet.towards(simulation.worse.side)
    # Of each kind the mean of its light's directions; beside the axis that is 0 for symmetry.
    leans = [np.matmul(*light_by_direction(kind.beam)) for kind in modules.kinds]
    if not any(math.hypot(mean[0], mean[1]) > LEANS for mean in leans):
        return False
    each = (np.array(leans)[modules.kind][:, :, None] * modules.frames).sum(axis=1)
    x, y, _ = modules.flux @ each
    face = simulation.luminance
    x0, x1, y0, y1 = face.bounds
    share = (np.arange(EDGE_POINTS) + 0.5) / EDGE_POINTS
    across, up = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
    left, right = (face.at(np.full_like(up, at), up).mean() for at in (x0, x1))
    bottom, top = (face.at(across, np.full_like(across, at)).mean() for at in (y0, y1))
    return any(
        (ahead > ONE_SIDED * behind and to > 0) or (behind > ONE_SIDED * ahead and to < 0)
        for ahead, behind, to in ((right, left, x), (top, bottom, y))
    )


def _or(ways: Sequence[str]) -> str:
    return f"{', '.join(ways[:-1])}{',' if len(ways) > 2 else ''} or {ways[-1]}"


def _tilted(cabinet: Cabinet) -> bool:
    """Whether modules on the back or between faces lean strongly."""
    mountings = [cabinet.mounting(group) for group in cabinet.groups]
    return any(not one.on_return and abs(one.tilt) >= STRONG_TILT * (1 - 1e-9) for one in mountings)


def _farther(simulation: Simulation) -> list[str]:
    """What helps a face that modules are nearer to than they need be: those raised off the back, or off the middle."""
    cabinet, side = simulation.cabinet, simulation.worse.side
    if not cabinet.double_sided:
        on_back = [group for group in cabinet.groups if not cabinet.mounting(group).on_return]
        raised = max((float(group.emitters().z.max()) for group in on_back), default=0.0)
        return ["modules farther from the face (a smaller z)"] if raised > DEEP * cabinet.box.depth else []
    throws = cabinet.throws(side)
    if len(throws) == 0 or not throws.min() < 0.499 * cabinet.box.depth:
        return []
    return [f"modules farther from the {side} face"]
