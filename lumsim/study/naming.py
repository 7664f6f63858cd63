"""The named limits of a study: which it names, what they ask of each of its faces, and the tightest with its own."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from lumsim.cabinet.cabinet import Side
from lumsim.study.reports import Report
from lumsim.uniformity.named_limits import NAMED_LIMITS, NamedLimit, tightest_limits
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.uniformity.requirement import LIMITS

__all__ = ["ITSELF", "LimitName", "NamedAsked", "NamedOnFace", "limits_together", "named_asked"]

ITSELF = "the study itself"
"""What a limit that is no named one comes from."""


def _limit_name(text: object) -> str:
    if isinstance(text, str) and text in NAMED_LIMITS:
        return text
    nearest = difflib.get_close_matches(str(text), NAMED_LIMITS, n=1, cutoff=0.5)
    hint = f'did you mean "{nearest[0]}"? ' if nearest else ""
    raise ValueError(f"{text!r} is no named limit; {hint}known are {', '.join(NAMED_LIMITS)}")


LimitName = Annotated[
    str, BeforeValidator(_limit_name), WithJsonSchema({"type": "string", "enum": list(NAMED_LIMITS)})
]
"""Of ``NAMED_LIMITS``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedOnFace:
    """What a named limit asks of one face."""

    side: Side
    area: float
    """visible [m²]"""
    limits: Mapping[str, float]
    """by the names of ``LIMITS``"""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedAsked:
    """A limit that a study names."""

    limit: NamedLimit
    faces: tuple[NamedOnFace, ...]
    """the front first"""


def named_asked(
    names: Sequence[str], areas: Mapping[Side, Fraction], report: Report
) -> tuple[NamedAsked, ...]:
    """What named limits ask of each face.

    Parameters
    ----------
    names : sequence of str
        Of ``NAMED_LIMITS``.
    areas : mapping
        The visible area of each face, exactly. [m²]
    report : callable
        Told of names that stand there twice, and of those without a value for a face.
    """
    asked = []
    for number, name in enumerate(names):
        path = ("requirement", "named_limits", number)
        if name in names[:number]:
            report(path, f"{name} is named twice: once is enough")
            continue
        limit, faces = NAMED_LIMITS[name], []
        for side, area in areas.items():
            values = limit.values(area)
            missing = [key for key, value in values.items() if value is None]
            if missing:
                which = f"the {side} face" if len(areas) > 1 else "the face"
                report(
                    path,
                    f"{name} has no value for {NAMES[missing[0]]} of so large a face: {which} has {float(area):.4g} m² "
                    "visible, and its source leaves that place empty; name another limit, or write one as a number",
                    of_sizes=True,
                )
                break
            limits = {key: value for key, value in values.items() if value is not None}
            faces.append(NamedOnFace(side=side, area=float(area), limits=limits))
        else:
            asked.append(NamedAsked(limit=limit, faces=tuple(faces)))
    return tuple(asked)


def limits_together(
    own: Mapping[str, float], named: Sequence[NamedAsked], names: Sequence[str], report: Report
) -> dict[str, float]:
    """The tightest of a study's own limits and the named ones; of two faces with unlike values the tighter holds.

    Parameters
    ----------
    own : mapping
        The study's own limits, by the names of ``LIMITS``.
    named : sequence of NamedAsked
    names : sequence of str
        As the study lists them.
    report : callable
        Told of named limits that no face can meet together with the others.
    """
    sources: list[tuple[str, Mapping[str, float]]] = [(ITSELF, own)]
    sources += [(one.limit.name, face.limits) for one in named for face in one.faces]
    together = tightest_limits([limits for _, limits in sources])
    most = together.get("max_luminance")
    for name in ("min_luminance", "darkest_luminance"):
        least = together.get(name)
        if most is None or least is None or not least > most:
            continue
        asks = [
            (_who(sources, key, value), key, value) for key, value in (("max_luminance", most), (name, least))
        ]
        # The study's own limits are refused where they stand; a named one comes first here.
        asks.sort(key=lambda one: one[0] == ITSELF)
        if asks[0][0] != ITSELF:
            first, second = (
                f"{who} asks for {NAMES[key]} {LIMITS[key]} {value:.10g} {UNITS[key]}"
                for who, key, value in asks
            )
            report(
                ("requirement", "named_limits", names.index(asks[0][0])),
                f"{first}, {second}: no luminance meets both",
                of_sizes=True,
            )
    return together


def _who(sources: Sequence[tuple[str, Mapping[str, float]]], name: str, value: float) -> str:
    """Who asks for a value: the study itself where it does."""
    return next(who for who, limits in sources if limits.get(name) == value)
