"""Rows of lines: the money of one build."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, SLOTS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.lines import QUANTITY, Line, Status
from pennyspeed.domain.money.money import checked_currency
from pennyspeed.services.importers.tables.cells import (
    Cells,
    by_target,
    day,
    decimal,
    positive,
    priced,
    yes_or_no,
)
from pennyspeed.services.importers.tables.columns import Column, Target
from pennyspeed.services.importers.tables.prices import NAME, kind_named
from pennyspeed.services.importers.tables.rows import Change, Refused, Row, Verdict

TARGETS = (
    Target("part", "part's slot", ("slot", "kind", "type", "category", "art")),
    NAME,
    Target("quantity", "quantity", ("qty", "pieces", "pcs", "menge", "anzahl"), is_numeric=True),
    Target(
        "unit_price",
        "unit price",
        ("price", "price each", "each", "einzelpreis", "preis"),
        is_numeric=True,
        is_money=True,
    ),
    Target("currency", "currency", ("währung",)),
    Target("status", "status", ("state", "stand")),
    Target("counts", "counts toward the cap", ("counted", "counts toward cap")),
    Target("supplier", "supplier", ("shop", "vendor", "seller", "store", "lieferant", "händler")),
    Target("order", "order", ("order number", "order no", "reference", "bestellung")),
    Target("ordered", "ordered on", ("order date", "bestellt", "bestellt am")),
    Target("arrives", "arrives", ("expected", "due", "eta", "delivery date", "lieferdatum")),
    Target("arrived", "arrived on", ("came on", "delivered", "received on")),
    Target("came", "came of them", ("delivered quantity",), is_numeric=True),
    Target("refund", "refund", ("refunded",), is_numeric=True),
    Target("rate", "exchange rate", (), is_numeric=True),
    Target("rate_on", "date of the rate", ()),
    Target("mass_g", "mass of one (g)", ("mass g",), is_numeric=True),
    Target("fitted", "fitted", ()),
)
MARKS = frozenset(("quantity", "status", "counts", "order", "ordered", "arrives"))

_LABELS = {target.key: target.label for target in TARGETS}


@dataclass(frozen=True, slots=True)
class LineEntry:
    """A line and its place among the build's; None for one that comes behind them."""

    line: Line
    index: int | None = None


class LineReader:
    """Reads rows of lines against a build.

    The first row of a name is the build's first line of that name, the second its second.
    """

    def __init__(self, columns: Sequence[Column], build: Build, measures: Measures) -> None:
        self._columns = by_target(columns)
        self._build, self._measures = build, measures
        self._free: dict[tuple[str, str], list[int]] = {}
        for index, line in enumerate(build.lines):
            self._free.setdefault(self._key(line.part, line.name), []).append(index)
        self._fitted = {line.part for line in build.lines if line.fitted}

    def _key(self, part: str, name: str) -> tuple[str, str]:
        return (part if "part" in self._columns else "", name.strip())

    def read(self, number: int, row: Sequence[str]) -> Row[LineEntry]:
        """Return what a row would do, or raise Refused."""
        cells = Cells(self._columns, row)
        name = cells["name"]
        errors: list[BadInput] = []
        try:
            part = _slot(cells)
            if not name and not part:
                raise BadInput(cells.place("name"), None, "a name or a part's slot")
        except BadInput as error:
            raise Refused([error], name) from None
        free = self._free.get(self._key(part, name))
        index = free[0] if free else None
        old = self._build.lines[index] if index is not None else None
        said: dict[str, Any] = {}
        for target, read in _READERS.items():
            if target in cells:
                try:
                    said[target] = read(cells[target], cells.place(target))
                except BadInput as error:
                    errors.append(error)
        try:
            price, currency = self._price(cells)
        except BadInput as error:
            errors.append(error)
        if errors:
            raise Refused(errors, name or part)
        if "unit_price" in cells:
            said["unit_price"] = price
        if currency or "currency" in cells:
            own = ("", self._build.currency)
            same = old is not None and currency in own and old.currency in own
            said["currency"] = old.currency if old is not None and same else currency
            if old is None and currency == self._build.currency:
                said["currency"] = ""
        if old is None:
            line = self._new(part, name, {key: v for key, v in said.items() if v is not None})
            return Row(number, row, Verdict.NEW, line.called, LineEntry(line))
        assert free is not None
        free.pop(0)
        kept = {
            key: value for key, value in said.items() if value is not None or key in _MAY_BE_UNKNOWN
        }
        line = replace(old, **kept)
        changes = self._changes(old, line, kept)
        verdict = Verdict.CHANGED if changes else Verdict.SAME
        entry = LineEntry(line if changes else old, index)
        return Row(number, row, verdict, line.called, entry, LineEntry(old, index), changes)

    def _new(self, part: str, name: str, said: dict[str, Any]) -> Line:
        if part in SLOTS:
            placed = self._build.part(part)
            is_it = placed is not None and placed.name.strip() == name
            said.setdefault("fitted", is_it and part not in self._fitted)
            if said["fitted"]:
                self._fitted.add(part)
        if part in BY_KEY:
            said.setdefault("counts", self._build.counts(part))
        return Line(part, name, **said)

    def _price(self, cells: Cells) -> tuple[Decimal | None, str]:
        currency = cells["currency"] and checked_currency(
            cells["currency"], cells.place("currency")
        )
        if not cells["unit_price"]:
            return None, currency or cells.unit("unit_price")
        place, cell = cells.place("unit_price"), cells["unit_price"]
        amount, currency = priced(cells, "unit_price")
        if amount is None:
            raise BadInput(place, cell, "an amount of 0 or more in one currency")
        decimal(str(amount), place)
        return amount, currency

    def _changes(self, old: Line, new: Line, said: dict[str, Any]) -> tuple[Change, ...]:
        return tuple(
            Change(_LABELS[key], self._text(getattr(old, key)), self._text(getattr(new, key)))
            for key in _LABELS
            if key in said and getattr(old, key) != getattr(new, key)
        )

    def _text(self, value: object) -> str:
        match value:
            case None:
                return "not known"
            case bool():
                return "yes" if value else "no"
            case Decimal():
                return self._measures.number(value, max(0, -int(value.as_tuple().exponent)))
            case _:
                return str(value)


def _slot(cells: Cells) -> str:
    cell = cells["part"]
    if not cell:
        return ""
    kind = kind_named(cell)
    if kind is None:
        raise BadInput(cells.place("part"), cell, "one of " + ", ".join(BY_KEY) + ", or nothing")
    return kind.key


def _quantity(cell: str, place: str) -> Decimal | None:
    number = decimal(cell, place, QUANTITY.expected)
    if number is not None and number > Decimal(QUANTITY.high):
        raise BadInput(place, cell, QUANTITY.expected)
    return number


def _status(cell: str, place: str) -> Status | None:
    try:
        return Status(cell.casefold()) if cell else None
    except ValueError:
        raise BadInput(place, cell, "one of " + ", ".join(Status)) from None


def _flag(cell: str, place: str) -> bool | None:
    return yes_or_no(cell, place) if cell else None


def _text(cell: str, _: str) -> str:
    return cell


_READERS: dict[str, Callable[[str, str], Any]] = {
    "quantity": _quantity,
    "status": _status,
    "counts": _flag,
    "supplier": _text,
    "order": _text,
    "ordered": day,
    "arrives": day,
    "arrived": day,
    "came": _quantity,
    "refund": decimal,
    "rate": positive,
    "rate_on": day,
    "mass_g": decimal,
    "fitted": _flag,
}

_MAY_BE_UNKNOWN = frozenset(
    ("unit_price", "ordered", "arrives", "arrived", "came", "refund", "rate", "rate_on", "mass_g")
)
"""A blank cell means 'not known' there; elsewhere it leaves what is there."""
