"""Assembly: figures in SI, defaults filled in, draws as their provenance says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from builds import a_build
from pennyspeed.domain.assembly import (
    assemble,
    draw,
    drawn_figures,
    gear_ratio,
    heat_capacity_of,
    mass_kg,
    standstill_current,
)
from pennyspeed.domain.hypercube import DRAWS, standard_draws
from pennyspeed.domain.parts.columns import Columns
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.physics.car import NO_LIMIT, REAR
from pennyspeed.physics.predict import predict


def test_figures_are_turned_into_si() -> None:
    car = assemble(a_build())
    assert car is not None
    grams = 890 + 185 + 68 + 255 + 8 + 14 + 150 + 140 + 12 + 48
    assert car.mass == pytest.approx(grams / 1000)
    assert mass_kg(a_build()) == pytest.approx(grams / 1000)
    assert car.wheelbase == pytest.approx(0.258)
    assert car.driven == REAR
    assert car.gear_ratio == pytest.approx(66 / 33 * 2.5)
    assert car.kv == pytest.approx(3100 * 2 * math.pi / 60)
    assert car.motor_resistance == pytest.approx(0.011)
    assert car.rotor_inertia == pytest.approx(26e-7)
    assert car.current_limit == 120, "the smaller of 120 A and 150 A"
    assert car.pack_resistance == pytest.approx(3 * 0.0034)
    assert car.capacity == pytest.approx(3.8 * 3600)
    assert car.pack_current_limit == pytest.approx(60 * 3.8)
    assert car.frontal_area == pytest.approx(0.0185)
    assert car.growth_speed == pytest.approx(100 / 3.6)
    # half the mass times the square of the radius, times 1.5
    assert car.wheel_inertia == pytest.approx(0.5 * 0.150 * 0.0325**2 * 1.5)
    assert car.heat_capacity == pytest.approx(0.45 * 185)
    assert car.driver_acceleration == pytest.approx(0.45 * 9.80665)
    assert car.brake_deceleration == pytest.approx(0.5 * 9.80665)


def test_surface_slope_and_parallel_cells_enter() -> None:
    car = assemble(
        a_build(
            conditions__surface_grip_factor=0.5,
            conditions__surface_rolling_factor=2,
            conditions__slope_percent=10,
            conditions__head_wind_kmh=-18,
            parts__pack__cells_parallel=2,
        )
    )
    assert car is not None
    assert car.grip == pytest.approx(0.425)
    assert car.rolling == pytest.approx(0.042)
    assert car.slope == pytest.approx(math.atan(0.1))
    assert car.head_wind == pytest.approx(-5)
    assert car.pack_resistance == pytest.approx(3 * 0.0034 / 2)


def test_what_is_not_given_is_filled_in() -> None:
    car = assemble(
        a_build(
            parts__chassis__cg_height_mm=None,
            parts__chassis__drivetrain_efficiency=None,
            parts__controller__burst_current_a=None,
            parts__controller__resistance_mohm=None,
            parts__motor__peak_current_a=None,
            parts__motor__mass_g=None,
            parts__pack__c_burst=None,
            parts__tyres__grip=None,
        )
    )
    assert car is not None
    assert car.cg_height == pytest.approx(0.03)
    assert car.drivetrain_efficiency == pytest.approx(0.9)
    assert car.controller_resistance == pytest.approx(0.5e-3)
    assert car.grip == pytest.approx(0.8)
    assert car.current_limit == NO_LIMIT
    assert car.pack_current_limit == NO_LIMIT
    assert car.heat_capacity == math.inf


def test_half_of_the_no_load_current_grows_with_speed_unless_somebody_says() -> None:
    # common practice, no source
    half = assemble(a_build(parts__motor__loss_speed_share=0.5))
    assert assemble(a_build(parts__motor__loss_speed_share=None)) == half


def test_no_car_without_every_slot_or_without_a_mass() -> None:
    assert assemble(a_build(parts__tyres=None)) is None
    assert gear_ratio(a_build(parts__spur=None)) is None
    assert standstill_current(a_build(parts__controller=None)) is None
    weightless = {f"parts__{slot}__mass_g": None for slot in a_build().parts}
    assert assemble(a_build(**weightless, parts__extras=[])) is None


def test_the_standstill_current_is_the_physics_own() -> None:
    build = a_build(
        conditions__motor_temperature_c=70,
        conditions__state_of_charge=0.6,
        conditions__pack_temperature_c=-5,
    )
    car = assemble(build)
    assert car is not None
    assert standstill_current(build) == pytest.approx(predict(car).standstill_current, rel=1e-12)


def test_a_cold_pack_gives_less_at_standstill() -> None:
    # twice the pack's resistance at 0 °C (from memory): 3 cells of 3.4 mΩ, 11 + 0.7 mΩ beside them
    warm, cold = (standstill_current(a_build(conditions__pack_temperature_c=t)) for t in (20, 0))
    assert warm is not None
    assert cold is not None
    assert warm / cold == pytest.approx((11.7 + 2 * 10.2) / (11.7 + 10.2), rel=0.01)


def test_every_figure_that_is_not_exact_is_drawn_and_no_other() -> None:
    keys = {drawn.key for drawn in drawn_figures(a_build())}
    slots = ("chassis", "motor", "controller", "pack", "pinion", "spur", "tyres", "body")
    masses = {(slot, "mass_g") for slot in (*slots, "extras.0", "extras.1")}
    assert a_build().parts["motor"].number("inductance_uh") == 0, "left out, as 0 stays 0"
    assert keys == masses | {
        ("chassis", "cg_height_mm"),
        ("chassis", "front_share"),
        ("chassis", "drivetrain_efficiency"),
        ("motor", "kv_rpm_per_v"),
        ("motor", "resistance_mohm"),
        ("motor", "no_load_current_a"),
        ("motor", "loss_speed_share"),
        ("motor", "rotor_inertia_gcm2"),
        ("controller", "resistance_mohm"),
        ("pack", "capacity_mah"),
        ("pack", "cell_resistance_mohm"),
        ("tyres", "diameter_mm"),
        ("tyres", "growth_fraction"),
        ("tyres", "grip"),
        ("tyres", "rolling_coefficient"),
        ("body", "drag_coefficient"),
        ("body", "frontal_area_cm2"),
        ("body", "downforce_front"),
        ("body", "downforce_rear"),
    }


def test_an_inductance_is_in_henry_and_drawn_with_its_own_spread() -> None:
    build = a_build(parts__motor__inductance_uh=4.5, parts__motor__poles=6)
    car = assemble(build)
    assert car is not None
    assert (car.inductance, car.pole_pairs) == (pytest.approx(4.5e-6), 3)
    motor = build.parts["motor"].with_figure("inductance_uh", 4.5, Provenance.WORKED_OUT, 0.44)
    drawn = {one.key: one for one in drawn_figures(build.with_part(motor))}
    assert drawn["motor", "inductance_uh"].spread == 0.44
    spread = np.std(np.log(np.asarray(draw([*drawn.values()])["motor", "inductance_uh"])))
    assert spread == pytest.approx(0.44, rel=0.01)


def test_an_older_build_is_neutral_in_what_it_does_not_say() -> None:
    car = assemble(a_build())
    assert car is not None
    assert (car.inductance, car.reaction, car.reserve, car.pack_temperature) == (0, 0, 0, 20)
    assert not [drawn for drawn in drawn_figures(a_build()) if drawn.key[0] == "conditions"]


def test_reaction_reserve_and_the_packs_warmth_enter() -> None:
    car = assemble(
        a_build(
            conditions__reaction_s=0.7, conditions__reserve_m=10, conditions__pack_temperature_c=-5
        )
    )
    assert car is not None
    assert (car.reaction, car.reserve, car.pack_temperature) == (0.7, 10, -5)


def test_the_day_is_drawn_with_its_spreads() -> None:
    day = {"driver_g": 0.15, "brake_g": 0.1, "head_wind_kmh": 5}
    build = a_build(conditions__spread=day, conditions__head_wind_kmh=-3)
    drawn = drawn_figures(build)
    assert [one.key for one in drawn[-3:]] == [("conditions", key) for key in day]
    car = assemble(build, draw(drawn))
    assert car is not None
    driver, brake, wind = (
        np.asarray(one) for one in (car.driver_acceleration, car.brake_deceleration, car.head_wind)
    )
    # the nominal is the median of all three; the last alone is normal, and changes sides
    assert np.median(driver) == pytest.approx(0.45 * 9.80665, rel=1e-3)
    assert np.std(np.log(driver)) == pytest.approx(0.15, rel=0.01)
    assert np.median(brake) == pytest.approx(0.5 * 9.80665, rel=1e-3)
    assert np.std(np.log(brake)) == pytest.approx(0.1, rel=0.01)
    assert np.mean(wind) == pytest.approx(-3 / 3.6, abs=1e-9)
    assert np.std(wind) == pytest.approx(5 / 3.6, rel=0.01)
    # its 84th percentile is one standard deviation above the mean
    assert np.quantile(wind, norm.cdf(1)) == pytest.approx(2 / 3.6, abs=0.02)


def test_the_wind_alone_may_leave_0() -> None:
    day = {"driver_g": 0.15, "brake_g": 0.1, "head_wind_kmh": 5}
    build = a_build(conditions__spread=day, conditions__driver_g=0, conditions__brake_g=0)
    keys = [one.key for one in drawn_figures(build) if one.key[0] == "conditions"]
    assert keys == [("conditions", "head_wind_kmh")]


def test_the_day_leaves_the_draws_of_all_figures_as_they_were() -> None:
    before = draw(drawn_figures(a_build()))
    after = draw(drawn_figures(a_build(conditions__spread={"head_wind_kmh": 5})))
    assert set(after) - set(before) == {("conditions", "head_wind_kmh")}
    for key, values in before.items():
        assert np.array_equal(values, after[key])


def test_spreads_follow_provenance() -> None:
    build = a_build(parts__motor__loss_speed_share=None)
    spreads = {drawn.key: drawn.spread for drawn in drawn_figures(build)}
    assert spreads["motor", "kv_rpm_per_v"] == 0.05, "a maker's figure"
    assert spreads["motor", "mass_g"] == 0.02, "a maker's mass"
    assert spreads["tyres", "diameter_mm"] == 0.02, "a maker's diameter"
    assert spreads["tyres", "grip"] == 0.15, "said to be estimated"
    assert spreads["tyres", "rolling_coefficient"] == 0.30, "guessed unless somebody says"
    assert spreads["body", "frontal_area_cm2"] == 0.01, "said to be measured"
    assert spreads["motor", "loss_speed_share"] == 0.30, "filled in"
    measured = build.parts["motor"].with_figure("mass_g", 185.0, Provenance.MEASURED)
    assert measured.spread_of("mass_g") == 0.01


def test_draws_are_a_latin_hypercube_around_the_nominal() -> None:
    drawn = drawn_figures(a_build())
    values = draw(drawn)
    for one in drawn:
        column = np.asarray(values[one.key])
        assert column.shape == (DRAWS,)
        logs = np.log(column / one.nominal) / one.spread
        assert np.median(column) == pytest.approx(one.nominal, rel=0.01)
        assert logs.mean() == pytest.approx(0.0, abs=1e-12)
        assert logs.std() == pytest.approx(1.0, rel=0.01)
        # each of the strata of equal chance holds one draw
        strata = np.floor(DRAWS * np.array([0.5 * math.erfc(-z / math.sqrt(2)) for z in logs]))
        assert sorted(strata) == list(range(DRAWS))


def test_draws_stand_at_the_middle_of_their_strata() -> None:
    # scipy.stats.norm.ppf (computed with library); 0.90 -> 1.281551566 and 0.975 -> 1.959963985 are
    # the same library's, to the digits in which tables print them
    for draws in (5, 20, DRAWS):
        found = np.sort(standard_draws(("motor", "mass_g"), draws))
        middles = (np.arange(draws) + 0.5) / draws
        np.testing.assert_allclose(found, norm.ppf(middles), rtol=1e-9, atol=1e-12)
    assert np.sort(standard_draws(("body", "mass_g"), 5))[4] == pytest.approx(1.281551566, abs=1e-9)
    assert np.sort(standard_draws(("body", "mass_g"), 20))[19] == pytest.approx(
        1.959963985, abs=1e-9
    )


def test_every_figure_has_an_order_of_its_own() -> None:
    # one order for two figures would draw them as one; 0.25 is four standard deviations of the
    # correlation of 256 independent pairs
    keys = [drawn.key for drawn in drawn_figures(a_build())]
    pairs = np.corrcoef(np.stack([standard_draws(key) for key in keys]))
    assert np.abs(pairs - np.eye(len(keys))).max() < 0.25


def test_figures_are_drawn_independently_and_the_same_every_time() -> None:
    one, other = standard_draws(("motor", "mass_g")), standard_draws(("body", "mass_g"))
    assert abs(np.corrcoef(one, other)[0, 1]) < 0.25
    assert np.array_equal(one, standard_draws(("motor", "mass_g")))


def test_a_zero_stays_and_a_sign_stays() -> None:
    build = a_build(parts__body__downforce_front=0, parts__body__downforce_rear=-0.3)
    values = draw(drawn_figures(build))
    assert ("body", "downforce_front") not in values
    assert np.all(np.asarray(values["body", "downforce_rear"]) < 0)


def test_draws_past_a_range_are_set_to_its_end() -> None:
    build = a_build(
        parts__chassis__drivetrain_efficiency=0.97,
        parts__chassis__front_share=0.9,
        parts__motor__loss_speed_share=0.95,
        parts__chassis__provenance={"drivetrain_efficiency": "guessed", "front_share": "guessed"},
        parts__motor__provenance={"loss_speed_share": "guessed"},
    )
    car = assemble(build, draw(drawn_figures(build)))
    assert car is not None
    assert np.max(car.drivetrain_efficiency) == 1.0
    assert np.max(car.front_share) == pytest.approx(1.0)
    assert np.max(car.front_share) < 1.0
    assert np.max(car.loss_speed_share) == 1.0


def test_wheels_and_heat_follow_what_is_drawn() -> None:
    build = a_build()
    values = draw(drawn_figures(build))
    car = assemble(build, values)
    assert car is not None
    tyres = np.asarray(values["tyres", "mass_g"]) * 1e-3
    radius = np.asarray(values["tyres", "diameter_mm"]) * 0.5e-3
    np.testing.assert_allclose(car.wheel_inertia, 0.75 * tyres * radius**2)
    np.testing.assert_allclose(car.heat_capacity, 0.45 * np.asarray(values["motor", "mass_g"]))
    np.testing.assert_allclose(
        car.pack_current_limit, 60 * np.asarray(values["pack", "capacity_mah"]) * 1e-3
    )


def test_candidates_are_the_cars_they_would_be_one_by_one() -> None:
    build = a_build()
    motor = build.parts["motor"]
    others = [
        motor,
        motor.with_figure("kv_rpm_per_v", 2500.0).with_figure("mass_g", None),
        motor.with_figure("peak_current_a", None).with_figure("no_load_current_a", None),
        motor.with_figure("heat_capacity_j_per_k", 70.0),
    ]
    many = assemble(build, Columns(others).figures("motor"))
    assert many is not None
    for i, other in enumerate(others):
        one = assemble(build.with_part(other))
        assert one is not None
        for name in type(one).__slots__:
            found = getattr(many, name)
            value = found[i] if isinstance(found, np.ndarray) else found
            assert value == pytest.approx(getattr(one, name), rel=1e-12), name


@pytest.mark.parametrize("grams", [None, 0.0, 5e-324, 1e-9])
def test_a_motor_of_next_to_no_mass_takes_up_no_heat_that_can_be_told(grams: float | None) -> None:
    assert heat_capacity_of(grams) == math.inf
    if grams is not None:
        assert heat_capacity_of(np.array([grams, 200.0]))[0] == math.inf
    assert heat_capacity_of(200.0) == pytest.approx(heat_capacity_of(np.array([200.0]))[0])
