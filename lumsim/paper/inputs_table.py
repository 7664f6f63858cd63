"""Every input of a study, in its units and in SI, with where it comes from."""

from __future__ import annotations

from itertools import groupby

from lumsim.report.columns import Block
from lumsim.study.inputs import Input
from lumsim.study.reading import Study

__all__ = ["inputs_blocks", "origin_words"]

HEADS = ("key, and what it is", "value (SI)", "from")


def inputs_blocks(study: Study) -> list[Block]:
    """One table for each table of the study file, and one for what the study leaves to lumsim.

    Parameters
    ----------
    study : Study
    """
    given = [one for one in study.inputs if not one.default]
    left = [one for one in study.inputs if one.default]
    blocks = [
        Block(head=table, heads=HEADS, rows=[_cells(one, table) for one in inputs])
        for table, inputs in ((table, list(group)) for table, group in groupby(given, key=_table_of))
    ]
    if left:
        rows = [[one.key, _value(one), one.stated or "default"] for one in left]
        blocks.append(Block(head="Left to lumsim's defaults", heads=HEADS, rows=rows))
    return blocks


def _table_of(one: Input) -> str:
    """The table of the file that a key stands in; what stands in tables within tables counts to the outer ones."""
    parts = one.key.split(".")
    deep = 2 if parts[0] == "modules" or (len(parts) > 1 and parts[1].isdigit()) else 1
    return ".".join(parts[:deep])


def _cells(one: Input, table: str) -> list[str]:
    key = one.key.removeprefix(f"{table}.")
    return [f"{key}: {one.what}" if one.what else key, _value(one), origin_words(one)]


def _value(one: Input) -> str:
    return f"{one.value} ({one.si})" if one.si else one.value


def origin_words(one: Input) -> str:
    """Where an input comes from.

    Parameters
    ----------
    one : Input
    """
    if one.changed:
        place = "tried on the command line"
    elif one.line is None:
        place = "default"
    else:
        place = f"study, line {one.line}"
    return f"{one.stated} ({place})" if one.stated else place
