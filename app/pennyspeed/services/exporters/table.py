"""A table on its way out: typed cells below the names of their columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.fields import Field, Shape, Value
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.tables import line_rows
from pennyspeed.services.importers.tables.prices import KIND, NAME, PRICE_TARGETS

Cell: TypeAlias = str | int | float | Decimal | date | None

MOST_DIGITS = 15
"""An amount with more of them is text in a workbook, whose numbers would round it (IEEE 754)."""

_PRICE_COLUMNS = tuple(target.key for target in PRICE_TARGETS)
_LINE_COLUMNS = tuple(target.key for target in line_rows.TARGETS)


@dataclass(frozen=True)
class Table:
    """What a file is to hold.

    Attributes
    ----------
    name : str
        Of a workbook's sheet.
    header : tuple of str
        As the importer understands them.
    """

    name: str
    header: tuple[str, ...]
    rows: Sequence[Sequence[Cell]]


def parts_table(parts: Sequence[Part], measures: Measures | None = None) -> Table:
    """Return parts of one kind or of several, one a row.

    With `measures` columns are named by labels and stand in this person's units, each named behind
    its label; else by keys, which name theirs.
    """
    columns = _figure_columns({part.kind_key for part in parts}, measures)
    header = (
        KIND.key,
        NAME.key,
        *(header for header, _ in columns),
        *_PRICE_COLUMNS,
        "note",
        "picture",
        "provenance",
        "spread",
    )
    rows = []
    for part in parts:
        figures: list[Cell] = []
        for _, fields in columns:
            declared = fields.get(part.kind_key)
            value = None if declared is None else part.figures.get(declared.key)
            figures.append(None if declared is None else _figure(declared, value, measures))
        sources = "; ".join(f"{key}={source}" for key, source in part.provenance.items())
        spreads = "; ".join(f"{key}={spread!r}" for key, spread in part.spread.items())
        price = _price_cells(part.price)
        said = part.note, part.picture, sources, spreads
        rows.append((part.kind_key, part.name, *figures, *price, *said))
    return Table("parts", header, rows)


def offers_table(offers: Iterable[tuple[Part, Iterable[Price]]]) -> Table:
    """Return what suppliers ask for parts, one offer a row."""
    rows = [
        (part.kind_key, part.name, *_price_cells(price))
        for part, prices in offers
        for price in prices
    ]
    return Table("offers", (KIND.key, NAME.key, *_PRICE_COLUMNS), rows)


def lines_table(build: Build) -> Table:
    """Return a build's lines of money in their order."""
    rows = []
    for line in build.lines:
        values = {key: getattr(line, key) for key in _LINE_COLUMNS}
        values["currency"] = line.currency or build.currency
        rows.append([_plain(value) for value in values.values()])
    return Table("lines", _LINE_COLUMNS, rows)


def _plain(value: object) -> Cell:
    match value:
        case bool():
            return "yes" if value else "no"
        case None | int() | float() | Decimal() | date():
            return value
        case _:
            return str(value)


def _price_cells(price: Price | None) -> tuple[Cell, ...]:
    if price is None:
        return (None,) * len(_PRICE_COLUMNS)
    found = vars(price) | {"price": price.amount.amount, "currency": price.amount.currency}
    return tuple(found[key] for key in _PRICE_COLUMNS)


def _figure_columns(
    kinds: set[str], measures: Measures | None
) -> list[tuple[str, dict[str, Field]]]:
    """Return the header of each figure, and its field by kind."""
    found: dict[str, dict[str, Field]] = {}
    for kind in KINDS:
        if kind.key in kinds:
            for declared in kind.fields:
                header = declared.key if measures is None else _header(declared, measures)
                found.setdefault(header, {})[kind.key] = declared
    return list(found.items())


def _header(declared: Field, measures: Measures) -> str:
    symbol = measures.unit_for(declared.unit).symbol
    return f"{declared.label} ({symbol})" if symbol else declared.label


def _figure(declared: Field, value: Value | None, measures: Measures | None) -> Cell:
    if value is None or isinstance(value, str):
        return value
    if measures is not None:
        if isinstance(value, tuple):
            one, two, three = (measures.shown(side, declared.unit) for side in value)
            value = one, two, three
        else:
            value = measures.shown(value, declared.unit)
    text = declared.text(value)
    if declared.shape is Shape.SIZE:
        return text
    number = float(text)
    return int(number) if number.is_integer() else number
