"""What a path tracer measured, with its noise; and how far lumsim is from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import stats

from tests.path_tracer.cells import Array

__all__ = ["Comparison", "Measured"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Mean illuminance of each cell of a face, from independent batches of paths."""

    batches: Array
    """(batches, rows, columns) the cells' means in each batch [lx]"""
    samples: int
    """paths for each cell, all batches together [1]"""
    seconds: float
    """of processor time spent on tracing [s]"""

    @property
    def illuminance(self) -> Array:
        """(rows, columns) [lx]"""
        return np.asarray(self.batches.mean(axis=0), dtype=np.float64)

    @property
    def standard_error(self) -> Array:
        """(rows, columns) of ``illuminance`` [lx]"""
        return _standard_error(self.batches)

    @property
    def mean(self) -> float:
        """Over all cells. [lx]"""
        return float(self.batches.mean())

    @property
    def mean_error(self) -> float:
        """Standard error of ``mean``. [lx]"""
        return float(_standard_error(self.batches.mean(axis=(1, 2))))

    @property
    def relative_error(self) -> float:
        """Standard error of a cell over its mean: root of the mean square. [1]"""
        return math.sqrt(np.mean((self.standard_error / self.illuminance) ** 2))

    def seconds_to(self, relative_error: float) -> float:
        """Processor time to a ``relative_error``, whose square falls as the time. [s]"""
        return self.seconds * (self.relative_error / relative_error) ** 2


def _standard_error(batches: Array) -> Array:
    return np.asarray(batches.std(axis=0, ddof=1) / math.sqrt(len(batches)), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Computed beside measured."""

    computed: Array
    """(rows, columns) mean illuminance of each cell [lx]"""
    measured: Measured

    @property
    def differences(self) -> Array:
        """(rows, columns) computed less measured, in standard errors of the cell [1]"""
        return np.asarray(
            (self.computed - self.measured.illuminance) / self.measured.standard_error, dtype=np.float64
        )

    @property
    def largest(self) -> float:
        """Of the ``differences``, either way. [1]"""
        return float(np.max(np.abs(self.differences)))

    @property
    def chi_square(self) -> float:
        """Σ z² over the cells, with each difference, a Student's t, taken to the z of the same probability. [1]"""
        freedom = len(self.measured.batches) - 1
        z = stats.norm.isf(stats.t.sf(np.abs(self.differences), freedom))
        return float(np.sum(z**2))

    @property
    def probability(self) -> float:
        """That chance alone gives a chi-square as far out as this, on either side. [1]"""
        cells = self.computed.size
        return float(2 * min(stats.chi2.sf(self.chi_square, cells), stats.chi2.cdf(self.chi_square, cells)))

    @property
    def mean_difference(self) -> float:
        """Of the means over all cells, computed over measured less 1. [1]"""
        return float(self.computed.mean()) / self.measured.mean - 1

    @property
    def mean_error(self) -> float:
        """Standard error of ``mean_difference``. [1]"""
        return self.measured.mean_error / self.measured.mean
