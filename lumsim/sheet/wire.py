"""Copper conductors: their area from a gauge number or in mm², and their resistance at a temperature.

    R/l = ρ₂₀ / A · [1 + α₂₀ (T − 20 °C)] · s

s is the resistance over that of a solid conductor of the same area. Strands lie in helices and are longer than their
wire: the standard increment is 2 % [3]_; the two columns of table 8 [4]_ differ by 2.0 to 2.6 % for AWG 18 to 12, 2.3 %
in the mean, and so much is taken. A wire sold by its mm² is held by its standard [5]_ to a greatest resistance and not
to an area, and may have 4 to 16 % more than that area would: that greatest resistance is taken.

References
----------
.. [1] ASTM B258: diameter 0.005 in · 92^((36 − n)/39) of gauge n; 0.127 mm for 0.005 in.
.. [2] International Annealed Copper Standard: 0.017241 Ω·mm²/m and 0.00393 per degree at 20 °C.
.. [3] ASTM B496, electrical resistance: the increment of stranding, shared by ASTM B8 (that from memory).
.. [4] NEC chapter 9, table 8, uncoated copper, 75 °C.
.. [5] IEC 60228, tables of classes 1, 2 and 5: greatest resistance at 20 °C of plain copper.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from lumsim.errors import InputError

__all__ = ["IACS", "STRANDED", "TEMPERATURE", "Wire", "parse_wire"]

IACS: Final = 0.017241e-6
"""Resistivity of annealed copper at 20 °C. [Ω·m]"""

ALPHA: Final = 0.00393
"""Of that resistance more for each degree above 20 °C. [1/K]"""

STRANDED: Final = 1.023
"""Resistance of seven strands over that of a solid conductor: mean of table 8's two columns, AWG 18 to 12. [1]"""

TEMPERATURE: Final = 75.0
"""Of the conductor, unless said: that of table 8. [°C]"""

COLDEST, HOTTEST = -60.0, 250.0
"""Between which resistance rises evenly enough. [°C]"""

FINEST, THICKEST = 40, -3
"""Gauge numbers that are known; 0, −1, −2 and −3 are written 1/0, 2/0, 3/0 and 4/0."""

# Nominal area [mm²]: greatest resistance at 20 °C of solid (class 1) and of flexible (class 5) copper [Ω/km].
METRIC: Final[Mapping[float, tuple[float, float]]] = MappingProxyType(
    {
        0.5: (36.0, 39.0),
        0.75: (24.5, 26.0),
        1.0: (18.1, 19.5),
        1.5: (12.1, 13.3),
        2.5: (7.41, 7.98),
        4.0: (4.61, 4.95),
        6.0: (3.08, 3.30),
        10.0: (1.83, 1.91),
        16.0: (1.15, 1.21),
    }
)

_HOW: Final = 'write it like "18 AWG", "1/0 AWG" or "0.75 mm²"'
_GAUGE: Final = r"(?P<{0}>[0-9]+(?:/0)?)"
_AWG: Final = re.compile(rf"(?:{_GAUGE.format('before')} *awg|awg *{_GAUGE.format('after')})", re.IGNORECASE)
_MM2: Final = re.compile(r"(?P<area>[0-9]*\.[0-9]+|[0-9]+) *mm(?:\^?2)", re.IGNORECASE)
_COMMA: Final = re.compile(r"(?P<whole>[0-9]+),(?P<part>[0-9]+) *mm\^?2", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One copper conductor.

    Raises
    ------
    InputError
        For an area or a temperature that cannot be.
    """

    name: str
    """as it is bought: ``18 AWG``, ``0.75 mm²``"""
    area: float
    """of copper, as its name says [m²]"""
    temperature: float = TEMPERATURE
    """of the conductor [°C]"""
    over_solid: float = 1.0
    """s, its resistance over that of a solid conductor of that area [1]"""

    def __post_init__(self) -> None:
        if not 0 < self.area < math.inf:
            raise InputError(f"the area of a wire must be more than 0 mm², got {self.area * 1e6:g} mm²")
        if not COLDEST <= self.temperature <= HOTTEST:
            raise InputError(
                f"the temperature of a wire must be from {COLDEST:g} to {HOTTEST:g} °C, got {self.temperature:g} °C"
            )
        if not 1 <= self.over_solid < math.inf:
            raise InputError(
                f"a wire has at least the resistance of a solid one of its area, got {self.over_solid:g} of it"
            )

    @classmethod
    def of_gauge(cls, gauge: int, *, temperature: float = TEMPERATURE, stranded: bool = True) -> Wire:
        """Return the wire of an AWG number, from 40 down to 0, and −1, −2, −3 for 2/0, 3/0, 4/0.

        Raises
        ------
        InputError
            For a number that is none.
        """
        if not THICKEST <= gauge <= FINEST:
            raise InputError(f"AWG goes from 40, the finest, to 0 and on to 4/0, got {gauge:g}: {_HOW}")
        diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
        return cls(
            name=f"{gauge if gauge > 0 else f'{1 - gauge}/0'} AWG",
            area=math.pi / 4 * diameter**2,
            temperature=temperature,
            over_solid=STRANDED if stranded else 1.0,
        )

    @classmethod
    def of_area(
        cls, square_millimetres: float, *, temperature: float = TEMPERATURE, stranded: bool = True
    ) -> Wire:
        """Return the wire of so many mm²: of a nominal size with its greatest resistance, else by its area.

        Raises
        ------
        InputError
            For an area that is none.
        """
        nominal = METRIC.get(square_millimetres)
        over_solid = STRANDED if stranded else 1.0
        if nominal is not None:
            over_solid = nominal[stranded] * 1e-3 * square_millimetres / (IACS * 1e6)
        return cls(
            name=f"{square_millimetres:g} mm²",
            area=square_millimetres * 1e-6,
            temperature=temperature,
            over_solid=over_solid,
        )

    @property
    def resistance_per_metre(self) -> float:
        """Of this one conductor, for direct current. [Ω/m]"""
        return IACS / self.area * (1 + ALPHA * (self.temperature - 20)) * self.over_solid

    def loop(self, run: float) -> float:
        """Resistance of two conductors, there and back, along a run [m]. [Ω]

        Raises
        ------
        InputError
            For a run of less than nothing.
        """
        if not 0 <= run < math.inf:
            raise InputError(f"the run of a wire must be 0 m or more, got {run:g} m")
        return 2 * run * self.resistance_per_metre


def parse_wire(text: str, *, temperature: float = TEMPERATURE, stranded: bool = True) -> Wire:
    """Read a wire as it is bought: ``18 AWG``, ``AWG 18``, ``1/0 AWG``, ``0.75 mm2``, ``1 mm²``.

    Parameters
    ----------
    text : str
        As a person writes it.
    temperature : float
        Of the conductor. [°C]
    stranded : bool
        Whether it is stranded, or solid.

    Returns
    -------
    Wire

    Raises
    ------
    InputError
        Where the text is no wire; says how to write one.
    """
    plain = " ".join(unicodedata.normalize("NFKC", text).replace("\u2044", "/").split())
    if match := _AWG.fullmatch(plain):
        return Wire.of_gauge(
            _gauge(match["before"] or match["after"], plain), temperature=temperature, stranded=stranded
        )
    if match := _MM2.fullmatch(plain):
        return Wire.of_area(float(match["area"]), temperature=temperature, stranded=stranded)
    if match := _COMMA.fullmatch(plain):
        raise InputError(
            f'a wire\'s area has a decimal point: write "{match["whole"]}.{match["part"]} mm²", got {plain}'
        )
    shown = plain[:60] or "nothing"
    if re.fullmatch(r"[0-9./]+", plain):
        raise InputError(
            f'a wire needs AWG or mm² beside its number: write "{plain} AWG" or "{plain} mm²", got {shown}'
        )
    raise InputError(f"a wire is given by its AWG number or its area in mm²: {_HOW}, got {shown}")


def _gauge(written: str, text: str) -> int:
    """Return the number of a gauge: 18 for 18, 0 for 1/0 and 0, −1 for 2/0 and 00."""
    if written.endswith("/0"):
        gauge = 1 - int(written[:-2])
        allowed = THICKEST <= gauge <= 0
    elif set(written) == {"0"}:
        gauge = 1 - len(written)
        allowed = gauge >= THICKEST
    else:
        gauge = int(written)
        allowed = 0 < gauge <= FINEST
    if not allowed:
        raise InputError(f"AWG goes from 40, the finest, to 1, then 1/0 to 4/0, got {text}: {_HOW}")
    return gauge
