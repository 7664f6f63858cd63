"""Illuminance on the face from sources of any beam that point anywhere."""

from __future__ import annotations

import numpy as np

from lumsim.cabinet.sources import Sources
from lumsim.light.surfaces import Array

__all__ = ["ShapedLight"]


class ShapedLight:
    """Illuminance on the face at z = depth from sources whose light has no closed form.

    Parameters
    ----------
    sources : Sources
    depth : float
        [m]
    """

    def __init__(self, sources: Sources, depth: float) -> None:
        self._sources = sources.only((sources.frames[:, 2, 2] > -1) & (depth - sources.z > 0))
        self._depth = depth

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at (n,) points of the face. [lx]"""
        s = self._sources
        total = np.zeros(x.shape)
        for k in range(len(s)):
            h = self._depth - s.z[k]
            d = np.stack([x - s.x[k], y - s.y[k], np.full(x.shape, h)], axis=-1)
            r = np.linalg.norm(d, axis=-1)
            a, b, w = s.frames[k] @ d.T
            theta, phi = np.arccos(np.clip(w / r, -1, 1)), np.arctan2(b, a)
            towards = np.where(w > 0, s.halves[s.half[k]].intensity(np.minimum(theta, np.pi / 2), phi), 0.0)
            total += s.flux[k] * towards * h / r**3
        return total
