"""The JSON Schema says of a study file what reading says; starter and demo studies pass both."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator  # type: ignore[import-untyped]

from lumsim.cabinet.ageing import Ageing
from lumsim.errors import StudyError
from lumsim.study.answering import answer
from lumsim.study.form import StudyForm, study_schema
from lumsim.study.reading import read_study, study_from_text
from lumsim.study.starter import starter_study
from lumsim.units import Units
from tests import cabinets
from tests.study.written import SIGN, changed

STUDIES = Path(__file__).parents[2] / "studies"
NAMES = sorted(file.relative_to(STUDIES).as_posix() for file in STUDIES.rglob("*.toml"))


def complaints(text: str) -> list[str]:
    """Return what an editor that checks by the schema would say."""
    return [error.message for error in Draft202012Validator(study_schema()).iter_errors(tomllib.loads(text))]


def test_the_schema_is_a_valid_one_and_the_one_that_is_handed_out() -> None:
    """The schema is JSON Schema 2020-12, and the file beside the demo studies is it to the last key."""
    Draft202012Validator.check_schema(study_schema())
    handed_out = json.loads((STUDIES / "study.schema.json").read_text(encoding="utf-8"))
    assert handed_out == study_schema()


def test_every_key_is_described() -> None:
    """An editor can tell of every key of every table what it means."""

    def undescribed(schema: dict[str, Any]) -> list[str]:
        # A table that is a key of its own is described by its definition.
        return [
            key
            for key, entry in schema.get("properties", {}).items()
            if "description" not in entry and "$ref" not in entry
        ]

    schema = study_schema()
    assert [undescribed(table) for table in (schema, *schema["$defs"].values())] == [
        [] for _ in range(len(schema["$defs"]) + 1)
    ]
    assert set(schema["properties"]) == set(StudyForm.model_fields)


@pytest.mark.parametrize("name", NAMES)
def test_the_schema_accepts_each_demo_study(name: str) -> None:
    """Each study in studies/ is all right by the schema."""
    assert complaints((STUDIES / name).read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "change",
    [
        ("width =", "widht ="),
        ('"48 in"', "48"),
        ('"48 in"', '"wide"'),
        ("90.0", "-1"),
        ("90.0", '"90"'),
        ("0.85", "1.5"),
        ('"in"', '"inch"'),
        ('pitch = "8 in"', "count = 0"),
        ('pitch = "8 in"', "count = 100001"),
        ('pitch = "8 in"', "at = []"),
        ('pitch = "8 in"', 'pitch = "8 in"\non = "left return"'),
        ('depth = "6 in"', 'depth = "6 in"\nfaces = 3'),
        ('depth = "6 in"', 'depth = "6 in"\nfaces = true'),
        ('pitch = "8 in"', 'pitch = "8 in"\nfront_share = 2'),
        ("[modules.standard]", "[face.rear]\ntransmittance = 0\n[modules.standard]"),
        ("[[rows]]", "[rows]"),
        ("lumens = 90.0\n", ""),
        ("stripe_max_to_min = 1.2", "stripe_max_to_min = 0.9"),
        ("stripe_max_to_min = 1.2", "max_luminance = 0"),
        ("stripe_max_to_min = 1.2", "stripe_max_to_min = 1.2\n[ageing]\ndirt_factor = 1.1"),
        ("visible_border", "film_transmittance = 0\nvisible_border"),
    ],
    ids=lambda change: change[1].strip()[:20] or "lumens left out",
)
def test_the_schema_refuses_what_reading_refuses(change: tuple[str, str]) -> None:
    """A misspelt key, a bare number for a length and a number out of its range are marked in an editor too."""
    text = changed(change)
    assert complaints(SIGN) == []
    assert complaints(text)
    with pytest.raises(StudyError):
        study_from_text(text)


@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_starter_study_runs_as_it_is(units: Units) -> None:
    """What `lumsim new` writes has no leftover braces of its template, passes the schema, and can be lit."""
    text = starter_study(units=units, name="shop.toml")
    assert "{{" not in text
    assert "}}" not in text
    for name in (
        "units",
        "width",
        "height",
        "depth",
        "border",
        "z",
        "pitch",
        "edge",
        "at",
        "module_pitch",
        "name",
    ):
        assert f"{{{name}}}" not in text
    assert "lumsim check shop.toml" in text
    assert complaints(text) == []
    study = study_from_text(text, shown="shop.toml")
    assert study.units == units
    lit = answer(study)
    assert 1 < lit.evenness.stripe_max_to_min < lit.evenness.max_to_min


@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_a_starter_study_offers_for_building_can_be_put_in(units: Units) -> None:
    """Its tables of strings, supports, supplies, costs and service are right, and nothing then is left untold."""
    head, tables = starter_study(units=units, name="shop.toml").split("# [modules.standard.string]")
    tables = ("# [modules.standard.string]" + tables).replace("\n# ", "\n").removeprefix("# ")
    building = study_from_text(head + tables).building
    assert building.rules.delivered["standard"].stock is not None
    assert building.rules.supply is not None
    assert building.rules.supply.longest_string is not None
    assert set(building.rules.holding.intervals) == {"horizontal"}
    assert building.upkeep.running is not None
    assert building.upkeep.opens == "front"


@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_a_starter_study_shows_in_comments_can_be_put_in(units: Units) -> None:
    """The lines that a starter study offers as comments are right: its other rules, limits and beam."""
    text = starter_study(units=units, name="shop.toml")
    beam = text.replace('beam = { shape = "lambertian" }\n', "").replace("# beam =", "beam =")
    assert cabinets.exponents(study_from_text(beam).cabinet.emitters())[0] == pytest.approx(0.6461, abs=1e-4)
    limits = text
    for key in ("max_to_min", "edge_dimming", "max_luminance", "min_luminance", "darkest_luminance",
                "wanted_luminance", "named_limits", "[ageing]",
                "maintenance_factor", "dirt_factor", "film_transmittance", "[tolerance]", "signs", "flux_scatter",
                "placing", "row_sag", "depth", "bow", "dead_modules", "[viewing]", "distances"):  # fmt: skip
        assert f"\n# {key} " in limits
        limits = limits.replace(f"\n# {key} ", f"\n{key} ")
    put_in = study_from_text(limits)
    assert set(put_in.requirement.limits) == {
        "max_to_min",
        "stripe_max_to_min",
        "edge_dimming",
        "max_luminance",
        "min_luminance",
        "darkest_luminance",
    }
    assert put_in.requirement.wanted_luminance == 300
    assert (put_in.requirement.max_luminance, put_in.own_limits["max_luminance"]) == (600, 800)
    assert put_in.ageing == Ageing(maintenance_factor=0.7, dirt_factor=0.9)
    assert put_in.cabinet.face.film_transmittance == 0.3
    assert len(put_in.viewing) == 2
    assert put_in.tolerance.signs == 1000
    assert put_in.tolerance.spread.kinds == (
        "flux_scatter",
        "placing",
        "row_sag",
        "depth",
        "bow",
        "dead_modules",
    )
    (offer,) = (line for line in text.splitlines() if line.startswith("# instead:"))
    pitch = next(line for line in text.splitlines() if line.startswith("pitch = "))
    count, at = offer.partition("; or ")[0], offer.split("; or ")[1]
    on_return = text.replace('on = "back" ', 'on = "left" ').replace(pitch, "count = 1")
    assert study_from_text(on_return).cabinet.direction == "vertical"
    standing = text.replace('\n# direction = "vertical"', '\ndirection = "vertical"')
    assert study_from_text(standing).cabinet.direction == "vertical"
    for rule in (count.removeprefix("# instead: ").replace(" with ", "\n"), at):
        assert study_from_text(text.replace(pitch, rule)).cabinet.groups


@pytest.mark.parametrize("name", NAMES)
def test_each_demo_study_opens_with_what_it_shows_and_runs(name: str) -> None:
    """Each study in studies/ begins with a comment and is answered."""
    text = (STUDIES / name).read_text(encoding="utf-8")
    comments = [line for line in text.split("\n\n")[0].splitlines() if line.startswith("# ")]
    assert len(" ".join(comments)) > 80
    lit = answer(read_study(STUDIES / name))
    assert lit.evenness.max_to_min > 1
    assert lit.error.mean < 1e-3
