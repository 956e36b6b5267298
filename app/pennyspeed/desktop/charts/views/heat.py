"""Charge and motor temperature over the run, from the start to the lift point."""

from __future__ import annotations

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.domain.checks.limits import MOST_MOTOR_CELSIUS
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import SECOND, Chart, Limit, Mark, Panel, Series
from pennyspeed.services.charts.views import state_over_run
from pennyspeed.services.prediction.forecast import Forecast

LEAST_PERCENT, LEAST_KELVIN = 1.0, 2.0
"""What the axes show at least; less would make much of nothing."""


class HeatChart(SeriesChart):
    """Two frames over one clock."""

    NAME = "Charge and motor temperature over the run"

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        view = state_over_run(car, found)
        charge = 100.0 * view.state_of_charge
        end, left, hot = (float(one[-1]) for one in (view.time, charge, view.motor_celsius))
        number = measures.number
        most = f"should stay under {number(MOST_MOTOR_CELSIUS)} °C"
        moment = f"{number(end, 1)} s"
        return Chart(
            xs=view.time,
            x_name="time",
            x_unit=SECOND,
            at="after {}",
            x_decimals=1,
            panels=(
                Panel(
                    "charge in the pack",
                    "%",
                    (Series("charge", charge, decimals=1),),
                    marks=(Mark(end, left, f"{number(left, 1)} % at the lift point"),),
                    bottom=min(left, float(charge[0]) - LEAST_PERCENT),
                    top=float(charge[0]),
                    from_zero=False,
                ),
                Panel(
                    "motor temperature",
                    "°C",
                    (Series("motor", view.motor_celsius, decimals=1),),
                    (Limit(MOST_MOTOR_CELSIUS, most),),
                    (Mark(end, hot, f"{number(hot, 1)} °C at the lift point"),),
                    top=max(hot, float(view.motor_celsius[0]) + LEAST_KELVIN),
                    from_zero=False,
                ),
            ),
            summary=f"From {number(float(charge[0]), 1)} % to {number(left, 1)} % charge and from "
            f"{number(float(view.motor_celsius[0]), 1)} °C to {number(hot, 1)} °C in the {moment} "
            "to the lift point.",
            absent="lifted",
        )
