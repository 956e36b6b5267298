"""Rows of suppliers: what each adds to a price, and how long it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.calendar import Arrival
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.services.money.money_words import amount_text, plain
from pennyspeed.services.table_rows import Cell, ColumnHead, TableRow

KEYS = ("name", "lead_days", "learned", "postage", "free_from", "duty", "currency", "note")
HEADS = (
    ColumnHead("shop", "Who sells, as prices and lines write it."),
    ColumnHead("says days", "From order to arrival, as the shop says.", True),
    ColumnHead("took days", "From order to arrival, the median of what came before.", True),
    ColumnHead("postage", "For one parcel, however much is in it.", True),
    ColumnHead("free from", "Goods of this much and more are sent free.", True),
    ColumnHead("duty %", "Duty and tax on what the goods cost, in percent.", True),
    ColumnHead("in", "The currency of postage and of free from."),
    ColumnHead("note", "Whatever you want to remember.", grows=True),
)


def known_suppliers(
    described: Iterable[Supplier],
    build: Build | None,
    arrivals: Sequence[Arrival],
    named: Iterable[str],
) -> dict[str, Supplier]:
    """Return every supplier by name: those described, and those that lines or offers name."""
    known = {supplier.name: supplier for supplier in described}
    lines = () if build is None else [build.supplier_of(line) for line in build.lines]
    currency = DEFAULT_CURRENCY if build is None else build.currency
    for name in (*lines, *named, *(one for one, _, _ in arrivals)):
        if name and name not in known:
            known[name] = Supplier(name, currency)
    return known


def supplier_rows(
    known: Mapping[str, Supplier],
    arrivals: Sequence[Arrival],
    learned: Mapping[str, int],
    measures: Measures,
) -> list[TableRow]:
    """Return a row for each supplier, by name; `learned` are the days that orders took."""
    counts = Counter(name.casefold() for name, _, _ in arrivals)
    return [
        TableRow(name, _cells(one, learned.get(name.casefold()), counts[name.casefold()], measures))
        for name, one in sorted(known.items(), key=lambda pair: pair[0].casefold())
    ]


def _cells(one: Supplier, took: int | None, arrivals: int, measures: Measures) -> tuple[Cell, ...]:
    postage = amount_text(one.postage, one.currency, measures)
    free = amount_text(one.free_from, one.currency, measures)
    duty = plain(one.duty_percent, measures)
    says = "" if one.lead_days is None else str(one.lead_days)
    often = "once" if arrivals == 1 else f"{arrivals} times"
    times = "" if took is None else f"{took}, {often}"
    return (
        Cell(one.name, typed=one.name, tone="strong"),
        Cell(says or "not known", typed=says, tone="" if says else "quiet"),
        Cell(times or "not known", tone="" if times else "quiet"),
        Cell(postage, typed=postage),
        Cell(free or "never", typed=free, tone="" if free else "quiet"),
        Cell(duty, typed=duty),
        Cell(one.currency, typed=one.currency),
        Cell(one.note, typed=one.note),
    )
