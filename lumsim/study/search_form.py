"""The keys of a study file's [search] tables: what they mean, their defaults, what is refused."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from lumsim.study.table import Table
from lumsim.study.values import Count, Flag, Number, Size, Span

__all__ = ["EdgeForm", "PlaneForm", "SearchForm"]

MOST_LINES = 400
"""Of a plane, either way. [1]"""


class PitchForm(Table):
    """The widest row pitch that meets the requirement."""

    depths: list[Size] = Field(default=[], description="depths to search besides the cabinet's own")


class DepthForm(Table):
    """The least depth at which the rows, left where they are, meet the requirement."""

    within: Span | None = Field(
        default=None,
        description="least and most depth to look at; throws from a fifth to three of the row pitch unless said",
    )


class FewestForm(Table):
    """The fewest modules, watts or rows that meet the requirement in this cabinet."""

    of: Literal["modules", "watts", "rows"] = Field(
        default="modules", description="what there are to be fewest of"
    )
    row_pitch: Span | None = Field(
        default=None, description="least and most row pitch; from half to three throws unless said"
    )
    module_pitch: Span | None = Field(
        default=None, description="least and most module pitch; from half to three throws unless said"
    )
    edge_distance: Span | None = Field(
        default=None,
        description="least and most from the outermost rows, and from the outermost modules, to the returns; from a "
        "quarter to three quarters of their pitch unless said",
    )
    directions: Annotated[list[Literal["horizontal", "vertical"]], Field(min_length=1)] | None = Field(
        default=None, description="which ways rows may run; as they do unless said"
    )
    staggered: Annotated[list[Flag], Field(min_length=1)] | None = Field(
        default=None, description="[false, true] tries straight and staggered rows; as they are unless said"
    )


class EdgeForm(Table):
    """The edge distance at which so many rows light the face best."""

    count: Count | None = Field(default=None, description="how many rows; as many as there are unless said")
    within: Span | None = Field(
        default=None,
        description="least and most edge distance to look at; from a tenth of the even pitch, extent over count, to "
        "all of it unless said",
    )


class PlaneForm(Table):
    """Evenness over the whole plane of row pitch and depth."""

    pitches: Span | None = Field(
        default=None, description="least and most row pitch; half to twice the rows' own unless said"
    )
    depths: Span | None = Field(
        default=None, description="least and most depth; half to twice the cabinet's own unless said"
    )
    pitch_count: Annotated[int, Number(least=2, most=MOST_LINES, whole=True)] = Field(
        default=20, description="how many pitches, evenly spaced"
    )
    depth_count: Annotated[int, Number(least=2, most=MOST_LINES, whole=True)] = Field(
        default=20, description="how many depths, evenly spaced"
    )


class SearchForm(Table):
    """What `lumsim search` is to answer; without a question the widest row pitch."""

    group: Count | None = Field(
        default=None, description="which group of rows moves, from 1; needed where there are several"
    )
    step: Size | None = Field(
        default=None,
        description="what a layout to build is rounded to; a tape measure's marks unless said, 1/16 in or 1 mm",
    )
    pitch: PitchForm | None = Field(default=None, description="the widest row pitch at this depth")
    depth: DepthForm | None = Field(default=None, description="the least depth at this row pitch")
    fewest: FewestForm | None = Field(default=None, description="the fewest modules, watts or rows")
    edge: EdgeForm | None = Field(default=None, description="the best edge distance of so many rows")
    plane: PlaneForm | None = Field(default=None, description="evenness over row pitch and depth")
