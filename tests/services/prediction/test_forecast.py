"""Forecast: the whole of what is said about one build."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from functools import cache

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.assembly import assemble, draw, drawn_figures
from pennyspeed.domain.checks import CHECKS, Level
from pennyspeed.domain.hypercube import DRAWS
from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import Car
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction
from pennyspeed.services.prediction.forecast import (
    forecast,
    is_same_car,
    percentiles,
    with_money_of,
)


def test_the_band_lies_around_the_car_and_narrows_with_better_figures() -> None:
    found = forecast(a_build())
    assert found.prediction is not None
    assert found.band is not None
    band = found.band
    assert band.p10 < band.p50 < band.p90
    assert band.p10 < found.prediction.road_speed < band.p90
    assert band.p50 == pytest.approx(found.prediction.road_speed, rel=0.02)

    sure = a_build()
    for slot, part in sure.parts.items():
        given = {f"parts__{slot}__provenance": dict.fromkeys(part.figures, "measured")}
        sure = sure.with_part(a_build(**given).parts[slot])
    narrow = forecast(sure).band
    assert narrow is not None
    assert narrow.p90 - narrow.p10 < 0.5 * (band.p90 - band.p10)


@cache
def draws_one_by_one() -> list[Prediction]:
    """The draws of the tests' own car, each by the single car's own path."""
    build = a_build()
    car = assemble(build, draw(drawn_figures(build)))
    assert car is not None

    def one(i: int) -> Car:
        figures = {}
        for field in fields(Car):
            value = getattr(car, field.name)
            figures[field.name] = value[i].item() if isinstance(value, np.ndarray) else value
        return Car(**figures)

    return [predict(one(i), speeds=64) for i in range(DRAWS)]


def test_percentiles_and_chance_are_those_of_the_draws_run_one_by_one() -> None:
    """The band's batch against the single car's own path."""
    found = forecast(a_build()).band
    assert found is not None
    speeds = np.array([one.road_speed for one in draws_one_by_one()])
    low, middle, high = np.percentile(speeds, (10, 50, 90))
    assert found.p10 == pytest.approx(low, rel=2e-3)
    assert found.p50 == pytest.approx(middle, rel=2e-3)
    assert found.p90 == pytest.approx(high, rel=2e-3)
    assert found.chance == pytest.approx(np.mean(speeds >= 80 / 3.6), abs=2 / 256)


def test_the_band_along_the_road_is_that_of_the_draws_run_one_by_one() -> None:
    band = forecast(a_build()).band
    assert band is not None
    places = band.distance[20:110:10]
    traces = [one.trace for one in draws_one_by_one() if one.trace is not None]
    speeds = [np.interp(places, trace.distance, trace.speed) for trace in traces]
    low, high = np.percentile(speeds, (10, 90), axis=0)
    np.testing.assert_allclose(band.low[20:110:10], low, rtol=3e-3)
    np.testing.assert_allclose(band.high[20:110:10], high, rtol=3e-3)


def test_percentiles_lie_between_two_draws_and_one_on_the_target_reaches_it() -> None:
    # From 10 to 50 a tenth of the way is 14, nine tenths 46; three of five are at least 30 m/s.
    speeds = np.array([50.0, 10.0, 30.0, 20.0, 40.0])
    assert percentiles(speeds, KMH.from_si(30.0)) == pytest.approx([14.0, 30.0, 46.0, 0.6])


def test_the_chance_falls_as_the_target_rises() -> None:
    chances = [forecast(a_build(target_kmh=target)).band.chance for target in (20, 90, 95, 300)]
    assert chances[0] == 1.0
    assert chances[3] == 0.0
    assert chances == sorted(chances, reverse=True)
    assert forecast(a_build(target_kmh=None)).band.chance is None


def test_the_band_along_the_road_starts_and_ends_at_rest() -> None:
    build = a_build()
    found = forecast(build)
    assert found.band is not None
    assert found.prediction is not None
    band = found.band
    assert band.distance[0] == 0.0
    assert band.distance[-1] == pytest.approx(240.0)
    assert band.low.shape == band.high.shape == band.distance.shape
    assert np.all(band.low <= band.high)
    assert band.high[0] == pytest.approx(0.0, abs=0.1)
    assert band.high[-1] == pytest.approx(0.0, abs=0.5)
    middle = np.interp(band.distance, found.prediction.trace.distance, found.prediction.trace.speed)
    along = slice(10, 90)
    assert np.all(band.low[along] < middle[along])
    assert np.all(band.high[along] > middle[along])


def test_what_a_missing_part_leaves_is_still_said() -> None:
    found = forecast(a_build(parts__tyres=None))
    assert found.prediction is None
    assert found.band is None
    assert found.gear_ratio == pytest.approx(5.0)
    assert found.roll_out_m is None
    assert found.standstill_current is not None
    assert found.mass_kg > 0
    assert str(found.costs.counted) == "89.20"
    assert len(found.checks) == len(CHECKS)


def test_a_car_that_cannot_move_still_has_a_band() -> None:
    found = forecast(a_build(parts__motor__peak_current_a=2.0))
    assert found.prediction is not None
    assert found.prediction.top_speed == 0.0
    assert found.band is not None
    assert found.band.p10 == 0.0


def test_a_road_of_no_length_allows_no_speed() -> None:
    found = forecast(a_build(conditions__road_m=0))
    assert found.prediction is not None
    assert found.prediction.road_speed == 0.0
    assert found.prediction.top_speed > 0.0
    assert found.band is not None
    assert found.band.p90 == 0.0
    assert found.band.chance == 0.0


def test_checks_are_those_of_the_build() -> None:
    levels = {check.code: check.level for check in forecast(a_build(money__cap="10")).checks}
    assert levels["cap"] is Level.WARN
    assert levels["motor-can"] is Level.OK


def test_money_days_and_a_name_leave_the_run_as_it_was() -> None:
    build = a_build()
    found = forecast(build)
    for other in (
        build.with_new_line(Line("", "Entry fee", unit_price=Decimal(5000))),
        replace(build, cap=None, event_date=date(2031, 1, 1), name="Another"),
    ):
        assert is_same_car(build, other)
        # Field by field as if it had been worked out anew, but for the arrays, which are the same.
        renewed, anew = with_money_of(found, other), forecast(other)
        assert renewed.prediction is found.prediction
        assert renewed.band is found.band
        plain = [one.name for one in fields(anew) if one.name not in ("prediction", "band")]
        for name in plain:
            assert getattr(renewed, name) == getattr(anew, name), name
    for other in (
        build.without_part("body"),
        build.with_condition("road_m", 77.0),
        replace(build, target_kmh=81.0),
        build.with_part(build.parts["motor"].with_figure("mass_g", 200.0)),
        build.with_part(Part("extras", "Ballast", {"mass_g": 100.0})),
    ):
        assert not is_same_car(build, other)
