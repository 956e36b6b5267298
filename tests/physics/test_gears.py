"""Gears against constructions of their own; published pairs are in `test_check_values.py`."""

from __future__ import annotations

from math import pi

import pytest

from pennyspeed.physics import gears


def test_roll_out() -> None:
    # One turn of the wheel is π D of road, shared among as many motor turns as the ratio says.
    ratio = 48 / 21 * 2.6
    assert ratio * gears.roll_out(66.0, ratio) == pytest.approx(pi * 66.0)


def test_centre_distance_is_the_sum_of_the_pitch_radii() -> None:
    assert gears.centre_distance(0.5, 30, 81) == pytest.approx(0.5 * 30 / 2 + 0.5 * 81 / 2)
