"""The rules against figures from outside, each with its source."""

from __future__ import annotations

import math

import pytest

from pennyspeed.domain.estimates.rules import RULES, expected_words, lacking, rule_of
from pennyspeed.domain.estimates.work_out import Estimate, work_out
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.parts import Part


def one(kind: str, key: str, **figures: object) -> Estimate:
    return work_out(Part(kind, "any", figures))[key]  # type: ignore[arg-type]


# maxon motor, data sheets 651614, 651616 and 200142: R in Ω, kn in rpm/V, I0 in A, L in mH
SHEETS = [
    ("EC 45 flat 70 W, 24 V", 0.573, 236.0, 0.270, 0.301),
    ("EC 45 flat 70 W, 48 V", 3.07, 118.0, 0.135, 1.21),
    ("EC 45 flat 30 W, 12 V", 1.2, 374.0, 0.144, 0.560),
]


@pytest.mark.parametrize(("name", "r", "kn", "i0", "inductance"), SHEETS)
def test_no_load_currents_and_inductances_of_makers_lie_inside(
    name: str, r: float, kn: float, i0: float, inductance: float
) -> None:
    given = {"kv_rpm_per_v": kn, "resistance_mohm": 1000 * r}
    current = one("motor", "no_load_current_a", **given)
    assert current.low < i0 < current.high, name
    assert i0 == pytest.approx(current.value, rel=0.33), name
    winding = one("motor", "inductance_uh", **given)
    assert winding.low < 1000 * inductance < winding.high, name


def test_the_table_at_its_own_points():
    # each level where its features are 1, as the model's table has it
    kv = 1000.0
    can = {"kv_rpm_per_v": kv, "can_mm": 10 * math.sqrt(200 / math.pi / 5), "length_mm": 50.0}
    assert one("motor", "resistance_mohm", **can).value == pytest.approx(110)
    assert one("motor", "mass_g", **can).value == pytest.approx(180)
    ohm = {**can, "resistance_mohm": 1000.0}
    assert one("motor", "no_load_current_a", **ohm).value == pytest.approx(0.2)
    assert one("motor", "inductance_uh", **ohm).value == pytest.approx(450)
    rotor = {"kv_rpm_per_v": kv, "can_mm": 36.0, "mass_g": 183.0}
    # 0.3 of the mass at half the diameter: m·d²/8
    inertia = 0.3 * 183 * 1.8**2 / 8
    assert one("motor", "rotor_inertia_gcm2", **rotor).value == pytest.approx(inertia, rel=0.01)
    pack = {"cells_series": 3, "capacity_mah": 5000.0, "c_continuous": 50.0}
    assert one("pack", "cell_resistance_mohm", **pack).value == pytest.approx(14 / 5)
    assert one("pack", "mass_g", **pack).value == pytest.approx(6.7 * 3.7 * 3 * 5)
    esc = {"continuous_current_a": 120.0}
    assert one("controller", "resistance_mohm", **esc).value == pytest.approx(0.5)
    assert one("controller", "mass_g", **esc).value == pytest.approx(96)
    assert one("tyres", "mass_g", diameter_mm=65.0).value == pytest.approx(150)
    assert one("tyres", "mass_g", diameter_mm=130.0).value == pytest.approx(600)
    assert one("chassis", "mass_g", wheelbase_mm=260.0).value == pytest.approx(900)
    assert one("body", "frontal_area_cm2", width_mm=200.0, height_mm=120.0).value == (
        pytest.approx(0.81 * 240)
    )


@pytest.mark.parametrize(
    ("shape", "drag"),
    [("streamliner", 0.20), ("low coupe", 0.28), ("touring or GT", 0.38), ("truck", 0.55),
     ("open wheels", 0.65)],
)  # fmt: skip
def test_drag_by_shape(shape: str, drag: float):
    found = one("body", "drag_coefficient", shape=shape)
    assert (found.value, found.spread) == (pytest.approx(drag), pytest.approx(0.18))


def test_drag_of_cars_on_the_road_lies_in_the_range_of_their_shape():
    # OpenStax, University Physics 1, ch. 6: Focus 0.32, Civic 0.36, Testarossa 0.37, H2 0.64
    shell, truck = (one("body", "drag_coefficient", shape=s) for s in ("touring or GT", "truck"))
    assert all(shell.low < drag < shell.high for drag in (0.32, 0.36, 0.37))
    assert truck.low < 0.64 < truck.high


def test_drag_of_a_shape_that_nobody_names_may_be_any():
    found = one("body", "drag_coefficient")
    # wide enough for a Camry, 0.28, and an H2, 0.64, of the same table
    assert found.low < 0.28 < 0.64 < found.high


def test_frontal_area_of_a_car_outline():
    # Moaveni, Engineering Fundamentals, 4th ed., ch. 15 problem 8: 0.85 of width × height
    found = one("body", "frontal_area_cm2", width_mm=1800.0, height_mm=1400.0)
    assert found.low < 0.85 * 180 * 140 < found.high


@pytest.mark.parametrize(
    ("construction", "growth", "rolling"),
    [("foam", 0.003, 0.020), ("belted rubber", 0.01, 0.018), ("unbelted rubber", 0.06, 0.025)],
)
def test_growth_and_rolling_by_construction(construction: str, growth: float, rolling: float):
    given = {"diameter_mm": 65.0, "construction": construction}
    found = one("tyres", "growth_fraction", **given)
    assert (found.value, found.spread) == (pytest.approx(growth), pytest.approx(0.5))
    # with speed squared: at 50 km/h a quarter of it
    slow = one("tyres", "growth_fraction", **given, growth_at_kmh=50.0)
    assert slow.value == pytest.approx(growth / 4)
    found = one("tyres", "rolling_coefficient", **given)
    assert (found.value, found.spread) == (pytest.approx(rolling), pytest.approx(0.3))


@pytest.mark.parametrize(
    ("kind", "teeth", "material", "grams"),
    [
        # π/4 · d² · face · density; steel 7.85, aluminium 2.70, POM 1.4 g/cm³ (Callister; the
        # Engineering ToolBox; SpoolmanDB)
        ("pinion", 20, None, math.pi / 4 * 1.6**2 * 0.7 * 7.85),
        ("pinion", 20, "aluminium", math.pi / 4 * 1.6**2 * 0.7 * 2.70),
        ("spur", 54, None, math.pi / 4 * 4.32**2 * 0.5 * 1.4),
        ("spur", 54, "steel", math.pi / 4 * 4.32**2 * 0.5 * 7.85),
    ],
)
def test_a_gear_is_a_disc(kind: str, teeth: int, material: str | None, grams: float):
    given = {"teeth": teeth, "module_mm": 0.8} | ({"material": material} if material else {})
    found = one(kind, "mass_g", **given)
    assert (found.value, found.spread) == (pytest.approx(grams), pytest.approx(0.25))


def test_every_rule_names_fields_that_there_are_and_its_source():
    for rule in RULES:
        fields = {field.key: field for field in BY_KEY[rule.kind_key].fields}
        assert rule.source
        assert {rule.key, *rule.features} <= fields.keys()
        if rule.choice is not None:
            assert set(rule.choice.levels) == set(fields[rule.choice.key].choices)


def test_what_is_lacking_is_named_down_to_what_a_person_can_say():
    assert lacking("motor", {"kv_rpm_per_v": 3000}, "inductance_uh") == ("can_mm", "length_mm")
    assert lacking("motor", {"resistance_mohm": 9.0}, "inductance_uh") == ()
    assert lacking("motor", {}, "max_rpm") == ("max_rpm",)
    assert rule_of("motor", "max_rpm") is None
    words = expected_words("motor", {"can_mm": 36, "length_mm": 50}, "resistance_mohm")
    assert words == "a number from 0.001 to 1,000,000 mΩ, or Kv to work it out from"
    rating = expected_words("motor", {}, "max_rpm")
    assert rating == BY_KEY["motor"].field("max_rpm").expected
