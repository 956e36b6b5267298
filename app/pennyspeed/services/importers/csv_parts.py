"""Imports parts from a table: one row a part, one column a figure.

The first row names the columns: by a field's key ("mass_g") or its label, with a unit of the
person's choice behind it if they like ("mass (oz)"), and by the names in `OTHER_COLUMNS`. The kind
stands in a column or in the file's name. A part that the catalogue has by kind and name is changed:
a blank figure becomes 'not known', and a figure without a column stays.
"""

from __future__ import annotations

import csv
import io
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
from pennyspeed.domain.money import DEFAULT_CURRENCY, Money, checked_currency, digits
from pennyspeed.domain.parts import Part, Price, checked_name
from pennyspeed.domain.provenance import Provenance, checked_provenance
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
_DELIMITERS = ",;\t"
_WITH_UNIT = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")
_CURRENCY_BEHIND = re.compile(r"(.*\S)\s*([A-Z]{3})")
_LARGEST = Decimal(10) ** 12
# Where commas part the cells, "1,250" may be 1250 or 1.250; "0,125" and "2,5" say what they are.
_TWO_WAYS = re.compile(r"[-+−]?[1-9]\d{0,2},\d{3}(?![\d.,]).*")


@dataclass(frozen=True)
class _Column:
    """A column of the file: one of the others, or for each kind the field that it fills."""

    header: str
    other: str = ""
    fields: Mapping[str, Field] | None = None
    unit: str = ""


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
        return Contents(parts=tuple(_parts(path, _text(read_bytes(path)), known)))
    except csv.Error as error:
        raise BadInput(str(path), str(error), "a table with commas, semicolons or tabs") from None
    except BadInput as error:
        raise error.within(str(path)) from None


def _text(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Spreadsheets save so in the west; every byte means something there, so nothing is lost.
        return content.decode("latin-1")


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
    headers: list[list[str]] = []
    for delimiter in _DELIMITERS:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
        header = [cell.strip() for cell in rows[0]] if rows else []
        headers.append(header)
        if "name" in map(str.casefold, header) and len(header) > 1:
            break
    else:
        header = max(headers, key=len)
        raise BadInput("row 1", ", ".join(header) or None, "column names, one of them name")
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
        if delimiter == ",":
            _refuse_what_reads_two_ways(columns, cells, number)
        found.append((number, cells + [""] * (len(columns) - len(cells))))
    return columns, found


def _refuse_what_reads_two_ways(columns: list[_Column], cells: list[str], number: int) -> None:
    for column, cell in zip(columns, cells, strict=False):
        numeric = any(
            field.shape in (Shape.NUMBER, Shape.WHOLE) for field in (column.fields or {}).values()
        )
        if numeric and _TWO_WAYS.fullmatch(cell):
            plain = cell.replace(",", ""), cell.replace(",", ".")
            raise BadInput(
                f"row {number}, column {column.header}", cell, f"{plain[0]} or {plain[1]}"
            )


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
    behind = _CURRENCY_BEHIND.fullmatch(cell)
    if behind and not currency:
        cell, currency = behind[1], behind[2]
    currency = checked_currency(currency or DEFAULT_CURRENCY, "column currency")
    places = digits(currency)
    expected = f"an amount of 0 or more with at most {places} decimals"
    try:
        amount = Decimal(plain_number(cell) or "")
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
