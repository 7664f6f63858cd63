"""Searches of double-sided cabinets: both faces are judged, and modules midway stay midway at another depth."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.light.gathering import ReflectedLight
from lumsim.search import trying
from lumsim.search.depths import pitch_against_depth
from lumsim.search.layouts import least_depth, with_depth, with_row_pitch
from lumsim.search.row_pitch import widest_row_pitch
from lumsim.simulation import Lighting, simulate
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.requirement import Requirement
from lumsim.whole_light import light_on_face
from tests import cabinets
from tests.cabinets import DIRECT, OPAL
from tests.search.scanned import cabinet

MILLIMETRE = Fraction(1, 1000)
DEPTH = 0.3
EVEN = Requirement(stripe_max_to_min=1.4)


def between_faces(
    z: float, *, border: float = 0.02, front_share: float = 0.5, depth: float = DEPTH
) -> Cabinet:
    """Put the rows of ``scanned.cabinet`` between two faces, the rear one with a border of its own. [m]"""
    single = cabinet(0.2, depth=depth)
    (group,) = single.groups
    assert isinstance(group, Rows)
    rear = replace(single.face, visible_border=border)
    return replace(single, rear=rear, groups=(replace(group, z=z, front_share=front_share),))


def test_the_face_with_the_shorter_throw_decides() -> None:
    """By direct light alone the answer is the widest of a single-faced cabinet as deep as the shorter throw."""
    answer = widest_row_pitch(between_faces(0.14), 0, EVEN, mark=MILLIMETRE, lighting=DIRECT).exact
    assert answer is not None
    assert answer.side == "rear"
    for wider, met in ((-1e-5, True), (1e-5, False)):
        single = with_row_pitch(cabinet(0.2, depth=0.14), 0, answer.pitch + wider)
        assert simulate(single, EVEN, lighting=DIRECT).verdict.met == met


def test_an_answer_meets_the_requirement_on_both_faces_and_a_wider_one_does_not() -> None:
    """With light thrown back, both faces of the answer meet the limit, and of a millimetre wider one does not."""
    quick, requirement = Lighting(patches_in_depth=4), EVEN
    built = between_faces(0.13)
    answer = widest_row_pitch(built, 0, requirement, mark=MILLIMETRE, lighting=quick).exact
    assert answer is not None
    lit = simulate(answer.cabinet, requirement, lighting=quick)
    assert all(face.verdict.met for face in lit.faces)
    assert lit.worse.side == answer.side
    assert lit.verdict == answer.verdict
    wider = with_row_pitch(built, 0, answer.pitch + 0.001)
    assert not simulate(wider, requirement, lighting=quick).verdict.met


def test_of_mirror_images_one_face_is_lit(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the faces are mirror images only the front is looked at, and where they are not both are."""
    seen: list[Side] = []

    def told(built: Cabinet, reflected: ReflectedLight | None, *, side: Side, exact_mean: bool) -> FaceMap:
        seen.append(side)
        return light_on_face(built, reflected, side=side, exact_mean=exact_mean)

    monkeypatch.setattr(trying, "light_on_face", told)
    for z, sides in ((DEPTH / 2, {"front"}), (0.14, {"front", "rear"})):
        seen.clear()
        widest_row_pitch(between_faces(z), 0, Requirement(max_to_min=1e5), mark=MILLIMETRE, lighting=DIRECT)
        assert set(seen) == sides


def test_stripes_are_judged_where_both_faces_show_whole_periods() -> None:
    """The wider of two borders leaves fewer periods to be seen: no pitch above half of what it leaves is tried."""
    built = between_faces(DEPTH / 2, border=0.1)
    answer = widest_row_pitch(built, 0, Requirement(stripe_max_to_min=1.5), mark=MILLIMETRE, lighting=DIRECT)
    assert max(one.pitch for one in answer.tried) <= 0.2 * (1 + 1e-8)


def test_modules_midway_stay_midway_at_another_depth() -> None:
    """Rows and listed modules midway between two faces move with the depth; all others keep their z."""
    (group,) = with_depth(between_faces(DEPTH / 2), 0.21).groups
    assert isinstance(group, Rows)
    assert group.z == 0.21 / 2
    (group,) = with_depth(between_faces(0.1), 0.21).groups
    assert isinstance(group, Rows)
    assert group.z == 0.1
    listed = cabinets.listed(
        0.6, 0.4, 0.2, [(0.1, 0.1), (0.2, 0.2)], z=np.array([0.1, 0.02]), front_share=0.5, rear=OPAL
    )
    assert with_depth(listed, 0.3).emitters().z.tolist() == [0.15, 0.02]
    # On the back of a single-faced cabinet half the depth is a height like any other.
    raised = cabinets.in_rows(0.6, 0.4, 0.2, rows=2, modules=3, z=0.1)
    assert with_depth(raised, 0.3).emitters().z.tolist() == [0.1] * 6
    assert with_depth(between_faces(DEPTH / 2), 0.21).mirrored_faces


@pytest.mark.parametrize(
    ("built", "least"),
    [
        (between_faces(DEPTH / 2), 0.002),
        (between_faces(0.1), 0.101),
        (between_faces(0.1, front_share=0.0), 0.1),
        (cabinets.in_rows(0.6, 0.4, 0.2, rows=2, modules=3, z=0.03), 0.031),
    ],
)
def test_the_least_depth_leaves_each_way_its_throw(built: Cabinet, least: float) -> None:
    """The least depth for a throw is taken, and a hair less is refused, whichever way the modules shine."""
    assert least_depth(built, 0.001) == pytest.approx(least, rel=1e-12)
    assert with_depth(built, least + 1e-9)
    with pytest.raises(InputError):
        with_depth(built, least - 1e-6)
    with pytest.raises(InputError, match="leaves no throw: these modules need one of at least"):
        pitch_against_depth(built, 0, EVEN, [least - 1e-6], mark=MILLIMETRE, lighting=DIRECT)
