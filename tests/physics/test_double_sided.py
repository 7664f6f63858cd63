"""Double-sided cabinets: mirrors, halves, sums, lumens, and a rear face that is as good as a back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.errors import InputError
from lumsim.light.exchange import Exchange
from lumsim.light.interreflection import interreflect, reflectances
from lumsim.light.surfaces import Surfaces, mesh_of
from lumsim.simulation import Lighting, Simulation, simulate
from lumsim.uniformity.requirement import Requirement
from tests import cabinets
from tests.cabinets import DIRECT, OPAL
from tests.light.from_patches import gathered

WIDTH, HEIGHT, DEPTH = 0.7, 0.4, 0.16
PLACES = np.array([(0.1, 0.08), (0.33, 0.2), (0.52, 0.31), (0.6, 0.12)])
UNLIKE = Face(transmittance=0.3, reflectance=0.55, visible_border=0.03)
BLACK = Face(transmittance=0.5, reflectance=0.0)

QUICK = Lighting(patches_in_depth=4)
ALL_WAYS = pytest.mark.parametrize("lighting", [DIRECT, QUICK], ids=["direct", "reflected"])


def sign(
    z: float = DEPTH / 2,
    front_share: float = 0.5,
    *,
    face: Face = OPAL,
    rear: Face | None = OPAL,
    returns: tuple[float, float, float, float] = (0.9, 0.3, 0.6, 0.85),
    back: float = 0.85,
    lumens: float = 100.0,
    exponent: float = 1.0,
) -> Cabinet:
    """Four modules at scattered places; returns from the left, the right, the bottom and the top. [m, lm]"""
    left, right, bottom, top = returns
    listed = cabinets.listed(
        WIDTH, HEIGHT, DEPTH, PLACES, z=z, lumens=lumens, exponent=exponent, front_share=front_share,
        face=face, rear=rear,
    )  # fmt: skip
    box = Box(
        width=WIDTH,
        height=HEIGHT,
        depth=DEPTH,
        back_reflectance=back,
        left_return_reflectance=left,
        right_return_reflectance=right,
        bottom_return_reflectance=bottom,
        top_return_reflectance=top,
    )
    return replace(listed, box=box)


def faces(lit: Simulation) -> tuple[np.ndarray, np.ndarray]:
    """Return luminance at the samples of the front and of the rear face."""
    assert lit.rear is not None
    return lit.front.luminance.values, lit.rear.luminance.values


@ALL_WAYS
def test_two_like_faces_are_mirror_images(lighting: Lighting, monkeypatch: pytest.MonkeyPatch) -> None:
    """Modules midway that shine alike both ways light like faces alike, to rounding, whether or not it is computed."""
    known = simulate(sign(), lighting=lighting)
    assert sign().mirrored_faces
    monkeypatch.setattr(Cabinet, "mirrored_faces", property(lambda cabinet: False))
    computed = simulate(sign(), lighting=lighting)
    front, rear = faces(computed)
    assert_allclose(front, rear, rtol=1e-9)
    for here, there in zip(faces(known), faces(computed), strict=True):
        assert_allclose(here, there, rtol=1e-9)
    assert known.rear is not None
    assert computed.rear is not None
    assert (
        (known.front.side, known.rear.side) == (computed.front.side, computed.rear.side) == ("front", "rear")
    )
    assert known.ledger.through_face == pytest.approx(computed.ledger.through_face, rel=1e-9)
    assert known.worse is known.front


@ALL_WAYS
def test_the_two_faces_exchanged_exchange_their_light(lighting: Lighting) -> None:
    """With share, place and faces mirrored midway along the depth, front and rear change places and nothing else."""
    one = faces(simulate(sign(0.05, 0.3, rear=UNLIKE), lighting=lighting))
    other = faces(simulate(sign(DEPTH - 0.05, 0.7, face=UNLIKE, rear=OPAL), lighting=lighting))
    assert_allclose(one[0], other[1], rtol=1e-7)
    assert_allclose(one[1], other[0], rtol=1e-7)


def test_shares_exchanged_exchange_the_faces() -> None:
    """Midway between like faces, a share s forward lights the front as 1 − s lights the rear."""
    one, other = (faces(simulate(sign(front_share=s), lighting=QUICK)) for s in (0.3, 0.7))
    assert_allclose(one[0], other[1], rtol=1e-7)
    assert_allclose(one[1], other[0], rtol=1e-7)
    assert one[0].mean() < one[1].mean()


@pytest.mark.parametrize("exponent", [0.0, 1.0, 2.5])
def test_in_a_black_cabinet_each_side_is_a_single_faced_one_with_half_the_lumens(exponent: float) -> None:
    """Where nothing is thrown back, each face is that of a single-faced cabinet half as deep with half the lumens."""
    black = sign(face=BLACK, rear=BLACK, returns=(0, 0, 0, 0), exponent=exponent)
    half = cabinets.listed(
        WIDTH, HEIGHT, DEPTH / 2, PLACES, lumens=50.0, exponent=exponent, face=BLACK
    )  # fmt: skip
    expected = simulate(half, lighting=DIRECT).luminance
    assert expected.values.shape == simulate(black, lighting=DIRECT).front.luminance.values.shape
    for lighting, exact in ((DIRECT, 1e-14), (QUICK, 1e-12)):
        for values in faces(simulate(black, lighting=lighting)):
            assert_allclose(values, expected.values, rtol=exact)


@ALL_WAYS
def test_light_of_two_groups_is_the_sum_of_theirs(lighting: Lighting) -> None:
    """Two groups at other places and shares light each point of each face with the sum of what each does alone."""
    one, other = sign(0.05, 0.3, rear=UNLIKE), sign(0.09, 0.9, rear=UNLIKE)
    both = replace(one, groups=(*one.groups, *other.groups))
    x, y = np.meshgrid(np.linspace(0.03, WIDTH - 0.03, 9), np.linspace(0.03, HEIGHT - 0.03, 7))
    together, *apart = (simulate(cabinet, lighting=lighting) for cabinet in (both, one, other))
    for number in (0, 1):
        alone = [lit.faces[number].luminance.at(x, y) for lit in apart]
        assert_allclose(together.faces[number].luminance.at(x, y), alone[0] + alone[1], rtol=1e-7)


@ALL_WAYS
@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_lumens_balance_between_unlike_faces(lighting: Lighting, share: float) -> None:
    """Whatever goes which way, what both faces and the four returns take is what the modules give."""
    cabinet = sign(0.05, share, rear=UNLIKE)
    if lighting is DIRECT and share in {0.0, 1.0}:
        with pytest.raises(InputError, match=r"the (front|rear) face stays dark: no module shines that way"):
            simulate(cabinet, lighting=lighting)
        return
    lit = simulate(cabinet, lighting=lighting)
    ledger = lit.ledger
    assert ledger.emitted == pytest.approx(400, rel=1e-15)
    assert ledger.balance_error < 1e-6
    assert ledger.absorbed_back == 0
    assert len(lit.faces) == 2
    for name in ("through_face", "leaving_visible_face", "absorbed_face"):
        assert getattr(ledger, name) == pytest.approx(sum(getattr(one, name) for one in lit.faces), rel=1e-14)
    for face in lit.faces:
        assert face.through_face + face.absorbed_face == pytest.approx(
            (1 - face.face.reflectance) * face.arriving
        )
        # The map holds the lumens on the visible part, apart from the patches that the ledger is booked by.
        by_map = face.illuminance(face.evenness.mean) * face.visible.area
        assert face.arriving_visible == pytest.approx(by_map, rel=1e-5)
        assert face.arriving_visible <= face.arriving * 1.002
    returns = {
        side: getattr(ledger, f"absorbed_{side}_return") for side in ("left", "right", "bottom", "top")
    }
    assert ledger.absorbed_returns == pytest.approx(sum(returns.values()), rel=1e-14)
    assert returns["right"] > returns["left"] > 0
    assert (ledger.not_followed > 0) == (lighting is DIRECT)


@pytest.mark.parametrize(
    "reflectance", [0.4, *(pytest.param(rho, marks=pytest.mark.slow) for rho in (0.0, 0.85))]
)
def test_a_rear_face_that_passes_nothing_is_a_back(reflectance: float) -> None:
    """With modules right on a rear face that lets next to nothing through, the front is a single-faced cabinet's."""
    shut = Face(transmittance=1e-13, reflectance=reflectance)
    double = simulate(sign(0.0, 1.0, rear=shut), lighting=QUICK)
    single = simulate(sign(0.0, 1.0, rear=None, back=reflectance), lighting=QUICK)
    assert_allclose(double.front.luminance.values, single.luminance.values, rtol=1e-9)
    assert double.front.evenness.max_to_min == pytest.approx(single.evenness.max_to_min, rel=1e-9)
    assert double.front.through_face == pytest.approx(single.ledger.through_face, rel=1e-9)
    assert double.ledger.absorbed_returns == pytest.approx(single.ledger.absorbed_returns, rel=1e-9)
    at_rear = double.ledger.absorbed_face - double.front.absorbed_face
    assert at_rear == pytest.approx(single.ledger.absorbed_back, rel=1e-9, abs=1e-9)


def test_a_face_no_module_shines_at_is_lit_by_what_is_thrown_back() -> None:
    """With all light sent forward the rear face gets only what front and returns throw back; a black inside nothing."""
    lit = simulate(sign(front_share=1.0), lighting=QUICK)
    assert lit.rear is not None
    assert lit.rear.direct_share == 0
    assert lit.rear.luminance.values.min() > 0
    assert lit.rear.evenness.mean < lit.front.evenness.mean
    x, y = np.array([0.2]), np.array([0.3])
    assert lit.rear.direct.illuminance(x, y) == 0
    assert lit.rear.reflected_at(x, y) > 0
    black = sign(front_share=1.0, face=BLACK, rear=BLACK, returns=(0, 0, 0, 0))
    with pytest.raises(InputError, match=r"the rear face stays dark.* nothing inside throws light back"):
        simulate(black, lighting=QUICK)


def test_a_white_furnace_between_two_faces() -> None:
    """Where every wall glows by 1 − ρ of itself and reflects ρ, every point of both faces receives 1."""
    cabinet = sign(face=Face(transmittance=0.4, reflectance=0.3), rear=UNLIKE)
    exchange = Exchange(mesh_of(WIDTH, HEIGHT, DEPTH, patches_in_depth=6))
    rho = reflectances(cabinet)
    assert (float(rho.face), float(rho.back)) == (0.3, 0.55)
    glow = exchange.areas.each(lambda area, one: np.full(area.shape, 1 - float(one)), rho)
    balanced = interreflect(exchange, exchange.arriving(glow).each(np.divide, exchange.areas), rho)
    sent = balanced.exitance.each(np.add, glow)
    x, y = np.meshgrid(np.linspace(0, WIDTH, 21), np.linspace(0, HEIGHT, 13))
    for side in ("front", "rear"):
        light = gathered(exchange.mesh, sent if side == "front" else sent.mirrored())
        assert_allclose(light.illuminance(x, y), 1, rtol=2e-4)


def test_the_balance_is_solved_once_for_both_faces(monkeypatch: pytest.MonkeyPatch) -> None:
    """One balance a mesh serves both faces, and the coarse mesh is balanced when errors are first asked for."""
    solved: list[Surfaces] = []

    def counted(exchange: Exchange, direct: Surfaces, reflectance: Surfaces, *, residual: float) -> object:
        solved.append(direct)
        return interreflect(exchange, direct, reflectance, residual=residual)

    monkeypatch.setattr("lumsim.light.lit_inside.interreflect", counted)
    lit = simulate(sign(0.05, 0.3, rear=UNLIKE), lighting=QUICK)
    assert len(solved) == 1
    errors = [face.error for face in lit.faces]
    assert len(solved) == 2
    assert [face.error for face in lit.faces] == errors
    assert len(solved) == 2


def test_the_worse_face_answers() -> None:
    """Of two faces the one with the least margin is the verdict, and without a limit that of the greater max/min."""
    cabinet = sign(0.05, 0.5, rear=UNLIKE)
    lit = simulate(cabinet, lighting=QUICK)
    assert lit.rear is not None
    front, rear = lit.front.evenness.max_to_min, lit.rear.evenness.max_to_min
    assert rear > 1.05 * front
    assert lit.worse is lit.rear
    assert lit.evenness is lit.rear.evenness
    assert lit.luminance is lit.rear.luminance
    between = simulate(cabinet, Requirement(max_to_min=(front + rear) / 2), lighting=QUICK)
    assert between.front.verdict.met
    assert not between.verdict.met
    assert between.illuminance(1.0) == pytest.approx(np.pi / UNLIKE.transmittance)
    easy = simulate(cabinet, Requirement(max_to_min=2 * rear), lighting=QUICK)
    assert easy.verdict.met
    assert easy.verdict is easy.rear.verdict  # type: ignore[union-attr]
    turned = simulate(
        replace(cabinet, face=UNLIKE, rear=OPAL, groups=sign(DEPTH - 0.05).groups),
        Requirement(max_to_min=2 * rear),
        lighting=QUICK,
    )
    assert turned.worse is turned.front
