"""One table of names serves text and pictures."""

from __future__ import annotations

import pytest

from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import LIMITS


def test_every_number_that_can_be_limited_has_a_name() -> None:
    """Whatever a study may limit can be told by name, and no two numbers share one but the two limits on the mean."""
    assert LIMITS.keys() <= NAMES.keys()
    assert len(set(NAMES.values())) == len(NAMES) - 1
    assert NAMES["max_luminance"] == NAMES["min_luminance"]


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.0, "0.0 %"), (0.0004, "less than 0.1 %"), (0.021, "2.1 %"), (0.0994, "9.9 %"), (0.0996, "10 %"),
        (0.256, "26 %"), (1.5, "150 %"),
    ],
)  # fmt: skip
def test_per_cent_are_whole_from_ten_on_and_never_a_false_nought(share: float, text: str) -> None:
    """Below 10 % one decimal, from 10 % on none; what is not 0 is not printed as 0."""
    assert percent(share) == text
