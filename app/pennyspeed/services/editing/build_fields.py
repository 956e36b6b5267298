"""What is typed about a build: each item shows a part of it and takes it back as text.

To add one: a condition that is declared in :mod:`pennyspeed.domain.conditions` appears by itself;
anything else is an :class:`Item` listed in :func:`items`.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

from pennyspeed.domain.builds import TARGET, Build
from pennyspeed.domain.conditions import BY_KEY, CONDITIONS
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.money.days import iso, read_day, say_day
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Field, parsed_number
from pennyspeed.domain.parts.parts import checked_name
from pennyspeed.services.editing.amounts import read_money
from pennyspeed.services.editing.figures import read_figure
from pennyspeed.services.money.currency import OtherCurrency, needs_rate, with_currency

IN_LINE = ("target", "cap", "road_m", "air_temperature_c", "head_wind_kmh", "state_of_charge")
"""What stands in the top line, in this order; the speed day and the slope follow."""

SHARES = ("state_of_charge", "relative_humidity", "spread.driver_g", "spread.brake_g")
"""Conditions that people say in percent."""

WORDS: dict[str, dict[str, float]] = {
    "head_wind_kmh": {"still air": 0.0, "still": 0.0, "calm": 0.0, "none": 0.0},
    "slope_percent": {"level": 0.0, "flat": 0.0},
    "state_of_charge": {"full": 1.0, "half": 0.5, "empty": 0.0},
}
"""Words that may be typed instead of a figure; the first of each shows for its value."""

STEPS = {"road_m": 10.0, "reaction_s": 0.1, "reserve_m": 1.0}
"""How far one step goes, in the person's own unit, where the decimals do not say it."""

_TAIL = re.compile(r"\s*tail(?:\s*wind)?\s+(.*)|(.*?)\s+tail(?:\s*wind)?\s*", re.IGNORECASE)


def condition_text(field: Field, value: float, measures: Measures) -> str:
    """Return a condition as a person reads and types it."""
    if field.key in SHARES:
        percent = round(value * 100, 1)
        return f"{measures.number(percent, 0 if percent.is_integer() else 1)} %"
    return measures.figure(field, value)


class Item:
    """One thing of the build that is edited in place."""

    key = ""
    label = ""
    help = ""

    def lead(self, build: Build) -> str:
        """Return the words before the value in the top line."""
        return self.label

    def show(self, build: Build, measures: Measures) -> str:
        """Return the value as it stands there."""
        raise NotImplementedError

    def text(self, build: Build, measures: Measures) -> str:
        """Return the value as it is edited."""
        return self.show(build, measures)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        """Return the build with the typed value; BadInput where it is none."""
        raise NotImplementedError

    def step(self, build: Build, measures: Measures, steps: int) -> Build | None:
        """Return the build with the value some steps further, None where it has no steps."""
        return None


class Name(Item):
    """The build's name."""

    key = "name"
    label = "build"
    help = "What the build is called."

    def show(self, build: Build, measures: Measures) -> str:
        return build.name

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        return replace(build, name=checked_name(text, self.label))


class Target(Item):
    key = "target"
    label = TARGET.label
    help = TARGET.help

    def show(self, build: Build, measures: Measures) -> str:
        return "none" if build.target_kmh is None else measures.figure(TARGET, build.target_kmh)

    def text(self, build: Build, measures: Measures) -> str:
        return "" if build.target_kmh is None else self.show(build, measures)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        value = read_figure(TARGET, "" if text.strip().casefold() == "none" else text, measures)
        assert not isinstance(value, str | tuple)
        return replace(build, target_kmh=value)

    def step(self, build: Build, measures: Measures, steps: int) -> Build | None:
        if build.target_kmh is None:
            return None
        shown = round(measures.shown(build.target_kmh, TARGET.unit)) + steps
        value = TARGET.checked(measures.stored(shown, TARGET.unit), TARGET.label)
        assert isinstance(value, float)
        return replace(build, target_kmh=value)


class Cap(Item):
    key = "cap"
    label = "cap"
    help = "The most that the counted lines may cost together."

    def show(self, build: Build, measures: Measures) -> str:
        if build.cap is None:
            return "none"
        whole = build.cap.amount == int(build.cap.amount)
        text = measures.number(int(build.cap.amount)) if whole else measures.money(build.cap, False)
        return f"{text} {build.currency}"

    def text(self, build: Build, measures: Measures) -> str:
        return "" if build.cap is None else self.show(build, measures)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        if text.strip().upper() in ("", "NONE", build.currency):
            return replace(build, cap=None)
        expected = f"an amount in {build.currency} such as {measures.number(260, 2)}"
        cap = read_money(text, build.currency, self.label, measures, expected)
        if cap.currency != build.currency and needs_rate(build):
            raise OtherCurrency(self.label, text, cap, build.currency)
        return with_currency(build, cap.currency, cap=cap)

    def step(self, build: Build, measures: Measures, steps: int) -> Build | None:
        if build.cap is None:
            return None
        amount = max(build.cap.amount.to_integral_value() + 5 * steps, Decimal(0))
        return replace(build, cap=Money.of(amount, build.currency))


class SpeedDay(Item):
    key = "event_date"
    label = "speed day"
    help = "The day by which the car must be ready."

    def show(self, build: Build, measures: Measures) -> str:
        return "none" if build.event_date is None else say_day(build.event_date, date.today())

    def text(self, build: Build, measures: Measures) -> str:
        return iso(build.event_date)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        day = read_day(text, self.label, day_order=measures.day_order)
        return replace(build, event_date=day)


class Condition(Item):
    def __init__(self, field: Field) -> None:
        self.field = field
        self.key, self.label, self.help = field.key, field.label, field.help

    def lead(self, build: Build) -> str:
        value = build.condition(self.key)
        if self.key == "air_temperature_c" or (value == 0.0 and self._word(0.0)):
            return ""
        if self.key == "head_wind_kmh":
            return "head wind" if value > 0 else "tail wind"
        if self.key == "slope_percent":
            return "uphill" if value > 0 else "downhill"
        return self.field.short

    def show(self, build: Build, measures: Measures) -> str:
        value = build.condition(self.key)
        if self._is_unknown(build):
            return NOT_KNOWN
        word = self._word(value)
        if word:
            return word
        if self.key in ("head_wind_kmh", "slope_percent"):
            value = abs(value)
        return condition_text(self.field, value, measures)

    def text(self, build: Build, measures: Measures) -> str:
        if self._is_unknown(build):
            return ""
        return condition_text(self.field, build.condition(self.key), measures)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        word = WORDS.get(self.key, {}).get(text.strip().casefold())
        if word is not None:
            return build.with_condition(self.key, word)
        sign = 1.0
        tail = _TAIL.fullmatch(text) if self.key == "head_wind_kmh" else None
        if tail:
            text, sign = tail[1] or tail[2], -1.0
        if self.key in SHARES:
            number = parsed_number(text)
            if number is not None and number > 1:
                text = f"{text} %"
        value = read_figure(self.field, text, measures)
        assert not isinstance(value, str | tuple)
        return build.with_condition(self.key, None if value is None else sign * value)

    def step(self, build: Build, measures: Measures, steps: int) -> Build | None:
        unit, decimals = self.field.unit, self.field.decimals
        if self._is_unknown(build):
            return build.with_careful_driver()
        size = STEPS.get(self.key, {0: 1.0, 1: 0.5}.get(decimals, 0.05))
        shown = measures.shown(build.condition(self.key), unit)
        value = measures.stored(round(shown / size + steps) * size, unit)
        value = min(max(value, self.field.low), self.field.high)
        return build.with_condition(self.key, round(value, 6))

    def _is_unknown(self, build: Build) -> bool:
        """Tell whether it is the driver's reaction, and nobody said how long that is."""
        return self.key == "reaction_s" and self.key not in build.conditions

    def _word(self, value: float) -> str:
        words = WORDS.get(self.key, {})
        return next((word for word, stands in words.items() if stands == value), "")


NAME = Name()


def items() -> list[Item]:
    """Return everything that is edited in place, what stands in the top line first."""
    fixed: dict[str, Item] = {"target": Target(), "cap": Cap()}
    first = [fixed[key] if key in fixed else Condition(BY_KEY[key]) for key in IN_LINE]
    rest = [Condition(field) for field in CONDITIONS if field.key not in IN_LINE]
    return [*first, SpeedDay(), *rest]
