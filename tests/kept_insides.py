"""The insides of boxes, kept from test to test: most of a small cabinet's simulation is the exchange of its box."""

from __future__ import annotations

from functools import lru_cache

from lumsim.cabinet.box import Box
from lumsim.light import interior, surfaces
from lumsim.light.interior import Interior

__all__ = ["interior_of"]


def interior_of(box: Box, *, patches_in_depth: int) -> Interior:
    """What ``lumsim.light.interior.interior_of`` returns; of boxes of the same sizes the same.

    Parameters
    ----------
    box : Box
    patches_in_depth : int
        How fine. [1]
    """
    # A test may set what meshes are allowed.
    allowed = (surfaces.MOST_IN_PLANE, surfaces.MOST_AT_CORNER)
    return _kept(box.width, box.height, box.depth, patches_in_depth, allowed)


@lru_cache(maxsize=4)
def _kept(width: float, height: float, depth: float, patches: int, allowed: tuple[int, int]) -> Interior:
    return interior.interior_of(Box(width=width, height=height, depth=depth), patches_in_depth=patches)
