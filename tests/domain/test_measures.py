"""Measures: figures as a person reads them."""

from __future__ import annotations

import pytest

from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import IN, KMH, MM, MPH, OZ, G, M

METRIC = Measures()
IMPERIAL = Measures(speed_unit=MPH, length_unit=IN, mass_unit=OZ)
GERMAN = Measures(decimal=",", group=".")


def test_speeds_lengths_and_masses_follow_the_person() -> None:
    assert METRIC.speed(130) == "130 km/h"
    assert IMPERIAL.speed(130) == "81 mph"  # 130 km/h is 80.78 mph
    assert IMPERIAL.road(100) == "328 ft"  # 100 m is 328.08 ft
    assert METRIC.with_unit(65, MM, 1) == "65.0 mm"
    assert IMPERIAL.with_unit(65, MM) == "2.56 in"
    assert IMPERIAL.with_unit(100, G) == "3.5 oz"


def test_marks_follow_the_person() -> None:
    assert GERMAN.number(58200.5, 1) == "58.200,5"
    assert GERMAN.money(Money(123456, "EUR")) == "1.234,56 EUR"
    assert METRIC.money(Money(1500, "JPY"), currency=False) == "1,500"
    assert METRIC.money(Money(9_999_999_999_999_999, "EUR")) == "99,999,999,999,999.99 EUR"
    assert METRIC.number(-2.5, 1) == "−2.5"
    assert METRIC.number(-0.01) == "0"
    assert METRIC.signed(3) == "+3"
    assert METRIC.signed(-3) == "−3"
    assert METRIC.signed(0.2) == "0"


@pytest.mark.parametrize("measures", [METRIC, IMPERIAL])
@pytest.mark.parametrize("unit", [KMH, MM, G, M])
def test_what_is_shown_goes_back_into_store(measures: Measures, unit: object) -> None:
    assert measures.stored(measures.shown(12.5, unit), unit) == pytest.approx(12.5)  # type: ignore[arg-type]


def test_figures_of_parts_drop_what_says_nothing() -> None:
    shaft = BY_KEY["motor"].field("shaft_mm")
    assert METRIC.figure(shaft, 3.175) == "3.175 mm"
    assert METRIC.figure(shaft, 5.0) == "5 mm"
    assert METRIC.figure(shaft, None) == "not known"
    assert IMPERIAL.figure(shaft, 3.175) == "0.125 in"
    size = BY_KEY["pack"].field("size_mm")
    assert METRIC.figure(size, (138.0, 46.0, 25.5)) == "138 × 46 × 25.5 mm"
    assert METRIC.figure(BY_KEY["pinion"].field("teeth"), 22) == "22"
