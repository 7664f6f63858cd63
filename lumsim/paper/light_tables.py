"""A lit face in tables: evenness, luminance, where the lumens went, what stands out."""

from __future__ import annotations

from lumsim.report.columns import Block
from lumsim.report.faces_text import evenness_heading, outside_heading
from lumsim.report.flux_text import flux_rows, straight_words
from lumsim.report.light_text import evenness_rows
from lumsim.report.numbers import limit_told, limit_words, significant, spared
from lumsim.report.spots_text import MOST_STRIPES, ends_of
from lumsim.simulation import LitFace, Simulation
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import Verdict
from lumsim.uniformity.spots import MOST_TOLD, Spot
from lumsim.units import Units, format_length

__all__ = ["evenness_block", "flux_block", "luminance_block", "requirement_block", "spots_blocks"]


def requirement_block(verdict: Verdict, which: str) -> Block:
    """Each limit, the number that it is set to, and how much is to spare.

    Parameters
    ----------
    verdict : Verdict
    which : str
        What it is a verdict on.
    """
    rows = []
    for one in verdict.judged:
        actual, _ = limit_words(one)
        rows.append(
            [
                NAMES[one.name],
                limit_told(one.name, one.limit).removeprefix(f"{NAMES[one.name]} "),
                actual,
                spared(one),
            ]
        )
        rows[-1].append("met" if one.met else "NOT met")
    return Block(
        head=which, heads=["number", "required", "computed", "margin, of the limit", "state"], rows=rows
    )


def evenness_block(simulation: Simulation, units: Units) -> Block:
    """The worse face's evenness.

    Parameters
    ----------
    simulation : Simulation
    units : {"in", "mm"}
    """
    head, *leads = evenness_heading(simulation, units)
    return Block(
        head=head,
        leads=[lead.strip() for lead in leads],
        heads=["number", "value [1]", "what it is"],
        rows=[[title, value, explained] for title, value, _, explained in evenness_rows(simulation, units)],
    )


def luminance_block(simulation: Simulation, units: Units) -> Block:
    """Luminance of the worse face, the illuminance behind it, and where.

    Parameters
    ----------
    simulation : Simulation
    units : {"in", "mm"}
    """
    even = simulation.evenness
    rows = [["mean", *_levels(simulation, even.mean), ""]]
    for name, one in (("brightest", even.brightest), ("darkest", even.darkest)):
        place = f"{format_length(one.x, units)} from left, {format_length(one.y, units)} from bottom"
        rows.append([name, *_levels(simulation, one.value), place])
    return Block(
        head=outside_heading(simulation), heads=["", "luminance", "illuminance behind it", "at"], rows=rows
    )


def _levels(simulation: Simulation, luminance: float) -> list[str]:
    behind = simulation.illuminance(luminance)
    return [f"{significant(luminance, 4)} cd/m²", f"{significant(behind, 4)} lx"]


def flux_block(simulation: Simulation) -> Block:
    """Where the lumens went.

    Parameters
    ----------
    simulation : Simulation
    """
    emitted = simulation.ledger.emitted
    return Block(
        head="Where the lumens went",
        heads=["", "lumens", "share", ""],
        rows=[
            [title, f"{significant(flux, 4)} lm", f"{flux / emitted * 100:.1f} %", more.lstrip(",: ")]
            for title, flux, more in flux_rows(simulation)
        ],
        notes=[straight_words(simulation)],
    )


def spots_blocks(lit: LitFace, units: Units) -> list[Block]:
    """Stripes, hot spots and dark spots of a face, numbered as its picture numbers them.

    Parameters
    ----------
    lit : LitFace
    units : {"in", "mm"}
    """
    spots = lit.spots
    least = f"contrast {percent(spots.least_contrast)} or more"
    even = lit.evenness
    blocks = []
    if spots.stripes:
        side = "bottom" if spots.direction == "horizontal" else "left"
        rows = [
            [
                " and ".join(map(str, stripe.rows)),
                f"{format_length(stripe.position, units)} from {side}",
                f"{significant(stripe.luminance, 4)} cd/m²",
                percent(stripe.contrast),
            ]
            for stripe in spots.stripes[:MOST_STRIPES]
        ]
        more = len(spots.stripes) - len(rows)
        blocks.append(
            Block(
                head=f"Stripes, {least}: {len(spots.stripes)}",
                heads=["rows", "at", "luminance", "contrast"],
                rows=rows,
                notes=[f"and {more} more"] if more else [],
            )
        )
    else:
        blocks.append(Block(head=f"No stripe of {least}"))
    beside = " beside the stripes" if spots.stripes else ""
    if spots.lone_peak(even):
        blocks.append(Block(head=f"No hot spot of {least} beside the brightest place"))
    else:
        blocks.append(_spots("hot", spots.hot, spots.hot_not_listed, f"{beside}, {least}", units, even))
    blocks.append(_spots("dark", spots.dark, spots.dark_not_listed, f"{beside}, {least}", units, even))
    return blocks


def _spots(
    kind: str, found: tuple[Spot, ...], unlisted: int, which: str, units: Units, even: Evenness
) -> Block:
    count = len(found) + unlisted
    if not found:
        beside, _, least = which.rpartition(", ")
        return Block(head=f"No {kind} spot of {least}{beside}")
    far_end, own, other = ends_of(kind, even)
    shown = found[:MOST_TOLD]
    return Block(
        head=f"{kind.capitalize()} spots{which}: {count}",
        heads=["number", "from left", "from bottom", "luminance", "contrast"],
        rows=[
            [
                str(number),
                format_length(spot.x, units),
                format_length(spot.y, units),
                f"{significant(spot.luminance, 4)} cd/m²",
                percent(spot.contrast)
                + (f", the {own} place, against the {other}" if spot.saddle == far_end else ""),
            ]
            for number, spot in enumerate(shown, start=1)
        ],
        notes=[
            "of each other spot against the saddle on the way to a "
            + ("brighter" if kind == "hot" else "darker")
            + " one",
            *([f"and {count - len(shown)} more"] if count > len(shown) else []),
        ],
    )
