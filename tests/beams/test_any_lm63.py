"""Photometric files of any kind on disk, and any text at all."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.beams.lm63 import PhotometricFile, read_lm63, read_lm63_file, zonal_flux
from lumsim.errors import LumsimError, StudyError
from tests.beams.written_lm63 import (
    FIRST_LINES,
    KEYWORDS,
    NAME,
    lambertian,
    written,
)

EDITIONS = tuple(FIRST_LINES)


def test_latin_1_and_utf_8_are_read(tmp_path: Path) -> None:
    """Text in Latin-1 and in UTF-8, with or without its mark, says the same."""
    text = lambertian(labels=[*KEYWORDS, "[LUMINAIRE] é 40°"])
    for encoding in ("latin-1", "utf-8", "utf-8-sig"):
        path = tmp_path / f"{encoding}.ies"
        path.write_bytes(text.encode(encoding))
        file = read_lm63_file(path, shown="shown")
        assert file.keywords[-1] == ("LUMINAIRE", "é 40°")
        assert file.name == "shown"
        assert file.remarks == ()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (lambertian().encode("utf-16"), "is text in UTF-16"),
        (lambertian().encode("utf-16-le"), "is not plain text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "is not plain text"),
        (b"", "is empty"),
    ],
)
def test_a_file_that_is_no_text_is_refused(tmp_path: Path, data: bytes, said: str) -> None:
    """Pictures, archives and text in UTF-16 are told for what they are."""
    path = tmp_path / NAME
    path.write_bytes(data)
    with pytest.raises(StudyError, match=said):
        read_lm63_file(path)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A missing file, a folder, and a name that no file can have are told apart."""
    for path, said in [
        (tmp_path / NAME, "there is no such file"),
        (tmp_path, "is a folder, not a file"),
        (tmp_path / NAME / "x", "there is no such file"),
        (Path("/dev/null"), "is not a file"),
        (tmp_path / ("x" * 300), "cannot be read|no such file"),
        (tmp_path / "\0", "cannot be read|no such file"),
    ]:
        with pytest.raises(StudyError, match=said):
            read_lm63_file(path)


def test_a_broken_tilt_file_is_refused_by_its_own_name(tmp_path: Path) -> None:
    """A fault in a tilt table of its own names that file and its line."""
    (tmp_path / "lamp.tlt").write_text("1\n2\n0 90\n1\n")
    path = tmp_path / NAME
    path.write_text(lambertian(tilt="lamp.tlt"))
    with pytest.raises(StudyError, match=r"^lamp.tlt, line 4: 2 tilt factors are expected, 1 found$"):
        read_lm63_file(path)


def read_or_refusal(text: str) -> PhotometricFile | LumsimError:
    """The file that a text is, or why it is none."""
    try:
        return read_lm63(text, NAME)
    except LumsimError as error:
        return error


def holds(answer: PhotometricFile | LumsimError) -> None:
    """A refusal names the file; a file holds together."""
    if isinstance(answer, LumsimError):
        assert str(answer).startswith(NAME)
        return
    assert answer.candela.shape == (len(answer.horizontal), len(answer.vertical))
    assert np.all(answer.candela >= 0)
    assert np.isfinite(zonal_flux(answer))
    assert answer.symmetry


@st.composite
def whole_files(draw: st.DrawFn) -> tuple[str, dict[str, object]]:
    """Draw a file of any edition, its numbers parted in any way, and what it says."""
    edition = draw(st.sampled_from(EDITIONS))
    inner = st.lists(st.integers(1, 899), unique=True, max_size=5)
    vertical = [0.0, *(n / 10 for n in sorted(draw(inner))), 90.0]
    last = draw(st.sampled_from([0, 90, 180, 360]))
    between = [n / 900 * last for n in sorted(draw(inner))] if last else []
    horizontal = [0.0, *between, float(last)] if last else [0.0]
    value = st.floats(0, 1e6, allow_subnormal=False)
    candela = [[draw(value) for _ in vertical] for _ in horizontal]
    candela[0][0] += 1.0
    shuffle = draw(st.randoms(use_true_random=False))
    gaps = [" ", ",", ", ", "\n", "\r\n", "\r", "   ", "\t", " ,\n", "\n\n"]

    def joined(rows: list[list[str]]) -> str:
        return "".join(text + shuffle.choice(gaps) for row in rows for text in row)

    text = written(vertical, horizontal, candela, edition=edition, joined=joined)
    return text, {"edition": edition, "vertical": vertical, "horizontal": horizontal, "candela": candela}


@given(drawn=whole_files())
def test_numbers_come_back_however_they_are_parted(drawn: tuple[str, dict[str, object]]) -> None:
    """In any edition, with any commas, blanks and line ends, the same numbers are read that were written."""
    text, said = drawn
    file = read_lm63(text, NAME)
    assert file.edition == said["edition"]
    assert file.vertical.tolist() == said["vertical"]
    assert file.horizontal.tolist() == said["horizontal"]
    assert file.candela.tolist() == said["candela"]


@given(
    drawn=whole_files(),
    cut=st.floats(0, 1),
    junk=st.lists(st.tuples(st.floats(0, 1), st.text(max_size=4)), max_size=3),
)
def test_a_damaged_file_is_read_or_refused_and_nothing_else(
    drawn: tuple[str, dict[str, object]], cut: float, junk: list[tuple[float, str]]
) -> None:
    """Whatever is cut off or written over, the answer is a file or a refusal in words."""
    text = drawn[0]
    for share, put in junk:
        at = int(share * len(text))
        text = text[:at] + put + text[at + len(put) :]
    if cut < 0.7:
        text = text[: int(cut / 0.7 * len(text))]
    holds(read_or_refusal(text))


@given(seed=st.integers(0, 10_000))
def test_numbers_of_any_size_are_read_or_refused(seed: int) -> None:
    """Numbers far too large or small, or none, in any place of a file are read or refused, without a warning."""
    dice = random.Random(seed)
    odd = [
        "1e300",
        "-1e300",
        "1e-300",
        "1e999",
        "0",
        "-1",
        "nan",
        "1_0",
        "9" * 400,
        "1e12",
        "1e-12",
        "٣",
        "+",
        "360",
    ]
    words = lambertian(last=90.0, edition=dice.choice(EDITIONS)).split(" ")
    for _ in range(dice.randint(1, 3)):
        words[dice.randrange(len(words))] = dice.choice(odd)
    holds(read_or_refusal(" ".join(words)))
