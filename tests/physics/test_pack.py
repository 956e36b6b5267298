"""The cell's open-circuit voltage. Common practice, no source; published cells beside it are in
`test_check_values.py`."""

from __future__ import annotations

import numpy as np
import pytest

from pennyspeed.physics.pack import OPEN_CIRCUIT_V, open_circuit_voltage


def test_full_nominal_and_empty() -> None:  # common practice, no source: 4.2 V full, 3.8 V stored
    assert open_circuit_voltage(1.0) == 4.20
    assert open_circuit_voltage(0.5) == pytest.approx(3.82)
    assert open_circuit_voltage(0.0) == 3.27


def test_a_rested_cell_has_its_volts_at_every_tenth() -> None:
    """Common practice, from memory; a hundredth of a volt is a quarter of a percent of speed."""
    volts = [open_circuit_voltage(tenth / 10) for tenth in range(11)]
    assert volts == pytest.approx(
        [3.27, 3.69, 3.73, 3.77, 3.79, 3.82, 3.87, 3.95, 4.03, 4.10, 4.20]
    )


@pytest.mark.parametrize("step", range(10))
def test_linear_between_the_points(step: int) -> None:
    low, high = OPEN_CIRCUIT_V[step], OPEN_CIRCUIT_V[step + 1]
    assert open_circuit_voltage((step + 0.25) / 10) == pytest.approx(0.75 * low + 0.25 * high)


def test_never_falls_as_the_charge_rises() -> None:
    volts = open_circuit_voltage(np.linspace(0, 1, 1001))
    assert (np.diff(volts) > 0).all()


@pytest.mark.parametrize("state", [-0.5, 0.0, 1.0, 1.5])
def test_held_outside_the_table(state: float) -> None:
    assert open_circuit_voltage(state) == OPEN_CIRCUIT_V[0 if state <= 0 else -1]


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_arrays_agree_with_floats_and_keep_their_precision(dtype: type) -> None:
    states = np.array([-0.1, 0.0, 0.04, 0.37, 0.5, 0.999, 1.0, 1.2], dtype)
    volts = open_circuit_voltage(states)
    assert volts.dtype == dtype
    np.testing.assert_allclose(volts, [open_circuit_voltage(float(s)) for s in states], rtol=1e-6)


def test_a_float_stays_one() -> None:
    assert type(open_circuit_voltage(0.3)) is float
