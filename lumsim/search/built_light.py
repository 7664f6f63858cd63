"""Light on the faces of built signs: the drawing's light, and what each sign has more or less of it.

Light is linear in the modules' flux, so the light of a built sign is that of the drawing, by the fine mesh, and

    direct light          computed anew for each sign, from where its modules are, exactly
    thrown back, modules  summed over the modules: what each has too much or too little of its own light, how that
                          changes with the depth, and how its light changes as it is moved; all by the coarse mesh, once
                          for all signs, as a share of the drawing's light by that mesh
    thrown back, depth    a parabola through the drawing's light at three depths; beneath a bowed face of the depth that
                          there is at each point

The second part is a change of a change, so that the coarse mesh and a loose balance do for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.sources import sources_of
from lumsim.chunks.digests import digest_of
from lumsim.light.direct import DirectLight
from lumsim.light.interior import Inside, at_depth
from lumsim.light.lit_inside import light_inside
from lumsim.photometry import face_luminance
from lumsim.search.layouts import with_depth
from lumsim.search.module_light import ModuleLight
from lumsim.search.plane import ALWAYS
from lumsim.search.spread import BuiltSign, Spread, built_emitters, bulge
from lumsim.search.trying import rows_run
from lumsim.simulation import Lighting
from lumsim.uniformity.evenness import numbers_asked
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.requirement import Requirement, names_asked
from lumsim.whole_light import light_on_face

__all__ = ["LitSigns", "lit_signs", "numbers_told"]

Array = NDArray[np.float64]

SAMPLES = 3.0
"""For each finest detail of a face; a quarter fewer than elsewhere move max/min by some 5e-5 and save a fifth of time.
[1]"""

EVEN = 1e-6
"""A variation so small is rounding. [1]"""

LEAST_LIGHT = 1e-9
"""Of the face's most light, the least that is told of a point: max/min is then at most its inverse. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Face:
    """One face of the drawing, in one state."""

    side: Side
    x: Array
    y: Array
    detail: float
    transmittance: float
    offsets: tuple[float, ...]
    """depths at which the light thrown back is known, more than the drawing's [m]"""
    thrown_back: Array
    """(offsets, ny, nx) light thrown back, of the drawing's modules, by the fine mesh [lx]"""
    corrections: Mapping[str, float]
    """what each number is to be multiplied with, so that it is that of ``simulate`` for the drawing [1]"""


class LitSigns:
    """All signs built from one drawing, lit.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    spread : Spread
        That signs will be drawn from: how far depths and places must be known.
    requirement : Requirement
        For its stripe window.
    lighting : Lighting
    names : sequence of str
        The numbers that will be asked for, as ``evenness.numbers_asked`` knows them.
    solved_anew : bool, optional
        Solve for the light thrown back in each sign anew; None: as ``ModuleLight`` sees fit.
    """

    def __init__(
        self,
        cabinet: Cabinet,
        spread: Spread,
        requirement: Requirement,
        *,
        lighting: Lighting,
        names: Sequence[str],
        solved_anew: bool | None = None,
    ) -> None:
        self._cabinet, self._spread, self._names = cabinet, spread, tuple(names)
        self._window = requirement.stripe_window or cabinet.stripe_window
        self._rows = rows_run(cabinet)
        interior = lighting.interior(cabinet.box)
        self.sides: tuple[Side, ...] = cabinet.unlike_sides
        if spread.bow > 0 and cabinet.double_sided:
            # Each of two faces has a bow of its own.
            self.sides = ("front", "rear")
        self._faces = self._drawing(None if interior is None else interior.fine)
        self._modules: ModuleLight | None = None
        if interior is not None:
            samples = {face.side: (face.x, face.y) for face in self._faces}
            self._modules = ModuleLight(cabinet, spread, interior.coarse, samples, solved_anew=solved_anew)

    # --- the drawing -------------------------------------------------------------------------------------

    def _drawing(self, fine: Inside | None) -> tuple[_Face, ...]:
        """Each face as it should be."""
        cabinet, most = self._cabinet, self._spread.depth + self._spread.bow
        offsets = (-most, 0.0, most) if most > 0 and fine is not None else (0.0,)
        lit = {}
        if fine is not None:
            for offset in offsets:
                deeper = with_depth(cabinet, cabinet.box.depth + offset) if offset else cabinet
                lit[offset] = light_inside(deeper, at_depth(fine, deeper.box.depth))
        faces = []
        for side in self.sides:
            reflected = {offset: one.reflected(side) for offset, one in lit.items()}
            whole = light_on_face(cabinet, reflected.get(0.0), side=side)
            exact = numbers_asked(whole, self._window, self._names, self._rows, last_digits=True)
            face = light_on_face(
                cabinet, reflected.get(0.0), side=side, samples_per_detail=SAMPLES, exact_mean=False
            )
            by_samples = numbers_asked(face.splined(), self._window, self._names, self._rows)
            faces.append(
                _Face(
                    side=side,
                    x=face.x,
                    y=face.y,
                    detail=face.detail,
                    transmittance=cabinet.face_on(side).outward_transmittance,
                    offsets=offsets,
                    thrown_back=np.array([one.on_grid(face.x, face.y) for one in reflected.values()]),
                    corrections={
                        name: _correction(name, exact[name], by_samples[name]) for name in self._names
                    },
                )
            )
        return tuple(faces)

    # --- built signs -------------------------------------------------------------------------------------

    def numbers(self, signs: Sequence[BuiltSign]) -> list[dict[Side, dict[str, float]]]:
        """Each sign's numbers, for each face that must be looked at.

        Extremes are over the whole visible face of each sign.

        Parameters
        ----------
        signs : sequence of BuiltSign
        """
        changes = self._changes(signs)
        return [
            {
                face.side: self._numbers_of(face, self._light(face, sign, changes[face.side][number]))
                for face in self._faces
            }
            for number, sign in enumerate(signs)
        ]

    def without(self, module: int) -> dict[Side, dict[str, float]]:
        """The numbers of each face where one module of the drawing is dead.

        Parameters
        ----------
        module : int
            From 0.
        """
        n = self._cabinet.modules
        sign = BuiltSign(
            number=0,
            flux=np.where(np.arange(n) == module, 0.0, 1.0),
            off=np.zeros((n, 3)),
            depth=0.0,
            bow=(0.0, 0.0),
            dead=(module,),
        )
        lost = None if self._modules is None else self._modules.alone(module)
        numbers = {}
        for face in self._faces:
            change = np.zeros((2, len(face.y), len(face.x)))
            if lost is not None:
                change[0] = -lost[face.side]
            numbers[face.side] = self._numbers_of(face, self._light(face, sign, change))
        return numbers

    def illuminance(self, signs: Sequence[BuiltSign], side: Side = "front") -> Array:
        """(signs, ny, nx) on the samples of one face. [lx]

        Parameters
        ----------
        signs : sequence of BuiltSign
        side : {"front", "rear"}
        """
        face = next(one for one in self._faces if one.side == side)
        changes = self._changes(signs)[side]
        return np.array([self._light(face, *one) for one in zip(signs, changes, strict=True)])

    def samples(self, side: Side = "front") -> tuple[Array, Array]:
        """Columns and lines of those samples. [m]"""
        face = next(one for one in self._faces if one.side == side)
        return face.x, face.y

    def _changes(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """As of ``ModuleLight.changes``; nothing where only direct light is followed."""
        if self._modules is not None:
            return self._modules.changes(signs)
        return {face.side: np.zeros((len(signs), 2, len(face.y), len(face.x))) for face in self._faces}

    def _light(self, face: _Face, sign: BuiltSign, change: Array) -> Array:
        """All light on the samples of a sign's face. [lx]"""
        depth = self._cabinet.box.depth + sign.depth
        emitters = built_emitters(self._cabinet, sign)
        sources = sources_of(emitters)
        if face.side == "rear":
            sources = sources.mirrored(depth)
        bow = sign.bow[0 if face.side == "front" else 1]
        outwards = bow * bulge(self._cabinet, face.x, face.y)
        nodes = (0.0, bow / 2, bow) if bow else (0.0,)
        direct = np.array([DirectLight(sources, depth + node).on_lattice(face.x, face.y) for node in nodes])
        E = _parabola(nodes, direct, outwards)
        if self._modules is not None:
            deeper = sign.depth + outwards
            own = _parabola(face.offsets, face.thrown_back, deeper)
            drawn, drawn_deeper = self._modules.of_drawing[face.side]
            by_coarse = drawn + deeper * drawn_deeper
            change_there = change[0] + deeper * change[1]
            # In a black cabinet there is neither.
            share = np.divide(change_there, by_coarse, out=np.zeros_like(own), where=by_coarse > 0)
            # The coarse mesh misses the modules' own light beside the edges, and what another depth makes of it, by
            # about as much as that of all of them.
            E = E + own * (1 + share)
        return E

    def _numbers_of(self, face: _Face, E: Array) -> dict[str, float]:
        lit = FaceMap(
            x=face.x,
            y=face.y,
            values=face_luminance(np.maximum(E, LEAST_LIGHT * float(E.max())), face.transmittance),
            at=_unasked,
            detail=face.detail,
        )
        found = numbers_asked(lit.splined(), self._window, self._names, self._rows)
        return {name: value * face.corrections[name] for name, value in found.items()}


def _parabola(nodes: Sequence[float], values: Array, at: Array) -> Array:
    """Values between three nodes by the parabola through them; of one node its own. (nodes, ny, nx) → (ny, nx)."""
    if len(nodes) == 1:
        return np.asarray(values[0])
    total = np.zeros(values.shape[1:])
    for i, one in enumerate(nodes):
        others = [other for j, other in enumerate(nodes) if j != i]
        weight = math.prod((at - other) / (one - other) for other in others)
        total += weight * values[i]
    return total


def _correction(name: str, exact: float, found: float) -> float:
    """What a number by samples is to be multiplied with. A contrast, which may be of another spot, has none."""
    return 1.0 if name == "hot_spot_contrast" or not min(exact, found) > EVEN else exact / found


def _unasked(_x: Array, _y: Array) -> Array:
    raise AssertionError("a map of samples is asked by a spline through them")


def numbers_told(requirement: Requirement) -> tuple[str, ...]:
    """The numbers that are told of each sign, by their names in ``Evenness``.

    Parameters
    ----------
    requirement : Requirement
    """
    return tuple(dict.fromkeys((*ALWAYS, *names_asked(requirement))))


_KEPT: dict[str, LitSigns] = {}
"""What was last worked on, so that a worker's next part finds it: one cabinet, new and aged."""


def lit_signs(
    cabinet: Cabinet,
    spread: Spread,
    requirement: Requirement,
    *,
    lighting: Lighting,
    solved_anew: bool | None = None,
) -> LitSigns:
    """The light of one drawing's signs, for ``numbers_told``; what was last asked for is kept.

    Parameters
    ----------
    cabinet, spread, requirement, lighting, solved_anew
        As of ``LitSigns``.
    """
    given = (cabinet, spread, requirement, lighting, solved_anew)
    key = digest_of(given)
    if key not in _KEPT:
        if len(_KEPT) >= 2:
            _KEPT.clear()
        _KEPT[key] = LitSigns(
            cabinet,
            spread,
            requirement,
            lighting=lighting,
            names=numbers_told(requirement),
            solved_anew=solved_anew,
        )
    return _KEPT[key]
