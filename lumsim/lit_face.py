"""One lit face, judged: what a simulation tells of each side that light leaves by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Rectangle, Side
from lumsim.cabinet.face import Face
from lumsim.cabinet.orientation import Direction
from lumsim.light.direct import DirectLight
from lumsim.light.gathering import ReflectedLight
from lumsim.photometry import face_luminance
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.numerical_error import NumericalError
from lumsim.uniformity.requirement import Requirement, Verdict, judge
from lumsim.uniformity.spots import Spots

__all__ = ["LitFace"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LitFace:
    """One lit face, judged. Places are as seen from in front, also on the rear face."""

    side: Side
    direction: Direction
    """that its rows run in"""
    face: Face
    visible: Rectangle
    """the part that the retainer leaves free [m]"""
    direct: DirectLight
    reflected: ReflectedLight | None
    """None: direct light only"""
    luminance: FaceMap
    """of the visible face, seen from outside [cd/m²]"""
    evenness: Evenness
    find_spots: Callable[[], Spots]
    """looks for them, once"""
    verdict: Verdict
    """empty where nothing is required"""
    direct_share: float
    """of the light that arrives on the visible face [1]"""
    find_error: Callable[[], NumericalError]
    """works out how far off the numbers may be, once"""
    arriving: float
    """on the whole inner side, return to return [lm]"""
    arriving_visible: float
    """of it, on the part that the retainer leaves free [lm]"""

    @property
    def spots(self) -> Spots:
        """Hot and dark spots and stripes; looked for when they are first asked for."""
        return self.find_spots()

    @property
    def error(self) -> NumericalError:
        """How far off the numbers may be; worked out when it is first asked for."""
        return self.find_error()

    @property
    def through_face(self) -> float:
        """Out through the whole face, sheet and film, return to return. [lm]"""
        return self.face.outward_transmittance * self.arriving

    @property
    def leaving_visible_face(self) -> float:
        """Out through the part that the retainer leaves free. [lm]"""
        return self.face.outward_transmittance * self.arriving_visible

    @property
    def absorbed_face(self) -> float:
        """In the sheet. [lm]"""
        return self.face.absorptance * self.arriving

    @property
    def absorbed_film(self) -> float:
        """In the film in front. [lm]"""
        return self.face.film_absorptance * self.arriving

    def reflected_at(self, x: Array, y: Array) -> Array:
        """Illuminance on the face's inner side from light thrown back, in lux; 0 where it is not followed."""
        return np.zeros(np.shape(x)) if self.reflected is None else self.reflected.illuminance(x, y)

    def illuminance(self, luminance: float) -> float:
        """Illuminance behind a point of a given luminance, in lux."""
        return luminance / face_luminance(1.0, self.face.outward_transmittance)

    def scaled(self, factor: float, cabinet: Cabinet, requirement: Requirement) -> LitFace:
        """Return the same face of a cabinet whose modules all give a factor times the lumens, judged anew."""
        even = self.evenness.scaled(factor)
        return replace(
            self,
            direct=DirectLight(cabinet.sources(self.side), cabinet.box.depth),
            reflected=None if self.reflected is None else self.reflected.scaled(factor),
            luminance=self.luminance.scaled(factor),
            evenness=even,
            find_spots=cache(lambda: self.spots.scaled(factor)),
            verdict=judge(even, requirement),
            arriving=self.arriving * factor,
            arriving_visible=self.arriving_visible * factor,
        )
