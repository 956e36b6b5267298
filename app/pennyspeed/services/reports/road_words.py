"""Road words: the run over the road in sentences, for a screen reader and for paper."""

from __future__ import annotations

from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import BRAKING, said, stretches
from pennyspeed.services.reports.report import says_range, says_speed


def says_road(forecast: Forecast, measures: Measures) -> list[str]:
    """Return what a plot of speed over the road shows, phrase by phrase; the car has to move."""
    prediction, build = forecast.prediction, forecast.build
    assert prediction is not None
    road = measures.road(build.condition("road_m"))
    texts = [
        f"{says_speed(forecast, measures)} in this road of {road}",
        f"lift at {measures.road(prediction.lift_at)}",
    ]
    if build.target_kmh is not None:
        texts.append(f"target {measures.target(build.target_kmh)}")
    if forecast.band is not None:
        texts.append(f"likely range, 8 in 10, {says_range(forecast.band, measures)}")
    for piece in stretches(prediction):
        held = said(build, piece.limit, measures)[0]
        begin = "" if piece.limit == BRAKING else "held back "
        texts.append(f"{begin}{held} to {measures.road(piece.end)}")
    return texts
