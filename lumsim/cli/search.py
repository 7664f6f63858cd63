"""`lumsim search`: the widest row pitch that meets the study's requirement."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, StudyFile

__all__ = ["search"]


def search(
    study: StudyFile,
    changes: Changes = [],
    rows: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Which group of rows to move, counted from 1; needed where there are several.",
            show_default=False,
        ),
    ] = None,
    depths: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTHS",
            help='Search these depths too, such as --depths "4 in; 5 in; 6 in", or --depths usual for seven around the '
            "study's own.",
            show_default=False,
        ),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Draw evenness against row pitch, and row pitch against depth where depths are asked for "
            "(.png, .svg).",
            show_default=False,
        ),
    ] = None,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    json: Json = False,
) -> None:
    """Search the widest row pitch that meets the study's requirement at its depth, and where the rows then sit."""
    from lumsim.study.reading import read_study

    asked = read_study(study, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.errors import InputError
    from lumsim.report.document import search_document
    from lumsim.report.files import refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.points import depths_of
    from lumsim.report.search_text import search_facts, search_text
    from lumsim.study import answering

    if picture is not None:
        if picture.suffix.lower() not in {".png", ".svg"}:
            raise InputError(f"--picture {picture}: a picture is written as .png or .svg")
        refuse_unwritable(picture)
    at = answering.usual_depths(asked, rows) if depths == "usual" else depths_of(depths)
    found = answering.search(
        asked,
        group=rows,
        depths=tuple(depth for depth in at if depth != asked.cabinet.box.depth),
        whole_curve=picture is not None,
        lighting=answering.lighting_of(direct_only=direct_only, fine=fine),
        progress=progress_line("searching"),
    )
    if picture is not None:
        from lumsim.pictures.pitch_search import draw_pitch_search
        from lumsim.pictures.writing import picture_bytes

        figure = draw_pitch_search(
            (found.at_depth, *found.against_depth),
            title=asked.title,
            units=asked.units,
            requirement=asked.requirement,
            own_pitch=asked.cabinet.groups[found.group].row_pitch,
            own_depth=asked.cabinet.box.depth,
            facts=search_facts(asked, found),
        )
        write_whole(picture, picture_bytes(figure, picture.suffix.lower()))
        say(f"wrote {picture}")
    show(as_json(search_document(asked, found)) if json else search_text(asked, found))
    raise typer.Exit(0 if found.at_depth.widest is not None else 1)
