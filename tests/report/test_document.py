"""The JSON documents hold every key that is promised, each with the value the result has."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from lumsim.report.document import SCHEMA, as_json, light_document
from lumsim.simulation import Simulation
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests.cli.called import SMALL

PROMISED = {
    "schema", "study", "illuminance", "luminance", "uniformity", "hot_spots", "dark_spots", "stripes", "flux",
    "requirement", "grid", "numerical_error", "warnings", "points",
}  # fmt: skip
UNIFORMITY = {
    "max_to_min", "min_to_mean", "min_to_max", "coefficient_of_variation", "nine_point", "stripe_max_to_min",
    "edge_dimming", "ripple_along", "ripple_across",
}  # fmt: skip
FLUX = {
    "emitted_lm", "through_face_lm", "leaving_visible_face_lm", "absorbed_back_lm", "absorbed_returns_lm",
    "absorbed_face_lm", "not_followed_lm", "balance_error",
}  # fmt: skip


def lit(*changes: str) -> tuple[Study, Simulation, dict[str, Any]]:
    """Return the small study, its light, and its document as a reader of the JSON gets it."""
    study = study_from_text(SMALL, changes=changes)
    simulation = answer(study)
    return study, simulation, json.loads(as_json(light_document(study, simulation, [(0.1, 0.2)])))


def test_every_promised_key_is_there() -> None:
    """The document's keys are a promise to programs that read it."""
    _, _, document = lit("requirement.max_to_min=1.5")
    assert document.keys() >= PROMISED
    assert document["schema"] == SCHEMA
    assert document["uniformity"].keys() >= UNIFORMITY
    assert document["flux"].keys() >= FLUX
    assert document["illuminance"].keys() == {"mean_lx", "max_lx", "max_at_m", "min_lx", "min_at_m"}
    assert document["luminance"].keys() == {"mean_cd_m2", "max_cd_m2", "max_at_m", "min_cd_m2", "min_at_m"}
    assert document["requirement"].keys() == {"max_to_min", "stripe_max_to_min"}
    for judged in document["requirement"].values():
        assert judged.keys() >= {"value", "met", "margin"}
    assert document["points"][0].keys() == {"at_m", "direct_lx", "reflected_lx", "total_lx"}


def test_the_numbers_hang_together() -> None:
    """Ratios are those of the levels, margins those of the limits, and the lumens add up."""
    _, simulation, document = lit("requirement.max_to_min=1.2")
    levels, ratios, flux = document["luminance"], document["uniformity"], document["flux"]
    assert ratios["max_to_min"] == pytest.approx(levels["max_cd_m2"] / levels["min_cd_m2"], rel=1e-8)
    assert ratios["min_to_mean"] == pytest.approx(levels["min_cd_m2"] / levels["mean_cd_m2"], rel=1e-8)
    # L = τ E / π with τ = 0.4.
    assert levels["max_cd_m2"] == pytest.approx(document["illuminance"]["max_lx"] * 0.4 / math.pi, rel=1e-8)
    judged = document["requirement"]["max_to_min"]
    assert judged == {
        "value": 1.2,
        "actual": ratios["max_to_min"],
        "met": False,
        "margin": pytest.approx(1.2 / ratios["max_to_min"] - 1, rel=1e-7),
    }
    assert document["requirement_met"] is False
    # Twelve modules of 90 lm.
    assert flux["emitted_lm"] == 1080
    booked = sum(
        flux[key]
        for key in (
            "through_face_lm",
            "absorbed_back_lm",
            "absorbed_returns_lm",
            "absorbed_face_lm",
            "not_followed_lm",
        )
    )
    assert booked == pytest.approx(1080, rel=1e-6)
    assert document["grid"]["points_x"] == len(simulation.luminance.x)


def test_without_a_requirement_nothing_is_met_or_missed() -> None:
    """Where nothing is required the verdict is null and not true."""
    _, _, document = lit("requirement.stripe_max_to_min=")
    assert document["requirement"] == {}
    assert document["requirement_met"] is None


def test_the_study_is_told_as_it_was_read() -> None:
    """Sizes, rows, changes and defaults stand in the document, in metres: 4 in is 0.1016 m."""
    study, _, document = lit("cabinet.depth=7 in")
    told = document["study"]
    assert (told["title"], told["units"], told["modules"]) == ("Corner shop", "in", 12)
    assert (told["width_m"], told["height_m"], told["depth_m"]) == (0.3048, 0.4064, 0.1778)
    assert told["changes"] == ["cabinet.depth=7 in"]
    assert told["defaults"] == dict(study.defaults)
    (rows,) = told["rows"]
    assert rows["positions_m"] == [0.0508, 0.1524, 0.254, 0.3556]
    assert (rows["count"], rows["pitch_m"], rows["edge_distances_m"]) == (4, 0.1016, [0.0508, 0.0508])
    assert rows["throw_m"] == pytest.approx(0.1651, rel=1e-9)


def test_ripples_are_along_and_across_whichever_way_the_rows_run() -> None:
    """The same layout turned by a right angle has the same ripples along and across its rows."""
    _, _, lying = lit("rows.module_pitch=6 in")
    _, _, standing = lit(
        "rows.module_pitch=6 in", "rows.direction=vertical", "cabinet.width=16 in", "cabinet.height=12 in"
    )
    for key in ("ripple_along", "ripple_across"):
        assert lying["uniformity"][key] == pytest.approx(standing["uniformity"][key], rel=1e-6)
    assert lying["uniformity"]["ripple_along"] != pytest.approx(
        lying["uniformity"]["ripple_across"], rel=1e-3
    )


def test_what_json_lacks_becomes_null_and_floats_have_nine_digits() -> None:
    """NaN and infinity have no form in JSON; a third has nine digits."""
    assert json.loads(
        as_json({"a": [math.nan, math.inf, -math.inf, 1 / 3, 12345678901.5, True, None, 7]})
    ) == {"a": [None, None, None, 0.333333333, 12345678900.0, True, None, 7]}
