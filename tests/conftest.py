"""What holds for every test."""

from __future__ import annotations

import os
import sys

import pytest
from hypothesis import HealthCheck, settings

# Before NumPy is imported: on matrices as small as these, threads that wait for each other only cost time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A busy machine is no fault, so no example has a deadline.
settings.register_profile(
    "usual", max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("thorough", settings.get_profile("usual"), max_examples=500)
settings.load_profile("usual")


@pytest.fixture(autouse=True)
def _insides_are_kept(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Boxes of the same sizes share what is computed of their insides, but not where that is what is timed."""
    if "lumsim.simulation" in sys.modules and "benchmarks" not in request.path.parts:
        from tests import kept_insides  # noqa: PLC0415, tests of other things need not import what this does

        monkeypatch.setattr(sys.modules["lumsim.simulation"], "interior_of", kept_insides.interior_of)
