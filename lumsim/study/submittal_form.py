"""The keys of a study file's [submittal] table: what its title block says, and where inputs come from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from lumsim.study.table import Table

__all__ = ["SubmittalForm", "TitleBlock", "title_block"]

LONGEST = 120
"""Of a text in the title block. [1]"""

LONGEST_ORIGIN = 200
"""Of where an input comes from. [1]"""


def _line(value: object) -> str:
    if isinstance(value, datetime | date | time):
        value = value.isoformat()
    if not isinstance(value, str):
        raise ValueError(f'must be text in quotes such as "2", got {value!r}')
    if not value.strip() or len(value) > LONGEST or not value.isprintable():
        raise ValueError(f"must be one line of 1 to {LONGEST} characters")
    return value.strip()


def _origins(value: object) -> dict[str, str]:
    if not isinstance(value, dict):
        raise ValueError(
            f'must be a table such as {{ "face.transmittance" = "data sheet, page 2" }}, got {value!r}'
        )
    return dict(_flat(value, ""))


def _flat(table: dict[str, Any], before: str) -> Iterator[tuple[str, str]]:
    """Keys with dots in quotes and tables within tables alike."""
    for key, text in table.items():
        name = f"{before}{key}"
        if isinstance(text, dict):
            yield from _flat(text, f"{name}.")
        elif not isinstance(text, str) or not text.strip():
            raise ValueError(f'{name}: must be text in quotes such as "data sheet, page 2", got {text!r}')
        elif len(text) > LONGEST_ORIGIN or not text.isprintable():
            raise ValueError(f"{name}: must be one line of at most {LONGEST_ORIGIN} characters")
        else:
            yield name, text.strip()


Line = Annotated[
    str, BeforeValidator(_line), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": LONGEST})
]
"""One line of text; a TOML date is written as it stands."""


class SubmittalForm(Table):
    """What the title block of a submittal says, and where inputs come from."""

    project: Line | None = Field(default=None, description="what it is part of")
    sheet: Line | None = Field(default=None, description="its number among the project's papers")
    revision: Line | None = Field(default=None, description="which version of it")
    prepared_by: Line | None = Field(default=None, description="who answers for it")
    date: Line | None = Field(
        default=None, description="of the submittal; nothing else dates it, no clock is read"
    )
    origins: Annotated[
        dict[str, str],
        BeforeValidator(_origins),
        WithJsonSchema({"type": "object", "additionalProperties": {"type": ["string", "object"]}}),
    ] = Field(
        default={},
        description="where an input, or all of a table, comes from, by its key: measured, a data sheet, a drawing",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What a title block says; None where the study does not."""

    project: str | None = None
    sheet: str | None = None
    revision: str | None = None
    prepared_by: str | None = None
    date: str | None = None
    origins: Mapping[str, str] = field(default_factory=dict)
    """where inputs come from, by their keys or by those of their tables"""


def title_block(form: SubmittalForm) -> TitleBlock:
    """What a form says in a title block.

    Parameters
    ----------
    form : SubmittalForm
    """
    return TitleBlock(
        project=form.project,
        sheet=form.sheet,
        revision=form.revision,
        prepared_by=form.prepared_by,
        date=form.date,
        origins=form.origins,
    )
