"""The paper that justifies a spacing: requirement and verdict first, then inputs, pictures, method, what to build."""

from __future__ import annotations

from lumsim import __version__
from lumsim.errors import InputError
from lumsim.paper.document import Drawing, Items, Paper, Part, Picture, Said, Section, Table, Verdict
from lumsim.paper.inputs_table import inputs_blocks
from lumsim.paper.light_tables import (
    evenness_block,
    flux_block,
    luminance_block,
    requirement_block,
    spots_blocks,
)
from lumsim.paper.method import method_parts
from lumsim.paper.title_table import running_head, title_entries
from lumsim.pictures.assembly_plan import draw_assembly
from lumsim.pictures.cabinet_section import draw_cabinet_section
from lumsim.pictures.face_map import draw_face
from lumsim.pictures.plane import draw_plane
from lumsim.pictures.profiles import draw_profiles
from lumsim.pictures.seen_face import draw_seen_face
from lumsim.pictures.writing import pdf_picture
from lumsim.report.cautions import CAUTIONS
from lumsim.report.columns import Block
from lumsim.report.light_text import cabinet_text, picture_facts, verdict_line
from lumsim.report.named_text import named_lines
from lumsim.report.notes import light_followed
from lumsim.report.numbers import significant
from lumsim.report.plane_picture import shown_plane
from lumsim.report.seeing_text import viewing_blocks
from lumsim.report.sentences import sentence
from lumsim.report.sheet_text import sheet_blocks, sheet_verdict, sheet_warnings
from lumsim.simulation import LitFace, Simulation
from lumsim.study.reading import Study
from lumsim.study.submitting import SubmittalAnswer

__all__ = ["submittal_paper"]

SAYS_NO_MORE = (
    "What is told here is arithmetic from the inputs below: whether the sign may be built so is for codes, permits and "
    "those who are licensed to say."
)
"""Beside every verdict."""


def submittal_paper(study: Study, answer: SubmittalAnswer) -> Paper:
    """All pages of a submittal.

    Parameters
    ----------
    study : Study
    answer : SubmittalAnswer
        Of that study.
    """
    block = study.title_block
    return Paper(
        kind="Submittal: evenness of a lit sign face",
        title=study.title,
        units=study.units,
        running=running_head(study),
        foot=f"Computed by lumsim {__version__}, {light_followed(answer.own)}; arithmetic from the inputs, no approval",
        title_block=title_entries(study),
        author=block.prepared_by,
        sections=[
            Section(title="Requirement and verdict", parts=_verdict_parts(study, answer)),
            Section(title="What is proposed", parts=_proposed(study)),
            Section(title="Inputs, and where each comes from", parts=_inputs(study), new_page=True),
            Section(title="Section and plan", parts=_plan(study, answer), landscape=True),
            Section(title="The lit face", parts=_face(study, answer), landscape=True),
            Section(title="Numbers", parts=_numbers(study, answer), new_page=True),
            *_noticed(study, answer),
            Section(
                title="Row pitch and depth around this design",
                parts=_plane(study, answer),
                landscape=answer.plane is not None,
            ),
            Section(
                title="How it was computed, and how exact it is",
                parts=method_parts(study, answer),
                new_page=True,
            ),
            Section(title="Build sheet and power", parts=_build(study, answer), new_page=True),
            Section(title="Cautions", parts=[Items(items=[sentence(one) for one in CAUTIONS])]),
        ],
    )


def _verdict_parts(study: Study, answer: SubmittalAnswer) -> list[Part]:
    own, sheet = answer.own, answer.sheet
    decides = own.deciding.verdict
    parts: list[Part] = []
    told = [verdict_line(own)]
    if sheet.on_wire is not None or sheet.dark or sheet.assembly.refused:
        told.append(sheet_verdict(sheet))
    # What stands before the colon of each is said by the head and the foot of the page.
    text = " ".join(sentence(one.partition("): ")[2]) for one in told)
    by = "as computed" if own.reflected is not None else "as computed by direct light only"
    if sheet.dark or sheet.assembly.refused:
        parts.append(Verdict(state="missed", head="It is NOT to be built as asked", text=text))
    elif not decides.judged:
        parts.append(Verdict(state="none", head="Nothing is required", text=text))
    elif answer.met:
        parts.append(Verdict(state="met", head=f"The requirement is met, {by}", text=text))
    else:
        parts.append(Verdict(state="missed", head=f"The requirement is NOT met, {by}", text=text))
    if decides.judged:
        state = "" if own.aged is None else ", in the state that decides, new or aged"
        parts.append(Table(block=requirement_block(decides, f"Limits{state}"), widths=(2, 2, 2, 2, 1)))
    if sheet.on_wire is not None and sheet.built.deciding.verdict.judged:
        parts.append(
            Table(
                block=requirement_block(
                    sheet.built.deciding.verdict, "The same with what the wire leaves each module"
                ),
                widths=(2, 2, 2, 2, 1),
            )
        )
    named = [line.strip() for line in named_lines(study, own)]
    if named:
        parts += [Said(text=named[0]), Items(items=[sentence(line) for line in named[1:]])]
    parts.append(Said(text=SAYS_NO_MORE, note=True))
    told_of = sheet_warnings(study, sheet)
    if told_of:
        parts += [Said(text="To be borne in mind:"), Items(items=[sentence(one) for one in told_of])]
    return parts


def _proposed(study: Study) -> list[Part]:
    """What is built, as the text of a lit sign tells it."""
    rows: list[list[str]] = []
    for line in cabinet_text(study)[1:]:
        label, text = line[2:12].strip(), line[12:].strip()
        if label == "defaults":
            continue
        if label or not rows:
            rows.append([label, text])
        else:
            rows[-1][1] += f"; {text}"
    return [
        Table(block=Block(head="", heads=["", ""], rows=rows), widths=(0, 1)),
    ]


def _which(own: Simulation, lit: LitFace) -> str:
    if own.rear is None:
        return "The face"
    return "Each face" if own.cabinet.mirrored_faces else f"The {lit.side} face"


def _as_seen(study: Study, answer: SubmittalAnswer, lit: LitFace) -> Picture:
    own = answer.own
    which = _which(own, lit)
    figure = draw_seen_face(
        own, title=study.title, units=study.units, facts=picture_facts(own, lit.side), side=lit.side
    )
    return Picture(
        picture=pdf_picture(figure),
        caption=f"{which} as the eye would see it, where a screen or a print shows ratios true.",
        told=f"{which} in greys, in the dark",
    )


def _inputs(study: Study) -> list[Part]:
    parts: list[Part] = [
        Table(block=block, widths=(6, 4, 3), both_units=False) for block in inputs_blocks(study)
    ]
    if study.notes:
        parts.append(Items(items=[sentence(note) for note in study.notes]))
    return parts


def _plan(study: Study, answer: SubmittalAnswer) -> list[Part]:
    upkeep, own = study.building.upkeep, answer.own
    section = draw_cabinet_section(own, title=study.title, units=study.units, facts=picture_facts(own))
    parts: list[Part] = [
        Picture(
            picture=pdf_picture(section),
            caption="Section across the rows, the same scale both ways, with rays of the modules and the luminance "
            "outside.",
            told="Section through the cabinet with its modules, their throw, rays, and the luminance of the face",
        )
    ]
    try:
        figure = draw_assembly(
            answer.sheet.assembly,
            study.cabinet,
            supplies_at=upkeep.supplies_at,
            supply_size=upkeep.supply_size,
            title=study.title,
        )
    except InputError as error:
        return [*parts, Said(text=f"There is no plan of it: {error}")]
    told = "Plan of the cabinet from in front with its rows, modules, supports, feeds and supplies, and its section"
    return [
        *parts,
        Said(
            text="Plan and small section stand on the next page, true to scale on paper of its own size; the bar in "
            "its title strip tells whether a copy still is."
        ),
        Drawing(picture=pdf_picture(figure), told=told),
    ]


def _face(study: Study, answer: SubmittalAnswer) -> list[Part]:
    own, units = answer.own, study.units
    parts: list[Part] = []
    alike = own.cabinet.mirrored_faces
    for lit in own.faces[:1] if alike else own.faces:
        which = _which(own, lit)
        title, facts, side = study.title, picture_facts(own, lit.side), lit.side
        levels = [significant(one.value, 4) for one in (lit.evenness.darkest, lit.evenness.brightest)]
        seen = draw_face(own, title=title, units=units, facts=facts, side=side)
        profiles = draw_profiles(own, title=title, units=units, facts=facts, side=side)
        parts += [
            Picture(
                picture=pdf_picture(seen),
                caption=f"{which} in false colours, with contour lines, hot and dark spots, and its profile.",
                told=f"{which}: map of luminance, {levels[0]} to {levels[1]} cd/m²",
            ),
            _as_seen(study, answer, lit),
            Picture(
                picture=pdf_picture(profiles),
                caption=f"{which}: luminance across the rows and along them.",
                told=f"{which}: profiles of luminance across the rows and along them",
            ),
        ]
    return parts


def _numbers(study: Study, answer: SubmittalAnswer) -> list[Part]:
    own, units = answer.own, study.units
    return [
        Table(block=evenness_block(own, units), widths=(2, 1, 5)),
        Table(block=luminance_block(own, units), widths=(1, 1, 1, 3)),
        Table(block=flux_block(own), widths=(3, 1, 1, 3)),
        *(Table(block=block) for block in spots_blocks(own.worse, units)),
    ]


def _noticed(study: Study, answer: SubmittalAnswer) -> list[Section]:
    """What the eye may notice; nothing where the study names no distance."""
    blocks = viewing_blocks(study, answer.own)
    parts = [Table(block=block) for block in blocks]
    return [Section(title="What the eye may notice", parts=parts)] if blocks else []


def _plane(study: Study, answer: SubmittalAnswer) -> list[Part]:
    found = answer.plane
    if found is None:
        return [Said(text=f"No plane of row pitch and depth: {answer.no_plane}")]
    figure = draw_plane(found.plane, **shown_plane(study, found))
    return [
        Picture(
            picture=pdf_picture(figure),
            caption="Evenness over row pitch and depth, everything else as in this study; this design is marked.",
            told="Map of max/min over row pitch and depth with this design marked",
        )
    ]


def _build(study: Study, answer: SubmittalAnswer) -> list[Part]:
    return [Table(block=block) for block in sheet_blocks(study, answer.sheet)]
