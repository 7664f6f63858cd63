"""What every beam tells, whatever its shape."""

from __future__ import annotations

from typing import NamedTuple, Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Beam", "Term"]

Array = NDArray[np.float64]


class Term(NamedTuple):
    """One cosine power of a sum of them."""

    share: float
    """of the beam's flux; may be below 0, where others make up for it [1]"""
    exponent: float
    """m of cosᵐθ [1]"""


@runtime_checkable
class Beam(Protocol):
    """How a module's intensity falls off from its axis.

    Intensities are told for one lumen of the whole beam, so that a module of flux Φ has Φ times as many candela.
    """

    @property
    def terms(self) -> tuple[Term, ...]:
        """The sum of cosine powers that it is, shares adding up to 1; empty where it is none."""

    @property
    def axial(self) -> bool:
        """Whether it is alike all round its axis."""

    @property
    def forward_share(self) -> float:
        """Share of its flux within 90 degrees of the axis. [1]"""

    @property
    def sharpness(self) -> float:
        """Exponent of a cosine power whose light changes over lengths as short as this one's. [1]"""

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity in a direction, for one lumen.

        Parameters
        ----------
        theta : array
            From the axis, from 0 to π. [rad]
        phi : array of the same shape
            Around it, any. [rad]

        Returns
        -------
        array of the same shape
            [cd/lm]
        """
