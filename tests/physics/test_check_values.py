"""Published values against the program's own functions.

The source stands beside each value; tolerances are the source's last printed digit, wider only
where the comment says why. 'UP1' is OpenStax University Physics vol. 1, 'CP' College Physics 2e.
"""

from __future__ import annotations

import csv
from math import atan, inf, pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

from pennyspeed.domain import units
from pennyspeed.physics import electrics, forces, road
from pennyspeed.physics.air import air_density
from pennyspeed.physics.car import ALL, FRONT, NO_LIMIT, REAR, Car
from pennyspeed.physics.gears import centre_distance, roll_out
from pennyspeed.physics.pack import open_circuit_voltage
from pennyspeed.physics.predict import predict
from physics.cars import RPM_PER_VOLT, make_car

DATA = Path(__file__).parents[1] / "data"
MPH = 0.44704
KMH = 1 / 3.6
FULL_CELL = 4.2


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def printed(value: str | float, last_digit: float) -> Any:
    """A printed figure, right to half its last digit."""
    return pytest.approx(float(value), abs=0.501 * last_digit)


# --- units ----------------------------------------------------------------------------------------

EXACT = 1e-14
UNITS = [
    # International yard and pound agreement, 1 July 1959 (yard, pound, mile read; rest computed).
    ("1 in", 1, units.IN, units.MM, 25.4, EXACT),
    ("1 ft", 1, units.FT, units.M, 0.3048, EXACT),
    ("1 yd", 1, units.YD, units.M, 0.9144, EXACT),
    ("1 mile", 1, units.MILE, units.M, 1609.344, EXACT),
    ("1 lb", 1, units.LB, units.KG, 0.45359237, EXACT),
    ("1 oz", 1, units.OZ, units.G, 28.349523125, EXACT),
    # scipy.constants, pint (computed with library).
    ("1 mph", 1, units.MPH, units.M_PER_S, 0.44704, EXACT),
    ("100 mph", 100, units.MPH, units.KMH, 160.9344, EXACT),
    ("1 psi", 1, units.PSI, units.HPA, 68.94757293168361, EXACT),
    ("1 lbf", 1, units.POUND_FORCE, units.NEWTON, 4.4482216152605, EXACT),
    ("1 hp", 1, units.HORSEPOWER, units.WATT, 745.6998715822702, EXACT),
    ("1 metric hp", 1, units.METRIC_HORSEPOWER, units.WATT, 735.49875, EXACT),
    ("1 ozf in", 1, units.OUNCE_INCH, units.MILLINEWTON_METRE, 7.061551814226, 1e-12),
    ("1 lbf ft", 1, units.POUND_FOOT, units.MILLINEWTON_METRE, 1355.8179483314, 1e-13),
    # Exact from the agreement of 1959: the distances of a strip.
    ("quarter mile", 0.25, units.MILE, units.M, 402.336, EXACT),
    ("eighth mile", 0.125, units.MILE, units.M, 201.168, EXACT),
    ("60 ft", 60, units.FT, units.M, 18.288, EXACT),
    ("132 ft", 132, units.FT, units.M, 40.2336, EXACT),
]


@pytest.mark.parametrize(("what", "value", "unit", "target", "want", "rel"), UNITS)
def test_unit(what: str, value: float, unit: Any, target: Any, want: float, rel: float) -> None:
    assert unit.convert(value, target) == pytest.approx(want, rel=rel, abs=0)
    assert target.convert(want, unit) == pytest.approx(value, rel=max(rel, 1e-12), abs=0)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (59, 15), (212, 100), (-40, -40)])
def test_temperature(fahrenheit: float, celsius: float) -> None:  # pint (computed with library)
    got = units.FAHRENHEIT.convert(fahrenheit, units.CELSIUS)
    assert got == pytest.approx(celsius, abs=1e-12)


# --- air ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", rows("moist_air.csv"), ids=lambda r: "-".join(list(r.values())[:3]))
def test_air_density(row: dict[str, str]) -> None:
    temperature, pressure = float(row["temperature_c"]), float(row["pressure_pa"]) / 100
    got = air_density(temperature, pressure, float(row["relative_humidity"]))
    assert got == printed(row["cipm_kg_m3"], 1e-6)
    # An equation of state of its own: within 50 parts in a million, as both sources claim.
    assert got == pytest.approx(float(row["coolprop_kg_m3"]), rel=5e-5)


@pytest.mark.parametrize("row", rows("standard_atmosphere.csv"), ids=lambda r: r["height_m"])
def test_air_density_in_the_standard_atmosphere(row: dict[str, str]) -> None:
    # The standard atmosphere is an ideal gas; real dry air is 0.04 % denser at sea level.
    got = air_density(float(row["temperature_k"]) - 273.15, float(row["pressure_pa"]) / 100, 0.0)
    ratio = got / float(row["density_kg_m3"])
    assert 1.0002 < ratio < 1.0006


# --- drag -----------------------------------------------------------------------------------------


def bluff(density: float, coefficient: float, area: float) -> Car:
    return make_car(air_density=density, drag_coefficient=coefficient, frontal_area=area)


FALLING = [
    # UP1 s6.4 m58306, CP s5.2 m42080 (read); g 9.80 m/s² there. Density 1.21 throughout.
    ("diver, head first", 75.0, 0.70, 0.18, 98.193, 1e-5),
    ("diver, spread", 85.0, 1.0, 0.70, 44.350, 2e-5),
    # CP m42080 (read), a squirrel: prints 25.1.
    ("squirrel", 0.560, 1.0, 0.0144, 25.1, 3e-3),
]


@pytest.mark.parametrize(("who", "mass", "coefficient", "area", "speed", "rel"), FALLING)
def test_terminal_speed(
    who: str, mass: float, coefficient: float, area: float, speed: float, rel: float
) -> None:
    got = road.air_forces(bluff(1.21, coefficient, area), speed).drag
    assert got == pytest.approx(mass * 9.80, rel=2 * rel)


def test_drag_grows_with_the_square() -> None:  # UP1 m58306 (read): 65 -> 110 km/h, 2.86 times
    body = bluff(1.2, 0.3, 2.0)
    slow, fast = (road.air_forces(body, v * KMH).drag for v in (65, 110))
    assert fast / slow == printed(2.86, 0.01)


def test_drag_and_its_power() -> None:  # published formula evaluated
    drag = road.air_forces(bluff(1.225, 0.15, 0.012), 100 * MPH).drag
    assert drag == printed(2.203288, 1e-6)
    assert drag * 100 * MPH == printed(98.495809, 1e-6)


def test_constant_force_and_quadratic_drag() -> None:
    # v = vT tanh(t/tau), x = vT tau ln cosh(t/tau) (closed form, agrees with scipy solve_ivp):
    # 20 N, 2.5 kg, rho 1.225, CdA 0.008: 3 s -> 22.931324 m/s, 35.183838 m; 10 s -> 54.234159 m/s,
    # 325.310110 m; vT 63.887656. The constant force is what four slipping tyres hold.
    car = make_car(
        mass=2.5, grip=20 / (2.5 * 9.80665), air_density=1.225, drag_coefficient=0.4,
        frontal_area=0.02, rolling=0.0, wheel_inertia=0.0, rotor_inertia=0.0, cg_height=0.0,
        growth=0.0, driver_acceleration=1e3, cells_series=400, road_length=1e4, heat_capacity=inf,
        capacity=1e12,
    )  # fmt: skip
    got = predict(car)
    assert got.top_speed == printed(63.887656, 1e-6)
    assert got.curve is not None
    v, t, x = got.curve.speed, got.curve.time, got.curve.distance
    terminal, force, mass = 63.887656, 20.0, 2.5
    tau = mass * terminal / force
    inner = v < 0.98 * terminal
    np.testing.assert_allclose(t[inner], tau * np.arctanh(v[inner] / terminal), rtol=1e-6)
    far = terminal * tau * np.log(np.cosh(np.arctanh(v[inner] / terminal)))
    np.testing.assert_allclose(x[inner], far, rtol=1e-6, atol=1e-5)  # a hundredth of a millimetre
    for when, speed, where in ((3, 22.931324, 35.183838), (10, 54.234159, 325.310110)):
        assert np.interp(when, t, v) == pytest.approx(speed, rel=1e-4)
        assert np.interp(when, t, x) == pytest.approx(where, rel=1e-4)


# --- coasting and road load -----------------------------------------------------------------------


def coasting_time(car: Car, fast: float, slow: float) -> float:
    """Time from one speed to another with neither throttle nor brake, by the program's forces."""
    state = electrics.electrics(car, 1.0, 20.0)
    weight = road.weight_on_road(car)

    def slowness(v: float) -> float:
        at = forces.forces_at(car, state, v)
        down = at.air.front + at.air.rear
        return 1 / float(road.braking_deceleration(car, weight, down, at.resistance))

    return float(quad(slowness, slow, fast, epsabs=0, epsrel=1e-11)[0])


def test_coast_down_closed_form() -> None:
    # t = m/sqrt(AC) [atan(v1 sqrt(C/A)) - atan(v2 sqrt(C/A))], x = m/(2C) ln((A+C v1²)/(A+C v2²)):
    # 2.5 kg, Crr 0.02, rho 1.2, CdA 0.01, 30 -> 10 m/s -> 20.388109 s, 351.422865 m (published
    # formula evaluated; scipy's ODE solver agrees to 1e-9).
    car = make_car(
        mass=2.5, rolling=0.02, air_density=1.2, drag_coefficient=0.5, frontal_area=0.02,
        brake_deceleration=0.0, road_length=2000.0, cells_series=6, gear_ratio=5.0,
    )  # fmt: skip
    assert coasting_time(car, 30.0, 10.0) == printed(20.388109, 1e-6)
    got = predict(car)
    assert got.road_speed > 30
    assert got.trace is not None
    down = slice(int(np.argmax(got.trace.speed)), None)
    v, x = got.trace.speed[down][::-1], got.trace.distance[down][::-1]
    fast, slow = (np.interp(u * u, v * v, x) for u in (30.0, 10.0))
    assert slow - fast == pytest.approx(351.422865, rel=2e-4)


@pytest.mark.parametrize("row", rows("coast_down.csv"), ids=lambda r: r["inertial_mass_kg"] + " kg")
def test_coast_down_of_the_regulation(row: dict[str, str]) -> None:
    mass = float(row["inertial_mass_kg"])
    density = 1.2
    car = make_car(
        mass=mass, rolling=float(row["a_n"]) / (mass * 9.80665), brake_deceleration=0.0,
        air_density=density, drag_coefficient=1.0,
        frontal_area=2 * float(row["c_n_per_kmh2"]) * 3.6**2 / density,
    )  # fmt: skip
    state = electrics.electrics(car, 1.0, 20.0)
    force = forces.forces_at(car, state, 65 * KMH).resistance
    # Coefficients have three digits only, hence 0.25 N and 0.012 s.
    assert force == pytest.approx(float(row["force_at_65_kmh_n"]), abs=0.25)
    time = coasting_time(car, 70 * KMH, 60 * KMH)
    if "misprint" in row["note"]:
        assert time == printed(4.175, 1e-3)
    else:
        assert time == pytest.approx(float(row["seconds_70_to_60_kmh"]), abs=0.0125)


def test_road_load_coefficients() -> None:
    # NREL FASTSim's tests (read): 1500 kg, 4 m², Cd 0.2806902917, Crr 0.0121703117, rho 1.2,
    # g 9.81 -> 40.262 lbf and 0.030268 lbf/mph², 1e-4 relative.
    car = make_car(
        mass=1500.0, frontal_area=4.0, drag_coefficient=0.2806902917, rolling=0.0121703117,
        air_density=1.2,
    )  # fmt: skip
    pound = units.POUND_FORCE.to_si(1.0)
    rolling = road.rolling_force(car, road.weight_on_road(car), 0.0)
    assert rolling * 9.81 / 9.80665 / pound == pytest.approx(40.262, rel=1e-4)
    assert road.air_forces(car, MPH).drag / pound == pytest.approx(0.030268, rel=1e-4)


def test_grade() -> None:
    # UP1 m58310 (read): 1200 kg up 15 % at 90 km/h, the grade being 75 % of the power: 58 kW.
    power = road.grade_force(make_car(mass=1200.0, slope=atan(0.15))) * 25 / 0.75
    assert power == printed(58e3, 1e3)
    assert power == pytest.approx(58.14e3, rel=1e-3)  # g 9.80 there


def test_top_speed_at_constant_power() -> None:
    # Cubic by numpy.roots (computed with library): 500 W, 2.5 kg, Crr 0.02, CdA 0.01, rho 1.2 ->
    # 43.05541 m/s. The pack's bound is one on power; windings of next to nothing waste none of it.
    car = make_car(
        mass=2.5, rolling=0.02, drag_coefficient=0.5, frontal_area=0.02, air_density=1.2,
        pack_resistance=0.0, controller_resistance=0.0, motor_resistance=1e-8, no_load_current=0.0,
        drivetrain_efficiency=1.0, cells_series=10, pack_current_limit=500 / 42.0,
    )  # fmt: skip
    assert predict(car).top_speed == pytest.approx(43.05541, abs=5e-6)


# --- grip -----------------------------------------------------------------------------------------


def grip_acceleration(**figures: Any) -> float:
    """What the tyres alone let the car reach at rest, nothing resisting [m/s²]."""
    car = make_car(mass=1000.0, rolling=0.0, rotor_inertia=0.0, wheel_inertia=0.0, **figures)
    still = road.air_forces(car, 0.0)
    return float(road.grip_road_force(car, road.weight_on_road(car), still, 0.0)) / 1000.0


GRIP_LIMITS = [
    # Beer & Johnston, Vector Mechanics: Dynamics, 8th ed., problem 16.6 (read); g 9.81 there.
    ("Beer", ALL, 0.80, 2.5, 1.0, 0.5, 7.85, 0.007),
    ("Beer", REAR, 0.80, 2.5, 1.0, 0.5, 3.74, 0.007),
    ("Beer", FRONT, 0.80, 2.5, 1.0, 0.5, 4.06, 0.007),
    # Hibbeler, Dynamics, ex. 17.5 (from memory, recomputes).
    ("Hibbeler", REAR, 0.25, 2.0, 1.25, 0.3, 1.5925, 0.001),
    # what-when-how.com ex. 31.7: inputs read, outputs the published formula; g 9.81.
    ("long and tall", FRONT, 0.6, 2.75, 1.15, 0.85, 2.889, 0.0015),
    ("long and tall", REAR, 0.6, 2.75, 1.15, 0.85, 3.022, 0.0015),
    ("long and tall", ALL, 0.6, 2.75, 1.15, 0.85, 5.886, 0.0025),
    # wyzant.com/resources/answers/5249 (read): no load transfer, 48 % on the driven axle.
    ("no transfer", REAR, 0.60, 1.0, 0.48, 0.0, 2.82, 0.006),
]


@pytest.mark.parametrize(("who", "driven", "mu", "base", "behind", "h", "want", "tol"), GRIP_LIMITS)
def test_grip(
    who: str, driven: int, mu: float, base: float, behind: float, h: float, want: float, tol: float
) -> None:
    """`behind`: how far the centre of gravity lies behind the front axle [m]."""
    got = grip_acceleration(
        driven=driven, grip=mu, wheelbase=base, front_share=1 - behind / base, cg_height=h
    )
    assert got == pytest.approx(want, abs=tol)


def test_axle_loads_under_drive() -> None:
    # Hibbeler, Dynamics, ex. 17.5 (from memory): 2 Mg, front 6.88 kN.
    car = make_car(
        mass=2000.0, driven=REAR, grip=0.25, wheelbase=2.0, front_share=0.375, cg_height=0.3,
        rolling=0.0,
    )  # fmt: skip
    weight, still = road.weight_on_road(car), road.air_forces(car, 0.0)
    push = road.grip_road_force(car, weight, still, 0.0)
    assert road.front_axle_load(car, weight, still, 0.0, push) == printed(6880, 10)


SPRINTS = [
    # wyzant.com/resources/answers/5249 (read): rear drive as above, 0-105 km/h in 10.3 s.
    (REAR, 0.60, 0.52, 105 * KMH, 10.3, 0.06),
    # Jazar, Vehicle Dynamics, eq. 2.120 (read): four driven, mu 1, 0-100 km/h in 27.78/g = 2.83 s.
    (ALL, 1.0, 0.5, 100 * KMH, 2.83, 0.005),
]


@pytest.mark.parametrize(("driven", "mu", "front_share", "speed", "seconds", "tol"), SPRINTS)
def test_sprint(
    driven: int, mu: float, front_share: float, speed: float, seconds: float, tol: float
) -> None:
    car = make_car(
        driven=driven, grip=mu, front_share=front_share, cg_height=0.0, rolling=0.0,
        drag_coefficient=1e-6, rotor_inertia=0.0, wheel_inertia=0.0, driver_acceleration=1e3,
        cells_series=40,
    )  # fmt: skip
    curve = predict(car).curve
    assert curve is not None
    assert np.interp(speed, curve.speed, curve.time) == pytest.approx(seconds, abs=tol)


# --- motors ---------------------------------------------------------------------------------------


def bench_motor(**figures: Any) -> Car:
    """A motor on the bench: with a lever of one, wheel force is torque and road speed motor speed.

    Rotor apart, nothing is moved, and nothing but the winding resists the current.
    """
    bare: dict[str, Any] = {
        "mass": 1e-9, "wheel_inertia": 0.0, "rotor_inertia": 0.0, "tyre_diameter": 2.0,
        "gear_ratio": 1.0, "growth": 0.0, "drivetrain_efficiency": 1.0, "pack_resistance": 0.0,
        "controller_resistance": 0.0, "loss_speed_share": 0.0, "rolling": 0.0,
    }  # fmt: skip
    return make_car(**(bare | figures))


def bench(car: Car, omega: float) -> forces.Forces:
    return forces.forces_at(car, electrics.electrics(car, 1.0, 20.0), omega)


def no_load_speed(car: Car) -> float:
    state = electrics.electrics(car, 1.0, 20.0)
    free = car.kv * state.voltage
    return float(brentq(lambda w: forces.forces_at(car, state, w).electric, 0.0, free * (1 - 1e-9)))


def efficiency(car: Car, omega: float) -> float:
    at = bench(car, omega)
    volts = electrics.electrics(car, 1.0, 20.0).voltage
    return float(at.electric * omega / (volts * at.voltage_current))


RPM = 2 * pi / 60


def catalogue_motor(row: dict[str, str]) -> Car:
    return bench_motor(
        kv=1e3 / float(row["torque_constant_mnm_per_a"]),
        motor_resistance=float(row["resistance_ohm"]),
        no_load_current=float(row["no_load_current_a"]),
        no_load_voltage=float(row["volts"]),
        cells_series=float(row["volts"]) / FULL_CELL,
        rotor_inertia=float(row["inertia_gcm2"]) * 1e-7,
    )


@pytest.mark.parametrize("row", rows("maker_motors.csv"), ids=lambda r: r["motor"])
def test_maker_motor(row: dict[str, str]) -> None:
    # Makers round each figure to two or three digits by itself: within 0.7 % all of them close.
    car = catalogue_motor(row)

    def maker(key: str) -> Any:
        return pytest.approx(float(row[key]), rel=7e-3)

    assert car.kv / RPM == maker("speed_constant_rpm_per_v")
    assert predict(car).standstill_current == maker("stall_current_a")
    # This maker prints the gross stall torque, k_t times the stall current: friction is added back.
    stall, turning = bench(car, 0.0), bench(car, 100 * RPM)
    gross = stall.electric + electrics.wheel_force(car, car.no_load_current, 0.0, 1.0)
    assert gross * 1e3 == maker("stall_torque_mnm")
    gradient = 100 / (float(stall.electric - turning.electric) * 1e3)
    assert gradient == maker("gradient_rpm_per_mnm")
    # What remains of the mass at the rim of a one-metre wheel is the rotor's inertia.
    lag = no_load_speed(car) / (stall.electric / stall.effective_mass)
    assert lag * 1e3 == maker("mechanical_time_constant_ms")


def test_maker_motor_in_full() -> None:
    # RE 30, 60 W, 48 V (the maker's data, read; the name from memory). The other two have brushes
    # of graphite, whose drop of 0.3 to 0.7 V this model does not have.
    car = catalogue_motor(rows("maker_motors.csv")[0])
    assert no_load_speed(car) / RPM == pytest.approx(8490, rel=1e-3)
    loaded = brentq(lambda w: bench(car, w).electric - 89.7e-3, 0.0, no_load_speed(car))
    assert loaded / RPM == pytest.approx(7760, rel=1e-3)
    assert bench(car, loaded).voltage_current == printed(1.74, 0.014)
    best = minimize_scalar(
        lambda w: -efficiency(car, w), bounds=(1.0, no_load_speed(car)), method="bounded"
    )
    assert -best.fun * 100 == printed(88, 1)


@pytest.mark.parametrize(
    ("kv", "torque"), [(1000, 9.549297), (2200, 4.340589), (3500, 2.728370), (5000, 1.909860)]
)
def test_torque_constant(kv: float, torque: float) -> None:
    # 60/(2 pi Kv), formula read in TU Braunschweig's LADAC motor code; mN·m/A. The last of the
    # four is printed 7e-7 too high.
    car = bench_motor(kv=kv * RPM_PER_VOLT, no_load_current=0.0)
    assert electrics.wheel_force(car, 1.0, 0.0, 1.0) * 1e3 == pytest.approx(torque, abs=1e-6)


def test_motor_at_ten_volts() -> None:
    # Kv 1000, R 0.05, I0 1.0, 10 V (first-order model, formula evaluated; Drela's paper from
    # memory): at 8000 rpm 40 A, 0.3724226 N·m, 312 W, 78 %; best 86.35786 % at 14.142136 A and
    # 9292.893 rpm; unloaded 9950 rpm; most power 495.0125 W at 100.5 A.
    car = bench_motor(
        kv=1000 * RPM_PER_VOLT, motor_resistance=0.05, no_load_current=1.0, no_load_voltage=10.0,
        cells_series=10 / FULL_CELL,
    )  # fmt: skip
    omega = 8000 * RPM
    at = bench(car, omega)
    assert at.voltage_current == pytest.approx(40.0, rel=1e-9)
    assert at.electric == printed(0.3724226, 1e-7)
    assert at.electric * omega == pytest.approx(312.0, rel=1e-9)
    assert efficiency(car, omega) == pytest.approx(0.78, rel=1e-9)
    assert no_load_speed(car) / RPM == pytest.approx(9950, rel=1e-9)

    best = minimize_scalar(
        lambda w: -efficiency(car, w), bounds=(1.0, 9940 * RPM), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    assert -best.fun == printed(0.8635786, 1e-7)
    assert best.x / RPM == pytest.approx(9292.893, abs=0.01)
    assert bench(car, best.x).voltage_current == pytest.approx(14.142136, abs=1e-3)
    strongest = minimize_scalar(
        lambda w: -bench(car, w).electric * w, bounds=(1.0, 9940 * RPM), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    assert -strongest.fun == printed(495.0125, 1e-4)
    assert bench(car, strongest.x).voltage_current == pytest.approx(100.5, abs=1e-3)


@pytest.mark.parametrize(
    ("temperature", "ohms", "digit"),
    [(20, 0.1, 1e-9), (25, 0.101965, 1e-6), (60, 0.11572, 1e-5), (80, 0.12358, 1e-5),
     (100, 0.13144, 1e-5), (120, 0.1393, 1e-4)],
)  # fmt: skip
def test_copper(temperature: float, ohms: float, digit: float) -> None:
    # 3.93e-3 per °C at 20 °C (Industrial Power Engineering and Applications Handbook p. 970, read;
    # IEC 60028), evaluated.
    got = electrics.winding_resistance(bench_motor(motor_resistance=0.1), temperature)
    assert got == printed(ohms, digit)


# --- packs ----------------------------------------------------------------------------------------


def source(volts: float, inner: float, load: float) -> Car:
    """A source and its load: the motor of a car at rest is a plain resistor."""
    return make_car(
        cells_series=volts / FULL_CELL, pack_resistance=inner, motor_resistance=load,
        controller_resistance=0.0, driver_acceleration=1e3, grip=60.0, cg_height=0.0,
        no_load_current=0.0, rolling=0.0, capacity=1e12, heat_capacity=inf, current_limit=NO_LIMIT,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("volts", "inner", "load", "amperes", "terminal", "digits"),
    [
        (12.0, 0.100, 10.0, 1.188, 11.9, (1e-3, 0.1)),  # CP m42357 (read)
        (12.0, 0.100, 0.500, 20.0, 10.0, (0.1, 0.1)),  # CP m42357 (read), 200 W
        # 4 cells of 2 mohm, 3 mohm of wire, 4.2 V each (formula evaluated).
        (16.8, 0.011, 0.157, 100.0, 15.7, (1e-6, 1e-6)),
    ],
)
def test_sag(
    volts: float, inner: float, load: float, amperes: float, terminal: float, digits: Any
) -> None:
    car = source(volts, inner, load)
    got = predict(car)
    assert got.standstill_current == printed(amperes, digits[0])
    assert got.peak_current == printed(amperes, digits[0])
    assert got.lowest_cell_voltage is not None
    assert got.lowest_cell_voltage * car.cells_series == printed(terminal, digits[1])


@pytest.mark.parametrize(("cells", "full"), [(1, 4.2), (3, 12.6), (4, 16.8)])
def test_full_pack(cells: int, full: float) -> None:  # a public gist (read at second hand)
    car = make_car(cells_series=cells)
    assert electrics.electrics(car, 1.0, 20.0).voltage == pytest.approx(full, rel=1e-12)


@pytest.mark.parametrize("row", rows("pouch_cells.csv"), ids=lambda r: r["state_of_charge"])
def test_open_circuit_voltage_beside_two_published_cells(row: dict[str, str]) -> None:
    # The program's cell is common practice, no source. Two published pouch cells of the energy
    # kind lie on both sides of it or up to 70 mV below; at 0 % both were taken lower.
    charge = float(row["state_of_charge"])
    cells = sorted((float(row["ecker2015_v"]), float(row["marquis2019_v"])))
    above = 0.07 if charge > 0 else 0.17
    assert cells[0] <= open_circuit_voltage(charge) <= cells[1] + above


def test_open_circuit_voltage_only_rises() -> None:
    volts = open_circuit_voltage(np.linspace(0, 1, 201))
    assert (np.diff(volts) > 0).all()


# --- gears and wheels -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("module", "pinion", "spur", "distance"),
    [
        (3, 12, 24, 54),  # KHK gear technical reference (from memory, recomputes)
        (2.5, 47, 50, 121.25),  # drivetrainhub notebooks-gears, ch. 2 (read)
        (0.8, 13, 54, 26.8),  # ISO 21771's formula evaluated, as the next two
        (2, 20, 40, 60),
        (0.5, 20, 60, 20),
    ],
)
def test_gear_pair(module: float, pinion: int, spur: int, distance: float) -> None:
    assert centre_distance(module, pinion, spur) == pytest.approx(distance, rel=1e-12)


def test_wheel_speed() -> None:
    # 65 mm, 30,000 rpm, 4.0:1 -> 25.525440 m/s, 91.891585 km/h, 57.098784 mph (formula evaluated).
    car = make_car(tyre_diameter=0.065, gear_ratio=4.0, growth=0.0)
    lever = forces.gearing(car, forces.rolling_radius(car, 25.0))
    speed = 30_000 * RPM / lever
    assert speed == printed(25.525440, 1e-6)
    assert units.KMH.from_si(speed) == printed(91.891585, 1e-6)
    assert units.MPH.from_si(speed) == printed(57.098784, 1e-6)
    assert roll_out(0.065, 4.0) * 500 == printed(25.525440, 1e-6)


# --- stopping -------------------------------------------------------------------------------------


def stop_from(speed: float, **figures: Any) -> float:
    """Stopping distance of a car that nothing but its brakes holds, from the speed given."""
    still: dict[str, Any] = {
        "rolling": 0.0, "drag_coefficient": 1e-7, "cells_series": 6, "gear_ratio": 4.5,
        "driver_acceleration": 15.0, "grip": 2.0, "cg_height": 0.0,
    }  # fmt: skip

    def got(length: float) -> Any:
        return predict(make_car(**(still | figures | {"road_length": length})))

    length = brentq(lambda x: got(x).road_speed - speed, 1.0, 900.0, xtol=1e-9)
    return float(got(length).stop_distance)


@pytest.mark.parametrize(("braking", "metres"), [(7.00, 64.3), (5.00, 90.0)])
def test_stopping_distance(braking: float, metres: float) -> None:  # UP1 m58285, CP m42099 (read)
    assert stop_from(30.0, brake_deceleration=braking) == printed(metres, 0.1)


@pytest.mark.parametrize(("mph", "metres"), [(20, 6), (30, 14), (50, 38), (70, 75)])
def test_stopping_distance_of_the_highway_code(mph: float, metres: float) -> None:
    # UK Highway Code, rule 126, braking parts (read at second hand); they follow from 6.55 m/s².
    assert stop_from(mph * MPH, brake_deceleration=6.55) == printed(metres, 1)


def test_skid() -> None:
    # UP1 m58310 (question read, answer computed): mu 0.55, 30.5 m of skid -> 18.13 m/s.
    assert stop_from(18.13, brake_deceleration=1e3, grip=0.55) == printed(30.5, 0.1)
