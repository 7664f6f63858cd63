"""Light of any beam that points anywhere: what must hold whatever its shape."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import Direction, Mount, frame
from lumsim.cabinet.rows import ListedModules
from lumsim.cabinet.sources import sources_of
from lumsim.light.cells import AnyWay, Size
from lumsim.light.direct import DirectFlux, DirectLight, direct_flux, flux_on
from lumsim.light.patch_light import DirectInside, direct_on_patches
from lumsim.light.surfaces import mesh_of
from tests import cabinets
from tests.cabinets import OPAL

Array = NDArray[np.float64]

SIZE = (0.6, 0.4, 0.15)

BALANCE = 1e-6
"""Of the lumens: the most that a result may leave unaccounted for. [1]"""

SURFACES = ("back", "face", "bottom", "top", "left", "right")


def lopsided(*, backward: bool = False) -> Web:
    """A smooth web, alike in no mirror, with light beyond 90 degrees or without. [cd]"""
    vertical, horizontal = np.radians(np.arange(0, 181, 5.0)), np.radians(np.arange(0, 361, 5.0))
    u = np.sin(vertical) * np.cos(horizontal[:, None])
    v = -np.sin(vertical) * np.sin(horizontal[:, None])
    w = np.cos(vertical) + 0 * u
    fall = (1.2 + w) ** 2 if backward else np.maximum(w, 0.0)
    values = 100 * np.exp(-((u - 0.3) ** 2) - 2 * (v + 0.2) ** 2 - 0.5 * u * v) * fall
    values[-1] = values[0]
    return Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)


BACKWARD = Table(angles=tuple(np.radians([0.0, 60.0, 120.0, 180.0])), values=(10.0, 8.0, 3.0, 1.0))

BEAMS: dict[str, Beam] = {
    "lambertian": LAMBERTIAN,
    "wide": Wide(width=2.0),
    "uniform-plane": UniformPlane(cut_off=math.radians(60)),
    "table beyond 90 degrees": BACKWARD,
    "web": lopsided(),
    "web beyond 90 degrees": lopsided(backward=True),
}


def lit_by(
    beam: Beam,
    at: tuple[float, float, float],
    *,
    on: Mount = "back",
    direction: Direction = "horizontal",
    turn: float = 0.0,
    tilt: float = 0.0,
    size: tuple[float, float, float] = SIZE,
) -> Cabinet:
    """Build a cabinet with one module of 100 lm. [m, rad]"""
    x, y, z = at
    placed = Emitters.upright(
        Module(name="any", lumens=100.0, beam=beam),
        np.array([x]),
        np.array([y]),
        z=z,
        frame=frame(on, direction, turn=turn, tilt=tilt),
    )
    width, height, depth = size
    return Cabinet(
        box=Box(width=width, height=height, depth=depth),
        face=OPAL,
        groups=(ListedModules(direction=direction, placed=placed),),
    )


@pytest.mark.parametrize("m", [1.0, 2.5, 12.0])
def test_the_general_way_is_the_closed_way_for_a_closed_beam(m: float) -> None:
    """Cosine powers forced through cells light every patch as their closed forms do.

    With edges cut finely to a millionth of the brightest patch; as patches are lit, to a millionth of the lumens.
    """
    draw = np.random.default_rng(21)
    places = draw.uniform([0.02, 0.02], [0.58, 0.38], (5, 2))
    cabinet = cabinets.listed(*SIZE, places, z=draw.uniform(0, 0.05, 5), exponent=m)
    mesh = mesh_of(*SIZE, patches_in_depth=6)
    expected = direct_on_patches(mesh, cabinets.upright(cabinet))._asdict()
    areas = mesh.areas()._asdict()
    any_way = AnyWay(cabinet.sources(), Size(*SIZE))
    peak = float(expected["face"].max())
    for name in SURFACES:
        along = mesh.edges_y if name in {"left", "right"} else mesh.edges_x
        up = mesh.edges_y if name in {"back", "face"} else np.asarray(mesh.z)
        fine = any_way.flux(name, along, up, pieces=16) / areas[name]
        np.testing.assert_allclose(fine, expected[name], rtol=0, atol=1e-6 * peak)
        usual = any_way.flux(name, along, up)
        np.testing.assert_allclose(usual, expected[name] * areas[name], rtol=0, atol=1e-6 * 500)


@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
@pytest.mark.parametrize("tilt", [0.0, 0.5])
def test_points_and_cells_tell_one_light(beam: Beam, tilt: float) -> None:
    """The flux on a small part of the face is the illuminance in its middle times its area."""
    sources = lit_by(beam, (0.25, 0.15, 0.03), turn=0.4, tilt=tilt).sources()
    x, y = np.array([0.21, 0.3, 0.33]), np.array([0.13, 0.2, 0.1])
    E = DirectLight(sources, SIZE[2]).illuminance(x, y)
    half = 1e-3
    parts = [Rectangle(x0=a - half, x1=a + half, y0=b - half, y1=b + half) for a, b in zip(x, y, strict=True)]
    from_cells = [flux_on(sources, SIZE[2], part) / part.area for part in parts]
    np.testing.assert_allclose(from_cells, E, rtol=2e-3)


@pytest.mark.parametrize("beam", [lopsided(), lopsided(backward=True)], ids=["ahead", "all round"])
@pytest.mark.parametrize("tilted", [False, True])
def test_a_web_turned_with_its_box_lights_it_alike(beam: Web, tilted: bool) -> None:
    """A module turned by 90 degrees in a box turned with it lights the turned surfaces as it lit the others."""
    width, height, depth = SIZE
    x, y, z = 0.22, 0.12, 0.04
    # Above 0 a horizontal row leans up; turned with the box that is to the left, below 0 for a vertical row.
    tilt = 0.6 if tilted else 0.0
    one = lit_by(beam, (x, y, z), tilt=tilt)
    other = lit_by(beam, (height - y, x, z), direction="vertical", tilt=-tilt, size=(height, width, depth))
    before, after = direct_flux(one).arrivals, direct_flux(other).arrivals
    turned = {
        "back": "back",
        "face": "face",
        "bottom": "right",
        "right": "top",
        "top": "left",
        "left": "bottom",
    }
    for name, becomes in turned.items():
        assert after[becomes] == pytest.approx(before[name], rel=0, abs=1e-9), name
    a, b = np.meshgrid(np.linspace(0, width, 9), np.linspace(0, height, 7))
    np.testing.assert_allclose(
        DirectLight(other.sources(), depth).illuminance(height - b, a),
        DirectLight(one.sources(), depth).illuminance(a, b),
        rtol=1e-9,
    )


def test_a_web_is_not_alike_without_the_turn() -> None:
    """The lopsided web lights the returns unlike when it alone is turned: the relation above says something."""
    straight, turned = (
        direct_flux(lit_by(lopsided(), (0.3, 0.2, 0.0), turn=turn)) for turn in (0.0, math.pi / 2)
    )
    assert abs(turned.on_top_return - straight.on_top_return) > 1


PLACED: dict[str, tuple[Mount, Direction, tuple[float, float, float], float, float]] = {
    "flat on the back": ("back", "horizontal", (0.25, 0.15, 0.0), 0.3, 0.0),
    "tilted on the back": ("back", "horizontal", (0.25, 0.15, 0.0), 0.3, 0.5),
    "tilted off the back": ("back", "vertical", (0.25, 0.15, 0.04), 0.0, -0.9),
    "level off the back": ("back", "vertical", (0.25, 0.15, 0.04), 0.2, math.pi / 2),
    "on the left": ("left", "vertical", (0.0, 0.15, 0.05), 0.0, 0.0),
    "on the left, tilted": ("left", "vertical", (0.0, 0.15, 0.05), 0.4, 0.4),
    "off the right": ("right", "vertical", (0.58, 0.15, 0.05), 0.0, -0.7),
    "on the bottom": ("bottom", "horizontal", (0.25, 0.0, 0.05), 1.0, 0.2),
    "off the top": ("top", "horizontal", (0.25, 0.39, 0.05), 0.0, 0.3),
    "upright on a return": ("back", "horizontal", (0.0, 0.15, 0.04), 0.3, 0.0),
    "upright in a corner": ("back", "horizontal", (0.6, 0.4, 0.04), 0.3, 0.0),
}
"""What each is on, how its row runs, where it is, its turn and its tilt. [m, rad]"""


def placed_as(name: str, beam: Beam) -> Cabinet:
    """Build the cabinet with a module placed in one of those ways."""
    on, direction, at, turn, tilt = PLACED[name]
    return lit_by(beam, at, on=on, direction=direction, turn=turn, tilt=tilt)


@pytest.mark.parametrize("name", PLACED)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_what_goes_in_comes_out(beam: Beam, name: str) -> None:
    """However modules are placed, turned and tilted, all their lumens arrive on a surface or stay in the module."""
    flux = direct_flux(placed_as(name, beam))
    assert abs(flux.balance_error) < BALANCE
    for surface, lumens in (flux.arrivals | {"modules": flux.absorbed_modules}).items():
        assert lumens >= -100 * BALANCE, surface


@pytest.mark.parametrize("name", PLACED)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_patches_hold_the_flux_of_their_surface(beam: Beam, name: str) -> None:
    """The patches of each surface together take the flux that arrives on it."""
    # A step in the beam, and a web's kinks, fall on other samples on whole surfaces than on patches.
    missed = 1e-4 if beam in (BEAMS["uniform-plane"], BEAMS["web"], BEAMS["web beyond 90 degrees"]) else 1e-6
    cabinet = placed_as(name, beam)
    mesh = mesh_of(*SIZE, patches_in_depth=6)
    found = DirectInside(mesh, cabinet).on_patches().each(np.multiply, mesh.areas())._asdict()
    for surface, expected in direct_flux(cabinet).arrivals.items():
        assert float(found[surface].sum()) == pytest.approx(expected, rel=0, abs=100 * missed), surface


@pytest.mark.parametrize("degrees", [0.0, 5.0, 20.0, 60.0, 90.0, -45.0])
def test_a_tilted_lambertian_module_keeps_what_it_sends_into_the_back(degrees: float) -> None:
    """Of a Lambertian beam tilted by t the share (1 − cos t)/2 goes behind the plane that it lies on.

    A plane's share of what a small Lambertian surface tilted by t to it sends is (1 + cos t)/2.
    """
    t = math.radians(degrees)
    flux = direct_flux(lit_by(LAMBERTIAN, (0.25, 0.15, 0.0), tilt=t))
    assert flux.absorbed_modules == pytest.approx(100 * (1 - math.cos(t)) / 2, rel=0, abs=1e-5)
    assert flux.on_back == 0
    raised = direct_flux(lit_by(LAMBERTIAN, (0.25, 0.15, 1e-5), tilt=t))
    # Just off the back, the same light lands on the back instead.
    assert raised.absorbed_modules == 0
    assert raised.on_back == pytest.approx(100 * (1 - math.cos(t)) / 2, rel=0, abs=1e-1)


@pytest.mark.parametrize("beam", [BACKWARD, lopsided(backward=True)], ids=["table", "web"])
def test_a_flat_module_keeps_what_goes_backward(beam: Beam) -> None:
    """Of a module flat on the back all light beyond 90 degrees stays in it, and none that goes ahead."""
    flux = direct_flux(lit_by(beam, (0.25, 0.15, 0.0), turn=0.7))
    assert flux.absorbed_modules == pytest.approx(100 * (1 - beam.forward_share), rel=1e-9)
    assert flux.on_back == 0


@pytest.mark.parametrize("beam", [LAMBERTIAN, CosinePower(exponent=2.5), Wide(width=2.0)], ids=repr)
@pytest.mark.parametrize("off", [0.0, 0.03])
def test_a_module_on_a_return_lights_the_box_as_one_on_the_back_of_a_box_laid_over(
    beam: Beam, off: float
) -> None:
    """A module on a return is one on the back of the box laid on that return, whose light has a closed form."""
    width, height, depth = SIZE
    y, z = 0.15, 0.06
    on_return = direct_flux(lit_by(beam, (off, y, z), on="left", direction="vertical"))
    # Laid on its left return: x is the depth now, and z counts from the right.
    laid = direct_flux(lit_by(beam, (depth - z, y, off), size=(depth, height, width)))
    pairs = {
        "right": "face",
        "left": "back",
        "face": "left",
        "back": "right",
        "bottom": "bottom",
        "top": "top",
    }
    for name, becomes in pairs.items():
        assert on_return.arrivals[name] == pytest.approx(laid.arrivals[becomes], rel=0, abs=100 * BALANCE), (
            name
        )
    assert on_return.arrivals["left"] == 0
    assert on_return.absorbed_modules == 0


@pytest.mark.parametrize("side", ["left", "right", "bottom", "top"])
def test_modules_on_opposite_returns_are_mirror_images(side: Mount) -> None:
    """A module on each return, in the middle of it, lights its neighbours alike and nothing of its own return."""
    width, height, _ = SIZE
    at = {"left": (0.0, 0.2), "right": (width, 0.2), "bottom": (0.3, 0.0), "top": (0.3, height)}[side]
    upwards: Direction = "vertical" if side in {"left", "right"} else "horizontal"
    flux = direct_flux(lit_by(LAMBERTIAN, (*at, 0.075), on=side, direction=upwards))
    neighbours = ("bottom", "top") if side in {"left", "right"} else ("left", "right")
    assert flux.arrivals[side] == 0
    assert flux.arrivals[neighbours[0]] == pytest.approx(flux.arrivals[neighbours[1]], rel=1e-9)
    assert flux.on_face == pytest.approx(flux.on_back, rel=1e-9)


def test_several_leds_are_as_many_modules() -> None:
    """A module of two LEDs lights the box as two modules of half its lumens in their places."""
    leds = ((-0.03, 0.0), (0.03, 0.01))
    x, y = np.array([0.2]), np.array([0.15])
    size = Size(*SIZE)
    two = sources_of(Emitters.upright(Module(name="two", lumens=100.0, leds=leds), x, y))
    plain = Module(name="one", lumens=50.0)
    apart = sources_of(Emitters.upright(plain, np.array([0.17, 0.23]), np.array([0.15, 0.16])))
    for name, lumens in AnyWay(two, size).arrivals().items():
        assert lumens == pytest.approx(AnyWay(apart, size).arrivals()[name], rel=1e-12)


def test_the_fluxes_name_all_surfaces() -> None:
    """The arrivals stand under the names of the surfaces, each the flux of that surface."""
    flux = DirectFlux(
        emitted=28.0, on_face=1.0, on_back=2.0, on_left_return=3.0, on_right_return=4.0, on_bottom_return=5.0,
        on_top_return=6.0, absorbed_modules=7.0,
    )  # fmt: skip
    assert [flux.arrivals[name] for name in SURFACES] == [2.0, 1.0, 5.0, 6.0, 3.0, 4.0]
    assert flux.balance_error == 0
