"""Where everything goes on a building plan: paper, scale, room around the cabinet, notes and key. Paper in inches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError
from lumsim.pictures import look
from lumsim.pictures.building_brackets import Brackets, brackets
from lumsim.pictures.building_chains import LetteredChain, lettered_chains
from lumsim.pictures.building_feeds import FeedNumber, FeedPoint, feed_numbers, feed_points
from lumsim.pictures.building_key import building_key
from lumsim.pictures.building_marks import MarkSizes, ModuleShapes, PlanRow, RowLine, module_shapes
from lumsim.pictures.building_numbers import RowNumbers, row_numbers
from lumsim.pictures.building_section import SectionPlan, section_plan
from lumsim.pictures.building_supplies import PlanSupply, SupplyBoxes, supply_boxes
from lumsim.pictures.dimension_lines import Axis
from lumsim.pictures.drawing_paper import RATIOS, Paper, inches_per_metre, papers
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.sheet import PAD, KeyEntry, key_height, key_rows
from lumsim.pictures.title_strip import STRIP_HEIGHT
from lumsim.units import Units

__all__ = ["FRONT", "INSET", "BuildingLayout"]

FRONT: Final = "seen from in front"
"""What stands above the cabinet."""
INSET: Final = 0.15
"""Between the frame of the sheet and what is drawn in it. [in]"""
_CAPTION: Final = 0.3
"""Above a view. [in]"""
_BESIDE: Final = 0.4
"""Between the cabinet with its numbers and the section. [in]"""
_LETTER: Final = 0.25
"""Beyond the cabinet, for the letters of dimension lines. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildingLayout:
    """Where everything goes."""

    cabinet: Cabinet
    units: Units
    paper: Paper
    ratio: int
    """how many times smaller the drawing is [1]"""
    lines: list[RowLine]
    shapes: ModuleShapes
    sizes: MarkSizes
    numbers: tuple[RowNumbers, RowNumbers]
    """of horizontal rows, of vertical rows"""
    chains: list[LetteredChain]
    feed_points: list[FeedPoint]
    feed_numbers: list[FeedNumber]
    brackets: list[Brackets]
    """which supplies feed which rows, where numbers beside feed points do not tell"""
    supplies: SupplyBoxes
    section: SectionPlan
    front: tuple[float, float]
    """the cabinet's lower left corner [in]"""
    section_at: tuple[float, float]
    """the lower end of what is at the section's rear [in]"""
    notes: list[str]
    notes_top: float
    """[in]"""
    strip_top: float
    """of supplies whose place is not told [in]"""
    key: list[list[KeyEntry]]
    key_top: float
    """[in]"""

    @property
    def scale(self) -> float:
        """[in of paper for 1 m]"""
        return inches_per_metre(self.ratio)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the cabinet. [in]"""
        return self.cabinet.box.width * self.scale, self.cabinet.box.height * self.scale

    def out(self, axis: Axis) -> float:
        """Where dimension lines may begin below the cabinet (x) or on its left (y). [in]"""
        horizontal, vertical = self.numbers
        return (vertical if axis == "x" else horizontal).room

    @staticmethod
    def of(
        cabinet: Cabinet, rows: Sequence[PlanRow], supplies: Sequence[PlanSupply], units: Units
    ) -> BuildingLayout:
        """Lay out a plan as large as a usual scale allows, on lying paper unless it is larger on upright paper.

        Parameters
        ----------
        cabinet : Cabinet
        rows : sequence of PlanRow
        supplies : sequence of PlanSupply
        units : {"in", "mm"}

        Raises
        ------
        InputError
            Where it fits on no paper at no scale.
        """
        emitters = cabinet.emitters()
        lines = [RowLine.of(row, emitters) for row in rows]
        section = section_plan(cabinet, units)
        for ratio in RATIOS[units]:
            for paper in papers(units):
                laid = _laid_out(cabinet, lines, supplies, section, units, paper, ratio)
                if laid is not None:
                    return laid
        raise InputError("the building plan has no room on its paper at any usual scale")


def _laid_out(
    cabinet: Cabinet,
    lines: list[RowLine],
    supplies: Sequence[PlanSupply],
    section: SectionPlan,
    units: Units,
    paper: Paper,
    ratio: int,
) -> BuildingLayout | None:
    """Lay out at a scale on a paper; None where there is no room."""
    scale = inches_per_metre(ratio)
    width, height = cabinet.box.width * scale, cabinet.box.height * scale
    room_across, room_up = paper.width - 2 * (PAD + INSET), paper.height - 2 * PAD - INSET - STRIP_HEIGHT
    if width > room_across or height > room_up:
        return None
    horizontal = row_numbers(lines, "horizontal", height, scale=scale)
    vertical = row_numbers(lines, "vertical", width, scale=scale)
    chains, chain_notes = lettered_chains(cabinet, [one.row for one in lines], scale=scale, units=units)
    left, below = (
        max(_LETTER, numbers.room + 0.05 + sum(one.chain.room for one in chains if one.axis == axis))
        for axis, numbers in (("y", horizontal), ("x", vertical))
    )
    sizes = MarkSizes.of(lines, scale=scale)
    boxes = supply_boxes(supplies, cabinet, room_across, scale=scale)
    points = feed_points(lines, sizes, (width, height), scale=scale)
    feeds, missing = feed_numbers(
        points,
        lines,
        sizes,
        (0.02, 0.02, width - 0.02, height - 0.02),
        [one.label for one in boxes.placed],
        scale=scale,
    )
    fed: list[Brackets] = []
    if sizes.dense or missing:
        # Among close rows one cannot see which number belongs to which mark.
        feeds = [] if sizes.dense else feeds
        fed = [
            brackets(lines, "horizontal", height, scale=scale),
            brackets(lines, "vertical", width, scale=scale),
        ]
    across, up = (one.room for one in fed) if fed else (0.0, 0.0)
    right = max(horizontal.room + across, 0.12)
    column = max(left + width + right, left + text_width(FRONT, look.TICK))
    block = column + _BESIDE + section.width(scale)
    above = vertical.room + up + _CAPTION
    block_height = above + height + max(below, section.below)

    shapes = module_shapes(cabinet.emitters(), scale=scale)
    told = [
        "at both ends of a row: its number",
        *(f"numbered of {one.direction} rows: {one.told}" for one in (horizontal, vertical) if one.told),
        *chain_notes,
        *section.notes,
        *(["brackets beyond the row numbers: the supplies that feed these rows"] if fed else []),
        *(f"named of the brackets of {one.direction} rows: {one.told}" for one in fed if one.told),
        *boxes.notes,
    ]
    notes = wrapped("; ".join(told), look.TICK, room_across)
    key = key_rows(building_key(cabinet, lines, shapes, boxes), room_across)
    key_top = PAD + STRIP_HEIGHT + 0.08 + key_height(key)
    notes_top = key_top + 0.06 + len(notes) * line_height(look.TICK)
    strip_top = notes_top + 0.08 + boxes.strip_height
    free = paper.height - PAD - INSET - strip_top
    if block > room_across or block_height > free:
        return None
    x = PAD + INSET + (room_across - block) / 2 + left
    y = strip_top + (free - block_height) / 2 + block_height - above - height
    return BuildingLayout(
        cabinet=cabinet,
        units=units,
        paper=paper,
        ratio=ratio,
        lines=lines,
        shapes=shapes,
        sizes=sizes,
        numbers=(horizontal, vertical),
        chains=chains,
        feed_points=points,
        feed_numbers=feeds,
        brackets=fed,
        supplies=boxes,
        section=section,
        front=(x, y),
        section_at=(x - left + column + _BESIDE + 0.2, y),
        notes=notes,
        notes_top=notes_top,
        strip_top=strip_top,
        key=key,
        key_top=key_top,
    )
