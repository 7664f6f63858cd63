"""What a page's script chooses from: every word and every face that it can show, made beforehand."""

from __future__ import annotations

import base64
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

import numpy as np

from lumsim.page.face_bytes import folded_or_coarser
from lumsim.page.lit_settings import LitPage, Told
from lumsim.pictures import look
from lumsim.report.numbers import ratio
from lumsim.study.paging import Laying, PagePlan, Setting, Walls
from lumsim.units import Units, format_length, length_number

__all__ = [
    "DARKEST_SHOWN",
    "MEASURES",
    "UNEVEN",
    "UNTOLD",
    "Contents",
    "Scale",
    "contents_of",
    "contrast",
    "depth_label",
    "pitch_label",
    "walls_label",
]

DARKEST_SHOWN: Final = 0.4
"""Share of a face's brightest point from which it is shown in colours; darker is shown as this. [1]"""

UNEVEN: Final = 2.5
"""Ratio from which all cells of the plane are one colour, unless even the least is near it. [1]"""

UNTOLD: Final = "–"
"""In a cell whose face is too small to tell stripes of such a pitch."""

MEASURES: Final = (
    ("max_to_min", "max/min", "Max/min of the whole visible face"),
    ("stripe_max_to_min", "stripes", "Stripes, max/min against the surroundings one row pitch wide"),
)
"""What the plane's cells tell: by its name in ``Evenness``, in a word, in words."""

SHADES: Final = 64
"""Colours of a face, from ``DARKEST_SHOWN`` to its brightest point. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What stands in the page besides its words."""

    choices: Mapping[str, Any]
    """as JSON, see ``page.js``"""
    faces: str
    """dots of all faces, setting by setting, in base64"""
    profiles: str
    """profiles of all faces, 16 bits a place, the lower byte first, likewise"""

    @property
    def as_json(self) -> str:
        """The choices as text that can stand in HTML: nothing in it ends a script."""
        text = json.dumps(self.choices, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Colours of the plane's cells, by even steps of a ratio: light where a face is even."""

    least: float
    """that is lightest [1]"""
    most: float
    """from which all are darkest [1]"""

    @staticmethod
    def of(lit: LitPage, name: str) -> Scale:
        """The scale of a page's numbers of a name.

        Parameters
        ----------
        lit : LitPage
        name : str
            Of ``Evenness``.
        """
        told = lit.told.values()
        seen = [one.numbers[name] for one in told if _is_told(one, name)]
        least = min(seen or [one.numbers[name] for one in told])
        return Scale(least=least, most=max(UNEVEN, 1.5 * least))

    def colours(self, value: float) -> tuple[str, str]:
        """Ground and letters of a cell.

        Parameters
        ----------
        value : float
            [1]
        """
        share = 1 - min(math.log(max(value / self.least, 1.0)) / math.log(self.most / self.least), 1.0)
        ground = look.colour_at(share)
        return ground, max(("#000000", "#ffffff"), key=lambda ink: contrast(ground, ink))


class _Words:
    """Each text once, by its number."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def of(self, text: str) -> int:
        return self.numbers.setdefault(text, len(self.numbers))


def contents_of(lit: LitPage) -> Contents:
    """All that a page's script chooses from.

    Parameters
    ----------
    lit : LitPage
        Finished.
    """
    plan, words = lit.plan, _Words()
    units = plan.study.units
    ordered = [
        lit.told[Setting(laying=laying, depth=depth, walls=walls)]
        for walls in range(len(plan.walls))
        for depth in range(len(plan.depths))
        for laying in range(len(plan.layings))
    ]
    faces, folded = folded_or_coarser([one.face.dots for one in ordered])
    cabinet, own = plan.study.cabinet, plan.own
    scales = {name: Scale.of(lit, name) for name, _, _ in MEASURES}
    settings = [_setting(one, words, units, scales) for one in ordered]
    return Contents(
        choices={
            "pitches": [pitch_label(plan, number) for number in range(len(plan.layings))],
            "depths": [depth_label(plan, number) for number in range(len(plan.depths))],
            "walls": [walls_label(plan, one) for one in plan.walls],
            "own": [own.laying, own.depth, own.walls],
            "unit": units,
            "pitch_heads": [_head(plan, one) for one in plan.layings],
            "depth_heads": [_bare(depth, units) for depth in plan.depths],
            "required": bool(plan.study.requirement.limits),
            "visible": {
                side: [length_number(edge, units) for edge in (seen.x0, seen.x1, seen.y0, seen.y1)]
                for side, _ in cabinet.faces
                for seen in (cabinet.visible_on(side),)
            },
            "dots": [faces[0].shape[1], faces[0].shape[0]],
            "folded": folded,
            "places": len(ordered[0].face.profile),
            "measures": [
                {
                    "name": name,
                    "words": said,
                    "least": ratio(scales[key].least),
                    "most": ratio(scales[key].most),
                }
                for key, name, said in MEASURES
            ],
            "darkest_shown": DARKEST_SHOWN,
            "colours": [look.colour_at(number / (SHADES - 1)) for number in range(SHADES)],
            "settings": settings,
            "words": list(words.numbers),
        },
        faces=_letters(b"".join(one.tobytes() for one in faces)),
        profiles=_letters(np.stack([one.face.profile for one in ordered]).astype("<u2").tobytes()),
    )


def _setting(told: Told, words: _Words, units: Units, scales: Mapping[str, Scale]) -> dict[str, Any]:
    return {
        "met": told.met,
        "rear": told.side == "rear",
        "across": "y" if told.direction == "horizontal" else "x",
        "rows": words.of(told.rows),
        "count": told.row_count,
        "at": [round(length_number(place, units), 4) for place in told.row_places],
        "cells": [[words.of(text) for text in _cell(told, name, scale)] for name, scale in scales.items()],
        "numbers": [[words.of(value), words.of(state)] for _, value, state in told.evenness],
        "levels": [words.of(level) for level in told.levels],
        "verdict": words.of(told.verdict),
        "warnings": [words.of(text) for text in told.warnings],
        "dark": _short(told.face.darkest / told.numbers["highest"]),
        "bright": _short(told.face.brightest / told.numbers["highest"]),
    }


def _is_told(told: Told, name: str) -> bool:
    """Whether a number of a setting tells what its name says."""
    return name != "stripe_max_to_min" or told.sees_a_period


def _cell(told: Told, name: str, scale: Scale) -> tuple[str, str, str]:
    """What a cell of the plane says, its ground and its letters."""
    if not _is_told(told, name):
        return UNTOLD, look.HIDDEN, "#000000"
    value = told.numbers[name]
    return ratio(value), *scale.colours(value)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours such as ``#1c2127``, from 1 to 21.

    Parameters
    ----------
    one, other : str

    References
    ----------
    .. [1] Web Content Accessibility Guidelines 2.2, W3C 2023: relative luminance, contrast ratio.
    """

    def luminance(colour: str) -> float:
        parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _short(value: float) -> float:
    """Digits enough for a screen. [1]"""
    return float(f"{value:.5g}")


def _letters(content: bytes) -> str:
    return base64.b64encode(content).decode("ascii")


def _bare(length: Fraction, units: Units) -> str:
    """A length without its unit, for the head of a column or a row."""
    return format_length(length, units).removesuffix(units).strip()


def _head(plan: PagePlan, laying: Laying) -> str:
    if laying.pitch is None:
        return "own"
    bare = _bare(laying.pitch, plan.study.units)
    return bare if laying.by_pitch else f"{bare} own"


def pitch_label(plan: PagePlan, number: int) -> str:
    """What a row pitch is called.

    Parameters
    ----------
    plan : PagePlan
    number : int
        Of the laying, from 0.
    """
    laying = plan.layings[number]
    if laying.pitch is None:
        return "the study's own rows"
    shown = format_length(laying.pitch, plan.study.units)
    return shown if laying.by_pitch else f"{shown}, the study's own rows"


def depth_label(plan: PagePlan, number: int) -> str:
    """What a depth is called.

    Parameters
    ----------
    plan : PagePlan
    number : int
        From 0.
    """
    return format_length(plan.depths[number], plan.study.units)


def walls_label(plan: PagePlan, walls: Walls) -> str:
    """What walls are called, with what they reflect.

    Parameters
    ----------
    plan : PagePlan
    walls : Walls
    """
    cabinet = plan.study.cabinet
    both = "returns" if cabinet.double_sided else "back and returns"
    other = walls.repainted
    if other is not None:
        painted = "painted black" if other < 0.2 else "painted white" if other > 0.7 else "repainted"
        return f"{painted} ({both} {other:g})"
    box = cabinet.box
    sides = box.return_reflectances
    returns = f"{min(sides):g}" if len(set(sides)) == 1 else f"{min(sides):g} to {max(sides):g}"
    if cabinet.double_sided:
        return f"as in the study (returns {returns})"
    if {*sides} == {box.back_reflectance}:
        return f"as in the study ({both} {returns})"
    return f"as in the study (back {box.back_reflectance:g}, returns {returns})"
