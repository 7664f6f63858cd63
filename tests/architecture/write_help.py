"""The README's help texts, from the commands themselves. Run by hand after a change of an option.

python tests/architecture/write_help.py
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from typer.testing import CliRunner

from lumsim.cli.app import app

README = Path(__file__).parents[2] / "README.md"

_BLOCK = re.compile(r"(<!-- help: (\S+) -->\n).*?(<!-- /help -->)", re.DOTALL)


def help_text(command: str) -> str:
    """Return what ``lumsim COMMAND --help`` prints on a terminal of 80 columns."""
    result = CliRunner().invoke(app, [command, "--help"], prog_name="lumsim", env={"COLUMNS": "80"})
    return "\n".join(line.rstrip() for line in result.stdout.strip().splitlines())


def commands_in(readme: str) -> list[str]:
    """Return the commands whose help stands in a README."""
    return [match[2] for match in _BLOCK.finditer(readme)]


def with_help(readme: str) -> str:
    """Return a README with each help text as it is now."""
    return _BLOCK.sub(lambda block: f"{block[1]}```text\n{help_text(block[2])}\n```\n{block[3]}", readme)


if __name__ == "__main__":
    README.write_text(with_help(README.read_text(encoding="utf-8")), encoding="utf-8")
    sys.stdout.write(f"wrote {README}\n")
