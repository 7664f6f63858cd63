"""The best beam depends on pitch over throw: a wide one may put the bright stripe between the rows."""

import marimo

app = marimo.App(width="medium", app_title="5 · Beams", css_file="course.css")


with app.setup:
    import marimo as mo

    from lumsim.beams.closed import Wide
    from lumsim.beams.figures import beam_figures
    from lumsim.cabinet.modules import Module
    from lumsim.light.infinite_rows import InfiniteRows
    from lumsim.light.modules_in_line import along_line, modules_in_line
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.report.beam_text import peak_place
    from lumsim.report.columns import markdown_table
    from lumsim.report.numbers import ratio
    from lumsim.simulation import Lighting, simulate
    from lumsim.study.reading import read_study
    from lumsim.units import format_length, length_number, parse_length

    redraw_without_pauses()


@app.cell(hide_code=True)
def _():
    mo.md(
        """
        # 5 · Beams: a wide one may put the bright stripe between the rows

        By the end you can

        * say where a wide beam's light goes, and where its bright stripe lies,
        * choose a beam by row pitch over throw, not by its name.

        A plain beam is strongest on its axis, straight at the face. A wide one has a lens, which takes light from
        there and spreads it to the sides. Its **width** is this course's number: no catalogue has it. Ask for the angle
        from the axis at which a beam is strongest.

        First all is black inside, where all light comes straight from the modules; a real cabinet, white inside, comes
        after that.
        """
    )


@app.cell
def _():
    # Modules 6 in from the face. A beam's width is 0 where it is plain (Lambertian).
    THROW = float(parse_length("6 in"))
    PLAIN, WIDTHS = 0.0, (0.0, 1.0, 2.0, 4.0)
    PITCHES = 4, 15

    def inches(count):
        """A length in metres."""
        return float(parse_length(f"{count} in"))

    def rows_of(width):
        """Rows without end of such a beam, in a black cabinet: only what comes straight from the modules."""
        return InfiniteRows(beam=Wide(width=width), throw=THROW, depth=THROW)

    def named(width):
        """A beam in words."""
        return f"width {width:g}" if width else "plain"

    def strongest(width):
        """Where a beam is strongest, in words."""
        return peak_place(beam_figures(Wide(width=width), 1.0)).removesuffix(", all round")

    # One white for every setting, so that they can be compared: no beam and no pitch gives more, of the mean.
    WHITE_AT = max(rows_of(PLAIN).across(inches(PITCHES[-1]))[1])

    def stripe_at(width, pitch):
        """Where the bright stripe lies, by its way from the nearest row as a share of the way to midway."""
        share = 2 * rows_of(width).brightest_at(pitch) / pitch
        if share < 0.05:
            return "on the rows"
        return "midway between rows" if share > 0.95 else "to either side of each row"

    # Brightest over darkest from which this course speaks of a stripe: its own choice, no limit of the eye.
    FAINTEST, NO_STRIPE = 1.003, "no stripe"

    def stripe_told(width, pitch):
        """Where the bright stripe lies, if there is one to speak of."""
        return stripe_at(width, pitch) if rows_of(width).max_to_min(pitch) >= FAINTEST else NO_STRIPE

    def compared(width, stripes, plain):
        """A beam beside the plain one, by the stripes of both, in words."""
        if width == PLAIN:
            return "Your beam is the plain one"
        if max(stripes, plain) < FAINTEST:
            return "Both are even"
        if f"{stripes:.3f}" == f"{plain:.3f}":
            return "Your beam is as even as the plain one"
        return f"Your beam is {'more' if stripes < plain else 'less'} even than the plain one"

    return (
        FAINTEST,
        NO_STRIPE,
        PITCHES,
        PLAIN,
        THROW,
        WHITE_AT,
        WIDTHS,
        compared,
        inches,
        named,
        rows_of,
        stripe_at,
        stripe_told,
        strongest,
    )


@app.cell
def _(PITCHES):
    width = mo.ui.slider(
        0, 4, step=0.5, value=4, label="width of the beam [0: plain]", show_value=True, full_width=True
    )
    pitch = mo.ui.slider(
        *PITCHES, step=0.5, value=9, label="row pitch [in]", show_value=True, full_width=True
    )
    return pitch, width


@app.cell(hide_code=True)
def _(
    FAINTEST,
    NO_STRIPE,
    PLAIN,
    THROW,
    WHITE_AT,
    compared,
    inches,
    pitch,
    rows_of,
    stripe_told,
    strongest,
    width,
):
    _apart = inches(pitch.value)
    _beams = {"your beam": width.value, "plain beam": PLAIN}
    _curves = []
    for _name, _width in _beams.items():
        _places, _light = rows_of(_width).across(_apart)
        _curves.append(Curve(name=_name, x=[length_number(one, "in") for one in _places], y=_light))
    # The first point is midway before a row, the rows lie half a pitch on.
    _midway, _over = _curves[0].y[0], rows_of(width.value).illuminance([0.0], [0.0], _apart)[0, 0]
    _ratios = {name: rows_of(one).max_to_min(_apart) for name, one in _beams.items()}
    _lies = {name: stripe_told(one, _apart) for name, one in _beams.items()}
    _stripe = (
        f"There is **no stripe** to speak of, brightest and darkest part by {100 * (FAINTEST - 1):.1f} % at most"
        if _lies["your beam"] == NO_STRIPE
        else f"The bright stripe lies **{_lies['your beam']}**"
    )
    _told = " ".join(
        f"{name.capitalize()}: {_lies[name]}, stripes {found:.3f}." for name, found in _ratios.items()
    )
    _figure = draw_curves(
        _curves,
        x_label="across the rows [in]; strokes: rows",
        y_label="light on the face, as a share of its mean",
        marks=[(pitch.value * share, "") for share in (0.5, 1.5, 2.5)],
        from_zero=False,
        y_range=(0.85, 1.15),
        units="in",
        white=WHITE_AT,
    )
    mo.hstack(
        [
            mo.vstack(
                [
                    width,
                    pitch,
                    mo.md(
                        f"""
                        Your beam is strongest **{strongest(width.value)}**.

                        Throw {format_length(THROW, "in")}: pitch over throw is **{ratio(_apart / THROW)}**.

                        {_stripe}: midway {_midway:.3f} of the mean, over a row {_over:.3f}.

                        Stripes, brightest over darkest, black inside: {_ratios["your beam"]:.3f}; with a plain beam
                        {_ratios["plain beam"]:.3f}. {compared(width.value, *_ratios.values())}.
                        """
                    ),
                ],
                gap=1,
            ),
            mo.Html(
                picture_html(
                    _figure, alt=f"Light across three rows {pitch.value:g} in apart, black inside. {_told}"
                )
            ),
        ],
        widths=[4, 6],
        align="start",
    )


@app.cell(hide_code=True)
def _(PLAIN, THROW, inches, width):
    # One row alone, 10 ft of modules 2 in apart, looked at across its middle.
    _reach = 12
    _row = [inches(2 * number) for number in range(-30, 31)]

    def _alone(name, beam):
        places, light = along_line(
            modules_in_line(Module(name=name, lumens=90.0, beam=Wide(width=beam)), _row, THROW),
            (0.0, inches(-_reach)),
            (0.0, inches(_reach)),
        )
        return Curve(name=name, x=[length_number(one, "in") - _reach for one in places], y=light)

    _yours, _plain = _alone("your beam", width.value), _alone("plain beam", PLAIN)
    _middle = len(_yours.x) // 2
    _most, _aside = max(zip(_yours.y, _yours.x, strict=True))
    # A tenth of an inch is the width of a line here.
    _where = "over itself" if abs(_aside) <= 0.1 else f"{abs(_aside):.1f} in to either side of itself"
    _over, _out = (f"{_yours.y[at] / _plain.y[at]:.2f}" for at in (_middle, 0))
    mo.hstack(
        [
            mo.md(
                f"""
                **Where one row's light goes.** Alone, {format_length(THROW, "in")} from the face, all black around it,
                a row of your beam is brightest {_where}. Over itself it gives {_over} of what a plain row gives there,
                a foot to the side {_out}.

                A wide beam takes light from over the row and puts it beside. Midway between two rows what both have put
                there adds up. Rows close together get more of it than they need, rows far apart not enough.
                """
            ),
            mo.Html(
                picture_html(
                    draw_curves(
                        [_yours, _plain],
                        x_label="from the row, across it [in]",
                        y_label="light of one row on the face [lx]",
                        marks=[(0.0, "")],
                        y_range=(0.0, max(_plain.y)),
                    ),
                    alt=f"Light of one row. Your beam: brightest {_where}, {_most:.0f} lx; over the row {_over} of a "
                    f"plain row's {_plain.y[_middle]:.0f} lx, a foot to the side {_out} of its {_plain.y[0]:.0f} lx.",
                )
            ),
        ],
        widths=[4, 6],
        align="start",
    )


@app.cell
def _(WIDTHS, inches, rows_of, stripe_at):
    _pitches = [inches(half / 2) for half in range(6, 31)]
    # The widest of those pitches at which the bright stripe lies midway; None: at none of them.
    between_up_to = {
        one: max(
            (pitch for pitch in _pitches if stripe_at(one, pitch) == "midway between rows"), default=None
        )
        for one in WIDTHS
    }
    # Stripes at some row pitches in inches, and the most even of the beams at each.
    at_pitch = {
        count: {one: rows_of(one).max_to_min(inches(count)) for one in WIDTHS} for count in (6, 9, 12, 15)
    }
    best_width = {count: min(found, key=found.get) for count, found in at_pitch.items()}
    return at_pitch, best_width, between_up_to


@app.cell(hide_code=True)
def _(
    THROW,
    WIDTHS,
    at_pitch,
    best_width,
    between_up_to,
    inches,
    named,
    stripe_told,
    strongest,
):
    def _cell(count, one):
        bold = "**" if best_width[count] == one else ""
        return f"{bold}{at_pitch[count][one]:.3f}{bold}, {stripe_told(one, inches(count))}"

    _table = markdown_table(
        ["row pitch", "pitch/throw", *(named(one) for one in WIDTHS), "best"],
        [
            ["strongest", "", *(strongest(one) for one in WIDTHS), ""],
            *(
                [
                    f"{count} in",
                    ratio(inches(count) / THROW),
                    *(_cell(count, one) for one in WIDTHS),
                    f"**{named(best_width[count])}**",
                ]
                for count in at_pitch
            ),
        ],
    )
    _moves = ", ".join(
        f"{named(one)} up to {format_length(pitch, 'in')}"
        for one, pitch in between_up_to.items()
        if pitch is not None
    )
    _never = " and ".join(named(one) for one, pitch in between_up_to.items() if pitch is None)
    _says = (
        "The best beam depends on pitch over throw"
        if len(set(best_width.values())) > 1
        else "One beam is best always"
    )
    mo.md(
        f"**{_says}.** Stripes of rows without end, throw {format_length(THROW, 'in')}, black inside, and "
        f"where the bright stripe lies:\n\n{_table}\n\n"
        f"However faint it is, the bright stripe lies midway between rows while they stand close: of {_moves}."
        f"{f' That of a beam called {_never} is always on the rows.' if _never else ''}"
    )
    return


@app.cell(hide_code=True)
def _(WIDTHS, best_width, named):
    # Alder Hall, an invented sign, white inside, made 6 1/2 in deep: the same throw in a real cabinet.
    _file = mo.notebook_dir().parent / "studies" / "teaching" / "alder-hall-middle.toml"
    _lighting, _interior = Lighting(patches_in_depth=6), None
    in_cabinet = {12: {}, 9: {}, 6: {}}
    for _count in mo.status.progress_bar(list(in_cabinet), title="lighting Alder Hall", remove_on_exit=True):
        _found = in_cabinet[_count]
        for _width in WIDTHS:
            _study = read_study(
                _file,
                changes=[
                    "cabinet.depth=6 1/2 in",
                    f"rows.pitch={_count} in",
                    f'modules.standard.beam={{ shape = "wide", width = {_width} }}',
                ],
            )
            _interior = _interior or _lighting.interior(_study.cabinet.box)
            _lit = simulate(_study.cabinet, _study.requirement, lighting=_lighting, interior=_interior)
            _found[_width] = _lit.evenness.stripe_max_to_min
    _best = {count: min(found, key=found.get) for count, found in in_cabinet.items()}
    _rows = [
        [f"{count} in", *(f"{found[one]:.3f}" for one in WIDTHS), f"**{named(_best[count])}**"]
        for count, found in in_cabinet.items()
    ]
    _same = all(best_width[count] == one for count, one in _best.items())
    mo.md(
        "**In a real cabinet**, Alder Hall, 84 × 36 × 6 1/2 in, with dots, returns, and white paint that throws "
        f"light back. Stripes:\n\n{markdown_table(['row pitch', *(named(one) for one in WIDTHS), 'best'], _rows)}\n\n"
        f"{'The same beams are best.' if _same else 'White paint changes which beam is best.'}"
    )
    return (in_cabinet,)


@app.cell(hide_code=True)
def _(rows_of):
    # As printed in tests/published/values.toml; lengths there are in throws.
    quoted = {
        "rows-max-to-min: pitch 1.50": "1.183909",
        "wide-rows: width 2, pitch 1.5": "1.01033",
        "wide-rows: width 4, pitch 1.0": "1.02372",
        "wide-rows: width 4, pitch 1.5": "1.04409",
        "wide-rows: width 4, pitch 2.0": "1.04764",
        "wide-rows-bright-between: width 4, pitch 1.5": "1",
    }
    _throw = rows_of(0).throw
    computed = {
        "rows-max-to-min: pitch 1.50": rows_of(0).max_to_min(1.5 * _throw),
        **{
            f"wide-rows: width {one}, pitch {apart}": rows_of(one).max_to_min(apart * _throw)
            for one, apart in ((2, 1.5), (4, 1.0), (4, 1.5), (4, 2.0))
        },
        "wide-rows-bright-between: width 4, pitch 1.5": float(
            rows_of(4).brightest_at(1.5 * _throw) > 1.5 * _throw / 4
        ),
    }
    _beam = {"rows-max-to-min": "plain beam, ", "wide-rows": ""}
    _lines = "\n".join(
        f"* {_beam[key.split(': ')[0]]}{key.split(': ')[1]} throws: {printed}; lumsim {computed[key]:.6f}"
        for key, printed in quoted.items()
        if not key.startswith("wide-rows-bright")
    )
    _between = "between" if quoted["wide-rows-bright-between: width 4, pitch 1.5"] == "1" else "on"
    mo.md(
        f"**What others say.** Stripes of rows without end, worked out from a table of integrals "
        f"(Gradshteyn and Ryzhik 6.565.4):\n\n{_lines}\n\n"
        f"At width 4 and a pitch of 1.5 throws it puts the bright stripe {_between} the rows. "
        "*So many digits only to show that both agree.*"
    )
    return computed, quoted


@app.cell(hide_code=True)
def _(THROW, at_pitch, best_width, inches, named, rows_of, stripe_at, stripe_told):
    _far, _near = 12, 6
    _moved = at_pitch[_near][best_width[_far]]
    _plain = at_pitch[_near][0]
    _other = 2
    _wider, _narrower = (rows_of(one).max_to_min(inches(9)) for one in (6, _other))
    _here = rows_of(4).max_to_min(inches(9))
    _cure = "Yes" if _wider < _here else "No"
    answers = {
        f"Rows stand {_far} in apart, {format_length(THROW, 'in')} from the face. Which beam of the table?": (
            f"{named(best_width[_far]).capitalize()}: stripes {ratio(at_pitch[_far][best_width[_far]])}, against "
            f"{ratio(at_pitch[_far][0])} of a plain beam."
        ),
        f"The same beam goes where rows stand {_near} in apart, at the same throw. Is it still the best?": (
            f"{'Yes' if best_width[_near] == best_width[_far] else 'No'}: best there is {named(best_width[_near])}, "
            f"with stripes {at_pitch[_near][best_width[_near]]:.3f}. {named(best_width[_far]).capitalize()} has "
            f"{_moved:.3f}, a plain beam {_plain:.3f}. The bright stripe of {named(best_width[_far])} now lies "
            f"{stripe_told(best_width[_far], inches(_near))}."
        ),
        "Width 4, rows 9 in apart, a bright stripe midway between rows. Does a wider beam, width 6, cure it?": (
            f"{_cure}: it takes stripes from {ratio(_here)} to {ratio(_wider)}. The narrower width {_other:g} brings "
            f"{ratio(_narrower)}. Here the bright stripe {stripe_at(4, inches(9))} says: too "
            f"{'wide' if _narrower < _wider else 'narrow'} for this pitch at this throw."
        ),
    }
    mo.vstack([mo.md("**Three questions.** Answer them aloud, then open them."), mo.accordion(answers)])
    return (answers,)


if __name__ == "__main__":
    app.run()
