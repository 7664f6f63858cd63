"""Every setting of a page lit and told of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Literal

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.rows import Rows
from lumsim.chunks import ALONE, Crew, in_chunks
from lumsim.errors import TooLargeError
from lumsim.page.face_bytes import FaceBytes, seen_as_bytes, size_for
from lumsim.pictures.face_profiles import profiles_of
from lumsim.report.document import requirement_part
from lumsim.report.light_text import evenness_rows, place_words, rounded_up, verdict_line
from lumsim.report.notes import followed, sees_a_period, warnings
from lumsim.report.numbers import significant
from lumsim.report.rows_text import rows_lines
from lumsim.report.sentences import sentence
from lumsim.search.trying import Progress
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.paging import PagePlan, Setting
from lumsim.study.reading import Study
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES
from lumsim.units import Units, format_length

__all__ = ["LitPage", "LitPart", "Told", "dots_for", "lit_page", "lit_part"]

RATIOS = tuple(one.name for one in fields(Evenness) if one.name in NAMES)
"""The numbers on evenness."""

WHOLE_BYTES, SETTING_BYTES = 1_400_000, 1_350
"""Of a page; of a setting's words, numbers and profile in it. [byte]"""

MOST_FACE_BYTES = 700_000
"""Of all faces together, before they become letters, of which four stand for three bytes. [byte]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One setting: all that a page says of it, as `lumsim light` does, and its face."""

    setting: Setting
    side: Side
    """of two faces the worse one"""
    direction: Literal["horizontal", "vertical"]
    """that the rows run"""
    met: bool
    """whether the requirement is met, by both faces, new and aged; true where there is none"""
    rows: str
    """how they are laid, in words"""
    row_count: int
    """of the rows that move; of all where none do [1]"""
    modules: int
    """[1]"""
    row_places: tuple[float, ...]
    """across the face, from the left or the bottom return [m]"""
    evenness: tuple[tuple[str, str, str], ...]
    """of each number its name, itself, and how it stands to its limit, as printed"""
    levels: tuple[str, str, str]
    """mean, highest and lowest luminance with their places, as printed"""
    verdict: str
    """as printed"""
    warnings: tuple[str, ...]
    sees_a_period: bool
    """whether the stripes number sees one whole period of the rows"""
    numbers: Mapping[str, float]
    """the numbers themselves, by the names of ``Evenness``; luminance in cd/m²"""
    requirement: Mapping[str, Any]
    """each limit judged, as in JSON"""
    face: FaceBytes
    error: float | None
    """by how much numbers may be off, where it was asked for [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LitPart:
    """One depth of a page: what one worker does at a time."""

    study: Study
    group: int | None
    """whose rows move, from 0; None: none do"""
    settings: tuple[tuple[Setting, Cabinet], ...]
    """in boxes of the same sizes"""
    with_error: frozenset[Setting]
    """of which it is told by how much numbers may be off"""
    size: tuple[int, int]
    """dots of a face"""
    lighting: Lighting


@dataclass(frozen=True, slots=True, kw_only=True)
class LitPage:
    """A study's page, lit."""

    plan: PagePlan
    told: Mapping[Setting, Told]
    """every setting, unless it was stopped"""
    finished: bool
    """whether Ctrl-C let it come to its end"""

    @property
    def own(self) -> Told:
        """The study itself."""
        return self.told[self.plan.own]

    @property
    def error(self) -> str:
        """By how much numbers may be off, where they were asked, in words."""
        return rounded_up(max(one.error for one in self.told.values() if one.error is not None))


def lit_page(
    plan: PagePlan, *, lighting: Lighting = ALL_LIGHT, crew: Crew = ALONE, progress: Progress | None = None
) -> LitPage:
    """Light every setting of a page.

    Parameters
    ----------
    plan : PagePlan
    lighting : Lighting
        How light is followed.
    crew : Crew
        Who does it; the page is the same to the last byte.
    progress : callable, optional

    Raises
    ------
    InputError
        Where rows cannot be laid at a pitch.
    TooLargeError
        Where a face or the inside would need too fine a grid.
    """
    visible = plan.study.cabinet.visible
    size = size_for(visible.width, visible.height, dots_for(plan.settings))
    last = len(plan.layings) - 1
    parts = []
    for depth in range(len(plan.depths)):
        settings = [
            Setting(laying=laying, depth=depth, walls=walls)
            for walls in range(len(plan.walls))
            for laying in range(len(plan.layings))
        ]
        corner = depth in {0, len(plan.depths) - 1}
        parts.append(
            LitPart(
                study=plan.study,
                group=plan.group,
                settings=tuple((one, plan.cabinet(one)) for one in settings),
                with_error=frozenset(
                    one for one in settings if one == plan.own or (corner and one.laying in {0, last})
                ),
                size=size,
                lighting=lighting,
            )
        )
    lit = in_chunks(lit_part, parts, crew=crew, progress=progress, what="depth")
    if progress is not None:
        progress(1.0, "done")
    return LitPage(
        plan=plan,
        told={one.setting: one for part in lit.done.values() for one in part},
        finished=lit.finished,
    )


def dots_for(settings: int) -> float:
    """How many dots a face may take, so that the page stays small enough to mail. [1]

    Parameters
    ----------
    settings : int
        [1]
    """
    left = 0.75 * (WHOLE_BYTES - SETTING_BYTES * settings)
    # Of a face a quarter is kept, see ``folded_or_coarser``.
    return 4 * min(MOST_FACE_BYTES, left) / settings


def lit_part(part: LitPart) -> tuple[Told, ...]:
    """Light one depth of a page at every pitch, by all walls.

    Parameters
    ----------
    part : LitPart
    """
    study, first = part.study, part.settings[0][1]
    depth = format_length(first.box.depth, study.units)
    try:
        interior = part.lighting.interior(first.box)
        return tuple(
            _told(
                part,
                setting,
                simulate(
                    cabinet,
                    study.requirement,
                    lighting=part.lighting,
                    interior=interior,
                    ageing=study.ageing,
                ),
            )
            for setting, cabinet in part.settings
        )
    except TooLargeError as error:
        raise TooLargeError(f"depth {depth}, which page.depths may leave out: {error}") from None


def _told(part: LitPart, setting: Setting, simulation: Simulation) -> Told:
    study, cabinet, even = part.study, simulation.cabinet, simulation.evenness
    units = study.units
    worse = simulation.worse
    across, _ = profiles_of(worse)

    places = (even.mean, even.brightest.value, even.darkest.value)
    mean, brightest, darkest = (f"{significant(value, 4)} cd/m²" for value in places)
    return Told(
        setting=setting,
        side=worse.side,
        direction=worse.direction,
        met=simulation.met,
        rows=_rows_told(cabinet, units),
        row_count=_rows_that_move(cabinet, part.group),
        modules=len(cabinet.emitters()),
        row_places=tuple(float(line) for line in cabinet.row_lines),
        evenness=tuple((title, value, state) for title, value, state, _ in evenness_rows(simulation, units)),
        levels=(
            mean,
            f"{brightest} {place_words(even.brightest.x, even.brightest.y, units)}",
            f"{darkest} {place_words(even.darkest.x, even.darkest.y, units)}",
        ),
        verdict=verdict_line(simulation),
        warnings=(followed(simulation), *study.remarks, *warnings(simulation, units)),
        sees_a_period=sees_a_period(worse),
        numbers={name: getattr(even, name) for name in RATIOS}
        | {"mean": even.mean, "highest": even.brightest.value, "lowest": even.darkest.value},
        requirement=requirement_part(simulation.deciding.verdict),
        face=seen_as_bytes(worse, across.mean, part.size),
        error=_error(simulation) if setting in part.with_error else None,
    )


def _rows_told(cabinet: Cabinet, units: Units) -> str:
    """How the rows are laid, each group in a sentence, as `lumsim light` tells them line by line."""
    groups: list[list[str]] = []
    for line in rows_lines(cabinet, units):
        if line.startswith("  rows"):
            head, told = line[:12].strip(), line[12:].strip()
            several = head.removeprefix("rows").strip()
            groups.append([f"group {several}: {told}" if several else told])
        else:
            groups[-1].append(line.strip())
    return " ".join(sentence("; ".join(told)) for told in groups)


def _rows_that_move(cabinet: Cabinet, group: int | None) -> int:
    """How many rows the pitch lays; where none move, of all. [1]"""
    moving = None if group is None else cabinet.groups[group]
    return moving.rows.count if isinstance(moving, Rows) else len(cabinet.row_lines)


def _error(simulation: Simulation) -> float:
    """The largest by which a number of a face may be off. [1]"""
    return max(
        max(one.max_to_min, one.stripe_max_to_min, one.edge_dimming, one.mean)
        for one in (lit.error for lit in simulation.faces)
    )
