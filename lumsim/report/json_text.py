"""A document as JSON text, the same bytes every time, and the version of all documents' form."""

from __future__ import annotations

import json
import math
from typing import Any

__all__ = ["SCHEMA", "as_json"]

SCHEMA = 2
"""Version of these documents' form."""

DIGITS = 9


def as_json(document: dict[str, Any]) -> str:
    """Write a document as JSON text, floats to nine significant digits, without a value that JSON lacks."""
    return json.dumps(_rounded(document), indent=2, ensure_ascii=False, allow_nan=False)


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(one) for one in value]
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None
    return value
