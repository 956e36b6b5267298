"""Speed and distance over time: how long the run takes, and where the driver lifts."""

from __future__ import annotations

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import Car
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.chart import SECOND, TARGET, Chart, Limit, Mark, Panel, Series
from pennyspeed.services.charts.views import over_time
from pennyspeed.services.prediction.forecast import Forecast


class RunTimeChart(SeriesChart):
    """Two frames over one clock."""

    NAME = "Speed and distance over time"

    def chart(self, forecast: Forecast, car: Car, found: Prediction, measures: Measures) -> Chart:
        run = over_time(found)
        speed, road = measures.speed_unit, measures.road_unit
        lift = float(run.time[run.lift])
        fastest, place = float(run.speed[run.lift]), float(run.distance[run.lift])
        moment = f"{measures.number(lift, 1)} s"
        top, where = measures.speed(KMH.from_si(fastest)), measures.road(place)
        target = forecast.build.target_kmh
        limits = (
            ()
            if target is None
            else (Limit(measures.shown(target, KMH), f"target {measures.speed(target)}", TARGET),)
        )
        whole = measures.number(float(run.time[-1]), 1)
        return Chart(
            xs=run.time,
            x_name="time",
            x_unit=SECOND,
            at="after {}",
            x_decimals=1,
            panels=(
                Panel(
                    "speed",
                    speed.symbol,
                    (Series("speed", run.speed / speed.factor),),
                    limits,
                    (Mark(lift, fastest / speed.factor, f"lift at {moment}, {top}"),),
                ),
                Panel(
                    "distance",
                    road.symbol,
                    (Series("distance", run.distance / road.factor),),
                    marks=(Mark(lift, place / road.factor, f"lift at {where}"),),
                ),
            ),
            summary=f"{top} and lift after {moment} at {where}; "
            f"at rest again after {whole} s at {measures.road(float(run.distance[-1]))}.",
            absent="at rest",
        )
