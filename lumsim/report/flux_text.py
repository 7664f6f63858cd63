"""Where the lumens went, as text."""

from __future__ import annotations

from lumsim.report.numbers import significant
from lumsim.simulation import Simulation
from lumsim.uniformity.names import percent

__all__ = ["flux_lines", "flux_rows", "straight_words"]


def flux_lines(simulation: Simulation) -> list[str]:
    """Where the lumens went, as text; see ``flux_rows``.

    Parameters
    ----------
    simulation : Simulation
    """
    told = flux_rows(simulation)
    emitted = simulation.ledger.emitted
    width = max(len(title) for title, _, _ in told) + 1
    lines = ["Where the lumens went"]
    for title, flux, more in told:
        share = f"{significant(flux, 4):>8} lm {flux / emitted * 100:>5.1f} %"
        lines.append(f"  {title:<{width}}{share}{more}")
    return [*lines, straight_words(simulation)]


def flux_rows(simulation: Simulation) -> list[tuple[str, float, str]]:
    """Where the lumens went: through each face and absorbed in each, in the returns, modules and back; each with more.

    Two faces that are mirror images share their lines; returns are told one by one where their reflectances
    are not all the same.

    Parameters
    ----------
    simulation : Simulation
    """
    ledger, cabinet = simulation.ledger, simulation.cabinet
    told: list[tuple[str, float, str]] = [("given by the modules", ledger.emitted, "")]
    if simulation.rear is None or cabinet.mirrored_faces:
        which, parts = ("face", "part") if simulation.rear is None else ("two faces, half each", "parts")
        visible = _visible(ledger.leaving_visible_face, parts)
        told.append((f"through the {which}", ledger.through_face, visible))
        if ledger.absorbed_film:
            films = "film" if simulation.rear is None else "two films"
            told.append((f"absorbed in the {films}", ledger.absorbed_film, ""))
        told.append((f"absorbed in the {which.partition(',')[0]}", ledger.absorbed_face, ""))
    else:
        told += [
            (f"through the {lit.side} face", lit.through_face, _visible(lit.leaving_visible_face, "part"))
            for lit in simulation.faces
        ]
        told += [
            (f"absorbed in the {lit.side} film", lit.absorbed_film, "")
            for lit in simulation.faces
            if lit.absorbed_film
        ]
        told += [(f"absorbed in the {lit.side} face", lit.absorbed_face, "") for lit in simulation.faces]
    told.append(("absorbed in the returns", ledger.absorbed_returns, _each_return(simulation)))
    if ledger.absorbed_modules > 0:
        told.append(("absorbed in the modules themselves", ledger.absorbed_modules, ""))
    if simulation.patches == 0:
        told.append(("thrown back, not followed", ledger.not_followed, ""))
    elif not cabinet.double_sided:
        told.append(("absorbed in the back", ledger.absorbed_back, ""))
    return told


def _visible(flux: float, parts: str) -> str:
    return f", of it {significant(flux, 4)} lm through the visible {parts}"


def _each_return(simulation: Simulation) -> str:
    box, ledger = simulation.cabinet.box, simulation.ledger
    sides = ("left", "right", "bottom", "top")
    if len(set(box.return_reflectances)) == 1:
        return ""
    each = (f"{side} {significant(getattr(ledger, f'absorbed_{side}_return'), 4)} lm" for side in sides)
    return ": " + ", ".join(each)


def straight_words(simulation: Simulation) -> str:
    """How much of the light on the visible face came straight from the modules."""
    if simulation.rear is None or simulation.cabinet.mirrored_faces:
        which = "the visible face" if simulation.rear is None else "each visible face"
        return f"Of the light on {which} {percent(simulation.direct_share)} came straight from the modules"
    front, rear = (percent(lit.direct_share) for lit in simulation.faces)
    return (
        f"Of the light on the visible front face {front}, on the visible rear face {rear} came straight from "
        "the modules"
    )
