"""Light from one module spreads: twice as far from it, a quarter is left."""

import marimo

app = marimo.App(width="medium", app_title="1 · One module", css_file="course.css")


@app.cell
def _():
    import marimo as mo

    from lumsim.beams.closed import CosinePower
    from lumsim.cabinet.modules import Module
    from lumsim.light.modules_in_line import along_line, modules_in_line
    from lumsim.pictures.curves import Curve, draw_curves
    from lumsim.pictures.redrawing import redraw_without_pauses
    from lumsim.pictures.writing import picture_html
    from lumsim.units import length_number, parse_length

    redraw_without_pauses()

    return (
        CosinePower,
        Curve,
        Module,
        along_line,
        draw_curves,
        length_number,
        mo,
        modules_in_line,
        parse_length,
        picture_html,
    )


@app.cell
def _(mo):
    mo.md("""
    # 1 · One module: twice as far, a quarter of the light

    By the end you can

    * say how much light is left over a module at twice the throw;
    * find with a tape measure where on the face only a quarter of a plain module's light is left.

    One module lies flat on the back. It is a **plain** one, without a lens: its beam is the one called Lambertian. The
    face is a flat sheet in front of it. The **throw** is the distance from the module to the face. The inside is
    painted black here, so that all light comes straight from the module.
    """)
    return


@app.cell
def _(mo):
    slider = mo.ui.slider(
        3, 8, step=0.5, value=4, label="throw, module to face [in]", show_value=True, full_width=True
    )
    slider
    return (slider,)


@app.cell
def _(CosinePower, Module, along_line, length_number, modules_in_line, parse_length):
    kind = Module(name="lesson", lumens=100.0)
    narrow = Module(name="narrow", lumens=100.0, beam=CosinePower(exponent=3.0))
    middle = float(parse_length("18 in"))

    def metres(inches):
        """A length in inches, in metres."""
        return float(parse_length(f"{inches} in"))

    def along_the_face(throw):
        """Places along 36 in of face [in] and the light there [lx], one module behind the middle."""
        light = modules_in_line(kind, [middle], throw)
        places, lux = along_line(light, (0.0, 0.0), (middle + middle, 0.0))
        return [length_number(place, "in") for place in places], lux

    def at(throw, aside, module=kind):
        """Light on the face so far aside from the module [lx]."""
        light = modules_in_line(module, [middle], throw)
        return float(light.illuminance(middle + aside, 0.0))

    return along_the_face, at, kind, metres, narrow


@app.cell
def _(at, metres, narrow, slider):
    throw = slider.value
    near = at(metres(throw), 0.0)
    far = at(metres(2 * throw), 0.0)
    aside = at(metres(throw), metres(throw))
    closer = at(metres(throw / 2), 0.0)
    narrow_left = at(metres(throw), metres(throw), narrow) / at(metres(throw), 0.0, narrow)
    return aside, closer, far, narrow_left, near, throw


@app.cell
def _(
    Curve,
    along_the_face,
    aside,
    at,
    draw_curves,
    far,
    metres,
    mo,
    narrow_left,
    near,
    picture_html,
    throw,
):
    names = [f"throw {throw:g} in", f"throw {2 * throw:g} in"]
    curves = [
        Curve(name=name, x=places, y=lux)
        for name, (places, lux) in zip(
            names, (along_the_face(metres(length)) for length in (throw, 2 * throw)), strict=True
        )
    ]
    brightest = at(metres(3), 0.0)
    figure = draw_curves(
        curves,
        x_label="place along the face [in]",
        y_label="light on the face [lx]",
        marks=[(18.0, "module"), (18.0 + throw, f"{throw:g} in aside")],
        y_range=(0.0, brightest),
        units="in",
        white=brightest,
    )
    alt = (
        f"Light along the face over one module, at two throws. At {throw:g} in: {near:.0f} lx over the module and "
        f"{aside:.0f} lx {throw:g} in aside. At {2 * throw:g} in: {far:.0f} lx over the module, a lower and wider hump."
    )
    words = mo.md(f"""
    **Straight over the module**

    {near:.0f} lx at a throw of {throw:g} in

    {far:.0f} lx at twice that, {2 * throw:g} in

    {100 * far / near:.0f} % is left: the same light covers twice the width *and* twice the height.

    **As far aside as the throw, {throw:g} in**

    {aside:.0f} lx, or {100 * aside / near:.0f} %

    There the light has come farther, it leaves the module at a slant, and it meets the face at a slant. Of a narrower
    beam less is left, {100 * narrow_left:.1f} % of one under a lens that throws its light straighter ahead.

    *Lux [lx] says how much light falls on each square metre of the face.*
    """)
    mo.hstack([mo.Html(picture_html(figure, alt=alt)), words], widths=[2, 1], gap=2)
    return


@app.cell
def _(at):
    quoted = {
        "module-on-axis: 100 lm at 0.1 m": "3183.10",
        "module-on-axis: 100 lm at 0.2 m": "795.775",
        "module-on-axis: 100 lm at 0.1 m, 45 deg off": "795.775",
    }
    computed = {
        "module-on-axis: 100 lm at 0.1 m": at(0.1, 0.0),
        "module-on-axis: 100 lm at 0.2 m": at(0.2, 0.0),
        "module-on-axis: 100 lm at 0.1 m, 45 deg off": at(0.1, 0.1),
    }
    return computed, quoted


@app.cell
def _(computed, mo, quoted):
    places_told = ("0.1 m (about 4 in), straight over it", "0.2 m (about 8 in)", "0.1 m, and 0.1 m aside")
    lines = "\n".join(
        f"    | {told} | {quoted[key]} lx | {computed[key]:.3f} lx |"
        for told, key in zip(places_told, quoted, strict=True)
    )
    mo.md(f"""
    **What others say**, and what lumsim computes, for a module of 100 lumens:

    | throw | by the inverse-square and cosine laws | lumsim |
    |---|---|---|
{lines}

    *So many digits only to show that both agree: no sign needs them.*
    """)
    return


@app.cell
def _(along_line, aside, closer, far, kind, metres, modules_in_line, near, throw):
    _, from_the_foot = along_line(modules_in_line(kind, [0.0], 1.0), (0.0, 0.0), (1.0, 0.0), samples=1001)
    half = throw * sum(2 * lux > from_the_foot[0] for lux in from_the_foot) / 1000

    def pair(length):
        """Light midway between two modules as far apart as the throw was, and over one of them [lx]."""
        apart = metres(throw)
        light = modules_in_line(kind, [0.0, apart], length)
        return [float(light.illuminance(place, 0.0)) for place in (apart / 2, 0.0)]

    (between, over), (between_closer, over_closer) = pair(metres(throw)), pair(metres(throw / 2))
    dark_beside = between_closer / over_closer < between / over
    answers = {
        "You make the cabinet deeper, so that the throw doubles. How much light is left over the module?": (
            f"{100 * far / near:.0f} %. At {throw:g} in there are {near:.0f} lx, at {2 * throw:g} in {far:.0f} lx."
        ),
        "You make it shallower instead, so that half the throw is left. What happens over the module?": (
            f"The spot gets {closer / near:.0f} times as bright: {closer:.0f} lx at {throw / 2:g} in. "
            f"It gets smaller too. Midway between two modules {throw:g} in apart there was "
            f"{100 * between / over:.0f} % of what is over one of them, and now there is "
            f"{100 * between_closer / over_closer:.0f} %: it looks {'darker' if dark_beside else 'brighter'} beside "
            f"them, though it went from {between:.0f} lx to {between_closer:.0f} lx."
        ),
        "How far aside from a plain module is only half of the light left, and how far aside a quarter?": (
            f"Half is left about {half:.1f} in aside, less than the throw of {throw:g} in. As far aside as the throw "
            f"it is {aside / near:.2f} of it."
        ),
    }
    return (answers,)


@app.cell
def _(answers, mo):
    mo.vstack(
        [
            mo.md("**Three questions.** Answer them aloud, then open them. They go by the slider above."),
            mo.accordion(answers),
        ]
    )
    return


if __name__ == "__main__":
    app.run()
