"""The settings of a page as JSON."""

from __future__ import annotations

from typing import Any

from lumsim.page.lit_settings import LitPage, Told
from lumsim.report.document import study_part
from lumsim.report.json_text import SCHEMA
from lumsim.study.paging import PagePlan

__all__ = ["page_document"]


def page_document(lit: LitPage) -> dict[str, Any]:
    """Every setting of a page with its numbers, those of the worse of two faces, new.

    Parameters
    ----------
    lit : LitPage
    """
    plan = lit.plan
    return {
        "schema": SCHEMA,
        "study": study_part(plan.study),
        "finished": lit.finished,
        "settings": [_setting(plan, one) for one in lit.told.values()],
    }


def _setting(plan: PagePlan, told: Told) -> dict[str, Any]:
    laying = plan.layings[told.setting.laying]
    numbers = dict(told.numbers)
    levels = {f"{name}_cd_m2": numbers.pop(name) for name in ("mean", "highest", "lowest")}
    return {
        "row_pitch_m": None if laying.pitch is None else float(laying.pitch),
        "own_rows": laying.own,
        "depth_m": float(plan.depths[told.setting.depth]),
        "repainted": plan.walls[told.setting.walls].repainted,
        "rows": told.row_count,
        "modules": told.modules,
        "face": told.side,
        "luminance": levels,
        "uniformity": numbers,
        "requirement": dict(told.requirement),
        "requirement_met": told.met,
        "warnings": list(told.warnings),
    }
