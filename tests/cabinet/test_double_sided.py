"""A cabinet with two faces: which modules shine where, what is refused, when the faces are mirror images."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from tests import cabinets
from tests.cabinets import OPAL

REAR = Face(transmittance=0.3, reflectance=0.5, visible_border=0.05)


def two_faces(z: float = 0.1, front_share: float = 0.5, rear: Face = OPAL) -> Cabinet:
    """Two rows of three modules in a double-sided cabinet of 0.6 × 0.4 × 0.2 m."""
    single = cabinets.in_rows(0.6, 0.4, 0.2, rows=2, modules=3)
    (group,) = single.groups
    assert isinstance(group, Rows)
    return replace(single, rear=rear, groups=(replace(group, z=z, front_share=front_share),))


def mixed() -> Cabinet:
    """Three modules: one shines forward only, one backward only, one both ways."""
    return cabinets.listed(
        0.6, 0.4, 0.2, [(0.1, 0.1), (0.2, 0.2), (0.3, 0.3)],
        z=np.array([0.02, 0.15, 0.05]), front_share=np.array([1.0, 0.0, 0.25]), rear=REAR,
    )  # fmt: skip


def test_a_cabinet_with_a_rear_face_has_two_faces() -> None:
    """The front comes first; a single-faced cabinet has but it."""
    assert mixed().faces == (("front", OPAL), ("rear", REAR))
    assert mixed().double_sided
    single = cabinets.in_rows(0.6, 0.4, 0.2, rows=2, modules=3)
    assert single.faces == (("front", OPAL),)
    assert not single.double_sided
    assert (mixed().visible_on("rear").x0, mixed().visible_on("front").x0) == (0.05, 0.0)
    assert mixed().visible_on("front") == mixed().visible


def test_modules_shine_at_each_face_with_their_share() -> None:
    """Towards the front go the shares, towards the rear what is left, with z counted from the front face."""
    front, rear = (both.only(both.upright) for both in (mixed().sources("front"), mixed().sources("rear")))
    assert front.x.tolist() == [0.1, 0.3]
    assert front.flux.tolist() == [100.0, 25.0]
    assert front.z.tolist() == [0.02, 0.05]
    assert rear.x.tolist() == [0.2, 0.3]
    assert rear.flux.tolist() == [100.0, 75.0]
    assert rear.z.tolist() == pytest.approx([0.05, 0.15], rel=1e-15)
    assert mixed().throws("front").tolist() == pytest.approx([0.18, 0.15], rel=1e-15)
    assert mixed().throws("rear").tolist() == pytest.approx([0.15, 0.05], rel=1e-15)


def test_the_longest_throw_of_both_ways_gives_the_window() -> None:
    """Where there is no pitch the stripe window is twice the longest throw, to whichever face."""
    assert mixed().stripe_window == pytest.approx(0.36, rel=1e-15)
    turned = cabinets.listed(0.6, 0.4, 0.2, [(0.1, 0.1)], z=0.19, front_share=0.5, rear=REAR)
    assert turned.stripe_window == pytest.approx(0.38, rel=1e-15)
    only_forward = cabinets.listed(0.6, 0.4, 0.2, [(0.1, 0.1)], z=0.19, front_share=1.0, rear=REAR)
    assert only_forward.stripe_window == pytest.approx(0.02, rel=1e-12)


@pytest.mark.parametrize(
    ("z", "share", "said"),
    [
        (0.1995, 0.5, r"the throw, depth less z, must be at least 0.001 m, got 0.0005 m \(depth 0.2 m, z 0.1995 m\)"),
        (0.0005, 0.5, r"the throw to the rear face, z, must be at least 0.001 m, got 0.0005 m"),
        (0.0, 0.999, r"the throw to the rear face, z, must be at least 0.001 m, got 0 m"),
        (0.201, 0.0, r"z must be at most the depth, 0.2 m, got 0.201 m"),
        (-0.001, 1.0, r"z must be 0 m or more, got -0.001 m"),
        (0.1, 1.1, r"front_share must be from 0 to 1, got 1.1"),
        (0.1, float("nan"), r"front_share must be from 0 to 1, got nan"),
    ],
)  # fmt: skip
def test_modules_too_near_a_face_that_they_shine_at_are_refused(z: float, share: float, said: str) -> None:
    """A throw is needed to each face that a module shines at, and a place between the two."""
    with pytest.raises(InputError, match=said):
        two_faces(z, share)


@pytest.mark.parametrize(("z", "share"), [(0.0, 1.0), (0.2, 0.0), (0.001, 0.5), (0.199, 0.5)])
def test_modules_may_be_right_on_a_face_that_they_do_not_shine_at(z: float, share: float) -> None:
    """A module at the rear face that shines forward only needs no throw to the rear."""
    assert len(two_faces(z, share).emitters()) == 6


def test_what_only_two_faces_may_have_is_refused_of_one() -> None:
    """On a back all light goes forward, and a border that hides the rear face is told as such."""
    with pytest.raises(InputError, match=r"shine forward only: their front_share must be 1, got 0.5"):
        replace(two_faces(), rear=None)
    with pytest.raises(InputError, match="hides the whole rear face"):
        two_faces(rear=replace(REAR, visible_border=0.2))
    with pytest.raises(InputError, match="front_share of every listed module must be from 0 to 1"):
        cabinets.listed(0.6, 0.4, 0.2, [(0.1, 0.1)], z=0.1, front_share=-0.1, rear=REAR)


def test_faces_are_mirror_images_where_nothing_tells_them_apart() -> None:
    """Like faces, modules exactly midway, half the light each way: all three, or both faces must be looked at."""
    assert two_faces().mirrored_faces
    assert two_faces().unlike_sides == ("front",)
    for unlike in (
        two_faces(rear=REAR),
        two_faces(z=0.1 + 1e-9),
        two_faces(front_share=0.5 + 1e-9),
    ):
        assert not unlike.mirrored_faces
        assert unlike.unlike_sides == ("front", "rear")
    single = cabinets.in_rows(0.6, 0.4, 0.2, rows=2, modules=3, z=0.1)
    assert not single.mirrored_faces
    assert single.unlike_sides == ("front",)
