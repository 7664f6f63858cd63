"""What the two mirrors of a box show."""

from __future__ import annotations

from lumsim.light.surfaces import Surfaces


def mirrored_in_x(values: Surfaces) -> Surfaces:
    """What a mirror across the middle of the width shows."""
    return Surfaces(
        values.back[:, ::-1],
        values.face[:, ::-1],
        values.bottom[:, ::-1],
        values.top[:, ::-1],
        values.right,
        values.left,
    )


def mirrored_in_y(values: Surfaces) -> Surfaces:
    """What a mirror across the middle of the height shows."""
    return Surfaces(
        values.back[::-1],
        values.face[::-1],
        values.top,
        values.bottom,
        values.left[:, ::-1],
        values.right[:, ::-1],
    )
