"""Defaults that a result must show."""

from __future__ import annotations

from lumsim.study.building import Built
from lumsim.study.faces import DEFAULT_FRONT_SHARE, standing
from lumsim.study.form import DEFAULT_MODULE_PITCH, StudyForm
from lumsim.study.mounts import on_return
from lumsim.study.reports import length_shown
from lumsim.units import format_length

__all__ = ["defaults_of"]


def defaults_of(form: StudyForm, built: Built) -> tuple[tuple[str, str], ...]:
    """Keys that bear on the result and that the study leaves out, with what they are then, as printed.

    Parameters
    ----------
    form : StudyForm
    built : Built
        By it.
    """
    defaults: list[tuple[str, str]] = []
    double_sided = form.cabinet.faces == 2
    for name in ("return_reflectance",) if double_sided else ("back_reflectance", "return_reflectance"):
        if name not in form.interior.model_fields_set:
            defaults.append((f"interior.{name}", f"{getattr(form.interior, name):g}"))
    if "visible_border" not in form.face.model_fields_set:
        defaults.append(("face.visible_border", format_length(0, form.units)))
    if double_sided:
        defaults += _of_rear(form)
    for name, module in form.modules.items():
        if "beam" not in module.model_fields_set:
            defaults.append((f"modules.{name}.beam", "lambertian"))
    defaults += built.kinds.defaults
    for number, rows in enumerate(form.rows):
        path = "rows" if len(form.rows) == 1 else f"rows.{number + 1}"
        if "z" not in rows.model_fields_set:
            defaults.append((f"{path}.z", length_shown(standing(form, rows).z, form.units)))
        if double_sided and not on_return(rows) and "front_share" not in rows.model_fields_set:
            defaults.append((f"{path}.front_share", f"{DEFAULT_FRONT_SHARE:g}"))
        if not on_return(rows) and "direction" not in rows.model_fields_set:
            defaults.append((f"{path}.direction", "horizontal"))
        if rows.positions is None and rows.module_pitch is None and rows.module_count is None:
            defaults.append((f"{path}.module_pitch", DEFAULT_MODULE_PITCH))
    return tuple(defaults)


def _of_rear(form: StudyForm) -> list[tuple[str, str]]:
    rear, front = form.face.rear, form.face
    if rear is None or not rear.model_fields_set:
        return [("face.rear", "as the front")]
    values = {
        "transmittance": f"{front.transmittance:g}",
        "reflectance": f"{front.reflectance:g}",
        "visible_border": length_shown(front.visible_border, form.units),
    }
    if front.film_transmittance < 1:
        values["film_transmittance"] = f"{front.film_transmittance:g}"
    return [
        (f"face.rear.{name}", value) for name, value in values.items() if name not in rear.model_fields_set
    ]
