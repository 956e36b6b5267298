"""Speed over the road: the curve, what the car does at one place of it, table and summary."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH, RPM
from pennyspeed.physics.car import FloatArray
from pennyspeed.physics.results import Curve, Prediction
from pennyspeed.services.charts.no_curve import empty_summary
from pennyspeed.services.charts.table import Table, along, head
from pennyspeed.services.charts.views import over_time
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import BRAKING, Stretch, limit_at, said
from pennyspeed.services.reports.report import says_road


def speed_curve(
    forecast: Forecast | None, measures: Measures
) -> tuple[FloatArray, FloatArray] | None:
    """Return distances and speeds in the units shown; None where the car does not move."""
    prediction = forecast.prediction if forecast is not None else None
    if prediction is None or prediction.trace is None or prediction.road_speed <= 0.0:
        return None
    trace = prediction.trace
    return (
        np.asarray(trace.distance) / measures.road_unit.factor,
        np.asarray(trace.speed) / measures.speed_unit.factor,
    )


def road_summary(
    forecast: Forecast, measures: Measures, ghost: Forecast | None, ghost_name: str
) -> str:
    """Return the whole chart in sentences."""
    if speed_curve(forecast, measures) is None:
        return empty_summary(forecast)
    texts = says_road(forecast, measures)
    if ghost is not None and ghost.prediction is not None:
        tried = KMH.from_si(ghost.prediction.road_speed)
        speed = measures.speed_toward(tried, forecast.build.target_kmh)
        texts.append(f"with {ghost_name} {speed}" if ghost_name else f"tried {speed}")
    return "; ".join(texts) + "."


def road_table(
    forecast: Forecast, measures: Measures, ghost: Forecast | None, ghost_name: str
) -> Table | None:
    """Return time, speed, its likely range and what is tried at every place; None of no curve."""
    now, found = speed_curve(forecast, measures), forecast.prediction
    if now is None or found is None:
        return None
    speed, road = measures.speed_unit, measures.road_unit
    heads = [head("distance", road.symbol), "time [s]", head("speed", speed.symbol)]
    tried = speed_curve(ghost, measures)
    places = now[0] if tried is None else np.union1d(now[0], tried[0])
    columns = [places, along(places, now[0], over_time(found).time), along(places, *now)]
    band = forecast.band
    if band is not None:
        own = band.distance / road.factor
        for name, speeds in (("likely from", band.low), ("likely to", band.high)):
            heads.append(head(name, speed.symbol))
            columns.append(along(places, own, speeds / speed.factor))
    if tried is not None:
        heads.append(head(f"speed with {ghost_name or 'what is tried'}", speed.symbol))
        columns.append(along(places, *tried))
    return Table(tuple(heads), tuple(columns))


@dataclass(frozen=True, slots=True)
class Reading:
    """One place of the road: SI; `current` is None while braking."""

    distance: float
    time: float
    speed: float
    motor_speed: float
    current: float | None
    limit: str | None


def reading_at(prediction: Prediction, pieces: tuple[Stretch, ...], distance: float) -> Reading:
    """Return what the car does at a distance [m]; `prediction` must have a trace."""
    curve, trace = prediction.curve, prediction.trace
    assert curve is not None
    assert trace is not None
    lift = prediction.lift_at
    speed = float(np.interp(distance, trace.distance, trace.speed))
    motor_speed = float(np.interp(speed, curve.speed, curve.motor_speed))
    limit = limit_at(pieces, distance)
    under_power = min(distance, lift)
    if under_power <= curve.distance[-1]:
        time = _time_on_curve(curve, under_power)
    else:
        time = float(curve.time[-1]) + (under_power - float(curve.distance[-1])) / max(
            prediction.road_speed, 1e-9
        )
    if distance > lift:
        time += _time_between(trace.distance, trace.speed, lift, distance)
        return Reading(distance, time, speed, motor_speed, None, BRAKING)
    current = float(np.interp(distance, curve.distance, curve.current))
    return Reading(distance, time, speed, motor_speed, current, limit)


def _time_on_curve(curve: Curve, distance: float) -> float:
    """Return when the car passes a distance: time goes as the root of distance near rest."""
    return float(np.interp(math.sqrt(distance), np.sqrt(curve.distance), curve.time))


def _time_between(distances: np.ndarray, speeds: np.ndarray, start: float, end: float) -> float:
    """Return the time from `start` to `end`, speed squared taken as straight between points."""
    inside = distances[(distances > start) & (distances < end)]
    places = np.concatenate(([start], inside, [end]))
    passed = np.interp(places, distances, speeds)
    mean = 0.5 * (passed[1:] + passed[:-1])
    return float(np.sum(np.diff(places) / np.maximum(mean, 1e-6)))


def lines(reading: Reading, build: Build, measures: Measures) -> tuple[str, list[tuple[str, ...]]]:
    """Return the heading and the rows (label, value) that a reading is written in."""
    place = measures.road(reading.distance)
    heading = f"at {place}, after {measures.number(reading.time, 1)} s"
    turns = f"{measures.number(round(RPM.from_si(reading.motor_speed), -2))} rpm"
    rows: list[tuple[str, ...]] = [
        ("speed", measures.speed(KMH.from_si(reading.speed))),
        ("motor", turns)
        if reading.current is None
        else ("motor", f"{turns}, {measures.number(reading.current)} A"),
    ]
    if reading.limit == BRAKING:
        rows.append(("driver", said(build, BRAKING, measures)[0]))
    elif reading.limit is not None:
        rows.append(("held back by", said(build, reading.limit, measures)[0].removeprefix("by ")))
    return heading, rows
