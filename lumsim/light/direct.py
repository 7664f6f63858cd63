"""Direct light: what the modules cast straight on the face and on the returns."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.cabinet.sources import Sources
from lumsim.light.cells import AnyWay, Size, on_face
from lumsim.light.shaped import ShapedLight
from lumsim.light.upright import Upright, UprightLight, upright_terms

__all__ = [
    "DirectFlux",
    "DirectLight",
    "absorbed_in_modules",
    "direct_flux",
    "flux_on",
    "off_returns",
    "past_edge",
]

Array = NDArray[np.float64]


class DirectLight:
    """Illuminance on the face straight from the modules.

    Inverse-square and cosine law from each LED; it is a point and nothing casts a shadow.

    Parameters
    ----------
    sources : Sources
        As if the face that is looked at were at z = depth.
    depth : float
        From the back to the face. [m]
    """

    def __init__(self, sources: Sources, depth: float) -> None:
        self.sources = len(sources)
        """how many points of light shine at it [1]"""
        upright, others = upright_terms(sources)
        self._upright = UprightLight(upright, depth)
        self._shaped = ShapedLight(others, depth)

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
        total = self._upright.illuminance(flat_x, flat_y) + self._shaped.illuminance(flat_x, flat_y)
        return total.reshape(np.shape(x))

    def on_lattice(self, x: Array, y: Array) -> Array:
        """Illuminance on the face's inner side at all points of a lattice, in lux.

        Rows of beams without a quick kernel are summed by curves of their light: to 1e-5 of a source's peak, and to
        some 1e-3 where the beam is straight lines between measured angles, with their kinks.

        Parameters
        ----------
        x, y : (nx,) and (ny,)
            Columns and lines of points of the face. [m]

        Returns
        -------
        (ny, nx) array
            [lx]
        """
        return self._upright.on_lattice(x, y) + self._shaped.on_lattice(x, y)


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


def flux_on(sources: Sources, depth: float, part: Rectangle) -> float:
    """Flux straight from the modules on a part of the face, in lumens.

    Parameters
    ----------
    sources : Sources
        As if the face that is looked at were at z = depth.
    depth : float
        From the back to the face. [m]
    part : Rectangle
        Of the face. [m]

    References
    ----------
    .. [1] For m = 1 this is the view factor of a rectangle from a point, in its corner form: J. R. Howell,
       A catalog of radiation heat transfer configuration factors.
    """
    upright, others = upright_terms(sources)
    return _on_rectangle(upright, depth, part) + on_face(others, depth, part)


def _on_rectangle(upright: Upright, depth: float, part: Rectangle) -> float:
    h, m = depth - upright.z, upright.exponent
    left, right = part.x0 - upright.x, part.x1 - upright.x
    low, high = part.y0 - upright.y, part.y1 - upright.y
    share = (
        _through(right, high, h, m)
        - _through(left, high, h, m)
        - _through(right, low, h, m)
        + _through(left, low, h, m)
    )
    return float(np.sum(upright.flux * share))


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


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectFlux:
    """Where the light arrives first that the modules send out."""

    emitted: float
    """what the modules give [lm]"""
    on_face: float
    """on the whole inner face, return to return [lm]"""
    on_back: float
    """on the back, with two faces on the whole rear one [lm]"""
    on_left_return: float
    """[lm]"""
    on_right_return: float
    """[lm]"""
    on_bottom_return: float
    """[lm]"""
    on_top_return: float
    """[lm]"""
    absorbed_modules: float
    """sent behind what a module lies flat on, and so into the module itself [lm]"""

    @property
    def arrivals(self) -> dict[str, float]:
        """Flux on each surface, by the names of ``Surfaces``. [lm]"""
        return {
            "back": self.on_back,
            "face": self.on_face,
            "bottom": self.on_bottom_return,
            "top": self.on_top_return,
            "left": self.on_left_return,
            "right": self.on_right_return,
        }

    @property
    def balance_error(self) -> float:
        """What did not arrive anywhere, as a share of what was emitted. [1]"""
        arrived = math.fsum(getattr(self, field.name) for field in fields(self)[1:])
        return (self.emitted - arrived) / self.emitted if self.emitted > 0 else 0.0


def absorbed_in_modules(cabinet: Cabinet) -> float:
    """What modules send behind the surface that they lie flat on, and so into themselves, in lumens."""
    return _by_their_ways(cabinet)[2].absorbed()


def _by_their_ways(cabinet: Cabinet) -> tuple[Upright, Upright, AnyWay]:
    """What shines straight at the face, what straight away from it (seen in a mirror), and all else."""
    box = cabinet.box
    straight, others = upright_terms(cabinet.sources())
    backward, rest = upright_terms(others.mirrored(box.depth))
    return straight, backward, AnyWay(rest.mirrored(box.depth), Size(box.width, box.height, box.depth))


def direct_flux(cabinet: Cabinet) -> DirectFlux:
    """Where the light arrives first that the modules send out: faces or back, each return, or nowhere.

    Parameters
    ----------
    cabinet : Cabinet

    Returns
    -------
    DirectFlux
    """
    box = cabinet.box
    straight, backward, any_way = _by_their_ways(cabinet)
    found = any_way.arrivals()
    for upright, ahead in ((straight, "face"), (backward, "back")):
        h, m = box.depth - upright.z, upright.exponent
        x, y = off_returns(upright.x, box.width), off_returns(upright.y, box.height)
        found[ahead] += _on_rectangle(upright, box.depth, cabinet.whole_face)
        returns = {
            "left": (x, -y, box.height - y),
            "right": (box.width - x, -y, box.height - y),
            "bottom": (y, -x, box.width - x),
            "top": (box.height - y, -x, box.width - x),
        }
        for name, (distance, low, high) in returns.items():
            share = past_edge(distance, high, h, m) - past_edge(distance, low, h, m)
            found[name] += float(np.sum(upright.flux * share))
    return DirectFlux(
        emitted=float(np.sum(cabinet.emitters().flux)),
        on_face=found["face"],
        on_back=found["back"],
        on_left_return=found["left"],
        on_right_return=found["right"],
        on_bottom_return=found["bottom"],
        on_top_return=found["top"],
        absorbed_modules=any_way.absorbed(),
    )
