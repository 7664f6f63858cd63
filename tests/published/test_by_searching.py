"""Every published pitch and max/min of rows without end once more, by searching: what pitch, what depth has it?

What is printed is a max/min to so many digits: the pitch found for it may be off by what half its last place makes of a
pitch, and no more.
"""

from __future__ import annotations

import math

import pytest

from lumsim.beams.closed import LAMBERTIAN, CosinePower
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light.infinite_rows import InfiniteRows
from lumsim.search.endless_rows import endless_rows_curve
from lumsim.simulation import ALL_LIGHT, Lighting
from tests.cabinets import DIRECT
from tests.published.values import FROM_PRINTED_DIGITS, Published, last_place, read_published

ALL = [*read_published(), *read_published("reflected.toml")]
THROWN_BACK = ("endless-rows-between-plates", "plates-max-to-min")
ROWS = ("rows-max-to-min", "rows-of-cosine-powers", *THROWN_BACK)
SQUARES = ("square-max-to-min", "square-of-cosine-powers", "endless-square-between-plates")


FAR = 15.0
"""A max/min above which a square lattice takes seconds to be searched. [1]"""


def of(*families: str) -> list[Published]:
    """Return every number of some families."""
    return [one for one in ALL if one.family in families]


def half_a_place(one: Published) -> float:
    """By how much a number may be off for its printed digits. [of its unit]"""
    return FROM_PRINTED_DIGITS * last_place(one.printed)


def told(one: Published, name: str, otherwise: float = math.nan) -> float:
    """One of the numbers that an entry is told by."""
    return float(one.parameters.get(name, otherwise))


def both(one: Published) -> float:
    """Product of the reflectances of back and face, of which alone the light hangs. [1]"""
    return told(one, "both", told(one, "back", 0.0) * told(one, "face", 0.0))


def endless(one: Published, *, module_pitch: float | None = None) -> InfiniteRows:
    """The rows that a number is of, at a throw of 1."""
    m = told(one, "m", 1.0)
    return InfiniteRows(
        beam=LAMBERTIAN if m == 1 else CosinePower(exponent=m),
        throw=1.0,
        depth=1.0,
        back_reflectance=both(one),
        face_reflectance=1.0,
        module_pitch=module_pitch,
    )


def assert_found(one: Published, lit: InfiniteRows, pitch: float) -> None:
    """Hold the pitch found for the printed max/min against the published one: no farther off than the digits let it."""
    found = lit.pitch_for(one.expected)
    assert found is not None
    assert found == pytest.approx(pitch, rel=0.03)
    assert lit.max_to_min(found) - lit.max_to_min(pitch) == pytest.approx(0, abs=half_a_place(one))


@pytest.mark.parametrize("one", of(*ROWS), ids=str)
def test_rows_with_the_published_max_to_min_are_found_at_the_published_pitch(one: Published) -> None:
    """By direct light, for each exponent, and between plates that throw light back."""
    assert_found(one, endless(one), told(one, "pitch"))


@pytest.mark.parametrize(
    "one",
    [pytest.param(one, marks=pytest.mark.slow if one.expected > FAR else ()) for one in of(*SQUARES)],
    ids=str,
)
def test_the_square_lattice_with_the_published_max_to_min_is_found(one: Published) -> None:
    """Modules as far apart along the rows as published: so far apart are the rows."""
    pitch = told(one, "pitch")
    assert_found(one, endless(one, module_pitch=pitch), pitch)


@pytest.mark.parametrize("one", of("rectangular-max-to-min"), ids=str)
def test_the_rectangular_lattice_with_the_published_max_to_min_is_found(one: Published) -> None:
    """The wider of its two pitches, for the modules as far apart as the other says."""
    narrow, wide = sorted((told(one, "a"), told(one, "b")))
    assert_found(one, endless(one, module_pitch=narrow), wide)


@pytest.mark.parametrize("one", of("rows-pitch"), ids=str)
def test_the_published_pitch_for_a_max_to_min_is_found(one: Published) -> None:
    """To its printed digits."""
    assert endless(one).pitch_for(told(one, "ratio")) == pytest.approx(
        one.expected, rel=0, abs=half_a_place(one)
    )


@pytest.mark.parametrize("one", of("square-pitch"), ids=str)
def test_the_published_pitch_of_a_square_lattice_is_found(one: Published) -> None:
    """Where both pitches are one: rows are found wider for modules a hair closer, narrower for a hair farther."""
    for off in (-half_a_place(one), half_a_place(one)):
        pitch = one.expected + off
        found = endless(one, module_pitch=pitch).pitch_for(told(one, "ratio"))
        assert found is not None
        assert (found - pitch) * off <= 0


def in_depth(one: Published) -> bool:
    """Whether a depth is searched too: for rows told by both reflectances, and for one pitch of each product."""
    return "back" in one.parameters or told(one, "pitch") == 2.0


def wide(one: Published) -> Cabinet:
    """A cabinet a metre deep with the reflectances that a number is of, as the search for a depth takes it."""
    back = told(one, "back", 1.0)
    face = both(one) / back
    rows = Rows(
        module=Module(name="standard", lumens=100.0),
        direction="horizontal",
        rows=place(20.0, count=10),
        modules=place(20.0, count=40),
    )
    return Cabinet(
        box=Box(width=20.0, height=20.0, depth=1.0, back_reflectance=back),
        face=Face(transmittance=1 - face, reflectance=face),
        groups=(rows,),
    )


@pytest.mark.parametrize("one", [one for one in of(*THROWN_BACK) if in_depth(one)], ids=str)
def test_the_depth_at_which_rows_have_the_published_max_to_min_is_found(one: Published) -> None:
    """A throw deep for the published pitch: between the depths for the number plus and less half its last place."""
    lighting: Lighting = ALL_LIGHT if both(one) else DIRECT
    pitch = told(one, "pitch")
    shallow, deep = (
        endless_rows_curve(wide(one), 0, one.expected + off, (pitch,), lighting=lighting)[0]
        for off in (half_a_place(one), -half_a_place(one))
    )
    # A depth is found to 1e-5.
    assert shallow * (1 - 1e-5) <= 1 <= deep * (1 + 1e-5)
    assert math.isfinite(deep)
