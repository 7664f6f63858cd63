"""The face: the translucent front of the cabinet, and the rear where it is double-sided."""

from __future__ import annotations

from dataclasses import dataclass

from lumsim.errors import InputError

__all__ = ["Face"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A diffusing sheet. Of the light that arrives, τ goes through, ρ back inside, the rest stays in the sheet.

    A coloured film in front lets a share of what comes through the sheet out and keeps the rest; what it throws
    back is not modelled.
    """

    transmittance: float
    """τ for diffuse light from inside [1]"""
    reflectance: float
    """ρ of the inner side for diffuse light [1]"""
    visible_border: float = 0.0
    """strip along every side that the retainer hides [m]"""
    film_transmittance: float = 1.0
    """share of what comes through the sheet that a film in front lets out; 1 without a film [1]"""

    def __post_init__(self) -> None:
        if not 0 < self.transmittance <= 1:
            raise InputError(f"transmittance must be more than 0 and at most 1, got {self.transmittance:g}")
        if not 0 <= self.reflectance <= 1:
            raise InputError(f"reflectance must be from 0 to 1, got {self.reflectance:g}")
        if self.transmittance + self.reflectance > 1 + 1e-12:
            raise InputError(
                f"transmittance {self.transmittance:g} and reflectance {self.reflectance:g} add up to more than 1"
            )
        if not self.visible_border >= 0:
            raise InputError(f"visible border must be 0 m or more, got {self.visible_border:g} m")
        if not 0 < self.film_transmittance <= 1:
            raise InputError(
                f"film_transmittance must be more than 0 and at most 1, got {self.film_transmittance:g}"
            )

    @property
    def outward_transmittance(self) -> float:
        """Share of the arriving light that leaves in front, through sheet and film. [1]"""
        return self.transmittance * self.film_transmittance

    @property
    def film_absorptance(self) -> float:
        """Share of the arriving light that comes through the sheet and stays in the film. [1]"""
        return self.transmittance * (1 - self.film_transmittance)

    @property
    def absorptance(self) -> float:
        """Share of the arriving light that stays in the sheet. [1]"""
        return max(0.0, 1 - self.transmittance - self.reflectance)
