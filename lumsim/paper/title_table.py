"""The title block: what the study says of the paper, and what it leaves open."""

from __future__ import annotations

from lumsim.study.reading import Study

__all__ = ["OPEN", "running_head", "title_entries"]

OPEN = "not told in the study"


def title_entries(study: Study) -> list[tuple[str, str]]:
    """Each entry of the title block with its name.

    Parameters
    ----------
    study : Study
    """
    block = study.title_block
    return [
        ("Project", block.project or OPEN),
        ("Sheet", block.sheet or OPEN),
        ("Prepared by", block.prepared_by or OPEN),
        ("Revision", block.revision or OPEN),
        ("Study file", study.source.replace("\\", "/").rpartition("/")[2]),
        ("Date", block.date or OPEN),
    ]


def running_head(study: Study) -> str:
    """What stands at the head of every page.

    Parameters
    ----------
    study : Study
    """
    block = study.title_block
    told = [
        block.project,
        study.title,
        f"sheet {block.sheet}" if block.sheet else None,
        f"revision {block.revision}" if block.revision else None,
        block.date,
    ]
    return " · ".join(one for one in told if one)
