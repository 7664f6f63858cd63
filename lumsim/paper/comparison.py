"""Several studies side by side as pages: verdicts, numbers and differences, what is built otherwise, the picture."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim import __version__
from lumsim.paper.document import Items, Paper, Part, Picture, Said, Section, Table, Verdict
from lumsim.paper.title_table import running_head, title_entries
from lumsim.pictures.comparison import draw_comparison
from lumsim.pictures.writing import pdf_picture
from lumsim.report.columns import Block
from lumsim.report.compare_built import built_rows
from lumsim.report.compare_numbers import number_rows, requirement_rows
from lumsim.report.compare_picture import shown_comparison
from lumsim.report.compare_text import alike_together, remarks_rows, units_told
from lumsim.report.light_text import exactness, verdict_line
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed
from lumsim.report.sentences import sentence
from lumsim.study.comparing import Comparison

__all__ = ["comparison_paper"]

MOST_BESIDE = 2
"""Studies whose differences stand in one table with the numbers. [1]"""


def comparison_paper(comparison: Comparison) -> Paper:
    """All pages of a comparison; its title block is the first study's.

    Parameters
    ----------
    comparison : Comparison
    """
    first = comparison.first
    block = first.study.title_block
    shown = shown_comparison(comparison)
    figure = draw_comparison(shown.shown, title=shown.title, facts=shown.facts, units=comparison.units)
    return Paper(
        kind=f"Comparison of {len(comparison.studies)} lit signs, held against {first.letter}",
        title=shown.title,
        units=comparison.units,
        running=running_head(first.study),
        foot=f"Computed by lumsim {__version__}, {light_followed(first.simulation)}; arithmetic from the studies, "
        "no approval",
        title_block=title_entries(first.study),
        author=block.prepared_by,
        sections=[
            Section(title="Verdicts", parts=_verdicts(comparison)),
            Section(title="Numbers", parts=_numbers(comparison)),
            Section(title="What is built otherwise", parts=_built(comparison)),
            Section(
                title="Side by side",
                parts=[
                    Picture(
                        picture=pdf_picture(figure),
                        caption="Faces as seen at one exposure, in false colours on one scale, profiles on one axis.",
                        told="Each lit face in greys and in false colours, and the profiles across the rows",
                    )
                ],
                landscape=True,
            ),
            Section(title="What it rests on", parts=_rests_on(comparison)),
        ],
    )


def _verdicts(comparison: Comparison) -> list[Part]:
    parts: list[Part] = []
    for one in comparison.studies:
        lit = one.simulation
        text = sentence(verdict_line(lit).partition("): ")[2])
        if not lit.deciding.verdict.judged:
            parts.append(Verdict(state="none", head=f"{one.letter}  {one.name}", text=text))
        else:
            state = "met" if lit.met else "NOT met"
            parts.append(
                Verdict(
                    state="met" if lit.met else "missed", head=f"{one.letter}  {one.name}: {state}", text=text
                )
            )
    limits = requirement_rows(comparison)
    if limits:
        differ = "" if comparison.same_requirement else "; they differ: each study is judged by its own"
        head = f"What is required, and how much is to spare of each limit{differ}"
        parts.append(Table(block=_block(comparison, head, [(row.label, row.cells) for row in limits])))
    return parts


def _block(comparison: Comparison, head: str, rows: Sequence[tuple[str, Sequence[str]]]) -> Block:
    letters = [one.letter for one in comparison.studies]
    return Block(head=head, heads=["", *letters], rows=[[label, *cells] for label, cells in rows])


def _numbers(comparison: Comparison) -> list[Part]:
    first, others = comparison.first.letter, [one.letter for one in comparison.others]
    rows = number_rows(comparison)
    against = [f"{letter} against {first}" for letter in others]
    parts: list[Part] = []
    if len(others) <= MOST_BESIDE:
        heads = ["", first, *others, *against]
        cells = [[row.label, *row.cells, *row.against] for row in rows]
        parts.append(Table(block=Block(head="", heads=heads, rows=cells)))
    else:
        parts += [
            Table(block=_block(comparison, "Each study", [(row.label, row.cells) for row in rows])),
            Table(
                block=Block(
                    head=f"Against {first}",
                    heads=["", *others],
                    rows=[[row.label, *row.against] for row in rows if any(row.against)],
                )
            ),
        ]
    parts += [
        Said(text=f"{one.letter}: {exactness(one.simulation)}", note=True) for one in comparison.studies
    ]
    return parts


def _built(comparison: Comparison) -> list[Part]:
    rows = [(row.label, row.cells) for row in built_rows(comparison)]
    told = [Said(text=sentence(text.strip())) for text in units_told(comparison)]
    if not rows:
        return [*told, Said(text="All is built alike.")]
    return [*told, Table(block=_block(comparison, "", rows))]


def _rests_on(comparison: Comparison) -> list[Part]:
    told = [f"{letters}: {text}" for letters, text in remarks_rows(comparison)]
    told += [
        f"{letters}: {text}"
        for letters, text in alike_together(
            (one.letter, followed(one.simulation)) for one in comparison.studies
        )
    ]
    files = [f"{one.letter}: {one.name}, from {one.study.source}" for one in comparison.studies]
    return [Items(items=[sentence(text) for text in (*files, *told, LIMITS_OF_THE_MODEL)])]
