"""Every check: fine, failing, and not known; with its value, its limit and a sentence about them.

The rules of each check are common practice, no source, but where one is named.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import pytest

from builds import a_build, document
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import CHECKS, Facts, Level, Outcome, checked
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.units import IN, MPH, OZ
from pennyspeed.physics.predict import predict

CODES = (
    "cells-over-controller",
    "gear-module",
    "pinion-bore",
    "mesh-distance",
    "motor-can",
    "motor-length",
    "pack-bay",
    "electrical-rpm",
    "connector",
    "cannot-move",
    "cannot-stop",
    "motor-rpm",
    "tyre-speed",
    "free-spin",
    "current-controller",
    "current-motor",
    "current-pack",
    "pack-voltage",
    "motor-temperature",
    "front-load",
    "rear-load",
    "wheelie",
    "road-short",
    "target",
    "margin",
    "pack-flat",
    "masses",
    "cap",
    "late",
)
STOPS = CODES[:11]


def facts(build: Build, measures: Measures = METRIC) -> Facts:
    car = assemble(build)
    prediction = None if car is None else predict(car)
    return Facts(build, prediction, costs(build), mass_kg(build), measures)


def outcomes(build: Build, measures: Measures = METRIC) -> dict[str, Outcome]:
    return {check.code: check for check in checked(facts(build, measures))}


def outcome(code: str, **changes: Any) -> Outcome:
    return outcomes(a_build(**changes))[code]


def test_every_check_answers_once_in_the_agreed_order() -> None:
    found = checked(facts(a_build()))
    assert tuple(check.code for check in found) == CODES
    assert len(CHECKS) == len(CODES)


def test_the_tests_own_car_passes_all_of_them() -> None:
    for code, check in outcomes(a_build(conditions__reserve_m=20)).items():
        assert check.level is Level.OK, (code, check)
        assert check.advice == ""


def test_sentences_are_one_line_and_start_as_sentences_do() -> None:
    changed = a_build(parts__motor__max_rpm=20000, parts__pack__cells_series=5, event_date=None)
    for build in (a_build(), changed, build_from_document(document(parts={}))):
        for check in outcomes(build).values():
            for text in (check.text, check.advice):
                assert "\n" not in text
                assert text == text.strip(" .")
                assert not text or text[0].isupper() or text[0].isdigit(), text


@pytest.mark.parametrize(
    ("code", "changes", "value", "limit"),
    [
        ("cells-over-controller", {"parts__controller__max_cells": 2}, 3, 2),
        ("gear-module", {"parts__pinion__module_mm": 0.8}, 0.8, 0.6),
        ("gear-module", {"parts__spur__module_mm": 0.5}, 0.5, 0.6),
        ("gear-module", {"parts__chassis__gear_module_mm": 0.8}, 0.6, 0.8),
        ("pinion-bore", {"parts__pinion__bore_mm": 5}, 5, 3.175),
        # a = m (z1 + z2)/2 (ISO 21771): 0.6 (33 + 66)/2 = 29.7 mm
        ("mesh-distance", {"parts__chassis__mesh_min_mm": 30}, 29.7, 30),
        ("mesh-distance", {"parts__chassis__mesh_max_mm": 29}, 29.7, 29),
        ("motor-can", {"parts__chassis__motor_can_mm": 35}, 35.8, 35),
        ("motor-length", {"parts__motor__length_mm": 57}, 57, 56),
        ("pack-bay", {"parts__pack__size_mm": [150, 46, 26]}, 150, 142),
        ("pack-bay", {"parts__pack__size_mm": [143, 46, 40]}, 40, 29),
        ("pack-bay", {"parts__pack__size_mm": [46, 138, 26]}, 138, 49),
        ("pack-bay", {"parts__pack__size_mm": [138, 46, 30]}, 30, 29),
        ("connector", {"parts__pack__connector": "flat 4"}, "flat 4", "ring 5"),
    ],
)
def test_what_does_not_fit_stops(code: str, changes: Any, value: Any, limit: Any) -> None:
    check = outcome(code, **changes)
    assert check.level is Level.STOP
    if isinstance(value, str):
        assert (check.value, check.limit) == (value, limit)
    else:
        assert check.value == pytest.approx(value)
        assert check.limit == pytest.approx(limit)
    assert check.advice


def test_a_motor_is_too_thick_or_too_long() -> None:
    thick = outcome("motor-can", parts__chassis__motor_can_mm=35)
    assert thick.text == "Motor is 35.8 mm thick, the chassis takes 35 mm"
    assert thick.advice == "A motor up to 35 mm thick fits"
    long = outcome("motor-length", parts__motor__length_mm=57)
    assert long.text == "Motor is 57 mm long, the chassis takes 56 mm"
    assert long.advice == "A motor up to 56 mm long fits"


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("cells-over-controller", {"parts__controller__max_cells": 3}),
        ("motor-can", {"parts__chassis__motor_can_mm": 35.8}),
        ("motor-length", {"parts__chassis__motor_length_max_mm": 53}),
        ("mesh-distance", {"parts__chassis__mesh_min_mm": 29.7}),
        ("mesh-distance", {"parts__chassis__mesh_max_mm": 29.7}),
        ("pack-bay", {"parts__chassis__pack_bay_mm": [138, 46, 26]}),
        ("connector", {"parts__pack__connector": "  RING 5"}),
    ],
)
def test_what_fits_exactly_is_fine(code: str, changes: Any) -> None:
    assert outcome(code, **changes).level is Level.OK


@pytest.mark.parametrize(
    ("code", "path"),
    [
        ("cells-over-controller", "controller__max_cells"),
        ("gear-module", "chassis__gear_module_mm"),
        ("pinion-bore", "pinion__bore_mm"),
        ("pinion-bore", "motor__shaft_mm"),
        ("mesh-distance", "chassis__mesh_min_mm"),
        ("mesh-distance", "chassis__mesh_max_mm"),
        ("motor-can", "motor__can_mm"),
        ("motor-can", "chassis__motor_can_mm"),
        ("motor-length", "motor__length_mm"),
        ("motor-length", "chassis__motor_length_max_mm"),
        ("pack-bay", "pack__size_mm"),
        ("pack-bay", "chassis__pack_bay_mm"),
        ("electrical-rpm", "controller__max_electrical_rpm"),
        ("connector", "pack__connector"),
        ("connector", "controller__connector"),
        ("motor-rpm", "motor__max_rpm"),
        ("tyre-speed", "tyres__rated_kmh"),
        ("current-controller", "controller__burst_current_a"),
        ("current-controller", "controller__continuous_current_a"),
        ("current-motor", "motor__peak_current_a"),
        ("current-motor", "motor__continuous_current_a"),
        ("current-pack", "pack__c_burst"),
        ("current-pack", "pack__c_continuous"),
        ("motor-temperature", "motor__mass_g"),
        ("masses", "spur__mass_g"),
    ],
)
def test_a_figure_that_was_never_given_is_not_known(code: str, path: str) -> None:
    check = outcome(code, **{f"parts__{path}": None})
    assert check.level is Level.UNKNOWN
    slot, key = path.split("__")
    build = a_build()
    named = build.parts[slot].name if code == "masses" else build.parts[slot].kind.field(key).label
    assert named in check.text


@pytest.mark.parametrize(
    ("code", "path"),
    [
        ("electrical-rpm", "motor__poles"),
        ("front-load", "chassis__cg_height_mm"),
        ("front-load", "chassis__front_share"),
    ],
)
def test_three_defaults_count_as_known(code: str, path: str) -> None:
    assert outcome(code, **{f"parts__{path}": None}).level is Level.OK


def test_a_blank_plug_is_no_plug() -> None:
    check = outcome("connector", parts__pack__connector="  ")
    assert check.level is Level.UNKNOWN
    assert check.text == "Not known: connector of the pack"


@pytest.mark.parametrize("slot", sorted(document()["parts"].keys() - {"extras"}))
def test_a_missing_part_leaves_its_checks_open(slot: str) -> None:
    found = outcomes(a_build(**{f"parts__{slot}": None}))
    of_run = {"cannot-move", "cannot-stop", "electrical-rpm", "motor-rpm", "tyre-speed"}
    of_run |= {"pack-voltage", "motor-temperature", "front-load", "road-short", "pack-flat"}
    of_run |= {"current-controller", "current-motor", "current-pack", "masses"}
    for code in of_run:
        assert found[code].level is Level.UNKNOWN, code
    needs = {
        "cells-over-controller": {"pack", "controller"},
        "gear-module": {"pinion", "spur", "chassis"},
        "pinion-bore": {"pinion", "motor"},
        "mesh-distance": {"pinion", "spur", "chassis"},
        "motor-can": {"motor", "chassis"},
        "motor-length": {"motor", "chassis"},
        "pack-bay": {"pack", "chassis"},
        "connector": {"pack", "controller"},
    }
    for code, slots in needs.items():
        assert found[code].level is (Level.UNKNOWN if slot in slots else Level.OK), code


def test_gears_that_differ_are_said_though_the_chassis_is_not_known() -> None:
    changes = {"parts__chassis__gear_module_mm": None, "parts__spur__module_mm": 0.8}
    check = outcome("gear-module", **changes)
    assert check.level is Level.STOP
    assert (check.value, check.limit) == (0.6, 0.8)


def test_a_mesh_past_one_end_is_said_though_the_other_is_not_known() -> None:
    changes = {"parts__chassis__mesh_min_mm": None, "parts__chassis__mesh_max_mm": 25}
    assert outcome("mesh-distance", **changes).level is Level.STOP


def test_the_mesh_advice_names_pinions_that_do_mesh() -> None:
    # 0.6 (z + 66)/2 from 27 to 29 mm: z from 24 to 30
    changes = {"parts__chassis__mesh_min_mm": 27, "parts__chassis__mesh_max_mm": 29}
    assert "24 to 30 teeth" in outcome("mesh-distance", **changes).advice
    for teeth, level in ((23, Level.STOP), (24, Level.OK), (30, Level.OK), (31, Level.STOP)):
        assert outcome("mesh-distance", **changes, parts__pinion__teeth=teeth).level is level


def test_electrical_rpm_is_rpm_times_pole_pairs() -> None:
    build = a_build(parts__motor__poles=6, parts__controller__max_electrical_rpm=60000)
    found = outcomes(build)
    electrical, plain = found["electrical-rpm"], found["motor-rpm"]
    assert electrical.level is Level.STOP
    assert electrical.value == pytest.approx(3 * float(plain.value or 0))
    assert electrical.limit == 60000


@pytest.mark.parametrize(("share", "level"), [(1.01, Level.OK), (0.99, Level.STOP)])
def test_electrical_rpm_may_come_up_to_what_the_controller_takes(
    share: float, level: Level
) -> None:
    made = outcome("electrical-rpm").value
    assert isinstance(made, float)
    limit = {"parts__controller__max_electrical_rpm": share * made}
    assert outcome("electrical-rpm", **limit).level is level


@pytest.mark.parametrize(
    ("code", "rating"),
    [
        ("motor-rpm", {"parts__motor__max_rpm": 30000}),
        ("electrical-rpm", {"parts__controller__max_electrical_rpm": 60000}),
    ],
)
def test_the_slower_motor_that_is_advised_keeps_under(code: str, rating: Any) -> None:
    said = re.match(r"A motor of about ([\d,]+) rpm/V or less, ", outcome(code, **rating).advice)
    assert said
    kv = int(said[1].replace(",", ""))
    slower = outcome(code, **rating, parts__motor__kv_rpm_per_v=kv)
    assert slower.level is Level.OK
    assert float(slower.value or 0) > 0.95 * float(slower.limit or 0)


def test_motor_and_tyres_are_compared_at_the_speed_that_this_road_allows() -> None:
    changes = {"parts__motor__max_rpm": 25000, "parts__tyres__rated_kmh": 70}
    build = a_build(**changes, conditions__road_m=100)
    found, run = outcomes(build), facts(build).prediction
    assert run is not None
    assert run.road_speed < 0.9 * run.top_speed
    # n = v G/r, the tyre grown; G = 2.5·66/33
    assert found["motor-rpm"].level is Level.WARN
    assert found["motor-rpm"].value == pytest.approx(run.road_motor_speed * 30 / math.pi)
    assert found["electrical-rpm"].value == pytest.approx(2 * float(found["motor-rpm"].value or 0))
    assert found["tyre-speed"].level is Level.WARN
    assert found["tyre-speed"].value == pytest.approx(run.road_speed * 3.6)
    assert "rated 70 km/h" in found["tyre-speed"].text
    assert "rated 25,000" in found["motor-rpm"].text


def test_current_takes_the_worse_of_burst_and_continuous() -> None:
    found = facts(a_build()).prediction
    assert found is not None
    assert found.asked_motor_current is not None
    assert found.at_top is not None
    burst = outcome("current-controller", parts__controller__burst_current_a=20)
    assert burst.level is Level.WARN
    assert burst.limit == 20
    assert float(burst.value or 0) > 20
    steady = outcome("current-motor", parts__motor__continuous_current_a=5)
    assert steady.level is Level.WARN
    assert (steady.limit, steady.value) == (5, pytest.approx(found.at_top.current))
    fine = outcome("current-motor")
    of_peak, of_steady = found.asked_motor_current / 150, found.at_top.current / 55
    assert float(fine.value or 0) / float(fine.limit or 1) == pytest.approx(max(of_peak, of_steady))


def test_a_current_that_is_exceeded_is_said_though_its_companion_is_not_known() -> None:
    check = outcome(
        "current-controller",
        parts__controller__burst_current_a=20,
        parts__controller__continuous_current_a=None,
    )
    assert check.level is Level.WARN


def test_the_packs_rating_is_c_times_capacity() -> None:
    check = outcome("current-pack", parts__pack__c_burst=6, parts__pack__c_continuous=None)
    assert check.level is Level.WARN
    assert check.limit == pytest.approx(6 * 3.8)


@pytest.mark.parametrize(
    ("code", "rating"),
    [
        ("tyre-speed", {"parts__tyres__rated_kmh": 60}),
        ("current-motor", {"parts__motor__peak_current_a": 20}),
    ],
)
def test_a_rating_that_is_advised_is_enough(code: str, rating: Any) -> None:
    """Ratings go in steps of five, common practice, no source."""
    check = outcome(code, **rating)
    said = re.search(r" rated (\d+) ", check.advice)
    assert said
    assert float(check.value or 999) <= int(said[1]) < float(check.value or 0) + 5


@pytest.mark.parametrize("share", [0.4, 0.5, 0.6, 0.7, 0.8])
def test_the_largest_pinion_that_keeps_the_current_down_is_advised(share: float) -> None:
    """Drag alone holds the car back, and no current is lost: it goes with the teeth cubed."""
    bare = {"parts__motor__no_load_current_a": 0, "parts__tyres__rolling_coefficient": 0}
    top = facts(a_build(**bare)).prediction
    assert top is not None
    assert top.at_top is not None
    bare["parts__motor__continuous_current_a"] = share * top.at_top.current
    said = re.search(r"a pinion of (\d+) teeth", outcome("current-motor", **bare).advice)
    assert said
    for teeth, level in ((int(said[1]), Level.OK), (int(said[1]) + 1, Level.WARN)):
        assert outcome("current-motor", **bare, parts__pinion__teeth=teeth).level is level


def test_a_pack_that_sags_is_said() -> None:
    check = outcome("pack-voltage", parts__pack__cell_resistance_mohm=60)
    assert check.level is Level.WARN
    assert check.limit == 3.2
    assert float(check.value or 9) < 3.2
    assert check.slots == ("pack",)


def test_a_hot_motor_is_said() -> None:
    check = outcome("motor-temperature", conditions__motor_temperature_c=99.5)
    assert check.level is Level.WARN
    rise = facts(a_build(conditions__motor_temperature_c=99.5)).prediction
    assert rise is not None
    assert check.value == pytest.approx(99.5 + rise.motor_rise)
    given = {"parts__motor__mass_g": None, "parts__motor__heat_capacity_j_per_k": 80}
    assert outcome("motor-temperature", **given).level is Level.OK


@pytest.mark.parametrize("capacity", [None, 5.0, 4.5, 4.0])
def test_a_hot_motor_is_told_how_long_to_rest(capacity: float | None) -> None:
    """After the rest the next run, begun that warm, ends under 100 °C (Newton's law, 600 s)."""
    changes = {
        "conditions__motor_temperature_c": 99.5,
        "conditions__air_temperature_c": 10,
        "parts__motor__heat_capacity_j_per_k": capacity,
    }
    check = outcome("motor-temperature", **changes)
    said = re.match(r"After (\d+) min of rest the next run keeps it under 100 °C", check.advice)
    assert said, check.advice

    def ends_well(minutes: int) -> bool:
        start = 10 + (float(check.value or 0) - 10) * math.exp(-60 * minutes / 600)
        cooled = {**changes, "conditions__motor_temperature_c": start}
        return outcome("motor-temperature", **cooled).level is Level.OK

    assert ends_well(int(said[1]))
    assert not ends_well(int(said[1]) - 2)


def test_no_rest_is_advised_where_the_air_is_too_warm_for_it() -> None:
    small = {"parts__motor__heat_capacity_j_per_k": 0.5}
    check = outcome("motor-temperature", **small)
    assert check.level is Level.STOP
    assert check.advice.startswith("No rest between runs is enough, as one run warms it by ")
    assert "min of rest" not in check.advice


def test_small_currents_show_a_decimal() -> None:
    check = outcome("current-motor", parts__motor__continuous_current_a=2.4)
    assert check.text.endswith("motor rated 2.4 A continuous")
    assert "takes 9.9 A" in check.text
    assert check.value == pytest.approx(9.9, abs=0.05)


def test_two_figures_of_one_part_are_named_as_one_phrase() -> None:
    check = outcome(
        "current-controller",
        parts__controller__burst_current_a=None,
        parts__controller__continuous_current_a=None,
    )
    assert check.text == "Not known: burst and continuous current of the controller"
    sizes = outcome("motor-can", parts__motor__can_mm=None, parts__chassis__motor_can_mm=None)
    motor = BY_KEY["motor"].field("can_mm").label
    room = BY_KEY["chassis"].field("motor_can_mm").label
    assert sizes.text == f"Not known: {motor} of the motor, {room} of the chassis"


def test_a_light_nose_is_said() -> None:
    check = outcome("front-load", parts__body__downforce_front=-0.78)
    assert check.level is Level.WARN
    assert check.limit == 0.25
    assert float(check.value or 9) < 0.25


def test_a_short_road_is_said_only_where_the_road_is_the_reason() -> None:
    short = outcome("road-short", conditions__road_m=60)
    assert short.level is Level.WARN
    assert short.limit == 80
    assert float(short.value or 99) < 80
    assert outcome("road-short", conditions__road_m=60, target_kmh=300).level is Level.OK
    assert outcome("road-short", target_kmh=None).level is Level.UNKNOWN


@pytest.mark.parametrize("metres", [20, 60, 90])
def test_the_road_that_is_advised_reaches_the_target_and_little_less_does_not(
    metres: float,
) -> None:
    advised = float(outcome("road-short", conditions__road_m=metres).advice.split()[0])
    for road, reached in ((advised, True), (0.85 * advised, False)):
        run = facts(a_build(conditions__road_m=road)).prediction
        assert run is not None
        assert (run.road_speed * 3.6 >= 80) is reached


def test_a_pack_that_runs_flat_is_said() -> None:
    check = outcome("pack-flat", parts__pack__capacity_mah=15, parts__pack__c_burst=20000)
    assert check.level is Level.WARN
    assert check.limit == 15
    assert float(check.value or 0) > 15
    half = outcome("pack-flat", conditions__state_of_charge=0.5)
    assert half.limit == 1900


@pytest.mark.parametrize(
    "changes",
    [
        {"parts__tyres__grip": 0},
        {"conditions__driver_g": 0, "conditions__slope_percent": 0},
        {"conditions__slope_percent": 60},
        {"parts__motor__peak_current_a": 1},
    ],
)
def test_a_car_that_cannot_move_stops_and_leaves_the_rest_open(changes: Any) -> None:
    found = outcomes(a_build(**changes))
    assert found["cannot-move"].level is Level.STOP
    for code in (
        "cannot-stop",
        "electrical-rpm",
        "motor-rpm",
        "tyre-speed",
        "current-controller",
        "current-motor",
        "current-pack",
        "pack-voltage",
        "motor-temperature",
        "front-load",
        "road-short",
        "pack-flat",
    ):
        assert found[code].level is Level.UNKNOWN, code
    assert found["motor-can"].level is Level.OK


def test_a_car_without_brakes_downhill_cannot_stop() -> None:
    check = outcome("cannot-stop", conditions__slope_percent=-6, conditions__brake_g=0)
    assert check.level is Level.STOP
    assert check.limit == 0.05
    assert float(check.value or 9) < 0.05
    assert f"gains {-float(check.value or 0):.2f} m/s²" in check.text
    barely = outcome("cannot-stop", conditions__slope_percent=-2, conditions__brake_g=0)
    assert barely.level is Level.STOP
    assert f"slows it by {barely.value:.2f} m/s²" in barely.text


@pytest.mark.parametrize(("slows_by", "level"), [(0.045, Level.STOP), (0.055, Level.OK)])
def test_a_car_that_braking_hardly_slows_cannot_stop(slows_by: float, level: Level) -> None:
    """Below 0.05 m/s² brakes are not relied upon: own judgement, no source."""
    coasting = outcome("cannot-stop", conditions__slope_percent=-2, conditions__brake_g=0).value
    assert isinstance(coasting, float)
    brake = (slows_by - coasting) / 9.80665
    check = outcome("cannot-stop", conditions__slope_percent=-2, conditions__brake_g=brake)
    assert check.value == pytest.approx(slows_by)
    assert check.level is level


def test_masses_that_are_missing_are_named() -> None:
    given = document(parts__controller__mass_g=None)
    given["parts"]["extras"][0]["mass_g"] = None
    check = outcomes(build_from_document(given))["masses"]
    assert check.level is Level.UNKNOWN
    assert "Shed 120" in check.text
    assert "Receiver" in check.text
    assert set(check.slots) == {"controller", "extras"}


def test_the_cap_counts_what_counts() -> None:
    # 64.50 + 2 x 12.35 = 89.20; the pack does not count
    fine = outcome("cap")
    assert (fine.level, fine.value, fine.limit) == (Level.OK, "89.20", "250.00")
    exactly = outcome("cap", money__cap="89.20")
    assert exactly.level is Level.OK
    over = outcome("cap", money__cap="89.19")
    assert over.level is Level.WARN
    assert "0.01 EUR over" in over.text
    assert "Greenhouse 3100" in over.advice
    assert outcome("cap", money__cap=None).level is Level.UNKNOWN


def test_over_the_cap_the_dearest_thing_still_to_buy_is_named() -> None:
    given = document(money__cap="10")
    given["money"]["lines"] += [
        {"name": "Screws", "unit_price": "1.00"},
        {"name": "Scales", "unit_price": "70.00", "status": "received"},
    ]
    found = outcomes(build_from_document(given))["cap"]
    assert found.advice == "Dearest still to buy: Greenhouse 3100, 64.50 EUR"


def test_a_line_without_a_price_leaves_the_cap_open_unless_it_is_broken_already() -> None:
    given = document()
    given["money"]["lines"][0]["unit_price"] = None
    assert outcomes(build_from_document(given))["cap"].level is Level.UNKNOWN
    given["money"]["cap"] = "10"
    assert outcomes(build_from_document(given))["cap"].level is Level.WARN
    given = document()
    given["money"]["lines"][2]["unit_price"] = None
    assert outcomes(build_from_document(given))["cap"].level is Level.OK, "it does not count"


def test_what_comes_after_the_event_is_late() -> None:
    assert outcome("late").level is Level.OK
    assert outcome("late", event_date="2027-05-02").level is Level.OK, "on the day itself"
    late = outcome("late", event_date="2027-05-01")
    assert late.level is Level.WARN
    assert (late.value, late.limit) == ("2027-05-02", "2027-05-01")
    assert "Greenhouse 3100" in late.text
    assert late.slots == ("motor",)
    assert outcome("late", event_date=None).level is Level.UNKNOWN


def test_where_it_is_known_how_long_a_thing_takes_the_day_to_order_by_is_said() -> None:
    # Six days on the way and one of margin before 20 May: 13 May.
    given = document(event_date="2027-05-20")
    lines = [
        {"part": "motor", "name": "Greenhouse 3100", "supplier": "Seed box"},
        {"part": "", "name": "Screws", "supplier": "Attic"},
        {"part": "", "name": "Glue", "supplier": "Seed box", "status": "ordered"},
    ]
    given["money"]["lines"] = lines
    build = build_from_document(given)

    def late(build: Build, leads: Leads | None = None) -> Outcome:
        found = checked(Facts(build, None, costs(build), 0.0, leads=leads))
        return next(check for check in found if check.code == "late")

    leads = Leads(said={"seed box": 6})
    assert late(build, leads).level is Level.UNKNOWN, "no day is known for any of them"
    assert late(build, leads).advice == "Order by 13 May 2027: Greenhouse 3100"
    assert late(build).advice == "Ask when it comes"
    # What came to this build before tells as well.
    came = {"name": "Nuts", "supplier": "Seed box", "status": "received"}
    lines.append(came | {"ordered": "2027-03-01", "arrived": "2027-03-07"})
    assert late(build_from_document(given)).advice == late(build, leads).advice
    lines[0]["arrives"] = lines[1]["arrives"] = "2027-05-19"
    lines[2]["arrives"] = "2027-05-21"
    warned = late(build_from_document(given), leads)
    assert warned.level is Level.WARN
    assert warned.advice.endswith("in time. Order by 13 May 2027: Greenhouse 3100")
    lines[2]["arrives"] = "2027-05-19"
    fine = late(build_from_document(given), leads)
    assert (fine.level, fine.advice) == (Level.OK, "Order by 13 May 2027: Greenhouse 3100")


def test_a_line_without_a_name_is_still_spoken_of() -> None:
    given = document(event_date="2027-05-01")
    given["money"]["lines"].append({"arrives": "2027-05-03"})
    late = outcomes(build_from_document(given))["late"]
    assert late.text.startswith("Something without a name comes 3 May 2027, 2 days after")
    assert late.text.endswith("; too late as well: Greenhouse 3100")
    assert outcomes(build_from_document(given))["cap"].text.endswith("Something without a name")


def test_what_has_no_day_leaves_it_open_unless_something_is_late() -> None:
    given = document()
    given["money"]["lines"].append({"part": "spur", "name": "66 teeth", "status": "planned"})
    assert outcomes(build_from_document(given))["late"].level is Level.UNKNOWN
    given["event_date"] = "2027-05-01"
    assert outcomes(build_from_document(given))["late"].level is Level.WARN
    given = document(event_date="2027-05-01")
    given["money"]["lines"][0]["status"] = "received"
    assert outcomes(build_from_document(given))["late"].level is Level.OK


def test_sentences_follow_the_persons_units() -> None:
    imperial = Measures(speed_unit=MPH, length_unit=IN, mass_unit=OZ, decimal=",", group=".")
    build = a_build(parts__tyres__rated_kmh=60, parts__chassis__motor_can_mm=25.4)
    found = outcomes(build, imperial)
    assert "rated 37 mph" in found["tyre-speed"].text
    assert "takes 1 in" in found["motor-can"].text
    assert found["tyre-speed"].limit == 60, "figures keep the unit of their key"


def test_a_check_of_a_run_that_never_was_says_why() -> None:
    nothing = replace(facts(a_build()), prediction=None)
    texts = [check.text for check in checked(nothing) if check.code == "pack-voltage"]
    assert texts == ["Cannot be said before something has a mass"]


def test_no_value_is_ever_infinite_or_no_number() -> None:
    for build in (a_build(), a_build(parts__chassis__pack_bay_mm=[0, 0, 0])):
        for check in outcomes(build).values():
            for figure in (check.value, check.limit):
                assert not isinstance(figure, float) or math.isfinite(figure)


def test_stops_are_the_first_eleven() -> None:
    worst = a_build(
        parts__controller__max_cells=2,
        parts__pinion__module_mm=0.8,
        parts__pinion__bore_mm=5,
        parts__chassis__mesh_max_mm=28,
        parts__motor__can_mm=60,
        parts__motor__length_mm=80,
        parts__pack__size_mm=[200, 46, 26],
        parts__controller__max_electrical_rpm=1000,
        parts__pack__connector="other",
        conditions__slope_percent=-6,
        conditions__brake_g=0,
    )
    stopped = {code for code, check in outcomes(worst).items() if check.level is Level.STOP}
    assert stopped == set(STOPS) - {"cannot-move"}
