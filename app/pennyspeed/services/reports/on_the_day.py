"""On the day: where the driver stands the marker, and when the car gets there."""

from __future__ import annotations

from pennyspeed.domain.conditions import BY_KEY, OF_A_NEW_BUILD
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.services.charts.road_curves import reading_at
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import stretches
from pennyspeed.services.prediction.margin import distances, reaction_is_known
from pennyspeed.services.reports.figure_rows import FigureRow

_REACTION = BY_KEY["reaction_s"]


def day_rows(forecast: Forecast | None, measures: Measures) -> list[FigureRow]:
    """Return the figures of the run that a person takes along; none where the car stands."""
    found = None if forecast is None else forecast.prediction
    if forecast is None or found is None or found.trace is None or found.road_speed <= 0.0:
        return []
    planned = distances(forecast, measures)
    off = FigureRow(
        "throttle off", planned.said(planned.throttle_off), "Where the throttle has to be off."
    )
    if not reaction_is_known(forecast.build):
        return [FigureRow("lift marker", NOT_KNOWN, _REACTION.help), off]
    time = reading_at(found, stretches(found), found.marker_at).time
    return [
        FigureRow("lift marker", planned.said(planned.marker), "Where the driver decides to lift."),
        FigureRow("before the road’s end", planned.said(planned.road - planned.marker)),
        FigureRow("after the start", f"{measures.number(time, 1)} s"),
        off,
    ]


def day_sentence(forecast: Forecast, measures: Measures) -> str:
    """Return what to do with these figures; there have to be some."""
    build, planned = forecast.build, distances(forecast, measures)
    if not reaction_is_known(build):
        usual = measures.figure(_REACTION, OF_A_NEW_BUILD["reaction_s"])
        return f"Your reaction is not known: {usual} is usual."
    marker = f"Stand the marker at {planned.said(planned.marker)}."
    reaction = build.condition("reaction_s")
    if reaction == 0.0:
        return f"{marker} The throttle has to be off right there."
    needs = f"Your thumb needs {measures.figure(_REACTION, reaction)}"
    if planned.marker == 0:
        return f"{needs}: the run is over before you can react."
    return f"{marker} {needs}: the car slows {planned.said(planned.reaction)} further on."
