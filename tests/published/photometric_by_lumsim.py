"""The numbers of ``photometric.toml`` once more, by lumsim's own functions.

A check takes the parameters of an entry of ``photometric.toml`` by name and returns lumsim's answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from lumsim.beams.directions import flux
from lumsim.beams.lm63 import read_lm63, zonal_flux
from tests.beams.written_lm63 import cosine_power, sweep, written


def zonal_constant(first: float, last: float) -> float:
    """Flux of 1 cd between two angles from straight down [lm], and so their solid angle [sr]."""
    return flux("C", np.array([first, last]), np.zeros(1), np.ones((1, 2)))


def flux_off(m: float, step: float) -> float:
    """How far the flux of a file is off whose intensities are a cosine power [1e-3]."""
    vertical, horizontal = sweep(90, round(90 / step)), sweep(0, 0)
    text = written(vertical, horizontal, cosine_power(m, vertical, horizontal, peak=1000.0))
    return 1000 * (zonal_flux(read_lm63(text, "cosine power")) / (2 * math.pi * 1000 / (m + 1)) - 1)


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {check.__name__: check for check in (zonal_constant, flux_off)}
)
"""Each check by its name in ``photometric.toml``."""
