"""Units: what a person writes and reads, and the SI that the physics takes.

Factors are exact where the unit is defined exactly: the international yard and pound agreement of
1959 (inch, foot, mile, pound, ounce) and the SI brochure, 9th edition.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pennyspeed.physics.constants import GRAVITY

INCH = 0.0254
POUND = 0.45359237


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one quantity."""

    symbol: str
    """As written behind a figure."""
    quantity: str
    """What it measures; units of one quantity convert into each other."""
    factor: float
    """SI units in one of this unit."""
    zero: float = 0.0
    """SI value of this unit's zero (temperatures)."""
    aliases: tuple[str, ...] = ()
    """Other spellings that are understood."""
    is_reciprocal: bool = False
    """So many for one SI unit, as teeth for an inch; `factor` is then SI over one such figure."""

    def to_si(self, value: float) -> float:
        """Return `value` in SI.

        >>> round(MPH.to_si(100.0), 9)
        44.704
        """
        if self.is_reciprocal:
            return self.factor / value if value else math.inf
        return value * self.factor + self.zero

    def from_si(self, value: float) -> float:
        """Return an SI `value` in this unit."""
        if self.is_reciprocal:
            return self.factor / value if value else math.inf
        return (value - self.zero) / self.factor

    def convert(self, value: float, target: Unit) -> float:
        """Return `value` of this unit in `target`; ValueError where the quantities differ."""
        if target.quantity != self.quantity:
            raise ValueError(f"{self.symbol} is no measure of {target.quantity}")
        return value if target is self else target.from_si(self.to_si(value))


# Lengths of parts and lengths of road are one quantity; which unit shows is the person's choice.
MM = Unit("mm", "length", 1e-3)
CM = Unit("cm", "length", 1e-2)
M = Unit("m", "length", 1.0)
KM = Unit("km", "length", 1e3)
IN = Unit("in", "length", INCH, aliases=('"', "inch", "inches"))
FT = Unit("ft", "length", 12 * INCH, aliases=("'", "foot", "feet"))
YD = Unit("yd", "length", 36 * INCH, aliases=("yard", "yards"))
MILE = Unit("mile", "length", 63360 * INCH, aliases=("mi", "miles"))
G = Unit("g", "mass", 1e-3, aliases=("gram", "grams"))
KG = Unit("kg", "mass", 1.0)
OZ = Unit("oz", "mass", POUND / 16, aliases=("ounce", "ounces"))
LB = Unit("lb", "mass", POUND, aliases=("lbs", "pound", "pounds"))
M_PER_S = Unit("m/s", "speed", 1.0)
KMH = Unit("km/h", "speed", 1 / 3.6, aliases=("kmh", "kph"))
MPH = Unit("mph", "speed", 63360 * INCH / 3600, aliases=("mile/h", "mi/h"))
CELSIUS = Unit("°C", "temperature", 1.0, 273.15, aliases=("C", "degC"))
FAHRENHEIT = Unit("°F", "temperature", 5 / 9, 273.15 - 32 * 5 / 9, aliases=("F", "degF"))
SECOND = Unit("s", "time", 1.0)
VOLT = Unit("V", "voltage", 1.0)
AMPERE = Unit("A", "current", 1.0)
MILLIOHM = Unit("mΩ", "resistance", 1e-3, aliases=("mOhm", "mohm", "milliohm"))
OHM = Unit("Ω", "resistance", 1.0, aliases=("Ohm", "ohm"))
MAH = Unit("mAh", "charge", 3.6)
AH = Unit("Ah", "charge", 3600.0)
RPM = Unit("rpm", "angular speed", 2 * math.pi / 60, aliases=("1/min", "r/min"))
RPM_PER_V = Unit("rpm/V", "speed constant", 2 * math.pi / 60, aliases=("Kv", "kv", "KV"))
HPA = Unit("hPa", "pressure", 100.0, aliases=("mbar",))
HENRY = Unit("H", "inductance", 1.0)
MICROHENRY = Unit("µH", "inductance", 1e-6, aliases=("μH", "uH"))
MILLIHENRY = Unit("mH", "inductance", 1e-3)
PSI = Unit("psi", "pressure", POUND * GRAVITY / INCH**2)
CM2 = Unit("cm²", "area", 1e-4, aliases=("cm2", "cm^2"))
IN2 = Unit("in²", "area", INCH**2, aliases=("in2", "in^2"))
GCM2 = Unit("g·cm²", "moment of inertia", 1e-7, aliases=("gcm2", "g cm2", "gcm²"))
J_PER_K = Unit("J/K", "heat capacity", 1.0)
GEE = Unit("g", "acceleration", GRAVITY)
NEWTON = Unit("N", "force", 1.0)
POUND_FORCE = Unit("lbf", "force", POUND * GRAVITY)
WATT = Unit("W", "power", 1.0)
HORSEPOWER = Unit("hp", "power", 550 * 12 * INCH * POUND * GRAVITY)
METRIC_HORSEPOWER = Unit("PS", "power", 75 * GRAVITY)
MILLINEWTON_METRE = Unit("mN·m", "torque", 1e-3, aliases=("mNm",))
OUNCE_INCH = Unit("ozf·in", "torque", POUND / 16 * GRAVITY * INCH, aliases=("oz-in",))
POUND_FOOT = Unit("lbf·ft", "torque", POUND * GRAVITY * 12 * INCH, aliases=("lb-ft",))
# The size of gear teeth: pitch diameter over teeth, or teeth for an inch of it. A column in inches
# is read as well.
MODULE = Unit("mm", "gear module", 1e-3, aliases=("m", "mod", "module"))
MODULE_IN = Unit("in", "gear module", INCH)
PITCH = Unit("pitch", "gear module", INCH, aliases=("p", "dp"), is_reciprocal=True)
PERCENT = Unit("%", "share", 0.01)
SHARE = Unit("", "share", 1.0)

UNITS: tuple[Unit, ...] = tuple(unit for unit in list(globals().values()) if isinstance(unit, Unit))


def find(symbol: str, quantity: str) -> Unit | None:
    """Return the unit of `quantity` that is spelled `symbol`, or None.

    Case counts only where it tells two units apart, so "MM" is millimetres.

    >>> find("inch", "length").symbol, find("KPH", "speed").symbol, find("kg", "length")
    ('in', 'km/h', None)
    """
    of_quantity = [unit for unit in UNITS if unit.quantity == quantity]
    for spelled in (str, str.casefold):
        for unit in of_quantity:
            if spelled(symbol) in {spelled(name) for name in (unit.symbol, *unit.aliases)}:
                return unit
    return None
