"""Which way modules point: by what they are on, how they are turned and how far they are tilted."""

from __future__ import annotations

import math
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, seed
from hypothesis import strategies as st
from numpy.typing import NDArray

from lumsim.beams.webs import Web
from lumsim.cabinet.orientation import RETURNS, UPRIGHT, Direction, Mount, frame, mirrored, runs_along

Array = NDArray[np.float64]

MOUNTS: tuple[Mount, ...] = get_args(Mount)

ON: list[tuple[Mount, Direction]] = [
    ("back", "horizontal"),
    ("back", "vertical"),
    ("plane", "horizontal"),
    ("plane", "vertical"),
    ("left", "vertical"),
    ("right", "vertical"),
    ("bottom", "horizontal"),
    ("top", "horizontal"),
]
"""All that rows can be on, with how they may run there."""

INWARDS = {
    "back": (0, 0, 1), "plane": (0, 0, 1), "left": (1, 0, 0), "right": (-1, 0, 0),
    "bottom": (0, 1, 0), "top": (0, -1, 0),
}  # fmt: skip
ALONG = {"horizontal": (1, 0, 0), "vertical": (0, 1, 0)}

ROUNDING = 1e-15


def test_all_mounts_are_tried() -> None:
    """The list that the next tests go through leaves out nothing that rows can be on."""
    assert {on for on, _ in ON} == set(MOUNTS)


@pytest.mark.parametrize(("on", "direction"), ON)
def test_a_module_shines_inwards_and_lies_along_its_row(on: Mount, direction: Direction) -> None:
    """Neither turned nor tilted, the axis leaves what the module is on, and its 0 degrees lie along the row."""
    along, across, axis = frame(on, direction)
    assert axis.tolist() == list(INWARDS[on])
    assert along.tolist() == list(ALONG[direction])
    np.testing.assert_array_equal(across, np.cross(axis, along))


def test_the_plainest_module_has_the_cabinets_own_axes() -> None:
    """In a horizontal row on the back the beam's directions are x, y and z."""
    np.testing.assert_array_equal(frame("back", "horizontal"), UPRIGHT)


@pytest.mark.parametrize(("on", "direction"), ON)
@pytest.mark.parametrize("degrees", [-30.0, 17.0, 45.0, 130.0])
def test_a_turned_module_turns_counterclockwise_as_seen_from_where_it_shines(
    on: Mount, direction: Direction, degrees: float
) -> None:
    """A turn leads from the row towards the axis times the row, and leaves the axis alone."""
    turn = math.radians(degrees)
    u, v, axis = frame(on, direction, turn=turn)
    along = np.array(ALONG[direction], dtype=float)
    across = np.cross(np.array(INWARDS[on], dtype=float), along)
    assert axis.tolist() == list(INWARDS[on])
    np.testing.assert_allclose(u, math.cos(turn) * along + math.sin(turn) * across, atol=ROUNDING)
    np.testing.assert_allclose(v, math.cos(turn) * across - math.sin(turn) * along, atol=ROUNDING)


@pytest.mark.parametrize(
    ("on", "direction", "leaning"),
    [
        ("back", "horizontal", (0, 1, 0)),
        ("back", "vertical", (1, 0, 0)),
        ("plane", "horizontal", (0, 1, 0)),
        ("plane", "vertical", (1, 0, 0)),
        ("left", "vertical", (0, 0, 1)),
        ("right", "vertical", (0, 0, 1)),
        ("bottom", "horizontal", (0, 0, 1)),
        ("top", "horizontal", (0, 0, 1)),
    ],
)
@pytest.mark.parametrize("degrees", [-90.0, -20.0, 35.0, 90.0])
def test_a_tilt_leans_the_axis_up_right_or_to_the_face(
    on: Mount, direction: Direction, leaning: tuple[int, int, int], degrees: float
) -> None:
    """Above 0 the axis leans to the top, in vertical rows to the right, on a return to the face; rows stay put."""
    tilt = math.radians(degrees)
    u, _, axis = frame(on, direction, tilt=tilt)
    expected = math.cos(tilt) * np.array(INWARDS[on]) + math.sin(tilt) * np.array(leaning)
    np.testing.assert_allclose(axis, expected, atol=ROUNDING)
    assert u.tolist() == list(ALONG[direction])


@pytest.mark.parametrize(("on", "direction"), ON)
@pytest.mark.parametrize("turn", [-450.0, -90.0, 0.0, 90.0, 180.0, 270.0, 720.0])
@pytest.mark.parametrize("tilt", [-90.0, 0.0, 90.0])
def test_right_angles_are_exact(on: Mount, direction: Direction, turn: float, tilt: float) -> None:
    """Turned and tilted by right angles a frame holds nothing but 0, 1 and −1, and no −0."""
    found = frame(on, direction, turn=math.radians(turn), tilt=math.radians(tilt))
    assert set(np.abs(found).ravel().tolist()) == {0.0, 1.0}
    assert not np.signbit(found[found == 0]).any()


@seed(31)
@given(st.sampled_from(ON), st.floats(-10, 10), st.floats(-math.pi / 2, math.pi / 2))
def test_any_frame_is_three_unit_vectors_at_right_angles(
    mount: tuple[Mount, Direction], turn: float, tilt: float
) -> None:
    """However a module is turned and tilted, its frame is orthonormal and right-handed; the turn keeps its axis."""
    found = frame(*mount, turn=turn, tilt=tilt)
    np.testing.assert_allclose(found @ found.T, np.eye(3), atol=1e-14)
    assert np.linalg.det(found) == pytest.approx(1, rel=1e-14)
    np.testing.assert_array_equal(found[2], frame(*mount, tilt=tilt)[2])


def test_a_mirror_turns_the_depth_about() -> None:
    """Seen in a mirror at right angles to the depth a frame is left-handed, and in two mirrors what it was."""
    frames = np.stack([frame(*mount, turn=0.3, tilt=0.7) for mount in ON])
    image = mirrored(frames)
    np.testing.assert_array_equal(image[..., :2], frames[..., :2])
    np.testing.assert_array_equal(image[..., 2], -frames[..., 2] + 0.0)
    np.testing.assert_allclose(np.linalg.det(image), -1, rtol=1e-14)
    np.testing.assert_array_equal(mirrored(image), frames)


def test_rows_run_along_the_return_that_they_are_on() -> None:
    """On the left and right return rows run upwards, on bottom and top along the width; else either way."""
    assert [runs_along(on) for on in RETURNS] == ["vertical", "vertical", "horizontal", "horizontal"]
    assert runs_along("back") is runs_along("plane") is None


def test_a_turn_goes_against_the_planes_of_a_photometric_file() -> None:
    """Turned by 90 degrees, a file's plane 0 is where its plane 270 was: one counts as the other does from behind."""
    web = Web(
        photometric_type="C",
        vertical=np.radians([0.0, 90.0]),
        horizontal=np.radians([0.0, 90.0, 180.0, 270.0, 360.0]),
        values=np.array([[1.0, 2.0], [1.0, 3.0], [1.0, 4.0], [1.0, 5.0], [1.0, 2.0]]),
    )
    u, v, _ = frame("back", "horizontal", turn=math.pi / 2)

    def sent(towards: Array, along: Array, across: Array) -> float:
        around = np.arctan2(towards @ across, towards @ along)
        return float(web.intensity(np.array(math.pi / 2), around) * web.flux)

    assert sent(u, u, v) == pytest.approx(2)
    assert sent(u, UPRIGHT[0], UPRIGHT[1]) == pytest.approx(5)
