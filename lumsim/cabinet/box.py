"""The box: its inside sizes and how much its walls reflect."""

from __future__ import annotations

from dataclasses import dataclass, fields

from lumsim.errors import InputError

__all__ = ["LARGEST_SIZE", "REFLECTANCES", "Box", "Obstruction"]

LARGEST_SIZE = 100.0
"""The largest width, height or depth that is taken. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The inside of a cabinet: a closed box with the face as its front, a back or a second face as its rear."""

    width: float
    """inside, along x [m]"""
    height: float
    """inside, along y [m]"""
    depth: float
    """inside, back to face or face to face, along z [m]"""
    back_reflectance: float = 0.85
    """diffuse reflectance of the back; a double-sided cabinet has none [1]"""
    left_return_reflectance: float = 0.85
    """diffuse reflectance of the return at x = 0 [1]"""
    right_return_reflectance: float = 0.85
    """diffuse reflectance of the return at x = width [1]"""
    bottom_return_reflectance: float = 0.85
    """diffuse reflectance of the return at y = 0 [1]"""
    top_return_reflectance: float = 0.85
    """diffuse reflectance of the return at y = height [1]"""

    def __post_init__(self) -> None:
        for name in ("width", "height", "depth"):
            size = getattr(self, name)
            if not 0 < size <= LARGEST_SIZE:
                raise InputError(f"{name} must be more than 0 and at most {LARGEST_SIZE:g} m, got {size:g} m")
        for name in REFLECTANCES:
            value = getattr(self, name)
            if not 0 <= value <= 1:
                raise InputError(f"{name} must be from 0 to 1, got {value:g}")

    @property
    def return_reflectances(self) -> tuple[float, float, float, float]:
        """Diffuse, of the left, the right, the bottom and the top return. [1]"""
        return (
            self.left_return_reflectance,
            self.right_return_reflectance,
            self.bottom_return_reflectance,
            self.top_return_reflectance,
        )


REFLECTANCES = tuple(field.name for field in fields(Box) if field.name.endswith("_reflectance"))
"""Fields of ``Box``: of the back, and of each return."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstruction:
    """Something inside the cabinet that could cast a shadow; its shadow is not computed yet."""

    x: float
    """left side [m]"""
    y: float
    """lower side [m]"""
    z: float
    """side nearest the back, or the rear face [m]"""
    width: float
    """along x [m]"""
    height: float
    """along y [m]"""
    depth: float
    """along z [m]"""

    def __post_init__(self) -> None:
        for name in ("width", "height", "depth"):
            size = getattr(self, name)
            if not size > 0:
                raise InputError(f"an obstruction's {name} must be more than 0 m, got {size:g} m")
