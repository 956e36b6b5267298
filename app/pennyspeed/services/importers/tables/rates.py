"""Exchange rates from a table: currency, rate, day, and where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import checked_currency
from pennyspeed.domain.money.orders import Rate
from pennyspeed.services.importers.tables.cells import Cells, by_target, day, decimal, settle
from pennyspeed.services.importers.tables.columns import Target, columns_of, target_named
from pennyspeed.services.importers.tables.sheets import read_sheet

TARGETS = (
    Target("currency", "currency", ("code", "währung")),
    Target("rate", "rate", ("exchange rate", "kurs"), is_numeric=True),
    Target("on", "day", ("date", "datum", "tag")),
    Target("source", "source", ("from", "quelle")),
)
REQUIRED = ("currency", "rate", "on")


def read_rates(path: Path, currency: str) -> tuple[Rate, ...]:
    """Return the rates of a table, each what one unit of a currency is worth in `currency`.

    Raises
    ------
    BadInput, FileTrouble
        With file, row and column; then none is taken.
    """
    try:
        sheet = read_sheet(
            path, lambda row: any(target_named(cell, TARGETS) is not None for cell in row)
        )
        columns = columns_of(sheet.header, TARGETS, with_figures=False)
        places = by_target(columns)
        for key in REQUIRED:
            if key not in places:
                header = ", ".join(sheet.header) or None
                raise BadInput("row 1", header, "the columns currency, rate and day")
        unclear = settle(sheet, columns)
        for number, errors in unclear.items():
            raise errors[0].within(f"row {number}")
        if not sheet.rows:
            raise BadInput("row 2", None, "a rate below the column names")
        return tuple(_rate(Cells(places, row), number, currency) for number, row in sheet.rows)
    except BadInput as error:
        raise error.within(str(path)) from None


def _rate(cells: Cells, number: int, home: str) -> Rate:
    try:
        code = checked_currency(cells["currency"].upper(), cells.place("currency"))
        if code == home:
            raise BadInput(cells.place("currency"), code, f"another currency than {home}")
        value = decimal(cells["rate"], cells.place("rate"), "a number above 0")
        if not value:
            raise BadInput(cells.place("rate"), cells["rate"] or None, "a number above 0")
        return Rate(code, value, _day(cells), cells["source"])
    except BadInput as error:
        raise error.within(f"row {number}") from None


def _day(cells: Cells) -> date:
    found = day(cells["on"], cells.place("on"))
    if found is None:
        raise BadInput(cells.place("on"), None, "a date such as 2027-04-10")
    return found


def said(rates: Sequence[Rate]) -> str:
    """Say how many rates of which currencies there are.

    >>> said([])
    'no rates'
    """
    codes = ", ".join(sorted({rate.currency for rate in rates}))
    count = "1 rate" if len(rates) == 1 else f"{len(rates):,} rates"
    return f"{count} of {codes}" if rates else "no rates"
