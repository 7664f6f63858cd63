"""Real work of lumsim to be done in chunks, and what its last digits hang on."""

from __future__ import annotations

import hashlib
import pickle
from fractions import Fraction

import numpy as np

from lumsim.chunks import Crew, in_chunks
from lumsim.search.plane import PlanePart, PlanePoint, plane_parts, plane_row
from lumsim.simulation import Lighting
from lumsim.uniformity.requirement import Requirement
from tests.search.scanned import cabinet


def product(size: int) -> bytes:
    """Return the bytes of a product of matrices, whose last digits hang on the number of threads."""
    draw = np.random.default_rng(size)
    return (draw.random((size, 40 * size)) @ draw.random((40 * size, size))).tobytes()


def small_plane(*, width: float = 0.3, height: float = 0.4) -> tuple[PlanePart, ...]:
    """Cut the plane of a cabinet into parts. [m]"""
    return plane_parts(
        cabinet(Fraction(1, 10), width=width, height=height),
        0,
        Requirement(max_to_min=1.5),
        pitches=(Fraction(8, 100), Fraction(2, 10)),
        depths=(0.1, 0.2),
        lighting=Lighting(),
    )


def row_and_product(part: PlanePart) -> tuple[tuple[PlanePoint, ...], bytes]:
    """Light one depth of a plane, and multiply besides."""
    return plane_row(part), product(100)


def bytes_of_plane(crew: Crew, *, large: bool = False) -> str:
    """Digest the pickled and the printed rows of a plane, and a product of matrices.

    In the large cabinet the light itself changes in its last digits with the number of threads.
    """
    parts = small_plane(width=2.4, height=1.2) if large else small_plane()[:2]
    chunks = in_chunks(row_and_product, parts, crew=crew)
    assert chunks.finished
    return hashlib.sha256(pickle.dumps(chunks.done) + repr(chunks.done).encode()).hexdigest()
