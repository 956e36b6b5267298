"""Where the power goes: what the cells give, stacked from the losses to what is left for speed."""

from __future__ import annotations

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.desktop.charts.textures import TEXTURES
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import NOW, TOO_FAST, Chart, Panel, Series
from pennyspeed.services.charts.views import STACKED, power_over_speed
from pennyspeed.services.prediction.forecast import Forecast

WORDS: dict[str, str] = {
    "pack": "heat in the pack",
    "controller": "controller",
    "winding": "motor winding",
    "no_load": "motor idling",
    "gears": "gears",
    "rolling": "rolling",
    "drag": "drag",
    "grade": "slope",
    "acceleration": "speeding up",
}
TEXTURE_OF: dict[str, str] = dict(zip(STACKED, TEXTURES, strict=True))


class PowerChart(SeriesChart):
    """One frame of layers; each has its own texture and is named beside it."""

    NAME = "Where the power goes"

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        view = power_over_speed(car, found)
        unit = measures.speed_unit
        shares = dict(view.shares)
        is_level = not shares["grade"].any()
        stack = tuple(
            Series(WORDS[name], watts, label=WORDS[name], texture=TEXTURE_OF[name])
            for name, watts in view.shares
            if not (name == "grade" and is_level)
        )
        given = measures.number(float(view.source[-1]))
        listed = ", ".join(
            f"{one.name} {measures.number(float(one.values[-1]))} W" for one in stack[:-1]
        )
        return Chart(
            xs=view.speed / unit.factor,
            x_name="speed",
            x_unit=unit,
            at="at {}",
            panels=(
                Panel(
                    "power of the cells",
                    "W",
                    (Series("the cells give", view.source, NOW, "the cells give"),),
                    stack=stack,
                ),
            ),
            summary=f"At {measures.speed(KMH.from_si(float(view.speed[-1])))} the cells give "
            f"{given} W: {listed}.",
            beyond=TOO_FAST,
        )
