"""Builds beside each other: what each does at one place of the road, table and summary."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.road_curves import speed_curve
from pennyspeed.services.charts.table import Table, along, head
from pennyspeed.services.charts.views import over_time
from pennyspeed.services.prediction.forecast import Forecast

NO_SPEED = "no speed"


@dataclass(frozen=True, slots=True)
class Line:
    """One build's curve.

    Attributes
    ----------
    letter, name : str
        Of the first, the car now: "A" and "the car now".
    """

    letter: str
    name: str
    forecast: Forecast

    @property
    def end(self) -> float:
        """Where the car stands again [m]; 0 where it does not move."""
        found = self.forecast.prediction
        return 0.0 if found is None else found.lift_at + found.stop_distance

    def speed_at(self, distance: float, measures: Measures) -> str:
        """Return how fast it is at a place of the road [m]; beyond its stop there is no speed."""
        found = self.forecast.prediction
        trace = None if found is None else found.trace
        if trace is None or distance > float(trace.distance[-1]):
            return NO_SPEED
        return measures.speed(KMH.from_si(float(np.interp(distance, trace.distance, trace.speed))))


def beside_summary(lines: Sequence[Line], measures: Measures) -> str:
    """Return the speed of every build in sentences."""
    texts = []
    for line in lines:
        found, goal = line.forecast.prediction, line.forecast.build.target_kmh
        speed = NO_SPEED
        if found is not None:
            speed = measures.speed_toward(KMH.from_si(found.road_speed), goal)
        texts.append(f"{line.letter}, {line.name}: {speed}")
    return "; ".join(texts)


def beside_table(lines: Sequence[Line], measures: Measures) -> Table | None:
    """Return speed and time of every build at every place where one of them has a point."""
    moving = [
        (line, curve, over_time(line.forecast.prediction).time)
        for line in lines
        if (curve := speed_curve(line.forecast, measures)) is not None
        and line.forecast.prediction is not None
    ]
    if not moving:
        return None
    places: FloatArray = reduce(np.union1d, (curve[0] for _, curve, _ in moving))
    heads, columns = [head("distance", measures.road_unit.symbol)], [places]
    for line, curve, time in moving:
        who = f"{line.letter} {line.name}"
        heads += [head(f"{who}, speed", measures.speed_unit.symbol), f"{who}, time [s]"]
        columns += [along(places, *curve), along(places, curve[0], time)]
    return Table(tuple(heads), tuple(columns))
