"""The JSON documents hold every key that is promised, each with the value the result has."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lumsim.report.document import light_document
from lumsim.report.json_text import SCHEMA, as_json
from lumsim.simulation import Simulation, simulate
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests import cabinets
from tests.cabinets import DIRECT, OPAL
from tests.cli.called import MIRRORED, SMALL, UNEQUAL

PROMISED = {
    "schema", "study", "illuminance", "luminance", "uniformity", "hot_spots", "dark_spots", "stripes", "flux",
    "requirement", "grid", "numerical_error", "warnings", "points", "face", "faces",
}  # fmt: skip
UNIFORMITY = {
    "max_to_min", "min_to_mean", "min_to_max", "coefficient_of_variation", "nine_point", "stripe_max_to_min",
    "edge_dimming", "ripple_along", "ripple_across",
}  # fmt: skip
FLUX = {
    "emitted_lm", "through_face_lm", "leaving_visible_face_lm", "absorbed_back_lm", "absorbed_left_return_lm",
    "absorbed_right_return_lm", "absorbed_bottom_return_lm", "absorbed_top_return_lm", "absorbed_face_lm",
    "not_followed_lm", "balance_error",
}  # fmt: skip


POINT = {"direct_lx", "reflected_lx", "total_lx", "luminance_cd_m2"}


def booked(flux: dict[str, float]) -> float:
    """Add up where a document says that the lumens went."""
    absorbed = sum(value for key, value in flux.items() if key.startswith("absorbed_"))
    return flux["through_face_lm"] + absorbed + flux["not_followed_lm"]


def lit(*changes: str, text: str = SMALL) -> tuple[Study, Simulation, dict[str, Any]]:
    """Return the small study, its light, and its document as a reader of the JSON gets it."""
    study = study_from_text(text, changes=changes)
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
    assert document["points"][0].keys() == {"at_m", *POINT}
    assert (document["face"], document["faces"]) == ("front", None)


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
        "to_spare": pytest.approx(1 - ratios["max_to_min"] / 1.2, rel=1e-7),
    }
    assert document["requirement_met"] is False
    # Twelve modules of 90 lm.
    assert flux["emitted_lm"] == 1080
    assert booked(flux) == pytest.approx(1080, rel=1e-6)
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


def test_of_two_faces_the_worse_one_answers_and_both_are_held() -> None:
    """What stands at the top is, key by key, what stands under the face that is named there, the worse one."""
    _, simulation, document = lit(text=UNEQUAL)
    front, rear = document["faces"]["front"], document["faces"]["rear"]
    assert document["face"] == "rear"
    for key in rear.keys() - {"flux"}:
        assert document[key] == rear[key]
    assert front.keys() == rear.keys() == (PROMISED | {"hot_spots_not_listed", "dark_spots_not_listed"}) - {
        "schema", "study", "warnings", "points", "face", "faces",
    } | {"requirement_met", "viewing"}  # fmt: skip
    assert front["requirement_met"]
    assert not rear["requirement_met"]
    assert rear["uniformity"]["stripe_max_to_min"] > front["uniformity"]["stripe_max_to_min"]
    # L = τ E / π; the rear face of the study has τ = 0.3, the front 0.4.
    for face, transmittance in ((front, 0.4), (rear, 0.3)):
        expected = face["illuminance"]["mean_lx"] * transmittance / math.pi
        assert face["luminance"]["mean_cd_m2"] == pytest.approx(expected, rel=1e-8)
    assert simulation.rear is not None
    assert rear["luminance"]["mean_cd_m2"] == pytest.approx(simulation.rear.evenness.mean, rel=1e-8)


def test_the_lumens_of_both_faces_are_the_cabinets() -> None:
    """Through and absorbed in the two faces add up to the whole cabinet's, which with the returns are all given."""
    for text in (UNEQUAL, MIRRORED):
        _, _, document = lit(text=text)
        flux, faces = document["flux"], document["faces"]
        for key in ("through_face_lm", "leaving_visible_face_lm", "absorbed_face_lm"):
            assert flux[key] == pytest.approx(sum(faces[side]["flux"][key] for side in faces), rel=1e-8)
        assert flux["absorbed_back_lm"] == 0
        assert booked(flux) == pytest.approx(1080, rel=1e-6)
        shares = [faces[side]["flux"]["direct_share_of_visible_face"] for side in ("front", "rear")]
        assert min(shares) <= flux["direct_share_of_visible_face"] * (1 + 1e-8)
        assert flux["direct_share_of_visible_face"] <= max(shares) * (1 + 1e-8)
    assert faces["front"] == faces["rear"]


def test_each_return_has_its_own_lumens() -> None:
    """A black left return takes more than the three white ones, and each is told."""
    _, _, document = lit("interior.left_return_reflectance=0.05")
    flux = document["flux"]
    left, right, bottom, top = (
        flux[f"absorbed_{side}_return_lm"] for side in ("left", "right", "bottom", "top")
    )
    assert left > 3 * right > 0
    assert bottom == pytest.approx(top, rel=1e-6)
    assert booked(flux) == pytest.approx(1080, rel=1e-6)


def test_a_point_is_answered_on_both_faces() -> None:
    """Each point tells both faces, each in lx and cd/m², and at its top level the worse one."""
    _, _, document = lit(text=UNEQUAL)
    (point,) = document["points"]
    assert point.keys() == {"at_m", "front", "rear", *POINT}
    assert {key: point[key] for key in POINT} == point["rear"]
    for side, transmittance in (("front", 0.4), ("rear", 0.3)):
        found = point[side]
        assert found["total_lx"] == pytest.approx(found["direct_lx"] + found["reflected_lx"], rel=1e-8)
        assert found["luminance_cd_m2"] == pytest.approx(
            found["total_lx"] * transmittance / math.pi, rel=1e-8
        )
    assert point["front"]["direct_lx"] != point["rear"]["direct_lx"]


def test_rows_tell_their_throw_both_ways() -> None:
    """Rows 2 in above the rear face of a cabinet 6 in deep: 0.1016 m to the front, 0.0508 m to the rear."""
    _, _, document = lit(text=UNEQUAL)
    (rows,) = document["study"]["rows"]
    assert document["study"]["faces"] == 2
    assert (rows["throw_m"], rows["rear_throw_m"], rows["front_share"]) == (0.1016, 0.0508, 0.6)
    _, _, single = lit()
    (rows,) = single["study"]["rows"]
    assert single["study"]["faces"] == 1
    assert (rows["rear_throw_m"], rows["front_share"]) == (None, 1)


def test_listed_modules_tell_their_least_and_greatest_throw() -> None:
    """Listed modules 0.05 and 0.02 m above the rear face of a cabinet 0.2 m deep, by that subtraction."""
    cabinet = cabinets.listed(
        0.6, 0.4, 0.2, [(0.1, 0.1), (0.2, 0.2)], z=np.array([0.05, 0.02]), front_share=np.array([0.5, 0.7]),
        rear=OPAL,
    )  # fmt: skip
    study = replace(study_from_text(MIRRORED), cabinet=cabinet)
    document = light_document(study, simulate(cabinet, lighting=DIRECT))
    (rows,) = document["study"]["rows"]
    assert rows["listed_modules"] == 2
    assert rows["throws_m"] == pytest.approx([0.15, 0.18])
    assert (rows["rear_throws_m"], rows["front_shares"]) == ([0.02, 0.05], [0.5, 0.7])


def test_what_json_lacks_becomes_null_and_floats_have_nine_digits() -> None:
    """NaN and infinity have no form in JSON; a third has nine digits."""
    assert json.loads(
        as_json({"a": [math.nan, math.inf, -math.inf, 1 / 3, 12345678901.5, True, None, 7]})
    ) == {"a": [None, None, None, 0.333333333, 12345678900.0, True, None, 7]}
