"""Money words: how amounts, and what else is to be said of an entry of the book, are written."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Entry
from pennyspeed.domain.money.days import say_days
from pennyspeed.domain.money.lines import GONE, HERE, OPEN, Line, Status
from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.money.timeline import Span

NOT_COUNTED = "not counted"


def amount_text(amount: Decimal | None, currency: str, measures: Measures) -> str:
    """Return an amount as it is edited, to its last digit; "" is not known."""
    if amount is None:
        return ""
    exponent = amount.normalize().as_tuple().exponent
    places = max(digits(currency), -exponent if isinstance(exponent, int) else 0)
    return measures.number(amount, places)


def plain(amount: Decimal | None, measures: Measures) -> str:
    """Return a quantity without trailing zeros; "" is not known."""
    if amount is None:
        return ""
    exponent = amount.normalize().as_tuple().exponent
    return measures.number(amount, max(-exponent, 0) if isinstance(exponent, int) else 0)


def price_text(build: Build, entry: Entry, measures: Measures) -> str:
    """Return quantity and price in the line's own currency; "" where the amount says the same."""
    price, currency = build.unit_price(entry.line)
    if entry.index < 0 or price is None:
        return ""
    if entry.line.quantity == 1 and currency == build.currency:
        return ""
    text = amount_text(price, currency, measures)
    if currency != build.currency:
        text = f"{text} {currency}"
    return text if entry.line.quantity == 1 else f"{plain(entry.line.quantity, measures)} × {text}"


def notes_of(
    build: Build, entry: Entry, measures: Measures, today: date, with_share: bool = True
) -> list[str]:
    """Return what else is to be said of an entry: late, in part here, given back, its share."""
    line, order, notes = entry.line, entry.order, []
    if not entry.counts:
        notes.append(NOT_COUNTED)
    if entry.why:
        notes.append(entry.why)
    comes = build.awaited_on(line)
    if comes is not None and line.status in OPEN:
        if build.event_date is not None and build.comes_late(line):
            notes.append(f"{say_days((comes - build.event_date).days)} late")
        elif line.status is Status.ORDERED and comes < today:
            notes.append(f"{say_days((today - comes).days)} overdue")
    if line.came is not None:
        notes.append(f"{plain(line.came, measures)} of {plain(line.quantity, measures)} came")
    if line.status in GONE and line.refund is not None:
        back = amount_text(line.refund, line.currency or build.currency, measures)
        notes.append(f"{back} {line.currency or build.currency} given back")
    if with_share and entry.order_share and order is not None and entry.index >= 0:
        share = measures.money(Money(abs(entry.order_share), build.currency), False)
        verb = "with" if entry.order_share > 0 else "less"
        notes.append(f"{verb} {share} {what_costs(entry)}")
    if not line.fitted and line.status in HERE:
        notes.append("in the drawer")
    return notes


def what_costs(entry: Entry) -> str:
    """Return what an order costs beside its goods: "postage" where it is that alone."""
    order = entry.order
    assert order is not None
    words = {"postage": order.postage, "duty": order.duty, "discount": order.discount}
    given = [word for word, amount in words.items() if amount]
    return given[0] if len(given) == 1 else "order costs"


def slot_label(line: Line) -> str:
    """Return the slot of a line in words; "" for none."""
    kind = BY_KEY.get(line.part)
    return line.part if kind is None else kind.label


def step_day(span: Span) -> date:
    """Return the day on which an entry's money is added to the sums over time."""
    return span.end if span.entry.line.status is Status.PLANNED else span.start
