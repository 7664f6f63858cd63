"""What may be asked of a search: of what there are to be fewest, and between what lengths to look."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from lumsim.cabinet.rows import Direction

__all__ = ["EdgeAsked", "FewestAsked", "FewestOf", "PlaneAsked"]

FewestOf = Literal["modules", "watts", "rows"]

Range = tuple[float, float]
"""The least and the most. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FewestAsked:
    """What may be varied, and of what there are to be fewest."""

    of: FewestOf = "modules"
    row_pitch: Range | None = None
    """None: see ``fewest.usual_pitches``"""
    module_pitch: Range | None = None
    """None: see ``fewest.usual_pitches``"""
    edge_distance: Range | None = None
    """of the outermost rows and modules to the returns; None: from a quarter to three quarters of their pitch, as whole
    rows fall where only a pitch is given"""
    directions: tuple[Direction, ...] | None = None
    """None: the group's own"""
    staggered: tuple[bool, ...] | None = None
    """whether each row's modules may be midway between its neighbours'; None: as the group's are"""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeAsked:
    """The best edge distance, of how many rows and between what lengths."""

    count: int | None = None
    """None: as many as there are [1]"""
    within: Range | None = None
    """None: see ``edge_distance.best_edge_distance``"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneAsked:
    """Evenness over the plane of row pitch and depth."""

    pitches: tuple[Fraction, Fraction] | None = None
    """least and most; None: see ``plane.usual_plane`` [m]"""
    depths: tuple[Fraction, Fraction] | None = None
    """likewise [m]"""
    pitch_count: int = 20
    """[1]"""
    depth_count: int = 20
    """[1]"""
