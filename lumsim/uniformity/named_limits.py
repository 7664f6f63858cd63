"""Limits from standards and statutes, each with its source, its mark, what it was written for and is not judged here.

They are numbers to be held against, like a study's own; lumsim judges no compliance. A limit on luminance is held
against the mean of the visible face at full output, and the illuminated area is that of the visible face, each face
for itself, an area on a boundary in the band below it; where a source's words may mean otherwise its note says so. Only
what was read in the source is here. Left out are

* EN 12899-1, CIE 150, ILP PLG05, ISO 3664, DIN 6856, the lighting handbooks' values for luminous backgrounds and LEED's
  2000 cd/m² by day: known from memory alone;
* ranges that do not say which end holds: 350 to 650 cd/m² for signs in halls;
* what was observed and is no limit: light boxes of radiology that fall off by 30 to 50 %, floodlit boards of 60 cd/m²;
* EN 1838's ratio of white to the safety colour, and its viewing distances: a face here is of one colour.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from lumsim.uniformity.requirement import LIMITS

__all__ = ["NAMED_LIMITS", "Band", "NamedLimit", "tightest_limits"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A value that holds for faces up to an area."""

    up_to: float
    """visible area, itself included; infinite for the last [m²]"""
    value: float | None
    """None: the source has no value there"""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedLimit:
    """What one source asks for, under a name of ours."""

    name: str
    sets: Mapping[str, tuple[Band, ...]]
    """by the names of ``LIMITS``: bands of rising area"""
    source: str
    mark: str
    """how the number is known: seen in the source, or in one that reproduces it"""
    note: str
    """what it was written for, and what of it is not judged here"""

    @property
    def by_area(self) -> bool:
        """Whether it depends on the visible area."""
        return any(len(bands) > 1 for bands in self.sets.values())

    def values(self, area: Fraction | float) -> dict[str, float | None]:
        """What it limits, and to what, on a face; None where the source has no value for that area.

        Parameters
        ----------
        area : Fraction or float
            Visible, of one face; a fraction is taken exactly. [m²]
        """
        return {
            name: next(band.value for band in bands if area <= band.up_to)
            for name, bands in self.sets.items()
        }


def tightest_limits(limits: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Of several sets of limits the tightest of each, by the names of ``LIMITS``.

    Parameters
    ----------
    limits : sequence of mappings
        From name to value.
    """
    tightest: dict[str, float] = {}
    for name, side in LIMITS.items():
        values = [one[name] for one in limits if name in one]
        if values:
            tightest[name] = min(values) if side == "at most" else max(values)
    return tightest


def _always(value: float) -> tuple[Band, ...]:
    return (Band(up_to=math.inf, value=value),)


_MEAN = "Held against the mean luminance of the visible face; the source's words may mean otherwise"

_CHINESE = "Chinese limits for lit signs, presumably JGJ/T 163-2008, in a table that reproduces them"
_BY_AREA = {
    "e1": ("zone E1", (50.0, 40.0, 30.0, None)),
    "e2": ("zone E2", (400.0, 300.0, 250.0, 150.0)),
    "e3": ("zone E3", (800.0, 600.0, 450.0, 300.0)),
    "e4": ("zone E4", (1000.0, 800.0, 600.0, 400.0)),
}
_INDOORS = {"corridor": ("corridors", 150.0), "shop": ("shops", 1000.0)}


def _table() -> dict[str, NamedLimit]:
    every = [
        NamedLimit(
            name="en-1838-2013",
            sets={"max_to_min": _always(10.0), "darkest_luminance": _always(2.0)},
            source="EN 1838:2013, on three independent pages",
            mark="seen",
            note="written for safety signs: within one colour at most 10:1, of the safety colour at least 2 cd/m². Not "
            "judged: the ratio of white to the safety colour, viewing distances",
        ),
        NamedLimit(
            name="en-12464-1-surround",
            sets={"min_to_mean": _always(0.40)},
            source="EN 12464-1, immediate surrounding area",
            mark="seen",
            note="written for illuminance around a task, and held here against min/mean of luminance. Not judged: all "
            "else that it asks for",
        ),
        NamedLimit(
            name="england-2007",
            sets={"max_luminance": (Band(up_to=10.0, value=600.0), Band(up_to=math.inf, value=300.0))},
            source="Town and Country Planning (Control of Advertisements) (England) Regulations 2007, SI 2007/783, "
            "schedule 3, part 2, paragraph 2",
            mark="seen",
            note="written for illuminated advertisements; each side counts for itself and unlit parts do not: the "
            f"visible face is taken for the illuminated area. {_MEAN}",
        ),
        NamedLimit(
            name="ile-tr5-small-fascia",
            sets={"max_luminance": _always(1200.0)},
            source="ILE Technical Report 5, 2nd edition, as used in a planning condition of the London Borough of "
            "Havering",
            mark="seen",
            note="written for a small fascia sign; from what size on it is no longer small is not judged. "
            f"{_MEAN}",
        ),
        *(
            NamedLimit(
                name=f"china-{zone}",
                sets={
                    "max_luminance": tuple(
                        Band(up_to=up_to, value=value)
                        for up_to, value in zip((0.5, 2.0, 10.0, math.inf), values, strict=True)
                    )
                },
                source=f"{_CHINESE}: {title}",
                mark="seen in a secondary source",
                note="written for mean luminance, by environmental zone and area. Not judged: which zone a place is in",
            )
            for zone, (title, values) in _BY_AREA.items()
        ),
        *(
            NamedLimit(
                name=f"china-{place}",
                sets={"max_luminance": _always(value)},
                source=f"{_CHINESE}: indoor signs, {title}",
                mark="seen in a secondary source",
                note=f"written for signs indoors, in {title}. {_MEAN}",
            )
            for place, (title, value) in _INDOORS.items()
        ),
        NamedLimit(
            name="leed-night",
            sets={"max_luminance": _always(200.0)},
            source="LEED credit on light pollution, from a page of a study guide",
            mark="seen in a secondary source",
            note="written for internally illuminated exterior signs at night: dim to it then. Not judged: the day. "
            f"{_MEAN}",
        ),
        NamedLimit(
            name="billboards-2010",
            sets={"max_luminance": _always(100.0)},
            source="Luginbuhl et al., draft on digital billboards (2010)",
            mark="seen",
            note="a recommendation of a draft, for digital billboards at night: dim to it then. Not judged: the day. "
            f"{_MEAN}",
        ),
    ]
    return {one.name: one for one in every}


NAMED_LIMITS: Final[Mapping[str, NamedLimit]] = MappingProxyType(_table())
"""Every named limit, by its name."""
