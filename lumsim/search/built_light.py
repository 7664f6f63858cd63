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

MOST_KEPT = 200_000_000
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
    """(offsets, ny, nx) light thrown back, of the drawing's modules, by the fine mesh [lx]"""
    corrections: Mapping[str, float]
    """what each number is to be multiplied with, so that it is that of ``simulate`` for the drawing [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Responses:
    """What each module casts on a face by way of all others' reflection, and how that changes as it is moved."""

    own: Array
    """(n, ny nx) of each module as it is [lx]"""
    moved: Array | None
    """(2 n, ny nx) for each metre along its row, then across it; None where no module is moved [lx/m]"""
    deeper: Array | None
    """(n, ny nx) for each metre that the cabinet is deeper; None where all are as deep [lx/m]"""


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
        self._insides: dict[float, Inside] = {}
        self.sides: tuple[Side, ...] = cabinet.unlike_sides
        if spread.bow > 0 and cabinet.double_sided:
            # Each of two faces has a bow of its own.
            self.sides = ("front", "rear")
        self._faces = self._drawing(None if interior is None else interior.fine)
        points = sum(len(face.x) * len(face.y) for face in self._faces)
        each = 1 + 2 * spread.moves_modules + self._depths_differ
        size = 8 * points * len(cabinet.emitters()) * each
        self._solved_anew = size > MOST_KEPT if solved_anew is None else solved_anew

    # --- the drawing -------------------------------------------------------------------------------------

    @property
    def _most(self) -> float:
        """By how much a face may be farther from the back than it should be. [m]"""
        return self._spread.depth + self._spread.bow

    @property
    def _depths_differ(self) -> bool:
        """Whether what a module casts must be known at several depths."""
        return self._most > 0 and (self._spread.flux_scatter > 0 or self._spread.dead_modules > 0)

    def _deeper(self, offset: float) -> Cabinet:
        """The drawing's cabinet, deeper. [m]"""
        cabinet = self._cabinet
        return with_depth(cabinet, cabinet.box.depth + offset) if offset else cabinet

    def _drawing(self, fine: Inside | None) -> tuple[_Face, ...]:
        """Each face as it should be."""
        cabinet, most = self._cabinet, self._most
        offsets = (-most, 0.0, most) if most > 0 and fine is not None else (0.0,)
        lit = {}
        if fine is not None:
            for offset in offsets:
                deeper = self._deeper(offset)
                lit[offset] = light_inside(deeper, at_depth(fine, deeper.box.depth))
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

    def _coarsely(self, offset: float) -> Inside:
        """The inside by the coarse mesh, in a deeper cabinet. [m]"""
        assert self._coarse is not None
        if offset not in self._insides:
            self._insides[offset] = at_depth(self._coarse, self._cabinet.box.depth + offset)
        return self._insides[offset]

    def _of_modules(self, emitters: Emitters, offset: float = 0.0) -> dict[Side, Array]:
        """The light that some modules cast on each face by way of what the cabinet throws back, coarsely. [lx]

        Linear in their flux to rounding and the loose balance: nothing beside edges and corners is solved again.
        """
        inside, cabinet = self._coarsely(offset), self._deeper(offset)
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

    def _alone(self, module: int, *, shift: Array | None = None, offset: float = 0.0) -> dict[Side, Array]:
        """The light that one module casts by way of all else, moved and in a deeper cabinet. [m] → [lx]"""
        emitters = self._deeper(offset).emitters()
        one = emitters.only(np.arange(len(emitters)) == module)
        if shift is not None:
            dx, dy, dz = shift
            one = replace(one, x=one.x + dx, y=one.y + dy, z=one.z + dz)
        return self._of_modules(one, offset)

    @cached_property
    def _responses(self) -> dict[Side, _Responses]:
        """Of each module, to what it casts and to where it is."""
        pairs, moves, deepens = self._twins, self._spread.moves_modules, self._depths_differ
        n = len(self._cabinet.emitters())
        ways = ways_off(self._cabinet)
        kinds = ["own", *(["deeper"] if deepens else []), *(["along", "across"] if moves else [])]
        stores = {
            face.side: {kind: np.empty((n, len(face.y), len(face.x))) for kind in kinds}
            for face in self._faces
        }
        for module in pairs.alone.tolist():
            found = {"own": self._alone(module)}
            if deepens:
                found["deeper"] = _slope(
                    self._alone(module, offset=self._most),
                    self._alone(module, offset=-self._most),
                    2 * self._most,
                )
            if moves:
                for kind, way in zip(("along", "across"), ways, strict=True):
                    found[kind] = self._as_moved(module, way[module], found["own"])
            for image in np.nonzero(pairs.first == module)[0].tolist():
                in_x, in_y = pairs.flipped[image]
                turn = (slice(None, None, -1 if in_y else 1), slice(None, None, -1 if in_x else 1))
                turned = np.where([in_x, in_y, False], -1.0, 1.0)
                sense = dict.fromkeys(kinds, 1.0)
                for kind, way in zip(("along", "across"), ways, strict=True):
                    sense[kind] = float((turned * way[module]) @ way[image])
                for side, store in stores.items():
                    for kind in kinds:
                        store[kind][image] = sense[kind] * found[kind][side][turn]
        return {
            side: _Responses(
                own=store["own"].reshape(n, -1),
                moved=np.concatenate([store["along"], store["across"]]).reshape(2 * n, -1) if moves else None,
                deeper=store["deeper"].reshape(n, -1) if deepens else None,
            )
            for side, store in stores.items()
        }

    def _as_moved(self, module: int, way: Array, here: dict[Side, Array]) -> dict[Side, Array]:
        """How one module's light changes for each metre that it is moved, not through a wall. [lx/m]"""
        box = self._cabinet.box
        place = self._cabinet.emitters().places[module]
        reach = (self._spread.placing + self._spread.row_sag) * way
        ends = np.array([box.width, box.height, box.depth])
        ahead, behind = (np.clip(place + one, 0.0, ends) - place for one in (reach, -reach))
        high, low = (self._alone(module, shift=one) if one.any() else here for one in (ahead, behind))
        return _slope(high, low, float(np.sum(ahead - behind)))

    def _changes(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """Light thrown back because of modules unlike the drawing's.

        Parameters
        ----------
        signs : sequence of BuiltSign

        Returns
        -------
        (signs, 2, ny, nx) by side
            At the drawing's depth [lx], and for each metre that the cabinet is deeper [lx/m].
        """
        shapes = {face.side: (len(signs), 2, len(face.y), len(face.x)) for face in self._faces}
        if self._coarse is None or not any((one.flux != 1).any() or one.off.any() for one in signs):
            return {side: np.zeros(shape) for side, shape in shapes.items()}
        if self._solved_anew:
            return self._solved_for(signs)
        ways = ways_off(self._cabinet)
        more = np.array([one.flux - 1 for one in signs])
        found = {}
        for side, responses in self._responses.items():
            change = more @ responses.own
            if responses.moved is not None:
                shifts = [
                    np.concatenate([one.flux * np.sum(one.off * way, axis=1) for way in ways])
                    for one in signs
                ]
                change += np.array(shifts) @ responses.moved
            deeper = np.zeros_like(change) if responses.deeper is None else more @ responses.deeper
            found[side] = np.stack([change, deeper], axis=1).reshape(shapes[side])
        return found

    def _solved_for(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """The same, each sign's light solved for anew."""
        offsets = (self._most, -self._most) if self._depths_differ else (0.0,)
        fields: dict[Side, list[Array]] = {face.side: [] for face in self._faces}
        for one in signs:
            solved = []
            for offset in offsets:
                emitters = built_emitters(self._cabinet, replace(one, depth=offset))
                solved.append(self._of_modules(emitters.only(emitters.flux > 0), offset))
            for side, field in fields.items():
                drawn, deeper = self._of_drawing[side]
                changes = [
                    lit[side] - drawn - offset * deeper for lit, offset in zip(solved, offsets, strict=True)
                ]
                ahead, behind = changes[0], changes[-1]
                slope = (ahead - behind) / (2 * self._most) if len(changes) > 1 else np.zeros_like(ahead)
                field.append(np.stack([(ahead + behind) / 2, slope]))
        return {side: np.array(some) for side, some in fields.items()}

    @cached_property
    def _of_drawing(self) -> dict[Side, tuple[Array, Array]]:
        """The drawing's light by the coarse mesh, and for each metre that the cabinet is deeper. [lx, lx/m]"""

        def at(offset: float) -> dict[Side, Array]:
            return self._of_modules(self._deeper(offset).emitters(), offset)

        own = at(0.0)
        if not self._depths_differ:
            return {side: (field, np.zeros_like(field)) for side, field in own.items()}
        slope = _slope(at(self._most), at(-self._most), 2 * self._most)
        return {side: (field, slope[side]) for side, field in own.items()}

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
        lost = None if self._coarse is None else self._alone(module)
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
            deeper = sign.depth + outwards
            own = _parabola(face.offsets, face.thrown_back, deeper)
            drawn, drawn_deeper = self._of_drawing[face.side]
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
        found = numbers_asked(lit.splined(), self._window, self._names)
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


def _ratio(exact: float, found: float) -> float:
    """Correction of a number that cannot be told to be nought."""
    return exact / found if found > 0 and math.isfinite(exact / found) else 1.0


def _unasked(_x: Array, _y: Array) -> Array:
    raise AssertionError("a map of samples is asked by a spline through them")


def _slope(ahead: Mapping[Side, Array], behind: Mapping[Side, Array], step: float) -> dict[Side, Array]:
    """Of each face's light. [lx/m]"""
    return {side: (field - behind[side]) / step for side, field in ahead.items()}
