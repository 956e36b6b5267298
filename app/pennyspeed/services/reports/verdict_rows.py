"""Rows of the verdict: speed, likely range, chance, what holds the car back, and money."""

from __future__ import annotations

from pennyspeed.domain.measures import Measures, say_chance
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.parts.glossary import explain
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.services.money.status_circles import sums_by_circle
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import OF_THE_DRIVER, stretches
from pennyspeed.services.reports.figure_rows import FigureRow
from pennyspeed.services.reports.report import held_back_by

NO_FIGURE = "–"


def speed_text(forecast: Forecast | None, measures: Measures) -> str:
    """Return the speed on this road, without its unit."""
    if forecast is None or forecast.prediction is None:
        return NO_FIGURE
    speed = KMH.from_si(forecast.prediction.road_speed)
    return measures.speed_toward(speed, forecast.build.target_kmh, unit=False)


def held_by(forecast: Forecast, measures: Measures) -> str:
    """Return what holds the car back, and from where on."""
    prediction = forecast.prediction
    assert prediction is not None
    what = held_back_by(prediction).split(":")[0]
    pieces = [p for p in stretches(prediction) if p.limit not in OF_THE_DRIVER]
    at_top = prediction.at_top
    if not pieces or at_top is None or pieces[-1].start <= 0:
        return what
    limit = LIMIT_NAMES[at_top.limit]
    if pieces[-1].limit == limit and what.endswith(limit):
        return f"{what}, from {measures.road(pieces[-1].start)}"
    return what


def verdict_rows(
    forecast: Forecast | None, measures: Measures, trial: Forecast | None, tried: str
) -> list[FigureRow]:
    """Return the lines below the speed."""
    if forecast is None or forecast.prediction is None:
        return []
    rows = []
    band, target = forecast.band, forecast.build.target_kmh
    likely = NO_FIGURE
    if band is not None:
        low = measures.number(measures.shown(KMH.from_si(band.p10), KMH))
        likely = f"{low} to {measures.speed(KMH.from_si(band.p90))}"
    rows.append(FigureRow("likely range, 8 in 10", likely, explain("likely range")))
    if target is not None:
        goal = measures.target(target, unit=False)
        chance = None if band is None else band.chance
        figure = NO_FIGURE if chance is None else say_chance(chance)
        rows.append(FigureRow(f"chance of {goal}", figure, explain("chance of the target")))
    help = explain("held back by")
    rows.append(FigureRow("held back by", held_by(forecast, measures), help))
    if trial is not None and trial.prediction is not None:
        figure = speed_text(trial, measures)
        if trial.band is not None and trial.band.chance is not None:
            figure += f", {say_chance(trial.band.chance)}"
        rows.append(FigureRow(f"with {tried}", figure, "What is tried, not kept yet.", ring=True))
    return rows


def cap_words(costs: Costs, measures: Measures) -> str:
    """Return what the sum that counts is held against, to follow it."""
    if costs.cap is None:
        return f"{costs.counted.currency}, no cap"
    return f"of {measures.money(costs.cap)}"


def cost_rows(costs: Costs, measures: Measures) -> list[tuple[str, str, str]]:
    """Return circle, label and amount of each sum that counts, and of what is left."""
    rows = sums_by_circle(costs, measures)
    if costs.left is not None:
        over = costs.left.minor < 0
        amount = measures.money(-costs.left if over else costs.left, False)
        rows.append(("", "over" if over else "left", amount))
    elif costs.uncounted.minor:
        rows.append(("", "not counted", measures.money(costs.uncounted, False)))
    return rows
