"""The whole path in one screen: light a cabinet and look at its face, or at both."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.errors import BalanceError, InputError
from lumsim.light.direct import DirectLight, absorbed_in_modules, direct_flux, flux_on
from lumsim.light.exchange import Exchange
from lumsim.light.face_grid import face_grid
from lumsim.light.gathering import ReflectedLight
from lumsim.light.interior import Interior, interior_of
from lumsim.light.ledger import BALANCE, SURFACE, FluxLedger, balanced_arrivals, book
from lumsim.light.lit_inside import LitInside, light_inside
from lumsim.lit_face import LitFace
from lumsim.photometry import face_luminance
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.numerical_error import NumericalError, grid_error, mesh_error
from lumsim.uniformity.prominence import RowsRun
from lumsim.uniformity.requirement import Requirement, Verdict, judge, standing
from lumsim.uniformity.spots import Spots, find_spots
from lumsim.whole_light import SeenFace, WholeLight, light_on_face, whole_light

__all__ = [
    "ALL_LIGHT",
    "FINE",
    "USUAL",
    "Lighting",
    "LitFace",
    "Simulation",
    "simulate",
]

USUAL, FINE = 10, 14
"""Patches in the depth of the box, usually and where more digits are asked for. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lighting:
    """How light is followed."""

    direct_only: bool = False
    """leave out the light that the cabinet throws back"""
    patches_in_depth: int = USUAL
    """how finely the inside is cut for it, ``USUAL`` or ``FINE`` [1]"""

    def interior(self, box: Box) -> Interior | None:
        """The exchange inside a box; None where it is not followed."""
        return None if self.direct_only else interior_of(box, patches_in_depth=self.patches_in_depth)


ALL_LIGHT = Lighting()
"""Direct light and all that is thrown back, at the usual fineness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulation:
    """A lit cabinet, judged. Of two faces the worse one answers, unless one is asked for by name."""

    cabinet: Cabinet
    front: LitFace
    rear: LitFace | None
    """None: a single-faced cabinet"""
    ledger: FluxLedger
    patches: int
    """that the inside was cut into; 0 for direct light only [1]"""
    aged: Simulation | None = None
    """the same cabinet aged; None where no ageing is told of"""

    @property
    def deciding(self) -> Simulation:
        """The state that decides, new or aged: the one whose worse face stands lower; of equals the new one."""
        states = (self,) if self.aged is None else (self, self.aged)
        return min(states, key=lambda one: standing(one.evenness.max_to_min, one.verdict))

    @property
    def met(self) -> bool:
        """Whether the requirement is met on every face, new and aged; true where nothing is required."""
        return self.deciding.verdict.met

    @property
    def faces(self) -> tuple[LitFace, ...]:
        """Each face, the front first."""
        return (self.front,) if self.rear is None else (self.front, self.rear)

    @property
    def worse(self) -> LitFace:
        """The face with the least margin, or without a requirement the greater max/min; of equals the front.

        Its verdict is the cabinet's: where the worse face meets the requirement, both do.
        """
        return min(self.faces, key=lambda one: standing(one.evenness.max_to_min, one.verdict))

    def on(self, side: Side | None) -> LitFace:
        """The face on a side; None: the worse one.

        Raises
        ------
        InputError
            For the rear of a single-faced cabinet.
        """
        if side is None:
            return self.worse
        if side == "front":
            return self.front
        if self.rear is None:
            raise InputError("a single-faced cabinet has no rear face")
        return self.rear

    @property
    def direct(self) -> DirectLight:
        """Of the worse face."""
        return self.worse.direct

    @property
    def reflected(self) -> ReflectedLight | None:
        """Of the worse face; None: direct light only."""
        return self.worse.reflected

    @property
    def luminance(self) -> FaceMap:
        """Of the worse face's visible part, seen from outside. [cd/m²]"""
        return self.worse.luminance

    @property
    def evenness(self) -> Evenness:
        """Of the worse face."""
        return self.worse.evenness

    @property
    def spots(self) -> Spots:
        """Of the worse face."""
        return self.worse.spots

    @property
    def verdict(self) -> Verdict:
        """On the worse face; empty where nothing is required."""
        return self.worse.verdict

    @property
    def direct_share(self) -> float:
        """Of the light that arrives on the worse face's visible part. [1]"""
        return self.worse.direct_share

    @property
    def error(self) -> NumericalError:
        """Of the worse face's numbers."""
        return self.worse.error

    def reflected_at(self, x: Array, y: Array) -> Array:
        """Illuminance behind the worse face from light thrown back, in lux; 0 where it is not followed."""
        return self.worse.reflected_at(x, y)

    def illuminance(self, luminance: float) -> float:
        """Illuminance behind a point of the worse face of a given luminance, in lux."""
        return self.worse.illuminance(luminance)


def simulate(
    cabinet: Cabinet,
    requirement: Requirement | None = None,
    *,
    lighting: Lighting = ALL_LIGHT,
    interior: Interior | None = None,
    ageing: Ageing | None = None,
    samples_per_detail: float = 4.0,
    known: Sequence[WholeLight] = (),
) -> Simulation:
    """Light a cabinet, look at its face or at both, judge it.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement, optional
        What is good enough; also the stripe window and the contrast from which a spot is told.
    lighting : Lighting
        How light is followed.
    interior : Interior, optional
        The exchange of this cabinet's box, where it is known from another layout; else it is computed.
    ageing : Ageing, optional
        Light the cabinet aged too.
    samples_per_detail : float
        How fine a face is sampled, see ``light.face_grid``. [1]
    known : sequence of WholeLight
        The light of the cabinet new, and aged, where that was lit already: by the same requirement and as fine.

    Returns
    -------
    Simulation
        Of the cabinet new; with ageing it holds that of the aged one.

    Raises
    ------
    TooLargeError
        Where a face or the inside would need too fine a grid.
    InputError
        Where no light at all gets to a face.
    """
    requirement = requirement or Requirement()
    # What would be refused for its size is refused before the work.
    for side in cabinet.unlike_sides:
        face_grid(
            cabinet.visible_on(side),
            cabinet.sources(side),
            cabinet.box.depth,
            samples_per_detail=samples_per_detail,
        )
    if not lighting.direct_only:
        interior = interior or lighting.interior(cabinet.box)
    lit = iter(known)
    new = _simulated(cabinet, requirement, interior, samples_per_detail, next(lit, None))
    if ageing is None:
        return new
    old = aged(cabinet, ageing)
    if not ageing.levels_only:
        return replace(new, aged=_simulated(old, requirement, interior, samples_per_detail, next(lit, None)))
    factor = ageing.maintenance_factor
    front, rear = (
        None if face is None else face.scaled(factor, old, requirement) for face in (new.front, new.rear)
    )
    assert front is not None
    return replace(
        new, aged=replace(new, cabinet=old, front=front, rear=rear, ledger=new.ledger.scaled(factor))
    )


def _simulated(
    cabinet: Cabinet,
    requirement: Requirement,
    interior: Interior | None,
    samples_per_detail: float,
    known: WholeLight | None,
) -> Simulation:
    """Light one state of a cabinet; without an interior by direct light only."""
    whole = known or whole_light(cabinet, requirement, interior, samples_per_detail=samples_per_detail)
    inside = None
    if interior is not None and whole.inside is not None:
        # Errors are told of few of the many layouts that are simulated: what tells them waits until asked for.
        inside = _Inside(
            defect=_checked_defect(interior.fine.exchange),
            coarse=cache(partial(light_inside, cabinet, interior.coarse)),
        )
        arriving = balanced_arrivals(interior.fine.exchange, whole.inside.balanced)
        absorbed_modules = absorbed_in_modules(cabinet)
    else:
        flux = direct_flux(cabinet)
        arriving, absorbed_modules = flux.arrivals, flux.absorbed_modules
    lit = {
        side: _lit_face(cabinet, side, requirement, seen, inside, arriving, samples_per_detail)
        for side, seen in whole.faces.items()
    }
    if cabinet.mirrored_faces:
        lit["rear"] = replace(lit["front"], side="rear")
    visible = {side: face.arriving_visible for side, face in lit.items()}
    return Simulation(
        cabinet=cabinet,
        front=lit["front"],
        rear=lit.get("rear"),
        ledger=book(
            cabinet, arriving, visible, absorbed_modules=absorbed_modules, followed=inside is not None
        ),
        patches=0 if whole.inside is None else whole.inside.inside.mesh.patches,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """By what the light inside tells how exact it is."""

    defect: float
    """how far the fine mesh is from closed [1]"""
    coarse: Callable[[], LitInside]
    """lights it by half as fine a mesh, once"""


def _lit_face(
    cabinet: Cabinet,
    side: Side,
    requirement: Requirement,
    seen: SeenFace,
    inside: _Inside | None,
    arriving: Mapping[str, float],
    samples_per_detail: float,
) -> LitFace:
    face, visible = cabinet.face_on(side), cabinet.visible_on(side)
    straight = flux_on(cabinet.sources(side), cabinet.box.depth, visible)
    reflected, luminance, even = seen.reflected, seen.luminance, seen.evenness
    rows = RowsRun(direction=cabinet.direction, lines=len(cabinet.row_lines))
    by_map = even.mean * visible.area / face_luminance(1.0, face.outward_transmittance)

    @cache
    def spots() -> Spots:
        return find_spots(
            luminance,
            even,
            direction=cabinet.direction,
            row_lines=cabinet.row_lines,
            least_contrast=requirement.spot_contrast,
        )

    @cache
    def error() -> NumericalError:
        if inside is None or reflected is None:
            return grid_error(luminance, even, straight / by_map, rows)
        coarse = inside.coarse().reflected(side)
        return mesh_error(
            luminance,
            even,
            light_on_face(cabinet, coarse, side=side, samples_per_detail=samples_per_detail),
            rows,
            at_corners=reflected.error_at(even.darkest.x, even.darkest.y, face.reflectance),
            row_sum_defect=inside.defect,
        )

    on_visible = straight if reflected is None else by_map
    return LitFace(
        side=side,
        direction=cabinet.direction,
        face=face,
        visible=visible,
        direct=DirectLight(cabinet.sources(side), cabinet.box.depth),
        reflected=reflected,
        luminance=luminance,
        evenness=even,
        find_spots=spots,
        verdict=judge(even, requirement),
        direct_share=min(1.0, straight / on_visible),
        find_error=error,
        arriving=arriving[SURFACE[side]],
        arriving_visible=on_visible,
    )


def _checked_defect(exchange: Exchange) -> float:
    defect = exchange.row_sum_defect()
    if not defect < BALANCE:
        raise BalanceError(
            f"the exchange inside the box does not close: {defect:.3g} of a patch's light is unaccounted for; "
            "this is a fault of lumsim, please report it with the study"
        )
    return defect
