"""Two modules make one hump of light while they stand close for their throw; farther apart it parts in two."""

import marimo

app = marimo.App(width="medium", app_title="2 · Two modules, then a row", css_file="course.css")


@app.cell
def _():
    import marimo as mo

    from lumsim.beams.closed import LAMBERTIAN
    from lumsim.cabinet.modules import Module
    from lumsim.light.modules_in_line import along_line, merging_distance, modules_in_line
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.units import format_close, length_number, parse_length

    redraw_without_pauses()

    return (
        Curve,
        LAMBERTIAN,
        Module,
        along_line,
        draw_curves,
        format_close,
        length_number,
        merging_distance,
        mo,
        modules_in_line,
        parse_length,
        picture_html,
    )


@app.cell
def _(mo):
    mo.md("""
    # 2 · Two modules, then a row: when dots melt together

    By the end you can

    * say how far apart two modules may stand before their light parts in two, and before you see it;
    * say how close the modules of a row must stand to shine like one line.

    The modules are plain ones and the inside is painted black, as before: all light comes straight from the modules.
    The **throw** is the distance from the modules to the face.
    """)
    return


@app.cell
def _(mo):
    apart_slider = mo.ui.slider(
        1, 15, step=0.5, value=9, label="distance of the two [in]", show_value=True, full_width=True
    )
    throw_slider = mo.ui.slider(
        3, 12, step=0.5, value=6, label="throw, module to face [in]", show_value=True, full_width=True
    )
    mo.hstack([apart_slider, throw_slider], widths="equal", gap=3)
    return apart_slider, throw_slider


@app.cell
def _(Module, along_line, format_close, length_number, modules_in_line, parse_length):
    kind = Module(name="lesson", lumens=100.0)

    def metres(inches):
        """A length in inches, in metres."""
        return float(parse_length(f"{inches} in"))

    def told(length):
        """A length [m] in words."""
        return f"{format_close(length, 'in', digits=3)} ({format_close(length, 'mm', digits=3)})"

    def light_of(places, throw):
        """The light of modules at places along the face [in]."""
        return modules_in_line(kind, [metres(place) for place in places], metres(throw))

    def along_the_face(places, throw):
        """Places along 36 in of face [in] and the light there [lx], with modules at places [in]."""
        found, lux = along_line(light_of(places, throw), (0.0, 0.0), (metres(36), 0.0), samples=361)
        return [length_number(place, "in") for place in found], lux

    def dip_between(apart, throw):
        """How much darker it is midway between two modules than at the brightest place over them. [1]"""
        pair = light_of([0, apart], throw)
        _, lux = along_line(pair, (0.0, 0.0), (metres(apart), 0.0), samples=401)
        return float(1 - lux[200] / max(lux))

    return along_the_face, dip_between, kind, light_of, metres, told


@app.cell
def _(dip_between):
    # What an eye may just see of a shallow dip is this course's choice; it hangs on distance, surround and eye.
    SEEN = 0.02
    # How far apart two modules stand, in throws, where the dip between them comes to that: by halving.
    below, above = 0.5, 2.0
    while above - below > 0.001:
        between = (below + above) / 2
        below, above = (below, between) if dip_between(between, 1) >= SEEN else (between, above)
    seen_from = above

    def dip_told(dip):
        """A dip in per cent."""
        return f"{100 * dip:.1f} %" if dip >= 0.001 else "less than 0.1 %"

    def dip_judged(dip):
        """Whether it can be seen, in words."""
        return "which can be seen" if dip >= SEEN else "too faint to see"

    return SEEN, dip_judged, dip_told, seen_from


@app.cell
def _(throw_slider):
    throw = throw_slider.value
    return (throw,)


@app.cell
def _(LAMBERTIAN, SEEN, apart_slider, dip_between, dip_judged, dip_told, merging_distance, metres, throw):
    apart = apart_slider.value
    left, right = 18 - apart / 2, 18 + apart / 2
    merging = merging_distance(LAMBERTIAN, metres(throw))
    if metres(apart) <= merging:
        seen_as, midway = "one hump", "the brightest place is midway."
    else:
        dip = dip_between(apart, throw)
        seen_as = "two humps" if dip >= SEEN else "one hump that begins to part"
        midway = f"midway it is {dip_told(dip)} darker than at the brightest place, a dip {dip_judged(dip)}."
    return apart, left, merging, midway, right, seen_as


@app.cell
def _(
    Curve,
    SEEN,
    along_the_face,
    apart,
    draw_curves,
    left,
    merging,
    metres,
    midway,
    mo,
    picture_html,
    right,
    seen_as,
    seen_from,
    throw,
    told,
):
    x, lux = along_the_face([left, right], throw)
    full = max(lux)
    parts = [(name, along_the_face([place], throw)[1]) for name, place in (("left", left), ("right", right))]
    pair_figure = draw_curves(
        [
            Curve(name="both together", x=x, y=100 * lux / full),
            *(Curve(name=f"{name} alone", x=x, y=100 * alone / full, seen=False) for name, alone in parts),
        ],
        x_label="place along the face [in]",
        y_label="light on the face [% of the brightest place]",
        marks=[(left, "module"), (right, "module")],
        y_range=(0.0, 100.0),
        units="in",
        white=100.0,
    )
    pair_alt = f"Light over two modules {apart:g} in apart at a throw of {throw:g} in: {seen_as}; {midway}"
    pair_words = mo.md(f"""
    **{seen_as[0].upper()}{seen_as[1:]}**

    {apart:g} in apart at a throw of {throw:g} in: {midway}

    At this throw one hump begins to part in two at **{told(merging)}**.

    The dip between them comes to {100 * SEEN:.0f} % at **{told(seen_from * metres(throw))}**. *A fainter dip
    counts as unseen here; that is this course's own choice.*

    Move the throw: the longer it is, the farther apart the two may stand.
    """)
    mo.hstack([mo.Html(picture_html(pair_figure, alt=pair_alt)), pair_words], widths=[2, 1], gap=2)
    return


@app.cell
def _(mo):
    pitch_slider = mo.ui.slider(
        1, 12, step=0.5, value=6, label="module pitch of the row [in]", show_value=True, full_width=True
    )
    mo.vstack(
        [
            mo.md(
                "**Now a whole row.** The **module pitch** is the distance from module to module along it."
            ),
            pitch_slider,
        ]
    )
    return (pitch_slider,)


@app.cell
def _(along_line, light_of, metres, pitch_slider, throw):
    pitch = pitch_slider.value

    def row_places(step, length):
        """Modules of a long row, one in the middle of 36 in of face [in]; few lux are missed beyond."""
        to_a_side = int((18 + 5 * length) // step) + 1
        return [18 + step * number for number in range(-to_a_side, to_a_side + 1)]

    def dots(step, length):
        """Light over a module of a long row, over that midway between two [1]."""
        row = light_of(row_places(step, length), length)
        _, found = along_line(row, (metres(18), 0.0), (metres(18 + step), 0.0), samples=3)
        return float(found[0] / found[1])

    ripple = dots(pitch, throw)
    at_half = dots(throw / 2, throw)
    return at_half, dots, pitch, ripple, row_places


@app.cell
def _(SEEN, dots):
    # How far apart the modules of a row stand, in throws, where an eye may just see the dips between them: by halving.
    melting, dotted = 0.5, 2.0
    while dotted - melting > 0.001:
        amid = (melting + dotted) / 2
        melting, dotted = (melting, amid) if 1 - 1 / dots(amid, 1) >= SEEN else (amid, dotted)
    row_seen_from = dotted
    return (row_seen_from,)


@app.cell
def _(
    Curve,
    along_the_face,
    at_half,
    dip_judged,
    dip_told,
    draw_curves,
    mo,
    picture_html,
    pitch,
    ripple,
    row_places,
    throw,
):
    row_dip, half_dip = 1 - 1 / ripple, 1 - 1 / at_half
    row_of = row_places(pitch, throw)
    row_x, row_lux = along_the_face(row_of, throw)
    row_figure = draw_curves(
        [Curve(name=f"a row, modules {pitch:g} in apart", x=row_x, y=100 * row_lux / max(row_lux))],
        x_label="place along the row [in]",
        y_label="light on the face [% of the brightest place]",
        marks=[(place, "") for place in row_of],
        y_range=(0.0, 100.0),
        units="in",
        white=100.0,
    )
    row_alt = (
        f"Light on the face along a row with modules {pitch:g} in apart at a throw of {throw:g} in: over a module "
        f"there is {ripple:.3f} times the light midway between two."
    )
    row_words = mo.md(f"""
    **Dots or a line?**

    Over a module there is **{ripple:.3f}** times the light midway between two: a dip of {dip_told(row_dip)},
    {dip_judged(row_dip)}.

    The module pitch is {pitch / throw:.2f} of the throw.

    With modules half a throw apart, {throw / 2:g} in, the dip is {dip_told(half_dip)}, {dip_judged(half_dip)}: a row
    as good as a line.
    """)
    mo.hstack([mo.Html(picture_html(row_figure, alt=row_alt)), row_words], widths=[2, 1], gap=2)
    return


@app.cell
def _(LAMBERTIAN, kind, merging_distance, modules_in_line):
    quoted = {"flattest-pair: m = 1.0": ".894427", "pair-middle: m = 1": "1.061321"}
    flattest = merging_distance(LAMBERTIAN, 1.0)
    flattest_pair = modules_in_line(kind, [0.0, flattest], 1.0)
    computed = {
        "flattest-pair: m = 1.0": flattest,
        "pair-middle: m = 1": float(
            flattest_pair.illuminance(flattest / 2, 0.0) / flattest_pair.illuminance(0.0, 0.0)
        ),
    }
    return computed, quoted


@app.cell
def _(computed, mo, quoted):
    said = (
        "one hump begins to part in two at a distance of so many throws (Moreno and others, *Applied Optics* 45, 2006)",
        "light midway, over that under a module, at that distance (by the inverse-square and cosine laws)",
    )
    lines = "\n".join(
        f"    | {what} | {quoted[key]} | {computed[key]:.6f} |"
        for what, key in zip(said, quoted, strict=True)
    )
    mo.md(f"""
    **What others say**, and what lumsim computes, for modules whose beam is the one called Lambertian:

    | | printed | lumsim |
    |---|---|---|
{lines}

    *So many digits only to show that both agree: no sign needs them.*
    """)
    return


@app.cell
def _(
    LAMBERTIAN,
    dip_judged,
    dip_told,
    dots,
    merging,
    merging_distance,
    metres,
    pitch,
    ripple,
    row_seen_from,
    throw,
    told,
):
    dip_here, dip_closer = 1 - 1 / ripple, 1 - 1 / dots(pitch, throw / 2)
    shallow = merging_distance(LAMBERTIAN, metres(throw / 2))
    answers = {
        "At the throw that is set above: how far apart may two modules stand and still make one hump?": (
            f"Up to {told(merging)}: about {merging / metres(throw):.2f} times the throw of {throw:g} in."
        ),
        "Half the throw is left. How far apart may they stand now?": (
            f"Half as far: up to {told(shallow)}. Whatever becomes of the throw becomes of the distance."
        ),
        "The row that is set above goes where half the throw is left. What happens to its dots?": (
            f"The dip between its modules, {pitch:g} in apart, is {dip_told(dip_here)} at {throw:g} in, "
            f"{dip_judged(dip_here)}, and {dip_told(dip_closer)} at {throw / 2:g} in, {dip_judged(dip_closer)}. Any "
            f"row shows dots from {told(row_seen_from * metres(throw / 2))} apart there, and from "
            f"{told(row_seen_from * metres(throw))} here: half the throw, half the module pitch."
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
