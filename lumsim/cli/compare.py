"""`lumsim compare`: studies side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json
from lumsim.cli.statuses import ended

__all__ = ["compare"]


def compare(
    studies: Annotated[
        list[Path],
        typer.Argument(
            metavar="STUDY",
            help="Study files (TOML), in order; the others are held against the first.",
            show_default=False,
        ),
    ],
    also: Annotated[
        list[str],
        typer.Option(
            metavar="KEY=VALUE[; KEY=VALUE]",
            help="One more study: the first file with these changes, written as for --set, semicolons between them, "
            'such as --also \'rows.pitch="9 in"; cabinet.depth="8 in"\'. Repeatable.',
            show_default=False,
        ),
    ] = [],
    changes: Changes = [],
    picture: Annotated[
        list[Path],
        typer.Option(
            metavar="FILE",
            help="Draw them: faces at one exposure and on one colour scale, profiles on one axis (.png, .svg, .pdf). "
            "Repeatable.",
            show_default=False,
        ),
    ] = [],
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Write the comparison as pages (.pdf).", show_default=False
        ),
    ] = None,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    json: Json = False,
) -> None:
    """Hold studies side by side: numbers, differences, verdicts; --set changes all, --also makes one more."""
    from lumsim.study.alternatives import read_alternatives

    read = read_alternatives(studies, also=also, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.report.compare_text import compare_text
    from lumsim.report.files import PICTURE_SUFFIXES, refuse_ending, refuse_unwritable, write_whole
    from lumsim.study.answering import lighting_of
    from lumsim.study.comparing import compare as compared

    for path in picture:
        refuse_ending(path, *PICTURE_SUFFIXES, option="--picture", what="a picture")
        refuse_unwritable(path)
    if output is not None:
        refuse_ending(output, ".pdf", option="--output", what="a comparison")
        refuse_unwritable(output)
    comparison = compared(
        read,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        progress=progress_line("compare"),
    )
    if picture:
        from lumsim.pictures.comparison import draw_comparison
        from lumsim.pictures.writing import picture_bytes
        from lumsim.report.compare_picture import shown_comparison

        drawn = shown_comparison(comparison)
        figure = draw_comparison(drawn.shown, title=drawn.title, facts=drawn.facts, units=comparison.units)
        for path in picture:
            write_whole(path, picture_bytes(figure, path.suffix.lower()))
            say(f"wrote {path}")
    if output is not None:
        from lumsim.paper.comparison import comparison_paper
        from lumsim.paper.typesetting import typeset

        write_whole(output, typeset(comparison_paper(comparison)))
        say(f"wrote {output}")
    if json:
        from lumsim.report.compare_document import compare_document
        from lumsim.report.json_text import as_json

        show(as_json(compare_document(comparison)))
    else:
        show(compare_text(comparison))
    raise ended(met=comparison.met)
