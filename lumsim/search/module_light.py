"""The light that each module casts by way of what the cabinet throws back: coarsely, once for all signs.

Of each module by itself: as it is, how that changes with the cabinet's depth, and how as it is moved. What signs have
more or less of it is then a sum over modules. Where this would take too much memory, or modules are moved far, each
sign is solved for by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.rows import ListedModules
from lumsim.light.interior import Inside, at_depth
from lumsim.light.interreflection import interreflect, reflectances
from lumsim.light.patch_light import DirectInside
from lumsim.light.strips import ReturnsBesideFace, overlaps, strips_of
from lumsim.light.surfaces import Surfaces
from lumsim.search.layouts import with_depth
from lumsim.search.spread import BuiltSign, Spread, built_emitters, kept_inside, ways_off
from lumsim.search.twins import twins

__all__ = ["ModuleLight"]

Array = NDArray[np.float64]

LOOSE = 1e-3
"""To which the balance of one module's light is solved. [1]"""

MOST_KEPT = 200_000_000
"""Of numbers that tell each module's light, at most; in larger signs each sign's light is solved for anew. [byte]"""


BY_SLOPE = 0.1
"""Of the least throw: as far may a module be moved for its light to change by a slope, to 3e-3 of max/min. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Responses:
    """What each module casts on a face by way of all others' reflection, and how that changes as it is moved."""

    own: Array
    """(n, ny nx) of each module as it is [lx]"""
    moved: Array | None
    """(2 n, ny nx) for each metre along its row, then across it; None where no module is moved [lx/m]"""
    deeper: Array | None
    """(n, ny nx) for each metre that the cabinet is deeper; None where all are as deep [lx/m]"""


class ModuleLight:
    """What the cabinet throws back of each module's light.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    spread : Spread
        How far depths and places must be known.
    coarse : Inside
        Of its box, by the coarse mesh.
    samples : mapping
        Columns and lines of points, (nx,) and (ny,), of each face that is looked at, by its side. [m]
    solved_anew : bool, optional
        Solve for each sign anew; None: where each module's light would take more than ``MOST_KEPT``, or changes too
        much as it is moved.
    """

    def __init__(
        self,
        cabinet: Cabinet,
        spread: Spread,
        coarse: Inside,
        samples: Mapping[Side, tuple[Array, Array]],
        *,
        solved_anew: bool | None = None,
    ) -> None:
        self._cabinet, self._spread = cabinet, spread
        self._samples = dict(samples)
        self._insides = {0.0: coarse}
        self._drawings: dict[float, dict[Side, Array]] = {}
        points = sum(len(x) * len(y) for x, y in self._samples.values())
        each = 1 + 2 * spread.moves_modules + self._depths_differ
        size = 8 * points * cabinet.modules * each
        throw = min(float(cabinet.throws(side).min(initial=cabinet.box.depth)) for side in samples)
        far = spread.placing + spread.row_sag > BY_SLOPE * throw
        self._solved_anew = size > MOST_KEPT or far if solved_anew is None else solved_anew

    @property
    def _most(self) -> float:
        """By how much a face may be farther from the back than it should be. [m]"""
        return self._spread.depth + self._spread.bow

    @property
    def _depths_differ(self) -> bool:
        """Whether what a module casts must be known at several depths."""
        return self._most > 0 and (self._spread.flux_scatter > 0 or self._spread.dead_modules > 0)

    def _deeper(self, offset: float) -> Cabinet:
        """The cabinet, deeper. [m]"""
        cabinet = self._cabinet
        return with_depth(cabinet, cabinet.box.depth + offset) if offset else cabinet

    def _coarsely(self, offset: float) -> Inside:
        """The inside by the coarse mesh, in a deeper cabinet. [m]"""
        if offset not in self._insides:
            self._insides[offset] = at_depth(self._insides[0.0], self._cabinet.box.depth + offset)
        return self._insides[offset]

    def _of_modules(self, *terms: tuple[Emitters, float], offset: float = 0.0) -> dict[Side, Array]:
        """The light that some modules cast on each face by way of what the cabinet throws back, coarsely. [lx]

        A sum of modules, each times a factor, that leaves no point without light. Linear in their flux to rounding and
        the loose balance: nothing beside edges and corners is solved again.
        """
        inside, cabinet = self._coarsely(offset), self._deeper(offset)
        rho = reflectances(cabinet)
        direct = self._direct(*terms[0], offset)
        for term in terms[1:]:
            direct = direct.each(np.add, self._direct(*term, offset))
        balanced = interreflect(inside.exchange, direct, rho, residual=LOOSE).illuminance
        to_strips = overlaps(strips_of(inside.mesh).z, np.asarray(inside.mesh.z))
        found: dict[Side, Array] = {}
        for side, (x, y) in self._samples.items():
            E, R = balanced, rho
            if side == "rear":
                E, R = E.mirrored(), rho._replace(back=rho.face, face=rho.back)
            returns = ReturnsBesideFace(
                *(getattr(R, name) * (to_strips @ getattr(E, name)) for name in ReturnsBesideFace._fields)
            )
            found[side] = inside.gathering.light(R.back * E.back, returns).on_grid(x, y)
        return found

    def _direct(self, emitters: Emitters, factor: float, offset: float) -> Surfaces:
        """What some modules cast straight on the patches. [lx]"""
        cabinet = self._deeper(offset)
        alone = replace(
            cabinet,
            groups=(ListedModules(direction=cabinet.direction, placed=emitters),),
            obstructions=(),
        )
        direct = DirectInside(self._coarsely(offset).mesh, alone).on_patches()
        return Surfaces(*(factor * one for one in direct))

    def alone(self, module: int, *, offset: float = 0.0) -> dict[Side, Array]:
        """The light that one module casts on each face by way of all else. (ny, nx) [lx]

        Parameters
        ----------
        module : int
            From 0.
        offset : float
            By which the cabinet is deeper. [m]
        """
        return self._of_modules((_only(self._deeper(offset).emitters(), module), 1.0), offset=offset)

    @cached_property
    def _responses(self) -> dict[Side, _Responses]:
        """Of each module, to what it casts and to where it is."""
        pairs, moves, deepens = twins(self._cabinet), self._spread.moves_modules, self._depths_differ
        n = self._cabinet.modules
        ways = ways_off(self._cabinet)
        kinds = ["own", *(["deeper"] if deepens else []), *(["along", "across"] if moves else [])]
        moved = dict(zip(("along", "across"), ways, strict=True)) if moves else {}
        stores = {
            side: {kind: np.empty((n, len(y), len(x))) for kind in kinds}
            for side, (x, y) in self._samples.items()
        }
        for module in pairs.alone.tolist():
            found = {"own": self.alone(module)}
            if deepens:
                found["deeper"] = _slope(
                    self.alone(module, offset=self._most),
                    self.alone(module, offset=-self._most),
                    2 * self._most,
                )
            if moves:
                for kind, way in zip(("along", "across"), ways, strict=True):
                    found[kind] = self._as_moved(module, way[module], found["own"])
            for image in np.nonzero(pairs.first == module)[0].tolist():
                in_x, in_y = pairs.flipped[image]
                turn = (slice(None, None, -1 if in_y else 1), slice(None, None, -1 if in_x else 1))
                turned = np.where([in_x, in_y, False], -1.0, 1.0)
                for side, store in stores.items():
                    for kind in kinds:
                        if kind not in moved:
                            store[kind][image] = found[kind][side][turn]
                            continue
                        # An image's row may run across that of the one it mirrors.
                        store[kind][image] = sum(
                            float((turned * way[module]) @ moved[kind][image]) * found[other][side][turn]
                            for other, way in moved.items()
                        )
        return {
            side: _Responses(
                own=store["own"].reshape(n, -1),
                moved=np.concatenate([store["along"], store["across"]]).reshape(2 * n, -1) if moves else None,
                deeper=store["deeper"].reshape(n, -1) if deepens else None,
            )
            for side, store in stores.items()
        }

    def _as_moved(self, module: int, way: Array, here: dict[Side, Array]) -> dict[Side, Array]:
        """How one module's light changes for each metre that it is moved, not through a wall. [lx/m]

        By half the difference between either end of its reach, added to its own light, which is solved for at once.
        """
        cabinet = self._cabinet
        emitters = cabinet.emitters()
        reach = (self._spread.placing + self._spread.row_sag) * np.tile(way, (len(emitters), 1))
        ends = [kept_inside(cabinet, sense * reach)[module] for sense in (1, -1)]
        own = _only(emitters, module)
        ahead, behind = (replace(own, x=own.x + dx, y=own.y + dy, z=own.z + dz) for dx, dy, dz in ends)
        together = self._of_modules((own, 1.0), (ahead, 0.5), (behind, -0.5))
        return _slope(together, here, float(np.sum(ends[0] - ends[1])) / 2)

    def changes(self, signs: Sequence[BuiltSign]) -> dict[Side, Array]:
        """Light thrown back because of modules unlike the drawing's.

        Parameters
        ----------
        signs : sequence of BuiltSign

        Returns
        -------
        (signs, 2, ny, nx) by side
            At the drawing's depth [lx], and for each metre that the cabinet is deeper [lx/m].
        """
        shapes = {side: (len(signs), 2, len(y), len(x)) for side, (x, y) in self._samples.items()}
        if not any((one.flux != 1).any() or one.off.any() for one in signs):
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
        fields: dict[Side, list[Array]] = {side: [] for side in self._samples}
        # Of the same depth each: how the drawing's own light bends with the depth is its parabola's business.
        drawn = [self._drawn(offset) for offset in offsets]
        for one in signs:
            solved = []
            for offset in offsets:
                emitters = built_emitters(self._cabinet, replace(one, depth=offset))
                solved.append(self._of_modules((emitters.only(emitters.flux > 0), 1.0), offset=offset))
            for side, field in fields.items():
                changes = [lit[side] - own[side] for lit, own in zip(solved, drawn, strict=True)]
                ahead, behind = changes[0], changes[-1]
                slope = (ahead - behind) / (2 * self._most) if len(changes) > 1 else np.zeros_like(ahead)
                field.append(np.stack([(ahead + behind) / 2, slope]))
        return {side: np.array(some) for side, some in fields.items()}

    def _drawn(self, offset: float) -> dict[Side, Array]:
        """The drawing's light by the coarse mesh, the cabinet deeper; computed once. [lx]"""
        if offset not in self._drawings:
            self._drawings[offset] = self._of_modules((self._deeper(offset).emitters(), 1.0), offset=offset)
        return self._drawings[offset]

    @cached_property
    def of_drawing(self) -> dict[Side, tuple[Array, Array]]:
        """The drawing's light by the coarse mesh, and for each metre that the cabinet is deeper. [lx, lx/m]"""
        own = self._drawn(0.0)
        if not self._depths_differ:
            return {side: (field, np.zeros_like(field)) for side, field in own.items()}
        slope = _slope(self._drawn(self._most), self._drawn(-self._most), 2 * self._most)
        return {side: (field, slope[side]) for side, field in own.items()}


def _only(emitters: Emitters, module: int) -> Emitters:
    """One of some modules."""
    return emitters.only(np.arange(len(emitters)) == module)


def _slope(ahead: Mapping[Side, Array], behind: Mapping[Side, Array], step: float) -> dict[Side, Array]:
    """Of each face's light. [lx/m]"""
    return {side: (field - behind[side]) / step for side, field in ahead.items()}
