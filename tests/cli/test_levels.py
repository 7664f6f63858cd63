"""Luminance limits, ageing, films and lumens on the command line: text, JSON, exit status."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from lumsim.report.light_text import picture_facts
from lumsim.report.luminance_limits import what_limits_luminance
from lumsim.study.answering import answer
from lumsim.study.reading import read_study
from tests.cli.called import SMALL, UNEQUAL, Called, lumsim, small_study


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study, whose face is 12 by 16 in with 12 modules of 90 lm."""
    return small_study(tmp_path)


def light(study: Path, *changes: str, json: bool = False) -> Called:
    """Light the study with changes, by direct light, which is quicker and as good here."""
    more = ["--json"] if json else []
    return lumsim("light", study, "--direct-only", *more, *(f"--set={change}" for change in changes))


NOTHING = "requirement.stripe_max_to_min="


def mean_of(study: Path, *changes: str) -> float:
    """Return the mean luminance of the visible face. [cd/m²]"""
    return float(light(study, *changes, json=True).document["luminance"]["mean_cd_m2"])


def test_a_cap_that_is_passed_is_told_with_the_share_to_dim_to(study: Path) -> None:
    """Text and JSON give one share; dimmed to it the cap holds, and a thousandth more would pass it. Status 1."""
    mean = mean_of(study)
    limit = round(0.7 * mean)
    called = light(study, f"requirement.max_luminance={limit}")
    assert called.status == 1
    document = light(study, f"requirement.max_luminance={limit}", json=True).document
    share = document["dimming"]["dim_to"]
    assert share * mean <= limit < (share + 0.001) * mean
    assert document["requirement"]["max_luminance"]["margin"] == pytest.approx(limit / mean - 1, rel=1e-7)
    assert document["requirement_met"] is False
    told = re.search(r"dimmed to ([0-9.]+) % or less it is met; dimming changes no ratio", called.out)
    assert told is not None
    assert float(told[1]) == pytest.approx(share * 100, rel=1e-9)
    assert f"(limit at most {limit} cd/m²: NOT met" in called.out
    assert "judged at full output" in document["dimming"]["note"]
    assert f"What helps: against too much light dim to {told[1]} %, or fewer or weaker modules" in called.out


def test_a_cap_that_is_kept_needs_no_dimming(study: Path) -> None:
    """Up to and including the limit it is met, status 0, and there is nothing to dim."""
    document = light(study, f"requirement.max_luminance={mean_of(study) * 1.001}", json=True).document
    assert (document["requirement_met"], document["dimming"]) == (True, None)


def test_a_luminance_that_is_missed_is_told_with_the_lumens_it_takes(study: Path) -> None:
    """The lumens told for the least required, put into the study, give just that."""
    least = round(1.5 * mean_of(study))
    called = light(study, f"requirement.min_luminance={least}")
    assert called.status == 1
    needed = light(study, f"requirement.min_luminance={least}", json=True).document["lumens_for_luminance"]
    assert needed["wanted_cd_m2"] == least
    assert mean_of(study, f"modules.standard.lumens={needed['lm_per_module']}") == pytest.approx(
        least, rel=1e-7
    )
    # One face of 12 by 16 in; a foot is 12 in.
    assert needed["lm_per_ft2"] == pytest.approx(12 * needed["lm_per_module"] / (16 / 12), rel=1e-7)
    assert needed["lm_per_m2"] == pytest.approx(12 * needed["lm_per_module"] / (0.3048 * 0.4064), rel=1e-7)
    assert needed["per_100_cd_m2_lm_per_m2"] * least / 100 == pytest.approx(needed["lm_per_m2"], rel=1e-7)
    assert "What helps: against too little light more lumens, " in called.out
    assert re.search(rf"for {least} cd/m²: [0-9]+ lm per m² of face \([0-9.]+ lm per ft²\), [0-9.]+ lm a module",
                     called.out)  # fmt: skip


def test_a_wanted_luminance_is_told_and_not_judged(study: Path) -> None:
    """With nothing required the status is 0 whatever is wanted; what each 100 cd/m² takes is always told."""
    called = light(study, NOTHING, "requirement.wanted_luminance=1e6")
    assert called.status == 0
    assert "nothing is required" in called.out
    assert "  for 1000000 cd/m²: " in called.out
    plain = light(study, json=True).document["lumens_for_luminance"]
    assert (plain["wanted_cd_m2"], plain["lm_per_m2"]) == (None, None)
    each = re.search(r"Each 100 cd/m² of mean luminance takes ([0-9.]+) lm per m² of face \(([0-9.]+) lm per ft²\) in "
                     r"this box with this layout \(by direct light only\)", light(study).out)  # fmt: skip
    assert each is not None
    assert float(each[1]) == pytest.approx(plain["per_100_cd_m2_lm_per_m2"], rel=1e-3)
    assert float(each[2]) == pytest.approx(float(each[1]) * 0.09290304, rel=1e-3)


def test_new_and_aged_are_both_told_and_both_decide(study: Path) -> None:
    """Met new and missed aged is not met, in status, verdict and JSON; the top level stays the new state."""
    mean = mean_of(study)
    least = f"requirement.min_luminance={0.8 * mean}"
    assert light(study, least).status == 0
    called = light(study, least, "ageing.maintenance_factor=0.7")
    assert called.status == 1
    assert re.search(r"^New and aged +new +aged  lumens × 0.7, inner reflectances × 1; transmittance as new$",
                     called.out, re.MULTILINE)  # fmt: skip
    assert re.search(r"^  requirement +met +NOT met$", called.out, re.MULTILINE)
    assert "VERDICT (direct light only, when aged): requirement NOT met; mean luminance " in called.out
    document = light(study, least, "ageing.maintenance_factor=0.7", json=True).document
    assert document["requirement_met"] is False
    assert document["requirement"]["min_luminance"]["met"] is True
    assert document["luminance"]["mean_cd_m2"] == mean
    old = document["aged"]
    assert (old["maintenance_factor"], old["dirt_factor"], old["requirement_met"]) == (0.7, 1.0, False)
    assert old["luminance"]["mean_cd_m2"] == pytest.approx(0.7 * mean, rel=1e-8)
    assert old["uniformity"] == document["uniformity"]
    assert old["flux"]["emitted_lm"] == pytest.approx(0.7 * 1080, rel=1e-8)
    assert old.keys() >= {"illuminance", "requirement"}
    easy = light(study, "ageing.maintenance_factor=0.7")
    assert "VERDICT (direct light only, new and aged): requirement met; stripes" in easy.out
    assert light(study, json=True).document["aged"] is None


def test_what_each_state_misses_is_told(study: Path) -> None:
    """Too bright new and too dark aged: both limits, and that neither dimming nor more lumens meets both."""
    mean = mean_of(study)
    called = light(
        study, f"requirement.max_luminance={0.9 * mean}", f"requirement.min_luminance={0.8 * mean}",
        "ageing.maintenance_factor=0.5",
    )  # fmt: skip
    verdict = next(line for line in called.out.splitlines() if line.startswith("VERDICT"))
    assert "(direct light only, when aged): requirement NOT met; mean luminance" in verdict
    assert "; when new: mean luminance" in verdict
    assert (
        "no output and no other modules meet both limits on luminance: new and aged lie further apart"
        in verdict
    )
    assert "but the mean when aged is then " in called.out
    assert "no output meets both" in called.out


def test_between_which_shares_to_dim_is_told(study: Path) -> None:
    """Where a cap is passed and a least asked for, both ends of dimming are told."""
    mean = mean_of(study)
    limits = (f"requirement.max_luminance={0.8 * mean}", f"requirement.min_luminance={0.5 * mean}")
    called = light(study, *limits)
    told = re.search(r"dimmed to between ([0-9.]+) % and ([0-9.]+) % both limits are met", called.out)
    assert told is not None
    low, high = (float(one) / 100 for one in told.groups())
    assert 0.5 <= low < 0.51
    assert 0.79 < high <= 0.8


def test_the_darkest_place_is_judged_and_told(study: Path) -> None:
    """Text, JSON and verdict hold the lowest luminance against its limit, new and aged; what helps is told."""
    lowest = float(light(study, json=True).document["luminance"]["min_cd_m2"])
    least = f"requirement.darkest_luminance={0.8 * lowest}"
    called = light(study, least)
    assert called.status == 0
    assert re.search(r"^Lowest luminance at full output [0-9.]+ cd/m² \(limit at least [0-9.]+ cd/m²: met\)$",
                     called.out, re.MULTILINE)  # fmt: skip
    assert f"  darkest   at least {0.8 * lowest:.10g} cd/m² at full output" in called.out
    document = light(study, least, "ageing.maintenance_factor=0.7", json=True).document
    assert document["requirement"]["darkest_luminance"]["actual"] == pytest.approx(lowest)
    assert document["aged"]["requirement"]["darkest_luminance"]["actual"] == pytest.approx(0.7 * lowest)
    assert (document["requirement_met"], document["aged"]["requirement_met"]) == (False, False)
    missed = light(study, least, "ageing.maintenance_factor=0.7")
    assert missed.status == 1
    assert "requirement NOT met; lowest luminance" in missed.out
    assert "against too little light in the darkest place more lumens, " in missed.out
    assert "or outer rows nearer the returns" in what_limits_luminance("darkest_luminance")


def test_a_lowest_luminance_of_built_signs_stands_in_columns(study: Path) -> None:
    """Names and luminances are as wide as they are: no two run into each other."""
    called = lumsim(
        "tolerance", study, "--direct-only", "--signs=3", "--set=requirement.darkest_luminance=2",
        "--set=tolerance.flux_scatter=0.05",
    )  # fmt: skip
    assert re.search(r"^  lowest luminance  ([0-9.]+ cd/m²  ){3}[0-9.]+ cd/m²$", called.out, re.MULTILINE)
    assert re.search(r"^  max/min + {6}[0-9.]+ +[0-9.]+ +[0-9.]+ +[0-9.]+$", called.out, re.MULTILINE)


def test_dimming_keeps_the_darkest_place_light_enough(study: Path) -> None:
    """Between two shares all limits on luminance are met; a lowest near the cap leaves none, and it is said why."""
    document = light(study, json=True).document
    mean, lowest = document["luminance"]["mean_cd_m2"], document["luminance"]["min_cd_m2"]
    cap, low = f"requirement.max_luminance={0.8 * mean}", f"requirement.min_luminance={0.1 * mean}"
    called = light(study, cap, low, f"requirement.darkest_luminance={0.5 * lowest}")
    told = re.search(
        r"dimmed to between ([0-9.]+) % and ([0-9.]+) % all limits on luminance are met", called.out
    )
    assert told is not None
    assert 0.5 <= float(told[1]) / 100 < 0.51
    called = light(study, cap, f"requirement.darkest_luminance={0.9 * lowest}")
    assert "is met, but the lowest luminance is then" in called.out
    assert (
        "the mean and the darkest place lie further apart than these; move a limit, or make the face more even"
        in (called.out)
    )


def test_of_two_faces_the_lowest_is_told_where_it_is_limited(tmp_path: Path) -> None:
    """The table of both faces has a row for it beside the mean's."""
    unequal = small_study(tmp_path, text=UNEQUAL)
    assert "lowest [cd/m²]" not in light(unequal).out
    assert re.search(r"^  lowest \[cd/m²\] +[0-9.]+ +[0-9.]+$", light(unequal, "requirement.darkest_luminance=2").out,
                     re.MULTILINE)  # fmt: skip


def test_lumens_that_break_the_cap_are_told_to(study: Path) -> None:
    """A wanted luminance above the most allowed is reckoned, and said to be too much."""
    mean = mean_of(study)
    called = light(study, f"requirement.max_luminance={mean}", f"requirement.wanted_luminance={2 * mean}")
    assert "  but the mean is then " in called.out
    assert "above the most allowed of" in called.out


def test_a_film_is_told_with_what_it_leaves_out(study: Path) -> None:
    """Head, books and JSON tell the film; the lumens still add up to those of the modules."""
    called = light(study, "face.film_transmittance=0.25")
    assert (
        "film      transmittance 0.25: luminance only; what it throws back inside is not modelled"
        in called.out
    )
    assert re.search(r"absorbed in the film +[0-9.]+ lm", called.out)
    document = light(study, "face.film_transmittance=0.25", json=True).document
    assert document["film"]["transmittance"] == {"front": 0.25}
    assert document["film"]["note"] == "film: luminance only; what it throws back inside is not modelled"
    flux = document["flux"]
    booked = math.fsum(
        flux[f"{name}_lm"]
        for name in ("through_face", "absorbed_film", "absorbed_face", "absorbed_back", "not_followed",
                     *(f"absorbed_{side}_return" for side in ("left", "right", "bottom", "top")))
    )  # fmt: skip
    assert booked == pytest.approx(flux["emitted_lm"], rel=1e-6)
    assert flux["absorbed_film_lm"] == pytest.approx(3 * flux["through_face_lm"], rel=1e-7)
    plain = light(study, json=True).document
    assert (plain["film"], plain["flux"]["absorbed_film_lm"]) == (None, 0.0)
    assert document["luminance"]["mean_cd_m2"] == pytest.approx(
        plain["luminance"]["mean_cd_m2"] / 4, rel=1e-8
    )
    assert document["illuminance"]["mean_lx"] == pytest.approx(plain["illuminance"]["mean_lx"], rel=1e-8)


def test_points_behind_a_film_have_its_luminance(study: Path, tmp_path: Path) -> None:
    """A point asked for at a corner of the visible face has the luminance that the map has there."""
    file = tmp_path / "map.csv"
    called = lumsim(
        "light",
        study,
        "--direct-only",
        "--json",
        "--at=1 in; 1 in",
        "--map",
        file,
        "--set=face.film_transmittance=0.3",
    )
    corner = file.read_text(encoding="utf-8").splitlines()[1].split(",")
    assert called.document["points"][0]["luminance_cd_m2"] == pytest.approx(float(corner[3]), rel=1e-7)


def test_check_tells_film_ageing_and_what_is_asked_for(study: Path) -> None:
    """Before anything is lit, what was read of them stands in the text."""
    changes = ("ageing.dirt_factor=0.9", "face.film_transmittance=0.5", "requirement.max_luminance=600",
               "requirement.wanted_luminance=300")  # fmt: skip
    called = lumsim("check", study, *(f"--set={change}" for change in changes))
    assert called.status == 0
    for part in (
        "film      transmittance 0.5: luminance only",
        "ageing    lumens × 1, inner reflectances × 0.9; transmittance as new",
        "luminance at most 600 cd/m², wanted 300 cd/m²: mean of the visible face at full output",
    ):
        assert part in called.out
    assert not re.search(r"^  (film|ageing|luminance) ", lumsim("check", study).out, re.MULTILINE)


def test_a_search_by_luminance_answers_what_light_calls_met(study: Path) -> None:
    """The pitch on the tape, put into the study, is met new and aged by `light`; its mean stands in text and JSON."""
    changes = (NOTHING, f"requirement.min_luminance={0.45 * mean_of(study)}", "ageing.maintenance_factor=0.7")
    arguments: list[str | Path] = [
        "search",
        study,
        "--direct-only",
        *(f"--set={change}" for change in changes),
    ]
    called, document = lumsim(*arguments), lumsim(*arguments, "--json").document
    assert called.status == 0
    assert "for mean luminance at least " in called.out
    assert "met new and aged; limits are told where they have less to spare, all else when aged" in called.out
    assert (
        "the study's own layout meets the requirement new and aged (when aged: mean luminance" in called.out
    )
    best = document["answers"][0]["to_build"]
    assert best["state"] == document["own_layout"]["state"] == "aged"
    assert light(study, *changes, f"rows.pitch={best['pitch_m']} m").status == 0
    assert best["mean_cd_m2"] == pytest.approx(best["requirement"]["min_luminance"]["actual"])


def test_luminance_out_of_reach_is_told_with_what_limits_it(tmp_path: Path) -> None:
    """Too much light at every pitch: status 1, and what would help."""
    deep = small_study(tmp_path, text=SMALL.replace('depth = "6 in"', 'depth = "18 in"'))
    called = lumsim("search", deep, "--direct-only", f"--set={NOTHING}", "--set=requirement.max_luminance=1")
    assert called.status == 1
    assert "What limits it: too much light: dim the sign (which changes no ratio)" in called.out
    assert "too little light: modules of more lumens" in what_limits_luminance("min_luminance")


def test_a_picture_says_what_both_states_say(study: Path) -> None:
    """Under the picture of a face stands NOT met where the aged state misses what the new one meets."""
    changes = [f"requirement.min_luminance={0.8 * mean_of(study)}", "ageing.maintenance_factor=0.7"]
    _, verdict = picture_facts(answer(read_study(study, changes=changes), direct_only=True))
    assert "requirement NOT met when aged: mean luminance" in verdict
