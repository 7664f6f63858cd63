"""From an order to what the shop cuts, holds and powers: light it, search it, take the answer, print the sheet."""

import marimo

app = marimo.App(width="medium", app_title="7 · From order to build sheet", css_file="course.css")


with app.setup:
    import marimo as mo

    from lumsim.pictures.assembly_plan import draw_assembly
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.face_profiles import profiles_of
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.report.cautions import CAUTIONS
    from lumsim.report.columns import plural
    from lumsim.report.light_text import cabinet_text, verdict_line, watts_of
    from lumsim.report.notes import LIMITS_OF_THE_SHEET, little_to_spare
    from lumsim.report.numbers import ratio, spared
    from lumsim.report.search_text import LITTLE_TO_SPARE
    from lumsim.report.sentences import sentence
    from lumsim.report.sheet_text import sheet_blocks, sheet_verdict, sheet_warnings
    from lumsim.sheet.assembly import string_length
    from lumsim.sheet.class_2 import class_2_limits
    from lumsim.sheet.wire import Wire
    from lumsim.simulation import Lighting
    from lumsim.study.reading import read_study
    from lumsim.study.searching import search
    from lumsim.study.sheeting import sheet
    from lumsim.uniformity.names import NAMES
    from lumsim.units import format_length, length_number, parse_length

    redraw_without_pauses()


@app.cell(hide_code=True)
def _():
    mo.md(
        """
        # 7 · From an order to a build sheet

        By the end you can

        * take an order, say whether it will look even, and find the rows that will,
        * read a build sheet: what to mark out, cut, hold and power, and what it does not promise.

        **Stripes** are what rows too far apart make, **max/min** is the whole face, its brightest place over its
        darkest. **Luminance**, in cd/m², is what the eye gets from a place of the face.
        """
    )


@app.cell
def _():
    _file = mo.notebook_dir().parent / "studies" / "teaching" / "gull-rock-order.toml"
    ORDERED, DEPTHS = 6, (5, 6, 8)

    def worked_out(depth):
        deep = [f"cabinet.depth={depth} in"]
        ordered = read_study(_file, changes=deep)
        lighting = Lighting(patches_in_depth=4)
        found = search(ordered, "pitch", lighting=lighting)
        pitch = format_length(found.found.best.pitch, ordered.units)
        taken = read_study(_file, changes=[*deep, f"rows.pitch={pitch}"])
        answer = sheet(taken, lighting=lighting, what_if=False)
        return ordered, found, taken, answer

    orders = {}

    def order_at(depth):
        """The order at a depth in inches: as it came, the widest row pitch that will do, and what to build."""
        if depth not in orders:
            with mo.status.spinner(title=f"lighting and searching the order, {depth} in deep"):
                orders[depth] = worked_out(depth)
        return orders[depth]

    return DEPTHS, ORDERED, order_at, orders


@app.cell
def _():
    def plan_of(taken, answer):
        """The drawing of what to build, true to scale."""
        assembly, upkeep = answer.assembly, taken.building.upkeep
        drawn = draw_assembly(
            assembly,
            taken.cabinet,
            supplies_at=upkeep.supplies_at,
            supply_size=upkeep.supply_size,
            title=taken.title,
        )
        lines = ", ".join(format_length(row.across, taken.units) for row in assembly.rows)
        return mo.Html(
            picture_html(
                drawn,
                alt=f"Building plan: {len(assembly.rows)} rows of {assembly.rows[0].count} modules, their lines at "
                f"{lines} from the bottom return; {len(assembly.supplies.supplies)} supplies.",
            )
        )

    def plan_when_opened(taken, answer):
        """The drawing, made when somebody wants to see it."""
        return mo.lazy(lambda: plan_of(taken, answer), show_loading_indicator=True)

    return plan_of, plan_when_opened


@app.cell
def _(DEPTHS, ORDERED):
    depth = mo.ui.slider(
        steps=DEPTHS, value=ORDERED, label="depth of the cabinet [in]", show_value=True, full_width=True
    )
    return (depth,)


@app.cell(hide_code=True)
def _(depth, order_at):
    _ordered, _found, _taken, _answer = order_at(depth.value)
    _states = {"as ordered": _found.own, "as answered": _answer.built}
    _curves = []
    for _name, _lit in _states.items():
        _across, _ = profiles_of(_lit.front)
        _curves.append(Curve(name=_name, x=_across.places_in("in"), y=_across.mean))
    _told = {
        name: f"stripes {ratio(lit.evenness.stripe_max_to_min)}, max/min {ratio(lit.evenness.max_to_min)}, "
        f"{len(lit.cabinet.row_lines)} rows"
        for name, lit in _states.items()
    }
    _pitch = format_length(_found.found.best.pitch, "in")
    _own = format_length(_ordered.cabinet.groups[0].row_pitch, "in")
    _cabinet = "\n".join(cabinet_text(_ordered))
    _verdict = _answer.built.verdict
    if _verdict.met:
        _outcome = f"**met**, {NAMES[_verdict.tightest.name]} with {spared(_verdict.tightest)}"
        _outcome += f". {LITTLE_TO_SPARE}" if little_to_spare(_verdict) else "."
    else:
        _outcome = "**NOT met**."
    mo.vstack(
        [
            mo.hstack(
                [
                    mo.vstack(
                        [
                            depth,
                            mo.md(
                                f"""
                                **Step 1, the order.** Rows {_own} on centre, as always, {depth.value} in deep. Asked
                                for: stripes at most {_ordered.requirement.stripe_max_to_min:g}, max/min at most
                                {_ordered.requirement.max_to_min:g}.

                                **Step 2, light it.** As ordered: {_told["as ordered"]}. The requirement is
                                **{"met" if _found.own.met else "NOT met"}**.

                                **Step 3, search.** The widest row pitch on a half-inch mark that meets it:
                                **{_pitch}**, {_found.found.best.rows.count} rows.

                                **Step 4, take the answer.** {_told["as answered"].capitalize()}: the requirement is
                                {_outcome}
                                """
                            ),
                        ],
                        gap=1,
                    ),
                    mo.Html(
                        picture_html(
                            draw_curves(
                                _curves,
                                x_label="height above the bottom return [in]; strokes: rows as answered",
                                y_label="luminance, mean along the rows [cd/m²]",
                                marks=[(length_number(line, "in"), "") for line in _taken.cabinet.row_lines],
                                units="in",
                                white=max(lit.evenness.brightest.value for lit in _states.values()),
                            ),
                            alt="Luminance across the face. "
                            + " ".join(f"{name}: {said}." for name, said in _told.items()),
                        )
                    ),
                ],
                widths=[4, 6],
                align="start",
            ),
            mo.accordion(
                {
                    "The order as lumsim reads it, and its verdict": mo.vstack(
                        [mo.plain_text(_cabinet), mo.md(verdict_line(_found.own))]
                    )
                }
            ),
        ]
    )


@app.cell(hide_code=True)
def _(depth, order_at, plan_when_opened):
    _, _, _taken, _answer = order_at(depth.value)

    def _block(block):
        """A part of the build sheet as Markdown."""
        table = ""
        if block.heads:
            lines = [block.heads, ["---"] * len(block.heads), *block.rows]
            table = "\n".join(f"| {' | '.join(cells)} |" for cells in lines)
        below = "\n".join(f"* {text}" for text in (*block.leads, *block.notes))
        return mo.md("\n\n".join(part for part in (f"{block.head}.", table, below) if part))

    _blocks = sheet_blocks(_taken, _answer)
    _lines = ", ".join(format_length(row.across, _taken.units) for row in _answer.assembly.rows)
    _titles = [block.head.replace(":", ",").split(",")[0] for block in _blocks]

    _warnings = "\n".join(f"* WARNING: {text}" for text in sheet_warnings(_taken, _answer))
    _cautions = "\n".join(f"* {sentence(text)}" for text in CAUTIONS)
    mo.vstack(
        [
            mo.md(
                f"**Step 5, the build sheet**, for {depth.value} in deep: as lumsim prints it, by what the order "
                "says of string, supports and supplies. All of these are invented. Lines of the rows, from the bottom "
                f"return: **{_lines}**."
            ),
            mo.accordion(
                {
                    **{title: _block(block) for title, block in zip(_titles, _blocks, strict=True)},
                    "The drawing, for paper: its letters are small on a screen": plan_when_opened(
                        _taken, _answer
                    ),
                },
                multiple=True,
            ),
            mo.md(f"{_warnings}\n\n{sheet_verdict(_answer)}\n\n{sentence(LIMITS_OF_THE_SHEET)}"),
            mo.callout(mo.md(f"**Cautions**\n\n{_cautions}"), kind="warn"),
        ],
        gap=1,
    )


@app.cell
def _(DEPTHS, order_at):
    # What each depth takes, as it would be bought.
    taken_by = {
        deep: {
            "rows": len(answer.assembly.rows),
            "modules": taken.cabinet.modules,
            "watts": watts_of(taken.cabinet),
            "supplies": len(answer.assembly.supplies.supplies),
            "mean": answer.built.evenness.mean,
        }
        for deep, (_, _, taken, answer) in ((one, order_at(one)) for one in DEPTHS)
    }
    return (taken_by,)


@app.cell(hide_code=True)
def _(order_at, taken_by):
    _lines = "\n".join(
        f"| {deep} in | {'met' if order_at(deep)[1].own.met else '**not met**'} "
        f"| {format_length(order_at(deep)[1].found.best.pitch, 'in')} | {one['rows']} | {one['modules']} "
        f"| {one['watts']:.1f} W | {one['supplies']} | {one['mean']:.0f} cd/m² |"
        for deep, one in taken_by.items()
    )
    mo.md(
        "**What depth is worth.** The same order at three depths:\n\n"
        "| depth | as ordered | widest row pitch | rows | modules | power | supplies | mean luminance |\n"
        f"|---|---|---|---|---|---|---|---|\n{_lines}"
    )


@app.cell(hide_code=True)
def _():
    # As printed in tests/published/electrical.toml.
    quoted = {"table-8-strands: AWG 18": "7.95", "class-2-rated-power: 12 V": "60"}
    computed = {
        "table-8-strands: AWG 18": Wire.of_gauge(18, temperature=75.0).resistance_per_metre
        * float(parse_length("1000 ft")),
        "class-2-rated-power: 12 V": class_2_limits(12.0).rated_volt_amperes,
    }
    mo.md(
        "**What others say.** Of 18 AWG copper in strands, at 75 °C, a thousand feet have "
        f"{quoted['table-8-strands: AWG 18']} Ω (NEC chapter 9, table 8); lumsim says "
        f"{computed['table-8-strands: AWG 18']:.3f} Ω. A class 2 supply at 12 V is rated for at most "
        f"{quoted['class-2-rated-power: 12 V']} VA (table 11(B), as quoted elsewhere); lumsim goes by "
        f"{computed['class-2-rated-power: 12 V']:g} VA. Whether a supply is one, its label says; local codes decide."
    )
    return computed, quoted


@app.cell(hide_code=True)
def _(ORDERED, order_at, taken_by):
    _shallow, _deep = 5, 8
    _dear, _here, _cheap = (taken_by[one] for one in (_shallow, ORDERED, _deep))
    _assembly = order_at(ORDERED)[3].assembly
    _row = _assembly.rows[0]
    _cut = format_length(string_length(_row, _assembly.pitches.get(_row.kind.name)), "in")

    def _supplies(count):
        return f"{count} {'supply' if count == 1 else 'supplies'}"

    _were = "as before" if _dear["supplies"] == _here["supplies"] else f"in place of {_here['supplies']}"
    answers = {
        f"The customer wants it {_shallow} in deep, not {ORDERED} in. What does that cost?": (
            f"{plural(_dear['rows'], 'row')} in place of {_here['rows']}, {_dear['modules'] - _here['modules']} more "
            f"modules, {_dear['watts'] - _here['watts']:.1f} W more, and {_supplies(_dear['supplies'])} {_were}. "
            f"{_deep} in deep, {plural(_cheap['rows'], 'row')} and {_supplies(_cheap['supplies'])} would do."
        ),
        f"What does the shop cut and hold for one row at {ORDERED} in?": (
            f"A string of {_row.count} modules, {_cut} long. Its first module is {format_length(_row.first, 'in')} "
            f"from the left return. It is held at {len(_assembly.held.places[0])} supports."
        ),
        "The sheet says that the requirement is met. May it be plugged in?": (
            f"That is not lumsim's to say: read all {len(CAUTIONS)} cautions. {sentence(CAUTIONS[0])} "
            f"{sentence(CAUTIONS[1])}"
        ),
    }
    mo.vstack([mo.md("**Three questions.** Answer them aloud, then open them."), mo.accordion(answers)])
    return (answers,)


if __name__ == "__main__":
    app.run()
