"""The commands with measured beams and rows on returns: the demo studies, and what is warned of and refused."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.beams.written_lm63 import NAME, cosine_power, written
from tests.cli.called import SMALL, lumsim

STUDIES = Path(__file__).parents[2] / "studies"


@pytest.mark.parametrize("name", ["juniper-wharf", "millrace-gallery"])
def test_the_demos_meet_their_requirement_without_a_warning(name: str) -> None:
    """Each demo is checked and lit; its one warning in JSON is what light is followed."""
    assert "no problem found" in lumsim("check", STUDIES / f"{name}.toml").out
    lit = lumsim("light", STUDIES / f"{name}.toml", "--json")
    assert lit.status == 0
    assert len(lit.document["warnings"]) == 1
    assert lit.document["flux"]["balance_error"] < 1e-6


def test_the_demos_show_what_they_say() -> None:
    """Turned lenses miss the requirement; leaning to the face instead of the back makes the edge-lit face worse."""
    turned = lumsim("light", STUDIES / "juniper-wharf.toml", "--set", "rows.turn=90 deg", "--json")
    assert turned.status == 1
    gallery = STUDIES / "millrace-gallery.toml"
    to_back = lumsim("light", gallery, "--json").document["uniformity"]
    ahead = [part for n in (1, 2) for part in ("--set", f"rows.{n}.tilt=10 deg")]
    to_face = lumsim("light", gallery, *ahead, "--json").document["uniformity"]
    assert to_face["max_to_min"] > to_back["max_to_min"] > 2
    assert to_back["stripe_max_to_min"] < 1.05


def test_check_and_search_warn_of_what_is_odd_in_a_file(tmp_path: Path) -> None:
    """A remark of the photometric file stands in the text of both commands."""
    vertical = np.linspace(0, 90, 19)
    odd = written(vertical, [0.0], cosine_power(1.0, vertical, np.zeros(1)), twelfth=2)
    (tmp_path / NAME).write_text(odd, encoding="utf-8")
    study = tmp_path / "shop.toml"
    study.write_text(SMALL.replace("lumens = 90.0", f'beam = {{ file = "{NAME}" }}', 1), encoding="utf-8")
    for command in (["check"], ["search", "--direct-only"]):
        said = lumsim(command[0], study, *command[1:]).out
        assert f"WARNING: {NAME}: " in said
        assert "number for future use is 2" in said


def test_a_missing_file_is_bad_input(tmp_path: Path) -> None:
    """The file is named, and the exit status is 2."""
    study = tmp_path / "shop.toml"
    study.write_text(SMALL.replace("lumens = 90.0", f'beam = {{ file = "{NAME}" }}', 1), encoding="utf-8")
    called = lumsim("light", study)
    assert called.status == 2
    assert f"modules.standard.beam.file: {tmp_path / NAME}: there is no such file" in called.err
    assert called.err.startswith(f"{study}, line ")
