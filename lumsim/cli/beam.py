"""`lumsim beam`: what a photometric file holds; a beam in figures and as a polar curve."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import say, show
from lumsim.cli.options import Changes, Json

__all__ = ["beam"]


def beam(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="A photometric file (LM-63), or a study (.toml).", show_default=False
        ),
    ],
    module: Annotated[
        str | None,
        typer.Option(
            metavar="NAME",
            help="Which kind of module of a study; unless said, all of them.",
            show_default=False,
        ),
    ] = None,
    changes: Changes = [],
    picture: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Draw the beam as a polar curve (.png, .svg, .pdf).", show_default=False
        ),
    ] = None,
    json: Json = False,
) -> None:
    """Tell of a beam: its peak, its beam and field angle, where its lumens go, and what its file holds."""
    from lumsim.errors import InputError
    from lumsim.report.beam_text import ToldBeam, beam_facts, beam_text, beams_document, module_beams
    from lumsim.report.files import PICTURE_SUFFIXES, refuse_ending, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json

    if picture is not None:
        refuse_ending(picture, *PICTURE_SUFFIXES, option="--picture", what="a picture")
        refuse_unwritable(picture)
    if file.suffix.lower() == ".toml":
        from lumsim.study.reading import read_study

        study = read_study(file, changes=changes)
        title, warnings, notes = study.title, study.remarks, study.notes
        beams = module_beams(study.cabinet)
        if module is not None and module not in beams:
            raise InputError(f"--module {module}: {file} has {', '.join(beams)} in its rows")
        told = [one for name, one in beams.items() if module in {None, name}]
    else:
        from lumsim.beams.lm63 import read_lm63_file

        if module is not None:
            raise InputError(
                f"--module {module}: names a kind of module in a study (.toml), and {file} is taken for a photometric "
                "file, which holds one beam: leave it out"
            )
        if changes:
            raise InputError(
                f"--set {changes[0]}: changes a key of a study (.toml), and {file} is taken for a photometric file, "
                f'which is told as it is: put it into a study with beam = {{ file = "{file.name}" }} to try changes'
            )
        read = read_lm63_file(file)
        title, warnings, notes = file.name, read.remarks, ()
        told = [ToldBeam.of_file(read)]
    if picture is not None:
        from lumsim.pictures.polar import draw_beam
        from lumsim.pictures.writing import picture_bytes

        if len(told) > 1:
            names = ", ".join(one.name for one in told)
            raise InputError(f"--picture {picture}: shows one beam: choose --module out of {names}")
        figure = draw_beam(told[0].beam, told[0].figures, title=title, facts=beam_facts(told[0]))
        write_whole(picture, picture_bytes(figure, picture.suffix))
        say(f"wrote {picture}")
    if json:
        show(as_json(beams_document(told, source=str(file), warnings=warnings)))
    else:
        show(beam_text(told, title=title, warnings=warnings, notes=notes))
