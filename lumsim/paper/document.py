"""What a paper is made of: sections of sentences, tables, lists, pictures, drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lumsim.pictures.writing import PdfPicture
from lumsim.report.columns import Block
from lumsim.units import Units

__all__ = ["Drawing", "Items", "Paper", "Part", "Picture", "Said", "Section", "Table", "Verdict"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A paragraph."""

    text: str
    note: bool = False
    """whether it is set smaller, as what is said beside the numbers"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list of sentences."""

    items: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table with what is said above and below it."""

    block: Block
    widths: Sequence[float] = ()
    """shares of the page's width that columns take, 0 for as much as they need; none: all as they need"""
    both_units: bool = True
    """whether lengths in inches are told in millimetres too"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture with its caption."""

    picture: PdfPicture
    caption: str
    told: str
    """in words, for those who cannot see it"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing that is true to scale, on a page of its own size."""

    picture: PdfPicture
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether a requirement is met."""

    state: Literal["met", "missed", "none"]
    head: str
    text: str


Part = Said | Items | Table | Picture | Drawing | Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading and what is under it."""

    title: str
    parts: Sequence[Part]
    new_page: bool = False
    landscape: bool = False
    """whether its pages lie on their side, as wide pictures need"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A whole paper."""

    kind: str
    """what kind of paper it is, above its title"""
    title: str
    units: Units
    """say the size of its pages too"""
    running: str
    """at the head of every page but the first"""
    foot: str
    """at the foot of every page"""
    title_block: Sequence[tuple[str, str]]
    """what it says, each with its name"""
    author: str | None
    sections: Sequence[Section]
