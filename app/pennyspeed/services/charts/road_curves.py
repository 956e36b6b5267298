"""Speed over the road: the curve, what the car does at one place of it, table and summary."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH, RPM
from pennyspeed.physics.car import FloatArray
from pennyspeed.physics.results import Curve, LateLift, Prediction
from pennyspeed.services.charts.no_curve import empty_summary
from pennyspeed.services.charts.table import Table, along, head
from pennyspeed.services.charts.views import over_time
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import (
    BRAKING,
    OF_THE_DRIVER,
    Stretch,
    limit_at,
    said,
)
from pennyspeed.services.prediction.margin import LateRow, late_row
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


@dataclass(frozen=True, slots=True)
class LateCurve:
    """Speed over the road of a lift that is late, in the units shown.

    Attributes
    ----------
    road, beyond : pair of arrays
        Distances and speeds up to the road's end, and past it; the latter empty where it stops
        before.
    row : LateRow
        What it does, in words.
    """

    road: tuple[FloatArray, FloatArray]
    beyond: tuple[FloatArray, FloatArray]
    row: LateRow


def late_curve(
    forecast: Forecast, measures: Measures, late: LateLift | None = None
) -> LateCurve | None:
    """Return what is drawn of a late lift, as :func:`late_row` chooses it; None of nothing."""
    row = late_row(forecast, measures, late)
    if row is None:
        return None
    trace, end = row.late.trace, forecast.build.condition("road_m")
    distance, speed = np.asarray(trace.distance), np.asarray(trace.speed)
    at_end = max(float(np.interp(end, distance, speed)), 0.0)
    inside = distance < end
    factors = measures.road_unit.factor, measures.speed_unit.factor

    def shown(xs: FloatArray, ys: FloatArray) -> tuple[FloatArray, FloatArray]:
        return xs / factors[0], ys / factors[1]

    if inside.all():
        return LateCurve(shown(distance, speed), shown(distance[:0], speed[:0]), row)
    return LateCurve(
        shown(np.append(distance[inside], end), np.append(speed[inside], at_end)),
        shown(np.insert(distance[~inside], 0, end), np.insert(speed[~inside], 0, at_end)),
        row,
    )


def road_summary(
    forecast: Forecast,
    measures: Measures,
    ghost: Forecast | None,
    ghost_name: str,
    late: LateLift | None = None,
) -> str:
    """Return the whole chart in sentences."""
    if speed_curve(forecast, measures) is None:
        return empty_summary(forecast)
    texts = says_road(forecast, measures, late)
    if ghost is not None and ghost.prediction is not None:
        tried = KMH.from_si(ghost.prediction.road_speed)
        speed = measures.speed_toward(tried, forecast.build.target_kmh)
        texts.append(f"with {ghost_name} {speed}" if ghost_name else f"tried {speed}")
    return "; ".join(texts) + "."


def road_table(
    forecast: Forecast,
    measures: Measures,
    ghost: Forecast | None,
    ghost_name: str,
    late: LateLift | None = None,
) -> Table | None:
    """Return time, speed, its likely range, a late lift and what is tried at every place.

    None of no curve.
    """
    now, found = speed_curve(forecast, measures), forecast.prediction
    if now is None or found is None:
        return None
    speed, road = measures.speed_unit, measures.road_unit
    heads = [head("distance", road.symbol), "time [s]", head("speed", speed.symbol)]
    tried = speed_curve(ghost, measures)
    places = now[0] if tried is None else np.union1d(now[0], tried[0])
    later = late_curve(forecast, measures, late)
    if later is not None:
        own = np.concatenate((later.road[0], later.beyond[0][1:]))
        places = np.union1d(places, own)
    columns = [places, along(places, now[0], over_time(found).time), along(places, *now)]
    band = forecast.band
    if band is not None:
        for name, speeds in (("likely from", band.low), ("likely to", band.high)):
            heads.append(head(name, speed.symbol))
            columns.append(along(places, band.distance / road.factor, speeds / speed.factor))
    if later is not None:
        heads.append(head(f"speed {later.row.name}", speed.symbol))
        speeds = np.concatenate((later.road[1], later.beyond[1][1:]))
        columns.append(along(places, own, speeds))
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
    if reading.limit in OF_THE_DRIVER:
        rows.append(("driver", said(build, reading.limit, measures)[0]))
    elif reading.limit is not None:
        rows.append(("held back by", said(build, reading.limit, measures)[0].removeprefix("by ")))
    return heading, rows
