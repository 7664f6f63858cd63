"""`lumsim light`: light a study and judge its face."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lumsim.cli.messages import say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, StudyFile
from lumsim.cli.statuses import ended

if TYPE_CHECKING:
    from lumsim.cabinet.cabinet import Side

__all__ = ["light"]


class _Side(str, Enum):
    front = "front"
    rear = "rear"


def light(
    study: StudyFile,
    changes: Changes = [],
    at: Annotated[
        list[str],
        typer.Option(
            metavar="X;Y",
            help='Answer for a point of the face too, such as --at "12 in; 24 in", from its lower left. Repeatable.',
            show_default=False,
        ),
    ] = [],
    face_map: Annotated[
        list[Path],
        typer.Option(
            "--map",
            metavar="FILE",
            help="Write the map of the face: a picture (.png, .svg) or its numbers (.csv, .npz). Repeatable.",
            show_default=False,
        ),
    ] = [],
    side: Annotated[
        _Side | None,
        typer.Option(
            help="Which face of a double-sided cabinet --map writes; unless said, the worse one. A picture of the rear "
            "face shows it as seen from behind.",
            show_default=False,
        ),
    ] = None,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    json: Json = False,
) -> None:
    """Light a study: how even its face is, where it is too bright or too dark, whether the requirement is met."""
    from lumsim.study.reading import read_study

    asked = read_study(study, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.errors import InputError
    from lumsim.report.document import light_document
    from lumsim.report.files import MAP_SUFFIXES, map_bytes, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.light_text import light_text, picture_facts
    from lumsim.report.points import points_of, points_text
    from lumsim.study.answering import answer

    for path in face_map:
        if path.suffix.lower() not in MAP_SUFFIXES:
            raise InputError(f"--map {path}: a map is written as {', '.join(MAP_SUFFIXES)}")
        refuse_unwritable(path)
    seen: Side | None = None if side is None else "rear" if side is _Side.rear else "front"
    if seen is not None and not asked.cabinet.double_sided:
        raise InputError(
            f"--side {seen}: this cabinet is single-faced: leave --side out, or write faces = 2 under [cabinet]"
        )
    if seen is not None and not face_map:
        raise InputError(
            f"--side {seen}: says which face --map writes: name a file too, such as --map face.png"
        )
    points = points_of(at, asked.cabinet, asked.units)
    lit = answer(asked, direct_only=direct_only, fine=fine)
    for path in face_map:
        suffix = path.suffix.lower()
        if suffix in {".png", ".svg"}:
            from lumsim.pictures.face_map import draw_face
            from lumsim.pictures.writing import picture_bytes

            figure = draw_face(
                lit, title=asked.title, units=asked.units, facts=picture_facts(lit, seen), side=seen
            )
            content = picture_bytes(figure, suffix)
        else:
            content = map_bytes(lit, suffix, side=seen)
        write_whole(path, content)
        say(f"wrote {path}")
    if json:
        show(as_json(light_document(asked, lit, points)))
    else:
        show(points_text(asked, lit, points) if points else light_text(asked, lit))
    raise ended(met=lit.met)
