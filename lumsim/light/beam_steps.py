"""How coarse the angles of a measured beam are: how far straight lines between them are from a smooth curve."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import Akima1DInterpolator

from lumsim.beams.beam import Array, Beam
from lumsim.beams.tables import Table
from lumsim.beams.webs import Web

__all__ = ["error_of_steps"]

BETWEEN = 8
"""Places looked at in each step. [1]"""

MAKIMA_LEAST = 3
"""The fewest points that a smooth curve is drawn through. [1]"""


def error_of_steps(beam: Beam) -> float:
    """Largest difference between a beam and a smooth curve through its points, as a share of its peak. [1]

    The curve is a modified Akima spline, which does not swing beside steps; it is mirrored at the axis, where beams
    are smooth. Beams that are formulas have no steps: 0.

    Parameters
    ----------
    beam : Beam
    """
    if isinstance(beam, Table):
        values = np.array(beam.values)[None, :]
        return _differs(np.array(beam.angles), values, values, float(values.max()))
    if not isinstance(beam, Web):
        return 0.0
    values, peak = beam.values, float(beam.values.max())
    if beam.photometric_type != "C":
        along = _differs(beam.vertical, values, None, peak)
        return max(along, _differs(beam.horizontal, values.T, None, peak))
    # On the other side of the axis lies the plane half a turn on.
    C = beam.horizontal
    turned = np.mod(C + np.pi, 2 * np.pi)
    opposite = np.stack([np.interp(turned, C, column) for column in values.T], axis=-1)
    largest = _differs(beam.vertical, values, opposite if beam.vertical[0] == 0 else None, peak)
    if beam.axial:
        return largest
    # All the way round: the ring goes on past its ends.
    ends = min(3, len(C) - 1)
    ring = np.concatenate([C[-1 - ends : -1] - 2 * np.pi, C, C[1 : 1 + ends] + 2 * np.pi])
    around = np.concatenate([values[-1 - ends : -1], values, values[1 : 1 + ends]])
    return max(largest, _differs(ring, around.T, None, peak))


def _differs(angles: Array, values: Array, mirrored: Array | None, peak: float) -> float:
    """Straight lines against the smooth curve, along the last axis; mirrored: what lies before the first angle."""
    if mirrored is not None:
        angles = np.concatenate([-angles[:0:-1], angles])
        values = np.concatenate([mirrored[:, :0:-1], values], axis=-1)
    if len(angles) < MAKIMA_LEAST:
        return 0.0
    shares = np.arange(1, BETWEEN) / BETWEEN
    fine = (angles[:-1, None] + shares * np.diff(angles)[:, None]).ravel()
    straight = values[:, :-1, None] + shares * np.diff(values, axis=-1)[:, :, None]
    # Beside a step a curve swings; no intensity is below 0 or above the peak.
    smooth = Akima1DInterpolator(angles, values.T, method="makima")(fine).T.clip(0, peak)
    return float(np.max(np.abs(straight.reshape(len(values), -1) - smooth)) / peak)
