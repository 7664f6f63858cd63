"""Direct light: what the modules cast straight on the face and on the returns."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet, Rectangle, Side
from lumsim.cabinet.modules import Emitters
from lumsim.kernels import point_sources
from lumsim.photometry import CosinePower

__all__ = ["DirectFlux", "DirectLight", "direct_flux", "flux_on", "off_returns", "past_edge"]

Array = NDArray[np.float64]


class DirectLight:
    """Illuminance on the face straight from the modules.

    Each module is a point with I(θ) = I₀ cosᵐθ on the face's side, its axis along the face's normal::

        ----P-------------  face        d  distance module to point
            │╲                          h  throw
          h │ ╲ d                       θ  angle at the module from its axis, and at the face from its normal
            │θ ╲
        ----┴---S---------  modules     E = I(θ) cos θ / d² = (I₀/h²) cos^(m+3) θ

    Inverse-square and cosine law; the module is a point and nothing casts a shadow.
    """

    def __init__(self, emitters: Emitters, depth: float) -> None:
        self._beams = []
        for exponent in np.unique(emitters.exponent):
            chosen = emitters.exponent == exponent
            h = depth - emitters.z[chosen]
            I0 = CosinePower(exponent=float(exponent)).peak_intensity(emitters.flux[chosen])
            self._beams.append(
                (float(exponent), emitters.x[chosen].copy(), emitters.y[chosen].copy(), h, I0 / h**2)
            )
        self._tables = {
            m: point_sources.power_table((m + 3) / 2) for m, *_ in self._beams if not m.is_integer()
        }

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance on the face's inner side, in lux.

        Parameters
        ----------
        x, y : float64 arrays of one shape
            Points of the face. [m]

        Returns
        -------
        array of the same shape
            [lx]
        """
        flat_x = np.ascontiguousarray(x, dtype=np.float64).ravel()
        flat_y = np.ascontiguousarray(y, dtype=np.float64).ravel()
        total = np.zeros(flat_x.shape)
        for m, sx, sy, h, c in self._beams:
            if m == 1:
                total += point_sources.lambertian(flat_x, flat_y, sx, sy, h, c)
            elif m.is_integer():
                total += point_sources.cosine_power_by_roots(flat_x, flat_y, sx, sy, h, c, round(m + 3))
            else:
                total += point_sources.cosine_power_by_table(flat_x, flat_y, sx, sy, h, c, *self._tables[m])
        return total.reshape(np.shape(x))


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectFlux:
    """Where the light arrives first that modules send towards one face."""

    emitted: float
    """what the modules give that way [lm]"""
    on_face: float
    """on the whole inner face, return to return [lm]"""
    on_visible_face: float
    """on the part that the retainer leaves free [lm]"""
    on_left_return: float
    """[lm]"""
    on_right_return: float
    """[lm]"""
    on_bottom_return: float
    """[lm]"""
    on_top_return: float
    """[lm]"""

    @property
    def balance_error(self) -> float:
        """What did not arrive anywhere, as a share of what was emitted. [1]"""
        arrived = (
            self.on_face
            + self.on_left_return
            + self.on_right_return
            + self.on_bottom_return
            + self.on_top_return
        )
        return (self.emitted - arrived) / self.emitted if self.emitted > 0 else 0.0


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)


def past_edge(D: Array | float, Y: Array | float, h: Array | float, m: Array | float) -> Array:
    """Share of a module's flux that flies past an edge of the face, from the edge's foot point to Y along it.

    The edge is a line at distance D from the module's axis, at throw h; past it means more aslant than it, so
    that it lands on the return below. In polar coordinates about the axis everything beyond the edge
    integrates exactly over the angle θ, which leaves

        share = (1/2π) ∫ dφ cos^(m+1) θ(φ),   cos²θ = cos²φ / (cos²φ + ε²),   ε = D/h,   φ from 0 to atan(Y/D).

    For m = 1 that is closed. Else, near φ = 90° the integrand dips within a width ε; with 90° − φ = ε sinh s
    the dip is spread over s and 48 Gauss-Legendre nodes reach rounding for whole m and any D above 1e-5 of
    the throw, 1e-9 for any other m.

    Parameters
    ----------
    D, Y, h : arrays that broadcast
        0 or more, any, 0 or more. [m]
    m : array or float
        Exponent of the cosine power. [1]

    Returns
    -------
    array
        Odd in Y. [1]
    """
    D, Y, h, m = np.broadcast_arrays(*(np.asarray(one, dtype=np.float64) for one in (D, Y, h, m)))
    if (m == 1).all():
        slant = np.hypot(D, h)
        with np.errstate(divide="ignore", invalid="ignore"):
            lower = np.where(slant > 0, D / slant * np.arctan2(np.abs(Y), slant), 0.0)
        share = (np.arctan2(np.abs(Y), D) - lower) / (2 * math.pi)
        return np.asarray(np.sign(Y) * np.where(h > 0, share, 0.0), dtype=np.float64)
    nodes = _NODES.reshape(-1, *(1 for _ in D.shape))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        epsilon = np.maximum(D / np.where(h > 0, h, 1.0), 1e-14)
        start = np.arcsinh(np.arctan2(D, np.abs(Y)) / epsilon)
        end = np.arcsinh(math.pi / 2 / epsilon)
        s = start + (end - start) * (nodes + 1) / 2
        sin2 = np.sin(epsilon * np.sinh(s)) ** 2
        cos_theta = np.sqrt(sin2 / (sin2 + epsilon**2))
    integral = np.tensordot(_WEIGHTS, cos_theta ** (m + 1) * epsilon * np.cosh(s), 1) * (end - start) / 2
    # An edge right above the module (D = 0) lets a quarter of the flux past on either side of it.
    share = np.where(D > 0, integral / (2 * math.pi), np.where(Y == 0, 0.0, 0.25))
    return np.asarray(np.sign(Y) * np.where(h > 0, share, 0.0), dtype=np.float64)


def _through(X: Array, Y: Array, h: Array, m: Array) -> Array:
    """Share of a module's flux through the rectangle from the point above it to (X, Y); signed like X·Y.

    A quarter of the flux leaves in that quadrant; what does not fly past one of the two far edges is inside.
    """
    inside = 0.25 - past_edge(np.abs(X), np.abs(Y), h, m) - past_edge(np.abs(Y), np.abs(X), h, m)
    return np.sign(X) * np.sign(Y) * inside


def flux_on(emitters: Emitters, depth: float, part: Rectangle) -> float:
    """Flux from all modules on a part of the face, in lumens.

    Parameters
    ----------
    emitters : Emitters
        n modules. [m, lm]
    depth : float
        From the back to the face. [m]
    part : Rectangle
        Of the face. [m]

    References
    ----------
    .. [1] For m = 1 this is the view factor of a rectangle from a point, in its corner form: J. R. Howell,
       A catalog of radiation heat transfer configuration factors.
    """
    h = depth - emitters.z
    m = emitters.exponent
    left, right = part.x0 - emitters.x, part.x1 - emitters.x
    low, high = part.y0 - emitters.y, part.y1 - emitters.y
    share = (
        _through(right, high, h, m)
        - _through(left, high, h, m)
        - _through(right, low, h, m)
        + _through(left, low, h, m)
    )
    return float(np.sum(emitters.flux * share))


def off_returns(places: Array, extent: float) -> Array:
    """Places of modules, those right on a return moved off it by a nanometre.

    Right in a corner the angles to the two returns have no value of their own, only this limit.

    Parameters
    ----------
    places : (n,)
        [m]
    extent : float
        Of the cabinet in this direction. [m]
    """
    return np.clip(places, 1e-9, extent - 1e-9)


def direct_flux(cabinet: Cabinet, side: Side = "front") -> DirectFlux:
    """Where the light arrives first that modules send towards a face: the face, its visible part, each return.

    Parameters
    ----------
    cabinet : Cabinet
    side : {"front", "rear"}
        Which way.

    Returns
    -------
    DirectFlux
    """
    emitters = cabinet.towards(side)
    box = cabinet.box
    h, m = box.depth - emitters.z, emitters.exponent
    x, y = off_returns(emitters.x, box.width), off_returns(emitters.y, box.height)
    returns = {
        "on_left_return": (x, -y, box.height - y),
        "on_right_return": (box.width - x, -y, box.height - y),
        "on_bottom_return": (y, -x, box.width - x),
        "on_top_return": (box.height - y, -x, box.width - x),
    }
    return DirectFlux(
        emitted=float(np.sum(emitters.flux)),
        on_face=flux_on(emitters, box.depth, cabinet.whole_face),
        on_visible_face=flux_on(emitters, box.depth, cabinet.visible_on(side)),
        **{
            name: float(
                np.sum(emitters.flux * (past_edge(distance, high, h, m) - past_edge(distance, low, h, m)))
            )
            for name, (distance, low, high) in returns.items()
        },
    )
