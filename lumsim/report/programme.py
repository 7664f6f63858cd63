"""A folder of studies searched in one run: a whole programme of signs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lumsim.cabinet.cabinet import Cabinet
from lumsim.report.json_text import SCHEMA
from lumsim.report.search_document import layout_part, search_document
from lumsim.report.search_text import reached, search_text
from lumsim.report.tables import table_bytes
from lumsim.simulation import Lighting
from lumsim.study.questions import Question, SearchAsked
from lumsim.study.reading import Study
from lumsim.study.searching import SearchAnswer, answers

__all__ = [
    "Layout",
    "Sign",
    "SignSearched",
    "programme_csv",
    "programme_document",
    "programme_text",
    "sign_searched",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One study of a programme: what one worker does at a time."""

    study: Study
    asked: SearchAsked
    """with at least one question"""
    lighting: Lighting


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """What one question is answered with."""

    question: Question
    cabinet: Cabinet
    """with the layout to build, or what came nearest"""
    met: bool
    finished: bool

    @staticmethod
    def of(answer: SearchAnswer) -> Layout:
        """Take it from an answer."""
        return Layout(
            question=answer.question,
            cabinet=answer.found.best.cabinet,
            met=answer.met,
            finished=answer.finished,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SignSearched:
    """What one study's search came to."""

    text: str
    """all of it"""
    document: Mapping[str, Any]
    lines: tuple[str, ...]
    """what of each question belongs in the programme's summary"""
    table: tuple[Mapping[str, Any], ...]
    """of each question but the plane, the layout to build"""
    layouts: tuple[Layout, ...]
    """likewise"""
    met: bool


def sign_searched(sign: Sign) -> SignSearched:
    """Answer every question of one study.

    Parameters
    ----------
    sign : Sign
    """
    found = answers(sign.study, sign.asked, lighting=sign.lighting)
    layouts = [one for one in found if isinstance(one, SearchAnswer)]
    return SignSearched(
        text=search_text(sign.study, found),
        document=search_document(sign.study, found),
        lines=tuple(reached(sign.study, one) for one in found),
        table=tuple(
            {
                "question": one.question,
                "met": one.met,
                **layout_part(one.found.best),
                **one.found.best.numbers,
            }
            for one in layouts
        ),
        layouts=tuple(Layout.of(one) for one in layouts),
        met=all(one.met for one in found),
    )


def programme_text(signs: Sequence[Sign], done: Mapping[int, SignSearched]) -> str:
    """Each study's answers one after the other, and at the end a line for each.

    Parameters
    ----------
    signs : sequence of Sign
    done : mapping
        What came of each, by its number; not all where the run was stopped.
    """
    blocks = [f"{signs[number].study.source}\n{one.text}" for number, one in sorted(done.items())]
    met = sum(one.met for one in done.values())
    summary = [f"{len(signs)} studies: of {met} every question is met"]
    if len(done) < len(signs):
        summary[0] += f"; UNFINISHED: {len(signs) - len(done)} were not come to"
    for number, sign in enumerate(signs):
        state = "not come to" if number not in done else "met" if done[number].met else "NOT met"
        told = "" if number not in done else f": {'; '.join(done[number].lines)}"
        summary.append(f"  {sign.study.source}  {state}{told}")
    return "\n\n\n".join([*blocks, "\n".join(summary)])


def programme_document(signs: Sequence[Sign], done: Mapping[int, SignSearched]) -> dict[str, Any]:
    """Every study's document, in the studies' order; null for those that were not come to.

    Parameters
    ----------
    signs : sequence of Sign
    done : mapping
        As for ``programme_text``.
    """
    return {
        "schema": SCHEMA,
        "finished": len(done) == len(signs),
        "requirement_met": len(done) == len(signs) and all(one.met for one in done.values()),
        "studies": [done[number].document if number in done else None for number in range(len(signs))],
    }


def programme_csv(signs: Sequence[Sign], done: Mapping[int, SignSearched]) -> bytes:
    """The layout to build for each question of each study, a line each; what one does not have is empty.

    Parameters
    ----------
    signs : sequence of Sign
    done : mapping
        As for ``programme_text``.
    """
    lines = [
        {"study": signs[number].study.source, **row}
        for number, one in sorted(done.items())
        for row in one.table
    ]
    names = list(dict.fromkeys(name for line in lines for name in line))
    return table_bytes(names, lines)
