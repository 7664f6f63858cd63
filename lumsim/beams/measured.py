"""Photometric file → beam: the whole web of angles from the part of it that a file tells."""

from __future__ import annotations

import math
from pathlib import PurePath

import numpy as np

from lumsim.beams.beam import Array
from lumsim.beams.lm63 import PhotometricFile
from lumsim.beams.webs import Web

__all__ = ["whole_web"]


def whole_web(file: PhotometricFile) -> Web:
    """The beam that a photometric file measured, all round.

    What a file leaves out by symmetry is filled in: type C from 0 to 0, 90 or 180 degrees, or from 90 to 270;
    types A and B from 0 on.

    Parameters
    ----------
    file : PhotometricFile
    """
    vertical, horizontal, candela = file.vertical, file.horizontal, file.candela
    if file.photometric_type == "C":
        horizontal, candela = _all_round(horizontal, candela)
        if horizontal[-1] < 360:
            horizontal = np.append(horizontal, 360.0)
            candela = np.concatenate([candela, candela[:1]])
    else:
        if horizontal[0] == 0 and len(horizontal) > 1:
            horizontal, candela = _mirrored(horizontal, candela, about=0.0)
        if vertical[0] == 0 and len(vertical) > 1:
            vertical, turned = _mirrored(vertical, candela.T, about=0.0)
            candela = turned.T
    return Web(
        photometric_type=file.photometric_type,
        vertical=np.radians(vertical),
        horizontal=np.radians(horizontal),
        values=candela,
        name=PurePath(file.name).name,
    )


def _all_round(horizontal: Array, candela: Array) -> tuple[Array, Array]:
    """Type C from 0 to 360 degrees."""
    first, last = horizontal[0], horizontal[-1]
    if len(horizontal) == 1:
        return np.array([0.0, 360.0]), np.concatenate([candela, candela])
    if math.isclose(first, 90) and math.isclose(last, 270):
        # Mirrored about the plane through 90 and 270 degrees: C and 180 − C are alike.
        turned = np.concatenate([horizontal, 540 - horizontal[-2::-1]])
        turned_values = np.concatenate([candela, candela[-2::-1]])
        order = np.argsort(turned[:-1] % 360, kind="stable")
        angles, values = (turned[:-1] % 360)[order], turned_values[:-1][order]
        if angles[0] > 0:
            # C = 0 lies between the last angle and the first.
            share = (360 - angles[-1]) / (angles[0] + 360 - angles[-1])
            at_zero = values[-1] * (1 - share) + values[0] * share
            angles, values = np.append(0.0, angles), np.concatenate([at_zero[None], values])
        return np.append(angles, 360.0), np.concatenate([values, values[:1]])
    while horizontal[-1] < 181 and horizontal[-1] in {90.0, 180.0}:
        horizontal, candela = _mirrored(horizontal, candela, about=float(horizontal[-1]))
    return horizontal, candela


def _mirrored(angles: Array, values: Array, *, about: float) -> tuple[Array, Array]:
    """Angles on one side of a mirror, and on the other too; values go with the first axis."""
    other = 2 * about - angles[::-1]
    if about == angles[0]:
        return np.concatenate([other[:-1], angles]), np.concatenate([values[:0:-1], values])
    return np.concatenate([angles, other[1:]]), np.concatenate([values, values[-2::-1]])
