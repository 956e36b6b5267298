"""Rows of offers: who sells a part, for how much, how many there are, and how old that is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.offers import STALE_AFTER_DAYS, stale
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.money_words import amount_text
from pennyspeed.services.table_rows import Cell, ColumnHead, TableRow

KEYS = ("supplier", "price", "in_stock", "lead_days", "on", "age", "link")
HEADS = (
    ColumnHead("shop", "Who asks that price."),
    ColumnHead("price", "Of one; a currency may follow, such as 12.50 USD.", True),
    ColumnHead("in stock", "How many are to be had.", True),
    ColumnHead("days", "From order to arrival, as said with the price.", True),
    ColumnHead("seen on", "The day of the price.", True),
    ColumnHead(
        "", f"Whether it is older than {STALE_AFTER_DAYS} days and has to be asked for again."
    ),
    ColumnHead("link", "Where it is offered.", grows=True),
)
DRAFT = "draft"


def say_age(price: Price, today: date) -> str:
    """Return how old a price is, and that it is too old where it is."""
    age = (today - price.on).days
    if age <= 0:
        return "today"
    return f"{say_days(age)} old"


def offer_rows(
    offers: Sequence[Price], own: Price | None, measures: Measures, today: date
) -> list[TableRow]:
    """Return a row for each offer; `own` is the one that builds take."""
    return [TableRow(one.supplier, _cells(one, one == own, measures, today)) for one in offers]


def _cells(price: Price, is_own: bool, measures: Measures, today: date) -> tuple[Cell, ...]:
    stock = "" if price.in_stock is None else str(price.in_stock)
    days = "" if price.lead_days is None else str(price.lead_days)
    currency = price.amount.currency
    typed = f"{amount_text(price.amount.amount, currency, measures)} {currency}"
    is_old = stale(price, today)
    return (
        Cell(price.supplier or "nobody named", typed=price.supplier, tone="strong"),
        Cell(measures.money(price.amount), typed=typed, tone="strong" if is_own else ""),
        Cell(stock or "not known", typed=stock, tone="" if stock else "quiet"),
        Cell(days or "not known", typed=days, tone="" if days else "quiet"),
        Cell(say_day(price.on, today), typed=price.on.isoformat()),
        Cell(say_age(price, today), Level.WARN if is_old else None),
        Cell(price.link, typed=price.link),
    )


def draft_row(draft: Mapping[str, str]) -> TableRow:
    """Return the row of an offer that has no price yet, of which so much is typed."""
    cells = [Cell(draft.get(key, ""), typed=draft.get(key, "")) for key in KEYS]
    cells[KEYS.index("age")] = Cell("a price is needed", Level.UNKNOWN)
    return TableRow(DRAFT, tuple(cells))
