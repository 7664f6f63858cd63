"""What the README shows is what the commands named there print."""

from __future__ import annotations

import re
from pathlib import Path

from tests.cli.called import lumsim

ROOT = Path(__file__).parents[2]


def shown(name: str) -> list[str]:
    """Return the lines of an output that stands in the README."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(rf"<!-- shown: {name} -->\n```text\n(.*?)\n```\n<!-- /shown -->", readme, re.DOTALL)
    assert block is not None, name
    return block[1].splitlines()


def words(lines: list[str]) -> list[str]:
    """Return lines without their digits, whose last one may differ from machine to machine."""
    return [" ".join(re.sub(r"[0-9.]+", "#", line).split()) for line in lines]


def numbers(lines: list[str]) -> list[float]:
    """Return every number of some lines."""
    return [float(number) for line in lines for number in re.findall(r"\d+(?:\.\d+)?", line)]


def test_the_demo_prints_what_is_shown() -> None:
    """Line by line the demo's light reads as in the README, its numbers to half a per cent or a last digit."""
    printed = lumsim("light", ROOT / "studies" / "larkspur-library.toml").out.splitlines()
    assert words(printed) == words(shown("light"))
    for one, other in zip(numbers(printed), numbers(shown("light")), strict=True):
        assert abs(one - other) <= max(0.1, 0.005 * abs(other))


def test_the_search_of_the_demo_prints_what_is_shown() -> None:
    """Line by line the demo's widest pitch reads as in the README, its numbers to half a per cent or a last digit."""
    printed = lumsim("search", ROOT / "studies" / "larkspur-library.toml").out.splitlines()
    assert words(printed) == words(shown("search"))
    for one, other in zip(numbers(printed), numbers(shown("search")), strict=True):
        assert abs(one - other) <= max(0.1, 0.005 * abs(other))


def test_the_demo_of_a_beam_prints_what_is_shown() -> None:
    """Line by line the demo's photometric file reads as in the README, its numbers to a last digit."""
    printed = lumsim("beam", ROOT / "studies" / "juniper-wharf-module.ies").out.splitlines()
    assert words(printed) == words(shown("beam"))
    for one, other in zip(numbers(printed), numbers(shown("beam")), strict=True):
        assert abs(one - other) <= max(0.1, 0.005 * abs(other))


def test_the_sheet_of_the_demo_prints_what_is_shown() -> None:
    """Line for line what to cut, hold and power reads as in the README: it rests on no light."""
    printed = lumsim("sheet", ROOT / "studies" / "tannery-row.toml", "--direct-only", "--no-what-if").out
    assert "\n".join(shown("sheet")) in printed


def test_the_comparison_of_the_demo_prints_what_is_shown() -> None:
    """Line by line the demo held against itself with wider rows reads as in the README, its numbers to a last digit."""
    command = ("compare", ROOT / "studies" / "larkspur-library.toml", "--also", 'rows.pitch="12 in"')
    lines = shown("compare")
    printed = lumsim(*command).out.splitlines()
    start = printed.index(lines[0])
    printed = printed[start : start + len(lines)]
    assert words(printed) == words(lines)
    for one, other in zip(numbers(printed), numbers(lines), strict=True):
        assert abs(one - other) <= max(0.1, 0.005 * abs(other))


def test_the_double_sided_demo_prints_what_is_shown() -> None:
    """Each line shown of the two faces stands in the text of the command above it, with these words."""
    command = ("light", ROOT / "studies" / "heron-quay.toml", "--set", 'rows.z="3 in"')
    printed = words(lumsim(*command).out.splitlines())
    lines = words(shown("both faces"))
    assert len(lines) > 6
    assert [line for line in lines if line not in printed] == []
