"""Text of a user's file: read whole, or why not, in words."""

from __future__ import annotations

from pathlib import Path

from lumsim.study.text_file import read_text


def test_text_is_read_without_its_mark(tmp_path: Path) -> None:
    """Letters of any kind and line ends stay; the mark that some programs begin UTF-8 with goes."""
    file = tmp_path / "table.csv"
    file.write_bytes("\ufeffpart,price\r\nGröße,1\r\n".encode())
    assert read_text(file, "table.csv", most=100) == ("part,price\r\nGröße,1\r\n", [])


def test_what_cannot_be_read_is_told_with_its_line(tmp_path: Path) -> None:
    """Another encoding by its byte, a file that is too large by what is taken, one that is not there by the reason."""
    file = tmp_path / "table.csv"
    file.write_bytes(b"part,price\nGr\xf6\xdfe,1\n")
    text, (one,) = read_text(file, "table.csv", most=100)
    assert (text, one.where, one.line) == ("", "table.csv", 2)
    assert "0xF6 ('ö' in Windows-1252) is not text in UTF-8" in one.text
    assert read_text(file, "table.csv", most=3)[1][0].text == "is larger than 3e-06 MB"
    assert "cannot be read: No such file" in read_text(tmp_path / "none", "none", most=3)[1][0].text
    assert "cannot be read" in read_text(Path("a\0b"), "a", most=3)[1][0].text
