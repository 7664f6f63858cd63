"""White paint sends light back to the edges of the face: it is worth a row of modules, and more."""

import marimo

app = marimo.App(width="medium", app_title="4 · White walls and edges", css_file="course.css")


with app.setup:
    import marimo as mo

    from lumsim.light.infinite_rows import InfiniteRows
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
    from lumsim.pictures.face_profiles import profiles_of
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.seen_face import draw_seen_face, words_of_seen_face
    from lumsim.pictures.writing import picture_html
    from lumsim.report.numbers import ratio
    from lumsim.simulation import Lighting, simulate
    from lumsim.study.reading import read_study
    from lumsim.uniformity.names import percent
    from lumsim.units import length_number

    redraw_without_pauses()


@app.cell(hide_code=True)
def _():
    mo.md(
        """
        # 4 · White walls and edges: white paint is worth a row of modules

        By the end you can

        * say what white returns and a white back each do for the edges of a face and for its level,
        * say why white paint is worth a row of modules, and what no row of modules can buy.

        **Reflectance** is the share of the light that paint throws back: 0.85 is fresh white paint, 0.05 matt black
        (common practice, no source). **Luminance**, in cd/m², is what the eye gets from a place of the face.

        **Stripes** are what rows too far apart make. **Edge dimming** tells how dark the edges are: the middle over the
        darkest edge. **Max/min** is the whole face, its brightest place over its darkest. Of each, 1 is perfect.
        """
    )


@app.cell
def _():
    # Alder Hall, 8 in deep, an invented sign with three rows. The face throws back 35 %, as in the book's number below.
    STUDIES = mo.notebook_dir().parent / "studies" / "teaching"
    FILE = STUDIES / "alder-hall-middle.toml"
    BLACK, WHITE, FACE = 0.05, 0.85, 0.35

    def painted(back, returns, count=3, edge_distance="6 in"):
        """The study with such paint, and so many rows."""
        return read_study(
            FILE,
            changes=[
                f"interior.back_reflectance={back}",
                f"interior.return_reflectance={returns}",
                f"face.reflectance={FACE}",
                "rows.pitch=",
                f"rows.count={count}",
                f"rows.edge_distance={edge_distance}",
            ],
        )

    lighting = Lighting(patches_in_depth=6)
    interior = lighting.interior(painted(WHITE, WHITE).cabinet.box)

    def lit(study):
        """The study's cabinet lit, by the exchange of light that its sizes alone fix."""
        return simulate(study.cabinet, study.requirement, lighting=lighting, interior=interior)

    return BLACK, FACE, STUDIES, WHITE, lighting, lit, painted


@app.cell
def _(BLACK, WHITE, lit, painted):
    black, white = lit(painted(BLACK, BLACK)), lit(painted(WHITE, WHITE))
    white_back, white_returns = lit(painted(WHITE, BLACK)), lit(painted(BLACK, WHITE))
    # The black cabinet again, evenly filled with more and more rows.
    HEIGHT, MOST = 36, 8
    more_rows = {
        count: lit(painted(BLACK, BLACK, count, f"{HEIGHT / count / 2} in")) for count in range(4, MOST + 1)
    }

    def profile(name, simulation):
        """Luminance across the rows."""
        across, _ = profiles_of(simulation.front)
        return Curve(name=name, x=across.places_in("in"), y=across.mean)

    for_comparison = [profile("all black", black), profile("all white", white)]
    return MOST, black, for_comparison, more_rows, profile, white, white_back, white_returns


@app.cell
def _(BLACK, STUDIES, WHITE, lighting):
    # The box that a class builds beside the lesson: small, and deep for its size.
    def _box(back, returns):
        study = read_study(
            STUDIES / "demonstration-box.toml",
            changes=[f"interior.back_reflectance={back}", f"interior.return_reflectance={returns}"],
        )
        return simulate(study.cabinet, study.requirement, lighting=lighting)

    demonstration = {
        "black": _box(BLACK, BLACK),
        "back": _box(WHITE, BLACK),
        "returns": _box(BLACK, WHITE),
    }
    return (demonstration,)


@app.cell
def _(BLACK):
    back = mo.ui.slider(
        BLACK, 0.9, step=0.05, value=BLACK, label="reflectance of the back", show_value=True, full_width=True
    )
    returns = mo.ui.slider(
        BLACK,
        0.9,
        step=0.05,
        value=BLACK,
        label="reflectance of the returns",
        show_value=True,
        full_width=True,
    )
    return back, returns


@app.cell
def _(back, lit, painted, returns):
    yours = lit(painted(back.value, returns.value))
    return (yours,)


@app.cell(hide_code=True)
def _(back, black, for_comparison, profile, returns, white, yours):
    _cases = {"your paint": yours, "all black": black, "all white": white}
    _figure = draw_curves(
        [profile("your paint", yours), *for_comparison],
        x_label="height above the bottom return [in]",
        y_label="luminance, mean along the rows [cd/m²]",
        marks=[(length_number(line, "in"), "") for line in yours.cabinet.row_lines],
        y_range=(0.0, white.evenness.brightest.value),
        units="in",
    )
    _told = {
        name: (
            f"{one.evenness.mean:.0f} cd/m²",
            ratio(one.evenness.edge_dimming),
            ratio(one.evenness.stripe_max_to_min),
            ratio(one.evenness.max_to_min),
        )
        for name, one in _cases.items()
    }
    _alt = "Luminance across the face. " + " ".join(
        f"{name}: mean {mean}, edge dimming {dim}, stripes {stripes}, max/min {most}."
        for name, (mean, dim, stripes, most) in _told.items()
    )
    _rows = "\n".join(f"| {name} | {' | '.join(numbers)} |" for name, numbers in _told.items())
    mo.hstack(
        [
            mo.vstack(
                [
                    back,
                    returns,
                    mo.md(f"| | mean | edge dimming | stripes | max/min |\n|---|---|---|---|---|\n{_rows}"),
                ],
                gap=1,
            ),
            mo.Html(picture_html(_figure, alt=_alt)),
        ],
        widths=[4, 6],
        align="start",
    )


@app.cell(hide_code=True)
def _(black, white):
    _exposure = Exposure.of([white.front, black.front])

    def _face(name, simulation):
        _even = simulation.evenness
        picture = mo.Html(
            picture_html(
                draw_seen_face(simulation, title="", units="in", facts=(), exposure=_exposure, worded=False),
                alt=f"{name} as the eye would see it: from {_even.darkest.value:.0f} to {_even.brightest.value:.0f} "
                f"cd/m², max/min {ratio(_even.max_to_min)}.",
            )
        )
        return mo.vstack(
            [mo.md(f"**{name}.** {words_of_seen_face(simulation.front, _exposure, 'in')[0]}"), picture]
        )

    mo.vstack(
        [
            mo.md(
                "**The same cabinet white and black**, as the eye would see it: the same three rows, the same lumens, "
                f"one exposure for both. {RATIOS_ONLY}"
            ),
            mo.hstack([_face("White inside", white), _face("Black inside", black)], widths="equal"),
        ]
    )


@app.cell(hide_code=True)
def _(MOST, black, demonstration, more_rows, white, white_back, white_returns):
    WITH_WHITE = len(white.cabinet.row_lines)

    def _rows_for(good):
        """What of rows a black cabinet needs besides, in words."""
        for count, simulation in more_rows.items():
            if good(simulation.evenness):
                more = count - WITH_WHITE
                return f"{more} more row{'s' if more > 1 else ''}, {count} in all"
        return f"no number up to {MOST} will do"

    _even = white.evenness
    for_stripes = _rows_for(lambda one: one.stripe_max_to_min <= _even.stripe_max_to_min)
    for_light = _rows_for(lambda one: one.mean >= _even.mean)
    for_edges = _rows_for(lambda one: one.edge_dimming <= _even.edge_dimming)
    _most = more_rows[MOST].evenness

    def _more(simulation):
        return percent(simulation.evenness.mean / black.evenness.mean - 1)

    _edges = {"returns": white_returns.evenness.edge_dimming, "back": white_back.evenness.edge_dimming}
    for_the_edges = min(_edges, key=_edges.get)
    _worse = (
        ", worse than all black, for it lifts the middle more than the edges beside black returns"
        if _edges["back"] > black.evenness.edge_dimming
        else ""
    )
    _levels = {"returns": white_returns.evenness.mean, "back": white_back.evenness.mean}
    for_the_level = max(_levels, key=_levels.get)

    def _size(simulation):
        """Width, height and depth of a box."""
        box = simulation.cabinet.box
        return (
            " × ".join(f"{length_number(one, 'in'):g}" for one in (box.width, box.height, box.depth)) + " in"
        )

    _small = {part: demonstration[part].evenness.mean for part in ("returns", "back")}
    for_the_small_level = max(_small, key=_small.get)
    _added = {part: percent(mean / demonstration["black"].evenness.mean - 1) for part, mean in _small.items()}
    _do = {"returns": "do", "back": "does"}
    _turn = "the other way round" if for_the_small_level != for_the_level else "the same way round"
    mo.md(
        f"""
        **What white paint is worth**

        The white cabinet has {WITH_WHITE} rows, evenly spread. Painted black, this is what the same cabinet needs:

        | to match the white cabinet | the black cabinet needs |
        |---|---|
        | stripes {ratio(_even.stripe_max_to_min)} (black: {ratio(black.evenness.stripe_max_to_min)}) | {for_stripes} |
        | mean luminance {_even.mean:.0f} cd/m² (black: {black.evenness.mean:.0f}) | {for_light} |
        | edge dimming {ratio(_even.edge_dimming)} (black: {ratio(black.evenness.edge_dimming)}) | {for_edges} |

        With {MOST} rows the black cabinet has an edge dimming of {ratio(_most.edge_dimming)}.

        **Who does what.** White paint on the returns alone brings edge dimming to {ratio(_edges["returns"])}, on the
        back alone to {ratio(_edges["back"])}{_worse}: for the edges paint the {for_the_edges}. The returns alone add
        {_more(white_returns)} to the mean luminance, the back alone {_more(white_back)}, both together {_more(white)}:
        for the level the {for_the_level} {_do[for_the_level]} more in this cabinet, wide and shallow,
        {_size(white)}, and white all over does most. In the demonstration box, small and deep for its size,
        {_size(demonstration["black"])}, it is {_turn}: the returns alone add {_added["returns"]}, the back alone
        {_added["back"]}.

        A return sends light back to the edge beside it, where the row that would have stood beyond is missing. The
        back gives what the face threw back a second chance, all over.
        """
    )
    return WITH_WHITE, for_edges, for_light, for_stripes, for_the_edges, for_the_level, for_the_small_level


@app.cell(hide_code=True)
def _(FACE, WHITE, white, white_back):
    # As printed in tests/published/values.toml.
    quoted = {"plates: 0.85, 0.35": "1.42348754"}
    _box, _rows = white.cabinet.box, white.cabinet.groups[0]
    endless = InfiniteRows(
        beam=_rows.module.beam,
        throw=_box.depth - _rows.z,
        depth=_box.depth,
        back_reflectance=WHITE,
        face_reflectance=FACE,
    ).mean
    computed = {"plates: 0.85, 0.35": endless}
    # Of all light that arrives on the face so much came straight from the modules.
    gains = {"black returns": 1 / white_back.direct_share, "white returns": 1 / white.direct_share}

    def _against(gain):
        return "below" if gain < endless else "above"

    mo.md(
        f"""
        **What others say**

        Light goes to and fro between back and face, and each trip adds a little less. Between two plates without end, a
        back of {WHITE} and a face of {FACE}, all of it together is **{quoted["plates: 0.85, 0.35"]}** times what comes
        straight from the modules, worked out without lumsim; lumsim's rows without end give {endless:.8f}. *So many
        digits only to show that both agree.*

        A real cabinet has returns. This one has {ratio(gains["black returns"])} with a white back and black returns,
        which is {_against(gains["black returns"])} the plates: what meets a black return is lost. With white returns
        too it has {ratio(gains["white returns"])}, which is {_against(gains["white returns"])} them: returns hand on
        light that would have missed the face.

        *For those who like formulas: 1/(1 − ρ ρ'), here 1/(1 − {WHITE} × {FACE}) = {1 / (1 - WHITE * FACE):.4f}.*
        """
    )
    return computed, endless, gains, quoted


@app.cell(hide_code=True)
def _(BLACK, WHITE, black, for_stripes, for_the_edges, lit, painted, white, white_back, white_returns):
    _dirty = lit(painted(0.6, 0.6)).evenness
    _moved = lit(painted(BLACK, BLACK, edge_distance="3 in")).evenness
    _white, _black = white.evenness, black.evenness
    _by = {"back": white_back.evenness.edge_dimming, "returns": white_returns.evenness.edge_dimming}
    _helps = _moved.edge_dimming < _black.edge_dimming
    _stripes = "worse" if _moved.stripe_max_to_min > _black.stripe_max_to_min else "no worse"
    _as_good = "as good as" if _moved.max_to_min <= _white.max_to_min else "not as good as"
    answers = {
        f"Years of dirt take the paint from {WHITE} to 0.6. What does the customer see?": (
            f"The mean luminance falls by {percent(1 - _dirty.mean / _white.mean)}, though every module gives as "
            f"much as ever. Edge dimming goes from {ratio(_white.edge_dimming)} to {ratio(_dirty.edge_dimming)}, "
            f"stripes from {ratio(_white.stripe_max_to_min)} to {ratio(_dirty.stripe_max_to_min)}. Clean it before you "
            "buy modules."
        ),
        "There is paint for the back or for the returns, not for both. The customer complains of dark edges. Which?": (
            f"The {for_the_edges}: edge dimming {ratio(_by[for_the_edges])}, against {ratio(max(_by.values()))}."
        ),
        "Instead of paint you move the outermost rows of the black cabinet from 6 in to 3 in off the returns. "
        "Does that do the same?": (
            f"It {'helps' if _helps else 'does not help'} the edges: edge dimming goes from "
            f"{ratio(_black.edge_dimming)} to {ratio(_moved.edge_dimming)}. But the rows now stand farther apart, and "
            f"the stripes are {_stripes}: {ratio(_moved.stripe_max_to_min)}, before {ratio(_black.stripe_max_to_min)}. "
            f"Max/min is {ratio(_moved.max_to_min)}, {_as_good} the white cabinet's {ratio(_white.max_to_min)}. "
            f"Against stripes the black cabinet needs {for_stripes}."
        ),
    }
    mo.vstack([mo.md("**Three questions.** Answer them aloud, then open them."), mo.accordion(answers)])
    return (answers,)


if __name__ == "__main__":
    app.run()
