"""`lumsim check`: read a study, place its rows, tell every problem; light nothing."""

from __future__ import annotations

from lumsim.cli.messages import show
from lumsim.cli.options import Changes, StudyFile

__all__ = ["check"]


def check(study: StudyFile, changes: Changes = []) -> None:
    """Check a study file and place its rows, without lighting it; every problem at once, with its line."""
    from lumsim.report.light_text import cabinet_text
    from lumsim.report.named_text import named_lines
    from lumsim.report.notes import layout_warnings
    from lumsim.study.reading import read_study

    checked = read_study(study, changes=changes)
    lines = cabinet_text(checked)
    lines += named_lines(checked)
    lines += [
        f"WARNING: {text}" for text in (*checked.remarks, *layout_warnings(checked.cabinet, checked.units))
    ]
    lines.append(f"{study}: no problem found")
    show("\n".join(lines))
