"""A lit face on a screen: luminance to the greys that a screen shows, several faces at one exposure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError

if TYPE_CHECKING:
    # Curves are shown at an exposure too, and need nothing of what lights a face.
    from lumsim.lit_face import LitFace

__all__ = ["RATIOS_ONLY", "Exposure"]

Array = NDArray[np.float64]

RATIOS_ONLY: Final = "A screen or a print shows ratios of luminance, not how bright a sign is."
"""What any picture of this kind must say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """Which luminance a screen shows as its white; a screen shows ratios true, not how bright a sign is."""

    white: float
    """[cd/m²]"""

    def __post_init__(self) -> None:
        if not (np.isfinite(self.white) and self.white > 0):
            raise InputError(f"a screen's white must stand for more than 0 cd/m², got {self.white:g} cd/m²")

    @staticmethod
    def of(faces: Iterable[LitFace]) -> Exposure:
        """The exposure at which the brightest point of several faces is just white.

        Parameters
        ----------
        faces : iterable of LitFace
            At least one.
        """
        return Exposure(white=max(lit.evenness.brightest.value for lit in faces))

    def greys(self, luminance: Array) -> Array:
        """Greys of sRGB, 0 black to 1 white, whose light on a screen stands in the ratios of the luminance given.

        Parameters
        ----------
        luminance : array
            [cd/m²]; above the white it is white.

        References
        ----------
        .. [1] IEC 61966-2-1:1999, sRGB: V = 12.92 L up to L = 0.0031308, above it 1.055 L^(1/2.4) − 0.055.
        """
        L = np.clip(np.asarray(luminance, dtype=np.float64) / self.white, 0.0, 1.0)
        return np.where(L <= 0.0031308, 12.92 * L, 1.055 * np.maximum(L, 0.0031308) ** (1 / 2.4) - 0.055)
