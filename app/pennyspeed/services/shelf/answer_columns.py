"""The shelf's columns of answers: their keys, titles and help."""

from __future__ import annotations

from pennyspeed.services.shelf.stock import Column

BAND, SPEED, GAIN, CHANCE = "band", "speed", "gain", "chance"
PRICE, CHANGE, LEFT, CHECK = "price", "change", "left", "check"
BEST_FIRST = (BAND, SPEED, GAIN, CHANCE, LEFT)
"""Columns of which more is better."""


def answer_columns(unit: str, currency: str, aimed: bool, capped: bool) -> list[Column]:
    """Return the columns that say what the whole car would do.

    `unit` is that of speed; the build has a target where it is `aimed`, a cap where it is `capped`.
    """
    columns = [
        Column(BAND, "likely range", "Eight of ten such cars end up between the end ticks."),
        Column(SPEED, unit, f"What the car would reach on this road, in {unit}."),
        Column(GAIN, "change", f"How much faster or slower than now, in {unit}."),
    ]
    if aimed:
        help = "How many of 100 cars built from such figures reach the target."
        columns.append(Column(CHANCE, "chance %", help))
    columns += [
        Column(PRICE, currency, f"Its latest price in {currency}, by the build’s exchange rates."),
        Column(CHANGE, f"± {currency}", "What the build would cost more or less with it."),
    ]
    if capped:
        columns.append(Column(LEFT, "left", "What would be left of the cap with it."))
    help = "The worst of the checks that this choice has to do with."
    columns.append(Column(CHECK, "worst check", help, numeric=False))
    return columns
