"""Every published number on rows without end, by lumsim's closed form."""

from __future__ import annotations

import pytest

from tests.published.endless_rows import BY_FAMILY
from tests.published.values import FROM_PRINTED_DIGITS, Published, last_place, read_published

ALL = [*read_published(), *read_published("reflected.toml")]


@pytest.mark.parametrize("published", [one for one in ALL if one.family in BY_FAMILY], ids=str)
def test_the_closed_form_gives_the_published_number(published: Published) -> None:
    """Whatever cabinets need for a tolerance, the closed form gives every number to its printed digits."""
    assert BY_FAMILY[published.family](**published.parameters) == pytest.approx(
        published.expected, rel=0, abs=FROM_PRINTED_DIGITS * last_place(published.printed)
    )


def test_every_family_is_found() -> None:
    """No family stands idle."""
    assert set(BY_FAMILY) <= {one.family for one in ALL}
