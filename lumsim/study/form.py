"""Every key of a study file: what it means, its default, what is refused. The JSON Schema for editors.

The form says what a file may say; whether the parts fit together is the business of ``building.py``.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field

from lumsim.beams.closed import LARGEST_EXPONENT, LARGEST_WIDTH
from lumsim.cabinet.modules import MOST_LEDS
from lumsim.study.naming import LimitName
from lumsim.study.page_form import PageForm
from lumsim.study.search_form import SearchForm
from lumsim.study.sheet_form import (
    CostsForm,
    ElectricsForm,
    PartForm,
    PowerForm,
    ServiceForm,
    StringForm,
    SupportsForm,
)
from lumsim.study.spread import ToleranceForm
from lumsim.study.submittal_form import SubmittalForm
from lumsim.study.table import Table
from lumsim.study.values import (
    Angle,
    BeamPoint,
    Count,
    CutOff,
    Faces,
    Flag,
    Led,
    Length,
    Number,
    Opening,
    Size,
    Tilt,
    Turn,
)
from lumsim.study.viewing_form import ViewingForm
from lumsim.uniformity.requirement import MOST_LUMINANCE
from lumsim.units import parse_length

__all__ = ["StudyForm", "study_schema"]

Share = Annotated[float, Number(least=0, most=1)]
Ratio = Annotated[float, Number(least=1, most=1e6)]
Luminance = Annotated[float, Number(above=0, most=MOST_LUMINANCE, unit="cd/m²")]
DEFAULT_MODULE_PITCH = "4 in"


class CabinetForm(Table):
    """Inside sizes of the cabinet."""

    width: Size = Field(description="inside, left to right")
    height: Size = Field(description="inside, bottom to top")
    depth: Size = Field(description="inside, back to face; double-sided: face to face")
    faces: Faces = Field(
        default=1, description="how many sides light leaves by: 1, with a back, or 2, double-sided"
    )


class InteriorForm(Table):
    """Diffuse reflectances of the inside, from 0 (black) to 1."""

    back_reflectance: Share = Field(default=0.85, description="of the back; a double-sided cabinet has none")
    return_reflectance: Share = Field(default=0.85, description="of every return not named itself")
    left_return_reflectance: Share | None = Field(default=None, description="of the left return")
    right_return_reflectance: Share | None = Field(default=None, description="of the right return")
    bottom_return_reflectance: Share | None = Field(default=None, description="of the bottom return")
    top_return_reflectance: Share | None = Field(default=None, description="of the top return")


class RearFaceForm(Table):
    """The rear face of a double-sided cabinet, where it is unlike the front; what is left out is the front's."""

    transmittance: Annotated[float, Number(above=0, most=1)] | None = Field(
        default=None, description="share of diffuse light from inside that goes through"
    )
    reflectance: Share | None = Field(
        default=None, description="share of diffuse light from inside that goes back inside"
    )
    visible_border: Length | None = Field(default=None, description="hidden by the retainer on every side")
    film_transmittance: Annotated[float, Number(above=0, most=1)] | None = Field(
        default=None, description="share of the light that a coloured film in front lets out"
    )


class FaceForm(Table):
    """The translucent face; of a double-sided cabinet the front one, and what the rear one does not say itself."""

    transmittance: Annotated[float, Number(above=0, most=1)] = Field(
        description="share of diffuse light from inside that goes through; a data sheet's value for straight "
        "incidence is several points higher"
    )
    reflectance: Share = Field(description="share of diffuse light from inside that goes back inside")
    visible_border: Length = Field(default=Fraction(0), description="hidden by the retainer on every side")
    film_transmittance: Annotated[float, Number(above=0, most=1)] = Field(
        default=1.0,
        description="share of the light that a coloured film in front lets out; on luminance only, what it throws "
        "back inside is not modelled",
    )
    rear: RearFaceForm | None = Field(
        default=None, description="what the rear face of a double-sided cabinet has of its own"
    )


class BeamForm(Table):
    """How a module's intensity falls off from its axis: a shape, a table, or a photometric file."""

    model_config = ConfigDict(
        json_schema_extra={"oneOf": [{"required": [name]} for name in ("shape", "table", "file")]}
    )

    shape: Literal["lambertian", "cosine-power", "wide", "uniform-plane"] | None = Field(
        default=None,
        description="lambertian: I = I0 cos; cosine-power: I = I0 cos^m; wide: I = I0 [(1 + a) cos - a cos^3], a the "
        "width; uniform-plane: I = I0 / cos^3 up to the cut-off, which lights a plane evenly",
    )
    exponent: Annotated[float, Number(least=0, most=LARGEST_EXPONENT)] | None = Field(
        default=None, description="m of a cosine power; 1 is Lambertian"
    )
    half_intensity_angle: Angle | None = Field(
        default=None,
        description="full angle between the directions of half intensity, instead of the exponent",
    )
    width: Annotated[float, Number(least=0, most=LARGEST_WIDTH)] | None = Field(
        default=None,
        description="a of a wide beam; 0 is Lambertian, above 0.5 it is brightest off its axis",
    )
    cut_off: CutOff | None = Field(
        default=None, description="of a uniform-plane beam, from the axis; at most 85 deg"
    )
    table: Annotated[list[BeamPoint], Field(min_length=2)] | None = Field(
        default=None,
        description="angles from the axis, rising from 0 deg, each with its intensity, in any unit; linear in "
        "between, nothing beyond the last",
    )
    file: str | None = Field(
        default=None, description="photometric file of LM-63 (.ies), beside the study file"
    )


class ModuleForm(Table):
    """One kind of module."""

    model_config = ConfigDict(
        json_schema_extra={
            "anyOf": [
                {"required": ["lumens"]},
                {"required": ["beam"], "properties": {"beam": {"required": ["file"]}}},
            ]
        }
    )

    lumens: Annotated[float, Number(above=0, most=1e6, unit="lm")] | None = Field(
        default=None,
        description="flux of one module; may be left out where the beam is a file, whose own flux then holds",
    )
    lumens_from: Literal["study", "file"] | None = Field(
        default=None, description="whose lumens hold where the beam is a file and lumens is given too"
    )
    watts: Annotated[float, Number(above=0, most=1e6, unit="W")] | None = Field(
        default=None, description="power of one module"
    )
    volts: Annotated[float, Number(above=0, most=1e6, unit="V")] | None = Field(
        default=None, description="supply voltage"
    )
    electrics: ElectricsForm = Field(
        default=ElectricsForm(), description="its current and its light at other voltages"
    )
    string: StringForm = Field(default=StringForm(), description="how it is delivered and cut")
    beam: BeamForm = Field(default=BeamForm(shape="lambertian"), description="beam of one module")
    leds: Annotated[list[Led], Field(min_length=1, max_length=MOST_LEDS)] | None = Field(
        default=None,
        description="place of each LED from the module's middle, along the module and across it; they share the "
        "lumens, and each has the beam",
    )
    opening: Opening | None = Field(
        default=None,
        description="length along the module and width across it of what shines, of one LED where there are several",
    )
    opening_diameter: Size | None = Field(
        default=None, description="of what shines where it is a disc, instead of opening"
    )


class RowsForm(Table):
    """One group of rows. How far apart: pitch, or count, or both, or one with edge_distance; or at; or positions."""

    module: str | None = Field(
        default=None, description="which kind; may be left out where there is one kind"
    )
    on: Literal["back", "plane", "left", "right", "bottom", "top"] | None = Field(
        default=None,
        description="what the rows are on: the back of a single-faced cabinet, a plane between two faces, or a return",
    )
    z: Length | None = Field(
        default=None,
        description="light-emitting plane above the back or the return, 0 unless said; in a plane between two faces "
        "above the rear face, half the depth unless said",
    )
    turn: Turn | None = Field(
        default=None,
        description="of each module about its own axis, counterclockwise seen from the side it lights; 0 unless said. "
        "A photometric file counts its planes clockwise seen from there, for type C counts them counterclockwise "
        "from behind the module, looking the way it shines: turned by 90 deg, plane 0 is where plane 270 was",
    )
    tilt: Tilt | None = Field(
        default=None,
        description="of each module about the line of its row: towards the top (vertical rows: the right), on a "
        "return towards the face; below 0 the other way; 0 unless said",
    )
    front_share: Share | None = Field(
        default=None,
        description="double-sided: share of each module's lumens that goes forward, 0.5 unless said",
    )
    direction: Literal["horizontal", "vertical"] = Field(
        default="horizontal",
        description="rows run along the width, or along the height; on a return they run along it",
    )
    pitch: Size | None = Field(
        default=None, description="row to row, on centre; on a return across the depth, as are the next three"
    )
    count: Count | None = Field(default=None, description="how many rows")
    edge_distance: Length | None = Field(
        default=None, description="outermost row to the return, at both ends; on a return to back and face"
    )
    at: Annotated[list[Length], Field(min_length=1)] | None = Field(
        default=None,
        description="position of each row, from the left or bottom return; on a return above the back or rear face",
    )
    positions: str | None = Field(
        default=None, description="CSV file with the place of each module, beside the study file"
    )
    module_pitch: Size | None = Field(
        default=None,
        description=f"module to module along a row, on centre; {DEFAULT_MODULE_PITCH} unless said",
    )
    module_count: Count | None = Field(default=None, description="how many modules along a row")
    module_edge_distance: Length | None = Field(
        default=None, description="outermost module of a row to the return, at both ends"
    )
    staggered: Flag = Field(
        default=False,
        description="alternate rows moved along by a quarter of the module pitch, one right (up), the next left (down)",
    )


class RequirementForm(Table):
    """What is good enough; each limit optional, judged on luminance along the face's normal."""

    max_to_min: Ratio | None = Field(default=None, description="whole visible face, at most")
    stripe_max_to_min: Ratio | None = Field(default=None, description="stripes, at most")
    edge_dimming: Ratio | None = Field(default=None, description="middle over darkest edge, at most")
    hot_spot_contrast: Share | None = Field(default=None, description="contrast of stripes and dots, at most")
    coefficient_of_variation: Annotated[float, Number(least=0, most=1e6)] | None = Field(
        default=None, description="at most"
    )
    min_to_mean: Annotated[float, Number(above=0, most=1)] | None = Field(
        default=None, description="at least"
    )
    max_luminance: Luminance | None = Field(
        default=None, description="mean of the visible face at full output, in cd/m², at most"
    )
    min_luminance: Luminance | None = Field(
        default=None, description="mean of the visible face at full output, in cd/m², at least"
    )
    darkest_luminance: Luminance | None = Field(
        default=None, description="lowest of the visible face at full output, in cd/m², at least"
    )
    wanted_luminance: Luminance | None = Field(
        default=None,
        description="mean of the visible face in cd/m², for which the lumens it takes are told; not judged",
    )
    named_limits: Annotated[list[LimitName], Field(min_length=1)] | None = Field(
        default=None,
        description="limits from standards and statutes, by name; of these and the study's own the tightest are judged",
    )
    stripe_window: Size | None = Field(
        default=None,
        description="side of the square over which stripes average away; the wider of row pitch and module pitch "
        "unless said, for listed positions and single rows twice the throw",
    )
    spot_contrast: Annotated[float, Number(least=0.001, most=0.9)] = Field(
        default=0.02, description="least contrast from which a spot or a stripe is told"
    )


class AgeingForm(Table):
    """What is left of the light of an aged cabinet; the requirement must then be met new and aged."""

    maintenance_factor: Annotated[float, Number(above=0, most=1)] = Field(
        default=1.0, description="on the lumens of every module"
    )
    dirt_factor: Annotated[float, Number(above=0, most=1)] = Field(
        default=1.0,
        description="on the inner reflectances of back, returns and faces; their transmittance stays",
    )


class ObstructionForm(Table):
    """Something inside the cabinet; its shadow is not computed yet, and the result says so."""

    x: Length = Field(description="left side, from the left return")
    y: Length = Field(description="lower side, from the bottom return")
    z: Length = Field(description="side nearest the back")
    width: Size = Field(description="left to right")
    height: Size = Field(description="bottom to top")
    depth: Size = Field(description="towards the face")


class StudyForm(Table):
    """A lumsim study: one cabinet and one question."""

    title: str | None = Field(default=None, description="what the sign is called")
    units: Literal["in", "mm"] = Field(
        default="in", description="for printing; every length carries its own unit"
    )
    cabinet: CabinetForm
    interior: InteriorForm = InteriorForm()
    face: FaceForm
    modules: Annotated[dict[str, ModuleForm], Field(min_length=1)] = Field(
        description="one table a kind of module"
    )
    rows: Annotated[list[RowsForm], Field(min_length=1)] = Field(description="one or more groups of rows")
    requirement: RequirementForm = RequirementForm()
    ageing: AgeingForm = AgeingForm()
    viewing: ViewingForm = ViewingForm()
    search: SearchForm = SearchForm()
    tolerance: ToleranceForm = ToleranceForm()
    power: PowerForm = PowerForm()
    supports: SupportsForm = SupportsForm()
    parts: Annotated[list[PartForm], Field(min_length=1)] | None = Field(
        default=None, description="small parts, in place of the usual ones"
    )
    costs: CostsForm = CostsForm()
    service: ServiceForm = ServiceForm()
    submittal: SubmittalForm = SubmittalForm()
    page: PageForm = PageForm()
    obstruction: list[ObstructionForm] = Field(default=[], description="things inside that cast shadows")


def study_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of a study file, for editors that complete and check TOML by it."""
    schema = StudyForm.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "lumsim study file"
    for table in (schema, *schema["$defs"].values()):
        for entry in table.get("properties", {}).values():
            # A default is shown to editors as a person would write it.
            if entry.get("default") is None:
                entry.pop("default", None)
            elif entry.get("type") == "string" and entry["default"] == "0":
                entry["default"] = "0 in"
            elif isinstance(entry["default"], dict):
                entry["default"] = {
                    key: value for key, value in entry["default"].items() if value is not None
                }
    return schema


DEFAULT_MODULE_PITCH_METRES = parse_length(DEFAULT_MODULE_PITCH)
