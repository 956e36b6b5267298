"""The demo catalogue: complete, sound, and plausible to somebody who builds such cars.

What a row must look like comes from the kinds' own declarations; how its figures must hang together
comes from the trade. Unless a source is named, a relation here is common practice, no source.
"""

from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from math import pi
from pathlib import Path

import pytest

from pennyspeed import resources
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from services.demo_catalogue import given, knowing, lies, meshes, parts, rows, sits

FLOORS = {
    "chassis": 6, "motor": 16, "controller": 10, "pack": 14, "pinion": 14, "spur": 10,
    "tyres": 8, "body": 8, "extras": 10,
}  # fmt: skip
NOMINAL_CELL_V = 3.7  # lithium-polymer, full 4.2, empty 3.0 V
MODULES = Path(__file__).parents[1] / "data" / "preferred_modules.csv"


# --- the catalogue -------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_kind_offers_enough_to_choose_from(kind):
    assert len(parts(kind.key)) >= FLOORS[kind.key]


def test_the_catalogue_holds_ninety_parts():
    assert sum(len(parts(kind.key)) for kind in KINDS) >= 90


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_columns_are_the_kinds_fields_in_their_order(kind):
    path = resources.path(f"demo/parts/{kind.key}.csv")
    header = path.read_text(encoding="utf-8").splitlines()[0].split(",")
    ends = ["price", "currency", "supplier", "on", "link", "note", "provenance"]
    assert header == ["name", *(field.key for field in kind.fields), *ends]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_no_two_parts_of_a_kind_share_a_name(kind):
    names = [part.name.casefold() for part in parts(kind.key)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_prices_name_their_day_and_supplier_and_no_real_address(kind):
    for row in rows(kind.key):
        assert not row["link"]
        if row["price"]:
            assert Decimal(row["price"]) > 0
            assert row["currency"] == "EUR"
            assert row["supplier"]
            assert date.fromisoformat(row["on"]).year == 2026
        else:
            assert not row["currency"] + row["supplier"] + row["on"], row["name"]


def test_used_parts_cost_less_than_the_same_new():
    pairs = 0
    for kind in KINDS:
        by_name = {part.name: part for part in parts(kind.key)}
        for name, part in by_name.items():
            new = by_name.get(name.removesuffix(", used"))
            if new is None or new is part:
                continue
            assert part.price is not None
            assert new.price is not None
            assert part.price.amount < new.price.amount, name
            pairs += 1
    assert pairs >= 6


def test_some_figures_are_not_known_and_every_kind_of_source_occurs():
    """A catalogue without gaps would teach that makers tell everything."""
    optional = [
        (part, field)
        for kind in KINDS
        for part in parts(kind.key)
        for field in kind.fields
        if field.default is None
    ]
    gaps = [(part.name, field.key) for part, field in optional if not part.figures.get(field.key)]
    assert 10 <= len(gaps) < len(optional) / 3
    said = {source for kind in KINDS for p in parts(kind.key) for source in p.provenance.values()}
    assert said == set(Provenance) - {Provenance.MAKER, Provenance.WORKED_OUT}


# --- figures that must hang together -------------------------------------------------------------


def test_motors_of_one_size_share_their_motor_constant_and_larger_ones_have_more():
    """Rewinding a motor changes Kv with 1/turns and resistance with turns²: Kv²·R stays.

    Follows from Kt = 60/(2π·Kv) and a filled winding slot; that it grows with size: common
    practice, no source.
    """
    by_size: dict[tuple[float, float], list[float]] = {}
    for motor in parts("motor"):
        size = given(motor, "can_mm"), given(motor, "length_mm")
        constant = given(motor, "kv_rpm_per_v") ** 2 * given(motor, "resistance_mohm")
        by_size.setdefault(size, []).append(constant)
    for size, constants in by_size.items():
        assert max(constants) / min(constants) < 1.25, size
    largest_first = sorted(by_size, key=lambda size: size[0] ** 2 * size[1], reverse=True)
    typical = [sum(by_size[size]) / len(by_size[size]) for size in largest_first]
    assert typical == sorted(typical)
    assert len(typical) >= 6


def test_motors_weigh_what_iron_and_copper_of_their_size_weigh():
    """Iron 7.9 and copper 9.0 g/cm³ (CRC Handbook, from memory), about half of the can filled."""
    for motor in parts("motor"):
        can = pi / 4 * given(motor, "can_mm") ** 2 * given(motor, "length_mm") / 1000
        assert 2.5 < given(motor, "mass_g") / can < 5.0, motor.name


def test_every_motor_turns_usefully_on_a_pack_and_controller_of_the_catalogue():
    """Free speed at nominal volts: race cars run about 20,000 to 45,000 rpm."""
    cells_of_packs = {given(pack, "cells_series") for pack in parts("pack")}
    most_cells = max(given(c, "max_cells") for c in knowing("controller", "max_cells"))
    for motor in parts("motor"):
        usable = [
            cells
            for cells in cells_of_packs
            if cells <= most_cells
            and 20_000 <= given(motor, "kv_rpm_per_v") * NOMINAL_CELL_V * cells <= 45_000
        ]
        assert usable, motor.name


def test_no_load_power_is_a_small_part_of_what_a_motor_can_give():
    for motor in knowing("motor", "no_load_current_a", "no_load_voltage_v", "peak_current_a"):
        share = given(motor, "no_load_current_a") / given(motor, "peak_current_a")
        assert 0.01 < share < 0.06, motor.name


def test_stronger_controllers_have_less_resistance():
    """Twice the switches in parallel carry twice the current at half the resistance."""
    for controller in knowing("controller", "continuous_current_a", "resistance_mohm"):
        amps = given(controller, "continuous_current_a")
        drop_mv = amps * given(controller, "resistance_mohm")
        assert 30 < drop_mv < 80, controller.name


def test_cells_have_the_resistance_of_sprint_cells():
    """8 to 20 mΩ·Ah per cell for packs sold for racing."""
    for pack in parts("pack"):
        one_string_ah = given(pack, "capacity_mah") / 1000 / (pack.number("cells_parallel") or 1)
        assert 8 < given(pack, "cell_resistance_mohm") * one_string_ah < 20, pack.name


def test_packs_hold_what_lithium_polymer_holds():
    """Roughly 100 to 180 Wh/kg and 160 to 380 Wh/l with case and leads."""
    for pack in parts("pack"):
        wh = given(pack, "capacity_mah") / 1000 * given(pack, "cells_series") * NOMINAL_CELL_V
        assert 100 < wh / (given(pack, "mass_g") / 1000) < 180, pack.name
        size = pack.known("size_mm")
        assert isinstance(size, tuple)
        length, width, height = size
        assert 160 < wh / (length * width * height / 1e6) < 380, pack.name


def test_bodies_drag_as_car_bodies_do():
    """Production cars 0.26 to 0.5; model bodies reach lower and, with open wheels, higher.

    Tables of drag coefficients in university physics texts, from memory; area about 0.85 × width ×
    height (Moaveni, Engineering Fundamentals, ch. 15), 190 mm wide at 1:10 and 300 mm at 1:8.
    """
    for body in parts("body"):
        assert 0.25 <= given(body, "drag_coefficient") <= 0.7, body.name
        width = 300 if "1:8" in _note(body) else 190
        height = given(body, "frontal_area_cm2") * 100 / (0.85 * width)
        assert 90 < height < 165, body.name


def _note(part: Part) -> str:
    new = part.name.removesuffix(", used")
    return next(row["note"] for row in rows(part.kind_key) if row["name"] == new)


def test_wheels_growing_more_are_rated_slower():
    tyres = list(knowing("tyres", "rated_kmh", "growth_fraction"))
    fast = [given(t, "growth_fraction") for t in tyres if given(t, "rated_kmh") > 150]
    slow = [given(t, "growth_fraction") for t in tyres if given(t, "rated_kmh") <= 110]
    assert max(fast) < min(slow)


# --- what fits and what does not -----------------------------------------------------------------


def test_gear_modules_are_preferred_ones():
    """ISO 54 and JIS B 1701-2, series I, as `tests/data/preferred_modules.csv` lists them."""
    with MODULES.open(encoding="utf-8", newline="") as file:
        series_one = {
            float(row["module_mm"]) for row in csv.DictReader(file) if row["series"] == "I"
        }
    ours = {given(part, "module_mm") for kind in ("pinion", "spur") for part in parts(kind)}
    assert ours == {0.6, 0.8, 1.0}
    assert ours <= series_one


@pytest.mark.parametrize("chassis", parts("chassis"), ids=lambda part: part.name)
def test_every_chassis_can_be_filled_and_turns_something_away(chassis):
    motors = [motor for motor in parts("motor") if sits(chassis, motor)]
    pairs = [
        (pinion, spur)
        for pinion in parts("pinion")
        for spur in parts("spur")
        if given(pinion, "module_mm")
        == given(spur, "module_mm")
        == given(chassis, "gear_module_mm")
    ]
    meshing = [(pinion, spur) for pinion, spur in pairs if meshes(chassis, pinion, spur)]
    assert {given(pinion, "bore_mm") for pinion, _ in meshing} & {
        given(motor, "shaft_mm") for motor in motors
    }
    assert len(meshing) >= 4
    assert len(meshing) < len(pairs)
    assert sum(lies(chassis, pack) for pack in parts("pack")) >= 2


def test_all_but_the_largest_chassis_are_too_small_for_some_motor_and_some_pack():
    largest = max(parts("chassis"), key=lambda chassis: given(chassis, "wheelbase_mm"))
    for chassis in parts("chassis"):
        if chassis is not largest:
            assert not all(sits(chassis, motor) for motor in parts("motor")), chassis.name
            assert not all(lies(chassis, pack) for pack in parts("pack")), chassis.name


def test_every_plug_and_every_shaft_finds_its_partner():
    plugs = {pack.known("connector") for pack in parts("pack")}
    assert plugs == {controller.known("connector") for controller in parts("controller")}
    shafts = {given(motor, "shaft_mm") for motor in parts("motor")}
    assert shafts == {given(pinion, "bore_mm") for pinion in parts("pinion")} == {3.175, 5.0, 8.0}
