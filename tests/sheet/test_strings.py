"""Rows as strings of modules, on the tape and by number."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import ListedModules
from lumsim.errors import InputError
from lumsim.sheet.strings import row_strings, with_light
from lumsim.simulation import Lighting, simulate
from lumsim.study.reading import read_study, study_from_text
from lumsim.uniformity.requirement import Requirement

SIGN = """
[cabinet]
width = "48 in"
height = "24 in"
depth = "5 in"
[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"
[modules.standard]
lumens = 60.0
[[rows]]
pitch = "6 in"
module_pitch = "5 in"
staggered = true
[[rows]]
on = "left"
pitch = "3 in"
module_pitch = "6 in"
z = "1 in"
"""
QUICK = Lighting(patches_in_depth=4)


@pytest.fixture
def sign() -> Cabinet:
    """A sign with staggered rows on its back and rows on its left return."""
    return study_from_text(SIGN).cabinet


def test_each_row_is_a_string_and_each_module_is_in_one(sign: Cabinet) -> None:
    """The strings hold every module once, where the emitters stand, the group's rows in their order."""
    strings = row_strings(sign)
    assert [one.number for one in strings] == list(range(1, len(strings) + 1))
    assert sorted(module for one in strings for module in one.modules) == list(range(sign.modules))
    emitters = sign.emitters()
    for one in strings:
        at = list(one.modules)
        along = emitters.x[at] if one.direction == "horizontal" else emitters.y[at]
        np.testing.assert_allclose(along, [float(place) for place in one.along], rtol=0, atol=1e-12)
        assert one.length == sum(one.gaps)
        assert (one.group == 2) == (one.direction == "vertical")


def test_places_on_the_tape_are_exact(sign: Cabinet) -> None:
    """Staggered rows stand a quarter of a module pitch to either side, in exact fractions of an inch."""
    inch = Fraction(254, 10000)
    first, second = row_strings(sign)[:2]
    assert first.first - second.first == Fraction(5, 2) * inch
    assert set(first.gaps) == {5 * inch}
    assert (first.across, second.across) == (3 * inch, 9 * inch)


def test_listed_modules_fall_into_rows(sign: Cabinet) -> None:
    """Modules listed in any order are the same strings as the rows that they were laid by."""
    laid = replace(sign, groups=sign.groups[:1])
    emitters = laid.emitters()
    order = np.random.default_rng(3).permutation(len(emitters))
    arrays = {
        name: getattr(emitters, name)[order]
        for name in ("x", "y", "z", "flux", "front_share", "frames", "kind")
    }
    listed = replace(
        laid, groups=(ListedModules(direction="horizontal", placed=replace(emitters, **arrays)),)
    )
    for one, other in zip(row_strings(laid), row_strings(listed), strict=True):
        assert float(one.across) == pytest.approx(float(other.across), abs=1e-12)
        assert one.count == other.count
        assert [order[module] for module in other.modules] == list(one.modules)
    np.testing.assert_allclose(
        [float(one.across) for one in row_strings(listed)], listed.row_lines, rtol=0, atol=1e-12
    )


def test_a_share_of_every_module_is_a_share_of_the_light(sign: Cabinet) -> None:
    """Half the light of each module halves the mean and every lumen, and leaves all ratios, rows on a return too."""
    asked = Requirement(stripe_window=sign.stripe_window)
    own = simulate(sign, asked, lighting=QUICK)
    half = simulate(with_light(sign, np.full(sign.modules, 0.5)), asked, lighting=QUICK)
    assert half.evenness.mean == pytest.approx(own.evenness.mean / 2, rel=1e-9)
    assert half.evenness.max_to_min == pytest.approx(own.evenness.max_to_min, rel=1e-9)
    assert half.evenness.stripe_max_to_min == pytest.approx(own.evenness.stripe_max_to_min, rel=1e-9)
    assert half.ledger.emitted == pytest.approx(own.ledger.emitted / 2, rel=1e-12)


def test_what_has_no_light_is_left_out_and_something_must_be_left(sign: Cabinet) -> None:
    """Dark modules are gone, whole groups too; a cabinet with no light at all is refused."""
    shares = np.ones(sign.modules)
    shares[-len(sign.groups[1]) :] = 0.0
    assert with_light(sign, shares).groups == sign.groups[:1]
    shares[0] = 0.0
    assert with_light(sign, shares).modules == len(sign.groups[0]) - 1
    with pytest.raises(InputError, match="no rows"):
        with_light(sign, np.zeros(sign.modules))


def test_light_may_be_left_one_way_only() -> None:
    """Two-sided modules whose rear side is dark light the front by direct light as before, and the rear not at all."""
    one = SIGN.replace("[face]", "faces = 2\n[face]").split("[[rows]]\non")[0]
    cabinet = study_from_text(one).cabinet
    ways = np.tile([1.0, 0.0], (cabinet.modules, 1))
    left = with_light(cabinet, ways).emitters()
    own = cabinet.emitters()
    np.testing.assert_allclose(left.flux * left.front_share, own.flux * own.front_share, rtol=1e-15)
    assert (left.front_share == 1).all()
    ways[0] = 0.0
    assert len(with_light(cabinet, ways).emitters()) == cabinet.modules - 1
    alike = with_light(cabinet, np.full((cabinet.modules, 2), 0.3))
    assert alike.mirrored_faces


def test_a_row_in_parts_is_the_same_modules(sign: Cabinet) -> None:
    """Parts follow each other along the row, named after it; a row in one part is itself."""
    row = row_strings(sign)[2]
    one, two = row.in_parts([4, row.count - 4])
    assert (row.name, one.name, two.name) == ("3", "3.1", "3.2")
    assert (*one.along, *two.along) == row.along
    assert (*one.modules, *two.modules) == row.modules
    assert row.in_parts([row.count]) == (row,)


def test_a_line_of_two_kinds_is_two_strings(tmp_path: Path) -> None:
    """Modules of another kind in a listed row are a string of their own: no string is of two kinds."""
    (tmp_path / "built.csv").write_text(
        "x_in,y_in,module\n"
        + "".join(f"{2 + 4 * k},6,{'end' if k in {0, 5} else 'standard'}\n" for k in range(6))
    )
    text = (
        SIGN.split("[[rows]]", maxsplit=1)[0]
        + '[modules.end]\nlumens = 30.0\n[[rows]]\npositions = "built.csv"\n'
    )
    (tmp_path / "sign.toml").write_text(text)
    strings = row_strings(read_study(tmp_path / "sign.toml").cabinet)
    assert sorted((one.kind.name, one.count) for one in strings) == [("end", 2), ("standard", 4)]
    assert sorted(module for one in strings for module in one.modules) == list(range(6))
