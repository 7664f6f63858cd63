"""Photometric files written for the tests: invented makers, light in closed form."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

NAME = "module.ies"

FIRST_LINES = {
    "LM-63-1986": None,
    "LM-63-1991": "IESNA91",
    "LM-63-1995": "IESNA:LM-63-1995",
    "LM-63-2002": "IESNA:LM-63-2002",
    "LM-63-2019": "IES:LM-63-2019",
}
"""What the first line says of each edition; in 1986 there was no such line."""

KEYWORDS = (
    "[TEST] 1 of 1",
    "[TESTLAB] invented for tests",
    "[ISSUEDATE] 2024-02-29",
    "[MANUFAC] invented for tests",
)

FREE_LABELS = ("A luminaire that nobody makes", "measured nowhere")


def sweep(last: float, steps: int = 4, first: float = 0.0) -> Array:
    """Horizontal angles."""
    return np.linspace(first, last, steps + 1)


def cosine_power(m: float, vertical: Array, horizontal: Array, peak: float = 100.0) -> Array:
    """Intensity of a cosine power about straight down, (h, v) [cd]."""
    ahead = np.clip(np.cos(np.radians(vertical)), 0, None)
    # Of 90 degrees the cosine in floats is not quite 0.
    ahead[np.abs(vertical - 90) < 1e-9] = 0
    return np.tile(peak * ahead**m, (len(horizontal), 1))


def written(
    vertical: Sequence[float | str] | Array,
    horizontal: Sequence[float | str] | Array,
    candela: Sequence[Sequence[float | str]] | Array,
    *,
    edition: str = "LM-63-2002",
    labels: Sequence[str] | None = None,
    tilt: str = "NONE",
    lamps: object = 1,
    lumens: object = -1,
    multiplier: object = 1,
    counts: tuple[object, object] | None = None,
    kind: object = 1,
    units: object = 2,
    size: tuple[object, object, object] = (0, 0, 0),
    ballast: object = 1,
    twelfth: object = 1,
    watts: object = 10,
    joined: Callable[[list[list[str]]], str] | None = None,
) -> str:
    """Write a file; lines as the standard shows them, unless ``joined`` puts its numbers together otherwise."""
    if labels is None:
        labels = FREE_LABELS if edition == "LM-63-1986" else KEYWORDS
    first = FIRST_LINES[edition]
    head = [*([first] if first else []), *labels, f"TILT={tilt}"]
    rows: list[Sequence[object]] = [
        [lamps, lumens, multiplier, *(counts or (len(vertical), len(horizontal))), kind, units, *size],
        [ballast, twelfth, watts],
        [*map(_digits, vertical)],
        [*map(_digits, horizontal)],
        *[[*map(_digits, plane)] for plane in candela],
    ]
    texts = [[str(one) for one in row] for row in rows]
    body = joined(texts) if joined else "".join(" ".join(row) + "\n" for row in texts)
    return "\n".join(head) + "\n" + body


def _digits(value: float | str) -> str:
    return value if isinstance(value, str) else repr(float(value))


def lambertian(step: float = 10.0, last: float = 0.0, **given: object) -> str:
    """Write a Lambertian with 100 cd straight down, in planes up to ``last`` that are 22.5 degrees apart."""
    vertical, horizontal = np.arange(0, 90 + step / 2, step), np.arange(0, last + 1, 22.5)
    return written(vertical, horizontal, cosine_power(1, vertical, horizontal), **given)  # type: ignore[arg-type]
