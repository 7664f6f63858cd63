"""`lumsim light`: the numbers on stdout and nothing else there, files whole or not at all, status by the verdict."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lumsim.errors import OutputError
from lumsim.report.files import write_whole
from lumsim.study import answering
from tests.cli.called import SMALL, UNEQUAL, lumsim, small_study


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study."""
    return small_study(tmp_path)


def floats(value: Any) -> list[float]:
    """Return every float of a document."""
    if isinstance(value, dict):
        return [number for one in value.values() for number in floats(one)]
    if isinstance(value, list):
        return [number for one in value for number in floats(one)]
    return [value] if isinstance(value, float) else []


def test_text_tells_what_is_built_how_even_it_is_and_the_verdict(study: Path) -> None:
    """The sizes, the rows with their edge distance, each number and the verdict stand in the text, in words."""
    called = lumsim("light", study)
    assert called.status == 0
    for part in (
        "Corner shop",
        "12 × 16 × 6 in inside",
        "4 rows 4 in on centre, horizontal; edge distance 2 in",
        "3 modules 4 in on centre in each; edge distance 2 in",
        "90 lm, Lambertian; on the back, throw 5 1/2 in",
        "each a point, fit where what shines of it is at most 1 1/16 in long",
        "12, 1080 lm",
        "9.6 W",
        "interior.back_reflectance = 0.85",
        "max/min",
        "limit at most 1.20: met",
        "Where the lumens went",
        "VERDICT (with reflected light): requirement met",
    ):
        assert part in called.out
    assert not re.search(r"\b(nan|inf)\b", called.out)


def test_a_change_is_tried_and_told(study: Path) -> None:
    """What `--set` changes stands in the text, and the light is that of the changed study."""
    called = lumsim("light", study, "--set", "cabinet.depth=3 in")
    assert "tried     cabinet.depth=3 in" in called.out
    assert "throw 2 1/2 in" in called.out
    assert called.status == 1


def test_json_stands_alone_on_stdout_and_is_the_same_every_time(study: Path) -> None:
    """One valid JSON document without NaN, the same bytes twice, no float of more than nine digits."""
    called = lumsim("light", study, "--json")
    assert called.status == 0
    document = called.document
    assert document["schema"] == 2
    assert all(math.isfinite(number) for number in floats(document))
    digits = re.findall(r"-?\d+\.?\d*(?:e[-+]?\d+)?", re.sub(r'"(?:[^"\\]|\\.)*"', "", called.out))
    assert max(len(re.sub(r"e.*|[-.]", "", number).lstrip("0")) for number in digits) <= 9
    assert lumsim("light", study, "--json").out == called.out


def test_text_and_json_tell_the_same_numbers(study: Path) -> None:
    """The printed ratios are those of the document, to the digits printed."""
    out, document = lumsim("light", study).out, lumsim("light", study, "--json").document
    for title, value in (
        ("max/min", document["uniformity"]["max_to_min"]),
        ("stripes", document["uniformity"]["stripe_max_to_min"]),
        ("edge dimming", document["uniformity"]["edge_dimming"]),
        ("min/mean (U0)", document["uniformity"]["min_to_mean"]),
    ):
        printed = re.search(rf"^  {re.escape(title)} +([0-9.]+)", out, re.MULTILINE)
        assert printed is not None
        assert float(printed[1]) == pytest.approx(value, abs=0.0051)


def test_points_asked_for_are_answered_where_the_map_has_them(study: Path, tmp_path: Path) -> None:
    """A point at a corner of the visible face has the illuminance that the map's corner has."""
    file = tmp_path / "map.npz"
    called = lumsim("light", study, "--json", "--at", "1 in; 1 in", "--at", "6 in;8 in", "--map", file)
    corner, middle = called.document["points"]
    with np.load(file) as arrays:
        assert arrays["face"] == "front"
        assert corner["total_lx"] == pytest.approx(arrays["illuminance_lx"][0, 0], rel=1e-8)
    assert (corner["at_m"], middle["at_m"]) == ([0.0254, 0.0254], [0.1524, 0.2032])
    assert corner["total_lx"] == pytest.approx(corner["direct_lx"] + corner["reflected_lx"], rel=1e-8)
    assert corner["reflected_lx"] > 0
    text = lumsim("light", study, "--at", "6 in;8 in").out
    printed = re.search(
        r"6 in from left, +8 in from bottom: ([0-9.]+) lx \(([0-9.]+) lx of it direct\), ([0-9.]+) cd/m²",
        text,
    )
    assert printed is not None
    # L = τ E / π with τ = 0.4.
    assert float(printed[3]) == pytest.approx(middle["total_lx"] * 0.4 / math.pi, rel=1e-4)
    assert middle["luminance_cd_m2"] == pytest.approx(middle["total_lx"] * 0.4 / math.pi, rel=1e-8)
    assert float(printed[1]) == pytest.approx(middle["total_lx"], rel=1e-4)
    assert float(printed[2]) == pytest.approx(middle["direct_lx"], rel=1e-4)


@pytest.mark.parametrize(
    ("point", "said"),
    [
        ("12 in", 'write x and y with a semicolon between, such as --at "12 in; 24 in"'),
        ("12; 24", 'a length needs its unit: write "12 in"'),
        ("13 in; 2 in", "is outside the face, which is 12 × 16 in"),
        ("-1 in; 2 in", "is outside the face"),
    ],
)
def test_a_point_that_is_none_is_refused(point: str, said: str, study: Path) -> None:
    """A point that cannot be read, or lies outside, is refused with how to write it."""
    called = lumsim("light", study, "--at", point)
    assert (called.status, called.out) == (2, "")
    assert f"--at {point}: " in called.err
    assert said in called.err


def test_maps_hold_what_json_tells(study: Path, tmp_path: Path) -> None:
    """CSV and NPZ hold the same samples, [y, x]; their highest is at most the polished maximum, and near it."""
    csv, npz = tmp_path / "face.csv", tmp_path / "face.NPZ"
    document = lumsim("light", study, "--json", "--map", csv, "--map", npz).document
    with np.load(npz) as arrays:
        x, y, luminance, illuminance = (
            arrays[name] for name in ("x_m", "y_m", "luminance_cd_m2", "illuminance_lx")
        )
    assert luminance.shape == illuminance.shape == (len(y), len(x))
    assert (len(x), len(y)) == (document["grid"]["points_x"], document["grid"]["points_y"])
    assert (x[0], x[-1]) == pytest.approx((0.0254, 11 * 0.0254), rel=1e-12)
    assert (y[0], y[-1]) == pytest.approx((0.0254, 15 * 0.0254), rel=1e-12)
    assert luminance.max() <= document["luminance"]["max_cd_m2"] * (1 + 1e-8)
    assert luminance.max() == pytest.approx(document["luminance"]["max_cd_m2"], rel=0.01)
    assert luminance.min() >= document["luminance"]["min_cd_m2"] * (1 - 1e-8)
    # L = τ E / π of a Lambertian face.
    np.testing.assert_allclose(luminance, illuminance * 0.4 / np.pi, rtol=1e-12)
    header, *lines = csv.read_text(encoding="utf-8").splitlines()
    assert header == "x_m,y_m,illuminance_lx,luminance_cd_m2"
    table = np.array([[float(cell) for cell in line.split(",")] for line in lines])
    gx, gy = np.meshgrid(x, y)
    for column, expected in enumerate((gx, gy, illuminance, luminance)):
        np.testing.assert_allclose(table[:, column], expected.ravel(), rtol=1e-8)


def test_pictures_are_written_by_their_ending(study: Path, tmp_path: Path) -> None:
    """A .png begins with the PNG signature (PNG specification, 5.2), a .svg is SVG, a .pdf is PDF; stderr tells all."""
    png, svg, pdf = (tmp_path / f"face.{ending}" for ending in ("png", "svg", "pdf"))
    called = lumsim("light", study, "--json", "--map", png, "--map", svg, "--map", pdf)
    assert png.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
    assert "<svg" in svg.read_text(encoding="utf-8")
    assert pdf.read_bytes().startswith(b"%PDF-1.")
    assert called.document["schema"] == 2
    assert f"wrote {png}\nwrote {svg}\nwrote {pdf}\n" in called.err


def test_each_kind_of_picture_can_be_had_in_one_run(study: Path, tmp_path: Path) -> None:
    """--seen, --section and --profiles write their pictures beside each other, each told on stderr, stdout as ever."""
    files = {
        option: tmp_path / name
        for option, name in (
            ("--seen", "seen.png"),
            ("--section", "section.svg"),
            ("--profiles", "profiles.pdf"),
        )
    }
    arguments = [part for pair in files.items() for part in pair]
    called = lumsim("light", study, "--direct-only", *arguments, "--section", tmp_path / "section.png")
    assert files["--seen"].read_bytes().startswith(b"\x89PNG")
    assert "<svg" in files["--section"].read_text(encoding="utf-8")
    assert files["--profiles"].read_bytes().startswith(b"%PDF-1.")
    assert (tmp_path / "section.png").read_bytes().startswith(b"\x89PNG")
    assert called.err.count("wrote ") == 4
    assert called.out == lumsim("light", study, "--direct-only").out


@pytest.mark.parametrize("option", ["--seen", "--section", "--profiles"])
def test_a_side_holds_for_each_kind_of_picture(option: str, unequal: Path, tmp_path: Path) -> None:
    """The two faces' pictures differ, and without a side it is the worse face's, to the last byte."""
    written = {}
    for side in ("front", "rear", ""):
        file = tmp_path / f"face{side}.svg"
        lumsim("light", unequal, "--direct-only", option, file, *(["--side", side] if side else []))
        written[side] = file.read_bytes()
    assert written[""] == written["rear"] != written["front"]


@pytest.mark.parametrize("option", ["--seen", "--section", "--profiles"])
@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("face.csv", "a picture is written as .png or .svg or .pdf"),
        ("nowhere/face.png", "cannot be written: there is no folder"),
    ],
)
def test_a_picture_that_cannot_be_written_is_refused_before_the_work(
    option: str, file: str, said: str, study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another ending, with the option it was given to, and a missing folder are refused before anything is lit."""
    monkeypatch.setattr(answering, "answer", no_answer)
    called = lumsim("light", study, option, tmp_path / file)
    assert (called.status, called.out) == (2, "")
    assert said in called.err
    assert option in called.err or "folder" in said


@pytest.fixture
def unequal(tmp_path: Path) -> Path:
    """Write the small study with two faces, the rear one the worse."""
    return small_study(tmp_path, text=UNEQUAL)


def test_maps_of_two_faces_name_the_face_and_are_as_seen_from_the_front(
    unequal: Path, tmp_path: Path
) -> None:
    """CSV by its columns' names, NPZ by `face`; unless said the worse face; x rises from the front's left."""
    npz = {side: tmp_path / f"face{side}.npz" for side in ("front", "rear", "")}
    csv = tmp_path / "rear.csv"
    black = "--set=interior.left_return_reflectance=0"
    lumsim("light", unequal, black, "--map", npz["front"], "--side", "front")
    lumsim("light", unequal, black, "--map", npz["rear"], "--map", csv, "--side", "rear")
    document = lumsim("light", unequal, black, "--map", npz[""], "--json").document
    assert document["face"] == "rear"
    for side, file in npz.items():
        with np.load(file) as arrays:
            assert arrays["face"] == (side or "rear")
            values, x = arrays["luminance_cd_m2"], arrays["x_m"]
        face = document["faces"][side or "rear"]
        assert values.max() == pytest.approx(face["luminance"]["max_cd_m2"], rel=0.01)
        # Darker beside the black left return, on either face.
        assert values[:, x < x[-1] / 3].mean() < 0.95 * values[:, x > x[-1] * 2 / 3].mean()
    header, *lines = csv.read_text(encoding="utf-8").splitlines()
    assert header == "x_m,y_m,rear_illuminance_lx,rear_luminance_cd_m2"
    table = np.array([[float(cell) for cell in line.split(",")] for line in lines])
    with np.load(npz["rear"]) as arrays:
        np.testing.assert_allclose(table[:, 3], arrays["luminance_cd_m2"].ravel(), rtol=1e-8)


def test_a_picture_of_either_face_can_be_had(unequal: Path, tmp_path: Path) -> None:
    """The two faces' pictures differ, and without a side it is the worse face's, to the last byte."""
    written = {}
    for side in ("front", "rear", ""):
        file = tmp_path / f"face{side}.svg"
        lumsim("light", unequal, "--map", file, *(["--side", side] if side else []))
        written[side] = file.read_bytes()
    assert written[""] == written["rear"] != written["front"]


@pytest.mark.parametrize(
    ("text", "arguments", "said"),
    [
        (
            SMALL,
            ("--side=rear", "--map=face.png"),
            "this cabinet is single-faced: leave --side out, or write faces = 2",
        ),
        (SMALL, ("--side=front", "--map=face.png"), "this cabinet is single-faced"),
        (UNEQUAL, ("--side=rear",), "name a file too, such as --map face.png"),
        (UNEQUAL, ("--side=back", "--map=face.png"), "'back' is not one of 'front', 'rear'"),
    ],
)
def test_a_side_that_means_nothing_is_refused(
    text: str, arguments: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A side of a single-faced cabinet, a side of no map and a side that is none are refused before the work."""
    monkeypatch.setattr(answering, "answer", no_answer)
    called = lumsim("light", small_study(tmp_path, text=text), *arguments)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def no_answer(*_: object) -> None:
    """Stand in for the work where it must not begin."""
    raise AssertionError("the work has begun")


@pytest.mark.parametrize(
    ("map_file", "said"),
    [
        ("face.txt", "a map is written as .png, .svg, .pdf, .csv, .npz"),
        ("face", "a map is written as .png, .svg, .pdf, .csv, .npz"),
        ("nowhere/face.csv", "cannot be written: there is no folder"),
        ("folder.csv", "is a folder: name a file"),
    ],
)
def test_a_map_that_cannot_be_written_is_refused_before_the_work(
    map_file: str, said: str, study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unknown ending, a missing folder and a folder in the file's place are refused before anything is lit."""
    monkeypatch.setattr(answering, "answer", no_answer)
    (tmp_path / "folder.csv").mkdir()
    called = lumsim("light", study, "--map", tmp_path / map_file)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_a_write_that_fails_half_way_leaves_the_old_file(
    study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk is full while the map is written, the old map stands as it was and no other file is left."""
    old = tmp_path / "face.csv"
    old.write_text("as it was", encoding="utf-8")

    def disk_full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", disk_full)
    called = lumsim("light", study, "--map", old)
    assert (called.status, called.out) == (2, "")
    assert f"{old} cannot be written: No space left on device" in called.err
    assert old.read_text(encoding="utf-8") == "as it was"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["face.csv", "shop.toml"]


def test_exit_status_tells_whether_the_requirement_is_met(study: Path) -> None:
    """0: met or nothing required; 1: not met; 2: bad input, with nothing on stdout."""
    assert lumsim("light", study).status == 0
    nothing = lumsim("light", study, "--set", "requirement.stripe_max_to_min=")
    assert nothing.status == 0
    assert "nothing is required" in nothing.out
    not_met = lumsim("light", study, "--set", "requirement.max_to_min=1.01")
    assert not_met.status == 1
    assert "requirement NOT met; max/min" in not_met.out
    bad = lumsim("light", study, "--set", "cabinet.depth=8")
    assert (bad.status, bad.out) == (2, "")
    assert bad.err.startswith("--set: cabinet.depth: ")


def test_every_problem_of_a_bad_study_is_told_on_stderr(tmp_path: Path) -> None:
    """A study with two faults is refused with a line for each."""
    file = small_study(tmp_path, text=SMALL.replace('"12 in"', "12").replace("90.0", "-1"))
    called = lumsim("light", file)
    assert (called.status, called.out) == (2, "")
    lines = called.err.splitlines()
    assert [line.startswith(f"{file}, line ") for line in lines] == [True, True]


def test_a_face_too_fine_for_this_machine_is_refused_in_words(study: Path) -> None:
    """Modules 1 mm behind a face of 40 × 40 m would need billions of points: refused with their number."""
    called = lumsim(
        "light", study, "--set", "cabinet.width=40 m", "--set", "cabinet.height=40 m", "--set", "rows.z=151 mm",
        "--set", "rows.pitch=4 m", "--set", "rows.module_pitch=4 m",
    )  # fmt: skip
    assert (called.status, called.out) == (2, "")
    assert "million" in called.err


def test_obstructions_and_dark_edges_are_warned_of(study: Path, tmp_path: Path) -> None:
    """What is not modelled, and rows too far from the returns, are warned of in text and JSON alike."""
    box = 'x = "1 in"\ny = "1 in"\nz = "0 in"\nwidth = "1 in"\nheight = "1 in"\ndepth = "1 in"\n'
    file = small_study(tmp_path, text=f"{SMALL}\n[[obstruction]]\n{box}")
    changes = ("--set", "rows.count=3")
    text, document = lumsim("light", file, *changes), lumsim("light", file, *changes, "--json").document
    for part in (
        "1 obstruction not modelled: the true ratio is worse",
        "the outermost row is 4 in from the bottom and top returns, more than half the row pitch of 4 in",
    ):
        assert f"WARNING: {part}" in text.out
        assert any(part in warning for warning in document["warnings"])


def test_direct_light_alone_is_said_to_be_that(study: Path) -> None:
    """With --direct-only verdict, light and warnings say so, points have no reflected light, and it is booked."""
    called = lumsim("light", study, "--direct-only", "--json", "--at", "6 in; 8 in")
    document, text = called.document, lumsim("light", study, "--direct-only").out
    assert document["light"] == "direct light only"
    assert any("direct light only" in warning for warning in document["warnings"])
    assert document["points"][0]["reflected_lx"] == 0
    assert document["flux"]["not_followed_lm"] > 0
    assert "VERDICT (direct light only)" in text
    both = lumsim("light", study, "--json").document
    assert both["light"] == "with reflected light"
    assert both["flux"]["not_followed_lm"] == 0
    assert both["luminance"]["mean_cd_m2"] > document["luminance"]["mean_cd_m2"]


def test_a_finer_mesh_moves_the_numbers_by_less_than_they_are_said_to_be_off(study: Path) -> None:
    """--fine changes max/min by no more than the usual mesh's stated error."""
    usual, fine = (lumsim("light", study, "--json", *more).document for more in ((), ("--fine",)))
    change = fine["uniformity"]["max_to_min"] / usual["uniformity"]["max_to_min"] - 1
    assert 0 < abs(change) <= usual["numerical_error"]["max_to_min"]


def test_write_refusals_are_of_one_kind() -> None:
    """A refusal to write is an OutputError, which callers from Python can catch."""
    with pytest.raises(OutputError, match="there is no folder"):
        write_whole(Path("nowhere/at/all.csv"), b"")


def test_documents_are_json_for_any_reader(study: Path) -> None:
    """The document is plain JSON: read and written again it stays the same."""
    document = lumsim("light", study, "--json").document
    assert json.loads(json.dumps(document)) == document
