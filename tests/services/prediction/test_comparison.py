"""Builds beside each other: what a person reads of each is its forecast; what differs is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import IN, KMH, MPH, OZ, RPM
from pennyspeed.services.file_settings import held_from_text, text_of_held
from pennyspeed.services.prediction.comparison import EMPTY, NOTHING, Comparison, Row, compare
from pennyspeed.services.prediction.forecast import forecast
from services.swaps import demo_builds


def compared(*builds: Build, measures: Measures = METRIC) -> Comparison:
    return compare([(one.name, forecast(one, measures)) for one in builds], measures)


def row(found: Comparison, key: str) -> Row:
    return next(one for one in found.rows if one.key == key)


def texts(found: Comparison, key: str) -> list[str]:
    return [cell.text for cell in row(found, key).cells]


def test_the_figures_are_those_of_each_forecast() -> None:
    builds = demo_builds()[:3]
    found = compared(*builds)
    for i, build in enumerate(builds):
        one = forecast(build)
        run, band = one.prediction, one.band
        assert run is not None
        assert band is not None
        assert run.at_top is not None
        assert found.speeds[i] == f"{KMH.from_si(run.road_speed):.0f}"
        low, high = KMH.from_si(band.p10), KMH.from_si(band.p90)
        assert texts(found, "likely")[i] == f"{low:.0f} to {high:.0f}"
        assert texts(found, "cost")[i] == f"{float(one.costs.counted.amount):.2f}"
        assert texts(found, "lift")[i] == f"{run.lift_at:.0f} m"
        assert texts(found, "ratio")[i] == f"{one.gear_ratio:.2f}"
        assert texts(found, "top")[i] == f"{KMH.from_si(run.top_speed):.0f} km/h"
        assert texts(found, "rpm")[i] == f"{RPM.from_si(run.road_motor_speed):,.0f} rpm"
        assert texts(found, "peak")[i] == f"{run.peak_current:.0f} A"
        assert texts(found, "cell")[i] == f"{run.lowest_cell_voltage:.2f} V"
        warmth = build.condition("motor_temperature_c") + run.motor_rise
        assert texts(found, "heat")[i] == f"{warmth:.0f} °C"
        levels = dict(row(found, "checks").cells[i].levels)
        stops = sum(check.level is Level.STOP for check in one.checks)
        assert levels.get(Level.STOP, "0 stop") == f"{stops} stop"


def test_only_what_differs_is_marked() -> None:
    build = a_build()
    larger = build.with_part(build.parts["pinion"].with_figure("teeth", 40))
    found = compared(build, larger)
    differing = {one.key for one in found.differing}
    assert {"ratio", "roll_out", "top", "pinion"} <= differing
    assert "spur" not in differing
    assert {"chassis", "motor", "spur", "body"} <= set(found.alike)
    assert row(found, "spur").cells[1].same
    assert not row(found, "ratio").cells[1].same
    assert row(found, "ratio").cells[0].same


def test_a_part_of_the_same_name_with_other_figures_is_another_part() -> None:
    build = a_build()
    lighter = build.with_part(build.parts["motor"].with_figure("mass_g", 120))
    found = compared(build, lighter)
    assert texts(found, "motor") == ["Greenhouse 3100", "Greenhouse 3100, other figures"]
    assert row(found, "motor").differs


def test_a_part_that_was_edited_since_is_another_part() -> None:
    build = a_build()
    before = replace(build.parts["motor"], id=5)
    after = before.with_figure("mass_g", 120)
    found = compared(*(replace(build, parts={**build.parts, "motor": one})
                       for one in (before, after, before)))  # fmt: skip
    assert texts(found, "motor")[1] == "Greenhouse 3100, other figures"
    assert [cell.same for cell in row(found, "motor").cells] == [True, False, True]


def test_every_build_is_held_against_the_first() -> None:
    build = a_build()
    larger = build.with_part(build.parts["pinion"].with_figure("teeth", 40))
    found = compared(build, larger, larger, build)
    for key in ("ratio", "top", "likely", "pinion"):
        assert [cell.same for cell in row(found, key).cells] == [True, False, False, True], key


def test_builds_that_are_alike_differ_in_nothing() -> None:
    found = compared(a_build(), a_build())
    assert found.differing == ()


def test_as_many_checks_of_another_kind_still_differ() -> None:
    build = a_build()
    long = build.with_part(build.parts["motor"].with_figure("length_mm", 60.0))
    thick = build.with_part(build.parts["pinion"].with_figure("bore_mm", 5.0))
    found = compared(long, thick)
    assert texts(found, "checks")[0] == texts(found, "checks")[1]
    assert row(found, "checks").differs


def test_roads_stand_in_the_table_only_where_they_differ() -> None:
    build = a_build()
    longer = build.with_condition("road_m", 300.0)
    found = compared(build, longer)
    assert texts(found, "road_m") == ["240 m", "300 m"]
    assert not any(one.key == "road_m" for one in compared(build, build).rows)
    assert not any(one.key == "head_wind_kmh" for one in found.rows)


def test_a_build_that_is_not_whole_says_what_it_lacks() -> None:
    build = a_build()
    found = compared(build, build.without_part("motor"))
    assert found.speeds[1] == NOTHING
    assert texts(found, "motor")[1] == EMPTY
    for key in ("likely", "chance", "lift", "top", "rpm", "heat"):
        assert texts(found, key)[1] == NOTHING
    assert row(found, "motor").differs


def test_extras_are_listed_by_name_and_their_lack_is_said() -> None:
    build = replace(a_build(), extras=())
    with_extras = build
    for name in ("Winch", "Lamp"):
        with_extras = with_extras.with_part(Part("extras", name, {"mass_g": 5.0}))
    found = compared(with_extras, build)
    assert texts(found, "extras") == ["Lamp, Winch", EMPTY]


def test_figures_follow_the_persons_units() -> None:
    build = a_build()
    inches = Measures(speed_unit=MPH, length_unit=IN, mass_unit=OZ)
    found = compared(build, build, measures=inches)
    run = forecast(build).prediction
    assert run is not None
    # one mile is 1609.344 m (international yard and pound agreement, 1959)
    assert found.speeds[0] == f"{run.road_speed * 3600 / 1609.344:.0f}"
    assert texts(found, "lift")[0] == f"{run.lift_at / 0.3048:.0f} ft"
    assert texts(found, "mass")[0].endswith(" oz")
    assert row(found, "chance").label == f"chance of {80 / 1.609344:.1f}"


def test_held_builds_come_back_as_they_were() -> None:
    builds = [(one.name, one) for one in demo_builds()[:3]]
    again = held_from_text(text_of_held(builds))
    assert [name for name, _ in again] == [name for name, _ in builds]
    for (_, build), (_, other) in zip(builds, again, strict=True):
        one, two = forecast(build).prediction, forecast(other).prediction
        assert one is not None
        assert two is not None
        assert two.road_speed == pytest.approx(one.road_speed, rel=1e-12)
        assert other.lines == build.lines


@pytest.mark.parametrize("text", ["", "{", "[1]", '[{"label": "x", "build": {}}]', '{"a": 1}'])
def test_held_builds_that_cannot_be_read_are_left_out(text: str) -> None:
    assert held_from_text(text) == []
