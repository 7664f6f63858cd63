"""What a study says of building the sign: its strings, supports and supplies, checked against its modules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lumsim.cabinet.modules import Module
from lumsim.errors import InputError
from lumsim.sheet.dimming import Dimming, MeasuredCurve, ResistorBallast, SteadyDriver
from lumsim.sheet.wire import Wire, parse_wire
from lumsim.sheet.wiring import Electrics, Wiring
from lumsim.study.key_lines import KeyPath
from lumsim.study.reports import Report
from lumsim.study.sheet_form import ElectricsForm, PowerForm, length_or_default
from lumsim.units import Units, format_length

__all__ = ["SheetAsked", "sheet_asked"]

NO_DROP_OUT = 0.0
"""Of a driver of which none is told: its light holds at any voltage. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetAsked:
    """What the sheet works by; what a study does not tell is not worked out, and the sheet says so."""

    electrics: Mapping[str, Electrics]
    """by kind of module; without those whose watts or volts are not told"""
    wiring: Wiring | None
    """None: no supply voltage is told"""
    untold: tuple[str, ...]
    """keys without which voltages cannot be worked out"""
    defaults: tuple[tuple[str, str], ...]
    """keys that the study leaves out, and what they are then, as printed"""


def sheet_asked(
    power: PowerForm,
    forms: Mapping[str, ElectricsForm],
    kinds: Mapping[str, Module],
    units: Units,
    report: Report,
) -> SheetAsked:
    """What forms say of building a sign.

    Parameters
    ----------
    power : PowerForm
    forms : mapping of name to form
        Of each kind of module.
    kinds : mapping of name to Module
        Those that stand in rows.
    units : {"in", "mm"}
        For printing defaults.
    report : callable
        Told of each thing that does not fit.
    """
    electrics: dict[str, Electrics] = {}
    untold: list[str] = []
    for name, kind in kinds.items():
        untold += [f"modules.{name}.{key}" for key in ("watts", "volts") if getattr(kind, key) is None]
        if kind.watts is None or kind.volts is None:
            continue
        found = _electrics(("modules", name, "electrics"), forms[name], kind.watts, kind.volts, report)
        if found is not None:
            electrics[name] = found
    rated = {kind.volts for kind in kinds.values() if kind.volts is not None}
    volts = power.supply_volts
    if volts is None and len(rated) > 1:
        report(("power", "supply_volts"), "must be given where modules are rated for different voltages")
        return SheetAsked(electrics=electrics, wiring=None, untold=tuple(untold), defaults=())
    if volts is None and rated:
        (volts,) = rated
    feed = _wire("feed_wire", power.feed_wire, power.wire_temperature, report)
    string = (
        feed
        if power.string_wire is None
        else _wire("string_wire", power.string_wire, power.wire_temperature, report)
    )
    wiring = None
    if volts is not None and feed is not None and string is not None:
        wiring = Wiring(
            supply_volts=volts,
            feed_at=power.feed_at,
            feed_wire=feed,
            feed_length=float(length_or_default(power, "feed_length", units)),
            string_wire=string,
            circuits=power.circuits_a_row,
        )
    return SheetAsked(
        electrics=electrics,
        wiring=wiring,
        untold=tuple(untold),
        defaults=_defaults(power, {name: forms[name] for name in electrics}, units),
    )


def _defaults(
    power: PowerForm, forms: Mapping[str, ElectricsForm], units: Units
) -> tuple[tuple[str, str], ...]:
    """Keys that bear on voltages and that the study leaves out, with what they are then."""
    given = power.model_fields_set
    told = {
        "feed_at": power.feed_at,
        "feed_length": format_length(length_or_default(power, "feed_length", units), units),
        "feed_wire": power.feed_wire,
        "wire_temperature": f"{power.wire_temperature:g} °C",
    }
    return (
        *((f"power.{key}", value) for key, value in told.items() if key not in given),
        *(
            (f"modules.{name}.electrics.takes", form.takes)
            for name, form in forms.items()
            if "takes" not in form.model_fields_set
        ),
        *(
            (f"modules.{name}.electrics.drop_out", "none: light at any voltage")
            for name, form in forms.items()
            if form.takes != "resistor" and form.light is None and form.drop_out is None
        ),
    )


def _wire(key: str, text: str, temperature: float, report: Report) -> Wire | None:
    try:
        return parse_wire(text, temperature=temperature)
    except InputError as error:
        report(("power", key), str(error))
        return None


def _electrics(
    path: KeyPath, form: ElectricsForm, watts: float, volts: float, report: Report
) -> Electrics | None:
    if form.forward_volts is not None and form.takes != "resistor":
        report((*path, "forward_volts"), f'belongs to takes = "resistor", got {form.takes!r}')
        return None
    if form.light is not None and form.drop_out is not None:
        report(
            (*path, "drop_out"),
            "light is given too, which tells what drop_out would: leave one of the two out",
        )
        return None
    if form.takes == "resistor" and form.drop_out is not None:
        report((*path, "drop_out"), "a resistor has none: it belongs to a driver")
        return None
    try:
        dimming: Dimming
        if form.light is not None:
            dimming = MeasuredCurve(points=tuple(form.light))
        elif form.takes == "resistor":
            dimming = ResistorBallast(forward_voltage=form.forward_volts or 0.0, rated_voltage=volts)
        else:
            dimming = SteadyDriver(drop_out=NO_DROP_OUT if form.drop_out is None else form.drop_out)
        return Electrics(
            watts=watts,
            volts=volts,
            takes=form.takes,
            forward_volts=form.forward_volts or 0.0,
            dimming=dimming,
        )
    except InputError as error:
        report(path, str(error))
        return None
