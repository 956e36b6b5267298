"""Units, against their definitions."""

from __future__ import annotations

import math
import tokenize
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pennyspeed
from pennyspeed.domain import conditions, units
from pennyspeed.domain.units import UNITS, Unit, find


# Exact by the international yard and pound agreement of 1959 and the SI brochure (9th ed.), but for
# those whose source stands beside them; compare NIST SP 811 (2008), appendix B.8.
@pytest.mark.parametrize(
    ("unit", "value", "si"),
    [
        (units.IN, 1, 0.0254),
        (units.FT, 1, 0.3048),
        (units.YD, 1, 0.9144),
        (units.MILE, 1, 1609.344),
        (units.LB, 1, 0.45359237),
        (units.OZ, 1, 0.028349523125),
        (units.MPH, 1, 0.44704),
        (units.KMH, 3.6, 1.0),
        (units.CELSIUS, 20, 293.15),
        (units.FAHRENHEIT, 32, 273.15),
        (units.FAHRENHEIT, 212, 373.15),
        (units.RPM, 60, 2 * math.pi),
        (units.MAH, 1000, 3600),
        (units.AH, 1, 3600),
        (units.HPA, 1013.25, 101325),
        (units.GCM2, 1, 1e-7),
        (units.PSI, 1, 6894.757293168),  # NIST SP 811: 6.894757 E+03
        (units.POUND_FORCE, 1, 4.4482216152605),  # NIST SP 811
        (units.HORSEPOWER, 1, 745.69987158227),  # NIST SP 811: 550 ft·lbf/s, 7.456999 E+02
        (units.METRIC_HORSEPOWER, 1, 735.49875),  # NIST SP 811: 7.354988 E+02
        (units.OUNCE_INCH, 1, 0.028349523125 * 9.80665 * 0.0254),  # NIST SP 811: 7.061552 E-03
    ],
    ids=lambda x: getattr(x, "symbol", str(x)),
)
def test_units_are_as_defined(unit: Unit, value: float, si: float) -> None:
    assert unit.to_si(value) == pytest.approx(si, rel=1e-9)
    assert unit.from_si(si) == pytest.approx(value, rel=1e-9)


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6))
def test_there_and_back_is_the_same(unit: Unit, value: float) -> None:
    assert unit.from_si(unit.to_si(value)) == pytest.approx(value, rel=1e-9, abs=1e-6)


def test_other_spellings_are_found_and_other_quantities_are_not() -> None:
    assert find("MM", "length") is units.MM
    assert find('"', "length") is units.IN
    assert find("g", "mass") is units.G
    assert find("g", "acceleration") is units.GEE
    assert find("parsec", "length") is None
    with pytest.raises(ValueError, match="no measure of mass"):
        units.MM.convert(1.0, units.G)


def test_a_constant_that_floors_share_is_written_once() -> None:
    places: dict[float, list[str]] = {9.80665: [], 1013.25: []}
    for path in Path(pennyspeed.__file__).parent.rglob("*.py"):
        with path.open("rb") as file:
            for token in tokenize.tokenize(file.readline):
                if token.type == tokenize.NUMBER and token.string in map(repr, places):
                    places[float(token.string)].append(path.name)
    assert places == {9.80665: ["constants.py"], 1013.25: ["constants.py"]}
    assert units.GEE.to_si(1.0) == 9.80665  # CGPM 1901
    assert conditions.BY_KEY["air_pressure_hpa"].default == 1013.25  # CGPM 1954
