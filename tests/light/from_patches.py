"""Light of any exitances at the face, even over each patch: strips beside the edges take their patch's."""

from __future__ import annotations

import numpy as np

from lumsim.light.gathering import Gathering, ReflectedLight
from lumsim.light.strips import ReturnsBesideFace, strips_of
from lumsim.light.surfaces import Mesh, Surfaces


def gathered(mesh: Mesh, exitance: Surfaces) -> ReflectedLight:
    """What these exitances cast on the face [lm/m²]."""
    z = strips_of(mesh).z
    patch = np.searchsorted(np.asarray(mesh.z), (z[1:] + z[:-1]) / 2) - 1
    returns = ReturnsBesideFace(*(values[patch] for values in exitance[2:]))
    return Gathering(mesh).light(exitance.back, returns)
