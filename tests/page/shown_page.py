"""A page of a small study, and the study's own words for each of its settings."""

from __future__ import annotations

from functools import cache

from lumsim.page.lit_settings import LitPage, lit_page
from lumsim.page.writing import page_bytes
from lumsim.study.paging import page_plan
from lumsim.study.reading import Study, study_from_text
from tests.study.written import SIGN

CHOICES = ('page.pitches=["6 in", "8 in", "12 in"]', 'page.depths=["4 in", "6 in", "9 in"]')


def study_of(*changes: str) -> Study:
    """Return the small study with changes."""
    return study_from_text(SIGN, shown="sign.toml", changes=(*CHOICES, *changes))


@cache
def lit(*changes: str) -> LitPage:
    """Return its page, lit."""
    return lit_page(page_plan(study_of(*changes)))


@cache
def html(*changes: str) -> bytes:
    """Return its page as a file's content."""
    return page_bytes(lit(*changes))
