"""Cells: what a row of a table says, by target, and what single cells mean."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import (
    DEFAULT_CURRENCY,
    Money,
    checked_currency,
    digits,
    split_currency,
)
from pennyspeed.domain.parts.fields import plain_number
from pennyspeed.services.importers.tables.columns import LEFT_OUT, Column
from pennyspeed.services.importers.tables.decimal_marks import (
    ambiguous_mark,
    both_readings,
    decimal_marks,
    reads_two_ways,
    settled,
)
from pennyspeed.services.importers.tables.sheets import Exact, Sheet

YES = ("yes", "y", "true", "1", "x", "ja", "oui", "sí", "si")
NO = ("no", "n", "false", "0", "nein", "non")

_LARGEST = Decimal(10) ** 12
_MOST_DECIMALS = 9
_DAY = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", re.ASCII)
# With points between them the day comes first (common practice, no source).
_DAY_FIRST = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", re.ASCII)


class Cells:
    """One row by target; "" where a cell is blank or has no column."""

    __slots__ = ("_columns", "_row")

    def __init__(self, columns: Mapping[str, tuple[int, Column]], row: Sequence[str]) -> None:
        self._columns, self._row = columns, row

    def __contains__(self, target: str) -> bool:
        return target in self._columns

    def __getitem__(self, target: str) -> str:
        found = self._columns.get(target)
        return "" if found is None else self._row[found[0]]

    def place(self, target: str) -> str:
        """Return what a sentence calls the target's cell."""
        found = self._columns.get(target)
        return f"column {target}" if found is None else found[1].place

    def unit(self, target: str) -> str:
        """Return the unit, or currency, that the target's header names."""
        found = self._columns.get(target)
        return "" if found is None else found[1].unit


def by_target(columns: Sequence[Column]) -> dict[str, tuple[int, Column]]:
    """Return the columns that are read, with their places."""
    return {
        column.target: (i, column) for i, column in enumerate(columns) if column.target != LEFT_OUT
    }


def settle(sheet: Sheet, columns: Sequence[Column]) -> dict[int, list[BadInput]]:
    """Give a sheet's numbers one reading, by the decimal mark that the table uses, in place.

    Where commas part the cells, a comma before three digits is never taken for either.

    Returns
    -------
    dict
        Row's number to what reads two ways there.
    """
    numeric = [i for i, column in enumerate(columns) if column.is_numeric]
    marked = {
        cell
        for _, cells in sheet.rows
        for cell in (cells[i] for i in numeric)
        if ("." in cell or "," in cell) and type(cell) is not Exact
    }
    marks = decimal_marks(marked)
    unclear = {
        cell
        for cell in marked
        if (sheet.delimiter == "," and ambiguous_mark(cell) == ",") or reads_two_ways(cell, marks)
    }
    read_as = {cell: now for cell in marked - unclear if (now := settled(cell, marks)) != cell}
    found: dict[int, list[BadInput]] = {}
    if not unclear and not read_as:
        return found
    for number, cells in sheet.rows:
        for i in numeric:
            cell = cells[i]
            if type(cell) is Exact:
                continue
            if cell in unclear:
                trouble = BadInput(columns[i].place, cell, both_readings(cell))
                found.setdefault(number, []).append(trouble)
            elif cell in read_as:
                cells[i] = read_as[cell]
    return found


def money(cells: Cells, target: str, default: str = DEFAULT_CURRENCY) -> Money | None:
    """Return an amount of money in the row's currency; None where its cell is blank.

    The currency stands in a column of its own, in the header, or beside the amount.
    """
    cell, place = cells[target], cells.place(target)
    if not cell:
        return None
    amount, currency = priced(cells, target)
    currency = currency or default
    places = digits(currency)
    if amount is None or -int(amount.as_tuple().exponent) > places:
        expected = f"an amount in {currency} of 0 or more with at most {places} decimals"
        raise BadInput(place, cell, expected)
    return Money.of(amount, currency)


def priced(cells: Cells, target: str) -> tuple[Decimal | None, str]:
    """Return the amount that a cell states, None for none of 0 or more, and its currency or ""."""
    currency = cells["currency"]
    if currency:
        checked_currency(currency, cells.place("currency"))
    text, currency = split_currency(cells[target], currency or cells.unit(target))
    try:
        amount = Decimal(plain_number(text) or "")
    except InvalidOperation:
        return None, currency
    return (amount if amount.is_finite() and 0 <= amount < _LARGEST else None), currency


def decimal(cell: str, place: str, expected: str = "a number of 0 or more") -> Decimal | None:
    """Return a number of 0 or more; None where the cell is blank."""
    if not cell:
        return None
    try:
        number = Decimal(plain_number(cell) or "")
    except InvalidOperation:
        raise BadInput(place, cell, expected) from None
    if not number.is_finite() or not 0 <= number < _LARGEST:
        raise BadInput(place, cell, expected)
    if -int(number.as_tuple().exponent) > _MOST_DECIMALS:
        raise BadInput(place, cell, f"{expected} with at most {_MOST_DECIMALS} decimals")
    return number


def whole(cell: str, place: str) -> int | None:
    """Return a whole number of 0 or more; None where the cell is blank."""
    expected = "a whole number of 0 or more"
    number = decimal(cell, place, expected)
    if number is not None and number != int(number):
        raise BadInput(place, cell, expected)
    return None if number is None else int(number)


def day(cell: str, place: str) -> date | None:
    """Return a day; None where the cell is blank.

    >>> day("2027-04-10", "here"), day("10.4.2027", "here")
    (datetime.date(2027, 4, 10), datetime.date(2027, 4, 10))
    """
    if not cell:
        return None
    match = _DAY.fullmatch(cell)
    parts = match.groups() if match else ()
    if match is None and (match := _DAY_FIRST.fullmatch(cell)):
        parts = match.groups()[::-1]
    try:
        year, month, number = map(int, parts)
        return date(year, month, number)
    except ValueError:
        raise BadInput(place, cell, "a date such as 2027-04-10") from None


def yes_or_no(cell: str, place: str) -> bool:
    """Return what a cell of yes or no says."""
    word = cell.casefold()
    if word not in YES and word not in NO:
        raise BadInput(place, cell, "yes or no")
    return word in YES
