"""`lumsim sheet`: what to mark out and wire, what the wire does to the light, and what if something fails."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, StudyFile
from lumsim.cli.statuses import ended

__all__ = ["sheet"]


def sheet(
    study: StudyFile,
    changes: Changes = [],
    csv: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Write every module as a line of a table (.csv).", show_default=False
        ),
    ] = None,
    drawing: Annotated[
        list[Path],
        typer.Option(
            metavar="FILE",
            help="Draw what to build, true to scale (.pdf, .svg, .png); repeatable.",
            show_default=False,
        ),
    ] = [],
    what_if: Annotated[
        bool,
        typer.Option(help="Look at the face with each module, string, supply and joint failing in turn."),
    ] = True,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    json: Json = False,
) -> None:
    """Print the build sheet: what to cut, hold, power and buy, the light on its wire, what if something fails."""
    from lumsim.study.reading import read_study

    read = read_study(study, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.report.files import refuse_ending, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.sheet_document import sheet_document
    from lumsim.report.sheet_text import sheet_csv, sheet_text
    from lumsim.study.answering import lighting_of
    from lumsim.study.sheeting import sheet as answered

    if csv is not None:
        refuse_ending(csv, ".csv", option="--csv", what="a table")
        refuse_unwritable(csv)
    for path in drawing:
        refuse_ending(path, ".pdf", ".svg", ".png", option="--drawing", what="a drawing")
        refuse_unwritable(path)
    answer = answered(
        read,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        what_if=what_if,
        progress=progress_line("sheet"),
    )
    if csv is not None:
        write_whole(csv, sheet_csv(answer))
        say(f"wrote {csv}")
    for path in drawing:
        from lumsim.pictures.assembly_plan import draw_assembly
        from lumsim.pictures.writing import picture_bytes

        upkeep = read.building.upkeep
        figure = draw_assembly(
            answer.assembly,
            read.cabinet,
            supplies_at=upkeep.supplies_at,
            supply_size=upkeep.supply_size,
            title=read.title,
        )
        write_whole(path, picture_bytes(figure, path.suffix.lower()))
        say(f"wrote {path}")
    show(as_json(sheet_document(read, answer)) if json else sheet_text(read, answer))
    raise ended(met=answer.met, finished=answer.finished)
