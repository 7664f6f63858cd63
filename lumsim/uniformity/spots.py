"""Hot spots, dark spots and stripes: what stands out, by its prominence and not by a fixed window.

A **hot spot** is a local maximum. Its *key saddle* is the highest pass from it to anything brighter; its
contrast is (spot − saddle)/(spot + saddle). The brightest spot has nothing brighter to go to: its saddle is
the darkest point of the map. A **dark spot** is the same upside down: its key saddle is the lowest pass to
anything darker, its contrast (saddle − spot)/(saddle + spot), and the darkest spot's saddle is the brightest
point.

A **stripe** is a bright band along the rows: a maximum of the profile across the rows, which is the mean of
the map along them. Its valley is the higher of the lowest profile points between it and the next stripe on
either side, its contrast (stripe − valley)/(stripe + valley). A lone maximum is a stripe only where there is
a single row to make it; its valley is then the higher of the lowest points to either side.

A spot that does not stand out from its own band (at its luminance less the least contrast the map still
joins it, along the rows, to a band at least ``LONG`` times as long as wide) belongs to the stripe there and
is not listed again. The darkest place is listed in any case: that is where a face fails.

Strictness: a spot is strictly brighter (darker) than its saddle. Ties: of equal spots the one with the
lowest y, then the lowest x counts as the higher. A plateau is one spot, at its lowest y, then x. Edges:
the map ends there, and a spot may lie on them. A perfectly flat face has neither spots nor stripes.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from lumsim.kernels.merge_tree import component_extents
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.extremes import Extreme
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.prominence import Direction, contrast, peaks_of, polished_saddles, profile_across

__all__ = ["LONG", "MOST_LISTED", "MOST_TOLD", "Spot", "Spots", "Stripe", "find_spots"]

MOST_LISTED = 50
"""Spots listed of each kind; the rest are counted. [1]"""

MOST_TOLD = 6
"""Spots of each kind that a person is told of one by one, and that a picture numbers. [1]"""

POLISHED = 200
"""Spots whose saddles are polished; all others are weaker. [1]"""

FEW_CELLS = 8
"""Cells that a patch must reach over to have its shape told by them. [1]"""

LONG = 1.5
"""Length over width from which a bright or dark patch is a band along the rows. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A hot or a dark spot."""

    x: float
    """[m]"""
    y: float
    """[m]"""
    luminance: float
    """[cd/m²]"""
    saddle: float
    """luminance of its key saddle [cd/m²]"""
    contrast: float
    """(spot − saddle)/(spot + saddle), above 0 [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripe:
    """A bright band along the rows."""

    rows: tuple[int, ...]
    """the rows it belongs to, counted from 1 at the bottom or the left: the row it lies on, or the two that it
    lies between"""
    position: float
    """across the rows [m]"""
    luminance: float
    """mean along it [cd/m²]"""
    valley: float
    """mean along the darker band beside it [cd/m²]"""
    contrast: float
    """(stripe − valley)/(stripe + valley) [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """What stands out on a face, strongest first; stripes in order across the rows."""

    hot: tuple[Spot, ...]
    dark: tuple[Spot, ...]
    stripes: tuple[Stripe, ...]
    hot_not_listed: int
    """hot spots beyond ``MOST_LISTED``"""
    dark_not_listed: int
    """dark spots beyond ``MOST_LISTED``"""
    direction: Literal["horizontal", "vertical"]
    """how the rows run"""
    least_contrast: float
    """from which a spot or a stripe is told [1]"""

    def scaled(self, factor: float) -> Spots:
        """Return the same face with all its light times a factor: contrasts stay."""

        def spots(found: tuple[Spot, ...]) -> tuple[Spot, ...]:
            return tuple(
                replace(one, luminance=one.luminance * factor, saddle=one.saddle * factor) for one in found
            )

        stripes = tuple(
            replace(one, luminance=one.luminance * factor, valley=one.valley * factor) for one in self.stripes
        )
        return replace(self, hot=spots(self.hot), dark=spots(self.dark), stripes=stripes)

    def lone_peak(self, even: Evenness) -> bool:
        """Whether the one hot spot is the brightest place and the only peak: the face's bright middle, and no fault.

        Parameters
        ----------
        even : Evenness
            Of the same face.
        """
        # Nothing is brighter than the highest peak: its saddle is the darkest place.
        return (
            len(self.hot) == 1
            and self.hot_not_listed == 0
            and len(self.stripes) <= 1
            and self.hot[0].saddle == even.darkest.value
        )


def find_spots(
    face: FaceMap,
    even: Evenness,
    *,
    direction: Literal["horizontal", "vertical"],
    row_lines: tuple[float, ...],
    least_contrast: float,
) -> Spots:
    """Everything on a face that stands out by at least a contrast.

    Parameters
    ----------
    face : FaceMap
    even : Evenness
        Of that face: its brightest and darkest point.
    direction : {"horizontal", "vertical"}
        How the rows run.
    row_lines : tuple of float
        Where the rows lie across, rising. [m]
    least_contrast : float
        [1]

    Returns
    -------
    Spots
        As this file's docstring says.
    """
    stripes = _stripes(face, direction, row_lines, least_contrast)
    hot = _prominent(face, +1, even.darkest.value, least_contrast)
    hot = _at_extreme(hot, even.brightest, even.darkest.value, face)
    dark = _prominent(face, -1, even.brightest.value, least_contrast)
    dark = _at_extreme(dark, even.darkest, even.brightest.value, face)
    hot = _outside_bands(face, hot, stripes, direction, least_contrast, kind=+1)
    darkest = [spot for spot in dark if spot.saddle == even.brightest.value][:1]
    dark = _outside_bands(face, dark, stripes, direction, least_contrast, kind=-1)
    dark = [*(spot for spot in darkest if spot not in dark), *dark]
    return Spots(
        hot=tuple(hot[:MOST_LISTED]),
        dark=tuple(dark[:MOST_LISTED]),
        stripes=stripes,
        hot_not_listed=max(0, len(hot) - MOST_LISTED),
        dark_not_listed=max(0, len(dark) - MOST_LISTED),
        direction=direction,
        least_contrast=least_contrast,
    )


def _prominent(face: FaceMap, kind: int, far_end: float, least_contrast: float) -> list[Spot]:
    """Hot (+1) or dark (−1) spots of at least a contrast, strongest first."""
    peaks = peaks_of(face, kind)
    height, inside = peaks.height, peaks.saddle_cell >= 0
    pass_ = np.where(inside, peaks.saddle, far_end)
    # Samples miss a saddle by some 1 % at most: polishing decides about contrasts near the least one.
    rough = contrast(height, pass_)
    likely = np.nonzero((rough >= least_contrast / 2) & (kind * height > kind * pass_))[0]
    likely = likely[np.argsort(-rough[likely], kind="stable")]
    best = likely[:POLISHED]
    best = best[inside[best]]
    pass_[best] = polished_saddles(face, kind, peaks.saddle_cell[best])
    contrasts = contrast(height, pass_)
    spots = [
        Spot(
            x=float(peaks.x[i]),
            y=float(peaks.y[i]),
            luminance=float(height[i]),
            saddle=float(pass_[i]),
            contrast=float(contrasts[i]),
        )
        for i in likely
        if contrasts[i] >= least_contrast and kind * height[i] > kind * pass_[i]
    ]
    # Contrast to eight digits and places to a micrometre, so that rounding does not order mirror images.
    return sorted(spots, key=lambda s: (-float(f"{s.contrast:.8g}"), round(s.y, 6), round(s.x, 6)))


def _at_extreme(spots: list[Spot], extreme: Extreme, far_end: float, face: FaceMap) -> list[Spot]:
    """The same spots, of which the one that is the face's extreme stands where that was polished to."""
    return [
        replace(spot, x=extreme.x, y=extreme.y, luminance=extreme.value)
        if spot.saddle == far_end
        and abs(spot.x - extreme.x) <= face.steps[0]
        and abs(spot.y - extreme.y) <= face.steps[1]
        else spot
        for spot in spots
    ]


def _stripes(
    face: FaceMap, direction: Direction, row_lines: tuple[float, ...], least_contrast: float
) -> tuple[Stripe, ...]:
    """Bright bands along the rows, from the profile across them."""
    fine, values = profile_across(face, direction)
    peaks = _standing_apart(values, least_contrast)
    if len(peaks) == 0 or (len(peaks) == 1 and len(row_lines) != 1):
        return ()
    ends = [
        0,
        *(a + int(np.argmin(values[a : b + 1])) for a, b in itertools.pairwise(peaks)),
        len(fine) - 1,
    ]
    stripes = []
    for number, top in enumerate(peaks):
        left, right = ends[number], ends[number + 1]
        if len(peaks) == 1:
            valley = max(values[: top + 1].min(), values[top:].min())
        else:
            beside = ([values[left]] if number > 0 else []) + (
                [values[right]] if number < len(peaks) - 1 else []
            )
            valley = max(beside)
        stands_out = float(contrast(values[top], valley))
        if stands_out >= least_contrast:
            stripes.append(
                Stripe(
                    rows=_rows_of(float(fine[top]), float(fine[right] - fine[left]), row_lines),
                    position=float(fine[top]),
                    luminance=float(values[top]),
                    valley=float(valley),
                    contrast=stands_out,
                )
            )
    return tuple(stripes)


def _standing_apart(values: Array, least_contrast: float) -> list[int]:
    """Maxima of a profile, weakest dropped until each is parted from the next by at least a contrast.

    Of two maxima whose valley is too shallow the lower goes, of two equal ones the later. A maximum may lie
    on the profile's end.
    """
    from scipy.signal import find_peaks

    peaks = [int(peak) - 1 for peak in find_peaks(np.concatenate([[0.0], values, [0.0]]))[0]]
    while len(peaks) > 1:
        valleys = np.array([values[a:b].min() for a, b in itertools.pairwise(peaks)])
        heights = values[peaks]
        shallow = contrast(np.minimum(heights[:-1], heights[1:]), valleys)
        weakest = int(np.argmin(shallow))
        if shallow[weakest] >= least_contrast:
            break
        del peaks[weakest + 1 if heights[weakest] >= heights[weakest + 1] else weakest]
    return peaks


def _rows_of(position: float, width: float, row_lines: tuple[float, ...]) -> tuple[int, ...]:
    """Rows within a quarter of the band's width of its middle, or else the rows on either side of it."""
    lines = np.asarray(row_lines)
    on = np.nonzero(np.abs(lines - position) <= width / 4)[0]
    if len(on) == 0:
        above = int(np.searchsorted(lines, position))
        on = np.array([i for i in (above - 1, above) if 0 <= i < len(lines)])
    return tuple(int(i) + 1 for i in on)


def _outside_bands(
    face: FaceMap,
    spots: list[Spot],
    stripes: tuple[Stripe, ...],
    direction: str,
    least_contrast: float,
    *,
    kind: int,
) -> list[Spot]:
    """Spots that stand out from their own band; the others are told as stripes."""
    if not stripes or not spots:
        return spots
    ny, nx = face.values.shape
    sx, sy = face.steps
    x = np.array([spot.x for spot in spots])
    y = np.array([spot.y for spot in spots])
    luminance = np.array([spot.luminance for spot in spots])
    ix = np.clip(np.rint((x - face.x[0]) / sx), 0, nx - 1).astype(np.int64)
    iy = np.clip(np.rint((y - face.y[0]) / sy), 0, ny - 1).astype(np.int64)
    down = (1 - least_contrast) / (1 + least_contrast)
    levels = luminance * down if kind > 0 else -luminance / down
    flat = np.ascontiguousarray(kind * face.values).ravel()
    extents = component_extents(flat, iy * nx + ix, levels, ny, nx)
    cells_y = extents[:, 1] - extents[:, 0]
    cells_x = extents[:, 3] - extents[:, 2]
    x_to_y = (cells_x + 1) * sx / ((cells_y + 1) * sy)
    # Cells are too coarse to tell the shape of a small hill: its curvatures tell it.
    small = np.maximum(cells_x, cells_y) < FEW_CELLS
    x_to_y[small] = _round(face, x[small], y[small])
    long = x_to_y >= LONG if direction == "horizontal" else x_to_y <= 1 / LONG
    across = y if direction == "horizontal" else x
    positions = np.array([stripe.position for stripe in stripes])
    if kind > 0:
        # On a stripe: nearer to it than half the way to the next one.
        reach = np.diff(positions).min() / 2 if len(positions) > 1 else np.inf
        banded = np.abs(across[:, None] - positions).min(axis=1) < reach
    else:
        banded = (across > positions.min()) & (across < positions.max())
    return [spot for spot, its_band in zip(spots, long & banded, strict=True) if not its_band]


def _round(face: FaceMap, x: Array, y: Array) -> Array:
    """Width over height of small hills (or hollows) from the curvatures at their tops; 1 is round."""
    sx, sy = face.steps[0] / 4, face.steps[1] / 4
    x0, x1, y0, y1 = face.bounds
    px, py = np.clip(x, x0 + sx, x1 - sx), np.clip(y, y0 + sy, y1 - sy)
    here = face.at(px, py)
    bend_x = np.abs(face.at(px + sx, py) - 2 * here + face.at(px - sx, py)) / sx**2
    bend_y = np.abs(face.at(px, py + sy) - 2 * here + face.at(px, py - sy)) / sy**2
    # What rounding leaves of the curvature of an even place is no shape: that is round.
    least = 8 * np.finfo(np.float64).eps * np.abs(here) / min(sx, sy) ** 2 + np.finfo(np.float64).tiny
    return np.asarray(np.sqrt((bend_y + least) / (bend_x + least)), dtype=np.float64)
