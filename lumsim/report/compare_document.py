"""Several studies side by side as one JSON document."""

from __future__ import annotations

from typing import Any

from lumsim.pictures.exposure import Exposure
from lumsim.pictures.face_plan import luminance_limits
from lumsim.report.compare_numbers import difference, numbers_of
from lumsim.report.document import light_document
from lumsim.report.json_text import SCHEMA
from lumsim.study.comparing import Compared, Comparison

__all__ = ["compare_document"]


def compare_document(comparison: Comparison) -> dict[str, Any]:
    """Each study with its whole lit cabinet under its letter, differences against the first, one colour scale.

    Parameters
    ----------
    comparison : Comparison
    """
    faces = [one.lit for one in comparison.studies]
    low, high = luminance_limits(faces)
    numbers = {one.letter: numbers_of(one) for one in comparison.studies}
    first = numbers[comparison.first.letter]
    return {
        "schema": SCHEMA,
        "against": comparison.first.letter,
        "units": comparison.units,
        "same_requirement": comparison.same_requirement,
        "requirements_met": comparison.met,
        "studies": {
            one.letter: {
                "name": one.name,
                "told_of": {"face": one.lit.side, "state": one.state},
                "numbers": numbers[one.letter],
                **_lit(one),
            }
            for one in comparison.studies
        },
        "differences": {
            one.letter: {name: _difference(first[name], value) for name, value in numbers[one.letter].items()}
            for one in comparison.others
        },
        "colour_scale": {
            "low_cd_m2": low,
            "high_cd_m2": high,
            "screen_white_cd_m2": Exposure.of(faces).white,
        },
    }


def _lit(one: Compared) -> dict[str, Any]:
    """What `light --json` tells of the study, but for the version of the form, which the whole document has."""
    document = light_document(one.study, one.simulation)
    del document["schema"]
    return document


def _difference(first: float | None, other: float | None) -> dict[str, float | None] | None:
    found = difference(first, other)
    return None if found is None else {"absolute": found.absolute, "share": found.share}
