"""The spot contrast as a limit, from the study file to what is said of it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from lumsim.report.light_text import light_text, picture_facts, verdict_line
from lumsim.simulation import USUAL, Lighting, simulate
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests import cabinets
from tests.cabinets import DIRECT
from tests.cli.called import SMALL, lumsim
from tests.study.written import changed, problem

FEW = SMALL.replace('"4 in"', '"8 in"').replace("stripe_max_to_min = 1.2", "hot_spot_contrast = 0.05")
"""Two rows of two dots each, which show."""


def study(limit: float) -> Study:
    """Return a study of four dots with a limit."""
    return study_from_text(FEW, changes=[f"requirement.hot_spot_contrast={limit}"])


def test_a_limit_is_met_up_to_and_including_it() -> None:
    """Held to its own number a face meets it, with nothing to spare; a little below it does not."""
    number = answer(study(0.5), direct_only=True).evenness.hot_spot_contrast
    assert 0.05 < number < 0.5
    met = answer(study(number), direct_only=True).verdict
    assert met.met
    assert met.judged[0].margin == pytest.approx(0.0, abs=1e-12)
    assert not answer(study(number * (1 - 1e-6)), direct_only=True).verdict.met


def test_it_is_told_in_text_and_picture_with_what_helps() -> None:
    """Number, limit, how far it is missed, and that stripes and dots are cured by closer modules."""
    asked = study(0.05)
    lit = answer(asked, direct_only=True)
    number = lit.evenness.hot_spot_contrast
    text = light_text(asked, lit)
    assert f"  spot contrast       {number:.3f}  (limit at most 0.050: NOT met) greatest of a stripe" in text
    assert f"spot contrast {number:.3f}, limit at most 0.050" in " ".join(picture_facts(lit))
    line = verdict_line(lit)
    assert f"NOT met; spot contrast {number:.3f}, limit at most 0.050" in line
    assert f"against stripes and dots (contrast {number * 100:.0f} %) rows closer together" in line
    assert "dark edges" not in line


def test_stripes_and_spots_that_both_fail_are_cured_once() -> None:
    """The same ways help against both."""
    both = study_from_text(FEW, changes=["requirement.stripe_max_to_min=1.01"])
    line = verdict_line(answer(both, direct_only=True))
    assert line.count("rows closer together") == 1


def test_without_a_limit_it_is_told_in_per_cent() -> None:
    """As are the contrasts in the list of spots."""
    asked = study_from_text(SMALL)
    lit = answer(asked, direct_only=True)
    share = lit.evenness.hot_spot_contrast
    shown = f"{share * 100:.1f} %" if share >= 0.0005 else "less than 0.1 %" if share else "0.0 %"
    assert f"  spot contrast       {shown}" in light_text(asked, lit)


def test_it_is_in_the_document(tmp_path: Path) -> None:
    """As a number on evenness, as a limit, and with how far it may be off."""
    file = tmp_path / "few.toml"
    file.write_text(FEW)
    told = lumsim("light", file, "--json", "--direct-only").document
    number = told["uniformity"]["hot_spot_contrast"]
    assert told["requirement"]["hot_spot_contrast"] == {
        "value": 0.05, "actual": number, "met": False, "margin": pytest.approx(0.05 / number - 1),
        "to_spare": pytest.approx(1 - number / 0.05),
    }  # fmt: skip
    assert 0 <= told["numerical_error"]["hot_spot_contrast"] < 0.01


def test_a_search_limited_by_it_tells_what_limits_it_where_it_is_out_of_reach(tmp_path: Path) -> None:
    """Dots far apart in two rows or ten show all the same: a deeper cabinet or closer modules would help."""
    file = tmp_path / "few.toml"
    file.write_text(FEW.replace('module_pitch = "8 in"', "module_count = 2").replace("0.05", "0.02"))
    told = lumsim("search", file, "--direct-only", "--set", "cabinet.depth=3 in")
    assert told.status == 1
    assert "What limits it: stripes and dots, contrast" in told.out
    assert "a deeper cabinet, or modules closer along the rows" in told.out


@pytest.mark.parametrize("value", ["1.5", "-0.1", '"5 %"'])
def test_what_cannot_be_a_contrast_is_refused(value: str) -> None:
    """It is a share, from 0 to 1."""
    text = changed(("stripe_max_to_min = 1.2", f"hot_spot_contrast = {value}"))
    one = problem(text)
    assert one.key == "requirement.hot_spot_contrast"
    assert "0 or more and at most 1" in one.text


@pytest.mark.parametrize(
    ("rows", "modules", "depth"),
    [
        (3, 9, 0.15),
        (1, 12, 0.2),
        pytest.param(4, 24, 0.12, marks=pytest.mark.slow),
        pytest.param(6, 12, 0.08, marks=pytest.mark.slow),
    ],
)
def test_the_error_told_covers_what_a_finer_computation_changes(
    rows: int, modules: int, depth: float
) -> None:
    """Twice as fine a mesh, and by direct light alone twice as many samples, move it by no more than is told."""
    cabinet = cabinets.in_rows(1.2, 0.6, depth, rows=rows, modules=modules)
    usual, finer = (
        simulate(cabinet, lighting=Lighting(patches_in_depth=patches)) for patches in (USUAL, 2 * USUAL)
    )
    assert abs(finer.evenness.hot_spot_contrast - usual.evenness.hot_spot_contrast) <= (
        usual.error.hot_spot_contrast + 1e-6
    )
    assert usual.error.hot_spot_contrast < 2e-3
    usual, finer = (simulate(cabinet, lighting=DIRECT, samples_per_detail=many) for many in (4.0, 8.0))
    change = abs(finer.evenness.hot_spot_contrast - usual.evenness.hot_spot_contrast)
    assert change <= usual.error.hot_spot_contrast + 1e-6
    assert math.isfinite(usual.error.hot_spot_contrast)
