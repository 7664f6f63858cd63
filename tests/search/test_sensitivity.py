"""How numbers move, against whole simulations of the cabinet moved a little."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light.interior import Interior, at_depth
from lumsim.search import sensitivity
from lumsim.search.sensitivity import Quantity, Slopes, moved, sensitivity_parts, slopes_of
from lumsim.simulation import ALL_LIGHT, simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT, in_rows, listed
from tests.search.scanned import cabinet

LENGTHS: tuple[Quantity, ...] = ("row_pitch", "edge_distance", "module_pitch", "depth")
REFLECTANCES: tuple[Quantity, ...] = ("back_reflectance", "return_reflectance", "face_reflectance")


def small() -> Cabinet:
    """Four rows of three modules, their edge distances unlike half a pitch."""
    return cabinet(Fraction(9, 100), height=0.4)


def of(quantity: Quantity, given: Cabinet | None = None) -> Slopes:
    """Look at one quantity."""
    parts = sensitivity_parts(given or small(), Requirement(), lighting=ALL_LIGHT)
    return slopes_of(next(part for part in parts if part.quantity == quantity))


@pytest.mark.parametrize("quantity", ["row_pitch", "edge_distance"])
def test_a_kink_beside_the_drawing_is_told_as_the_slopes_beyond_it(quantity: Quantity) -> None:
    """Where stripes turn a fifth of a millimetre off, each side's slope is that from half a step to a whole one."""
    given = in_rows(
        0.42,
        0.31,
        0.07,
        rows=4,
        modules=8,
        face=Face(transmittance=0.4, reflectance=0.4, visible_border=0.015),
    )
    (group,) = given.groups
    assert isinstance(group, Rows)
    rows, along = (
        place(extent, pitch=pitch)
        for extent, pitch in (
            (Fraction(31, 100), Fraction(78, 1000)),
            (Fraction(42, 100), Fraction(52, 1000)),
        )
    )
    given = replace(given, groups=(replace(group, rows=rows, modules=along),))
    parts = sensitivity_parts(given, Requirement(), lighting=DIRECT)
    found = slopes_of(next(part for part in parts if part.quantity == quantity))
    slope = found.slopes["stripe_max_to_min"]
    assert slope.slope is None
    fixed = Requirement(stripe_window=None if quantity == "row_pitch" else given.stripe_window)

    def stripes(by: float) -> float:
        return simulate(moved(given, quantity, 0, by), fixed, lighting=DIRECT).evenness.stripe_max_to_min

    for told, way in ((slope.below, -1), (slope.above, 1)):
        near, far = stripes(way * 0.55 * found.step), stripes(way * 0.95 * found.step)
        assert told == pytest.approx((far - near) / (0.4 * found.step * way), abs=slope.error)
    assert slope.error < 0.5


@pytest.mark.parametrize("quantity", [*LENGTHS, *REFLECTANCES])
def test_a_slope_is_that_between_whole_simulations(quantity: Quantity) -> None:
    """Max/min and edge dimming move as `simulate` says of the cabinet moved by hand, to both sides or to each."""
    found = of(quantity)
    given = small()
    group = None if quantity == "depth" or quantity in REFLECTANCES else 0
    interior = ALL_LIGHT.interior(given.box)
    assert interior is not None
    fixed = Requirement(stripe_window=None if quantity == "row_pitch" else given.stripe_window)

    def numbers(by: float) -> dict[str, float]:
        there = moved(given, quantity, group, by) if by else given
        same = Interior(
            fine=at_depth(interior.fine, there.box.depth), coarse=at_depth(interior.coarse, there.box.depth)
        )
        even = simulate(there, fixed, interior=same).evenness
        return {name: getattr(even, name) for name in ("max_to_min", "edge_dimming", "stripe_max_to_min")}

    step = 0.4 * found.step
    own, less, more = (numbers(by) for by in (0.0, -step, step))
    for name, slope in found.slopes.items():
        below, above = (own[name] - less[name]) / step, (more[name] - own[name]) / step
        if slope.slope is not None:
            # A line through two points beside a parabola through three.
            room = abs(above - below) + 0.01 * abs(slope.slope) + 2 * slope.error
            assert slope.slope == pytest.approx((below + above) / 2, abs=room)
            assert (
                abs(slope.slope - (less[name] - more[name]) / (-2 * step))
                <= 0.02 * abs(slope.slope) + 2 * slope.error
            )
        else:
            assert slope.below is not None
            assert slope.above is not None
            room = 0.1 * max(abs(above), abs(below)) + 2 * slope.error
            assert (slope.below, slope.above) == pytest.approx((below, above), abs=room)


def test_signs_are_those_of_the_trade() -> None:
    """Deeper evens the stripes, whiter returns and outer rows nearer to them even the edges."""
    depth, white, pitch = of("depth"), of("return_reflectance"), of("row_pitch")
    assert (depth.slopes["stripe_max_to_min"].slope or 0) < 0
    assert (white.slopes["edge_dimming"].slope or 0) < 0
    assert (pitch.slopes["edge_dimming"].slope or 0) < 0


def test_what_is_moved_is_said_with_its_value() -> None:
    """Each quantity of the cabinet once, with its own value; direct light knows no reflectance."""
    parts = sensitivity_parts(small(), Requirement(), lighting=ALL_LIGHT)
    assert [part.quantity for part in parts] == [*LENGTHS, *REFLECTANCES]
    assert [part.group for part in parts] == [0, 0, 0, None, None, None, None]
    direct = sensitivity_parts(small(), Requirement(), lighting=DIRECT)
    assert [part.quantity for part in direct] == list(LENGTHS)
    assert slopes_of(direct[0]).value == pytest.approx(0.09)
    assert slopes_of(direct[1]).value == pytest.approx(0.065)
    assert slopes_of(direct[3]).value == 0.15


def test_listed_modules_stay_where_they_are() -> None:
    """Where modules are listed and a face has no back, only what there is is moved."""
    given = listed(
        0.4,
        0.3,
        0.15,
        [(0.1, 0.1), (0.3, 0.2)],
        z=0.075,
        front_share=0.5,
        rear=Face(transmittance=0.4, reflectance=0.4),
    )
    asked = [part.quantity for part in sensitivity_parts(given, Requirement(), lighting=ALL_LIGHT)]
    assert asked == ["depth", "return_reflectance", "face_reflectance"]


@pytest.mark.parametrize(
    ("quantity", "reads", "less"),
    [
        ("row_pitch", lambda one: float(rows(one).rows.pitch or 0), 0.09),
        ("edge_distance", lambda one: float(rows(one).rows.positions[0]), 0.065),
        ("module_pitch", lambda one: float(rows(one).modules.pitch or 0), 0.1),
        ("depth", lambda one: one.box.depth, 0.15),
        ("return_reflectance", lambda one: one.box.top_return_reflectance, 0.85),
        ("back_reflectance", lambda one: one.box.back_reflectance, 0.85),
        ("face_reflectance", lambda one: one.face.reflectance, 0.4),
    ],
)
def test_moved_moves_one_thing(quantity: Quantity, reads: object, less: float) -> None:
    """What was asked for is more by so much, and as many rows and modules as before are in the cabinet."""
    group = 0 if quantity in LENGTHS[:3] else None
    there = moved(small(), quantity, group, 0.001)
    assert callable(reads)
    assert reads(there) == pytest.approx(less + 0.001)
    assert (rows(there).rows.count, rows(there).modules.count) == (4, 3)
    if quantity == "edge_distance":
        assert rows(there).rows.positions[1] == rows(small()).rows.positions[1]


def rows(given: Cabinet) -> Rows:
    """The cabinet's group."""
    (group,) = given.groups
    assert isinstance(group, Rows)
    return group


def test_what_cannot_be_more_is_told_to_one_side() -> None:
    """A face whose reflectance and transmittance make 1 can only throw back less."""
    full = replace(small(), face=Face(transmittance=0.4, reflectance=0.6, visible_border=0.02))
    slope = of("face_reflectance", full).slopes["max_to_min"]
    assert slope.slope is None
    assert slope.above is None
    assert slope.below is not None
    white = replace(small(), box=replace(small().box, back_reflectance=1.0))
    assert of("back_reflectance", white).slopes["edge_dimming"].above is None


def test_a_kink_is_told_to_either_side() -> None:
    """Of |x| the slopes are −1 and 1; of a parabola and of a line there is one."""
    step = 0.01

    def around(f: object) -> sensitivity.Slope:
        assert callable(f)
        return sensitivity._slope(f(0.0), [f(by * step) for by in (-1, -0.5, 0.5, 1)], step)

    kinked = around(lambda x: 1 + abs(x))
    assert kinked.slope is None
    assert (kinked.below, kinked.above) == pytest.approx((-1, 1))
    for smooth, slope in (
        (lambda x: 1 + 3 * x, 3.0),
        (lambda x: 2 + x + 5 * x**2, 1.0),
        (lambda x: 1 + x - 9 * x**3, 1.0),
    ):
        assert around(smooth).slope == pytest.approx(slope, abs=1e-6)


def test_a_mesh_at_another_depth_has_the_same_patches() -> None:
    """Deeper, the inside is cut into as many patches, and its exchange still closes."""
    interior = ALL_LIGHT.interior(Box(width=0.3, height=0.4, depth=0.15))
    assert interior is not None
    other = at_depth(interior.coarse, 0.16)
    assert other.mesh.patches == interior.coarse.mesh.patches
    assert other.mesh.z[-1] == other.mesh.depth == 0.16
    assert other.exchange.row_sum_defect() < 1e-9
    assert at_depth(interior.coarse, 0.15) is interior.coarse
