"""What is typed about exchange rates: each rate of a build anew, and one more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import iso, read_day, say_day
from pennyspeed.domain.money.orders import Rate
from pennyspeed.services.editing.amounts import read_currency, read_rate
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.line_changes import LineChange
from pennyspeed.services.money.money_words import plain


def form_fields(build: Build, measures: Measures, today: date) -> list[FormField]:
    """Return a field for each rate of a build, and those of one more: the one that is missing."""
    used = [line.currency for line in build.lines] + [one.currency for one in build.orders]
    known = {"", build.currency, *(rate.currency for rate in build.rates)}
    missing = next((code for code in used if code not in known), "")
    such_as = "EUR" if build.currency == "USD" else "USD"
    worth = f"{build.currency} for one"
    return [
        *(
            FormField(f"rate {i}", _label(rate), f"{worth} {rate.currency}; empty it to take it "
                      "away.", plain(rate.rate, measures))
            for i, rate in enumerate(build.rates)
        ),
        FormField("currency", "another currency", f"Three letters such as {such_as}.", missing,
                  f"such as {such_as}"),
        FormField("rate", "is worth", f"{worth} of it.", "", build.currency),
        FormField("on", "on the day", "Of that rate.", iso(today)),
        FormField("source", "as said by", "Where the rate is from.", "", "nobody noted"),
    ]  # fmt: skip


def rates_typed(
    texts: Mapping[str, str], rates: tuple[Rate, ...], build: Build, measures: Measures
) -> LineChange:
    """Return the change that stores rates as they are typed; an empty one is taken away.

    `rates` are those that the fields were made for. BadInput has the field's label as its place.
    """
    after, changed = build, []
    for i, old in enumerate(rates):
        text = texts[f"rate {i}"]
        if not text:
            after = after.without_rate(old.currency, old.on)
            changed.append(old.currency)
        elif text != plain(old.rate, measures):
            after = after.with_rate(replace(old, rate=read_rate(text, _label(old), measures)))
            changed.append(old.currency)
    if texts["rate"]:
        place = "another currency"
        currency = read_currency(texts["currency"], build.currency, place)
        if not currency:
            raise BadInput(place, texts["currency"], "another one than the build's")
        rate = read_rate(texts["rate"], "is worth", measures)
        on = read_day(texts["on"], "on the day", day_order=measures.day_order) or date.today()
        after = after.with_rate(Rate(currency, rate, on, texts["source"]))
        changed.append(currency)
    names = " and ".join(dict.fromkeys(changed)) or "nothing"
    return LineChange(after, f"rate of {names}", f"put back the rate of {names}")


def _label(rate: Rate) -> str:
    return f"{rate.currency} on {say_day(rate.on)}"
