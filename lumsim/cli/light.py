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
    from lumsim.simulation import Simulation
    from lumsim.study.reading import Study

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
            help="Write the map of the face: a picture (.png, .svg, .pdf) or its numbers (.csv, .npz). Repeatable.",
            show_default=False,
        ),
    ] = [],
    seen: Annotated[
        list[Path],
        typer.Option(
            metavar="FILE",
            help="Draw the lit face as the eye would see it, in greys (.png, .svg, .pdf). Repeatable.",
            show_default=False,
        ),
    ] = [],
    section: Annotated[
        list[Path],
        typer.Option(
            metavar="FILE",
            help="Draw a section across the rows, true to scale: modules, rays, luminance outside (.png, .svg, .pdf). "
            "Repeatable.",
            show_default=False,
        ),
    ] = [],
    profiles: Annotated[
        list[Path],
        typer.Option(
            metavar="FILE",
            help="Draw luminance across the rows and along them (.png, .svg, .pdf). Repeatable.",
            show_default=False,
        ),
    ] = [],
    side: Annotated[
        _Side | None,
        typer.Option(
            help="Which face of a double-sided cabinet --map, --seen and --profiles show, and which is up in "
            "--section; unless said, the worse one. --map and --seen draw the rear face as seen from behind.",
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
    from lumsim.report.files import (
        MAP_SUFFIXES,
        PICTURE_SUFFIXES,
        map_bytes,
        refuse_ending,
        refuse_unwritable,
        write_whole,
    )
    from lumsim.report.json_text import as_json
    from lumsim.report.light_text import light_text
    from lumsim.report.points import points_of, points_text
    from lumsim.study.answering import answer

    for path in face_map:
        if path.suffix.lower() not in MAP_SUFFIXES:
            raise InputError(f"--map {path}: a map is written as {', '.join(MAP_SUFFIXES)}")
        refuse_unwritable(path)
    for option, paths in (("--seen", seen), ("--section", section), ("--profiles", profiles)):
        for path in paths:
            refuse_ending(path, *PICTURE_SUFFIXES, option=option, what="a picture")
            refuse_unwritable(path)
    chosen: Side | None = None if side is None else "rear" if side is _Side.rear else "front"
    if chosen is not None and not asked.cabinet.double_sided:
        raise InputError(
            f"--side {chosen}: this cabinet is single-faced: leave --side out, or write faces = 2 under [cabinet]"
        )
    if chosen is not None and not (face_map or seen or section or profiles):
        raise InputError(
            f"--side {chosen}: says which face a file shows: name a file too, such as --map face.png"
        )
    points = points_of(at, asked.cabinet, asked.units)
    lit = answer(asked, direct_only=direct_only, fine=fine)
    for path in face_map:
        suffix = path.suffix.lower()
        if suffix in PICTURE_SUFFIXES:
            _draw("map", path, asked, lit, chosen)
        else:
            write_whole(path, map_bytes(lit, suffix, side=chosen))
            say(f"wrote {path}")
    for what, paths in (("seen", seen), ("section", section), ("profiles", profiles)):
        for path in paths:
            _draw(what, path, asked, lit, chosen)
    if json:
        show(as_json(light_document(asked, lit, points)))
    else:
        show(points_text(asked, lit, points) if points else light_text(asked, lit))
    raise ended(met=lit.met)


def _draw(what: str, path: Path, study: Study, lit: Simulation, side: Side | None) -> None:
    """Draw a face, or a section, and write the picture."""
    from lumsim.pictures.cabinet_section import draw_cabinet_section
    from lumsim.pictures.face_map import draw_face
    from lumsim.pictures.profiles import draw_profiles
    from lumsim.pictures.seen_face import draw_seen_face
    from lumsim.pictures.writing import picture_bytes
    from lumsim.report.files import write_whole
    from lumsim.report.light_text import picture_facts

    draw = {
        "map": draw_face,
        "seen": draw_seen_face,
        "section": draw_cabinet_section,
        "profiles": draw_profiles,
    }[what]
    figure = draw(lit, title=study.title, units=study.units, facts=picture_facts(lit, side), side=side)
    write_whole(path, picture_bytes(figure, path.suffix.lower()))
    say(f"wrote {path}")
