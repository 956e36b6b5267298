"""Gear chart: a cell is the forecast of that pair; what does not mesh says why."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH, RPM
from pennyspeed.services.gears.gear_chart import (
    FITTING,
    GearChart,
    gear_chart,
    say_teeth_left,
    teeth_left,
)
from pennyspeed.services.gears.suited_gears import asked_for
from pennyspeed.services.prediction.forecast import Forecast, forecast
from services.swaps import CATALOGUE, demo_builds


def level(found: Forecast, code: str) -> Level:
    return next(check.level for check in found.checks if check.code == code)


def gears(kind: str, *teeth: int, module: float = 0.6) -> list[Part]:
    figures: dict[str, float | int] = {"module_mm": module, "mass_g": 8.0}
    if kind == "pinion":
        figures["bore_mm"] = 3.175
    return [Part(kind, f"{z} teeth", {**figures, "teeth": z}) for z in teeth]


@pytest.mark.parametrize("place", range(4))
def test_a_cell_is_the_forecast_of_its_pair(place: int) -> None:
    build = demo_builds()[place]
    rng = np.random.default_rng(place)
    chart = gear_chart(build, CATALOGUE["pinion"], CATALOGUE["spur"])
    assert chart.speed.shape == (len(CATALOGUE["pinion"]), len(CATALOGUE["spur"]))
    for _ in range(6):
        i, j = int(rng.integers(len(chart.pinions))), int(rng.integers(len(chart.spurs)))
        taken = chart.build(i, j)
        assert taken.parts["pinion"].same_article(chart.pinions[i])
        assert taken.parts["spur"].same_article(chart.spurs[j])
        is_the_forecast(chart, i, j, build, taken)


def is_the_forecast(chart: GearChart, i: int, j: int, build: Build, taken: Build) -> None:
    found = forecast(taken)
    run = found.prediction
    assert run is not None
    assert run.at_top is not None
    assert chart.speed[i, j] == pytest.approx(run.road_speed, rel=1e-3)
    assert chart.ratio[i, j] == pytest.approx(found.gear_ratio, rel=1e-12)
    assert chart.roll_out[i, j] == pytest.approx(found.roll_out_m, rel=1e-12)
    rpm = RPM.from_si(run.road_motor_speed)
    assert chart.motor_rpm[i, j] == pytest.approx(rpm, rel=1e-3)
    hot = build.condition("motor_temperature_c") + run.motor_rise
    assert chart.motor_celsius[i, j] == pytest.approx(hot, rel=2e-3)
    assert chart.price[i, j] == (found.costs.counted - forecast(build).costs.counted).minor
    fitting = [level(found, code) for code in FITTING]
    assert chart.fits[i, j] == (Level.STOP not in fitting)
    reasons = [one.text for one in found.checks if one.code in FITTING and one.level is Level.STOP]
    assert (chart.reason(i, j) in reasons) if reasons else (chart.reason(i, j) == "")
    if build.target_kmh is not None:
        assert chart.reached[i, j] == (run.road_speed >= KMH.to_si(build.target_kmh))
    assert chart.over_rated[i, j] == (level(found, "motor-rpm") is Level.WARN)
    assert chart.over_hot[i, j] == (level(found, "motor-temperature") is Level.WARN)


def test_rows_and_columns_go_by_teeth_and_the_pair_that_is_in_is_marked() -> None:
    build = a_build()
    own = [build.parts["pinion"], build.parts["spur"]]
    chart = gear_chart(build, [*gears("pinion", 40, 28), own[0]], [*gears("spur", 72, 60), own[1]])
    assert [part.number("teeth") for part in chart.pinions] == [28, 33, 40]
    assert [part.number("teeth") for part in chart.spurs] == [60, 66, 72]
    assert chart.now == (1, 1)
    assert chart.price[1, 1] == 0
    # ISO 21771: a = m (z1 + z2)/2
    np.testing.assert_allclose(
        chart.centre_distance, 0.3 * np.add.outer([28, 33, 40], [60, 66, 72])
    )
    assert not gear_chart(build, gears("pinion", 20), gears("spur", 60)).now


def test_what_does_not_mesh_or_fit_says_why() -> None:
    # the chassis allows 24 to 36 mm at module 0.6: 80 to 120 teeth together
    chart = gear_chart(a_build(), gears("pinion", 19, 20, 33, 54, 55), gears("spur", 60, 66))
    assert chart.fits[:, 0].tolist() == [False, True, True, True, True]
    assert chart.fits[:, 1].tolist() == [True, True, True, True, False]
    assert "36" in chart.reason(4, 1)
    assert "24" in chart.reason(0, 0)
    assert chart.reason(2, 0) == ""
    coarse = gear_chart(a_build(), gears("pinion", 33, module=0.8), gears("spur", 66))
    assert "module" in coarse.reason(0, 0)
    wide = [replace(part, figures={**part.figures, "bore_mm": 5.0}) for part in gears("pinion", 33)]
    assert "bore" in gear_chart(a_build(), wide, gears("spur", 66)).reason(0, 0)
    unsaid = [part.with_figure("bore_mm", None) for part in gears("pinion", 33)]
    chart = gear_chart(a_build(), unsaid, gears("spur", 66))
    assert chart.fits.all()


@pytest.mark.parametrize(("beyond", "reached"), [(-0.5, True), (0.5, False)])
def test_a_pair_reaches_the_target_from_there_on(beyond: float, reached: bool) -> None:
    build, pair = a_build(), (gears("pinion", 33), gears("spur", 66))
    speed = KMH.from_si(gear_chart(build, *pair).speed[0, 0])
    aimed = replace(build, target_kmh=float(speed) + beyond)
    assert gear_chart(aimed, *pair).reached.tolist() == [[reached]]


def test_teeth_left_before_the_mesh_ends_and_what_they_would_bring() -> None:
    build = a_build()
    found = teeth_left(build)
    assert (found.most, found.left) == (54, 21)
    larger = build.with_part(build.parts["pinion"].with_figure("teeth", 54))
    speeds = [forecast(one).prediction for one in (build, larger)]
    assert speeds[0] is not None
    assert speeds[1] is not None
    assert found.gain == pytest.approx(speeds[1].road_speed - speeds[0].road_speed)
    assert say_teeth_left(build, found).startswith("21 teeth left before the gear mesh ends: a pin")
    mesh = forecast(larger.with_part(larger.parts["pinion"].with_figure("teeth", 55)))
    assert level(mesh, "mesh-distance") is Level.STOP
    at_end = build.with_part(build.parts["pinion"].with_figure("teeth", 54))
    assert "No tooth is left" in say_teeth_left(at_end, teeth_left(at_end))
    beyond = build.with_part(build.parts["pinion"].with_figure("teeth", 55))
    assert "1 tooth too large" in say_teeth_left(beyond, teeth_left(beyond))
    open_ended = a_build(parts__chassis__mesh_max_mm=None)
    assert "enter" in say_teeth_left(open_ended, teeth_left(open_ended))
    bare = build.without_part("spur")
    assert "spur missing" in say_teeth_left(bare, teeth_left(bare))


@pytest.mark.parametrize(("spur_teeth", "most"), [(119, 1), (120, 0)])
def test_the_largest_pinion_has_a_speed_from_one_tooth_on(spur_teeth: int, most: int) -> None:
    build = a_build()
    found = teeth_left(build.with_part(build.parts["spur"].with_figure("teeth", spur_teeth)))
    assert found.most == most
    assert (found.gain is not None) == (most == 1)


def test_without_a_motor_the_chart_still_knows_ratios_and_mesh() -> None:
    chart = gear_chart(a_build().without_part("motor"), gears("pinion", 33), gears("spur", 66))
    assert math.isnan(chart.speed[0, 0])
    assert math.isnan(chart.motor_rpm[0, 0])
    assert chart.ratio[0, 0] == pytest.approx(5.0)
    assert chart.fits[0, 0]
    assert not chart.reached[0, 0]


def test_gears_of_the_shelf_that_are_not_shown_are_counted() -> None:
    build = a_build()
    pinions = [*gears("pinion", 20, 33), *gears("pinion", 21, module=1.0)]
    spurs = [*gears("spur", 66), *gears("spur", 60, 64, module=1.0)]
    asked = asked_for(build, pinions, spurs, METRIC)
    assert [part.name for part in asked.pinions] == ["20 teeth", "33 teeth"]
    assert [part.name for part in asked.spurs] == ["66 teeth"]
    assert asked.left_out == 3
    assert asked_for(build, pinions, spurs, METRIC, all_of_them=True).left_out == 0
