"""What people at the track see with plausible parts. Common practice, no source."""

from __future__ import annotations

import pytest

from pennyspeed.domain.estimates.work_out import with_worked_out
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import MICROHENRY
from pennyspeed.physics.car import Car
from pennyspeed.physics.predict import predict
from physics.cars import RPM_PER_VOLT, make_car

MPH = 0.44704


def bought_ready(cells: int, pinion: int, has_inductance: bool = True) -> Car:
    """A cheap 1:10 car as it comes, on plain packs; a spur of 54 teeth, internal ratio 2.6.

    Its seller says nothing of inductance, so that is worked out.
    """
    said = Part("motor", "as it comes", {"kv_rpm_per_v": 4150.0, "resistance_mohm": 22.0})
    worked_out = with_worked_out(said).figures["inductance_uh"]
    return make_car(
        mass=1.55 + 0.11 * cells,
        gear_ratio=54 / pinion * 2.6,
        kv=4150 * RPM_PER_VOLT,
        motor_resistance=0.022,
        no_load_current=3.5,
        inductance=MICROHENRY.to_si(worked_out) if has_inductance else 0.0,
        pole_pairs=2.0,
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
        for cells, pinion in ((2, 25), (3, 25), (3, 27))
    )
    assert two == pytest.approx(43, abs=1)
    assert three == pytest.approx(60, abs=2)
    assert geared_up - three == pytest.approx(4, abs=2)
    assert predict(bought_ready(3, 25, has_inductance=False)).top_speed / MPH > 62
