"""Gear figures: a cell worked out exactly is what taking the pair shows, digit by digit."""

from __future__ import annotations

import numpy as np

from pennyspeed.domain.checks import Level
from pennyspeed.domain.units import KMH, RPM
from pennyspeed.services.gears.gear_chart import exact, gear_chart
from pennyspeed.services.prediction.forecast import forecast
from services.swaps import CATALOGUE, demo_builds


def test_exact_cells_are_the_forecasts_of_their_pairs() -> None:
    build = demo_builds()[0]
    rough = gear_chart(build, CATALOGUE["pinion"], CATALOGUE["spur"])
    fitting = [(int(i), int(j)) for i, j in np.argwhere(rough.fits)]
    assert len(fitting) > 10
    chart = exact(rough, fitting)
    for cell in fitting:
        found = forecast(chart.build(*cell))
        run = found.prediction
        assert run is not None
        assert run.at_top is not None
        assert chart.speed[cell] == run.road_speed
        assert chart.motor_rpm[cell] == RPM.from_si(run.road_motor_speed)
        start = build.condition("motor_temperature_c")
        assert chart.motor_celsius[cell] == start + run.motor_rise
        levels = {check.code: check.level for check in found.checks}
        assert chart.over_rated[cell] == (levels["motor-rpm"] is Level.WARN)
        assert chart.over_hot[cell] == (levels["motor-temperature"] is Level.WARN)
        assert build.target_kmh is not None
        assert chart.reached[cell] == (run.road_speed >= KMH.to_si(build.target_kmh))


def test_cells_that_were_not_asked_for_stay_as_they_were() -> None:
    build = demo_builds()[0]
    rough = gear_chart(build, CATALOGUE["pinion"], CATALOGUE["spur"])
    before = rough.speed.copy()
    chart = exact(rough, [(3, 3)])
    changed = np.argwhere(chart.speed != before)
    assert changed.tolist() in ([[3, 3]], [])
    np.testing.assert_array_equal(rough.speed, before)
