"""One face or two, in words: which face is told of, how both stand, which one decides."""

from __future__ import annotations

from lumsim.report.numbers import limit_words, ratio, significant
from lumsim.simulation import LitFace, Simulation
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.units import Units, format_size

__all__ = ["both_faces_lines", "evenness_heading", "face_words", "outside_heading", "requirement_words"]

ALWAYS_TOLD = ("max_to_min", "stripe_max_to_min", "edge_dimming")
"""Numbers that both faces' table tells whether or not they are limited."""


def _told_apart(simulation: Simulation) -> bool:
    return simulation.rear is not None and not simulation.cabinet.mirrored_faces


def evenness_heading(simulation: Simulation, units: Units) -> list[str]:
    """Whose evenness is told: the face's, that of two mirror images, or the worse face's.

    Parameters
    ----------
    simulation : Simulation
    units : {"in", "mm"}
    """
    worse = simulation.worse
    size = format_size((worse.visible.width, worse.visible.height), units)
    if simulation.rear is None:
        return [f"Evenness of the visible face, {size}"]
    if not _told_apart(simulation):
        return [f"Evenness of each visible face, {size}: front and rear are lit as mirror images"]
    heading = f"Evenness of the {worse.side} face, {size} visible, the worse of the two"
    places = ["  (places on it are counted as seen from the front)"] if worse.side == "rear" else []
    return [heading, *places]


def face_words(simulation: Simulation) -> str:
    """What the worse face is called in a sentence; with its side where the two differ."""
    if _told_apart(simulation):
        return f"the {simulation.worse.side} face"
    return "the face" if simulation.rear is None else "each face"


def outside_heading(simulation: Simulation) -> str:
    """Which face is seen, and from where."""
    if _told_apart(simulation):
        return f"{simulation.worse.side.capitalize()} face, seen from outside"
    return "Seen from in front" if simulation.rear is None else "Each face, seen from outside"


def both_faces_lines(simulation: Simulation) -> list[str]:
    """How both faces stand, side by side; nothing where there is one, or they are mirror images."""
    if not _told_apart(simulation):
        return []
    faces = simulation.faces
    limited = {one.name for one in simulation.worse.verdict.judged}
    told = {*ALWAYS_TOLD, *UNITS}  # luminance has rows of its own
    names = [*ALWAYS_TOLD, *(name for name in NAMES if name in limited and name not in told)]
    rows = [(NAMES[name], [_number(lit, name) for lit in faces]) for name in names]
    rows.append(("mean [cd/m²]", [significant(lit.evenness.mean, 4) for lit in faces]))
    if "darkest_luminance" in limited:
        rows.append(("lowest [cd/m²]", [significant(lit.evenness.darkest_luminance, 4) for lit in faces]))
    if limited:
        rows.append(("requirement", ["met" if lit.verdict.met else "NOT met" for lit in faces]))
    lines = [f"{'Both faces':<22}{faces[0].side:>9}{faces[1].side:>9}"]
    return lines + [f"  {title:<20}{front:>9}{rear:>9}" for title, (front, rear) in rows]


def _number(lit: LitFace, name: str) -> str:
    judged = {one.name: one for one in lit.verdict.judged}
    return limit_words(judged[name])[0] if name in judged else ratio(getattr(lit.evenness, name))


def requirement_words(simulation: Simulation) -> str:
    """Whether the requirement is met, and where there are two faces by which; what decides stands behind it."""
    met = simulation.verdict.met
    if simulation.rear is None:
        return "requirement met;" if met else "requirement NOT met;"
    if not _told_apart(simulation):
        return "requirement met by both faces;" if met else "requirement NOT met by either face;"
    side = simulation.worse.side
    if met:
        return f"requirement met by both faces; the {side} face decides:"
    (other,) = (lit for lit in simulation.faces if lit.side != side)
    if other.verdict.met:
        return f"requirement NOT met by the {side} face (the {other.side} face meets it):"
    return f"requirement NOT met by either face; the {side} face is the worse:"
