"""Every number from outside on light thrown back, against lumsim and against the closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.light.direct import direct_flux
from tests import cabinets
from tests.published import reflected_closed_forms as closed
from tests.published import table
from tests.published.reflected_by_lumsim import CHECKS
from tests.published.values import MARKS, Published, by_family, missed, printed_digits, read_published

ALL = read_published("reflected.toml")


def _three_zones(width: float, height: float, depth: float, rows: int, modules: int) -> float:
    """Mean illuminance of the face by the balance of back, all returns as one, and face."""
    f = closed.opposite_rectangles(width / depth, height / depth)
    A, S = width * height, 2 * depth * (width + height)
    a = A / S * (1 - f)
    cabinet = cabinets.in_rows(width, height, depth, rows=rows, modules=modules, lumens=50.0)
    flux = direct_flux(cabinet)
    factors = np.array([[0, f, 1 - f], [f, 0, 1 - f], [a, a, 1 - 2 * a]])
    rho = np.array([0.85, 0.4, 0.85])
    direct = np.array([0, flux.on_face / A, (flux.emitted - flux.on_face) / S])
    return float(np.linalg.solve(np.eye(3) - factors * rho, direct)[1])


def _again(published: Published) -> float:
    """Derive a number once more from its formula."""
    given = published.parameters
    match published.family:
        case "cube-closure":
            return closed.opposite_rectangles(1, 1) + 4 * closed.rectangles_at_right_angles(1, 1)
        case "infinite-strips":
            return closed.infinite_strips(**given)  # type: ignore[arg-type]
        case "integrating-box":
            rho = float(given["reflectance"])
            return rho / (1 - rho)
        case "white-furnace":
            return 1.0
        case "three-zones":
            return _three_zones(**given)  # type: ignore[arg-type]
        case "plates-mean":
            return 1 / (1 - float(given["back"]) * float(given["face"]))
        case "plates-max":
            return closed.rows_between_plates(0.0, **given)  # type: ignore[arg-type]
        case "plates-min":
            return closed.rows_between_plates(float(given["pitch"]) / 2, **given)  # type: ignore[arg-type]
        case "plates-max-to-min":
            top, bottom = (
                closed.rows_between_plates(share * float(given["pitch"]), **given)  # type: ignore[arg-type]
                for share in (0.0, 0.5)
            )
            return top / bottom
        case "endless-rows-between-plates":
            pitch, both = float(given["pitch"]), float(given["both"])
            on_row, midway = (
                closed.rows_between_plates(share * pitch, pitch=pitch, back=both, face=1.0)
                for share in (0.0, 0.5)
            )
            return on_row / midway
        case "endless-square-between-plates":
            pitch, both = float(given["pitch"]), float(given["both"])
            on_module, midway = (
                closed.square_between_plates(share * pitch, share * pitch, pitch=pitch, both=both)
                for share in (0.0, 0.5)
            )
            return on_module / midway
    raise AssertionError(f"no formula for {published.family}")


def by_lumsim(published: Published) -> float:
    """What lumsim says of a number."""
    assert published.check is not None
    return CHECKS[published.check](**published.parameters)


@pytest.mark.parametrize("family", by_family(ALL))
def test_lumsim_gives_the_published_numbers(family: str) -> None:
    """Every number from outside is what lumsim gives, to its digits or its family's tolerance."""
    assert missed(by_family(ALL)[family], by_lumsim) == []


@pytest.mark.parametrize("family", by_family(ALL))
def test_a_formula_gives_the_published_numbers(family: str) -> None:
    """Every number is what its formula gives."""
    assert missed(by_family(ALL)[family], _again, printed_digits) == []


def test_every_number_has_an_origin() -> None:
    """Every number from outside names its source and what that is worth, once."""
    assert all(one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used() -> None:
    """No check stands idle, and each that is named exists."""
    assert {one.check for one in ALL} == set(CHECKS)


def test_the_table_holds_light_thrown_back_too() -> None:
    """The table of checks goes on with the numbers on light thrown back, and finds the check of each."""
    listed = table.read_published()
    assert [one for one in listed if one.check in CHECKS] == ALL
    assert {one.check for one in listed if one.check is not None} == set(table.CHECKS)
