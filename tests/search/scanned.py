"""Small cabinets whose row pitch is searched, and the same looked for by trying every pitch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Direction, Rows
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.requirement import Requirement, judge
from tests.cabinets import DIRECT

MODULE = Module(name="standard", lumens=100.0)


def cabinet(
    pitch: Fraction | float,
    *,
    height: float = 0.6,
    width: float = 0.3,
    depth: float = 0.15,
    border: float = 0.02,
    module_pitch: float = 0.1,
    direction: Direction = "horizontal",
) -> Cabinet:
    """Fill a cabinet with rows at a pitch. [m]"""
    across, along = (height, width) if direction == "horizontal" else (width, height)
    return Cabinet(
        box=Box(width=width, height=height, depth=depth),
        face=Face(transmittance=0.4, reflectance=0.4, visible_border=border),
        groups=(
            Rows(
                module=MODULE,
                direction=direction,
                rows=place(across, pitch=pitch),
                modules=place(along, pitch=module_pitch),
            ),
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanned:
    """Every pitch of a scan with how even its face is."""

    step: float
    """between pitches [m]"""
    pitches: list[float]
    """[m]"""
    evenness: list[Evenness]

    def met(self, requirement: Requirement) -> list[float]:
        """Return the pitches that meet a requirement. [m]"""
        return [
            pitch
            for pitch, even in zip(self.pitches, self.evenness, strict=True)
            if judge(even, requirement).met
        ]

    def least_excess(self, requirement: Requirement) -> float:
        """Return the least of the worst actual over limit; all limits are "at most". [1]"""
        return min(
            max(float(getattr(even, name)) / limit for name, limit in requirement.limits.items())
            for even in self.evenness
        )


def scan(*, depth: float, step: float, narrowest: float, widest: float) -> Scanned:
    """Light the cabinet of a depth at every pitch from the narrowest to the widest. [m]"""
    pitches = [float(pitch) for pitch in np.arange(narrowest, widest, step)]
    return Scanned(
        step=step,
        pitches=pitches,
        evenness=[simulate(cabinet(pitch, depth=depth), lighting=DIRECT).evenness for pitch in pitches],
    )
