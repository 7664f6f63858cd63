"""Every published number on rows without end, by lumsim's closed form."""

from __future__ import annotations

import pytest

from tests.published.endless_rows import BY_FAMILY
from tests.published.values import by_family, missed, printed_digits, read_published

ALL = [*read_published(), *read_published("reflected.toml")]


@pytest.mark.parametrize("family", BY_FAMILY)
def test_the_closed_form_gives_the_published_numbers(family: str) -> None:
    """Whatever cabinets need for a tolerance, the closed form gives every number to its printed digits."""
    assert (
        missed(by_family(ALL)[family], lambda one: BY_FAMILY[family](**one.parameters), printed_digits) == []
    )


def test_every_family_is_found() -> None:
    """No family stands idle."""
    assert set(BY_FAMILY) <= {one.family for one in ALL}
