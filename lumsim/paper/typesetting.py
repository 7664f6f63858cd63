"""A paper as the bytes of a PDF: set by typst, offline, with its own fonts, the same bytes every time."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from lumsim.paper.both_units import in_both_units
from lumsim.paper.document import Drawing, Items, Paper, Part, Picture, Said, Table, Verdict
from lumsim.pictures.writing import PdfPicture
from lumsim.units import Units

__all__ = ["typeset"]

PAGES: dict[Units, str] = {"in": "us-letter", "mm": "a4"}

Runs = list[dict[str, str]]
"""Parts of a text, each with its lengths in SI."""


def typeset(paper: Paper) -> bytes:
    """Set a paper in type.

    The PDF is tagged, so that its tables and headings can be read aloud; its fonts are embedded; nothing is fetched,
    no font of the machine is used and no clock is read.

    Parameters
    ----------
    paper : Paper

    Returns
    -------
    bytes
        Of a PDF file.
    """
    # The library takes a quarter of a second to load.
    import typst

    files: dict[str, bytes] = {}
    content = {
        "page": PAGES[paper.units],
        "kind": paper.kind,
        "title": paper.title,
        "running": paper.running,
        "foot": paper.foot,
        "author": paper.author or "",
        "title_block": [list(entry) for entry in paper.title_block],
        "sections": [
            {
                "title": section.title,
                "new_page": section.new_page,
                "landscape": section.landscape,
                "parts": [_part(part, paper.units, files) for part in section.parts],
            }
            for section in paper.sections
        ],
    }
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        template = resources.files("lumsim.paper").joinpath("paper.typ").read_bytes()
        (folder / "paper.typ").write_bytes(template)
        (folder / "paper.json").write_text(json.dumps(content, ensure_ascii=False), encoding="utf-8")
        for file, data in files.items():
            (folder / file).write_bytes(data)
        compiler = typst.Compiler(input=folder / "paper.typ", root=folder, ignore_system_fonts=True)
        made = compiler.compile(format="pdf")
    assert isinstance(made, bytes)
    return made


def _part(part: Part, units: Units, files: dict[str, bytes]) -> dict[str, Any]:
    """A part as the template reads it; what it shows goes to files."""
    match part:
        case Said():
            return {"is": "said", "text": _runs(part.text, units), "note": part.note}
        case Items():
            return {"is": "items", "items": [_runs(item, units) for item in part.items]}
        case Verdict():
            return {
                "is": "verdict",
                "state": part.state,
                "head": part.head,
                "text": _runs(part.text, units),
            }
        case Table():
            return _table(part, units)
        case Picture():
            return {
                **_file(part.picture, files),
                "is": "picture",
                "caption": part.caption,
                "told": part.told,
            }
        case Drawing():
            return {**_file(part.picture, files), "is": "drawing", "told": part.told}


def _table(part: Table, units: Units) -> dict[str, Any]:
    block = part.block
    units = units if part.both_units else "mm"

    def each(texts: Sequence[str]) -> list[Runs]:
        return [_runs(text, units) for text in texts]

    return {
        "is": "table",
        "head": _runs(block.head, units),
        "leads": each(block.leads),
        "heads": list(block.heads),
        "rows": [each(row) for row in block.rows],
        "notes": each(block.notes),
        "widths": list(part.widths),
    }


def _file(picture: PdfPicture, files: dict[str, bytes]) -> dict[str, Any]:
    name = f"{len(files) + 1}.pdf"
    files[name] = picture.pdf
    return {"file": name, "width": picture.width, "height": picture.height}


def _runs(text: str, units: Units) -> Runs:
    if units == "mm":
        return [{"text": text, "si": ""}]
    return [{"text": told, "si": si} for told, si in in_both_units(text)]
