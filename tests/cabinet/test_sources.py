"""Sources: placed modules as the points of light that they are."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, Wide
from lumsim.beams.tables import Table
from lumsim.beams.webs import Web
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import frame
from lumsim.cabinet.sources import Half, Sources, sources_of

Array = NDArray[np.float64]

BACKWARD = Table(angles=(0.0, 1.0, 2.5), values=(3.0, 2.0, 0.0))
"""A beam that reaches beyond 90 degrees."""


def lopsided() -> Web:
    """A web that shines all round and is alike in no mirror."""
    vertical, horizontal = np.radians(np.arange(0, 181, 20.0)), np.radians(np.arange(0, 361, 30.0))
    values = np.random.default_rng(5).uniform(1, 9, (13, 10))
    values[-1] = values[0]
    values[:, 0], values[:, -1] = 5, 3
    return Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)


LOPSIDED = lopsided()


def placed(
    kind: Module, *, front_share: float = 1.0, turn: float = 0.0, tilt: float = 0.0, n: int = 2
) -> Emitters:
    """Place modules of 90 lm side by side."""
    return Emitters.upright(
        kind, np.linspace(0.3, 0.7, n), np.full(n, 0.5), z=0.1, flux=90.0, front_share=front_share,
        frame=frame("back", "horizontal", turn=turn, tilt=tilt),
    )  # fmt: skip


def module(beam: Beam = LAMBERTIAN, leds: tuple[tuple[float, float], ...] = ((0.0, 0.0),)) -> Module:
    """Make a module."""
    return Module(name="any", lumens=90.0, beam=beam, leds=leds)


def shining(sources: Sources, directions: Array) -> Array:
    """Intensity of all sources together in each direction, from what each tells of its half space. [cd]"""
    total = np.zeros(len(directions))
    for k in range(len(sources)):
        a, b, w = sources.frames[k] @ directions.T
        theta, phi = np.arccos(np.clip(w, -1, 1)), np.arctan2(b, a)
        lit = sources.halves[sources.half[k]].intensity(np.minimum(theta, math.pi / 2), phi)
        total += np.where(w > 0, sources.flux[k] * lit, 0.0)
    return total


def drawn_directions(seed: int, n: int = 300) -> Array:
    """Draw directions all round."""
    d = np.random.default_rng(seed).normal(size=(n, 3))
    return np.asarray(d / np.linalg.norm(d, axis=1)[:, None])


@pytest.mark.parametrize("beam", [LAMBERTIAN, Wide(width=2.0), BACKWARD, LOPSIDED], ids=repr)
@pytest.mark.parametrize(("turn", "tilt"), [(0.0, 0.0), (0.4, -0.6), (2.0, 1.3)])
def test_the_two_halves_of_a_beam_are_the_beam(beam: Beam, turn: float, tilt: float) -> None:
    """What sources send in any direction is what their modules' beam sends there, ahead and beyond 90 degrees."""
    emitters = placed(module(beam), turn=turn, tilt=tilt, n=1)
    d = drawn_directions(1)
    a, b, w = emitters.frames[0] @ d.T
    expected = 90.0 * beam.intensity(np.arccos(np.clip(w, -1, 1)), np.arctan2(b, a))
    np.testing.assert_allclose(shining(sources_of(emitters), d), expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("beam", [LAMBERTIAN, BACKWARD, LOPSIDED], ids=repr)
def test_what_goes_backward_is_the_mirror_image_of_what_goes_forward(beam: Beam) -> None:
    """A module between two faces sends each its share of the same beam, the rear one seen in a mirror."""
    emitters = placed(module(beam), front_share=0.3, turn=0.4, tilt=-0.6, n=1)
    d = drawn_directions(2)
    alone = sources_of(replace(emitters, front_share=np.ones(1)))
    expected = 0.3 * shining(alone, d) + 0.7 * shining(alone, d * [1, 1, -1])
    np.testing.assert_allclose(shining(sources_of(emitters), d), expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("front_share", [0.0, 0.25, 1.0])
@pytest.mark.parametrize("beam", [LAMBERTIAN, BACKWARD, LOPSIDED], ids=repr)
def test_sources_share_out_the_lumens(beam: Beam, front_share: float) -> None:
    """All sources together give the lumens of their modules, whatever their beam, LEDs and share ahead."""
    kind = module(beam, leds=((-0.02, 0.0), (0.0, 0.01), (0.03, 0.0)))
    sources = sources_of(placed(kind, front_share=front_share))
    assert sources.flux.sum() == pytest.approx(180.0, rel=1e-13)
    assert (sources.flux > 0).all()


@pytest.mark.parametrize("half", [Half(beam, way) for beam in (BACKWARD, LOPSIDED) for way in (False, True)])
def test_each_half_is_told_for_one_lumen_of_its_own(half: Half) -> None:
    """Integrated over its own half space the intensity of a half is 1 lm."""
    theta, phi = np.linspace(0, math.pi / 2, 3601), np.linspace(0, 2 * math.pi, 721)
    rings = np.trapezoid(half.intensity(theta, phi[:, None]), phi, axis=0)
    assert float(np.trapezoid(rings * np.sin(theta), theta)) == pytest.approx(1, rel=1e-5)


def test_leds_lie_where_the_module_is_turned_to() -> None:
    """LEDs lie along and across their module, turn with it and lean with it, and share its lumens alike."""
    turn, tilt = math.pi / 2, math.radians(30)
    sources = sources_of(placed(module(leds=((-0.02, 0.0), (0.03, 0.01))), turn=turn, tilt=tilt, n=1))
    # Turned by a right angle the module lies up the face, its second side to the left; tilted it leans off the back.
    up = np.array([0.0, math.cos(tilt), -math.sin(tilt)])
    left = np.array([-1.0, 0.0, 0.0])
    middle = np.array([0.3, 0.5, 0.1])
    places = np.stack([sources.x, sources.y, sources.z], axis=-1)
    np.testing.assert_allclose(places, [middle - 0.02 * up, middle + 0.03 * up + 0.01 * left], atol=1e-15)
    assert sources.flux.tolist() == [45.0, 45.0]


def test_several_kinds_keep_their_beams_and_places() -> None:
    """Of modules of several kinds each source has its own module's place and beam."""
    kinds = (module(LAMBERTIAN), module(BACKWARD))
    emitters = Emitters.together([placed(kind, n=2) for kind in kinds])
    sources = sources_of(emitters)
    beams = [sources.halves[number].beam for number in sources.half]
    assert beams == 2 * [LAMBERTIAN] + 4 * [BACKWARD]
    assert sources.x.tolist() == [0.3, 0.7, 0.3, 0.7, 0.3, 0.7]
    assert sources.closed.tolist() == [True] * 2 + [False] * 4
    assert sources.axial.all()
    assert sources.upright.tolist() == [True] * 4 + [False] * 2


def test_the_mirror_turns_sources_about_and_back() -> None:
    """In a mirror midway along the depth z counts from the other side, and in it again all is as it was."""
    sources = sources_of(placed(module(LOPSIDED), front_share=0.3, turn=0.4, tilt=-0.6))
    image = sources.mirrored(0.25)
    np.testing.assert_allclose(image.z, 0.25 - sources.z, rtol=1e-15)
    d = drawn_directions(3)
    np.testing.assert_allclose(shining(image, d), shining(sources, d * [1, 1, -1]), rtol=1e-12)
    np.testing.assert_array_equal(image.mirrored(0.25).frames, sources.frames)


def test_no_modules_are_no_sources() -> None:
    """Where nothing is placed nothing shines."""
    assert len(sources_of(placed(module(), n=0))) == 0


def test_a_half_that_rounding_alone_leaves_has_no_light() -> None:
    """A table told to 180 degrees that is dark from 90 degrees on sends nothing behind its module, to the last bit."""
    for scale in (1.0, 1.1, 1.2, 1.3, 1.7, 2.3):
        degrees = [2.5 * i for i in range(73)]
        values = tuple(
            round(scale * round(math.cos(math.radians(d)), 4), 4) if d < 90 else 0.0 for d in degrees
        )
        beam = Table(angles=tuple(math.radians(d) for d in degrees), values=values)
        assert (Half(beam, False).share, Half(beam, True).share) == (1.0, 0.0)


def test_each_half_is_as_sharp_as_its_own_light() -> None:
    """A table that is Lambertian ahead with a narrow lobe behind is sharp behind only; turned over, ahead only."""
    angles = np.radians(np.arange(0, 181, 2.0))
    ahead, behind = np.cos(angles).clip(0), np.cos(np.pi - angles).clip(0) ** 30
    one = Table(angles=tuple(angles), values=tuple(ahead + behind))
    other = Table(angles=tuple(angles), values=tuple((ahead + behind)[::-1]))
    assert Half(one, False).sharpness < 3
    assert Half(one, True).sharpness == pytest.approx(Half(other, False).sharpness, rel=1e-6)
    assert Half(one, True).sharpness > 20
