"""How coarse a beam's angles are: known differences from smooth curves."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.light.beam_steps import error_of_steps

Array = NDArray[np.float64]


def table(step: float) -> Table:
    """Return a table of a cosine with a step in degrees."""
    angles = np.radians(np.arange(0, 90 + step / 2, step))
    values = np.clip(np.cos(angles), 0, None)
    return Table(angles=tuple(angles.tolist()), values=tuple(values.tolist()))


@pytest.mark.parametrize("beam", [LAMBERTIAN, Wide(width=2.0), UniformPlane(cut_off=1.0)])
def test_formulas_have_no_steps(beam: Beam) -> None:
    """Beams that are told everywhere have nothing between angles to be off by."""
    assert error_of_steps(beam) == 0


@pytest.mark.parametrize("step", [2.5, 5.0, 10.0])
def test_straight_lines_miss_a_cosine_by_its_sagitta(step: float) -> None:
    """Between even angles of a cosine the middle of a chord lies 1 − cos(step/2) below its top."""
    sagitta = 1 - math.cos(math.radians(step) / 2)
    assert error_of_steps(table(step)) == pytest.approx(sagitta, rel=0.15)


def web(vertical: float, horizontal: float, *, lobes: int) -> Web:
    """Return a web of 2 + cos(lobes C) times a cosine, at steps in degrees."""
    gamma, C = (
        np.radians(np.arange(0, top + 1e-6, step)) for top, step in ((90, vertical), (360, horizontal))
    )
    around = 2 + np.cos(lobes * C) * 0.9 if lobes else np.full(len(C), 2.0)
    # On the axis all planes are one.
    values = 2 * np.cos(gamma) + (around[:, None] - 2) * np.sin(2 * gamma)
    return Web(photometric_type="C", vertical=gamma, horizontal=C, values=np.clip(values, 0, None))


def test_coarse_planes_are_told_apart_from_coarse_angles() -> None:
    """A web that turns fast around its axis is coarse by its planes however fine its angles are."""
    fine = error_of_steps(web(2.5, 5.0, lobes=4))
    coarse = error_of_steps(web(2.5, 22.5, lobes=4))
    assert fine < 0.01
    assert coarse > 0.05
    assert error_of_steps(web(2.5, 90.0, lobes=0)) == pytest.approx(1 - math.cos(math.radians(1.25)), rel=0.2)


def test_a_web_is_smooth_across_its_axis() -> None:
    """What lies before angle 0 is the plane half a turn on: a beam that leans has no kink on its axis."""
    gamma = np.radians(np.arange(0, 90.1, 5))
    C = np.radians(np.arange(0, 360.1, 15))
    lean = math.radians(15)
    # A cosine to the fourth about an axis that leans by 15 degrees.
    cosine = np.cos(gamma) * math.cos(lean) + np.sin(gamma) * math.sin(lean) * np.cos(C)[:, None]
    values = np.clip(cosine, 0, None) ** 4
    leaning = Web(photometric_type="C", vertical=gamma, horizontal=C, values=values)
    assert error_of_steps(leaning) < 0.01


def test_types_a_and_b_are_looked_at_along_both_angles() -> None:
    """Steps too coarse along either angle are found."""

    def told(v: float, h: float) -> float:
        V, H = (np.radians(np.arange(-90, 90.1, step)) for step in (v, h))
        values = np.clip(np.cos(V) * np.cos(H)[:, None], 0, None) ** 8
        return error_of_steps(Web(photometric_type="A", vertical=V, horizontal=H, values=values))

    assert told(2.0, 2.0) < 0.003
    assert told(15.0, 2.0) > 0.02
    assert told(2.0, 15.0) > 0.02


def test_too_few_angles_for_a_curve_are_not_judged() -> None:
    """Two angles, mirrored, are three points; a web of two angles by two is no less told."""
    short = Table(angles=(0.0, 1.0), values=(1.0, 0.5))
    assert 0 <= error_of_steps(short) < 1
    flat = Web(
        photometric_type="B",
        vertical=np.radians([-90.0, 90.0]),
        horizontal=np.radians([-90.0, 90.0]),
        values=np.ones((2, 2)),
    )
    assert error_of_steps(flat) == 0


def test_no_beam_is_off_by_more_than_its_peak() -> None:
    """Beside a step from plane to plane a smooth curve swings far beyond; what is told stays within the peak."""
    C = np.radians([0.0, 90, 91, 270, 271, 360])
    lit = np.array([1, 1, 0.1, 0.1, 1, 1])[:, None]
    vertical = np.radians(np.arange(0, 91, 5.0))
    web = Web(photometric_type="C", vertical=vertical, horizontal=C, values=lit * np.cos(vertical).clip(0))
    assert 0.05 < error_of_steps(web) <= 1
