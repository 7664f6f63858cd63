"""A lit page as one HTML file with nothing to fetch."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from html import escape
from importlib.resources import files
from string import Template

from lumsim import __version__
from lumsim.page.contents import (
    DARKEST_SHOWN,
    MEASURES,
    UNTOLD,
    contents_of,
    depth_label,
    pitch_label,
    walls_label,
)
from lumsim.page.lit_settings import LitPage, Told
from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
from lumsim.pictures.writing import dots_png
from lumsim.report.cautions import CAUTIONS
from lumsim.report.light_text import cabinet_text
from lumsim.report.notes import LIMITS_OF_THE_MODEL
from lumsim.report.sentences import sentence
from lumsim.uniformity.names import percent
from lumsim.units import format_size

__all__ = ["page_bytes"]

FIRST = 4
"""Numbers on evenness that are in plain sight; the others fold out. [1]"""

MISSED_KEY = (
    '<span class="sample"><span class="screen">hatched </span><span class="swatch missed"></span> misses the '
    "requirement</span> "
)

AGED = '<p class="key">The numbers are of the sign when new; the requirement is judged on it both new and aged.</p>'

EXACTNESS = (
    "Told from half as fine a mesh, at the sliders' ends and at the study, numbers may be off by {error}."
)


def page_bytes(lit: LitPage) -> bytes:
    """The page of a study, its own setting chosen.

    Parameters
    ----------
    lit : LitPage
        Finished.
    """
    plan, own, study = lit.plan, lit.own, lit.plan.study
    contents, chosen = contents_of(lit), plan.own
    cabinet = study.cabinet
    box = cabinet.box
    required = bool(study.requirement.limits)
    rear = own.side == "rear"
    seen = cabinet.visible_on(own.side)
    side = "" if cabinet.rear is None else " (rear, seen from behind)" if rear else " (front)"
    mean, highest, lowest = own.levels
    pitch, depth = pitch_label(plan, chosen.laying), depth_label(plan, chosen.depth)
    text = {
        "version": __version__,
        "title": study.title,
        "cabinet": f"Cabinet {format_size((box.width, box.height, box.depth), study.units)} inside, "
        f"{'double-sided' if cabinet.double_sided else 'single-faced'}: how even is its face, and what do row pitch, "
        "depth and walls do to it?",
        "pitch": pitch,
        "depth": depth,
        "last_pitch": str(len(plan.layings) - 1),
        "last_depth": str(len(plan.depths) - 1),
        "own_pitch": str(chosen.laying),
        "own_depth": str(chosen.depth),
        "pitches": str(len(plan.layings)),
        "unit": study.units,
        "ratios_only": RATIOS_ONLY,
        "untold": UNTOLD,
        "aspect": f"{seen.width / seen.height:.5g}",
        "group": f", group {plan.group + 1}" if plan.group is not None and len(cabinet.groups) > 1 else "",
        "counted": " Places are counted as seen from the front." if rear else "",
        "side": side,
        "face_told": f"The lit face{side}: brightest {highest}, darkest {lowest}.",
        "darkest_shown": percent(DARKEST_SHOWN),
        "state": ("Requirement met" if own.met else "Requirement NOT met")
        if required
        else "Nothing is required",
        "state_class": ("met" if own.met else "missed") if required else "free",
        "verdict": own.verdict,
        "rows": own.rows,
        "mean": mean,
        "highest": highest,
        "lowest": lowest,
        "exactness": EXACTNESS.format(error=lit.error),
        "study": "\n".join(cabinet_text(study)),
        "source": study.source,
        "limits": sentence(LIMITS_OF_THE_MODEL),
    }
    stays = f"row pitch is not among the choices: {plan.rows_stay}"
    markup = {
        "style": _part("page.css"),
        "script": _part("page.js"),
        "choices": contents.as_json,
        "faces": contents.faces,
        "profiles": contents.profiles,
        "pitch_hidden": " hidden" * (len(plan.layings) == 1),
        "depth_hidden": " hidden" * (len(plan.depths) == 1),
        "rows_stay": f'<p class="key">{escape(sentence(stays))}</p>' if plan.rows_stay else "",
        "still": b64encode(_still(own)).decode("ascii"),
        "measures": "\n".join(
            f'<label><input type="radio" name="measure" value="{number}"{" checked" * (number == 0)} disabled> '
            f"{escape(name)}</label>"
            for number, (_, name, _) in enumerate(MEASURES)
        ),
        "aged": AGED if study.ageing is not None else "",
        "walls": "\n".join(
            f'<label><input type="radio" name="walls" value="{number}"{" checked" * (number == chosen.walls)} '
            f"disabled> {escape(walls_label(plan, one))}</label>"
            for number, one in enumerate(plan.walls)
        ),
        "evenness": _numbers(own.evenness[:FIRST]),
        "further": _numbers(own.evenness[FIRST:]),
        "missed_key": MISSED_KEY if required else "",
        "warnings": _items(own.warnings),
        "cautions": _items(sentence(one) for one in CAUTIONS),
    }
    page = Template(_part("page.html")).substitute({key: escape(one) for key, one in text.items()} | markup)
    return page.encode("utf-8")


def _still(told: Told) -> bytes:
    """The face of a setting as the eye sees it, as a PNG file: what a reader without scripts sees."""
    face = told.face
    shares = face.darkest + face.dots / 255.0 * (face.brightest - face.darkest)
    if told.side == "rear":
        shares = shares[:, ::-1]
    return dots_png(Exposure(white=told.numbers["highest"]).greys(shares))


def _part(name: str) -> str:
    """The text of a file beside this one."""
    return (files("lumsim.page") / name).read_text(encoding="utf-8").strip()


def _numbers(told: Iterable[tuple[str, str, str]]) -> str:
    return "\n".join(
        f"<div><dt>{escape(title)}</dt><dd>{escape(value)}{_second(state)}</dd></div>"
        for title, value, state in told
    )


def _second(state: str) -> str:
    return f"<span>{escape(state)}</span>" if state else ""


def _items(lines: Iterable[str]) -> str:
    return "\n".join(f"<li>{escape(one)}</li>" for one in lines)
