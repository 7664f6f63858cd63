"""What a submittal says as one JSON document."""

from __future__ import annotations

from typing import Any

from lumsim.report.document import light_document
from lumsim.report.json_text import SCHEMA
from lumsim.report.search_document import plane_part
from lumsim.report.sheet_document import sheet_document
from lumsim.study.inputs import Input
from lumsim.study.reading import Study
from lumsim.study.submitting import SubmittalAnswer

__all__ = ["submittal_document"]


def submittal_document(study: Study, answer: SubmittalAnswer) -> dict[str, Any]:
    """The same as the pages: title block, inputs, light, meshes, plane, what to build.

    Parameters
    ----------
    study : Study
    answer : SubmittalAnswer
    """
    block, own = study.title_block, answer.own
    return {
        "schema": SCHEMA,
        "title_block": {
            "title": study.title,
            "project": block.project,
            "sheet": block.sheet,
            "revision": block.revision,
            "prepared_by": block.prepared_by,
            "date": block.date,
        },
        "met": answer.met if own.verdict.judged else None,
        "inputs": [_input(one) for one in study.inputs],
        "light": light_document(study, own),
        "meshes": [
            {
                "patches_in_depth": one.patches_in_depth,
                "patches_inside": one.simulation.patches,
                "max_to_min": one.simulation.on(own.worse.side).evenness.max_to_min,
                "stripe_max_to_min": one.simulation.on(own.worse.side).evenness.stripe_max_to_min,
                "edge_dimming": one.simulation.on(own.worse.side).evenness.edge_dimming,
                "mean_cd_m2": one.simulation.on(own.worse.side).evenness.mean,
            }
            for one in answer.meshes
        ],
        "plane": None if answer.plane is None else plane_part(study, answer.plane),
        "no_plane": answer.no_plane or None,
        "sheet": sheet_document(study, answer.sheet),
    }


def _input(one: Input) -> dict[str, Any]:
    return {
        "key": one.key,
        "value": one.value,
        "si": one.si or None,
        "line": one.line,
        "changed": one.changed,
        "default": one.default,
        "stated": one.stated,
    }
