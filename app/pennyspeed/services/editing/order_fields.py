"""What is typed about an order: what its lines share, and which lines it gathers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import iso, read_day
from pennyspeed.domain.money.orders import Order, ShareBy
from pennyspeed.services.editing.amounts import read_amount, read_currency, read_rate
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.line_changes import LineChange, with_order
from pennyspeed.services.money.money_words import amount_text, plain

COSTS = (
    ("postage", "What sending it costs."),
    ("duty", "Customs and tax on all of it."),
    ("discount", "What is taken off all of it."),
)
DAYS = (
    ("ordered", "ordered on", "The day it was sent off; nothing while it is a plan."),
    ("expected", "expected on", "The day it is to come; lines may have their own."),
    ("arrived", "arrived on", "The day it did come."),
)
SHARES = (("value", ShareBy.VALUE.value), ("mass", ShareBy.MASS.value))


def order_gathering(build: Build, places: Sequence[int]) -> Order:
    """Return an empty order with what lines have in common, by their places in the build."""
    suppliers = {build.supplier_of(build.lines[i]) for i in places} - {""}
    currencies = {build.lines[i].currency for i in places}
    return Order(
        "",
        supplier=suppliers.pop() if len(suppliers) == 1 else "",
        currency=currencies.pop() if len(currencies) == 1 else "",
    )


def lines_said(build: Build, was: Order | None, places: Sequence[int]) -> str:
    """Say which lines an order has and gathers; `was` is None for a new one."""
    reference = None if was is None else was.reference
    names = [line.called for line in build.lines if line.order == reference]
    names += [build.lines[i].called for i in places if build.lines[i].order != reference]
    return f"of {', '.join(names)}" if names else "without lines yet"


def form_fields(order: Order, build: Build, measures: Measures) -> list[FormField]:
    """Return a field for everything that an order has."""

    def cost(key: str) -> str:
        return amount_text(getattr(order, key) or None, order.currency or build.currency, measures)

    share_help = "What decides each line's part of these costs."
    return [
        FormField("reference", "reference", "The number on the invoice, or a word.",
                  order.reference),
        FormField("supplier", "supplier", "Who sends it.", order.supplier),
        FormField("currency", "currency", "In which it is paid.", order.currency, build.currency),
        FormField("rate", "rate", f"{build.currency} for one unit of its currency on that day.",
                  plain(order.rate, measures), "the build's, of its day"),
        *(FormField(key, key, help, cost(key), measures.number(0, 2)) for key, help in COSTS),
        FormField("share_by", "shared by", share_help, order.share_by.value, choices=SHARES),
        *(
            FormField(key, label, help, iso(getattr(order, key)), "not known")
            for key, label, help in DAYS
        ),
        FormField("note", "note", "Whatever you want to remember.", order.note),
    ]  # fmt: skip


def read_order(
    texts: Mapping[str, str], was: Order | None, build: Build, measures: Measures
) -> Order:
    """Return the order that is typed in the fields, new or changed.

    BadInput has the field's label as its place.
    """
    reference = texts["reference"]
    if not reference:
        raise BadInput("reference", "", "a word or number by which you know the order")
    old = was or Order(reference)
    known = {one.reference for one in build.orders} - {was.reference if was else ""}
    if reference in known:
        raise BadInput("reference", reference, "one that no other order of this build has")
    currency = read_currency(texts["currency"], build.currency, "currency")
    typed: dict[str, Any] = {
        key: read_amount(texts[key] or "0", key, measures, Decimal(0)) for key, _ in COSTS
    }
    rate = _read_rate(texts["rate"], currency, measures)
    is_same = rate == old.rate and currency == old.currency
    for key, label, _ in DAYS:
        typed[key] = read_day(texts[key], label, day_order=measures.day_order)
    return replace(
        old,
        reference=reference,
        supplier=texts["supplier"],
        currency=currency,
        rate=rate,
        rate_on=old.rate_on if is_same else None,
        share_by=ShareBy(texts["share_by"]),
        note=texts["note"],
        **typed,
    )


def _read_rate(text: str, currency: str, measures: Measures) -> Decimal | None:
    if not text:
        return None
    if not currency:
        raise BadInput("rate", text, "nothing, as the order is in the build's own currency")
    return read_rate(text, "rate", measures, f"more than 0 for one {currency}")


def order_typed(
    texts: Mapping[str, str],
    was: Order | None,
    places: Sequence[int],
    build: Build,
    measures: Measures,
) -> LineChange:
    """Return the change that stores an order as it is typed, with the lines that it gathers."""
    order = read_order(texts, was, build, measures)
    reference = None if was is None else was.reference
    return with_order(build, order, reference, places, date.today())
