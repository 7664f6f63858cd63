"""A row pitch is an answer for one depth only: the curve, the rules of thumb on it, and where they fail."""

import marimo

app = marimo.App(width="medium", app_title="6 · Pitch against depth", css_file="course.css")


with app.setup:
    import marimo as mo

    from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
    from lumsim.light.infinite_rows import InfiniteRows
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.report.columns import markdown_table
    from lumsim.report.numbers import limit_words, ratio
    from lumsim.search.endless_rows import endless_rows_curve
    from lumsim.simulation import Lighting, simulate
    from lumsim.study.reading import read_study
    from lumsim.study.searching import search
    from lumsim.uniformity.requirement import Judged
    from lumsim.units import format_length, length_number, parse_length

    redraw_without_pauses()


@app.cell(hide_code=True)
def _():
    mo.md(
        """
        # 6 · Pitch against depth: a row pitch is an answer for one depth

        By the end you can

        * say why rows in a shallow cabinet stand closer,
        * say why "12 inches on centre" is an answer for one depth only,
        * say where "row pitch at most equal to the depth" fails, and where it buys rows for nothing.

        **Stripes** are what rows too far apart make, bright over dark; 1 is perfect. What is called even here has
        stripes of at most the limit that you set.
        """
    )


@app.cell
def _():
    # Alder Hall, an invented sign: white inside, rows on the back. Its own height decides how many rows a pitch takes.
    FILE = mo.notebook_dir().parent / "studies" / "teaching" / "alder-hall-middle.toml"
    OWN = read_study(FILE)
    HEIGHT = length_number(OWN.cabinet.box.height, "in")
    USUAL = OWN.requirement.stripe_max_to_min

    def inches(count):
        """A length in metres."""
        return float(parse_length(f"{count} in"))

    def rows_of(kind, depth):
        """Rows without end of one kind of cabinet, so many inches deep: no edges, and dots washed out."""
        box, face, rows = OWN.cabinet.box, OWN.cabinet.face, OWN.cabinet.groups[0]
        double = kind == "double-sided, rows midway"
        beams = {"white, wide beam": Wide(width=2.0), "white, narrow beam": CosinePower(exponent=3.0)}
        back = face.reflectance if double else 0.05 if kind == "black" else box.back_reflectance
        return InfiniteRows(
            beam=beams.get(kind, LAMBERTIAN),
            throw=inches(depth) / 2 if double else inches(depth) - rows.z,
            depth=inches(depth),
            back_reflectance=back,
            face_reflectance=face.reflectance,
            behind=0.5 if double else 0.0,
        )

    LIMITS = [1.02, 1.05, 1.1, 1.2, 1.3, 1.5]
    KINDS = ("white", "black", "white, wide beam", "white, narrow beam", "double-sided, rows midway")

    def widest(kind, depth, limit):
        """The widest row pitch at which they are as even as a limit. [in]"""
        return length_number(rows_of(kind, depth).pitch_for(limit), "in")

    def down(pitch):
        """A widest pitch [in] in tenths, rounded down: a wider one would be above the limit."""
        return f"{10 * pitch // 1 / 10:.1f}"

    def up(depth):
        """A least depth [in] in tenths, rounded up."""
        return f"{-(-10 * depth // 1) / 10:.1f}"

    def even(kind, depth, pitch):
        """Max/min at a pitch of so many inches."""
        return rows_of(kind, depth).max_to_min(inches(pitch))

    def beside(found, limit):
        """Stripes in digits enough that they do not read as a limit that they exceed."""
        met, margin = found <= limit, limit / found - 1
        return limit_words(
            Judged(name="stripe_max_to_min", actual=found, limit=limit, met=met, margin=margin)
        )[0]

    def rows_for(pitch):
        """How many rows Alder Hall takes that stand no farther apart."""
        return int(-(-HEIGHT // pitch))

    def depth_for(pitch, limit):
        """The least depth at which rows so many inches apart, white inside, are as even as a limit. [in]"""
        return length_number(endless_rows_curve(OWN.cabinet, 0, limit, [inches(pitch)])[0], "in")

    return (
        FILE,
        HEIGHT,
        KINDS,
        LIMITS,
        OWN,
        USUAL,
        beside,
        depth_for,
        down,
        even,
        rows_for,
        up,
        widest,
    )


@app.cell
def _(LIMITS, USUAL):
    depth = mo.ui.slider(
        3, 15, step=0.5, value=8, label="depth, back to face [in]", show_value=True, full_width=True
    )
    limit = mo.ui.slider(
        steps=LIMITS,
        value=USUAL,
        label="limit: stripes at most",
        show_value=True,
        full_width=True,
    )
    return depth, limit


@app.cell
def _(LIMITS, depth_for, widest):
    THUMB, _ends = 12, (3, 9, 15)
    # What a limit alone fixes: curves, and the depth at which the thumb is right.
    lines = {
        one: [
            Curve(name="white cabinet", x=_ends, y=[widest("white", deep, one) for deep in _ends]),
            Curve(name="rule: pitch = depth", x=_ends, y=_ends),
            Curve(name=f"rule: {THUMB} in on centre", x=_ends, y=[THUMB for _ in _ends]),
        ]
        for one in LIMITS
    }
    right_depth = {one: depth_for(THUMB, one) for one in LIMITS}
    return THUMB, lines, right_depth


@app.cell(hide_code=True)
def _(HEIGHT, THUMB, beside, depth, down, even, limit, lines, right_depth, rows_for, up, widest):
    _curves = lines[limit.value]
    _deep, _widest = depth.value, widest("white", depth.value, limit.value)
    _by_depth, _by_thumb = even("white", _deep, _deep), even("white", _deep, THUMB)

    def _verdict(pitch, found):
        if found > limit.value:
            return f"stripes {beside(found, limit.value)}: **too wide**"
        more = rows_for(pitch) - rows_for(_widest)
        spare = f"{more} row{'s' if more > 1 else ''} more than need be" if more > 0 else "no row to spare"
        return f"stripes {beside(found, limit.value)}: even, {spare}"

    _figure = draw_curves(
        _curves,
        x_label="depth, back to face [in]",
        y_label="widest even row pitch [in]",
        marks=[(_deep, f"{_deep:g} in deep: {down(_widest)} in")],
        y_range=(0.0, 30.0),
        units="in",
    )
    mo.hstack(
        [
            mo.vstack(
                [
                    depth,
                    limit,
                    mo.md(
                        f"""
                        White inside, {_deep:g} in deep: rows may stand **{down(_widest)} in** apart
                        ({rows_for(_widest)} in a face {HEIGHT:g} in high).

                        * pitch = depth, {_deep:g} in: {_verdict(_deep, _by_depth)}
                        * {THUMB} in on centre: {_verdict(THUMB, _by_thumb)}

                        {THUMB} in on centre is the answer at **{up(right_depth[limit.value])} in** deep.
                        Shallower, its stripes are above the limit; deeper, rows may stand farther apart.
                        """
                    ),
                ],
                gap=1,
            ),
            mo.Html(
                picture_html(
                    _figure,
                    alt=f"Widest even row pitch against depth, stripes at most {limit.value:g}. "
                    + " ".join(
                        f"{one.name}: {one.y[0]:.1f} in at {one.x[0]} in, {one.y[-1]:.1f} in at {one.x[-1]} in."
                        for one in _curves
                    )
                    + f" White cabinet {_deep:g} in deep: {down(_widest)} in.",
                )
            ),
        ],
        widths=[4, 6],
        align="start",
    )


@app.cell(hide_code=True)
def _(HEIGHT, KINDS, beside, depth, down, even, limit, rows_for, widest):
    _deep = depth.value

    _most = {kind: widest(kind, _deep, limit.value) for kind in KINDS}
    _stripes = {kind: even(kind, _deep, _deep) for kind in KINDS}
    failing = [kind for kind in KINDS if _stripes[kind] > limit.value]
    wasting = [kind for kind in KINDS if kind not in failing and rows_for(_deep) > rows_for(_most[kind])]

    def _line(kind):
        by_rule = rows_for(_deep)
        if kind in failing:
            says = "**fails: striped**"
        elif kind in wasting:
            says = f"**wastes rows**: {by_rule} where {rows_for(_most[kind])} do"
        else:
            says = f"holds: {by_rule}"
        return [kind, f"{down(_most[kind])} in", beside(_stripes[kind], limit.value), says]

    def _told(kinds):
        """Kinds of cabinet in words."""
        return f"{len(kinds)} of {len(KINDS)} ({'; '.join(kinds)})" if kinds else "none"

    mo.md(
        f"**Where the rule fails, and where it wastes rows.** Rows as far apart as the cabinet is deep, {_deep:g} in, "
        f"stripes at most {limit.value:g}, counted in a face {HEIGHT:g} in high; rows without end, modules 1/2 in off "
        "the back:\n\n"
        + markdown_table(
            ["cabinet", "widest even pitch", "stripes at pitch = depth", "what the rule does"],
            [_line(kind) for kind in KINDS],
        )
        + f"\n\nIt leaves stripes in {_told(failing)}. It wastes rows in {_told(wasting)}.\n\n"
        "What counts is the **throw**, from the module to the face. Depth is not throw: modules stand off the back, in "
        "a shallow cabinet by a large part of it, and midway between two faces the throw is half the depth. Nor does "
        "the rule know the paint or the beam."
    )


@app.cell
def _(FILE, USUAL, down, widest):
    # The widest row pitch of the real cabinet, with whole rows, returns and dots: lumsim's own search.
    lighting = Lighting(patches_in_depth=4)
    searched = {}
    for _depth in mo.status.progress_bar((5, 8, 10), title="searching Alder Hall", remove_on_exit=True):
        _study = read_study(FILE, changes=[f"cabinet.depth={_depth} in"])
        searched[_depth] = search(_study, "pitch", lighting=lighting).at_depth.best
    # Built at the pitch that rows without end would allow, at the last depth.
    endless_pitch = f"{down(widest('white', _depth, USUAL))} in"
    _study = read_study(FILE, changes=[f"cabinet.depth={_depth} in", f"rows.pitch={endless_pitch}"])
    as_endless = simulate(_study.cabinet, _study.requirement, lighting=lighting)
    return as_endless, endless_pitch, lighting, searched


@app.cell(hide_code=True)
def _(
    FILE,
    HEIGHT,
    OWN,
    USUAL,
    as_endless,
    beside,
    down,
    endless_pitch,
    lighting,
    rows_for,
    searched,
    widest,
):
    _lines = [
        [
            f"{deep} in",
            f"{down(widest('white', deep, USUAL))} in",
            format_length(found.pitch, "in"),
            str(found.rows.count),
            ratio(found.evenness.max_to_min),
            str(rows_for(deep)),
            f"{rows_for(12)}, striped" if length_number(found.pitch, "in") < 12 else f"{rows_for(12)}",
        ]
        for deep, found in searched.items()
    ]
    _last, _endless = searched[max(searched)], as_endless.evenness
    _closer = [
        deep
        for deep, found in searched.items()
        if length_number(found.pitch, "in") < widest("white", deep, USUAL)
    ]
    _below = "each depth" if len(_closer) == len(searched) else f"{len(_closer)} of {len(searched)} depths"
    _paint = ["interior.back_reflectance=0.05", "interior.return_reflectance=0.05"]
    _white, _black = (
        simulate(study.cabinet, study.requirement, lighting=lighting).evenness
        for study in (read_study(FILE, changes=["rows.pitch=8 in", *paint]) for paint in ([], _paint))
    )
    _most = OWN.requirement.max_to_min
    _fine = _black.stripe_max_to_min <= USUAL < _most < _black.max_to_min
    mo.md(
        f"**In a real cabinet.** Alder Hall, 84 × 36 in, searched by lumsim for stripes at most {USUAL:g} and max/min, "
        f"the brightest place of the whole face over its darkest, at most {_most:g}:\n\n"
        + markdown_table(
            [
                "depth",
                "rows without end",
                "Alder Hall, to build",
                "its rows",
                "its max/min",
                "rows by pitch = depth",
                "rows by 12 in",
            ],
            _lines,
        )
        + f"\n\nAt {_below} Alder Hall's rows stand closer than rows without end might: those know nothing of returns, "
        f"edges and dots, nor that {HEIGHT:g} in hold a whole number of rows. {max(searched)} in deep and "
        f"{endless_pitch} apart it would have {len(as_endless.cabinet.row_lines)} rows, the outermost "
        f"{length_number(as_endless.cabinet.row_lines[0], 'in'):.1f} in from the returns, with stripes "
        f"{beside(_endless.stripe_max_to_min, USUAL)} and max/min {ratio(_endless.max_to_min)}. The search gives "
        f"{_last.rows.count} rows, stripes {beside(_last.evenness.stripe_max_to_min, USUAL)} and max/min "
        f"{ratio(_last.evenness.max_to_min)}."
        "\n\n**Edges are another matter.** Both rules of thumb speak of stripes alone. At 8 in deep and 8 in on centre "
        f"Alder Hall has stripes {ratio(_white.stripe_max_to_min)} in white and {ratio(_black.stripe_max_to_min)} in "
        "black. "
        f"Max/min of the whole face is {ratio(_white.max_to_min)} in white and {ratio(_black.max_to_min)} in black"
        + (": the rule is kept, and the edges are dark." if _fine else ".")
    )


@app.cell(hide_code=True)
def _():
    # As printed in tests/published/values.toml; lengths there are in throws.
    quoted = {
        "pitch-equal-to-depth: pitch 1, throw 1": "1.025",
        "rows-pitch: max/min 1.05": "1.13176",
        "rows-pitch: max/min 1.20": "1.53128",
        "rows-pitch: max/min 1.50": "1.96056",
    }
    _plain = InfiniteRows(beam=LAMBERTIAN, throw=1.0, depth=1.0)
    computed = {
        "pitch-equal-to-depth: pitch 1, throw 1": _plain.max_to_min(1.0),
        **{f"rows-pitch: max/min {one:.2f}": _plain.pitch_for(one) for one in (1.05, 1.2, 1.5)},
    }
    _lines = "\n".join(
        f"* {key.split(': ')[1].replace('max/min', 'stripes')}: {printed} throws; lumsim {computed[key]:.5f}"
        for key, printed in quoted.items()
        if key.startswith("rows-pitch")
    )
    _thumb = "pitch-equal-to-depth: pitch 1, throw 1"
    mo.md(
        '**What others say.** "Row pitch at most equal to the depth" and "12 inches on centre" are rules of thumb: '
        "common practice, no source. Rows without end whose pitch equals their throw have stripes of "
        f"{quoted[_thumb]}, black inside; lumsim {computed[_thumb]:.4f}. The pitch at which their stripes come up to a "
        f"limit, worked out from a table of integrals (Gradshteyn and Ryzhik 6.565.4):\n\n{_lines}\n\n*So many digits "
        "only to show that both agree.*"
    )
    return computed, quoted


@app.cell(hide_code=True)
def _(THUMB, USUAL, beside, down, even, right_depth, rows_for, up, widest):
    _shallow, _deep, _strict = 5, 12, 1.1
    _double = "double-sided, rows midway"
    _at_thumb, _both = even("white", _shallow, THUMB), even(_double, _deep, _deep)
    answers = {
        f"{THUMB} in on centre looked fine in white, 8 in deep. The next cabinet is {_shallow} in deep. What now?": (
            f"There {THUMB} in gives stripes {beside(_at_thumb, USUAL)}, limit {USUAL:g}: "
            f"{'too wide' if _at_thumb > USUAL else 'still even'}. Rows may stand "
            f"{down(widest('white', _shallow, USUAL))} in apart: "
            f"{rows_for(widest('white', _shallow, USUAL))} rows in a face that took {rows_for(THUMB)}."
        ),
        f"A double-sided cabinet {_deep} in deep, rows midway, {_deep} in on centre: pitch equals depth. Is it even?": (
            f"{'Yes' if _both <= USUAL else 'No'}: stripes {beside(_both, USUAL)}, limit {USUAL:g}. The throw is half "
            f"the depth, so pitch is twice the throw. Rows may stand {down(widest(_double, _deep, USUAL))} in apart."
        ),
        f"The customer asks for stripes of at most {_strict}, the stock is cut for {THUMB} in on centre. How deep?": (
            f"{up(right_depth[_strict])} in at least, white inside. For stripes of at most {USUAL:g} it is "
            f"{up(right_depth[USUAL])} in: {THUMB} in on centre is an answer for one depth, and for one limit."
        ),
    }
    mo.vstack([mo.md("**Three questions.** Answer them aloud, then open them."), mo.accordion(answers)])
    return (answers,)


if __name__ == "__main__":
    app.run()
