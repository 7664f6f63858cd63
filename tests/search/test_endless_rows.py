"""The curve of rows without end in the plane of row pitch and depth."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.beams.closed import LAMBERTIAN, Wide
from lumsim.beams.tables import Table
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light.infinite_rows import InfiniteRows
from lumsim.search.endless_rows import USUAL_LIMIT, endless_rows_curve, endless_rows_limit
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT, in_rows
from tests.published.values import read_published

PITCHES: tuple[Fraction | float, ...] = (Fraction(1, 10), Fraction(2, 10), 0.35)
PER_THROW = {
    float(one.parameters["ratio"]): one.expected for one in read_published() if one.family == "rows-pitch"
}


def on_back(z: float = 0.0) -> Cabinet:
    """Rows on a white back."""
    return in_rows(1.0, 0.6, 0.15, rows=4, modules=8, z=z)


def between_faces(z: float, *, front_share: float = 0.5, rear: float = 0.4) -> Cabinet:
    """Rows between two faces 0.2 m apart."""
    rows = Rows(
        module=Module(name="standard", lumens=100.0),
        direction="horizontal",
        rows=place(0.6, count=4),
        modules=place(1.0, count=8),
        z=z,
        front_share=front_share,
        on="plane",
    )
    return Cabinet(
        box=Box(width=1.0, height=0.6, depth=0.2),
        face=Face(transmittance=0.4, reflectance=0.4),
        rear=Face(transmittance=0.4, reflectance=rear),
        groups=(rows,),
    )


@pytest.mark.parametrize("z", [0.0, 0.02])
@pytest.mark.parametrize("limit", [1.05, 1.2, 2.0])
def test_direct_light_takes_the_published_throw_above_the_modules(limit: float, z: float) -> None:
    """Depth is z and the pitch over the published pitch in throws."""
    depths = endless_rows_curve(on_back(z), 0, limit, PITCHES, lighting=DIRECT)
    expected = [z + float(pitch) / PER_THROW[limit] for pitch in PITCHES]
    np.testing.assert_allclose(depths, expected, rtol=3e-5)


@pytest.mark.parametrize("z", [0.0, 0.02])
def test_with_all_light_rows_are_as_even_as_the_limit_at_each_depth(z: float) -> None:
    """Between back and face of 0.85 and 0.4, rows without end at the curve's depths have just the limit."""
    for pitch, depth in zip(PITCHES, endless_rows_curve(on_back(z), 0, 1.2, PITCHES), strict=True):
        lit = InfiniteRows(
            beam=LAMBERTIAN, throw=depth - z, depth=depth, back_reflectance=0.85, face_reflectance=0.4
        )
        assert lit.max_to_min(float(pitch)) == pytest.approx(1.2, abs=3e-5)


@pytest.mark.parametrize("lighting", [DIRECT, ALL_LIGHT], ids=["direct", "all"])
def test_rows_midway_between_two_faces_stay_midway(lighting: Lighting) -> None:
    """Throw is half the depth; what goes to the other face comes back in part."""
    for pitch, depth in zip(
        PITCHES, endless_rows_curve(between_faces(0.1), 0, 1.3, PITCHES, lighting=lighting), strict=True
    ):
        thrown = 0.0 if lighting.direct_only else 0.4
        lit = InfiniteRows(
            beam=LAMBERTIAN,
            throw=depth / 2,
            depth=depth,
            back_reflectance=thrown,
            face_reflectance=thrown,
            behind=0.5,
        )
        assert lit.max_to_min(float(pitch)) == pytest.approx(1.3, abs=5e-5)


def test_the_worse_of_two_faces_decides() -> None:
    """Rows 0.05 m before the rear face: too wide for that, no depth helps; else the front asks for its throw."""
    close, wide = 0.9 * 0.05 * PER_THROW[1.2], 1.1 * 0.05 * PER_THROW[1.2]
    depths = endless_rows_curve(between_faces(0.05), 0, 1.2, (close, wide), lighting=DIRECT)
    assert depths[0] == pytest.approx(0.05 + 0.9 * 0.05, rel=1e-4)
    assert math.isnan(depths[1])


def test_a_face_that_nothing_shines_at_does_not_decide() -> None:
    """Rows that shine forward only ask for a throw to the front alone."""
    depths = endless_rows_curve(between_faces(0.05, front_share=1.0), 0, 1.2, (0.3,), lighting=DIRECT)
    assert depths[0] == pytest.approx(0.05 + 0.3 / PER_THROW[1.2], rel=1e-4)


def without_closed_form() -> dict[str, Cabinet]:
    """Cabinets whose rows are not those of the closed form."""
    cabinet = on_back(0.02)
    (rows,) = cabinet.groups
    assert isinstance(rows, Rows)
    table = Table(angles=(0.0, 1.0, math.pi / 2), values=(1.0, 0.6, 0.0))

    def changed(new: Rows) -> Cabinet:
        return replace(cabinet, groups=(new,))

    return {
        "a table": changed(replace(rows, module=replace(rows.module, beam=table))),
        "tilted": changed(replace(rows, tilt=0.1)),
        "LEDs beside the row": changed(
            replace(rows, module=replace(rows.module, leds=((0.0, 0.01), (0.0, -0.01))))
        ),
        "LEDs turned off the row": changed(
            replace(rows, turn=0.5, module=replace(rows.module, leds=((0.01, 0.0), (-0.01, 0.0))))
        ),
        "two groups": replace(cabinet, groups=(rows, rows)),
    }


@pytest.mark.parametrize("name", without_closed_form())
def test_without_a_closed_form_there_is_no_curve(name: str) -> None:
    """What the closed form does not know has no depths, rather than wrong ones."""
    assert np.isnan(endless_rows_curve(without_closed_form()[name], 0, 1.2, PITCHES)).all()


def test_leds_along_the_row_are_the_row() -> None:
    """LEDs in line with the row change nothing."""
    cabinet = on_back()
    (rows,) = cabinet.groups
    assert isinstance(rows, Rows)
    strung = replace(rows, module=replace(rows.module, leds=((0.01, 0.0), (-0.01, 0.0))))
    np.testing.assert_array_equal(
        endless_rows_curve(replace(cabinet, groups=(strung,)), 0, 1.2, PITCHES, lighting=DIRECT),
        endless_rows_curve(cabinet, 0, 1.2, PITCHES, lighting=DIRECT),
    )


def test_a_limit_of_one_is_never_reached() -> None:
    """No depth makes rows perfectly even."""
    assert np.isnan(endless_rows_curve(on_back(), 0, 1.0, PITCHES)).all()


def test_wide_beams_have_a_curve_of_their_own() -> None:
    """A wide beam needs less depth for the same pitch."""
    wide = in_rows(1.0, 0.6, 0.15, rows=4, modules=8, beam=Wide(width=2.0))
    assert (
        endless_rows_curve(wide, 0, 1.2, PITCHES, lighting=DIRECT)
        < endless_rows_curve(on_back(), 0, 1.2, PITCHES, lighting=DIRECT)
    ).all()


def test_the_limit_is_that_on_stripes_first() -> None:
    """Stripes, else max/min, else the usual 1.2."""
    assert endless_rows_limit(Requirement(stripe_max_to_min=1.15, max_to_min=1.6)) == 1.15
    assert endless_rows_limit(Requirement(max_to_min=1.6)) == 1.6
    assert endless_rows_limit(Requirement(min_to_mean=0.5)) == USUAL_LIMIT == 1.2
