"""Modules that take the same room are found, whatever way they point, and only those."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import UPRIGHT, frame
from lumsim.cabinet.overlaps import extent, first_overlap

Array = NDArray[np.float64]

BAR = Module(name="bar", lumens=1.0, opening=(0.1, 0.02))
DISC = Module(name="disc", lumens=1.0, opening=(0.1, 0.1), round_opening=True)
PAIR = Module(name="pair", lumens=1.0, leds=((-0.05, 0.0), (0.05, 0.0)))


def overlap(
    one: Module,
    other: Module,
    at: tuple[float, float, float],
    *,
    frames: tuple[Array, Array] = (UPRIGHT, UPRIGHT),
    shares: tuple[float, float] = (1.0, 1.0),
) -> bool:
    """Whether a module at the origin and another at a place take the same room."""
    placed = [
        Emitters.upright(kind, np.array([x]), np.array([y]), z=z, frame=turned, front_share=share)
        for kind, (x, y, z), turned, share in zip((one, other), ((0, 0, 0), at), frames, shares, strict=True)
    ]
    return bool(first_overlap(Emitters.together(placed), np.array([0, 1])))


@pytest.mark.parametrize(
    ("kind", "at", "found"),
    [
        (BAR, (0.0999, 0.0, 0.0), True),
        (BAR, (0.1, 0.0, 0.0), False),
        (BAR, (0.0, 0.0199, 0.0), True),
        (BAR, (0.0, 0.02, 0.0), False),
        (BAR, (0.0, 0.0, 0.001), False),
        (DISC, (0.06, 0.06, 0.0), True),
        (DISC, (0.08, 0.08, 0.0), False),
        # LEDs in the same place, then beside one another.
        (PAIR, (0.1, 0.0, 0.0), True),
        (PAIR, (0.101, 0.0, 0.0), False),
        (PAIR, (0.05, 0.0, 0.0), True),
        (PAIR, (0.05, 0.001, 0.0), False),
    ],
)
def test_modules_overlap_from_where_they_touch(
    kind: Module, at: tuple[float, float, float], found: bool
) -> None:
    """Two alike overlap where they are nearer than their size, discs than their diameter; touching is apart."""
    assert overlap(kind, kind, at) == found


def test_modules_on_either_side_of_a_plane_do_not_overlap() -> None:
    """All light forward and all light backward is two modules back to back; both forward are one in the other."""
    assert not overlap(BAR, BAR, (0, 0, 0), shares=(1.0, 0.0))
    assert overlap(BAR, BAR, (0, 0, 0), shares=(1.0, 1.0))
    assert overlap(BAR, BAR, (0, 0, 0), shares=(0.5, 0.5))


def test_a_module_that_stands_on_end_is_no_wider_than_it_is() -> None:
    """Turned by 90 degrees a bar takes its width along the row, and tilted by 90 degrees only its thickness."""
    turned = frame("back", "horizontal", turn=np.pi / 2)
    assert not overlap(BAR, BAR, (0.021, 0.0, 0.0), frames=(turned, turned))
    assert overlap(BAR, BAR, (0.0, 0.099, 0.0), frames=(turned, turned))
    upright = frame("back", "horizontal", tilt=np.pi / 2)
    assert not overlap(BAR, BAR, (0.0, 0.001, 0.0), frames=(upright, upright))
    assert overlap(BAR, BAR, (0.0, 0.0, 0.019), frames=(upright, upright))


@pytest.mark.parametrize("seed", range(6))
def test_drawn_bars_overlap_where_a_point_of_one_is_in_the_other(seed: int) -> None:
    """Flat bars turned at will in one plane overlap just where a fine grid of one has a point inside the other."""
    draw = np.random.default_rng(seed)
    grid = np.stack(np.meshgrid(np.linspace(-0.05, 0.05, 401), np.linspace(-0.01, 0.01, 81)), axis=-1)
    for _ in range(40):
        first, second = (frame("back", "horizontal", turn=turn) for turn in draw.uniform(-np.pi, np.pi, 2))
        at = np.append(draw.uniform(-0.08, 0.08, 2), 0.0)
        points = at + grid[..., :1] * second[0] + grid[..., 1:] * second[1]
        across = abs(points @ first[1]) - 0.01
        along = abs(points @ first[0]) - 0.05
        deepest = -float(np.maximum(across, along).min())
        if abs(deepest) < 5e-4:
            # Nearer than the grid is fine.
            continue
        assert overlap(BAR, BAR, (float(at[0]), float(at[1]), 0.0), frames=(first, second)) == (deepest > 0)


def test_the_first_of_each_pair_of_groups_is_told() -> None:
    """Of a row of bars too near each other, and one across it, one pair of each two groups is told."""
    row = Emitters.upright(BAR, np.array([0.0, 0.09, 0.18, 0.27, 0.36]), np.zeros(5))
    crossing = Emitters.upright(BAR, np.array([0.27]), np.zeros(1))
    found = first_overlap(Emitters.together([row, crossing]), np.array([0] * 5 + [1]))
    assert found == {(0, 0): (0, 1), (0, 1): (2, 5)}


def test_what_a_module_measures_reaches_over_its_outermost_openings() -> None:
    """Two LEDs 100 mm apart with openings of 10 by 4 mm are 110 by 4 mm."""
    kind = Module(name="pair", lumens=1.0, leds=PAIR.leds, opening=(0.01, 0.004))
    assert extent(kind) == pytest.approx((0.11, 0.004))
