"""What every build sheet says in plain sight, wherever what it is about can hurt someone."""

from __future__ import annotations

__all__ = ["CAUTIONS"]

CAUTIONS: tuple[str, ...] = (
    "lumsim checks arithmetic, not compliance: nothing here says that an installation is safe or keeps a code",
    "primary (mains) wiring is a licensed electrician's work; permits, inspection and local codes decide",
    "use listed parts by their own instructions and ratings, which go before any number here",
    "wire is worked out for its voltage drop alone: its current rating, fuses and protection are for codes to say",
    "isolate and lock out the supply before opening the cabinet, and prove it dead",
    "signs hang high: plan lifts, ladders and falls before the work",
    "supplies and modules warm a closed cabinet: keep to the temperatures and clearances of their makers",
    "signs are commonly rated as continuous loads: have the inputs' side sized for that",
)
"""Common practice, no source."""
