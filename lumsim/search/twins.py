"""Which modules are mirror images of others, so that one's light tells the other's."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.symmetry import SAME_PLACE, sources_in_mirror

__all__ = ["Twins", "twins"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Twins:
    """Which modules are mirror images of others, so that one's light tells the other's."""

    first: NDArray[np.intp]
    """(n,) the one that stands for each module"""
    flipped: NDArray[np.bool_]
    """(n, 2) whether its light is to be turned round, left to right and bottom to top"""

    @property
    def alone(self) -> NDArray[np.intp]:
        """Those that stand for themselves."""
        return np.unique(self.first)


def twins(cabinet: Cabinet) -> Twins:
    """Find the mirror images among a cabinet's modules.

    Parameters
    ----------
    cabinet : Cabinet
    """
    box, emitters = cabinet.box, cabinet.emitters()
    n = len(emitters)
    first, flipped = np.arange(n), np.zeros((n, 2), dtype=bool)
    alike = (
        box.left_return_reflectance == box.right_return_reflectance,
        box.bottom_return_reflectance == box.top_return_reflectance,
    )
    for axis, extent in ((0, box.width), (1, box.height)):
        if not (alike[axis] and sources_in_mirror(cabinet.sources(), axis, extent)):
            continue
        image = emitters.places
        image[:, axis] = extent - image[:, axis]
        # Of several modules in one place none stands for another.
        same = np.max(np.abs(image[:, None] - emitters.places), axis=-1) <= SAME_PLACE
        found = np.where(same.sum(axis=1) == 1, np.argmax(same, axis=1), np.arange(n))
        for one, other in enumerate(found.tolist()):
            if first[other] < first[one]:
                first[one] = first[other]
                flipped[one] = flipped[other]
                flipped[one, axis] ^= True
    return Twins(first=first, flipped=flipped)
