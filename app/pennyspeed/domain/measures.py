"""How figures are written for a person: units, decimal mark and group mark of their choice."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.parts.fields import Field, Shape, Value
from pennyspeed.domain.units import (
    FT,
    IN,
    KMH,
    MM,
    MODULE,
    MPH,
    OZ,
    PITCH,
    UNITS,
    G,
    M,
    Unit,
)

MINUS = "−"
SPEED_UNITS = (KMH, MPH)
LENGTH_UNITS = (MM, IN)
MASS_UNITS = (G, OZ)

NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Measures:
    """A person's choice of units and marks.

    >>> metric = Measures()
    >>> metric.speed(118.3), metric.number(58200), metric.number(-2.5, 1)
    ('118 km/h', '58,200', '−2.5')
    >>> Measures(speed_unit=MPH, decimal=",", group=".").speed(160.9344, 1)
    '100,0 mph'
    """

    speed_unit: Unit = KMH
    length_unit: Unit = MM
    mass_unit: Unit = G
    decimal: str = "."
    group: str = ","
    day_order: str = ""
    """Of a day in figures, such as "dmy"; "" where it is read as ISO 8601 only."""

    @property
    def road_unit(self) -> Unit:
        """The unit of roads, which goes with that of parts."""
        return FT if self.length_unit is IN else M

    def unit_for(self, unit: Unit) -> Unit:
        """Return the unit in which figures stored in `unit` are shown."""
        if unit.quantity == "speed":
            return self.speed_unit
        if unit is MM:
            return self.length_unit
        if unit is M:
            return self.road_unit
        if unit is MODULE:
            return PITCH if self.length_unit is IN else MODULE
        return self.mass_unit if unit is G else unit

    def number(self, value: float | Decimal, decimals: int = 0) -> str:
        """Return a number with this person's marks; nothing is shown as −0."""
        text = f"{value:,.{decimals}f}"
        if not text.strip("-0.,"):
            text = text.removeprefix("-")
        marks: dict[str, str | int | None] = {",": self.group, ".": self.decimal}
        swapped = text.translate(str.maketrans(marks))
        return swapped.replace("-", MINUS)

    def signed(self, value: float, decimals: int = 0) -> str:
        """Return a change: with + or −, and a plain 0 where nothing changes."""
        text = self.number(value, decimals)
        return text if text.startswith(MINUS) or not text.strip(f"0{self.decimal}") else f"+{text}"

    def shown(self, value: float, unit: Unit) -> float:
        """Return a figure stored in `unit` as it is shown."""
        return unit.convert(value, self.unit_for(unit))

    def stored(self, value: float, unit: Unit) -> float:
        """Return a figure as shown, back in `unit`."""
        return self.unit_for(unit).convert(value, unit)

    def with_unit(self, value: float, unit: Unit, decimals: int = 0) -> str:
        """Return a figure stored in `unit` with the unit behind it."""
        target = self.unit_for(unit)
        more = 2 if target is IN else 1 if target is OZ else 0
        text = self.number(self.shown(value, unit), decimals + more)
        return f"{text} {target.symbol}" if target.symbol else text

    def speed(self, kmh: float, decimals: int = 0) -> str:
        """Return a speed given in km/h."""
        return self.with_unit(kmh, KMH, decimals)

    def target(self, kmh: float, unit: bool = True) -> str:
        """Return a target speed given in km/h, with a decimal only where it is not whole.

        >>> Measures().target(130.0), Measures(speed_unit=MPH).target(130.0)
        ('130 km/h', '80.8 mph')
        """
        text = self._short(self.shown(kmh, KMH), 1)
        return f"{text} {self.speed_unit.symbol}" if unit else text

    def speed_beside(self, kmh: float, target_kmh: float | None) -> float:
        """Return a speed given in km/h as a whole figure on the side of the target where it is.

        Rounded to the nearest, 129.6 would read as if it reached 130.

        >>> Measures().speed_beside(129.6, 130.0), Measures().speed_beside(129.6, None)
        (129.0, 130.0)
        """
        shown = self.shown(kmh, KMH)
        whole = float(round(shown))
        if target_kmh is None:
            return whole
        is_reached, goal = kmh >= target_kmh, self.shown(target_kmh, KMH)
        if is_reached == (whole >= goal):
            return whole
        return float(math.ceil(shown) if is_reached else math.floor(shown))

    def speed_toward(self, kmh: float, target_kmh: float | None, unit: bool = True) -> str:
        """Return a speed given in km/h as :meth:`speed_beside` has it."""
        text = self.number(self.speed_beside(kmh, target_kmh))
        return f"{text} {self.speed_unit.symbol}" if unit else text

    def road(self, metres: float) -> str:
        """Return a distance on the road given in metres."""
        return self.with_unit(metres, M)

    def money(self, amount: Money, currency: bool = True) -> str:
        """Return an amount with its currency behind it, to its last digit."""
        text = self.number(amount.amount, digits(amount.currency))
        return f"{text} {amount.currency}" if currency else text

    def figure(self, field: Field, value: Value | None, unit: bool = True) -> str:
        """Return a part's figure as a table or a sentence shows it."""
        if value is None:
            return NOT_KNOWN
        if isinstance(value, str):
            return value
        target = self.unit_for(field.unit)
        sides = value if isinstance(value, tuple) else (value,)
        shown = [self.shown(side, field.unit) for side in sides]
        most = 0 if field.shape is Shape.WHOLE else max(field.decimals, 1) + 2 * (target is IN)
        texts = [self._short(side, most) for side in shown]
        symbol = f" {target.symbol}" if unit and target.symbol else ""
        return " × ".join(texts) + symbol

    def named_figure(self, field: Field, value: Value | None) -> str:
        """Return a part's figure with its name before it; a pitch says itself what it is."""
        figure = self.figure(field, value)
        if self.unit_for(field.unit) is PITCH:
            return figure
        return f"{field.label} {figure}".rstrip()

    def gear_size(self, module_mm: float) -> str:
        """Return the size of a gear's teeth as the trade says it.

        >>> Measures().gear_size(0.8), Measures(length_unit=IN).gear_size(25.4 / 48)
        ('module 0.8', '48 pitch')
        """
        text = self._short(self.shown(module_mm, MODULE), 2)
        return f"{text} pitch" if self.unit_for(MODULE) is PITCH else f"module {text}"

    def _short(self, value: float, most: int) -> str:
        """Return a number with up to `most` decimals, none of them a trailing zero."""
        text = self.number(value, most)
        return text.rstrip("0").rstrip(self.decimal) if self.decimal in text else text


METRIC = Measures()


def percent(chance: float) -> str:
    """Return a chance in percent; never a certainty that the draws do not carry.

    >>> percent(0.124), percent(0.0), percent(1.0)
    ('12', '<1', '>99')
    """
    if chance < 0.005:
        return "<1"
    return ">99" if chance > 0.995 else f"{100 * chance:.0f}"


def say_chance(chance: float) -> str:
    """Return a chance as people say it; never a certainty that the draws do not carry.

    >>> say_chance(0.124), say_chance(0.0), say_chance(1.0)
    ('12 of 100', 'under 1 of 100', 'over 99 of 100')
    """
    if chance < 0.005:
        return "under 1 of 100"
    if chance > 0.995:
        return "over 99 of 100"
    return f"{100 * chance:.0f} of 100"


def unit_named(symbol: str) -> Unit:
    """Return the unit of that symbol; KeyError where there is none."""
    for unit in UNITS:
        if unit.symbol == symbol:
            return unit
    raise KeyError(symbol)
