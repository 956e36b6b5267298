"""The build file's document: what is refused, what is kept, and that nothing is lost."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from builds import a_build, document
from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build, Status
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, ShareBy
from pennyspeed.domain.parts.provenance import Provenance
from storage.values import any_build


def test_a_build_is_read() -> None:
    build = a_build()
    assert build.name == "Allotment runner"
    assert build.target_kmh == 80.0
    assert build.empty_slots == ()
    assert [extra.name for extra in build.extras] == ["Receiver", "Servo"]
    assert build.parts["pack"].figures["size_mm"] == (138.0, 46.0, 26.0)
    assert build.condition("road_m") == 240.0
    assert build.condition("brake_g") == 0.5, "not given, hence the default"
    assert build.cap == Money(25000, "EUR")
    motor, body, pack = build.lines
    assert motor.unit_price == Decimal("64.50")
    assert motor.arrives == date(2027, 5, 2)
    assert (motor.counts, pack.counts) == (True, False)
    assert body.quantity == 2
    assert pack.status is Status.OWNED
    assert build.event_date == date(2027, 5, 20)


def test_a_round_trip_loses_nothing() -> None:
    build = a_build()
    again = build_from_document(json.loads(json.dumps(document_from_build(build))))
    assert again == build


def test_a_written_document_says_the_same_as_the_one_that_was_read() -> None:
    given = document()
    written = document_from_build(a_build())
    for slot, part in given["parts"].items():
        assert written["parts"][slot] == part
    assert written["conditions"] == given["conditions"]
    assert written["money"]["cap"] == "250.00"
    assert written["money"]["lines"][0] == {
        "part": "motor",
        "name": "Greenhouse 3100",
        "quantity": 1,
        "unit_price": "64.50",
        "status": "ordered",
        "counts": True,
        "supplier": "Seed box",
        "order": "A-17",
        "arrives": "2027-05-02",
    }
    assert isinstance(written["parts"]["pinion"]["teeth"], int)


def test_keys_that_nobody_knows_are_written_back_where_they_stood() -> None:
    given = document(
        colour="green",
        parts__wing={"name": "someone's own", "span_mm": 200},
        parts__motor__winding_turns=5.5,
        parts__tyres__provenance={"grip": "estimated", "hardness": "felt by thumb"},
        conditions__moon="full",
        money__vat=0.19,
    )
    given["parts"]["extras"][1]["torque"] = [1, 2]
    given["money"]["lines"][1]["note"] = {"paid": True}
    written = document_from_build(build_from_document(given))
    assert written["colour"] == "green"
    assert written["parts"]["wing"] == {"name": "someone's own", "span_mm": 200}
    assert written["parts"]["motor"]["winding_turns"] == 5.5
    assert written["parts"]["tyres"]["provenance"]["hardness"] == "felt by thumb"
    assert written["parts"]["tyres"]["provenance"]["grip"] == "estimated"
    assert written["conditions"]["moon"] == "full"
    assert written["money"]["vat"] == 0.19
    assert written["parts"]["extras"][1]["torque"] == [1, 2]
    assert written["money"]["lines"][1]["note"] == {"paid": True}


def test_a_source_that_is_null_is_not_given() -> None:
    assert (
        build_from_document(document(parts__tyres__provenance=None)).parts["tyres"]
        == build_from_document(document(parts__tyres__provenance={})).parts["tyres"]
    )
    tyres = build_from_document(document(parts__tyres__provenance={"grip": None})).parts["tyres"]
    assert tyres.provenance_of("grip") is Provenance.GUESSED


def test_what_may_be_absent_is_absent() -> None:
    build = build_from_document(
        {"format": "pennyspeed-build", "version": 1, "name": "Bare", "parts": {}}
    )
    assert build.target_kmh is None
    assert build.currency == "EUR"
    assert build.cap is None
    assert build.event_date is None
    assert len(build.empty_slots) == 8
    again = build_from_document(document_from_build(build))
    assert again == build


@pytest.mark.parametrize("kind", [kind for kind in KINDS if not kind.many], ids=lambda k: k.key)
def test_a_figure_that_is_not_required_may_be_null_or_absent(kind: Any) -> None:
    for field in kind.fields:
        if field.required:
            continue
        nothing = document()
        nothing["parts"][kind.key][field.key] = None
        assert field.key not in build_from_document(nothing).parts[kind.key].figures
        del nothing["parts"][kind.key][field.key]
        assert field.key not in build_from_document(nothing).parts[kind.key].figures


REQUIRED = {
    "chassis": ("name", "driven", "wheelbase_mm", "internal_ratio"),
    "motor": ("name", "kv_rpm_per_v", "resistance_mohm"),
    "controller": ("name",),
    "pack": ("name", "cells_series", "capacity_mah", "cell_resistance_mohm"),
    "pinion": ("name", "teeth", "module_mm"),
    "spur": ("name", "teeth", "module_mm"),
    "tyres": ("name", "diameter_mm"),
    "body": ("name", "drag_coefficient", "frontal_area_cm2"),
}


@pytest.mark.parametrize(("slot", "key"), [(s, k) for s, keys in REQUIRED.items() for k in keys])
def test_a_required_figure_is_missed_by_its_path(slot: str, key: str) -> None:
    lacking = document()
    del lacking["parts"][slot][key]
    with pytest.raises(BadInput) as caught:
        build_from_document(lacking)
    assert caught.value.place == f"parts.{slot}.{key}"


@pytest.mark.parametrize("key", ["format", "version", "name", "parts"])
def test_a_required_key_of_the_top_is_missed(key: str) -> None:
    lacking = document()
    del lacking[key]
    with pytest.raises(BadInput) as caught:
        build_from_document(lacking)
    assert caught.value.place == key
    assert "nothing was given" in str(caught.value)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("format", "other"),
        ("version", "1"),
        ("version", True),
        ("version", 0),
        ("name", 5),
        ("name", "   "),
        ("target_kmh", "fast"),
        ("target_kmh", float("nan")),
        ("target_kmh", -1),
        ("parts", []),
        ("parts.motor", "strong"),
        ("parts.extras", {"name": "x"}),
        ("parts.extras[0]", 3),
        ("parts.chassis.driven", "sideways"),
        ("parts.chassis.driven", 2),
        ("parts.chassis.wheelbase_mm", -258),
        ("parts.chassis.cg_height_mm", -1),
        ("parts.chassis.mass_g", -0.5),
        ("parts.chassis.front_share", 0),
        ("parts.chassis.front_share", 1),
        ("parts.chassis.drivetrain_efficiency", 0),
        ("parts.chassis.drivetrain_efficiency", 1.01),
        ("parts.chassis.pack_bay_mm", [140, 48]),
        ("parts.chassis.pack_bay_mm", "140x48x30"),
        ("parts.motor.kv_rpm_per_v", 0),
        ("parts.motor.kv_rpm_per_v", "3100"),
        ("parts.motor.kv_rpm_per_v", True),
        ("parts.motor.kv_rpm_per_v", float("inf")),
        ("parts.motor.kv_rpm_per_v", 10**400),
        ("parts.motor.resistance_mohm", 0),
        ("parts.motor.loss_speed_share", 1.5),
        ("parts.motor.max_rpm", 0),
        ("parts.motor.poles", 4.5),
        ("parts.controller.burst_current_a", 0),
        ("parts.controller.max_cells", 2.5),
        ("parts.controller.connector", 5),
        ("parts.pack.cells_series", 2.5),
        ("parts.pack.cells_series", 0),
        ("parts.pack.c_burst", 0),
        ("parts.pinion.teeth", 22.5),
        ("parts.spur.module_mm", 0),
        ("parts.tyres.diameter_mm", 0),
        ("parts.tyres.grip", -0.1),
        ("parts.tyres.rolling_coefficient", float("nan")),
        ("parts.tyres.provenance", "guessed"),
        ("parts.tyres.provenance.grip", "hearsay"),
        ("parts.body.drag_coefficient", 0),
        ("parts.body.frontal_area_cm2", 0),
        ("conditions", []),
        ("conditions.relative_humidity", 1.1),
        ("conditions.state_of_charge", -0.1),
        ("conditions.road_m", -5),
        ("conditions.brake_g", "hard"),
        ("conditions.driver_g", -0.1),
        ("conditions.reaction_s", 5.1),
        ("conditions.reaction_s", -0.1),
        ("conditions.reserve_m", -1),
        ("conditions.pack_temperature_c", -30.5),
        ("conditions.pack_temperature_c", 81),
        ("conditions.spread", 0.15),
        ("conditions.spread.driver_g", 2.1),
        ("conditions.spread.brake_g", -0.1),
        ("conditions.spread.head_wind_kmh", 101),
        ("conditions.spread.head_wind_kmh", "gusty"),
        ("parts.motor.inductance_uh", -0.1),
        ("parts.motor.spread", 0.28),
        ("parts.motor.spread.resistance_mohm", 0),
        ("parts.motor.spread.resistance_mohm", 2.1),
        ("parts.motor.spread.resistance_mohm", "wide"),
        ("parts.extras[0].spread.mass_g", float("inf")),
        ("money", "plenty"),
        ("money.currency", "euro"),
        ("money.cap", 260),
        ("money.cap", "two hundred"),
        ("money.lines", {"part": "motor"}),
        ("money.lines[2]", "x"),
        ("money.cap", "-5"),
        ("money.lines[2].unit_price", 12.5),
        ("money.lines[2].unit_price", "12,50"),
        ("money.lines[2].unit_price", "NaN"),
        ("money.lines[2].unit_price", "١٢"),
        ("money.lines[2].quantity", "two"),
        ("money.lines[2].quantity", -1),
        ("money.lines[2].status", "lost"),
        ("money.lines[2].counts", "yes"),
        ("money.lines[2].arrives", "2027-02-30"),
        ("money.lines[2].arrives", "20270301"),
        ("event_date", "in spring"),
        ("event_date", 2027),
        ("parts.motor.secret", float("nan")),
        ("season[1]", float("-inf")),
    ],
)
def test_a_refusal_names_path_value_and_what_was_expected(path: str, value: object) -> None:
    given = document(season=[1, 2])
    given["parts"]["motor"] |= {"secret": 1, "spread": {}}
    given["parts"]["extras"][0]["spread"] = {}
    given["conditions"]["spread"] = {}
    place: Any = given
    *outer, last = path.replace("[", ".[").split(".")
    for key in outer:
        place = place[int(key.strip("[]"))] if key.startswith("[") else place[key]
    place[int(last.strip("[]")) if last.startswith("[") else last] = value
    with pytest.raises(BadInput) as caught:
        build_from_document(given)
    error = caught.value
    assert error.place == path
    assert error.value is value or error.value == value
    assert error.expected
    assert str(error).startswith(f"{path}: ")
    assert "\n" not in str(error)


def test_a_newer_version_is_told_apart() -> None:
    with pytest.raises(BadInput, match="expected 1 or 2; a newer Pennyspeed"):
        build_from_document(document(version=3))


@pytest.mark.parametrize("version", [0, 1.5, -1, "2", None, True])
def test_what_is_no_version_is_refused(version: object) -> None:
    with pytest.raises(BadInput, match="expected the number 1 or 2"):
        build_from_document(document(version=version))


SECOND_EDITION: dict[str, Any] = {
    "parts__motor__inductance_uh": 4.5,
    "parts__motor__provenance": {"resistance_mohm": "worked-out"},
    "parts__motor__spread": {"resistance_mohm": 0.28, "poles": 2},
    "conditions__reaction_s": 0.7,
    "conditions__reserve_m": 10,
    "conditions__pack_temperature_c": 4,
    "conditions__spread": {"driver_g": 0.15, "brake_g": 0.1, "head_wind_kmh": 5},
}


@pytest.mark.parametrize("version", [1, 2])
def test_the_second_versions_keys_are_read_from_either(version: int) -> None:
    build = build_from_document(document(version=version, **SECOND_EDITION))
    motor = build.parts["motor"]
    assert motor.number("inductance_uh") == 4.5
    assert motor.provenance_of("resistance_mohm") is Provenance.WORKED_OUT
    assert motor.spread == {"resistance_mohm": 0.28, "poles": 2}
    assert build.condition("reaction_s") == 0.7
    assert build.condition("reserve_m") == 10
    assert build.condition("pack_temperature_c") == 4
    assert build.condition("spread.driver_g") == 0.15
    assert build.condition("spread.brake_g") == 0.1
    assert build.condition("spread.head_wind_kmh") == 5
    written = document_from_build(build)
    assert written["version"] == 2
    assert written["conditions"]["spread"] == SECOND_EDITION["conditions__spread"]
    assert written["parts"]["motor"]["spread"] == SECOND_EDITION["parts__motor__spread"]
    assert written["parts"]["motor"]["provenance"] == {"resistance_mohm": "worked-out"}


@pytest.mark.parametrize("nothing", [None, {}, {"driver_g": None, "head_wind_kmh": None}])
def test_a_spread_that_is_null_is_not_given(nothing: object) -> None:
    plain = build_from_document(document())
    assert build_from_document(document(conditions__spread=nothing)) == plain
    absent = None if nothing is None else {"resistance_mohm": None}
    assert build_from_document(document(parts__motor__spread=absent)) == plain
    driver = {"conditions__reaction_s": None, "conditions__reserve_m": None}
    assert build_from_document(document(**driver)) == plain


def test_keys_that_nobody_knows_are_kept_inside_what_is_spread() -> None:
    given = document(**SECOND_EDITION)
    given["conditions"]["spread"]["slope_percent"] = {"of": "a hill"}
    given["parts"]["motor"]["spread"]["colour"] = "wide"
    # a key of another object is a stranger here
    given["conditions"]["spread.driver_g"] = 9
    build = build_from_document(given)
    assert build.condition("spread.driver_g") == 0.15
    written = document_from_build(build)
    assert written["conditions"] == given["conditions"]
    assert written["parts"]["motor"]["spread"] == given["parts"]["motor"]["spread"]


def test_what_an_older_program_kept_unread_does_not_begin_to_count_in_a_file() -> None:
    build = a_build()
    motor = replace(
        build.parts["motor"], unknown_keys={"inductance_uh": 80, "spread": "wide", "x-shelf": "B"}
    )
    kept = {"conditions": {"reaction_s": 3, "spread": {"brake_g": 1}, "moon": "full"}}
    build = replace(build, parts={**build.parts, "motor": motor}, unknown_keys=kept)
    again = build_from_document(document_from_build(build))
    assert again.conditions == build.conditions
    assert again.parts["motor"].number("inductance_uh") == 0
    assert again.parts["motor"].unknown_keys == {"x-shelf": "B"}
    assert again.unknown_keys == {"conditions": {"moon": "full"}}


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(any_build())
def test_any_build_comes_back_from_its_document(build: Build) -> None:
    reachable = {"", "parts", "conditions", "conditions.spread", "money"}
    kept = {path: keys for path, keys in build.unknown_keys.items() if path in reachable and keys}
    build = replace(build, unknown_keys=kept, lines=(), orders=(), rates=())
    again = build_from_document(json.loads(json.dumps(document_from_build(build))))
    assert again == build


@pytest.mark.parametrize("data", [None, [], "text", 5, [document()]])
def test_what_is_no_object_is_refused(data: object) -> None:
    with pytest.raises(BadInput, match="top level"):
        build_from_document(data)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("parts__body__downforce_front", -0.2),
        ("parts__body__downforce_rear", -3),
        ("conditions__slope_percent", -4),
        ("conditions__head_wind_kmh", -20),
        ("conditions__road_m", 0),
        ("conditions__brake_g", 0),
        ("parts__tyres__grip", 0),
        ("parts__motor__length_mm", 0),
        ("parts__chassis__drivetrain_efficiency", 1),
        ("parts__pinion__teeth", 33.0),
    ],
)
def test_what_may_be_negative_or_nothing_is_taken(path: str, value: float) -> None:
    build = a_build(**{path: value})
    keys = path.split("__")
    written = document_from_build(build)
    for key in keys:
        written = written[key]
    assert written == value


def test_quantities_and_prices_stay_exact() -> None:
    given = document()
    given["money"]["lines"][0] |= {"quantity": 0.1, "unit_price": "0.30"}
    line = build_from_document(given).lines[0]
    assert line.quantity == Decimal("0.1")
    written = document_from_build(build_from_document(given))["money"]["lines"][0]
    assert (written["quantity"], written["unit_price"]) == (0.1, "0.30")


def test_half_a_character_is_refused() -> None:
    with pytest.raises(BadInput, match="halves"):
        build_from_document(document(remark="\ud800"))


def test_an_order_comes_back_with_all_that_was_said_of_it() -> None:
    order = Order(
        "A-17",
        "Seed box",
        currency="USD",
        rate=Decimal("0.9"),
        rate_on=date(2027, 2, 1),
        postage=Decimal("6.50"),
        duty=Decimal(2),
        discount=Decimal("1.25"),
        share_by=next(one for one in ShareBy if one is not ShareBy.VALUE),
        ordered=date(2027, 2, 2),
        expected=date(2027, 2, 9),
        arrived=date(2027, 2, 8),
        note="two boxes",
    )
    build = a_build().with_order(order)
    again = build_from_document(json.loads(json.dumps(document_from_build(build))))
    assert again.orders == build.orders
