"""The numbers of ``electrical.toml`` once more, by lumsim's own functions.

A check takes the parameters of an entry of ``electrical.toml`` by name and returns lumsim's answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from lumsim.sheet.class_2 import class_2_limits
from lumsim.sheet.ladder import Feed, Loads, String, feed_places, longest, voltages_along
from lumsim.sheet.wire import Wire, parse_wire

METRES_PER_KFT = 304.8
SUPPLY = 12.0


def ohms_per_km(gauge: int, temperature: float, stranded: int) -> float:
    """Resistance of a gauge [Ω/km]."""
    wire = Wire.of_gauge(gauge, temperature=temperature, stranded=bool(stranded))
    return 1000 * wire.resistance_per_metre


def ohms_per_kft(gauge: int, temperature: float, stranded: int) -> float:
    """Resistance of a gauge [Ω/kft]."""
    return ohms_per_km(gauge, temperature, stranded) * METRES_PER_KFT / 1000


def metric_ohms_per_km(area: str, stranded: int) -> float:
    """Resistance of a nominal size in mm² at 20 °C [Ω/km]."""
    wire = parse_wire(f"{area} mm²", temperature=20.0, stranded=bool(stranded))
    return 1000 * wire.resistance_per_metre


def class_2_volt_amperes(volts: float) -> float:
    """Most volt-amperes of a class 2 supply [VA]."""
    return class_2_limits(volts).rated_volt_amperes


def class_2_amperes(volts: float) -> float:
    """Most amperes of a class 2 supply [A]."""
    return class_2_limits(volts).rated_amperes


def class_2_any_load(volts: float) -> float:
    """Amperes that a class 2 supply stays below [A]."""
    return class_2_limits(volts).amperes_under_any_load


def _fed_at_its_end(modules: int, segment: float, feed: float = 0.0, **load: float) -> String:
    """Return a string whose first module is one segment and a feed away from its supply."""
    return String(
        supply=SUPPLY,
        segments=np.full(modules - 1, segment),
        feeds=tuple(Feed(module=k, resistance=feed + segment) for k in feed_places("end", modules)),
        loads=Loads.alike(modules, **load),
    )


def end_volts(modules: int, segment: float, **load: float) -> float:
    """Voltage at the last module [V]."""
    return float(voltages_along(_fed_at_its_end(modules, segment, **load)).volts[-1])


def end_drop(modules: int, segment: float, feed: float, amperes: float) -> float:
    """Drop from the supply to the last module [V]."""
    return SUPPLY - end_volts(modules, segment, feed=feed, amperes=amperes)


def end_drop_share(modules: int, segment: float, feed: float, amperes: float) -> float:
    """The same of the supply's voltage [%]."""
    return 100 * voltages_along(_fed_at_its_end(modules, segment, feed, amperes=amperes)).drop


def feed_drop(modules: int, segment: float, feed: float, amperes: float) -> float:
    """Drop along the feed, without the first segment [V]."""
    return float(
        feed * voltages_along(_fed_at_its_end(modules, segment, feed, amperes=amperes)).feed_amperes[0]
    )


def feed_amperes(modules: int, segment: float, watts: float) -> float:
    """Current from the supply [A]."""
    return float(voltages_along(_fed_at_its_end(modules, segment, watts=watts)).feed_amperes[0])


def middle_drop(modules: int, segment: float, amperes: float) -> float:
    """Drop at the ends of a string that is fed at a joint without a module in its middle [V]."""
    taken = np.full(modules + 1, amperes)
    (joint,) = feed_places("middle", modules + 1)
    taken[joint] = 0.0
    string = String(
        supply=SUPPLY,
        segments=np.full(modules, segment),
        feeds=(Feed(module=joint),),
        loads=Loads(
            amperes=taken,
            watts=np.zeros(modules + 1),
            ohms=np.full(modules + 1, np.inf),
            forward_volts=np.zeros(modules + 1),
        ),
    )
    volts = voltages_along(string).volts
    assert abs(volts[0] - volts[-1]) < 1e-12
    return SUPPLY - float(volts[-1])


def longest_string(per_kft: float) -> int:
    """Most modules of 60 mA, 0.1 m apart, at a drop of 5 % [1]."""
    segment = 2 * 0.1 * per_kft / METRES_PER_KFT
    return longest(lambda modules: _fed_at_its_end(modules, segment, amperes=0.06), largest_drop=0.05)


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        check.__name__: check
        for check in (
            ohms_per_km,
            ohms_per_kft,
            metric_ohms_per_km,
            class_2_volt_amperes,
            class_2_amperes,
            class_2_any_load,
            end_drop,
            end_drop_share,
            feed_drop,
            middle_drop,
            end_volts,
            feed_amperes,
            longest_string,
        )
    }
)
"""Each check by its name in ``electrical.toml``."""
