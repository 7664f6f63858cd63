"""The commands together. Errors become sentences here, and only here."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from lumsim import __version__
from lumsim.cli.check import check
from lumsim.cli.light import light
from lumsim.cli.new import new
from lumsim.cli.search import search
from lumsim.errors import LumsimError

__all__ = ["app", "main"]

MET, NOT_MET, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130

app = typer.Typer(
    name="lumsim",
    rich_markup_mode=None,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="How far apart may the LED rows of a box sign be before its face shows stripes?",
    epilog="Exit status: 0 done, requirement met or none; 1 done, requirement not met; 2 bad input.",
)


def _version(*, asked: bool) -> None:
    if asked:
        typer.echo(f"lumsim {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    *,
    version: Annotated[
        bool,
        typer.Option(
            "--version",
            help="Print the version.",
            callback=lambda asked: _version(asked=asked),
            is_eager=True,
        ),
    ] = False,
) -> None:
    """How far apart may the LED rows of a box sign be before its face shows stripes?"""


for command in (new, check, light, search):
    app.command(name=command.__name__)(command)


def main() -> None:
    """Run the command line; a refusal is a sentence on stderr, never a traceback."""
    try:
        app(prog_name="lumsim")
    except LumsimError as error:
        sys.stderr.write(f"{error}\n")
        raise SystemExit(BAD_INPUT) from None
    except KeyboardInterrupt:
        sys.stderr.write("\nlumsim: stopped; nothing was written\n")
        raise SystemExit(INTERRUPTED) from None
    except BrokenPipeError:
        # The reader of our output has gone, as with `| head`: nothing more to say.
        sys.stderr.close()
        raise SystemExit(MET) from None
