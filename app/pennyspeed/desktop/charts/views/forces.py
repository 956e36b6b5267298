"""Forces over speed: what each limit lets through to the wheels, against what holds the car."""

from __future__ import annotations

import numpy as np

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import LIMIT_NAMES, Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import (
    NOW,
    OTHER,
    TOO_FAST,
    Chart,
    Mark,
    Panel,
    Series,
    Stroke,
)
from pennyspeed.services.charts.views import forces_over_speed
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import said

LIMITS: dict[str, Stroke] = {
    "voltage": Stroke(1.5, "ink2"),
    "current": Stroke(1.5, "ink2", (7, 3)),
    "pack": Stroke(1.5, "ink2", (12, 4, 2, 4)),
    "grip": Stroke(1.5, "ink2", (4, 2)),
    "driver": Stroke(1.5, "ink2", (2, 3)),
}
"""Lines of the limits; the driver is dotted here as along the road."""
HOLDING: dict[str, Stroke] = {
    "drag": Stroke(1.25, "line"),
    "rolling": Stroke(1.25, "line", (7, 3)),
    "grade": Stroke(1.25, "line", (2, 3)),
}
HEADROOM = 1.3
"""How far the axis reaches over the strongest push; what a limit allows beyond is left out."""


class ForcesChart(SeriesChart):
    """Push and resistance in one frame, with a ring where one limit hands over to the next."""

    NAME = "Forces over speed"

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        view = forces_over_speed(car, found)
        unit = measures.speed_unit
        series = [
            Series("push at the wheels", view.force, NOW, "push at the wheels", 1),
            Series("all that holds it", view.resistance, OTHER, "all that holds it", 1),
        ]
        for limit in LIMIT_NAMES:
            label = said(forecast.build, limit, measures)[0].removeprefix("by ")
            series.append(
                Series(f"{limit} allows", getattr(view, limit), LIMITS[limit], label, 1,
                       has_ghost=False)
            )  # fmt: skip
        for name, stroke in HOLDING.items():
            values = getattr(view, name)
            word = "slope" if name == "grade" else name
            if name != "grade" or np.any(values):
                series.append(Series(word, values, stroke, word, 1, has_ghost=False))
        marks, said_so = [], []
        for one in view.crossings:
            speed = measures.speed(KMH.from_si(one.speed))
            marks.append(Mark(one.speed / unit.factor, one.force, f"{one.text}, {speed}"))
            said_so.append(f"{one.text} at {speed}, {measures.number(one.force, 1)} N")
        finite = view.force[np.isfinite(view.force)]
        return Chart(
            xs=view.speed / unit.factor,
            x_name="speed",
            x_unit=unit,
            at="at {}",
            panels=(
                Panel(
                    "force at the wheels",
                    "N",
                    tuple(series),
                    marks=tuple(marks),
                    bottom=min(0.0, *(float(one.min()) for one in (view.grade, view.resistance))),
                    top=HEADROOM * max(float(finite.max()), float(view.resistance.max())),
                ),
            ),
            summary="; ".join(said_so) + ".",
            absent="no limit here",
            beyond=TOO_FAST,
        )
