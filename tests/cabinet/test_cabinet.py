"""Cabinets: what they hold, and what does not fit."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.box import LARGEST_SIZE, Box, Obstruction
from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.places import MOST_PLACES, place
from lumsim.cabinet.places import listed as listed_places
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError, TooLargeError
from tests import cabinets

STANDARD = Module(name="standard", lumens=90.0)


def test_rows_become_modules_row_by_row() -> None:
    """Two rows of three modules are six modules, row by row, at x along the row and y across."""
    emitters = cabinets.in_rows(1.2, 0.8, 0.15, rows=2, modules=3, lumens=90.0, z=0.01).emitters()
    np.testing.assert_allclose(emitters.x, [0.2, 0.6, 1.0, 0.2, 0.6, 1.0], rtol=1e-15)
    np.testing.assert_allclose(emitters.y, [0.2, 0.2, 0.2, 0.6, 0.6, 0.6], rtol=1e-15)
    assert emitters.z.tolist() == 6 * [0.01]
    assert emitters.flux.tolist() == 6 * [90.0]
    assert cabinets.exponents(emitters).tolist() == 6 * [1.0]


def test_vertical_rows_run_along_the_height() -> None:
    """Vertical rows run along y and lie across x."""
    cabinet = cabinets.in_rows(1.2, 0.8, 0.15, rows=3, modules=2, direction="vertical")
    emitters = cabinet.emitters()
    np.testing.assert_allclose(emitters.x, [0.2, 0.2, 0.6, 0.6, 1.0, 1.0], rtol=1e-15)
    np.testing.assert_allclose(emitters.y, [0.2, 0.6, 0.2, 0.6, 0.2, 0.6], rtol=1e-15)
    assert cabinet.direction == "vertical"
    assert cabinet.row_lines == pytest.approx((0.2, 0.6, 1.0), rel=1e-15)


def test_groups_come_in_their_order() -> None:
    """The modules of several groups come group by group, each with its own beam and lumens."""
    beam = CosinePower(exponent=2.5)
    one = cabinets.in_rows(1.0, 0.5, 0.1, rows=1, modules=2)
    other = cabinets.in_rows(1.0, 0.5, 0.1, rows=1, modules=1, lumens=7.0, beam=beam)
    both = Cabinet(box=one.box, face=one.face, groups=one.groups + other.groups)
    assert both.emitters().flux.tolist() == [100.0, 100.0, 7.0]
    assert cabinets.exponents(both.emitters()).tolist() == [1.0, 1.0, 2.5]


def test_most_modules_say_which_way_the_rows_run() -> None:
    """The direction of most modules' rows is the cabinet's; the first group breaks a tie."""
    level = cabinets.in_rows(1, 1, 0.1, rows=2, modules=3)
    upright = cabinets.in_rows(1, 1, 0.1, rows=2, modules=4, direction="vertical")
    tied = cabinets.in_rows(1, 1, 0.1, rows=3, modules=2, direction="vertical")

    def direction(*groups: Cabinet) -> str:
        together = Cabinet(box=level.box, face=level.face, groups=tuple(one.groups[0] for one in groups))
        return together.direction

    assert direction(level, upright) == "vertical"
    assert direction(level, tied) == "horizontal"
    assert direction(tied, level) == "vertical"


def test_the_visible_face_is_what_the_retainer_leaves() -> None:
    """The visible border is taken off every side of the face."""
    cabinet = cabinets.shop_sign()
    assert cabinet.visible == Rectangle(x0=0.02, x1=1.2 - 0.02, y0=0.02, y1=0.6 - 0.02)
    assert cabinet.whole_face == Rectangle(x0=0.0, x1=1.2, y0=0.0, y1=0.6)
    assert cabinet.visible.area == pytest.approx(1.16 * 0.56, rel=1e-14)


def test_the_stripe_window_is_the_widest_pitch() -> None:
    """The averaging window is the widest row pitch, or module pitch if wider; without one twice the longest throw."""
    assert cabinets.in_rows(1.2, 0.9, 0.1, rows=3, modules=4).stripe_window == pytest.approx(0.3, rel=1e-15)
    assert cabinets.in_rows(1.2, 0.9, 0.1, rows=1, modules=4).stripe_window == pytest.approx(0.2, rel=1e-15)
    raised = cabinets.listed(1, 1, 0.1, [(0.2, 0.2), (0.8, 0.8)], z=np.array([0.02, 0.03]))
    assert raised.stripe_window == pytest.approx(0.16, rel=1e-15)
    wide, narrow = (cabinets.in_rows(1.2, 0.9, 0.1, rows=rows, modules=4) for rows in (2, 9))
    both = Cabinet(box=wide.box, face=wide.face, groups=narrow.groups + wide.groups)
    assert both.stripe_window == pytest.approx(0.45, rel=1e-15)
    sparse = cabinets.in_rows(1.2, 0.9, 0.1, rows=6, modules=4)
    assert sparse.stripe_window == pytest.approx(0.3, rel=1e-15)


def test_listed_rows_have_no_pitch() -> None:
    """Rows at listed positions have no pitch of their own: twice the throw is the window."""
    rows = Rows(
        module=STANDARD,
        direction="horizontal",
        rows=listed_places(Fraction(1), [0.2, 0.7]),
        modules=place(1, count=4),
    )
    cabinet = Cabinet(box=Box(width=1, height=1, depth=0.1), face=cabinets.OPAL, groups=(rows,))
    assert rows.row_pitch is None
    assert cabinet.stripe_window == pytest.approx(0.2, rel=1e-15)
    assert cabinet.row_lines == (0.2, 0.7)


def test_listed_modules_set_askew_are_one_row() -> None:
    """Listed modules within 25 mm of the next across the rows are one row, at the mean of them."""
    cabinet = cabinets.listed(1, 1, 0.1, [(0.1, 0.2), (0.5, 0.21), (0.9, 0.19), (0.3, 0.6), (0.7, 0.62)])
    assert cabinet.row_lines == pytest.approx((0.2, 0.61), rel=1e-12)


def test_a_throw_of_one_millimetre_is_taken() -> None:
    """The least throw is 1 mm, and 1 mm exactly is enough, whatever rounding makes of depth less z."""
    refused = []
    for millimetres in range(2, 400):
        try:
            cabinets.listed(1, 1, millimetres / 1000, [(0.5, 0.5)], z=(millimetres - 1) / 1000)
        except InputError:
            refused.append(millimetres)
    assert refused == []


@pytest.mark.parametrize(("depth", "z"), [(0.1, 0.0995), (0.1, 0.1), (0.1, 0.2), (0.1, math.nan)])
def test_too_short_a_throw_is_refused(depth: float, z: float) -> None:
    """A module less than 1 mm from the face, or beyond it, is refused with depth and z."""
    with pytest.raises(InputError, match=rf"at least 0.001 m, got .*depth {depth:g} m, z {z:g} m"):
        cabinets.listed(1, 1, depth, [(0.5, 0.5)], z=z)


@pytest.mark.parametrize(
    ("place_of", "message"),
    [
        ((1.3, 0.2), "a module at x = 1.3 m is outside the cabinet, which ends at 1.2 m"),
        ((-0.1, 0.2), "a module at x = -0.1 m is outside"),
        ((0.3, 0.7), "a module at y = 0.7 m is outside the cabinet, which ends at 0.6 m"),
    ],
)
def test_a_module_outside_is_refused(place_of: tuple[float, float], message: str) -> None:
    """A module beyond a return is refused with its place and the cabinet's size."""
    with pytest.raises(InputError, match=message):
        cabinets.listed(1.2, 0.6, 0.1, [(0.1, 0.1), place_of])


@pytest.mark.parametrize("place_of", [(math.nan, 0.2), (0.2, math.nan)])
def test_a_module_nowhere_is_refused(place_of: tuple[float, float]) -> None:
    """A module whose place is not a number is refused where it enters."""
    with pytest.raises(InputError):
        cabinets.listed(1.2, 0.6, 0.1, [(0.1, 0.1), place_of])


def test_modules_on_the_very_returns_are_taken() -> None:
    """A module may stand on a return."""
    assert len(cabinets.listed(1.2, 0.6, 0.1, [(0.0, 0.0), (1.2, 0.2), (0.5, 0.6)]).emitters()) == 3


def test_a_module_below_the_back_is_refused() -> None:
    """A module behind the back is refused with its z."""
    with pytest.raises(InputError, match=r"z must be 0 m or more, got -0.01 m"):
        cabinets.listed(1, 1, 0.1, [(0.5, 0.5)], z=-0.01)


@pytest.mark.parametrize("border", [0.3, 0.4])
def test_a_border_that_hides_the_face_is_refused(border: float) -> None:
    """A border of half the height or more leaves nothing to see."""
    face = replace(cabinets.OPAL, visible_border=border)
    with pytest.raises(
        InputError, match=f"a visible border of {border:g} m on every side hides the whole face"
    ):
        cabinets.in_rows(1.2, 0.6, 0.1, rows=1, modules=1, face=face)


def test_a_cabinet_without_rows_is_refused() -> None:
    """There must be something that lights."""
    with pytest.raises(InputError, match="the cabinet holds no rows"):
        Cabinet(box=Box(width=1, height=1, depth=0.1), face=cabinets.OPAL, groups=())


@pytest.mark.parametrize("name", ["width", "height", "depth"])
@pytest.mark.parametrize("size", [0.0, -0.1, math.nan, math.inf, LARGEST_SIZE * 1.001])
def test_a_box_needs_sizes(name: str, size: float) -> None:
    """A size that is nothing, negative, no number or beyond any sign is refused by name."""
    sizes = {"width": 1.0, "height": 1.0, "depth": 0.1, name: size}
    with pytest.raises(InputError, match=f"{name} must be more than 0 and at most 100 m, got {size:g} m"):
        Box(**sizes)


@pytest.mark.parametrize("name", ["back", "left_return", "right_return", "bottom_return", "top_return"])
@pytest.mark.parametrize("value", [-0.01, 1.01, math.nan])
def test_a_reflectance_lies_between_nothing_and_everything(name: str, value: float) -> None:
    """A reflectance outside 0 to 1 is refused by name."""
    with pytest.raises(InputError, match=f"{name}_reflectance must be from 0 to 1, got {value:g}"):
        Box(width=1, height=1, depth=0.1, **{f"{name}_reflectance": value})


@pytest.mark.parametrize(
    ("transmittance", "reflectance", "message"),
    [
        (0.0, 0.4, "transmittance must be more than 0 and at most 1, got 0"),
        (1.1, 0.0, "transmittance must be more than 0 and at most 1, got 1.1"),
        (math.nan, 0.0, "transmittance must be more than 0"),
        (0.4, -0.1, "reflectance must be from 0 to 1, got -0.1"),
        (0.4, math.nan, "reflectance must be from 0 to 1"),
        (0.6, 0.5, "transmittance 0.6 and reflectance 0.5 add up to more than 1"),
    ],
)
def test_a_face_cannot_give_more_than_it_gets(transmittance: float, reflectance: float, message: str) -> None:
    """What goes through a face and what it throws back are no more than what arrives."""
    with pytest.raises(InputError, match=message):
        Face(transmittance=transmittance, reflectance=reflectance)


@pytest.mark.parametrize(("transmittance", "reflectance"), [(0.4, 0.6), (0.7, 0.3), (0.9, 0.1), (1.0, 0.0)])
def test_a_face_without_losses_is_taken(transmittance: float, reflectance: float) -> None:
    """Transmittance and reflectance may add up to 1 exactly, and nothing is then absorbed."""
    face = Face(transmittance=transmittance, reflectance=reflectance)
    assert face.absorptance == pytest.approx(0, abs=1e-15)
    assert face.absorptance >= 0


@pytest.mark.parametrize("border", [-0.01, math.nan])
def test_a_border_cannot_be_negative(border: float) -> None:
    """A visible border is 0 or more."""
    with pytest.raises(InputError, match="visible border must be 0 m or more"):
        Face(transmittance=0.4, reflectance=0.4, visible_border=border)


@pytest.mark.parametrize("lumens", [0.0, -1.0, math.nan, 1e9])
def test_a_module_needs_lumens(lumens: float) -> None:
    """A module without lumens is refused."""
    with pytest.raises(InputError, match="lumens must be more than 0"):
        Module(name="dark", lumens=lumens)


@pytest.mark.parametrize(("name", "unit"), [("watts", "W"), ("volts", "V")])
def test_watts_and_volts_are_more_than_nothing(name: str, unit: str) -> None:
    """Watts and volts may be left out but not be nothing."""
    with pytest.raises(InputError, match=f"{name} must be more than 0 and below 1e9, got 0 {unit}"):
        Module(name="dark", lumens=1.0, **{name: 0.0})  # type: ignore[arg-type]
    assert getattr(Module(name="unknown", lumens=1.0), name) is None


def test_too_many_modules_are_refused_before_they_are_laid() -> None:
    """Rows times modules beyond what a cabinet may hold are refused with the product."""
    with pytest.raises(
        TooLargeError, match=f"400 rows of 251 modules are 100400 modules: at most {MOST_PLACES}"
    ):
        cabinets.in_rows(40, 40, 0.1, rows=400, modules=251)


def test_groups_together_may_not_hold_too_many() -> None:
    """Groups that are each within bounds may be too many together."""
    half = cabinets.in_rows(40, 40, 0.1, rows=300, modules=200)
    with pytest.raises(TooLargeError, match="120000 modules: at most"):
        Cabinet(box=half.box, face=half.face, groups=half.groups + half.groups)


def test_an_empty_list_of_modules_is_refused() -> None:
    """A list without modules is refused."""
    nothing = Emitters.upright(STANDARD, np.zeros(0), np.zeros(0))
    with pytest.raises(InputError, match="the list of modules is empty"):
        ListedModules(direction="horizontal", placed=nothing)


@pytest.mark.parametrize("lumens", [0.0, -3.0, math.nan])
def test_every_listed_module_needs_lumens(lumens: float) -> None:
    """A listed module without lumens is refused."""
    with pytest.raises(InputError, match="every listed module needs lumens above 0"):
        cabinets.listed(1, 1, 0.1, [(0.2, 0.2), (0.3, 0.3)], lumens=np.array([10.0, lumens]))


def test_obstructions_must_lie_inside() -> None:
    """An obstruction inside is taken; one that sticks out, or has no size, is refused."""
    sign = cabinets.shop_sign()
    pole = Obstruction(x=0.5, y=0.0, z=0.0, width=0.05, height=0.6, depth=0.05)
    assert replace(sign, obstructions=(pole,)).obstructions == (pole,)
    for outside in (
        replace(pole, y=0.01),
        replace(pole, x=-0.01),
        replace(pole, z=0.11),
        replace(pole, x=math.nan),
    ):
        with pytest.raises(InputError, match=r"sticks out of the cabinet of 1\.2 by 0\.6 by 0\.15 m"):
            replace(sign, obstructions=(outside,))
    with pytest.raises(InputError, match="an obstruction's height must be more than 0 m, got 0 m"):
        replace(pole, height=0.0)


@pytest.mark.parametrize("staggered", [False, True])
def test_groups_and_cabinets_know_how_many_modules_they_have(staggered: bool) -> None:
    """Three rows of four are twelve, as many as are laid; so are five that are listed."""
    rows = cabinets.in_rows(0.6, 0.4, 0.12, rows=3, modules=4, staggered=staggered)
    listed = cabinets.listed(0.6, 0.4, 0.12, [(0.1 * i, 0.2) for i in range(1, 6)])
    for built, many in ((rows, 12), (listed, 5)):
        assert built.modules == len(built.groups[0]) == len(built.emitters()) == many
