"""Studies of double-sided cabinets: what is taken, what stands for what is left out, what is refused and how."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from lumsim.cabinet.rows import Rows
from lumsim.study.reading import Study, study_from_text
from lumsim.study.usual_depths import usual_depths
from tests.study.written import changed, line_of, problem, problems

TWO = changed(
    ('depth = "6 in"', 'depth = "6 in"\nfaces = 2'),
    ("back_reflectance", "return_reflectance"),
    ('z = "0.5 in"\n', ""),
)
"""The sign of ``written.py`` with two faces, its rows where they are unless said."""


def two(*changes: tuple[str, str]) -> str:
    """Return ``TWO`` with each first text, which must stand in it, replaced by the second."""
    text = TWO
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def rows_of(study: Study) -> Rows:
    """Return the only group, laid by a rule."""
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    return group


def test_two_faces_are_alike_and_rows_midway_unless_said() -> None:
    """With nothing but faces = 2 both faces are the one described, rows are midway, half their light goes each way."""
    study = study_from_text(TWO)
    assert study.cabinet.double_sided
    assert study.cabinet.rear == study.cabinet.face
    assert (rows_of(study).z, rows_of(study).front_share) == (0.1524 / 2, 0.5)
    assert study.cabinet.mirrored_faces
    assert dict(study.defaults) == {
        "face.rear": "as the front",
        "modules.standard.beam": "lambertian",
        "rows.z": "3 in",
        "rows.front_share": "0.5",
        "rows.direction": "horizontal",
    }


def test_half_a_depth_between_marks_is_told_to_the_millimetre() -> None:
    """Half of 5 1/16 in is 64.29 mm, which no sixteenth of an inch says."""
    told = dict(study_from_text(two(('depth = "6 in"', 'depth = "5 1/16 in"'))).defaults)["rows.z"]
    assert "(64.2938 mm)" in told
    exact = rows_of(study_from_text(two(('depth = "6 in"', 'depth = "5 1/16 in"')))).z
    assert exact == float(Fraction(81, 32) * Fraction(254, 10_000))


def test_a_rear_face_says_what_it_has_of_its_own() -> None:
    """What [face.rear] leaves out is the front's, and is listed with what it is."""
    study = study_from_text(two(("[modules.", "[face.rear]\ntransmittance = 0.25\n[modules.")))
    rear = study.cabinet.rear
    assert rear is not None
    assert (rear.transmittance, rear.reflectance, rear.visible_border) == (0.25, 0.4, 0.0254)
    assert (study.cabinet.face.transmittance, study.cabinet.mirrored_faces) == (0.4, False)
    defaults = dict(study.defaults)
    assert (defaults["face.rear.reflectance"], defaults["face.rear.visible_border"]) == ("0.4", "1 in")
    assert not {"face.rear.transmittance", "face.rear"} & defaults.keys()


def test_rows_between_two_faces_are_where_and_as_they_say() -> None:
    """A plane counted from the rear face, and a share of the lumens forward, are taken as they stand."""
    study = study_from_text(two(("pitch =", 'on = "plane"\nz = "2 in"\nfront_share = 0.7\npitch =')))
    assert (rows_of(study).z, rows_of(study).front_share) == (0.0508, 0.7)
    assert not {"rows.z", "rows.front_share"} & dict(study.defaults).keys()
    tried = study_from_text(TWO, changes=["rows.front_share=0.25", "face.rear.reflectance=0.5"])
    assert rows_of(tried).front_share == 0.25
    assert tried.cabinet.rear is not None
    assert tried.cabinet.rear.reflectance == 0.5


def test_listed_modules_stand_in_the_plane_unless_the_list_says(tmp_path: Path) -> None:
    """In a list z is counted from the rear face; where it says none the group's stands, half the depth unless said."""
    (tmp_path / "built.csv").write_text("x_in,y_in,z_in\n4,4,\n8,8,1\n", encoding="utf-8")
    listed = two(('pitch = "8 in"\nmodule_', 'positions = "built.csv"\n#')).replace('#pitch = "4 in"\n', "")
    emitters = study_from_text(listed, folder=tmp_path).cabinet.emitters()
    np.testing.assert_allclose(emitters.z, [0.0762, 0.0254], rtol=1e-15)
    assert emitters.front_share.tolist() == [0.5, 0.5]
    (tmp_path / "built.csv").write_text("x_in,y_in,z_in\n4,4,0\n8,8,6\n", encoding="utf-8")
    for share, wrong in (
        (
            "0.5",
            ["0 in must be from 1 mm to 1 mm less than the depth", "6 in must be from 1 mm to 1 mm less"],
        ),
        ("1", ["6 in must be from 0 to 1 mm less than the depth, 6 in"]),
        ("0", ["0 in must be from 1 mm to the depth, 6 in"]),
    ):
        found = problems(listed.replace("[[rows]]", f"[[rows]]\nfront_share = {share}"), folder=tmp_path)
        assert len(found) == len(wrong)
        for one, said in zip(found, wrong, strict=True):
            assert (one.key, Path(one.where).name) == ("z", "built.csv")
            assert said in one.text


REFUSED = [
    ("[face]", "[face]\nrear = 3", "rear", "face.rear", "must be a table, written [face.rear]"),
    ("return_ref", "back_ref", "back_ref", "interior.back_reflectance", "has no back: leave it out; what the rear"),
    ("pitch =", 'on = "back"\npitch =', "on", "rows.1.on", 'has no back: write on = "plane", with z counted from'),
    ("pitch =", 'z = "6 in"\npitch =', "z =", "rows.1.z", "leaves a throw of 0 in: at least 1 mm is needed"),
    ("pitch =", 'z = "0.5 mm"\npitch =', "z =", "rows.1.z", "it is the throw to the rear face too: at least 1 mm is n"),
    ("pitch =", 'z = "0 in"\npitch =', "z =", "rows.1.z", "at least 1 mm is needed, got 0 in"),
    ("pitch =", 'z = "7 in"\nfront_share = 0\npitch =', "z =", "rows.1.z", "must be at most the depth, 6 in, got 7 in"),
    ("[modules.", "[face.rear]\nreflectance = 0.7\n[modules.", "reflectance = 0.7", "face.rear.reflectance",
     "with transmittance 0.4 it must be at most 0.6, got 0.7"),
    ("[modules.", "[face.rear]\ntransmittance = 0.7\n[modules.", "transmittance = 0.7", "face.rear.transmittance",
     "with reflectance 0.4 it must be at most 0.6, got 0.7"),
    ("[modules.", '[face.rear]\nvisible_border = "12 in"\n[modules.', 'visible_border = "12',
     "face.rear.visible_border",
     "12 in on every side hides the whole rear face: it must be less than 12 in"),
    ("[modules.", "[face.rear]\nglow = 1\n[modules.", "glow", "face.rear.glow", "known here are transmittance"),
    ("reflectance = 0.40", "reflectance = 0.70", "reflectance = 0.70", "face.reflectance", "must be at most 0.6"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "at", "key", "said"), REFUSED, ids=[f"{one[3]} {one[4][:20]}" for one in REFUSED]
)
def test_what_does_not_fit_two_faces_is_refused(old: str, new: str, at: str, key: str, said: str) -> None:
    """Each is told once, with its line, its key and what would be right."""
    text = two((old, new))
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, at), key)
    assert said in one.text


def test_right_on_a_face_is_all_right_where_no_light_goes_that_way() -> None:
    """Rows on the rear face that shine forward only need no throw behind them."""
    study = study_from_text(two(("pitch =", 'z = "0 in"\nfront_share = 1\npitch =')))
    assert (rows_of(study).z, rows_of(study).front_share) == (0.0, 1.0)


@pytest.mark.parametrize("faces", ["faces = 3", "face = 2", "faces = true"])
def test_what_rests_on_the_number_of_faces_is_not_told_where_that_is_refused(faces: str) -> None:
    """A faulty number of faces is the one problem; what rows and faces make of it is no help. Others are told."""
    text = two(
        ("faces = 2", faces),
        ("pitch =", 'on = "plane"\nfront_share = 0.4\npitch ='),
        ("[modules.", "[face.rear]\nreflectance = 0.3\n[modules."),
    )
    assert problem(text).key.startswith("cabinet.face")
    both = problems(text.replace('module = "standard"', 'module = "standart"'))
    assert [one.key.split(".")[0] for one in both] == ["cabinet", "rows"]


def test_every_problem_of_two_faces_is_told_at_once() -> None:
    """A back that is not there, a plane too near and a face that gives back too much come together."""
    text = two(
        ("return_ref", "back_ref"),
        ("pitch =", 'on = "back"\nz = "0 in"\npitch ='),
        ("[modules.", "[face.rear]\nreflectance = 0.9\n[modules."),
    )
    assert {one.key for one in problems(text)} == {
        "interior.back_reflectance", "rows.1.on", "rows.1.z", "face.rear.reflectance",
    }  # fmt: skip


def test_usual_depths_of_rows_midway_keep_them_midway() -> None:
    """Six inches face to face with the rows midway: seven depths from half to one and a half of it, in quarters."""
    inches = [depth / 0.0254 for depth in usual_depths(study_from_text(TWO))]
    assert inches == pytest.approx([3, 4, 5, 6, 7, 8, 9], abs=1e-9)
    elsewhere = study_from_text(two(("pitch =", 'z = "2 in"\npitch =')))
    inches = [depth / 0.0254 for depth in usual_depths(elsewhere)]
    assert inches == pytest.approx([4, 4.75, 5.25, 6, 6.75, 7.25, 8], abs=1e-9)
