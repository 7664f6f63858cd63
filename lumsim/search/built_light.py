"""Light on the faces of built signs: the drawing's light, and what each sign has more or less of it.

Light is linear in the modules' flux, so the light of a built sign is that of the drawing, by the fine mesh, and

    direct light          computed anew for each sign, from where its modules are, exactly
    thrown back, modules  summed over the modules: what each has too much or too little of its own light, and how its
                          light changes as it is moved; both by the coarse mesh, once for all signs
    thrown back, depth    a parabola through the drawing's light at three depths; beneath a bowed face of the depth that
                          there is at each point

The second part is a change of a change, so that the coarse mesh and a loose balance do for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.rows import ListedModules
from lumsim.cabinet.sources import sources_of
from lumsim.light.direct import DirectLight
from lumsim.light.interior import Inside, at_depth
from lumsim.light.interreflection import interreflect, reflectances
from lumsim.light.lit_inside import light_inside
from lumsim.light.patch_light import DirectInside
from lumsim.light.strips import ReturnsBesideFace, overlaps, strips_of
from lumsim.light.symmetry import SAME_PLACE, sources_in_mirror
from lumsim.photometry import face_luminance
from lumsim.search.layouts import with_depth
from lumsim.search.spread import BuiltSign, Spread, built_emitters, bulge, ways_off
from lumsim.simulation import Lighting, light_on_face
from lumsim.uniformity.evenness import numbers_asked
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.requirement import Requirement

__all__ = ["LitSigns", "Twins", "twins"]

Array = NDArray[np.float64]

LOOSE = 1e-3
"""To which the balance of one module's light is solved. [1]"""

MOST_KEPT = 300_000_000
"""Of numbers that tell each module's light, at most; in larger signs each sign's light is solved for anew. [byte]"""

LEAST_LIGHT = 1e-9
"""Of the face's most light, the least that is told of a point: max/min is then at most its inverse. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Twins:
    """Which modules are mirror images of others, so that one's light tells the other's."""

    first: NDArray[np.intp]
    """(n,) the one that stands for each module"""
    flipped: NDArray[np.bool_]
    """(n, 2) whether its light is to be turned round, left to right and bottom to top"""

    @property
    def alone(self) -> NDArray[np.intp]:
        """Those that stand for themselves."""
        return np.unique(self.first)


def twins(cabinet: Cabinet) -> Twins:
    """Find the mirror images among a cabinet's modules.

    Parameters
    ----------
    cabinet : Cabinet
    """
    box, emitters = cabinet.box, cabinet.emitters()
    n = len(emitters)
    first, flipped = np.arange(n), np.zeros((n, 2), dtype=bool)
    alike = (
        box.left_return_reflectance == box.right_return_reflectance,
        box.bottom_return_reflectance == box.top_return_reflectance,
    )
    for axis, extent in ((0, box.width), (1, box.height)):
        if not (alike[axis] and sources_in_mirror(cabinet.sources(), axis, extent)):
            continue
        image = emitters.places
        image[:, axis] = extent - image[:, axis]
        # Of several modules in one place none stands for another.
        same = np.max(np.abs(image[:, None] - emitters.places), axis=-1) <= SAME_PLACE
        found = np.where(same.sum(axis=1) == 1, np.argmax(same, axis=1), np.arange(n))
        for one, other in enumerate(found.tolist()):
            if first[other] < first[one]:
                first[one] = first[other]
                flipped[one] = flipped[other]
                flipped[one, axis] ^= True
    return Twins(first=first, flipped=flipped)


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
    """(offsets, ny, nx) of the drawing's modules, by the fine mesh [lx]"""
    corrections: Mapping[str, float]
    """what each number is to be multiplied with, so that it is that of ``simulate`` for the drawing [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Responses:
    """What each module casts on a face by way of all others' reflection, and how that changes as it is moved."""

    own: Array
    """(n, ny nx) of each module as it is [lx]"""
    moved: Array | None
    """(2 n, ny nx) for each metre along its row, then across it; None where no module is moved [lx/m]"""


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
        Solve for the light thrown back in each sign anew; None: where each module's light would take too much memory.
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
        interior = lighting.interior(cabinet.box)
        self._coarse = None if interior is None else interior.coarse
        self.sides: tuple[Side, ...] = cabinet.unlike_sides
        if spread.bow > 0 and cabinet.double_sided:
            # Each of two faces has a bow of its own.
            self.sides = ("front", "rear")
        self._faces = self._drawing(None if interior is None else interior.fine)
        points = sum(len(face.x) * len(face.y) for face in self._faces)
        size = 8 * points * len(cabinet.emitters()) * (3 if spread.moves_modules else 1)
        self._solved_anew = size > MOST_KEPT if solved_anew is None else solved_anew

    # --- the drawing -------------------------------------------------------------------------------------

    def _drawing(self, fine: Inside | None) -> tuple[_Face, ...]:
        """Each face as it should be."""
        cabinet, spread = self._cabinet, self._spread
        most = spread.depth + spread.bow
        offsets = (-most, 0.0, most) if most > 0 and fine is not None else (0.0,)
        lit = {}
        if fine is not None:
            for offset in offsets:
                depth = cabinet.box.depth + offset
                deeper = with_depth(cabinet, depth) if offset else cabinet
                lit[offset] = light_inside(deeper, at_depth(fine, depth))
        faces = []
        for side in self.sides:
            reflected = {offset: one.reflected(side) for offset, one in lit.items()}
            face = light_on_face(cabinet, reflected.get(0.0), side=side)
            exact = numbers_asked(face, self._window, self._names, last_digits=True)
            by_samples = numbers_asked(replace(face, mean=None).splined(), self._window, self._names)
            faces.append(
                _Face(
                    side=side,
                    x=face.x,
                    y=face.y,
                    detail=face.detail,
                    transmittance=cabinet.face_on(side).outward_transmittance,
                    offsets=offsets,
                    thrown_back=np.array([one.on_grid(face.x, face.y) for one in reflected.values()]),
                    corrections={name: _ratio(exact[name], by_samples[name]) for name in self._names},
                )
            )
        return tuple(faces)

    # --- what each module does ---------------------------------------------------------------------------

    def _of_modules(self, emitters: Emitters) -> dict[Side, Array]:
        """The light that some modules cast on each face by way of what the cabinet throws back, coarsely. [lx]

        Linear in their flux to rounding and the loose balance: nothing beside edges and corners is solved again.
        """
        inside, cabinet = self._coarse, self._cabinet
        assert inside is not None
        alone = replace(
            cabinet,
            groups=(ListedModules(direction=cabinet.direction, placed=emitters),),
            obstructions=(),
        )
        rho = reflectances(cabinet)
        direct = DirectInside(inside.mesh, alone).on_patches()
        balanced = interreflect(inside.exchange, direct, rho, residual=LOOSE).illuminance
        to_strips = overlaps(strips_of(inside.mesh).z, np.asarray(inside.mesh.z))
        found: dict[Side, Array] = {}
        for face in self._faces:
            E, R = balanced, rho
            if face.side == "rear":
                E, R = E.mirrored(), rho._replace(back=rho.face, face=rho.back)
            returns = ReturnsBesideFace(
                *(getattr(R, name) * (to_strips @ getattr(E, name)) for name in ReturnsBesideFace._fields)
            )
            found[face.side] = inside.gathering.light(R.back * E.back, returns).on_grid(face.x, face.y)
        return found

    @cached_property
    def _twins(self) -> Twins:
        return twins(self._cabinet)

    def _alone(self, module: int, shift: Array) -> Emitters:
        """One module by itself, moved. [m]"""
        emitters = self._cabinet.emitters()
        one = emitters.only(np.arange(len(emitters)) == module)
        dx, dy, dz = shift
        return replace(one, x=one.x + dx, y=one.y + dy, z=one.z + dz)

    @cached_property
    def _responses(self) -> dict[Side, _Responses]:
        """Of each module, to what it casts and to where it is."""
        cabinet, spread, pairs = self._cabinet, self._spread, self._twins
        n = len(cabinet.emitters())
        ways = ways_off(cabinet)
        reach = spread.placing + spread.row_sag
        own = {face.side: np.empty((n, len(face.y), len(face.x))) for face in self._faces}
        moved = {
            side: np.zeros((2, *one.shape)) if spread.moves_modules else None for side, one in own.items()
        }
        box = cabinet.box
        ends = np.array([box.width, box.height, box.depth])
        places = cabinet.emitters().places
        for module in pairs.alone.tolist():
            here = self._of_modules(self._alone(module, np.zeros(3)))
            slopes: list[dict[Side, Array]] = []
            for way in ways if spread.moves_modules else ():
                # Not through a wall.
                ahead, behind = (
                    np.clip(places[module] + sign * reach * way[module], 0.0, ends) - places[module]
                    for sign in (1, -1)
                )
                step = float(np.sum(np.abs(ahead - behind)))
                high, low = (
                    self._of_modules(self._alone(module, shift)) if np.any(shift) else here
                    for shift in (ahead, behind)
                )
                slopes.append({side: (high[side] - low[side]) / step for side in here})
            for image in np.nonzero(pairs.first == module)[0].tolist():
                in_x, in_y = pairs.flipped[image]
                turn = (slice(None, None, -1 if in_y else 1), slice(None, None, -1 if in_x else 1))
                signs = np.where([in_x, in_y, False], -1.0, 1.0)
                for side, field in here.items():
                    own[side][image] = field[turn]
                    store = moved[side]
                    if store is not None:
                        for number, slope in enumerate(slopes):
                            ahead = float((signs * ways[number][module]) @ ways[number][image])
                            store[number, image] = ahead * slope[side][turn]
        return {
            side: _Responses(
                own=one.reshape(n, -1),
                moved=None if (store := moved[side]) is None else store.reshape(2 * n, -1),
            )
            for side, one in own.items()
        }

    def _changes(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """(signs, ny, nx) light thrown back because of modules unlike the drawing's, at its depth. [lx]"""
        shapes = {face.side: (len(signs), len(face.y), len(face.x)) for face in self._faces}
        if self._coarse is None or not any((one.flux != 1).any() or one.off.any() for one in signs):
            return {side: np.zeros(shape) for side, shape in shapes.items()}
        if self._solved_anew:
            return self._solved_for(signs)
        ways = ways_off(self._cabinet)
        found = {}
        for side, responses in self._responses.items():
            change = np.array([one.flux - 1 for one in signs]) @ responses.own
            if responses.moved is not None:
                shifts = [
                    np.concatenate([one.flux * np.sum(one.off * way, axis=1) for way in ways])
                    for one in signs
                ]
                change += np.array(shifts) @ responses.moved
            found[side] = change.reshape(shapes[side])
        return found

    def _solved_for(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """The same, each sign's light solved for anew."""
        drawn = self._of_drawing
        fields: dict[Side, list[Array]] = {face.side: [] for face in self._faces}
        for one in signs:
            emitters = built_emitters(self._cabinet, replace(one, depth=0.0))
            for side, field in self._of_modules(emitters.only(emitters.flux > 0)).items():
                fields[side].append(field - drawn[side])
        return {side: np.array(some) for side, some in fields.items()}

    @cached_property
    def _of_drawing(self) -> dict[Side, Array]:
        return self._of_modules(self._cabinet.emitters())

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
        n = len(self._cabinet.emitters())
        sign = BuiltSign(
            number=0,
            flux=np.where(np.arange(n) == module, 0.0, 1.0),
            off=np.zeros((n, 3)),
            depth=0.0,
            bow=(0.0, 0.0),
            dead=(module,),
        )
        lost = (
            {face.side: np.zeros((len(face.y), len(face.x))) for face in self._faces}
            if self._coarse is None
            else self._of_modules(self._alone(module, np.zeros(3)))
        )
        return {
            face.side: self._numbers_of(face, self._light(face, sign, -lost[face.side]))
            for face in self._faces
        }

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
        if self._coarse is not None:
            E = E + _parabola(face.offsets, face.thrown_back, sign.depth + outwards) + change
        return E

    def _numbers_of(self, face: _Face, E: Array) -> dict[str, float]:
        lit = FaceMap(
            x=face.x,
            y=face.y,
            values=face_luminance(np.maximum(E, LEAST_LIGHT * float(E.max())), face.transmittance),
            at=_unasked,
            detail=face.detail,
        )
        found = numbers_asked(lit.splined(), self._window, self._names)
        return {name: value * face.corrections[name] for name, value in found.items()}


def _parabola(nodes: Sequence[float], values: Array, at: Array) -> Array:
    """Values between three nodes by the parabola through them; of one node its own. (nodes, ny, nx) → (ny, nx)."""
    if len(nodes) == 1:
        return values[0]
    total = np.zeros(values.shape[1:])
    for i, one in enumerate(nodes):
        others = [other for j, other in enumerate(nodes) if j != i]
        weight = math.prod((at - other) / (one - other) for other in others)
        total += weight * values[i]
    return total


def _ratio(exact: float, found: float) -> float:
    """Correction of a number that cannot be told to be nought."""
    return exact / found if found > 0 and math.isfinite(exact / found) else 1.0


def _unasked(x: Array, y: Array) -> Array:
    raise AssertionError("a map of samples is asked by a spline through them")
