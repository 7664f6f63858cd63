"""The commands together. Errors become sentences here, and only here."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer
from typer.core import TyperGroup

from lumsim import __version__
from lumsim.cli.beam import beam
from lumsim.cli.check import check
from lumsim.cli.compare import compare
from lumsim.cli.light import light
from lumsim.cli.messages import say
from lumsim.cli.new import new
from lumsim.cli.page import page
from lumsim.cli.search import search
from lumsim.cli.sheet import sheet
from lumsim.cli.statuses import BAD_INPUT, INTERRUPTED, MET
from lumsim.cli.submittal import submittal
from lumsim.cli.tolerance import tolerance
from lumsim.errors import LumsimError

__all__ = ["app", "main"]


class _Commands(TyperGroup):
    """The commands; whatever stops one becomes a sentence on stderr and an exit status, never a traceback."""

    def invoke(self, ctx: typer.Context) -> object:  # type: ignore[override]
        """Run the command that was asked for."""
        try:
            return super().invoke(ctx)
        except LumsimError as error:
            sys.stderr.write(f"{error}\n")
            raise typer.Exit(BAD_INPUT) from None
        except KeyboardInterrupt:
            say("\nlumsim: stopped")
            raise typer.Exit(INTERRUPTED) from None
        except BrokenPipeError:
            # The reader of our output has gone, as with `| head`: nothing more to say, also not at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(MET) from None
        except OSError as error:
            sys.stderr.write(f"lumsim: the result cannot be written: {error.strerror or error}\n")
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(BAD_INPUT) from None


app = typer.Typer(
    name="lumsim",
    cls=_Commands,
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


for command in (new, check, light, search, tolerance, sheet, compare, submittal, page, beam):
    app.command(name=command.__name__)(command)


def main() -> None:
    """Run the command line."""
    app(prog_name="lumsim")
