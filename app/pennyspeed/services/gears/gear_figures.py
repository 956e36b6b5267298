"""Gear figures: cells of a gear chart worked out one by one, as taking the pair then shows them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.units import RPM
from pennyspeed.physics.predict import predict
from pennyspeed.services.gears.gear_chart import GearChart


def exact(chart: GearChart, cells: Iterable[tuple[int, int]]) -> GearChart:
    """Return the chart with the speeds, turns and temperatures of some cells worked out exactly.

    A chart's own figures come from one batch and are within 1e-3; a digit may round the other way.
    Some 0.5 ms a cell. Each is named by the places of its pinion and its spur.
    """
    speed, rpm, celsius = (
        table.copy() for table in (chart.speed, chart.motor_rpm, chart.motor_celsius)
    )
    start = chart.candidates.trials.original.condition("motor_temperature_c")
    for cell in cells:
        car = assemble(chart.build(*cell))
        if car is None:
            continue
        found = predict(car)
        speed[cell] = found.road_speed
        rpm[cell] = (
            math.nan if found.at_top is None else RPM.from_si(float(found.at_top.motor_speed))
        )
        if not math.isnan(celsius[cell]):
            celsius[cell] = start + found.motor_rise
    return replace(chart, speed=speed, motor_rpm=rpm, motor_celsius=celsius)
