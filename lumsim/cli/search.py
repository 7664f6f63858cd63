"""`lumsim search`: a study's questions of pitch, depth, rows and modules answered."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from lumsim.cli.crew import crew_of
from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, Processes, Scheduler
from lumsim.cli.statuses import ended

if TYPE_CHECKING:
    from lumsim.chunks import Crew
    from lumsim.report.programme import Layout, Sign
    from lumsim.study.questions import SearchAsked
    from lumsim.study.reading import Study
    from lumsim.study.searching import PlaneAnswer, SearchAnswer

__all__ = ["search"]

SAID = {
    "pitch": "widest row pitch",
    "depth": "least depth",
    "modules": "fewest modules",
    "watts": "fewest watts",
    "rows": "fewest rows",
    "edge": "best edge distance",
}
"""What an answer is called in the study that it is saved as."""


def search(
    study: Annotated[
        Path,
        typer.Argument(
            metavar="STUDY",
            help="The study file (TOML), or a folder: every study in it is searched in one run.",
            show_default=False,
        ),
    ],
    changes: Changes = [],
    questions: Annotated[
        list[str],
        typer.Option(
            "--for",
            metavar="QUESTION",
            help="What to search: pitch (the widest row pitch), depth (the least), modules, watts or rows (the "
            "fewest), edge (the best edge distance), plane (evenness over pitch and depth). Repeatable; unless given "
            "what the study's [search] tables ask, or the widest row pitch.",
            show_default=False,
        ),
    ] = [],
    group: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Which group of rows to move, counted from 1; needed where there are several.",
            show_default=False,
        ),
    ] = None,
    step: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTH",
            help='What the layout to build is rounded to, such as --step "1/2 in"; a tape measure\'s marks unless '
            "given.",
            show_default=False,
        ),
    ] = None,
    depths: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTHS",
            help='Search the widest row pitch at these depths too, such as --depths "4 in; 5 in; 6 in", or --depths '
            "usual for seven around the study's own.",
            show_default=False,
        ),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Draw evenness against row pitch, and row pitch against depth where depths are asked for; of the "
            "plane a map of max/min (.png, .svg, .pdf).",
            show_default=False,
        ),
    ] = None,
    save: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the layout to build, or what came nearest, as a study of its own (.toml); of one question. "
            "Of a folder of studies: a folder, for every answer.",
            show_default=False,
        ),
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write a table (.csv): every point of the plane, or of a folder of studies every layout to build.",
            show_default=False,
        ),
    ] = None,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    processes: Processes = None,
    scheduler: Scheduler = None,
    json: Json = False,
) -> None:
    """Search how rows and cabinet are best laid out: row pitch, depth, fewest modules, edge distance, or the plane."""
    from lumsim.study.reading import read_study

    if study.is_dir():
        _programme(
            study,
            lambda one: _asked(one, questions, group, step, depths),
            changes=changes,
            picture=picture,
            save=save,
            csv=csv,
            direct_only=direct_only,
            fine=fine,
            crew=crew_of(processes, scheduler),
            json=json,
        )
    read = read_study(study, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.errors import InputError
    from lumsim.report.files import refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.plane_text import plane_csv
    from lumsim.report.programme import Layout
    from lumsim.report.search_document import search_document
    from lumsim.report.search_text import search_text
    from lumsim.study import searching
    from lumsim.study.answering import lighting_of

    asked = _asked(read, questions, group, step, depths)
    _refuse_files(asked, picture, save, csv)
    if save is not None and save.resolve() == study.resolve():
        raise InputError("--save would write over the study itself: name another file")
    shared = asked.other_depths or not {"plane", "modules", "watts", "rows"}.isdisjoint(asked.questions)
    if not shared and (processes, scheduler) != (None, None):
        raise InputError(
            "--processes and --scheduler share out planes, the fewest, further depths and folders of studies: what is "
            "asked here is searched one layout after the other"
        )
    crew = crew_of(processes, scheduler)
    for file in (picture, save, csv):
        if file is not None:
            refuse_unwritable(file)
    lighting = lighting_of(direct_only=direct_only, fine=fine)
    answers = searching.answers(
        read,
        asked,
        whole_curve=picture is not None,
        lighting=lighting,
        crew=crew,
        progress_of=lambda question: progress_line(
            f"searching, {question}" if len(asked.questions) > 1 else "searching"
        ),
    )
    if picture is not None:
        _draw(picture, read, answers)
    if save is not None and isinstance(answers[0], searching.SearchAnswer):
        write_whole(save, _saved(study, save, changes, read, Layout.of(answers[0])))
        say(f"wrote {save}")
    if csv is not None:
        plane = next((one.plane for one in answers if isinstance(one, searching.PlaneAnswer)), None)
        if plane is not None:
            write_whole(csv, plane_csv(plane))
            say(f"wrote {csv}")
    show(as_json(search_document(read, answers)) if json else search_text(read, answers))
    raise ended(met=all(one.met for one in answers), finished=all(one.finished for one in answers))


def _programme(
    folder: Path,
    asked_of: Callable[[Study], SearchAsked],
    *,
    changes: list[str],
    picture: Path | None,
    save: Path | None,
    csv: Path | None,
    direct_only: bool,
    fine: bool,
    crew: Crew,
    json: bool,
) -> NoReturn:
    """Search every study of a folder."""
    from lumsim.errors import InputError, Problem, StudyError
    from lumsim.study.reading import read_studies

    if picture is not None:
        raise InputError("--picture draws one study: name its file instead of a folder")
    if save is not None and save.resolve() == folder.resolve():
        raise InputError("--save would write over the studies themselves: name another folder")
    studies = read_studies(folder, changes=changes)
    say_if_compiling()
    from lumsim.chunks import in_chunks
    from lumsim.report.files import refuse_ending, refuse_no_folder, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.programme import (
        Sign,
        programme_csv,
        programme_document,
        programme_text,
        sign_searched,
    )
    from lumsim.study.answering import lighting_of
    from lumsim.study.searching import refuse_unanswerable

    if csv is not None:
        refuse_ending(csv, ".csv", option="--csv", what="a table")
        refuse_unwritable(csv)
    if save is not None:
        refuse_no_folder(save)
    lighting = lighting_of(direct_only=direct_only, fine=fine)
    signs, problems = list[Sign](), list[Problem]()
    for one in studies:
        try:
            signs.append(Sign(study=one, asked=asked_of(one), lighting=lighting))
            refuse_unanswerable(one, signs[-1].asked)
            if save is not None and "plane" in signs[-1].asked.questions:
                raise InputError("--save writes layouts, and the plane is none: ask other questions")
        except InputError as error:
            problems.append(Problem(where=one.source, text=str(error)))
    if problems:
        raise StudyError(problems)
    targets = [[] if save is None else _files(save, one) for one in signs]
    for file, times in Counter(itertools.chain.from_iterable(targets)).items():
        if times > 1:
            raise InputError(
                f"--save would write {times} answers to {file}: ask one question (--for), or rename a study"
            )
    found = in_chunks(
        sign_searched, signs, crew=crew, progress=progress_line(f"searching {folder}"), what="study"
    )
    if save is not None:
        files = {
            file: _saved(Path(signs[number].study.source), file, changes, signs[number].study, layout)
            for number, done in found.done.items()
            for file, layout in zip(targets[number], done.layouts, strict=False)
        }
        save.mkdir(exist_ok=True)
        for file, content in files.items():
            write_whole(file, content)
        say(f"wrote {len(files)} stud{'ies' if len(files) > 1 else 'y'} to {save}")
    if csv is not None:
        write_whole(csv, programme_csv(signs, found.done))
        say(f"wrote {csv}")
    show(as_json(programme_document(signs, found.done)) if json else programme_text(signs, found.done))
    raise ended(met=all(one.met for one in found.done.values()), finished=found.finished)


def _asked(
    study: Study, questions: list[str], group: int | None, step: str | None, depths: str | None
) -> SearchAsked:
    """What the study asks, changed by what the command line says."""
    from lumsim.errors import InputError
    from lumsim.report.points import depths_of, length_of
    from lumsim.study.questions import asked_for, question_named
    from lumsim.study.usual_depths import usual_depths

    asked = study.search
    if group is not None:
        asked = replace(asked, group=group)
    if step is not None:
        asked = replace(asked, step=length_of("--step", step))
    if questions:
        asked = asked_for(asked, [question_named(text) for text in questions])
    elif not asked.questions:
        asked = replace(asked, questions=("pitch",))
    if depths is not None:
        if "pitch" not in asked.questions:
            raise InputError("--depths are for the widest row pitch: add --for pitch")
        at = usual_depths(study, asked.group) if depths == "usual" else depths_of(depths)
        asked = replace(asked, other_depths=tuple(at))
    return asked


def _refuse_files(asked: SearchAsked, picture: Path | None, save: Path | None, csv: Path | None) -> None:
    """Refuse files that no question fills, before the work."""
    from lumsim.errors import InputError
    from lumsim.report.files import PICTURE_SUFFIXES, refuse_ending

    if picture is not None:
        refuse_ending(picture, *PICTURE_SUFFIXES, option="--picture", what="a picture")
        if len({"pitch", "plane"} & set(asked.questions)) != 1:
            raise InputError(
                "--picture draws the widest row pitch or the plane: ask --for pitch, or --for plane"
            )
    if save is not None:
        refuse_ending(save, ".toml", option="--save", what="a study")
        if len(asked.questions) > 1 or "plane" in asked.questions:
            raise InputError(
                "--save writes the layout that answers one question: name it, such as --for depth"
            )
    if csv is not None:
        refuse_ending(csv, ".csv", option="--csv", what="a table")
        if "plane" not in asked.questions:
            raise InputError("--csv writes the plane of row pitch and depth: add --for plane")


def _files(folder: Path, sign: Sign) -> list[Path]:
    """Where the answers of a study go: named as it is, with the question where there are several."""
    stem, questions = Path(sign.study.source).stem, sign.asked.questions
    return [folder / f"{stem}{f'-{question}' if len(questions) > 1 else ''}.toml" for question in questions]


def _standing(*, met: bool, finished: bool) -> str:
    """What is to be known of a layout before it is built."""
    if not finished:
        return f", of a search that was stopped{'' if met else ': it does not meet the requirement'}"
    return "" if met else ", nearest to a requirement out of reach"


def _saved(source: Path, target: Path, changes: list[str], study: Study, layout: Layout) -> bytes:
    """Return the study file of an answer."""
    from lumsim.study.saving import changed_rows, saved_study

    best, own = layout.cabinet, study.cabinet
    return saved_study(
        source,
        target,
        changes=changes,
        rows=changed_rows(own, best),
        depth=None if best.box.depth == own.box.depth else best.box.depth,
        said=f"{SAID[layout.question]}{_standing(met=layout.met, finished=layout.finished)}",
    ).encode()


def _draw(picture: Path, study: Study, answers: list[SearchAnswer | PlaneAnswer]) -> None:
    """Draw the widest row pitch, or the plane."""
    from lumsim.pictures.pitch_search import draw_pitch_search
    from lumsim.pictures.plane import draw_plane
    from lumsim.pictures.writing import picture_bytes
    from lumsim.report.files import write_whole
    from lumsim.report.plane_picture import shown_plane
    from lumsim.report.search_text import search_facts
    from lumsim.study.searching import PlaneAnswer, SearchAnswer

    plane = next((one for one in answers if isinstance(one, PlaneAnswer)), None)
    found = next((one for one in answers if isinstance(one, SearchAnswer) and one.question == "pitch"), None)
    if plane is not None:
        figure = draw_plane(plane.plane, **shown_plane(study, plane))
    elif found is not None:
        figure = draw_pitch_search(
            (found.at_depth, *found.against_depth),
            title=study.title,
            units=study.units,
            requirement=study.requirement,
            own_pitch=study.cabinet.groups[found.group].row_pitch,
            own_depth=study.cabinet.box.depth,
            facts=search_facts(study, found),
        )
    else:
        # Stopped before the question that is drawn.
        return
    write_whole(picture, picture_bytes(figure, picture.suffix.lower()))
    say(f"wrote {picture}")
