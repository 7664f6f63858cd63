"""What built signs differ in: how much, and one of them drawn.

Every sign has its own draw, by the seed and its number alone, so that any share of the signs may be drawn anywhere and
in any order. Each kind of spread has a stream of its own: one more of them leaves the others' draws as they were.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.rows import SAME_ROW, ListedModules, Rows
from lumsim.errors import InputError
from lumsim.search.layouts import with_depth

__all__ = [
    "MOST_SCATTER",
    "BuiltSign",
    "ModulePlace",
    "Spread",
    "built",
    "built_emitters",
    "bulge",
    "draw",
    "kept_inside",
    "module_places",
    "refuse_unfit",
    "ways_off",
]

Array = NDArray[np.float64]

CUT = 3.0
"""Standard deviations at which a module's flux is cut off. [1]"""

MOST_SCATTER = 0.5
"""The widest relative standard deviation of a module's flux. [1]"""


MOST_DEEPER, MOST_MOVED = 0.25, 0.25
"""Of the least throw: the most that faces may be off their depth, and modules off their places. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How much built signs differ from their drawing; what is 0 does not differ."""

    flux_scatter: float = 0.0
    """relative standard deviation of one module's flux: normal, cut at three of them, never below 0 [1]"""
    placing: float = 0.0
    """each module off its place along the row and across it, each evenly within ± so much [m]"""
    row_sag: float = 0.0
    """middle of a horizontal row on the back or in a plane lower than its ends, evenly from 0 to so much; vertical rows
    and rows on returns do not sag [m]"""
    depth: float = 0.0
    """depth of the built cabinet, evenly within ± so much; the modules keep their place above the back [m]"""
    bow: float = 0.0
    """bulge of each face in its middle, outwards or towards the modules, evenly within ± so much [m]"""
    dead_modules: int = 0
    """in each sign, any of them alike [1]"""

    def __post_init__(self) -> None:
        for name in ("placing", "row_sag", "depth", "bow"):
            if not 0 <= getattr(self, name) < np.inf:
                raise InputError(f"{name} must be a length of 0 or more, got {getattr(self, name):g} m")
        if not 0 <= self.flux_scatter <= MOST_SCATTER:
            raise InputError(f"flux_scatter must be from 0 to {MOST_SCATTER:g}, got {self.flux_scatter:g}")
        if self.dead_modules < 0:
            raise InputError(f"dead_modules must be 0 or more, got {self.dead_modules}")

    @property
    def any(self) -> bool:
        """Whether built signs differ at all."""
        return self != Spread()

    @property
    def moves_modules(self) -> bool:
        """Whether modules are off their places."""
        return self.placing > 0 or self.row_sag > 0

    @property
    def kinds(self) -> tuple[str, ...]:
        """Names of what differs."""
        return tuple(field.name for field in fields(self) if getattr(self, field.name) > 0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BuiltSign:
    """One sign as it was built."""

    number: int
    """from 1"""
    flux: Array
    """(n,) of each module over what it should be, 0 where it is dead [1]"""
    off: Array
    """(n, 3) of each module from its place, in the cabinet's axes [m]"""
    depth: float
    """of the cabinet, more than it should be [m]"""
    bow: tuple[float, float]
    """bulge of the front and the rear face in their middle, outwards above 0 [m]"""
    dead: tuple[int, ...]
    """which modules, from 0, rising"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModulePlace:
    """Which module of which row, all counted from 1."""

    group: int
    row: int
    """from the bottom or the left, on returns from the back"""
    module: int
    """along the row, from the left or the bottom"""
    x: float
    """[m]"""
    y: float
    """[m]"""


def draw(cabinet: Cabinet, spread: Spread, *, seed: int, number: int) -> BuiltSign:
    """Draw one sign.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    spread : Spread
    seed : int
        0 or more.
    number : int
        Of the sign, from 1.
    """

    def stream(kind: int) -> np.random.Generator:
        return np.random.default_rng([seed, number, kind])

    emitters = cabinet.emitters()
    n = len(emitters)
    flux = np.ones(n)
    if spread.flux_scatter > 0:
        flux = np.maximum(1 + spread.flux_scatter * _cut_normal(stream(0), n), 0.0)
    off = np.zeros((n, 3))
    along, across = ways_off(cabinet)
    if spread.placing > 0:
        shifts = stream(1).uniform(-spread.placing, spread.placing, (n, 2))
        off += shifts[:, :1] * along + shifts[:, 1:] * across
    if spread.row_sag > 0:
        rows, share = _sagging(cabinet)
        sags = stream(2).uniform(0.0, spread.row_sag, int(rows.max()) + 1)
        off[:, 1] -= sags[rows] * share
    depth = float(stream(3).uniform(-spread.depth, spread.depth)) if spread.depth > 0 else 0.0
    bow = stream(4).uniform(-spread.bow, spread.bow, 2) if spread.bow > 0 else np.zeros(2)
    dead: tuple[int, ...] = ()
    if spread.dead_modules > 0:
        dead = tuple(int(one) for one in np.sort(stream(5).permutation(n)[: spread.dead_modules]))
        flux[list(dead)] = 0.0
    kept = kept_inside(cabinet, off)
    return BuiltSign(
        number=number, flux=flux, off=kept, depth=depth, bow=(float(bow[0]), float(bow[1])), dead=dead
    )


def _cut_normal(stream: np.random.Generator, n: int) -> Array:
    """Normal draws; those beyond ``CUT`` are drawn again."""
    drawn = stream.standard_normal(n)
    while (beyond := np.abs(drawn) > CUT).any():
        drawn[beyond] = stream.standard_normal(int(beyond.sum()))
    return drawn


def kept_inside(cabinet: Cabinet, off: Array) -> Array:
    """Shifts cut so that no module gets nearer to a wall than half its own size, unless it stands there already.

    Parameters
    ----------
    cabinet : Cabinet
        Of n modules.
    off : (n, 3)
        From their places. [m]
    """
    box, emitters = cabinet.box, cabinet.emitters()
    radius = np.array([max(float(np.hypot(*led)) for led in kind.leds) for kind in emitters.kinds])
    room = radius[emitters.kind][:, None]
    ends = np.array([box.width, box.height, box.depth])
    spare = np.array([0.0, 0.0, LEAST_THROW])
    places = emitters.places
    low = np.minimum(places, room + spare * cabinet.double_sided)
    high = np.maximum(places, ends - room - spare)
    return np.asarray(np.clip(places + off, low, high) - places)


def ways_off(cabinet: Cabinet) -> tuple[Array, Array]:
    """Along each module's row and across it, on what it is on, as (n, 3) unit vectors.

    Parameters
    ----------
    cabinet : Cabinet
    """
    along, across = [], []
    for group in cabinet.groups:
        on = cabinet.mounting(group).on
        axes = np.eye(3)
        first = axes[0] if group.direction == "horizontal" else axes[1]
        second = axes[2] if on in RETURNS else axes[1] if group.direction == "horizontal" else axes[0]
        count = len(group)
        along.append(np.tile(first, (count, 1)))
        across.append(np.tile(second, (count, 1)))
    return np.concatenate(along), np.concatenate(across)


def _rows_in(group: Rows | ListedModules) -> NDArray[np.intp]:
    """(n,) which row of its group each module is in, from 0."""
    if isinstance(group, Rows):
        return np.repeat(np.arange(group.rows.count), group.modules.count)
    across = group.placed.y if group.direction == "horizontal" else group.placed.x
    order = np.argsort(across, kind="stable")
    rows = np.zeros(len(across), dtype=np.intp)
    rows[order] = np.concatenate([[0], np.cumsum(np.diff(across[order]) > SAME_ROW)])
    return rows


def _sagging(cabinet: Cabinet) -> tuple[NDArray[np.intp], Array]:
    """(n,) the row of each module in the whole cabinet, and how much of the row's sag it has, from 0 to 1."""
    rows, shares, before = [], [], 0
    for group in cabinet.groups:
        own = _rows_in(group)
        x = group.emitters().x
        share = np.zeros(len(x))
        if group.direction == "horizontal" and cabinet.mounting(group).on not in RETURNS:
            for row in range(int(own.max()) + 1):
                chosen = own == row
                middle, half = (x[chosen].max() + x[chosen].min()) / 2, np.ptp(x[chosen]) / 2
                share[chosen] = 1 - ((x[chosen] - middle) / half) ** 2 if half > 0 else 0.0
        rows.append(own + before)
        shares.append(share)
        before += int(own.max()) + 1
    return np.concatenate(rows), np.concatenate(shares)


def module_places(cabinet: Cabinet) -> tuple[ModulePlace, ...]:
    """Where each module is, in the cabinet's order.

    Parameters
    ----------
    cabinet : Cabinet
    """
    found: list[ModulePlace] = []
    for number, group in enumerate(cabinet.groups, start=1):
        rows, emitters = _rows_in(group), group.emitters()
        place = emitters.x if group.direction == "horizontal" else emitters.y
        order = np.zeros(len(rows), dtype=np.intp)
        for row in range(int(rows.max()) + 1):
            chosen = np.nonzero(rows == row)[0]
            order[chosen[np.argsort(place[chosen], kind="stable")]] = np.arange(len(chosen))
        found += [
            ModulePlace(group=number, row=int(row) + 1, module=int(module) + 1, x=float(x), y=float(y))
            for row, module, x, y in zip(rows, order, emitters.x, emitters.y, strict=True)
        ]
    return tuple(found)


def built_emitters(cabinet: Cabinet, sign: BuiltSign) -> Emitters:
    """The modules of a built sign, dead ones among them without flux.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    sign : BuiltSign
    """
    deeper = with_depth(cabinet, cabinet.box.depth + sign.depth) if sign.depth else cabinet
    emitters = deeper.emitters()
    dx, dy, dz = sign.off.T
    return replace(
        emitters, x=emitters.x + dx, y=emitters.y + dy, z=emitters.z + dz, flux=emitters.flux * sign.flux
    )


def built(cabinet: Cabinet, sign: BuiltSign) -> Cabinet:
    """A built sign as a cabinet of its own, its faces flat and its dead modules left out.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    sign : BuiltSign
    """
    emitters = built_emitters(cabinet, sign)
    lit = ListedModules(direction=cabinet.direction, placed=emitters.only(emitters.flux > 0))
    box = replace(cabinet.box, depth=cabinet.box.depth + sign.depth)
    return replace(cabinet, box=box, groups=(lit,), obstructions=())


def bulge(cabinet: Cabinet, x: Array, y: Array) -> Array:
    """Share of a face's bow at each point of a lattice, (ny, nx): 1 in the middle, 0 at the returns. [1]

    Parameters
    ----------
    cabinet : Cabinet
    x, y : (nx,) and (ny,)
        [m]
    """
    box = cabinet.box
    return np.asarray(np.outer(1 - (2 * y / box.height - 1) ** 2, 1 - (2 * x / box.width - 1) ** 2))


def refuse_unfit(cabinet: Cabinet, spread: Spread) -> None:
    """Refuse a spread that this cabinet cannot have.

    Parameters
    ----------
    cabinet : Cabinet
    spread : Spread

    Raises
    ------
    InputError
    """
    count = cabinet.modules
    throw = min(float(cabinet.throws(side).min(initial=cabinet.box.depth)) for side, _ in cabinet.faces)
    if spread.dead_modules >= count:
        raise InputError(
            f"dead_modules = {spread.dead_modules} leaves none of the {count} modules lit: give at most {count - 1}"
        )
    if not spread.depth + spread.bow <= MOST_DEEPER * throw:
        raise InputError(
            f"depth and bow together, {(spread.depth + spread.bow) * 1000:.4g} mm, are more than a quarter of the "
            f"least throw, {throw * 1000:.4g} mm: at most {MOST_DEEPER * throw * 1000:.4g} mm can be taken for a "
            "tolerance; try another depth by --set cabinet.depth"
        )
    if not spread.placing + spread.row_sag <= MOST_MOVED * throw:
        raise InputError(
            f"placing and row_sag together, {(spread.placing + spread.row_sag) * 1000:.4g} mm, are more than a quarter "
            f"of the least throw, {throw * 1000:.4g} mm: at most {MOST_MOVED * throw * 1000:.4g} mm can be taken for a "
            "tolerance"
        )
    if spread.row_sag and not _sagging(cabinet)[1].any():
        raise InputError(
            "no row of this cabinet sags: row_sag is of horizontal rows of three modules or more, on the back or in a "
            "plane; leave it out"
        )
