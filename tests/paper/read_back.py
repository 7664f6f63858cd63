"""PDFs read back by a general library."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from functools import cached_property

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject


@dataclass(frozen=True)
class ReadBack:
    """A PDF as a reader finds it."""

    content: bytes

    @cached_property
    def reader(self) -> PdfReader:
        """The library's."""
        return PdfReader(io.BytesIO(self.content))

    @cached_property
    def pages(self) -> list[str]:
        """Text of each page, its spaces and line ends as single spaces."""
        return [re.sub(r"[\s\N{NO-BREAK SPACE}]+", " ", page.extract_text()) for page in self.reader.pages]

    @property
    def text(self) -> str:
        """Of all pages."""
        return " ".join(self.pages)

    def fonts(self) -> dict[str, bool]:
        """Every font that pages or pictures in them use, and whether its letters are in the file."""
        found: dict[str, bool] = {}
        for page in self.reader.pages:
            _fonts(page.get("/Resources"), found, set())
        return found

    def places(self, page: int) -> list[tuple[float, float, str]]:
        """Where texts of a page itself begin, those of pictures in it left out. [pt]"""
        found: list[tuple[float, float, str]] = []

        def visit(
            text: str, at: list[float], within: list[float], font: dict[str, str] | None, _: float
        ) -> None:
            if text.strip() and font is not None and "Libertinus" in font.get("/BaseFont", ""):
                # Place in the text's own space, taken into the page's.
                x = within[4] * at[0] + within[5] * at[2] + at[4]
                y = within[4] * at[1] + within[5] * at[3] + at[5]
                found.append((x, y, text))

        self.reader.pages[page].extract_text(visitor_text=visit)
        return found


def _solved(one: object) -> object:
    return one.get_object() if isinstance(one, IndirectObject) else one


def _fonts(resources: object, found: dict[str, bool], seen: set[int]) -> None:
    resources = _solved(resources)
    if not isinstance(resources, DictionaryObject) or id(resources) in seen:
        return
    seen.add(id(resources))
    fonts = _solved(resources.get("/Font"))
    if isinstance(fonts, DictionaryObject):
        for one in fonts.values():
            font = _solved(one)
            assert isinstance(font, DictionaryObject)
            below = _solved(font.get("/DescendantFonts"))
            inner = _solved(below[0]) if isinstance(below, list) else font
            assert isinstance(inner, DictionaryObject)
            described = _solved(inner.get("/FontDescriptor"))
            inside = isinstance(described, DictionaryObject) and any(
                key in described for key in ("/FontFile", "/FontFile2", "/FontFile3")
            )
            found[str(font["/BaseFont"])] = inside or font.get("/Subtype") == "/Type3"
    drawn = _solved(resources.get("/XObject"))
    if isinstance(drawn, DictionaryObject):
        for one in drawn.values():
            within = _solved(one)
            if isinstance(within, DictionaryObject):
                _fonts(within.get("/Resources"), found, seen)
