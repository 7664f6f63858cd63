"""What holds for every test of the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from lumsim.chunks import Crew
from lumsim.cli import crew, search, tolerance


@pytest.fixture(autouse=True)
def _alone_unless_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work in this process where a test names nobody to do it: those that start take seconds to import."""

    def crew_of(processes: int | None, scheduler: str | None) -> Crew:
        nobody_named = processes is None and scheduler is None
        return crew.crew_of(1 if nobody_named else processes, scheduler)

    monkeypatch.setattr(search, "crew_of", crew_of)
    monkeypatch.setattr(tolerance, "crew_of", crew_of)


@pytest.fixture(autouse=True)
def _nothing_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Find nothing that another run has kept, and leave nothing."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
