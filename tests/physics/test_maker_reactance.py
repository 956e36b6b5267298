"""Rated speeds of makers' brushless motors, by the program's own motor functions.

Resistance, inductance between two leads, speed constant and both printed points are the maker's
data sheets (read); the eight pole pairs are from memory.
"""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from pennyspeed.physics.electrics import back_emf, electrics, full_throttle_current
from pennyspeed.physics.forces import forces_at
from physics.cars import RPM_PER_VOLT
from physics.test_check_values import FULL_CELL, RPM, bench_motor, rows

MOTORS = rows("maker_motors_with_inductance.csv")


def speed_at(row: dict[str, str], amperes: float, inductance: float) -> float:
    """Speed at which the motor carries a current at full throttle on the maker's bench [rpm]."""
    car = bench_motor(
        kv=float(row["speed_constant_rpm_per_v"]) * RPM_PER_VOLT,
        motor_resistance=float(row["resistance_ohm"]),
        inductance=inductance,
        pole_pairs=float(row["pole_pairs"]),
        no_load_current=float(row["no_load_current_a"]),
        no_load_voltage=float(row["volts"]),
        cells_series=float(row["volts"]) / FULL_CELL,
    )
    state = electrics(car, 1.0, 20.0)

    def excess(omega: float) -> float:
        return float(full_throttle_current(state, back_emf(car, omega, 1.0))) - amperes

    omega = float(brentq(excess, 0.0, car.kv * float(state.voltage)))
    assert forces_at(car, state, omega).voltage_current == pytest.approx(amperes)
    return omega / RPM


@pytest.mark.parametrize("row", MOTORS, ids=lambda r: r["motor"])
def test_rated_speed_needs_the_inductance(row: dict[str, str]) -> None:
    rated, amperes = float(row["rated_speed_rpm"]), float(row["rated_current_a"])
    assert speed_at(row, amperes, float(row["inductance_mh"]) * 1e-3) == pytest.approx(
        rated, rel=0.05
    )
    # U - R I alone promises 8 to 22 % more than the maker's bench gave
    assert speed_at(row, amperes, 0.0) > 1.08 * rated


@pytest.mark.parametrize("row", MOTORS, ids=lambda r: r["motor"])
def test_no_load_speed_stays_what_the_maker_prints(row: dict[str, str]) -> None:
    found = speed_at(row, float(row["no_load_current_a"]), float(row["inductance_mh"]) * 1e-3)
    assert found == pytest.approx(float(row["no_load_speed_rpm"]), rel=0.01)


@pytest.mark.parametrize(
    ("row", "reactance", "line"),
    list(zip(MOTORS, (4774, 4769, 3057), (5219, 5153, 3577), strict=True)),
)
def test_rated_speed_by_hand(row: dict[str, str], reactance: float, line: float) -> None:
    # E = U - (R + X) I with X = 3/π ω_e L/2, worked out with the maker's figures
    amperes = float(row["rated_current_a"])
    henry = float(row["inductance_mh"]) * 1e-3
    assert speed_at(row, amperes, henry) == pytest.approx(reactance, abs=2.0)
    assert speed_at(row, amperes, 0.0) == pytest.approx(line, abs=2.0)
