"""Webs: one beam told by three systems of angles is one beam."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.webs import Web
from lumsim.errors import InputError

Array = NDArray[np.float64]
Type = Literal["C", "B", "A"]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(6)


def lopsided(u: Array, v: Array, w: Array) -> Array:
    """Intensity by direction: along the row, across it, along the axis; alike in no mirror. [cd]"""
    bell = np.exp(-((u - 0.3) ** 2) - 2 * (v + 0.2) ** 2 - 0.5 * u * v)
    return np.asarray(100 * bell * np.maximum(w, 0) ** 2)


def direction(kind: Type, vertical: Array, horizontal: Array) -> tuple[Array, Array, Array]:
    """Which way two angles point, in the module's frame: along the row, across it, along the axis.

    Seen from behind, looking the way that the module shines, its row runs to the left.
    """
    if kind == "C":
        # C counts clockwise as seen from in front.
        s = np.sin(vertical)
        return s * np.cos(horizontal), -s * np.sin(horizontal), np.cos(vertical)
    if kind == "A":
        c = np.cos(vertical)
        return -c * np.sin(horizontal), np.sin(vertical) + 0 * horizontal, c * np.cos(horizontal)
    c = np.cos(horizontal)
    return -np.sin(horizontal) + 0 * vertical, c * np.sin(vertical), c * np.cos(vertical)


def web(kind: Type, step: float) -> Web:
    """Measure the lopsided beam at every so many degrees."""
    if kind == "C":
        vertical, horizontal = np.arange(0, 90 + step, step), np.arange(0, 360 + step, step)
    else:
        vertical, horizontal = np.arange(-90, 90 + step, step), np.arange(-90, 90 + step, step)
    vertical, horizontal = np.radians(vertical), np.radians(horizontal)
    values = lopsided(*direction(kind, vertical, horizontal[:, None]))
    return Web(photometric_type=kind, vertical=vertical, horizontal=horizontal, values=values)


def angles(u: Array, v: Array, w: Array) -> tuple[Array, Array]:
    """Angle from the axis, and around it counterclockwise as seen from in front. [rad]"""
    return np.arccos(np.clip(w, -1, 1)), np.arctan2(v, u)


@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_a_web_tells_the_beam_that_was_measured(kind: Type) -> None:
    """Measured every degree by any system of angles, a smooth beam comes back in every direction ahead."""
    draw = np.random.default_rng(3)
    d = draw.normal(size=(2000, 3))
    d[:, 2] = np.abs(d[:, 2])
    u, v, w = (d / np.linalg.norm(d, axis=1)[:, None]).T
    found = web(kind, 1.0)
    # Linear between angles a degree apart leaves some (π/180)²/8 of the curvature, which is a few hundred candela.
    np.testing.assert_allclose(
        found.intensity(*angles(u, v, w)) * found.flux, lopsided(u, v, w), rtol=0, atol=0.05
    )


@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_the_measured_points_are_kept(kind: Type) -> None:
    """In each direction that was measured a web has the measured intensity, however few there are."""
    found = web(kind, 15.0)
    vertical, horizontal = found.vertical[1:-1], found.horizontal[1:-1, None]
    u, v, w = direction(kind, vertical, horizontal)
    np.testing.assert_allclose(
        found.intensity(*angles(u, v, w)) * found.flux, found.values[1:-1, 1:-1], rtol=1e-9, atol=1e-9
    )


@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_a_web_sends_out_one_lumen(kind: Type) -> None:
    """Integrated cell by cell in its own angles, a web's intensities make the lumen that they are told for."""
    found = web(kind, 15.0)
    vertical, wv = _points(found.vertical)
    horizontal, wh = _points(found.horizontal)
    u, v, w = direction(kind, vertical, horizontal[:, None])
    measure = {"C": np.sin(vertical), "A": np.cos(vertical), "B": np.cos(horizontal[:, None])}[kind]
    total = wh @ (found.intensity(*angles(u, v, w)) * measure) @ wv
    assert float(total) == pytest.approx(1, rel=1e-8)


def _points(edges: Array) -> tuple[Array, Array]:
    """Gauss-Legendre points between edges and their weights."""
    half = np.diff(edges)[:, None] / 2
    return (edges[:-1, None] + half * (1 + NODES)).ravel(), (half * WEIGHTS).ravel()


def test_webs_agree_on_the_flux() -> None:
    """The three systems of angles find the same lumens in the same light."""
    fluxes = [web(kind, 1.0).flux for kind in ("A", "B", "C")]
    np.testing.assert_allclose(fluxes, fluxes[0], rtol=2e-4)


def backward() -> Web:
    """A web of type C that shines all round, with no angle at 90 degrees."""
    vertical, horizontal = np.radians([0.0, 40.0, 80.0, 120.0, 180.0]), np.radians(np.arange(0, 361, 45.0))
    values = np.random.default_rng(8).uniform(10, 100, (9, 5))
    values[-1] = values[0]
    values[:, 0], values[:, -1] = 60, 20
    return Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)


def test_a_web_tells_how_much_goes_ahead() -> None:
    """The share within 90 degrees is the integral as far as there, and all where nothing goes beyond."""
    found = backward()
    theta, wt = _points(np.radians([0.0, 40.0, 80.0, 90.0]))
    phi, wp = _points(found.horizontal)
    ahead = float(wp @ (found.intensity(theta, phi[:, None]) * np.sin(theta)) @ wt)
    assert found.forward_share == pytest.approx(ahead, rel=1e-12)
    assert 0.2 < found.forward_share < 0.8
    assert [web(kind, 15.0).forward_share for kind in ("A", "B", "C")] == pytest.approx([1, 1, 1], rel=1e-12)


def test_beyond_its_angles_a_web_is_dark() -> None:
    """A web that was measured as far as 60 degrees sends nothing beyond."""
    found = Web(
        photometric_type="C",
        vertical=np.radians([0.0, 60.0]),
        horizontal=np.radians([0.0, 180.0, 360.0]),
        values=np.ones((3, 2)),
    )
    theta = np.radians([59.999, 60.001, 120.0])
    assert (found.intensity(theta, np.full(3, 1.0)) > 0).tolist() == [True, False, False]


def test_a_web_alike_all_round_is_known_as_such() -> None:
    """Planes that are all the same make a beam alike all round; one that differs does not."""
    vertical, horizontal = np.radians([0.0, 45.0, 90.0]), np.radians([0.0, 90.0, 180.0, 270.0, 360.0])
    values = np.tile([5.0, 3.0, 1.0], (5, 1))
    same = Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)
    values = values.copy()
    values[2, 1] = 4.0
    other = Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)
    assert (same.axial, other.axial) == (True, False)


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (np.ones((2, 3)), "3 by 2 angles need as many intensities"),
        (np.array([[1.0, 1.0], [1.0, -1.0], [1.0, 1.0]]), "must be 0 or more, and not all 0"),
        (np.array([[1.0, 1.0], [1.0, math.nan], [1.0, 1.0]]), "must be 0 or more, and not all 0"),
        (np.zeros((3, 2)), "must be 0 or more, and not all 0"),
    ],
)
def test_a_web_that_cannot_be_is_refused(values: Array, said: str) -> None:
    """A web needs an intensity of 0 or more for each pair of angles, and some light."""
    with pytest.raises(InputError, match=said):
        Web(
            photometric_type="C",
            vertical=np.radians([0.0, 60.0]),
            horizontal=np.radians([0.0, 180.0, 360.0]),
            values=values,
        )
