"""What is said in place of a curve: what is missing, or why the car stands."""

from __future__ import annotations

from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.services.prediction.forecast import Forecast


def empty_summary(forecast: Forecast) -> str:
    """Return :func:`empty_words` as sentences."""
    return ". ".join(part.rstrip(".") for part in empty_words(forecast)) + "."


def empty_words(forecast: Forecast) -> tuple[str, str]:
    """Return heading and sentence for a chart without a curve: what is missing, or why."""
    missing = [BY_KEY[slot].label for slot in forecast.build.empty_slots]
    if len(missing) == 1:
        return f"No {missing[0]} yet", "Choose one from the shelf and the curve appears here."
    if missing:
        listed = ", ".join(missing[:-1]) + f" and {missing[-1]}"
        few = len(missing) <= 2
        heading = f"No {missing[0]} and no {missing[1]} yet" if few else "Not a whole car yet"
        rest = "Choose them from the shelf" if few else f"Still missing: {listed}"
        return heading, f"{rest}, and the curve appears here." if few else f"{rest}."
    if forecast.prediction is None:
        return "This car weighs nothing yet", "Give its parts their masses to see how fast it is."
    if forecast.build.condition("road_m") <= 0.0:
        return "There is no road", "Give the road a length in the top line."
    for check in forecast.checks:
        if check.code == "cannot-move" and check.level is Level.STOP:
            return "This car does not move", " ".join(t for t in (check.text, check.advice) if t)
    return "This car does not move", "What drives it is no stronger than what holds it back."
