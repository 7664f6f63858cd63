"""How a submittal's numbers were computed, how exact they are, and what the method leaves out."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim import __version__
from lumsim.paper.document import Items, Part, Said, Table
from lumsim.report.columns import Block
from lumsim.report.light_text import rounded_up
from lumsim.report.notes import followed
from lumsim.report.numbers import significant
from lumsim.report.sentences import sentence
from lumsim.simulation import Simulation
from lumsim.study.reading import Study
from lumsim.study.submitting import Meshed, SubmittalAnswer
from lumsim.uniformity.names import NAMES
from lumsim.units import Units, format_length

__all__ = ["LIMITS_OF_THE_METHOD", "method_parts"]

CONVERGED = ("max_to_min", "stripe_max_to_min", "edge_dimming", "mean")
"""Numbers that are told for each mesh."""

DIRECT = (
    "Each module is a point that gives light by its beam. Direct light on the face is the sum over all "
    "modules of E = I(θ) cos β / d² (inverse-square and cosine law), exact at every point that is asked for."
)

THROWN_BACK = (
    "Light that back, returns and faces throw back is followed without end: the inside is cut into patches, "
    "what each sends to each other comes from the analytic area-to-area view factors of rectangles (Howell's "
    "catalogue of view factors, C-11 and C-14), and the balance of all patches is solved as one."
)

NOT_FOLLOWED = "Light thrown back is not followed in this paper."

SEEN = (
    "Luminance seen from in front is the illuminance behind the face × the transmittance of sheet and film / π. "
    "Extremes are looked for on a grid fine against throw and pitch, over the whole visible face with its edges and "
    "corners, and then polished to the point."
)

CHECKS = (
    "The tests of lumsim hold it against numbers from outside, or derived from published formulas, each with its "
    "source: closed forms of point "
    "sources and of endless rows and lattices; published view factors and the cavity table of the IES; the "
    "ladder of a fed string and the wire table of NEC chapter 9; its README lists check, source, expected and "
    "got"
)

LIMITS_OF_THE_METHOD: tuple[str, ...] = (
    (
        "Modules are points, or points for each of their LEDs, and cast no shadow; poles, rails and supplies "
        "inside the cabinet cast shadows that are not computed, so that the true max/min is then worse."
    ),
    (
        "The face is a perfect (Lambertian) diffuser: what a clear or partly diffusing sheet lets through "
        "directly, and how luminance changes with the angle of view, are not modelled."
    ),
    (
        "Transmittance and reflectance are those for diffuse light from inside. A data sheet's transmittance "
        "for straight incidence is commonly several points higher; with it the luminance told here is too "
        "high, the evenness little changed."
    ),
    (
        "Inside surfaces are perfect diffusers of one reflectance each; seams, brackets and print are not "
        "modelled."
    ),
    (
        "Modules of a kind are made alike. Made and built signs differ from drawings; how much that may matter is "
        "what a tolerance study and a mock-up are for."
    ),
    ("Colour, glare, flicker, heat, the strength of supports and whether codes are kept are not looked at."),
)


def method_parts(study: Study, answer: SubmittalAnswer) -> list[Part]:
    """How it was computed and how exact, and the limits of the method.

    Parameters
    ----------
    study : Study
    answer : SubmittalAnswer
    """
    own = answer.own
    parts: list[Part] = [
        Said(text=f"{DIRECT} {NOT_FOLLOWED if own.reflected is None else THROWN_BACK} {SEEN}"),
        Table(block=_grid_block(own, study.units), widths=(2, 3)),
    ]
    if answer.meshes:
        parts.append(Table(block=_meshes_block(answer.meshes, own)))
    parts += [
        Said(text=f"{CHECKS}. Computed by lumsim {__version__}."),
        Said(text="Limits of the method"),
        Items(items=(*_direct_only(own), *LIMITS_OF_THE_METHOD)),
    ]
    return parts


def _direct_only(own: Simulation) -> list[str]:
    return [] if own.reflected is not None else [sentence(followed(own))]


def _grid_block(own: Simulation, units: Units) -> Block:
    face, error, ledger = own.luminance, own.error, own.ledger
    step_x, step_y = face.steps
    rows = [
        ["points of the face", f"{len(face.x)} × {len(face.y)}"],
        ["between them", f"{format_length(step_x, units)} along x, {format_length(step_y, units)} along y"],
        ["patches of the inside", str(own.patches) if own.patches else "none: direct light only"],
        ["max/min may be off by", rounded_up(error.max_to_min)],
        ["stripes may be off by", rounded_up(error.stripe_max_to_min)],
        ["edge dimming may be off by", rounded_up(error.edge_dimming)],
        ["mean luminance may be off by", rounded_up(error.mean)],
        ["lumens unaccounted for", f"{abs(ledger.balance_error) * 100:.2g} % of those given"],
    ]
    if own.reflected is not None:
        rows.append(["largest row-sum defect of the view factors", f"{error.row_sum_defect:.2g}"])
    told_from = "half as fine a mesh" if own.patches else "every other point of the face"
    return Block(
        head=f"Grid and exactness; by how much numbers may be off is told from {told_from}",
        heads=["", ""],
        rows=rows,
    )


def _meshes_block(meshes: Sequence[Meshed], own: Simulation) -> Block:
    rows = []
    for one in meshes:
        # Of two faces the one that the paper tells of, by each mesh.
        even = one.simulation.on(own.worse.side).evenness
        numbers = [f"{getattr(even, name):.4f}" for name in CONVERGED[:-1]]
        used = " (used here)" if one.simulation is own else ""
        rows.append(
            [
                f"{one.patches_in_depth}{used}",
                str(one.simulation.patches),
                *numbers,
                f"{significant(even.mean, 6)} cd/m²",
            ]
        )
    return Block(
        head="Convergence: the same numbers by coarser and finer meshes",
        heads=["patches in the depth", "in all", *(NAMES.get(name, "mean luminance") for name in CONVERGED)],
        rows=rows,
    )
