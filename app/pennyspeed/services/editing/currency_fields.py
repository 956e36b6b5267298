"""What is typed to change a build's currency: the new one, the rates that it needs, the cap."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import iso, read_day
from pennyspeed.domain.money.money import Money, checked_currency
from pennyspeed.domain.money.orders import Rate
from pennyspeed.services.editing.amounts import read_money, read_rate
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.currency import (
    known_rate,
    missing_rates,
    needs_rate,
    with_currency,
)
from pennyspeed.services.money.line_changes import LineChange
from pennyspeed.services.money.money_words import amount_text, plain

CURRENCY = "currency"


def form_fields(
    build: Build, measures: Measures, today: date, cap: Money | None = None
) -> list[FormField]:
    """Return the fields; `cap` is one that was typed in another currency."""
    code = build.currency if cap is None else cap.currency
    fields = [FormField(CURRENCY, CURRENCY, "Three letters such as GBP.", code)]
    home = build.currency
    if needs_rate(build):
        known = plain(known_rate(build, code), measures) if code != home else ""
        help = f"What one {home} is in the new currency."
        fields.append(FormField("rate", _label(home), help, known, "in the new currency"))
    fields += [
        FormField(f"rate {one}", _label(one), "In the new currency.", "", "not known yet")
        for one in missing_rates(build, code)
    ]
    if len(fields) > 1:
        fields += [
            FormField("on", "on the day", "Of these rates.", iso(today)),
            FormField("source", "as said by", "Where the rates are from.", "", "nobody noted"),
        ]
    text = "" if cap is None else amount_text(cap.amount, code, measures)
    help = "In the new currency; empty converts it at the rate."
    hint = "none"
    if build.cap is not None:
        hint = measures.money(build.cap)
        hint += ", converted" if needs_rate(build) else " so far"
    fields.append(FormField("cap", "cap", help, text, hint))
    return fields


def currency_typed(texts: Mapping[str, str], build: Build, measures: Measures) -> LineChange:
    """Return the change as it is typed; BadInput has the field's label as its place."""
    home = build.currency
    code = checked_currency(texts[CURRENCY].upper(), CURRENCY)
    on = read_day(texts.get("on", ""), "on the day", day_order=measures.day_order) or date.today()
    cap = read_money(texts["cap"], code, "cap", measures) if texts["cap"] else None
    if cap is not None and cap.currency != code:
        raise BadInput("cap", texts["cap"], f"an amount in {code}")
    rate, typed = None, texts.get("rate", "")
    if code != home and "rate" in texts:
        expected = f"what one {home} is in {code}, more than 0"
        worth = read_rate(typed, _label(home), measures, expected)
        rate = Rate(home, worth, on, texts["source"])
    elif code != home and build.cap is not None and cap is None:
        raise BadInput("cap", "", f"an amount in {code}")
    after = with_currency(build, code, rate, cap)
    for one in missing_rates(build, code):
        text = texts.get(f"rate {one}", "")
        if text:
            worth = read_rate(text, _label(one), measures)
            after = after.with_rate(Rate(one, worth, on, texts["source"]))
    told = f": 1 {home} is {typed} {code}" if rate is not None else ""
    return LineChange(after, f"counts in {code}{told}", f"counts in {home} again")


def _label(code: str) -> str:
    return f"1 {code} is"
