"""Brief: a check in the few words that a row of a table has room for."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import amperes, three_figures
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.units import MM

FINE = "fine"

BROKEN = {
    "cells-over-controller": "too many cells",
    "gear-module": "other module",
    "pinion-bore": "bore is not the shaft",
    "mesh-distance": "gears do not mesh",
    "motor-can": "can too thick",
    "motor-length": "motor too long",
    "pack-bay": "pack too large",
    "electrical-rpm": "electrical rpm too high",
    "connector": "other plug",
    "cannot-move": "does not move off",
    "cannot-stop": "cannot stop in time",
    "motor-rpm": "past rated rpm",
    "tyre-speed": "past tyres’ rating",
    "current-controller": "past controller’s rating",
    "current-motor": "past motor’s rating",
    "current-pack": "past pack’s rating",
    "pack-voltage": "cells sag too far",
    "motor-temperature": "motor too hot",
    "front-load": "front goes light",
    "road-short": "road too short",
    "pack-flat": "pack runs flat",
    "masses": "a mass is missing",
    "cap": "over the cap",
    "late": "comes too late",
}
"""What a broken check says in general, by its code."""

LACKING = {
    "cells-over-controller": "cell limit",
    "gear-module": "module",
    "pinion-bore": "bore or shaft",
    "mesh-distance": "gear room",
    "motor-can": "can or its room",
    "motor-length": "length or room",
    "pack-bay": "size or bay",
    "electrical-rpm": "electrical limit",
    "connector": "plug",
    "motor-rpm": "rated speed",
    "tyre-speed": "tyres’ rating",
    "current-controller": "controller amps",
    "current-motor": "motor amps",
    "current-pack": "pack amps",
    "motor-temperature": "motor’s mass",
    "masses": "a mass",
    "cap": "price",
    "late": "arrival",
}
"""What is not known where a check cannot be said, by its code."""


def brief(check: Check, measures: Measures = METRIC) -> str:
    """Say a check's outcome in about twenty letters, by how much where that has room.

    >>> brief(Check("motor-rpm", Level.WARN, 38_600.0, 38_400.0, ""))
    '200 rpm past rating'
    >>> brief(Check("motor-rpm", Level.UNKNOWN, None, None, ""))
    'rated speed not known'
    """
    if check.level in (Level.STOP, Level.WARN):
        say = _BY_HOW_MUCH.get(check.code)
        value, limit = check.value, check.limit
        if say is not None and isinstance(value, int | float) and isinstance(limit, int | float):
            return say(float(value), float(limit), measures)
        if isinstance(value, str) and isinstance(limit, str):
            if check.code == "connector":
                return f"plugs {value} and {limit}"
            if check.code == "cap":
                return _over_cap(value, limit, measures)
    return in_general(check.code, check.level)


def in_general(code: str, level: Level) -> str:
    """Say an outcome of which only code and level are known.

    >>> in_general("late", Level.WARN), in_general("late", Level.OK)
    ('comes too late', 'fine')
    """
    if level is Level.OK:
        return FINE
    if level is Level.UNKNOWN:
        return f"{LACKING[code]} not known" if code in LACKING else "cannot be said yet"
    return BROKEN[code]


Say = Callable[[float, float, Measures], str]


def _rpm(value: float, limit: float, measures: Measures) -> str:
    return f"{measures.number(three_figures(value - limit))} rpm past rating"


def _electrical(value: float, limit: float, measures: Measures) -> str:
    return f"{measures.number(three_figures(value))} electrical rpm"


def _cells(value: float, limit: float, measures: Measures) -> str:
    return f"{value:.0f} cells, takes {limit:.0f}"


def _module(value: float, limit: float, measures: Measures) -> str:
    one, other = (f"{side:.4g}".replace(".", measures.decimal) for side in (value, limit))
    return f"module {one} to {other}"


def _length(value: float, measures: Measures) -> str:
    return measures.figure(BY_KEY["motor"].field("can_mm"), value)


def _bore(value: float, limit: float, measures: Measures) -> str:
    bore = measures.figure(BY_KEY["pinion"].field("bore_mm"), value, unit=False)
    return f"bore {bore}, shaft {measures.figure(BY_KEY['motor'].field('shaft_mm'), limit)}"


def _mesh(value: float, limit: float, measures: Measures) -> str:
    way = "wide" if value > limit else "tight"
    return f"mesh {measures.with_unit(abs(value - limit), MM, 1)} too {way}"


def _can(value: float, limit: float, measures: Measures) -> str:
    return f"{_length(value, measures)} can, room for {_bare(limit, measures)}"


def _long(value: float, limit: float, measures: Measures) -> str:
    return f"{_length(value, measures)} long, room {_bare(limit, measures)}"


def _bay(value: float, limit: float, measures: Measures) -> str:
    return f"{_length(value, measures)}, bay {_bare(limit, measures)}"


def _bare(value: float, measures: Measures) -> str:
    return measures.figure(BY_KEY["motor"].field("can_mm"), value, unit=False)


def _tyres(value: float, limit: float, measures: Measures) -> str:
    return f"tyres rated {measures.speed(limit)}"


def _current(who: str) -> Say:
    def say(value: float, limit: float, measures: Measures) -> str:
        return "{} {} A, rated {}".format(who, *amperes(value, limit, measures))

    return say


def _hot(value: float, limit: float, measures: Measures) -> str:
    return f"motor {measures.number(value)} °C hot"


def _sag(value: float, limit: float, measures: Measures) -> str:
    return f"cells down to {measures.number(value, 2)} V"


_BY_HOW_MUCH: dict[str, Say] = {
    "cells-over-controller": _cells,
    "gear-module": _module,
    "pinion-bore": _bore,
    "mesh-distance": _mesh,
    "motor-can": _can,
    "motor-length": _long,
    "pack-bay": _bay,
    "electrical-rpm": _electrical,
    "motor-rpm": _rpm,
    "tyre-speed": _tyres,
    "current-controller": _current("controller"),
    "current-motor": _current("motor"),
    "current-pack": _current("pack"),
    "pack-voltage": _sag,
    "motor-temperature": _hot,
}


def _over_cap(value: str, limit: str, measures: Measures) -> str:
    """Say by how much the cap is passed, from the amounts as checks give them."""
    over = Decimal(value) - Decimal(limit)
    places = len(limit.partition(".")[2])
    return f"{measures.number(float(over), places)} over the cap"
