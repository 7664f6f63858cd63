"""One face or two: the faces of a form, and where its rows are between them and which way they shine."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lumsim.cabinet.face import Face
from lumsim.study.form import FaceForm, RearFaceForm, RowsForm, StudyForm
from lumsim.study.mounts import THROW, on_return, refuse_on_return, span_of
from lumsim.study.reports import Report, length_shown

__all__ = ["DEFAULT_FRONT_SHARE", "Standing", "built_faces", "refuse_misplaced", "standing"]

DEFAULT_FRONT_SHARE = 0.5
"""Of the flux of modules between two faces, where a study does not say. [1]"""

OVERRIDDEN = tuple(RearFaceForm.model_fields)
"""Keys of the rear face that are the front's where they are left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a group of rows is along the depth, and which way it shines."""

    z: Fraction
    """light-emitting plane above the back, the rear face or the return [m]"""
    front_share: float
    """of the flux goes forward [1]"""
    lowest: Fraction
    """z that leaves a throw to the rear face, where rows shine there [m]"""
    highest: Fraction
    """z that leaves a throw to the face, where rows shine there [m]"""


def standing(form: StudyForm, rows: RowsForm) -> Standing:
    """Where a group of rows is and which way it shines, defaults filled in.

    Parameters
    ----------
    form : StudyForm
    rows : RowsForm
        Of that study.
    """
    depth = form.cabinet.depth
    if on_return(rows):
        z = Fraction(0) if rows.z is None else rows.z
        return Standing(z=z, front_share=1.0, lowest=Fraction(0), highest=span_of(form, rows) - THROW)
    if form.cabinet.faces == 1:
        z = Fraction(0) if rows.z is None else rows.z
        return Standing(z=z, front_share=1.0, lowest=Fraction(0), highest=depth - THROW)
    share = DEFAULT_FRONT_SHARE if rows.front_share is None else rows.front_share
    return Standing(
        z=depth / 2 if rows.z is None else rows.z,
        front_share=share,
        lowest=THROW if share < 1 else Fraction(0),
        highest=depth - THROW if share > 0 else depth,
    )


def refuse_misplaced(form: StudyForm, number: int, report: Report) -> bool:
    """Refuse rows that are on what the cabinet does not have, or too near a face that they shine at.

    Parameters
    ----------
    form : StudyForm
    number : int
        Which group, from 0.
    report : callable

    Returns
    -------
    bool
        Whether anything was refused.
    """
    path, rows, depth = ("rows", number), form.rows[number], form.cabinet.depth
    if on_return(rows):
        return refuse_on_return(form, number, report)
    told: list[str] = []

    def refuse(key: str, message: str, *, of_sizes: bool = False, of_faces: bool = False) -> None:
        told.append(key)
        report((*path, key), message, of_sizes=of_sizes, of_faces=of_faces)

    if form.cabinet.faces == 1:
        if rows.on == "plane":
            refuse(
                "on",
                'a single-faced cabinet has a back and no plane between faces: write on = "back", or faces = 2 '
                "under [cabinet]",
                of_faces=True,
            )
        if rows.front_share is not None:
            refuse(
                "front_share",
                "modules on the back shine forward only: leave it out, or write faces = 2 under [cabinet]",
                of_faces=True,
            )
    elif rows.on == "back":
        refuse(
            "on",
            'a double-sided cabinet has no back: write on = "plane", with z counted from the rear face',
            of_faces=True,
        )
    at = standing(form, rows)
    if at.z > at.highest and at.front_share == 0:
        refuse(
            "z",
            f"must be at most the depth, {length_shown(depth, form.units)}, got "
            f"{length_shown(at.z, form.units)}",
            of_sizes=True,
        )
    elif at.z > at.highest:
        ahead = depth - at.z
        refuse(
            "z",
            f"depth {length_shown(depth, form.units)} less z {length_shown(at.z, form.units)} leaves a throw of "
            f"{length_shown(ahead, form.units)}: at least 1 mm is needed",
            of_sizes=True,
        )
    if at.z < at.lowest:
        refuse(
            "z",
            f"it is the throw to the rear face too: at least 1 mm is needed, got {length_shown(at.z, form.units)}",
            of_sizes=rows.z is None,
            of_faces=True,
        )
    return bool(told)


def built_faces(form: StudyForm, report: Report) -> tuple[Face, Face | None] | None:
    """Make the face and, of a double-sided cabinet, the rear face; None where one was refused.

    Parameters
    ----------
    form : StudyForm
    report : callable
    """
    front = _face(form, form.face, ("face",), tuple(FaceForm.model_fields), report)
    given = form.face.rear
    if form.cabinet.faces == 1:
        if given is not None:
            report(
                ("face", "rear"),
                "a single-faced cabinet has no rear face: leave [face.rear] out, or write faces = 2 under [cabinet]",
                of_faces=True,
            )
        return None if front is None or given is not None else (front, None)
    if "back_reflectance" in form.interior.model_fields_set:
        report(
            ("interior", "back_reflectance"),
            "a double-sided cabinet has no back: leave it out; what the rear face reflects inside is reflectance "
            "under [face.rear]",
            of_faces=True,
        )
    if given is None:
        return None if front is None else (front, front)
    said = [name for name in OVERRIDDEN if getattr(given, name) is not None]
    whole = form.face.model_copy(update={name: getattr(given, name) for name in said})
    rear = _face(form, whole, ("face", "rear"), said, report)
    return None if front is None or rear is None else (front, rear)


def _face(
    form: StudyForm, face: FaceForm, path: tuple[str, ...], said: tuple[str, ...] | list[str], report: Report
) -> Face | None:
    """One face; what is wrong is told at a key that the face itself says, if any."""
    most = {"reflectance": 1 - face.transmittance, "transmittance": 1 - face.reflectance}
    too_much = face.transmittance + face.reflectance > 1 + 1e-12
    key = next((name for name in most if name in said), None)
    if too_much and key is not None:
        (other,) = most.keys() - {key}
        report(
            (*path, key),
            f"with {other} {getattr(face, other):g} it must be at most {most[key]:g}, "
            f"got {getattr(face, key):g}: together they cannot pass 1",
            of_faces=len(path) > 1,
        )
    least = min(form.cabinet.width, form.cabinet.height)
    which = "face" if form.cabinet.faces == 1 else "rear face" if len(path) > 1 else "front face"
    hidden = not 2 * face.visible_border < least
    if hidden and "visible_border" in said:
        report(
            (*path, "visible_border"),
            f"{length_shown(face.visible_border, form.units)} on every side hides the whole {which}: it must be less "
            f"than {length_shown(least / 2, form.units)}",
            of_sizes=True,
            of_faces=len(path) > 1,
        )
    if hidden or too_much:
        return None
    return Face(
        transmittance=face.transmittance,
        reflectance=face.reflectance,
        visible_border=float(face.visible_border),
        film_transmittance=face.film_transmittance,
    )
