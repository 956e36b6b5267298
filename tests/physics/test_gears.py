"""Gears against constructions of their own; published pairs are in `test_check_values.py`."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, sqrt

import pytest

from pennyspeed.physics import gears


def test_ratio_and_roll_out() -> None:
    # One turn of the wheel is π D of road, shared among as many motor turns as the ratio says.
    ratio = gears.final_drive_ratio(21, 48, 2.6)
    assert ratio == pytest.approx(48 / 21 * 2.6)
    assert ratio * gears.roll_out(66.0, ratio) == pytest.approx(pi * 66.0)


def test_centre_distance_is_the_sum_of_the_pitch_radii() -> None:
    assert gears.centre_distance(0.5, 30, 81) == pytest.approx(0.5 * 30 / 2 + 0.5 * 81 / 2)


def contact_along_the_line_of_action(first: int, second: int) -> float:
    """Contact ratio by walking the line of action, module 1: the stretch inside both tip circles,
    over the base pitch."""
    angle = radians(20)
    centre = (first + second) / 2
    steps = 200_000
    reach = 4.0
    inside = 0
    for k in range(steps):
        s = -reach + 2 * reach * (k + 0.5) / steps
        x, y = first / 2 + s * sin(angle), s * cos(angle)
        if hypot(x, y) <= first / 2 + 1 and hypot(x - centre, y) <= second / 2 + 1:
            inside += 1
    return 2 * reach * inside / steps / (pi * cos(angle))


@pytest.mark.parametrize(("first", "second"), [(13, 54), (24, 48), (40, 40)])
def test_contact_ratio(first: int, second: int) -> None:
    walked = contact_along_the_line_of_action(first, second)
    assert gears.contact_ratio(first, second) == pytest.approx(walked, abs=1e-4)


def test_a_rack_just_reaches_the_base_circle_at_the_undercut_limit() -> None:
    teeth = gears.least_teeth_without_undercut()
    pitch_radius = teeth / 2
    # The rack's tip, one module inside, meets the line of action where it touches the base circle.
    touching = pitch_radius * sin(radians(20)) ** 2
    assert touching == pytest.approx(1.0)
    assert 17 < teeth < 18  # 17 teeth at 20° are cut a trace, the textbooks' well-known limit


def test_preferred_modules() -> None:  # JIS B 1701-2; ISO 54 from 1 mm up
    assert all(gears.is_preferred_module(m) for m in (0.4, 0.5, 0.6, 0.8, 1.0))
    assert not any(gears.is_preferred_module(gears.module_of_pitch(p)) for p in (32, 48, 64))
    assert not gears.is_preferred_module(0.83)
    both = gears.PREFERRED_MODULES_MM + gears.SECOND_MODULES_MM
    assert len(set(both)) == len(both)


def test_module_of_pitch() -> None:
    # As many teeth as the pitch says, on one inch of pitch diameter.
    assert gears.module_of_pitch(48) * 48 == pytest.approx(25.4)
    assert sqrt(gears.module_of_pitch(32) * 32) == pytest.approx(sqrt(25.4))
