"""A beam in figures: its peak, beam angle, field angle, and its flux by zones.

The **beam angle** lies between the outermost directions of a plane through the axis at which the intensity is half
of the highest in that plane, the **field angle** between those at which it is a tenth (the definitions common in
ANSI/IES practice, and of CIE's half-peak divergence, from memory). Outermost is meant in front, within 90 degrees of
the axis, and on from there as far as light does not fall below: a lobe of its own behind does not count, but is told.
Within the angle a beam may fall below too, as on the axis of one that spreads its light; that is told as well. Where
all such light is behind, the outermost of all count.

Planes are named as in photometric files of type C: 0 along the row, C counted clockwise as seen from the side that
the module shines at; a plane has two halves, C and C + 180 degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lumsim.beams.beam import Array, Beam
from lumsim.beams.closed import ClosedBeam, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.beams.zones import share_within
from lumsim.errors import InputError

__all__ = [
    "FIELD",
    "HALF",
    "ZONE",
    "BeamFigures",
    "PlaneAngle",
    "along_plane",
    "beam_figures",
    "plane_samples",
]

HALF = 0.5
"""Share of a plane's highest intensity that the beam angle goes to. [1]"""

FIELD = 0.1
"""Share of it that the field angle goes to. [1]"""

ZONE = math.radians(10)
"""Width of a zone. [rad]"""

FINE = math.radians(0.25)
"""Between samples along a plane; whatever is narrower is a kink and sampled besides. [rad]"""

JUST_BESIDE = 1e-9
"""From a place where light may end. [rad]"""

STEP = 0.01
"""What falls by more than this share of the highest within a millionth of a radian is cut off. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneAngle:
    """Between which directions of a plane the intensity is a share of the highest in it, or more.

    Angles are from the axis, above 0 in the half plane C and below 0 in the half plane C + 180 degrees.
    """

    share: float
    """of the highest intensity in the plane [1]"""
    highest: float
    """that intensity [cd]"""
    first: float
    """the outermost direction towards C + 180 degrees [rad]"""
    last: float
    """the outermost direction towards C [rad]"""
    cut_off: tuple[bool, bool]
    """whether light falls there in a step, and not gradually"""
    below_on_axis: bool
    """the intensity on the axis is less, though the axis lies between: the beam is hollow"""
    dips: bool
    """somewhere between it is less"""
    again_behind: bool
    """beyond, behind the module, it is as much again"""

    @property
    def angle(self) -> float:
        """Between the two directions. [rad]"""
        return self.last - self.first


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamFigures:
    """A beam at its lumens, in figures."""

    flux: float
    """[lm]"""
    axial: bool
    """alike all round the axis"""
    peak: float
    """highest intensity [cd]"""
    peak_angle: float
    """from the axis; of several the nearest to it [rad]"""
    peak_plane: float
    """C of the half plane that it lies in; 0 where the beam is axial, or the peak on the axis [rad]"""
    on_axis: float
    """intensity on the axis [cd]"""
    beam_angles: tuple[PlaneAngle | None, PlaneAngle | None]
    """to half, in the planes 0-180 and 90-270 degrees; None where a plane is dark"""
    field_angles: tuple[PlaneAngle | None, PlaneAngle | None]
    """the same to a tenth"""
    zones: tuple[float, ...]
    """(18,) share of the flux in zones of 10 degrees from the axis [1]"""
    within: tuple[tuple[float, float], ...]
    """30, 60, 75 and 90 degrees from the axis, and what share of the flux lies within [rad, 1]"""

    @property
    def behind(self) -> float:
        """Share of the flux beyond 90 degrees from the axis. [1]"""
        return math.fsum(self.zones[9:])


def beam_figures(beam: Beam, flux: float) -> BeamFigures:
    """Measure a beam.

    Parameters
    ----------
    beam : Beam
        A sum of cosine powers, a table, a uniform-plane beam or a web.
    flux : float
        Of the whole beam. [lm]

    Raises
    ------
    InputError
        For any other kind of beam.
    """
    theta, plane, peak = _peak(beam)
    samples = plane_samples(beam)
    edges = np.arange(19) * ZONE
    limits = np.radians([30.0, 60.0, 75.0, 90.0])
    shares = share_within(beam, np.concatenate([edges, limits]))
    halves, tenths = (
        (_plane_angle(beam, flux, 0.0, share, samples), _plane_angle(beam, flux, math.pi / 2, share, samples))
        for share in (HALF, FIELD)
    )
    return BeamFigures(
        flux=flux,
        axial=beam.axial,
        peak=flux * peak,
        peak_angle=theta,
        peak_plane=plane,
        on_axis=flux * _at(beam, 0.0, 0.0),
        beam_angles=halves,
        field_angles=tenths,
        zones=tuple(float(one) for one in np.maximum(np.diff(shares[:19]), 0)),
        within=tuple((float(angle), float(one)) for angle, one in zip(limits, shares[19:], strict=True)),
    )


def along_plane(beam: Beam, C: float, angles: Array) -> Array:
    """Intensity along a plane through the axis, for one lumen.

    Parameters
    ----------
    beam : Beam
    C : float
        Of the half plane in which angles count from 0 up. [rad]
    angles : (n,)
        From the axis, from -π to π; below 0 in the other half plane. [rad]

    Returns
    -------
    (n,)
        [cd/lm]
    """
    return beam.intensity(np.abs(angles), np.where(angles < 0, -C - math.pi, -C))


def plane_samples(beam: Beam) -> Array:
    """Angles from -π to π at which a beam's intensity along a plane shows all its hills, kinks and steps.

    Parameters
    ----------
    beam : Beam

    Returns
    -------
    (n,)
        Rising. [rad]
    """
    kinks = np.abs(_kinks(beam))
    beside = np.concatenate([kinks, kinks - JUST_BESIDE, kinks + JUST_BESIDE])
    half = np.union1d(np.linspace(0, math.pi, round(math.pi / FINE) + 1), np.clip(beside, 0, math.pi))
    return np.concatenate([-half[:0:-1], half])


def _kinks(beam: Beam) -> Array:
    """Angles from the axis at which intensity along a principal plane may bend or end."""
    if isinstance(beam, ClosedBeam):
        peak = beam.peak_angle if isinstance(beam, Wide) else 0.0
        return np.array([peak, math.pi / 2])
    if isinstance(beam, UniformPlane):
        return np.array([beam.cut_off])
    if isinstance(beam, Table):
        return np.array(beam.angles)
    if isinstance(beam, Web):
        return (
            np.concatenate([beam.vertical, beam.horizontal])
            if beam.photometric_type != "C"
            else beam.vertical
        )
    raise InputError(f"where a {type(beam).__name__} has kinks is not known")


def _peak(beam: Beam) -> tuple[float, float, float]:
    """θ and C of the highest intensity, and that, for one lumen.

    Linear between angles, a table and a web have it at one of them. In a corner of a web of type A or B one direction
    may be told several times; the highest counts.
    """
    if not isinstance(beam, Web):
        theta = 0.0
        if isinstance(beam, Wide):
            theta = beam.peak_angle
        elif isinstance(beam, UniformPlane):
            theta = beam.cut_off
        elif isinstance(beam, Table):
            theta = beam.angles[int(np.argmax(beam.values))]
        return theta, 0.0, _at(beam, theta, 0.0)
    found = []
    for j, i in np.argwhere(beam.values >= beam.values.max() * (1 - 1e-12)):
        V, H = float(beam.vertical[i]), float(beam.horizontal[j])
        if beam.photometric_type == "C":
            theta, C = V, H
        else:
            polar, plane = (V, H) if beam.photometric_type == "A" else (H, V)
            ahead, aside = math.cos(polar) * math.cos(plane), math.cos(polar) * math.sin(plane)
            x, y = (aside, math.sin(polar)) if beam.photometric_type == "A" else (math.sin(polar), aside)
            theta, C = math.atan2(math.hypot(x, y), ahead), _around(x, y)
        on_axis = min(theta, math.pi - theta) < JUST_BESIDE
        C = 0.0 if beam.axial or on_axis or math.isclose(C, 2 * math.pi) else C
        found.append((round(theta, 12), round(C, 12)))
    return *min(found), float(beam.values.max()) / beam.flux


def _around(x: float, y: float) -> float:
    """C of a direction x to the right and y up as seen from behind the module; see ``webs``."""
    # From behind, the direction of C = 0 points to the left, and C counts counterclockwise.
    return math.atan2(-y, -x) % (2 * math.pi)


def _at(beam: Beam, theta: float, C: float) -> float:
    return float(beam.intensity(np.array([theta]), np.array([-C]))[0])


def _plane_angle(beam: Beam, flux: float, C: float, share: float, samples: Array) -> PlaneAngle | None:
    # Between its samples no intensity is higher, for they hold every hill's top.
    along = along_plane(beam, C, samples)
    peak = float(along.max())
    if not peak > 0:
        return None
    level = share * peak * (1 - 1e-12)
    enough = along >= level
    ahead = enough & (np.abs(samples) <= math.pi / 2)
    reached = np.flatnonzero(ahead if ahead.any() else enough)
    i, k = int(reached[0]), int(reached[-1])
    while i > 0 and enough[i - 1]:
        i -= 1
    while k < len(samples) - 1 and enough[k + 1]:
        k += 1
    at = [float(one) for one in samples]
    first = at[0] if i == 0 else _crossing(beam, C, level, at[i], at[i - 1])
    last = at[-1] if k == len(at) - 1 else _crossing(beam, C, level, at[k], at[k + 1])
    across = first < 0 < last
    return PlaneAngle(
        share=share,
        highest=flux * peak,
        first=first,
        last=last,
        cut_off=(_ends_in_step(beam, C, first, -1, peak), _ends_in_step(beam, C, last, 1, peak)),
        below_on_axis=across and not bool(enough[len(samples) // 2]),
        dips=not bool(np.all(enough[i : k + 1])),
        again_behind=bool(enough[:i].any() or enough[k + 1 :].any()),
    )


def _crossing(beam: Beam, C: float, level: float, inside: float, outside: float) -> float:
    """Where the intensity falls below a level, by halving: also where it falls in a step."""
    while abs(outside - inside) > 1e-14:
        middle = (inside + outside) / 2
        if middle in {inside, outside}:
            break
        if along_plane(beam, C, np.array([middle]))[0] >= level:
            inside = middle
        else:
            outside = middle
    return inside


def _ends_in_step(beam: Beam, C: float, angle: float, outward: int, peak: float) -> bool:
    if abs(angle) > math.pi - 1e-6:
        return False
    inside, outside = along_plane(beam, C, angle + outward * np.array([-1e-6, 1e-6]))
    return bool(inside - outside > STEP * peak)
