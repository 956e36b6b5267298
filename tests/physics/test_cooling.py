"""Cooling between runs, against the closed form and against a maker's thermal figures."""

from __future__ import annotations

from math import e, inf

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pennyspeed.physics.cooling import TIME_CONSTANT_S, cooled, pause_until


@pytest.mark.parametrize(
    ("seconds", "rise"), [(60.0, 4.881840), (600.0, 32.427785), (1800.0, 48.745924)]
)
def test_first_order_rise_of_a_motor(seconds: float, rise: float) -> None:
    """A small motor's data sheet: 17.1 K/W, 600 s; with 3 W it strives to 51.3 K above the room.

    The law is the same one up or down: by how much the body differs from where it ends. The values
    are the published formula R P (1 - exp(-t/tau)) evaluated.
    """
    assert cooled(0.0, 17.1 * 3.0, seconds, 600.0) == pytest.approx(rise, abs=1e-6)


def test_it_solves_newtons_law_of_cooling() -> None:
    solved = solve_ivp(
        lambda _, warm: -(warm - 17.0) / 450.0, (0.0, 2000.0), [96.0], rtol=1e-10, atol=1e-10
    )
    for seconds, warm in zip(solved.t, solved.y[0], strict=True):
        assert cooled(96.0, 17.0, float(seconds), 450.0) == pytest.approx(warm, abs=1e-6)


def test_one_time_constant_leaves_one_part_in_e() -> None:
    assert TIME_CONSTANT_S == 600.0
    assert cooled(100.0, 20.0, 600.0) - 20.0 == pytest.approx(80.0 / e)
    assert cooled(100.0, 20.0, 0.0) == 100.0
    assert cooled(100.0, 20.0, 1e6) == pytest.approx(20.0)


def test_two_pauses_are_one() -> None:
    assert cooled(cooled(90.0, 5.0, 100.0), 5.0, 250.0) == pytest.approx(cooled(90.0, 5.0, 350.0))


def test_the_pause_is_the_inverse() -> None:
    for target in np.linspace(21.0, 99.0, 9).tolist():
        pause = pause_until(target, 100.0, 20.0, 480.0)
        assert cooled(100.0, 20.0, pause, 480.0) == pytest.approx(target)


def test_the_ends_of_the_pause() -> None:
    assert pause_until(80.0, 60.0, 20.0) == 0.0
    assert pause_until(80.0, 60.0, 90.0) == 0.0
    assert pause_until(20.0, 60.0, 20.0) == inf
    assert pause_until(15.0, 60.0, 20.0) == inf
