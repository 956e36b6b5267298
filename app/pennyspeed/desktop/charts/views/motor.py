"""The motor over the speed of the car: how fast, how hard and how well it works, with ratings."""

from __future__ import annotations

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import NOW, OTHER, TOO_FAST, Chart, Limit, Panel, Series
from pennyspeed.services.charts.views import motor_over_speed
from pennyspeed.services.prediction.forecast import Forecast


class MotorChart(SeriesChart):
    """Four frames over one speed."""

    NAME = "The motor over the speed of the car"

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        view = motor_over_speed(forecast.build, car, found)
        unit = measures.speed_unit
        number = measures.number

        def ratings(*named: tuple[str, float | None, str]) -> tuple[Limit, ...]:
            return tuple(
                Limit(value, f"{what} {number(value)} {symbol}")
                for what, value, symbol in named
                if value is not None
            )

        best = int(view.efficiency.argmax())
        percent = 100.0 * view.efficiency
        return Chart(
            xs=view.speed / unit.factor,
            x_name="speed",
            x_unit=unit,
            at="at {}",
            columns=2,
            panels=(
                Panel(
                    "motor speed",
                    "rpm",
                    (Series("motor speed", view.rpm, nearest=100.0),),
                    ratings(("rated", view.rated_rpm, "rpm")),
                ),
                Panel(
                    "motor current",
                    "A",
                    (Series("motor current", view.current),),
                    ratings(
                        ("all the time", view.continuous_current, "A"),
                        ("for a moment", view.peak_current, "A"),
                    ),
                ),
                Panel(
                    "power",
                    "W",
                    (
                        Series("into the motor", view.electric_power, NOW, "into the motor"),
                        Series(
                            "at its shaft", view.shaft_power, OTHER, "at its shaft", has_ghost=False
                        ),
                    ),
                ),
                Panel("efficiency of the motor", "%", (Series("efficiency", percent),)),
            ),
            summary=f"At {measures.speed(KMH.from_si(float(view.speed[-1])))} the motor turns "
            f"{number(round(float(view.rpm[-1]), -2))} rpm; "
            f"most current {number(float(view.current.max()))} A, "
            f"most power {number(float(view.electric_power.max()))} W, best efficiency "
            f"{number(float(percent[best]))} % at "
            f"{measures.speed(KMH.from_si(float(view.speed[best])))}.",
            beyond=TOO_FAST,
        )
