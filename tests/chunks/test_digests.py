"""Equal parts have equal digests in any process, and unequal ones unequal digests."""

from __future__ import annotations

import dataclasses
import pickle
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from pathlib import Path

import numpy as np
import pytest

from lumsim.chunks.digests import digest_of, source_digest, work_digest
from lumsim.search.plane import plane_row
from tests.chunks.planes import small_plane
from tests.chunks.script import printed
from tests.chunks.trades import ROOT, refused, squared

STUDY = ROOT / "studies" / "larkspur-library.toml"


@dataclass(frozen=True, kw_only=True)
class Box:
    """A thing that works something out when it is asked."""

    width: float
    others: tuple[object, ...] = ()

    @cached_property
    def area(self) -> float:
        """Its square. [m²]"""
        return self.width**2


def test_a_study_read_in_two_processes_has_one_digest() -> None:
    """Two interpreters with other hash seeds, in which sets come in another order, digest a study and a set alike."""
    assert printed("digests", STUDY, PYTHONHASHSEED="1") == printed("digests", STUDY, PYTHONHASHSEED="2")


def test_what_pickles_to_other_bytes_has_one_digest() -> None:
    """Pieces shared or not, worked out or not yet: the same part, while its pickle differs."""
    text = "".join(["a", "b"])
    shared, apart = Box(width=1, others=(text, text)), Box(width=1, others=(text, "".join(["a", "b"])))
    assert pickle.dumps(shared) != pickle.dumps(apart)
    assert digest_of(shared) == digest_of(apart)
    asked = Box(width=1)
    assert asked.area == 1
    assert pickle.dumps(asked) != pickle.dumps(Box(width=1))
    assert digest_of(asked) == digest_of(Box(width=1))


def test_parts_of_a_plane_keep_their_digests_through_a_pickle() -> None:
    """Cut twice, or sent to another process, a part is the same; and no two parts of a plane are."""
    parts = small_plane()
    digests = [digest_of(part) for part in parts]
    assert [digest_of(part) for part in small_plane()] == digests
    assert [digest_of(pickle.loads(pickle.dumps(part))) for part in parts] == digests
    assert len(set(digests)) == len(parts)


UNEQUAL: list[object] = [
    None, True, 1, 1.0, -0.0, 0.0, float("nan"), "1", b"1", Fraction(1), Fraction(1, 2), 1j, "", (), [], {}, (1,), [1],
    (1, 2), (2, 1), ((1,), 2), ((1, 2),), {"a": 1, "b": 2}, {"b": 2, "a": 1}, {1, 2}, frozenset({1, 2}), {1}, Path("a"),
    np.array([1.0, 2.0]), np.array([[1.0, 2.0]]), np.array([1, 2]), np.float64(1), np.array(["a"], dtype=object),
    squared, refused, Box, Box(width=1), Box(width=2), Box(width=1, others=(Box(width=1),)), ("a", "bc"), ("ab", "c"),
    ("abc",),
]  # fmt: skip


def test_unequal_things_have_unequal_digests() -> None:
    """Kind, order, nesting, shape and content all count."""
    assert len({digest_of(thing) for thing in UNEQUAL}) == len(UNEQUAL)


def test_every_field_of_a_part_counts() -> None:
    """A part of a plane in which one field is another has another digest."""
    part = small_plane()[0]
    other = small_plane(width=0.4)[1]
    changed = {
        "cabinet": other.cabinet,
        "group": 1,
        "requirement": replace(part.requirement, max_to_min=1.6),
        "pitches": part.pitches[:1],
        "lighting": replace(part.lighting, direct_only=True),
        "ageing": 0,
        "closely": True,
    }
    assert set(changed) == {field.name for field in dataclasses.fields(part)}
    digests = {digest_of(replace(part, **{name: value})) for name, value in changed.items()}  # type: ignore[arg-type]
    assert len(digests | {digest_of(part)}) == len(changed) + 1


def test_arrays_count_by_what_is_in_them() -> None:
    """A transposed copy and a view of the same numbers are the same."""
    array = np.arange(6.0).reshape(2, 3)
    assert (
        digest_of(array)
        == digest_of(np.asfortranarray(array))
        == digest_of(np.arange(12.0)[:6].reshape(2, 3))
    )


def test_what_contains_itself_is_refused() -> None:
    """A list within itself has no digest, the same list twice has."""
    inner: list[object] = [1]
    assert digest_of([inner, inner]) == digest_of([[1], [1]])
    inner.append(inner)
    with pytest.raises(TypeError, match="contains itself"):
        digest_of(inner)


def test_work_is_told_apart_by_its_name_and_its_source(tmp_path: Path) -> None:
    """Two functions of one file differ, lumsim's own go by its source; a digest is the same when asked again."""
    assert len({work_digest(squared), work_digest(refused), work_digest(plane_row)}) == 3
    assert work_digest(squared) == work_digest(squared)
    assert len(source_digest()) == 64
