"""Imports parts from a table: one row a part, one column a figure.

The first row names the columns: by a field's key ("mass_g") or its label, with a unit of the
person's choice behind it if they like ("mass (oz)"), and by the names in `OTHER_COLUMNS`. The kind
stands in a column or in the file's name. A part that the catalogue has by kind and name is changed:
a blank figure becomes 'not known', and a figure without a column stays.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path

from pennyspeed.domain import units
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.fields import Field, Shape, plain_number
from pennyspeed.domain.kinds import KINDS, Kind
from pennyspeed.domain.money import (
    DEFAULT_CURRENCY,
    Money,
    checked_currency,
    digits,
    split_currency,
)
from pennyspeed.domain.parts import Part, Price, checked_name
from pennyspeed.domain.provenance import Provenance, checked_provenance
from pennyspeed.services.importers.decimal_marks import (
    ambiguous_mark,
    both_readings,
    decimal_marks,
    reads_two_ways,
    settled,
)
from pennyspeed.services.importers.delimited import rows_of, text_of
from pennyspeed.services.importers.importer import Contents, Importer, Known, read_bytes

OTHER_COLUMNS = (
    "kind",
    "name",
    "price",
    "currency",
    "supplier",
    "on",
    "link",
    "note",
    "picture",
    "provenance",
)
_WITH_UNIT = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")
_LARGEST = Decimal(10) ** 12


@dataclass(frozen=True)
class _Column:
    """A column of the file: one of the others, or for each kind the field that it fills."""

    header: str
    other: str = ""
    fields: Mapping[str, Field] | None = None
    unit: str = ""

    @property
    def is_numeric(self) -> bool:
        """Tell whether each of its cells is one number."""
        shapes = {field.shape for field in (self.fields or {}).values()}
        return self.other == "price" or not shapes.isdisjoint((Shape.NUMBER, Shape.WHOLE))


def read(path: Path, known: Known) -> Contents:
    """Return the parts of a table; see :mod:`pennyspeed.services.importers.csv_parts`.

    Raises
    ------
    BadInput
        With file, row, column, value and what was expected.
    FileTrouble
        Where the file cannot be read.
    """
    try:
        return Contents(parts=tuple(_parts(path, text_of(read_bytes(path)), known)))
    except BadInput as error:
        raise error.within(str(path)) from None


def _parts(path: Path, text: str, known: Known) -> Iterator[Part]:
    kind = _kind_of_name(path)
    columns, rows = _table(text, kind)
    seen: dict[tuple[str, str], int] = {}
    for number, cells in rows:
        try:
            part = _part(columns, cells, kind, known)
            first = seen.setdefault((part.kind_key, part.name), number)
            if first != number:
                raise BadInput("column name", part.name, f"another name than in row {first}")
        except BadInput as error:
            raise error.within(f"row {number}") from None
        yield part


def _table(text: str, kind: Kind | None) -> tuple[list[_Column], list[tuple[int, list[str]]]]:
    """Return the columns, and the rows that are not blank with their numbers."""
    delimiter, rows = rows_of(text, "name")
    header = [cell.strip() for cell in rows[0]]
    columns = [_column(name, kind) for name in header]
    _refuse_repeats(columns)
    if kind is None and not any(column.other == "kind" for column in columns):
        raise BadInput(
            "row 1",
            ", ".join(header),
            "a column kind, or a file named for a kind: " + ", ".join(one.key for one in KINDS),
        )
    found = []
    for number, cells in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
            raise BadInput(f"row {number}", f"{len(cells)} cells", f"{len(columns)}, as in row 1")
        cells = [cell.strip() for cell in cells[: len(columns)]]
        found.append((number, cells + [""] * (len(columns) - len(cells))))
    if not found:
        raise BadInput("row 2", None, "a part below the column names")
    return columns, _one_reading(columns, found, delimiter)


def _one_reading(
    columns: list[_Column], rows: list[tuple[int, list[str]]], delimiter: str
) -> list[tuple[int, list[str]]]:
    """Return the rows with numbers that read one way, by the decimal mark that the table uses.

    Where commas part the cells, a comma before three digits is never taken for either.
    """
    numeric = [i for i, column in enumerate(columns) if column.is_numeric]
    marks = decimal_marks(cells[i] for _, cells in rows for i in numeric)
    for number, cells in rows:
        for i in numeric:
            cell = cells[i]
            in_commas = delimiter == "," and ambiguous_mark(cell) == ","
            if in_commas or reads_two_ways(cell, marks):
                place = f"row {number}, column {columns[i].header}"
                raise BadInput(place, cell, both_readings(cell))
            cells[i] = settled(cell, marks)
    return rows


def _kind_of_name(path: Path) -> Kind | None:
    """Return the kind that a file is named for: motor.csv, "my motors 2027.csv"."""
    stem = path.stem.casefold()
    exact = _kind_named(stem)
    if exact is not None:
        return exact
    named = {kind.key: kind for kind in map(_kind_named, re.split(r"[\W\d_]+", stem)) if kind}
    return next(iter(named.values())) if len(named) == 1 else None


def _kind_named(text: str) -> Kind | None:
    for kind in KINDS:
        if text.strip().casefold() in (kind.key, kind.label.casefold(), kind.plural.casefold()):
            return kind
    return None


def _column(header: str, kind: Kind | None) -> _Column:
    name = header.casefold()
    if not name:
        raise BadInput("row 1", None, "a name for every column")
    if name in OTHER_COLUMNS:
        return _Column(header, other=name)
    match = _WITH_UNIT.fullmatch(header)
    base, unit = (match[1].casefold(), match[2]) if match else (name, "")
    fields = {
        one.key: field
        for one in KINDS
        for field in one.fields
        if base in (field.key, field.label.casefold())
    }
    if not fields:
        known = kind.fields if kind is not None else ()
        keys = ", ".join((*(field.key for field in known), *OTHER_COLUMNS))
        raise BadInput("row 1", header, f"a figure's key or label, or one of the columns {keys}")
    for field in fields.values():
        if unit and unit != field.unit.symbol and units.find(unit, field.unit.quantity) is None:
            raise BadInput("row 1", header, f"a unit of {field.unit.quantity}")
    return _Column(header, fields=fields, unit=unit)


def _refuse_repeats(columns: list[_Column]) -> None:
    seen: dict[tuple[str, str], str] = {}
    for column in columns:
        targets = (
            [("", column.other)]
            if column.other
            else [(kind, field.key) for kind, field in (column.fields or {}).items()]
        )
        for target in targets:
            if target in seen:
                raise BadInput("row 1", column.header, f"no second column for {seen[target]}")
            seen[target] = column.header


def _part(columns: list[_Column], cells: list[str], kind: Kind | None, known: Known) -> Part:
    others = {c.other: cell for c, cell in zip(columns, cells, strict=True) if c.other}
    kind = _kind_of_row(others.get("kind", ""), kind)
    name = checked_name(others["name"], "column name")
    old = known(kind.key, name)
    part = old if old is not None else Part(kind.key, name)
    figures, sources = dict(part.figures), dict(part.provenance)
    for column, cell in zip(columns, cells, strict=True):
        if column.other:
            continue
        field = (column.fields or {}).get(kind.key)
        place = f"column {column.header}"
        if field is None:
            if cell:
                raise BadInput(place, cell, f"nothing, since a {kind.label} has no such figure")
            continue
        figures.pop(field.key, None)
        sources.pop(field.key, None)
        value = field.read(_with_unit(cell, field, column.unit), place)
        if value is not None:
            figures[field.key] = value
    for field in kind.fields:
        if field.key not in figures:
            field.checked(None, f"column {field.key}")
    if "provenance" in others:
        sources = _sources(others["provenance"], kind)
    kept = {key: source for key, source in sources.items() if key in figures}
    return replace(
        part,
        figures=figures,
        provenance=kept,
        price=_price(others) or part.price,
        note=others.get("note", part.note),
        picture=others.get("picture", part.picture),
    )


def _kind_of_row(cell: str, kind: Kind | None) -> Kind:
    found = _kind_named(cell) if cell else kind
    if found is None:
        raise BadInput("column kind", cell or None, "one of " + ", ".join(k.key for k in KINDS))
    return found


def _with_unit(cell: str, field: Field, unit: str) -> str:
    if field.shape is Shape.CHOICE:
        return cell.casefold()
    bare = cell[-1:].isdigit() or cell[-1:] in (".", ",")
    return f"{cell} {unit}" if unit and bare and field.shape is not Shape.TEXT else cell


def _sources(cell: str, kind: Kind) -> dict[str, Provenance]:
    """Return what "key=source; key=source" says."""
    place, found = "column provenance", {}
    for item in filter(None, map(str.strip, re.split(r"[;,]", cell))):
        key, equals, source = (text.strip() for text in item.partition("="))
        fields = [one for one in kind.fields if key.casefold() in (one.key, one.label.casefold())]
        if not equals or not fields:
            raise BadInput(
                place,
                item,
                f"a figure of a {kind.label} and its source, as in {kind.fields[-1].key}=measured",
            )
        found[fields[0].key] = checked_provenance(source.casefold(), place)
    return found


def _price(others: Mapping[str, str]) -> Price | None:
    """Return the price that a row states; None where it states none."""
    cell, currency = others.get("price", ""), others.get("currency", "")
    if not cell:
        return None
    if currency:
        checked_currency(currency, "column currency")
    amount_text, currency = split_currency(cell, currency)
    currency = currency or DEFAULT_CURRENCY
    places = digits(currency)
    expected = f"an amount in {currency} of 0 or more with at most {places} decimals"
    try:
        amount = Decimal(plain_number(amount_text) or "")
    except InvalidOperation:
        raise BadInput("column price", cell, expected) from None
    exponent = amount.as_tuple().exponent
    if not amount.is_finite() or not 0 <= amount < _LARGEST or -int(exponent) > places:
        raise BadInput("column price", cell, expected)
    return Price(
        Money.of(amount, currency),
        _day(others.get("on", "")),
        others.get("supplier", ""),
        others.get("link", ""),
    )


def _day(cell: str) -> date:
    if not cell:
        return date.today()
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise BadInput("column on", cell, "a date such as 2027-04-10") from None


CSV_PARTS = Importer("parts as CSV", (".csv", ".tsv"), read)
