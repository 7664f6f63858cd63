"""`lumsim page`: a sign at every setting of row pitch, depth and walls, as one HTML file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.crew import crew_of
from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, Fine, Json, Processes, Scheduler, StudyFile
from lumsim.cli.statuses import ended

__all__ = ["page"]


def page(
    study: StudyFile,
    output: Annotated[
        Path, typer.Option("-o", "--output", metavar="FILE", help="The page to write.", show_default=False)
    ],
    changes: Changes = [],
    fine: Fine = False,
    processes: Processes = None,
    scheduler: Scheduler = None,
    json: Json = False,
) -> None:
    """Write a page to play with: row pitch, depth and walls in, stripes out; one HTML file, nothing to install."""
    from lumsim.study.reading import read_study

    read = read_study(study, changes=changes)
    crew = crew_of(processes, scheduler)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.page.lit_settings import lit_page
    from lumsim.page.writing import page_bytes
    from lumsim.report.files import refuse_ending, refuse_unwritable, write_whole
    from lumsim.study.answering import lighting_of
    from lumsim.study.paging import page_plan

    refuse_ending(output, ".html", ".htm", option="--output", what="a page")
    refuse_unwritable(output)
    plan = page_plan(read)
    lit = lit_page(
        plan,
        lighting=lighting_of(direct_only=False, fine=fine),
        crew=crew,
        progress=progress_line("page"),
    )
    if lit.finished:
        write_whole(output, page_bytes(lit))
        say(f"wrote {output}")
    else:
        say(f"lumsim: stopped; {output} is not written")
    if json:
        from lumsim.page.document import page_document
        from lumsim.report.json_text import as_json

        show(as_json(page_document(lit)))
    elif lit.finished:
        show(lit.own.verdict)
    raise ended(met=plan.own not in lit.told or lit.own.met, finished=lit.finished)
