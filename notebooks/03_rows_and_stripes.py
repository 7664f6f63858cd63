"""How striped rows look hangs on row pitch over throw, and on neither of them alone."""

import marimo

app = marimo.App(width="medium", app_title="3 · Rows and stripes", css_file="course.css")


@app.cell
def _():
    import marimo as mo

    from lumsim.beams.closed import LAMBERTIAN
    from lumsim.cabinet.box import Box
    from lumsim.cabinet.cabinet import Cabinet
    from lumsim.cabinet.face import Face
    from lumsim.cabinet.modules import Module
    from lumsim.cabinet.places import place
    from lumsim.cabinet.rows import Rows
    from lumsim.light.direct import DirectLight
    from lumsim.light.infinite_rows import InfiniteRows
    from lumsim.light.modules_in_line import along_line
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.units import format_close, parse_length

    redraw_without_pauses()

    return (
        Box,
        Cabinet,
        Curve,
        DirectLight,
        Face,
        InfiniteRows,
        LAMBERTIAN,
        Module,
        Rows,
        along_line,
        draw_curves,
        format_close,
        mo,
        parse_length,
        picture_html,
        place,
    )


@app.cell
def _(mo):
    mo.md("""
    # 3 · Rows and stripes: pitch over throw is what counts

    By the end you can

    * say why "12 inches on centre" is an answer for one depth only;
    * say from row pitch and throw how striped plain modules make a face.

    The **throw** is the distance from the modules to the face, the **row pitch** that from row to row. **Stripes** are
    what rows too far apart make: bright over the rows, dark between them. As a number, the brightest over the darkest
    of them; 1 is perfect.

    Here are two cabinets with rows of modules on the back. The large one has **everything twice as large**: width,
    height, throw, row pitch, module pitch. Both are black inside, where all light comes straight from the modules: a
    white cabinet is more even (lesson 4). The modules are plain ones: other beams have a curve of their own (lesson 5).
    """)
    return


@app.cell
def _(mo):
    pitch_slider = mo.ui.slider(
        3, 9, step=0.5, value=6, label="row pitch, small cabinet [in]", show_value=True, full_width=True
    )
    throw_slider = mo.ui.slider(
        3, 6, step=0.5, value=4, label="throw, small cabinet [in]", show_value=True, full_width=True
    )
    mo.hstack([pitch_slider, throw_slider], widths="equal", gap=3)
    return pitch_slider, throw_slider


@app.cell
def _(Box, Cabinet, DirectLight, Face, Module, Rows, along_line, format_close, parse_length, place):
    def metres(inches):
        """A length in inches, in metres."""
        return float(parse_length(f"{inches} in"))

    def told(length):
        """A length [m] in words."""
        return f"{format_close(length, 'in', digits=3)} ({format_close(length, 'mm', digits=3)})"

    def places_across(height, pitch):
        """Rows of a pitch across a face of a height [in]."""
        return place(parse_length(f"{height} in"), pitch=parse_length(f"{pitch} in"))

    def cabinet_of(pitch, throw, times):
        """The small cabinet, or one so many times as large."""
        width, height = 60 * times, 30 * times
        rows = Rows(
            module=Module(name="lesson", lumens=50.0),
            direction="horizontal",
            rows=places_across(height, pitch * times),
            modules=place(parse_length(f"{width} in"), pitch=parse_length(f"{times} in")),
        )
        box = Box(width=metres(width), height=metres(height), depth=metres(throw * times))
        return Cabinet(box=box, face=Face(transmittance=0.4, reflectance=0.4), groups=(rows,))

    def up_the_face(cabinet):
        """Light up the middle of the face: share of the height [%] and light [% of the brightest place]."""
        box = cabinet.box
        light = DirectLight(cabinet.sources(), box.depth)
        found, lux = along_line(light, (box.width / 2, 0.0), (box.width / 2, box.height), samples=201)
        return 100 * found / box.height, 100 * lux / max(lux)

    def in_the_middle(cabinet):
        """Light on a row in the middle of the face, over that midway to the next row [1]."""
        box, lines = cabinet.box, cabinet.row_lines
        here, beside = lines[len(lines) // 2], lines[len(lines) // 2 - 1]
        light = DirectLight(cabinet.sources(), box.depth)
        _, lux = along_line(light, (box.width / 2, here), (box.width / 2, beside), samples=3)
        return float(lux[0] / lux[1])

    return cabinet_of, in_the_middle, metres, places_across, told, up_the_face


@app.cell
def _(InfiniteRows, LAMBERTIAN):
    rows_without_end = InfiniteRows(beam=LAMBERTIAN, throw=1.0, depth=1.0)
    ratios = [0.5 + 0.025 * number for number in range(101)]
    ripples = [rows_without_end.max_to_min(one) for one in ratios]
    return ratios, ripples, rows_without_end


@app.cell
def _(cabinet_of, in_the_middle, pitch_slider, rows_without_end, throw_slider):
    pitch, throw = pitch_slider.value, throw_slider.value
    ratio = pitch / throw
    stripes = rows_without_end.max_to_min(ratio)
    small, large = cabinet_of(pitch, throw, 1), cabinet_of(pitch, throw, 2)
    in_small, in_large = in_the_middle(small), in_the_middle(large)
    return in_large, in_small, large, pitch, ratio, small, stripes, throw


@app.cell
def _(
    Curve,
    draw_curves,
    in_large,
    in_small,
    large,
    mo,
    picture_html,
    pitch,
    ratio,
    small,
    stripes,
    throw,
    up_the_face,
):
    sizes = [
        (f"small, rows {pitch:g} in apart, throw {throw:g} in", small),
        (f"large, rows {2 * pitch:g} in apart, throw {2 * throw:g} in", large),
    ]
    faces_figure = draw_curves(
        [Curve(name=name, x=x, y=y) for name, (x, y) in ((name, up_the_face(one)) for name, one in sizes)],
        x_label="place up the face [% of its height]",
        y_label="light on the face [% of the brightest place]",
        y_range=(0.0, 100.0),
        white=100.0,
    )
    faces_alt = (
        f"Light up the face of two cabinets, one twice the other in everything, with {len(small.row_lines)} rows each: "
        f"the two curves fall on each other. In the middle a row has {in_small:.2f} times the light between rows in "
        f"the small one, and {in_large:.2f} times in the large one."
    )
    faces_words = mo.md(f"""
    **Row pitch over throw**

    small: {pitch:g} in / {throw:g} in = **{ratio:.2f}**

    large: {2 * pitch:g} in / {2 * throw:g} in = **{2 * pitch / (2 * throw):.2f}**

    **Stripes**: light on a row, over light midway to the next

    small, in its middle: {in_small:.2f}

    large, in its middle: {in_large:.2f}

    rows without end: {stripes:.2f}

    Same ratio, same stripes. Near the edges it gets dark, for there are no rows beyond: **dark edges**, another matter
    (lesson 4).
    """)
    mo.hstack([mo.Html(picture_html(faces_figure, alt=faces_alt)), faces_words], widths=[2, 1], gap=2)
    return


@app.cell
def _(Curve, draw_curves, picture_html, ratios, ripples, rows_without_end):
    drawn = {}

    def curve_at(ratio):
        """The curve with a mark at a ratio: drawn once, for many settings come to the same one."""
        if ratio not in drawn:
            stripes = rows_without_end.max_to_min(ratio)
            figure = draw_curves(
                [Curve(name="rows without end, black inside, plain modules", x=ratios, y=ripples)],
                x_label="row pitch over throw",
                y_label="stripes, brightest over darkest",
                marks=[(ratio, f"here: {ratio:.2f}")],
                from_zero=False,
                y_range=(1.0, 3.0),
            )
            alt = (
                f"Stripes of rows without end against row pitch over throw: flat near one up to a ratio of one, then "
                f"ever steeper, {rows_without_end.max_to_min(2.0):.2f} at a ratio of two and {ripples[-1]:.2f} at "
                f"three. Here, at {ratio:.2f}, they are {stripes:.2f}."
            )
            drawn[ratio] = picture_html(figure, alt=alt)
        return drawn[ratio]

    return (curve_at,)


@app.cell
def _(curve_at, mo, ratio, stripes):
    curve_words = mo.md(f"""
    **All rows on one curve**

    As long as the row pitch is no more than the throw, stripes are faint. Beyond that they grow ever faster.

    Here, at {ratio:.2f}, stripes are **{stripes:.2f}**.
    """)
    mo.hstack([mo.Html(curve_at(ratio)), curve_words], widths=[2, 1], gap=2)
    return


@app.cell
def _(rows_without_end):
    quoted = {
        "rows-max-to-min: pitch 1.00": "1.025117",
        "rows-max-to-min: pitch 1.50": "1.183909",
        "rows-max-to-min: pitch 2.00": "1.535196",
    }
    computed = {
        "rows-max-to-min: pitch 1.00": rows_without_end.max_to_min(1.0),
        "rows-max-to-min: pitch 1.50": rows_without_end.max_to_min(1.5),
        "rows-max-to-min: pitch 2.00": rows_without_end.max_to_min(2.0),
    }
    return computed, quoted


@app.cell
def _(computed, mo, quoted):
    lines = "\n".join(
        f"    | {at} | {quoted[key]} | {computed[key]:.6f} |"
        for at, key in zip(("1.00", "1.50", "2.00"), quoted, strict=True)
    )
    mo.md(f"""
    **What a sum over endless rows says** (Poisson's sum, worked out without lumsim), and what lumsim computes:

    | row pitch over throw | stripes, by that sum | lumsim |
    |---|---|---|
{lines}

    *So many digits only to show that both agree: no sign needs them.*
    """)
    return


@app.cell
def _(metres, pitch, places_across, rows_without_end, small, throw, told):
    told_throws = [
        f"{rows_without_end.max_to_min(12 / length):.2f} at a throw of {length} in" for length in (12, 8, 6)
    ]
    widest = rows_without_end.pitch_for(1.2)
    same_throw = places_across(60, pitch).count
    answers = {
        'Somebody asks: "Are rows 12 in on centre even enough?" What do you answer?': (
            f"That depends on the throw. Black inside, stripes are {', '.join(told_throws)}."
        ),
        "Stripes may be 1.2 at most, inside black. How far apart may the rows stand at the throw above?": (
            f"{widest:.2f} times the throw: up to {told(widest * metres(throw))} at {throw:g} in."
        ),
        "A customer wants the small sign again, twice as wide and twice as high. How many rows does it take?": (
            f"If its throw and its module pitch double too, {len(small.row_lines)} rows as before. If the throw stays "
            f"{throw:g} in, it looks as even as before only with the rows {pitch:g} in apart as before: "
            f"{same_throw} rows."
        ),
    }
    return (answers,)


@app.cell
def _(answers, mo):
    mo.vstack(
        [
            mo.md("**Three questions.** Answer them aloud, then open them. They go by the sliders above."),
            mo.accordion(answers),
        ]
    )
    return


if __name__ == "__main__":
    app.run()
