"""What the eye may notice of a lit face from the distances that a study names: information, and no verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.pitches import OnePitch, module_pitch_of, row_pitch_of
from lumsim.lit_face import LitFace
from lumsim.uniformity.gratings import modulation_along, whole_periods
from lumsim.uniformity.threshold import SeenAt, SeenFace, seen_at, stretch_above

__all__ = ["Grating", "Of", "Viewed", "viewed"]

Of = Literal["rows", "modules"]
"""What repeats."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grating:
    """Rows, or modules along them, as a grating on one face."""

    of: Of
    pitch: float | None = None
    """None where it is not told [m]"""
    modulation: float | None = None
    """Michelson, of the first harmonic; None where it is not told [1]"""
    why_not: str = ""
    """of what is not told"""
    seen: tuple[SeenAt, ...] = ()
    """from each distance, rising"""
    above: tuple[tuple[float, float], ...] = ()
    """stretches between the nearest and the farthest distance where it is at or above the threshold [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewed:
    """One face as it is looked at."""

    face: SeenFace
    distances: tuple[float, ...]
    """rising [m]"""
    gratings: tuple[Grating, Grating]
    """rows, then modules"""


def viewed(cabinet: Cabinet, lit: LitFace, distances: tuple[float, ...]) -> Viewed:
    """Hold a face's rows and modules against the threshold of seeing.

    Parameters
    ----------
    cabinet : Cabinet
        That the face is of.
    lit : LitFace
    distances : tuple of float
        At least one, rising. [m]
    """
    face = SeenFace(width=lit.visible.width, height=lit.visible.height, luminance=lit.evenness.mean)
    return Viewed(
        face=face,
        distances=distances,
        gratings=(
            _grating("rows", row_pitch_of(cabinet), lit, face, distances),
            _grating("modules", module_pitch_of(cabinet), lit, face, distances),
        ),
    )


def _grating(of: Of, found: OnePitch, lit: LitFace, face: SeenFace, distances: tuple[float, ...]) -> Grating:
    pitch = found.pitch
    if pitch is None:
        return Grating(of=of, why_not=found.why_not)
    if whole_periods(lit.luminance, found.along, pitch) < 1:
        return Grating(of=of, pitch=pitch, why_not="the visible face is less than two pitches long")
    modulation = modulation_along(lit.luminance, found.along, pitch)
    stretch = None
    if distances[0] < distances[-1]:
        stretch = stretch_above(face, pitch, modulation, distances[0], distances[-1])
    return Grating(
        of=of,
        pitch=pitch,
        modulation=modulation,
        seen=tuple(seen_at(face, pitch, modulation, distance) for distance in distances),
        above=() if stretch is None else (stretch,),
    )
