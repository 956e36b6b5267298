"""What people at the track see with plausible parts. Common practice, no source."""

from __future__ import annotations

import pytest

from pennyspeed.physics.car import Car
from pennyspeed.physics.predict import predict
from physics.cars import RPM_PER_VOLT, make_car

MPH = 0.44704


def bought_ready(cells: int, pinion: int) -> Car:
    """A cheap 1:10 car as it comes, on plain packs; a spur of 54 teeth, internal ratio 2.6."""
    return make_car(
        mass=1.55 + 0.11 * cells,
        gear_ratio=54 / pinion * 2.6,
        kv=4150 * RPM_PER_VOLT,
        motor_resistance=0.022,
        no_load_current=3.5,
        drivetrain_efficiency=0.88,
        cells_series=cells,
        pack_resistance=0.007 * cells,
        tyre_diameter=0.0645,
        growth=0.0,
        drag_coefficient=0.48,
        frontal_area=0.027,
        rolling=0.025,
    )


def test_two_cells_to_three_to_two_more_teeth() -> None:
    two, three, geared_up = (
        predict(bought_ready(cells, pinion)).top_speed / MPH
        for cells, pinion in ((2, 24), (3, 24), (3, 26))
    )
    assert two == pytest.approx(43, abs=1)
    assert three == pytest.approx(60, abs=3)
    assert geared_up - three == pytest.approx(4, abs=2)
