"""How far the numbers may be off by computing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumsim.uniformity.evenness import Evenness, edge_dimming_of, extremes_of, stripes_of
from lumsim.uniformity.face_map import Array, FaceMap
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
    mean: float
    """of the visible face; where only direct light is followed, against its closed form [1]"""
    row_sum_defect: float
    """how far the factors of any patch are from adding up to 1, before the balance is solved [1]"""


def grid_error(luminance: FaceMap, even: Evenness, closed_to_mean: float) -> NumericalError:
    """For a map that is exact at every point: how far the numbers move with every other sample.

    Parameters
    ----------
    luminance : FaceMap
    even : Evenness
        Of that map.
    closed_to_mean : float
        The mean in closed form, over the map's. [1]
    """
    coarse = luminance.coarser()
    integral = RunningIntegral(coarse)
    brightest, darkest = extremes_of(coarse, last_digits=False)
    stripe_max, stripe_min = stripes_of(coarse, integral, Window(coarse, even.window), last_digits=False)
    return NumericalError(
        max_to_min=abs(brightest.value / darkest.value / even.max_to_min - 1),
        stripe_max_to_min=abs(stripe_max.value / stripe_min.value / even.stripe_max_to_min - 1),
        edge_dimming=abs(edge_dimming_of(coarse, integral, even.window) / even.edge_dimming - 1),
        mean=abs(closed_to_mean - 1),
        row_sum_defect=0.0,
    )


def mesh_error(luminance: FaceMap, moved: Array, row_sum_defect: float) -> NumericalError:
    """With reflected light, whose mesh is what errs: from the change against half as fine a mesh.

    The largest change at any point of the face, rather than that of each number: in a ratio the changes at
    two points may cancel for one mesh and not for another. Numbers that average over a window or an edge move
    by a fraction of it, which was measured on seeded boxes and is tested on others.

    Parameters
    ----------
    luminance : FaceMap
    moved : (ny, nx)
        How far each sample of it moves, 0 or more. [cd/m²]
    row_sum_defect : float
        Of the finer mesh. [1]
    """
    largest = float(np.max(moved / luminance.values))
    return NumericalError(
        max_to_min=largest,
        stripe_max_to_min=largest / 12,
        edge_dimming=largest / 4,
        mean=float(np.mean(moved) / np.mean(luminance.values)),
        row_sum_defect=row_sum_defect,
    )
