"""Rows of the agenda: what is open, overdue or missing, and how far each day is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pennyspeed.domain.checks import Level
from pennyspeed.domain.money.calendar import Item, ItemKind
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.services.table_rows import Cell, ColumnHead, TableRow

HEADS = (
    ColumnHead("", "What kind of day it is."),
    ColumnHead("day", "When something is to be done, or comes.", True),
    ColumnHead("left", "From today."),
    ColumnHead("what", "What to do, or what happens.", grows=True),
)
SOON_DAYS = 7
"""An order that is due within so many days is marked (own judgement)."""
EMPTY = (
    "Nothing is open. What is planned or ordered stands here once the speed day in the top line is "
    "set, or a day is known on which it comes."
)


def level_of(item: Item, today: date) -> Level | None:
    """Return the sign of an item; None for the event itself."""
    match item.kind:
        case ItemKind.OVERDUE:
            return Level.STOP
        case ItemKind.LATE:
            return Level.WARN
        case ItemKind.ORDER_BY:
            is_soon = item.day is not None and (item.day - today).days <= SOON_DAYS
            return Level.WARN if is_soon else Level.OK
        case ItemKind.ARRIVES:
            return Level.OK
        case ItemKind.EVENT:
            return None
        case _:
            return Level.UNKNOWN


def say_left(day: date | None, today: date) -> str:
    """Return how far a day is.

    >>> say_left(date(2027, 3, 4), date(2027, 3, 3)), say_left(None, date(2027, 3, 3))
    ('in a day', '')
    """
    if day is None:
        return ""
    left = (day - today).days
    if left == 0:
        return "today"
    return f"in {say_days(left)}" if left > 0 else f"{say_days(-left)} ago"


KIND_WORDS = {
    ItemKind.OVERDUE: "overdue",
    ItemKind.LATE: "too late",
    ItemKind.ORDER_BY: "to order",
    ItemKind.ARRIVES: "to come",
    ItemKind.NO_DAY: "without a day",
    ItemKind.NO_PRICE: "without a price",
}


def agenda_summary(items: Sequence[Item], today: date) -> str:
    """Return the day that it is, and how much of each kind is open."""
    counts = {kind: sum(item.kind is kind for item in items) for kind in KIND_WORDS}
    texts = [f"{count} {KIND_WORDS[kind]}" for kind, count in counts.items() if count]
    return f"today, {say_day(today, today)} · " + (", ".join(texts) or "nothing is open")


def agenda_rows(items: Sequence[Item], today: date) -> list[TableRow]:
    return [TableRow((item.kind, item.index, item.what), _cells(item, today)) for item in items]


def _cells(item: Item, today: date) -> tuple[Cell, ...]:
    day = "no day" if item.day is None else say_day(item.day, today)
    is_event = item.kind is ItemKind.EVENT
    return (
        Cell(item.kind.value, level_of(item, today), tone="strong" if is_event else ""),
        Cell(day, tone="quiet" if item.day is None else "strong"),
        Cell(say_left(item.day, today)),
        Cell(item.text),
    )
