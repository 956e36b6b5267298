"""The margin on the road: pieces that add up, late lifts, and what the reserve costs."""

from __future__ import annotations

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import IN, MPH
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.prediction.limits import (
    OF_THE_DRIVER,
    REACTION,
    RESERVE,
    limit_at,
    stretches,
)
from pennyspeed.services.prediction.margin import (
    LATE_BY,
    NAMES,
    LateRow,
    distances,
    late_row,
    late_rows,
    meaning,
    reaction_is_known,
    usual_values,
)
from pennyspeed.services.prediction.margin_costs import cost_words, margin_costs
from pennyspeed.services.reports.on_the_day import day_rows, day_sentence
from pennyspeed.services.reports.report import says_road, says_run

METRIC, IMPERIAL = Measures(), Measures(speed_unit=MPH, length_unit=IN)
FOOT = 0.3048
"""In metres, exactly (international yard and pound agreement, 1959)."""


def careful_build(**changes: object) -> Build:
    return a_build(**changes).with_careful_driver()


def pinion(teeth: int, module: float = 0.6) -> Part:
    return Part(
        "pinion",
        f"{teeth} teeth",
        {"teeth": teeth, "module_mm": module, "bore_mm": 3.175, "mass_g": 8.0},
    )


@pytest.fixture(scope="module")
def found() -> Forecast:
    return forecast(careful_build())


# Pieces of the road -------------------------------------------------------------------------


@pytest.mark.parametrize("measures", [METRIC, IMPERIAL], ids=["metric", "imperial"])
@pytest.mark.parametrize("road", [60.0, 151.3, 240.0, 247.7, 1500.0])
def test_pieces_add_up_to_the_road_as_they_are_shown(road: float, measures: Measures) -> None:
    one = forecast(careful_build(conditions__road_m=road))
    assert one.prediction is not None
    planned = distances(one, measures)
    unit = FOOT if measures is IMPERIAL else 1.0
    assert planned.marker + planned.reaction + planned.braking + planned.reserve == planned.road
    assert planned.road == round(road / unit)
    run = one.prediction
    exact = (run.marker_at, run.lift_at - run.marker_at, run.stop_distance, 10.0)
    shown = (planned.marker, planned.reaction, planned.braking, planned.reserve)
    for piece, figure in zip(exact, shown, strict=True):
        assert abs(figure - piece / unit) < 1.0


def test_a_reserve_and_a_road_that_are_whole_stay_as_they_were_typed(found: Forecast) -> None:
    planned = distances(found, METRIC)
    assert (planned.reserve, planned.road) == (10, 240)
    assert planned.stop == 230


def test_where_the_driver_is_quick_there_is_no_piece_for_it() -> None:
    one = forecast(a_build())
    planned = distances(one, METRIC)
    assert (planned.reaction, planned.reserve) == (0, 0)
    assert planned.marker == planned.throttle_off
    assert one.prediction is not None
    limits = [piece.limit for piece in stretches(one.prediction)]
    assert REACTION not in limits
    assert RESERVE not in limits


def test_pieces_lead_over_the_reaction_and_the_stop_to_the_road_s_end(found: Forecast) -> None:
    run = found.prediction
    assert run is not None
    pieces = stretches(run, 10.0)
    assert [piece.limit for piece in pieces[-3:]] == list(OF_THE_DRIVER)
    assert pieces[-3].start == run.marker_at
    assert pieces[-1].end == pytest.approx(240.0, rel=1e-9)
    assert limit_at(pieces, (run.marker_at + run.lift_at) / 2) == REACTION


def test_the_reaction_is_the_way_that_the_car_goes_in_that_time() -> None:
    """On a long road the car holds its speed, and goes speed × time."""
    one = forecast(careful_build(conditions__road_m=1500.0))
    run = one.prediction
    assert run is not None
    assert run.lift_at - run.marker_at == pytest.approx(0.7 * run.road_speed, rel=1e-3)
    assert distances(one, METRIC).reaction == pytest.approx(0.7 * run.road_speed, abs=1.0)


# Late lifts ---------------------------------------------------------------------------------


def test_each_tenth_late_takes_the_way_that_the_car_goes_in_it() -> None:
    one = forecast(careful_build(conditions__road_m=1500.0))
    run = one.prediction
    assert run is not None
    rows = late_rows(one, METRIC)
    assert [row.late.seconds for row in rows] == list(LATE_BY)
    for row in rows:
        # speed is held: a lift t later stops speed × t further on, into the 10 m or past them
        assert row.late.road_left == pytest.approx(
            10.0 - row.late.seconds * run.road_speed, abs=0.1
        )


@pytest.mark.parametrize("measures", [METRIC, IMPERIAL], ids=["metric", "imperial"])
def test_where_it_stops_and_the_road_left_add_up_to_the_road(
    found: Forecast, measures: Measures
) -> None:
    def figure(text: str) -> int:
        return int(text.split()[0].replace("−", "-"))

    for row in late_rows(found, measures):
        assert figure(row.stops_at) + figure(row.road_left) == distances(found, measures).road
        assert (figure(row.road_left) < 0) == (row.level is Level.STOP)


def test_the_row_of_half_a_second_says_what_the_check_says(found: Forecast) -> None:
    row = late_row(found, METRIC)
    assert row is not None
    (check,) = (one for one in found.checks if one.code == "margin")
    assert check.level is Level.WARN
    beyond = METRIC.road(-float(check.value or 0.0))
    assert f"leaves the road by {beyond}" in check.text
    assert row.road_left == f"−{beyond}"
    assert row.outcome == (f"{row.at_end} at the road’s end,", f"stops {beyond} past it")
    assert row.phrase in "; ".join(says_road(found, METRIC))


def test_a_lift_on_time_stops_in_time_and_one_that_is_late_uses_the_reserve_first(
    found: Forecast,
) -> None:
    rows = late_rows(found, METRIC)
    assert [row.happens for row in rows[:3]] == [
        "stops in time", "into the reserve", "into the reserve"
    ]  # fmt: skip
    assert rows[0].late_by == "on time"
    assert {row.at_end for row in rows[:3]} == {"standing"}
    assert rows[-1].happens == "leaves the road"
    assert rows[-1].at_end.endswith("km/h")
    assert rows[0].road_left == "10 m"


def test_nothing_is_rounded_over_the_road_s_end() -> None:
    """A slow car that stops a hand's breadth past the end has left the road."""
    one = forecast(careful_build(conditions__road_m=12.0))
    assert one.prediction is not None
    assert one.prediction.late is not None
    planned = distances(one, METRIC)
    late = one.prediction.late
    for left, shown in ((-0.2, "−1 m"), (0.2, "0 m"), (9.8, "9 m")):
        row = LateRow(replace_left(late, left), planned, METRIC)
        assert row.road_left == shown


def replace_left(late: object, left: float) -> object:
    from dataclasses import replace

    return replace(late, road_left=left)  # type: ignore[type-var]


def test_a_late_lift_is_named_only_where_it_leaves_the_road() -> None:
    safe = forecast(careful_build().with_condition("reserve_m", 30.0))
    assert late_row(safe, METRIC) is None
    rows = late_rows(safe, METRIC)
    assert late_row(safe, METRIC, rows[1].late) is not None
    assert late_row(safe, METRIC, rows[0].late) is None
    assert not any("late" in text for text in says_road(safe, METRIC))


def test_without_road_or_car_there_is_no_row() -> None:
    assert late_rows(forecast(a_build().without_part("motor")), METRIC) == ()
    assert late_rows(forecast(careful_build(conditions__road_m=5.0)), METRIC) == ()


# What is set --------------------------------------------------------------------------------


def test_a_reaction_is_known_once_it_was_given_0_too() -> None:
    old = a_build()
    assert not reaction_is_known(old)
    assert reaction_is_known(old.with_condition("reaction_s", 0.0))
    assert usual_values(old, METRIC) == "0.7 s and 10 m"
    assert usual_values(old.with_condition("reserve_m", 5.0), METRIC) == "0.7 s"
    assert usual_values(careful_build(), METRIC) == ""


def test_a_careful_driver_sets_what_a_new_build_starts_with_and_keeps_what_was_given() -> None:
    after = a_build().with_condition("reserve_m", 4.0).with_careful_driver()
    # what new builds start with: 0.7 s, 10 m; two of three days within 15 %, 15 % and 5 km/h
    assert after.condition("reaction_s") == 0.7
    assert after.condition("reserve_m") == 4.0
    varies = [after.condition(f"spread.{key}") for key in ("driver_g", "brake_g", "head_wind_kmh")]
    assert varies == [0.15, 0.15, 5.0]


def test_each_value_says_what_it_comes_to(found: Forecast) -> None:
    planned = distances(found, METRIC)
    assert found.prediction is not None
    speed = f"{found.prediction.road_speed * 3.6:.0f} km/h"
    said = {key: meaning(key, found, METRIC) for key in NAMES}
    assert said["reaction_s"] == f"{planned.reaction} m at {speed}"
    assert said["reserve_m"] == "kept free before the end"
    assert said["brake_g"] == f"{planned.braking} m from {speed}"
    assert said["surface_grip_factor"].startswith("grip 0.85 g")
    assert meaning("reaction_s", forecast(a_build()), METRIC) == "–"
    assert meaning("reserve_m", forecast(a_build()), METRIC) == "nothing is kept free"


# What it costs ------------------------------------------------------------------------------


def test_the_reserve_costs_what_the_road_without_it_would_allow() -> None:
    build = careful_build(conditions__road_m=120.0, target_kmh=None)
    costs = margin_costs(build, [pinion(30), pinion(36), pinion(39), pinion(44)])
    assert [one.teeth for one in costs] == [30, 33, 36, 39]
    assert [one.is_now for one in costs] == [False, True, False, False]
    for one in costs:
        whole = build if one.is_now else build.with_part(pinion(one.teeth))
        with_it, without = (
            forecast(b).prediction for b in (whole, whole.with_condition("reserve_m", 0.0))
        )
        assert with_it is not None
        assert without is not None
        lost = 3.6 * (without.road_speed - with_it.road_speed)
        assert one.lost_kmh == pytest.approx(lost, abs=1e-9)
        assert one.lost_kmh > 0.0


def test_pinions_that_do_not_mesh_are_left_out() -> None:
    costs = margin_costs(careful_build(), [pinion(34, module=1.0), pinion(35)])
    assert [one.teeth for one in costs] == [33, 35]


def test_costs_are_said_with_the_pinion_that_is_in() -> None:
    build = careful_build(conditions__road_m=120.0)
    words, _ = cost_words(margin_costs(build, [pinion(36)]), build, METRIC)
    assert [what for what, _ in words] == ["33 teeth, now", "36 teeth"]
    assert all(cost.startswith("−") and cost.endswith(" km/h") for _, cost in words)
    long = careful_build(conditions__road_m=1500.0)
    words, remark = cost_words(margin_costs(long, []), long, METRIC)
    assert words == [("33 teeth, now", "nothing")]
    assert remark == ""
    assert cost_words((), a_build(), METRIC) == ([], "nothing: no reserve is kept")


# On the day ---------------------------------------------------------------------------------


def test_on_the_day_the_marker_is_named_from_both_ends_and_by_the_clock(found: Forecast) -> None:
    planned, run = distances(found, METRIC), found.prediction
    assert run is not None
    assert run.curve is not None
    figures = {row.label: row.figure for row in day_rows(found, METRIC)}
    assert figures["lift marker"] == f"{planned.marker} m"
    assert figures["before the road’s end"] == f"{240 - planned.marker} m"
    assert figures["throttle off"] == f"{planned.marker + planned.reaction} m"
    # the car is at its speed by then: the rest of the way goes at that speed
    beyond = (run.marker_at - float(run.curve.distance[-1])) / run.road_speed
    seconds = float(figures["after the start"].split()[0])
    assert seconds == pytest.approx(float(run.curve.time[-1]) + beyond, abs=0.06)
    assert day_sentence(found, METRIC) == (
        f"Stand the marker at {planned.marker} m. Your thumb needs 0.7 s: "
        f"the car slows {planned.reaction} m further on."
    )


def test_without_a_reaction_time_the_marker_is_not_known() -> None:
    old = forecast(a_build())
    figures = {row.label: row.figure for row in day_rows(old, METRIC)}
    assert figures == {"lift marker": "not known", "throttle off": "180 m"}
    assert day_sentence(old, METRIC) == "Your reaction is not known: 0.7 s is usual."
    assert day_rows(forecast(Build("Empty")), METRIC) == []


def test_the_run_says_marker_throttle_off_and_reserve(found: Forecast) -> None:
    planned = distances(found, METRIC)
    assert says_run(found, METRIC).startswith(
        f"lift marker at {planned.marker} m, throttle off at {planned.throttle_off} m, "
        f"stop in {planned.braking} m, 10 m in reserve; "
    )
    assert says_run(forecast(a_build()), METRIC).startswith("lift at 180 m, stop in 60 m; ")
