"""Cooling between runs, against the differential equation."""

from __future__ import annotations

from math import e, inf

import pytest
from scipy.integrate import solve_ivp

from pennyspeed.physics.cooling import TIME_CONSTANT_S, pause_until


def test_it_solves_newtons_law_of_cooling() -> None:
    solved = solve_ivp(
        lambda _, warm: -(warm - 17.0) / 600.0, (0.0, 2000.0), [96.0], rtol=1e-10, atol=1e-10
    )
    for seconds, warm in zip(solved.t, solved.y[0], strict=True):
        assert pause_until(warm, 96.0, 17.0) == pytest.approx(seconds, abs=1e-5)


def test_one_time_constant_leaves_one_part_in_e() -> None:
    assert TIME_CONSTANT_S == 600.0
    assert pause_until(20.0 + 80.0 / e, 100.0, 20.0) == pytest.approx(600.0)


def test_the_ends_of_the_pause() -> None:
    assert pause_until(80.0, 60.0, 20.0) == 0.0
    assert pause_until(80.0, 60.0, 90.0) == 0.0
    assert pause_until(20.0, 60.0, 20.0) == inf
    assert pause_until(15.0, 60.0, 20.0) == inf
