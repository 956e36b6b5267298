"""Rows of money: the lines of a build, and their sums by kind and by supplier, as texts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book, Entry, Sums, left_out_of
from pennyspeed.domain.money.days import MONTHS
from pennyspeed.domain.money.lines import OPEN, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.timeline import timeline
from pennyspeed.services.money.money_words import (
    NOT_COUNTED,
    notes_of,
    price_text,
    slot_label,
    step_day,
)
from pennyspeed.services.money.status_circles import sign_of
from pennyspeed.services.shelf.stock import Column

BY_DATE, AS_THEY_STAND, BY_KIND, BY_SUPPLIER = "date", "stand", "kind", "supplier"
ARRANGEMENTS = (
    (BY_DATE, "by date"),
    (AS_THEY_STAND, "as listed"),
    (BY_KIND, "by kind"),
    (BY_SUPPLIER, "by supplier"),
)
FAR_DAYS = 300
"""From here on a day and a month could be this year's or another's."""
NOT_CHOSEN, OTHER_THINGS = "not chosen", "other things"


@dataclass(frozen=True, slots=True)
class MoneyRow:
    """One row.

    Attributes
    ----------
    key : str
        By which it is found again after a change.
    cells : mapping
        Column's key to text.
    notes : tuple of str
        What else is to be said of it.
    index : int or None
        Of the build's line; None for an order on its own and for sums.
    order : str
        Reference of the order that it is in; "" for none.
    sign : str
        The circle; "" for none.
    """

    key: str
    cells: Mapping[str, str]
    notes: tuple[str, ...] = ()
    index: int | None = None
    order: str = ""
    sign: str = ""
    is_late: bool = False
    counts: bool = True


@dataclass(frozen=True)
class MoneyRows:
    """What the table shows: its columns and rows."""

    columns: tuple[Column, ...] = ()
    rows: tuple[MoneyRow, ...] = field(default_factory=tuple)


def day_short(day: date | None, today: date) -> str:
    """Return a day as a column shows it; the year only where the day is far off.

    >>> day_short(date(2027, 4, 14), date(2026, 12, 1)), day_short(date(2028, 4, 14), date.min)
    ('14 Apr', '14 Apr 2028')
    """
    if day is None:
        return ""
    text = f"{day.day} {MONTHS[day.month - 1][:3]}"
    return text if abs((day - today).days) < FAR_DAYS else f"{text} {day.year}"


def line_rows(
    build: Build, found: Book, measures: Measures, today: date, by_date: bool = True
) -> MoneyRows:
    """Return a row for every entry of the book; by date, or as the lines stand."""
    entries = list(found.entries)
    if by_date:
        days = {
            id(span.entry): step_day(span)
            for counts in (True, False)
            for span in timeline(build, found, today, counts).spans
        }
        entries.sort(key=lambda entry: days[id(entry)])
    rows, so_far = [], 0
    for entry in entries:
        so_far += entry.total if entry.counts else 0
        total = found.money(so_far) if entry.counts else None
        rows.append(_line_row(build, entry, measures, today, total))
    currency = build.currency
    columns = [
        Column("status", "status", "Where it stands.", numeric=False),
        Column("part", "part", "The slot it is for.", numeric=False),
        Column("name", "name", "What it is, and what else is to be said of it.", numeric=False),
        Column("price", "price", "How many, at what price each, in its own currency."),
        Column("from", "from", "Who sells it, and in which order.", numeric=False),
        Column("ordered", "order", "The day it was ordered."),
        Column("arrives", "arrives", "The day it is to come, or came."),
        Column("amount", currency, f"What it costs in {currency}, its share of an order included."),
        Column("so_far", "so far", "All that counts, down to this row."),
    ]
    if not any(row.cells["price"] for row in rows):
        columns = [column for column in columns if column.key != "price"]
    return MoneyRows(tuple(columns), tuple(rows))


def _line_row(
    build: Build, entry: Entry, measures: Measures, today: date, so_far: Money | None
) -> MoneyRow:
    line, order = entry.line, entry.order
    comes = build.awaited_on(line) if line.status in OPEN else build.arrived_on(line)
    is_known = entry.goods is not None or entry.total
    amount = measures.money(Money(entry.total, build.currency), False) if is_known else "?"
    supplier = entry.supplier
    is_late = line.status in OPEN and build.comes_late(line)
    is_overdue = line.status is Status.ORDERED and comes is not None and comes < today
    cells = {
        "status": line.status.value,
        "part": slot_label(line),
        "name": line.called,
        "price": price_text(build, entry, measures),
        "from": ", ".join(text for text in (supplier, line.order) if text) or NOT_CHOSEN,
        "ordered": day_short(line.ordered or (order.ordered if order else None), today),
        "arrives": day_short(comes, today),
        "amount": amount,
        "so_far": "" if so_far is None else measures.money(so_far, False),
    }
    return MoneyRow(
        f"line {entry.index}" if entry.index >= 0 else f"order {line.order}",
        cells,
        tuple(notes_of(build, entry, measures, today)),
        entry.index if entry.index >= 0 else None,
        "" if order is None else order.reference,
        sign_of(line.status),
        is_late or is_overdue,
        entry.counts,
    )


def sum_rows(found: Book, measures: Measures, by: str) -> MoneyRows:
    """Return a row of sums for every kind of part, or for every supplier."""
    groups = found.by_kind() if by == BY_KIND else found.by_supplier()
    title = "kind" if by == BY_KIND else "supplier"
    counts: dict[str, int] = {}
    lacking: dict[str, list[str]] = defaultdict(list)
    for entry in found.entries:
        key = entry.line.part if by == BY_KIND else entry.supplier
        counts[key] = counts.get(key, 0) + 1
        lacking[key].append(entry.why)
    order = list(BY_KEY) if by == BY_KIND else []

    def place(key: str) -> tuple[bool, int, str]:
        return (not key, order.index(key) if key in order else len(order), key.casefold())

    rows = tuple(
        MoneyRow(
            f"{by} {key}",
            _sum_cells(key, groups[key], counts[key], by, found, measures),
            tuple(filter(None, (left_out_of(lacking[key]),))),
        )
        for key in sorted(groups, key=place)
    )
    return MoneyRows(
        (
            Column("name", title, "What the lines have in common.", numeric=False),
            Column("lines", "lines", "How many lines there are."),
            Column("spent", "spent", "Here, or paid for and gone."),
            Column("promised", "promised", "Ordered and not here."),
            Column("planned", "planned", "Not ordered yet."),
            Column("amount", f"together, {found.currency}", "All of it that counts."),
            Column("uncounted", NOT_COUNTED, "What does not count toward the cap."),
        ),
        rows,
    )


def _sum_cells(
    key: str, sums: Sums, lines: int, by: str, found: Book, measures: Measures
) -> dict[str, str]:
    def money(minor: int) -> str:
        return measures.money(found.money(minor), False)

    if by == BY_KIND:
        name = BY_KEY[key].label if key in BY_KEY else key or OTHER_THINGS
    else:
        name = key or NOT_CHOSEN
    counted = sums.counted
    return {
        "name": name,
        "lines": str(lines),
        "spent": money(counted.spent),
        "promised": money(counted.promised),
        "planned": money(counted.planned),
        "amount": money(counted.total),
        "uncounted": money(sums.uncounted.total),
    }
