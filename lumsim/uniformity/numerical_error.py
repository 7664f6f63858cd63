"""How far the numbers may be off by computing."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lumsim.uniformity.evenness import Evenness, edge_dimming_of, extremes_of, stripes_of
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.prominence import RowsRun, hot_spot_contrast
from lumsim.uniformity.windows import RunningIntegral, Window

__all__ = ["NumericalError", "grid_error", "mesh_error"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NumericalError:
    """How far the numbers may be off by computing, relative: from half as fine a mesh, or face grid."""

    max_to_min: float
    """[1]"""
    stripe_max_to_min: float
    """[1]"""
    edge_dimming: float
    """[1]"""
    hot_spot_contrast: float
    """as a difference of contrasts, which may be 0 themselves [1]"""
    mean: float
    """of the visible face; where only direct light is followed, against its closed form [1]"""
    row_sum_defect: float
    """how far the factors of any patch are from adding up to 1, before the balance is solved [1]"""


def grid_error(
    luminance: FaceMap, even: Evenness, closed_to_mean: float, rows: RowsRun | None = None
) -> NumericalError:
    """For a map that is exact at every point: how far the numbers move with every other sample.

    Parameters
    ----------
    luminance : FaceMap
    even : Evenness
        Of that map.
    closed_to_mean : float
        The mean in closed form, over the map's. [1]
    rows : RowsRun, optional
        That the evenness was told with.
    """
    moved = _moved(luminance.coarser(), even, rows)
    return replace(moved, mean=abs(closed_to_mean - 1))


OF_THE_CHANGE = 0.8
"""Share of a number's change, from half as fine a mesh, by which it may still be off. [1]"""

OF_THE_LARGEST = {
    "max_to_min": 1 / 20,
    "edge_dimming": 1 / 25,
    "stripe_max_to_min": 1 / 70,
    # A contrast is by a half as large as what two levels differ by.
    "hot_spot_contrast": 1 / 140,
    "mean": 1 / 150,
}
"""Share of the largest change anywhere on the face that is added: a number's own change may be small by chance. [1]"""


def mesh_error(
    luminance: FaceMap,
    even: Evenness,
    coarse: FaceMap,
    rows: RowsRun | None = None,
    *,
    at_corners: float,
    row_sum_defect: float,
) -> NumericalError:
    """With reflected light, whose mesh is what errs: from the change against half as fine a mesh.

    Halving the patches takes the error to between a half and a quarter, so that most of the change, and a small
    share of the largest one at any point, covers what is left. Both shares were measured on seeded boxes and are
    tested on others.

    Parameters
    ----------
    luminance : FaceMap
    even : Evenness
        Of that map.
    coarse : FaceMap
        By half as fine a mesh, on the same samples. [cd/m²]
    rows : RowsRun, optional
        That the evenness was told with.
    at_corners : float
        By how much the darkest point may be off besides, where a finer mesh does not tell. [1]
    row_sum_defect : float
        Of the finer mesh. [1]
    """
    moved = _moved(coarse, even, rows)
    # In the ratio the changes at the two points may cancel for one mesh and not for another.
    at_extremes = (
        abs(float(coarse.at(np.array([one.x]), np.array([one.y]))[0]) / one.value - 1)
        for one in (even.brightest, even.darkest)
    )
    moved = replace(moved, max_to_min=max(moved.max_to_min, *at_extremes))
    largest = float(np.max(np.abs(coarse.values / luminance.values - 1)))
    shares = {
        name: OF_THE_CHANGE * getattr(moved, name) + share * largest for name, share in OF_THE_LARGEST.items()
    }
    shares["max_to_min"] += at_corners
    # Stretches of the outline begin in corners too.
    shares["edge_dimming"] += at_corners / 5
    return NumericalError(**shares, row_sum_defect=row_sum_defect)


def _moved(other: FaceMap, even: Evenness, rows: RowsRun | None) -> NumericalError:
    """How far the numbers of another map of the same face are from these, relative."""
    integral = RunningIntegral(other)
    brightest, darkest = extremes_of(other, last_digits=False)
    stripe_max, stripe_min = stripes_of(other, integral, Window(other, even.window), last_digits=False)
    return NumericalError(
        max_to_min=abs(brightest.value / darkest.value / even.max_to_min - 1),
        stripe_max_to_min=abs(stripe_max.value / stripe_min.value / even.stripe_max_to_min - 1),
        edge_dimming=abs(edge_dimming_of(other, integral, even.window) / even.edge_dimming - 1),
        hot_spot_contrast=abs(hot_spot_contrast(other, rows) - even.hot_spot_contrast),
        mean=abs((integral.mean() if other.mean is None else other.mean) / even.mean - 1),
        row_sum_defect=0.0,
    )
