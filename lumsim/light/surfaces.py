"""The inside of the box cut into patches: six surfaces, each an even mesh along the cabinet's width and height.

Back and face are cut into ``columns`` by ``rows`` equal patches, each return along its length like them and
along the depth at ``z``. Equal patches make the exchange between surfaces depend on offsets only, which is
what Fourier transforms need; along the depth, where they are not used, the patches are narrower near back and
face, where light on a return changes fastest.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import TooLargeError

__all__ = ["Array", "Mesh", "Surfaces", "mesh_of"]

Array = NDArray[np.float64]

LEAST_ALONG = 2.4
"""Patches along the shorter side of the face, at least, for each patch in the depth. [1]"""

MOST_IN_PLANE = 500_000
"""Patches of the face, at most. [1]"""

MOST_AT_CORNER = 100_000_000
"""Pairs of patches of two adjacent returns, at most: 800 MB. [1]"""

NEAR_EDGES = 0.02
"""Widest patch at ten patches in the depth: an inch from a return, light changes over no less. [m]"""

MOST_NEAR_EDGES = 150_000
"""Patches of the face from which that no longer holds: an edge is then a small part of the sign. [1]"""

GRADING = 0.5
"""How much narrower patches along the depth are at its ends: by this share of the even step. [1]"""


class Surfaces(NamedTuple):
    """One array for each surface; back and face [y, x], returns [z, along]."""

    back: Array
    """z = 0; with two faces the rear face"""
    face: Array
    """z = depth"""
    bottom: Array
    """y = 0 [z, x]"""
    top: Array
    """y = height [z, x]"""
    left: Array
    """x = 0 [z, y]"""
    right: Array
    """x = width [z, y]"""

    def each(self, function: Callable[..., Array], *others: Surfaces) -> Surfaces:
        """Apply a function to each surface and its fellows in others."""
        return Surfaces(*(function(*arrays) for arrays in zip(self, *others, strict=True)))

    def mirrored(self) -> Surfaces:
        """The same seen in a mirror midway along the depth: back and face exchanged, layers the other way.

        What is sent out at the rear face becomes what is sent out at the face, for a mesh that is symmetric.
        """
        return Surfaces(
            self.face, self.back, self.bottom[::-1], self.top[::-1], self.left[::-1], self.right[::-1]
        )

    def joined(self) -> Array:
        """All values in one vector."""
        return np.concatenate([values.ravel() for values in self])

    def split(self, vector: Array) -> Surfaces:
        """A vector cut into arrays of these shapes."""
        ends = np.cumsum([values.size for values in self])[:-1]
        return Surfaces(
            *(part.reshape(values.shape) for part, values in zip(np.split(vector, ends), self, strict=True))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """How the inside is cut."""

    width: float
    """[m]"""
    height: float
    """[m]"""
    depth: float
    """[m]"""
    columns: int
    """along the width; even, for the box is folded upon its middle"""
    rows: int
    """along the height; even"""
    z: tuple[float, ...]
    """where returns are cut along the depth, both ends included, symmetric [m]"""

    @property
    def step_x(self) -> float:
        """Along the width. [m]"""
        return self.width / self.columns

    @property
    def step_y(self) -> float:
        """Along the height. [m]"""
        return self.height / self.rows

    @property
    def edges_x(self) -> Array:
        """(columns + 1,) where patches meet along the width. [m]"""
        return np.linspace(0.0, self.width, self.columns + 1)

    @property
    def edges_y(self) -> Array:
        """(rows + 1,) where patches meet along the height. [m]"""
        return np.linspace(0.0, self.height, self.rows + 1)

    @property
    def patches(self) -> int:
        """All of them. [1]"""
        layers = len(self.z) - 1
        return 2 * self.columns * self.rows + 2 * layers * (self.columns + self.rows)

    def areas(self) -> Surfaces:
        """Area of each patch. [m²]"""
        plane = np.full((self.rows, self.columns), self.step_x * self.step_y)
        layers = np.diff(np.asarray(self.z))[:, None]
        along_x = np.repeat(layers * self.step_x, self.columns, axis=1)
        along_y = np.repeat(layers * self.step_y, self.rows, axis=1)
        return Surfaces(plane, plane.copy(), along_x, along_x.copy(), along_y, along_y.copy())


def mesh_of(width: float, height: float, depth: float, *, patches_in_depth: int) -> Mesh:
    """Cut a box into patches about as wide as ``depth / patches_in_depth``, in deep boxes narrower.

    Parameters
    ----------
    width, height, depth : float
        [m]
    patches_in_depth : int
        Patches of the face's step that the depth would hold; half as many again cut the returns' depth. [1]

    Raises
    ------
    TooLargeError
        Where the exchange would not fit in memory.
    """
    near_edges = max(10 * NEAR_EDGES / patches_in_depth, math.sqrt(width * height / MOST_NEAR_EDGES))
    narrow = min(width, height) / (LEAST_ALONG * patches_in_depth)
    step = min(depth / patches_in_depth, narrow, near_edges)
    # In a box deeper than it is wide the returns are most of the inside: layers as narrow as its patches.
    layers = max(3 * patches_in_depth // 2, math.ceil(0.75 * depth / narrow))
    even = np.linspace(0, 1, layers + 1)
    z = depth * (even - GRADING * np.sin(2 * math.pi * even) / (2 * math.pi))
    z[0], z[-1] = 0.0, depth
    mesh = Mesh(
        width=width,
        height=height,
        depth=depth,
        columns=2 * math.ceil(width / step / 2 - 1e-9),
        rows=2 * math.ceil(height / step / 2 - 1e-9),
        z=tuple(float(one) for one in z),
    )
    corner = layers**2 * mesh.columns * mesh.rows
    if mesh.columns * mesh.rows > MOST_IN_PLANE or corner > MOST_AT_CORNER:
        memory = (1.5 * corner + 80 * mesh.patches) * 8 / 1e9
        raise TooLargeError(
            f"a box of {width:.4g} by {height:.4g} by {depth:.4g} m needs {mesh.patches / 1e6:.3g} million patches "
            f"for the light thrown back, some {memory:.2g} GB: it is too large and shallow. "
            "Judge a smaller part of the sign, or leave reflected light out (--direct-only)"
        )
    return mesh
