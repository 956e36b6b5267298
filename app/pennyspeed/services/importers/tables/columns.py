"""Columns: what stands in each column of a table, by its header or as a person says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from pennyspeed.domain import units
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import KINDS, Kind
from pennyspeed.domain.money.money import checked_currency, split_currency
from pennyspeed.domain.parts.fields import Field, Shape

LEFT_OUT = ""
"""Target of a column that is not read."""

_WITH_UNIT = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")
_SAMPLES = 3


@dataclass(frozen=True, slots=True)
class Target:
    """Something that a column may hold, beside the figures of parts.

    Attributes
    ----------
    key : str
        The header that an export writes.
    label : str
        What a person calls it.
    also : tuple of str
        Other headers that are understood, lower case, words parted by spaces.
    is_numeric : bool
        Each cell is one number.
    is_money : bool
        The header may name a currency as others name a unit: "price (EUR)".
    """

    key: str
    label: str
    also: tuple[str, ...] = ()
    is_numeric: bool = False
    is_money: bool = False

    @property
    def names(self) -> frozenset[str]:
        """Every header that is understood, as :func:`plain` writes it."""
        return frozenset((plain(self.key), plain(self.label), *self.also))


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the file.

    Attributes
    ----------
    header : str
        As the file has it.
    target : str
        Key of a target or of a figure; `LEFT_OUT` where it is not read.
    label : str
        What a person calls the target.
    unit : str
        That the header names, of which the cells are; a currency's code for money.
    fields : mapping
        Kind's key to the figure that it fills.
    is_numeric : bool
    trouble : BadInput or None
        Why the column is left out although nobody said so.
    samples : tuple of str
        The first cells that are not blank.
    """

    header: str
    target: str = LEFT_OUT
    label: str = ""
    unit: str = ""
    fields: Mapping[str, Field] = field(default_factory=dict)
    is_numeric: bool = False
    trouble: BadInput | None = None
    samples: tuple[str, ...] = ()

    @property
    def place(self) -> str:
        """What a sentence calls it."""
        return f"column {self.header or self.label}"


def plain(header: str) -> str:
    """Return a header in lower case, its words parted by single spaces.

    >>> plain(" Unit_price "), plain("mass_g")
    ('unit price', 'mass g')
    """
    return " ".join(header.replace("_", " ").casefold().split())


def columns_of(
    header: Sequence[str],
    targets: Sequence[Target],
    with_figures: bool,
    kind: Kind | None = None,
    mapping: Mapping[int, str] | None = None,
) -> tuple[Column, ...]:
    """Return what each column holds.

    Parameters
    ----------
    header : sequence of str
    targets : sequence of Target
    with_figures : bool
        Whether columns may hold figures of parts.
    kind : Kind, optional
        Of every row, where it is known; its figures are named to who wrote another.
    mapping : mapping, optional
        Column's place, from 0, to the header that it is to be read as; `LEFT_OUT` leaves it out.
    """
    columns: list[Column] = []
    taken: dict[tuple[str, str], str] = {}
    for i, name in enumerate(header):
        said = None if mapping is None else mapping.get(i)
        if said == LEFT_OUT:
            columns.append(Column(name))
            continue
        try:
            column = replace(_column(said or name, targets, with_figures, kind), header=name)
            places = [(one, column.target) for one in column.fields] or [("", column.target)]
            for place in places:
                if place in taken:
                    raise BadInput("row 1", name, f"no second column for {taken[place]}")
            taken.update(dict.fromkeys(places, name))
        except BadInput as error:
            column = Column(name, trouble=error)
        columns.append(column)
    return tuple(columns)


def with_samples(
    columns: Iterable[Column], rows: Sequence[tuple[int, Sequence[str]]]
) -> tuple[Column, ...]:
    """Return the columns with the first of their cells that are not blank."""
    return tuple(
        replace(column, samples=tuple(_first_cells(i, rows))) for i, column in enumerate(columns)
    )


def _first_cells(place: int, rows: Sequence[tuple[int, Sequence[str]]]) -> list[str]:
    found: list[str] = []
    for _, cells in rows:
        if cells[place]:
            found.append(cells[place])
            if len(found) == _SAMPLES:
                break
    return found


def target_named(header: str, targets: Iterable[Target]) -> tuple[Target, str] | None:
    """Return the target that a header names and the unit behind it; None where there is none."""
    name = plain(header)
    match = _WITH_UNIT.fullmatch(header.strip())
    base, unit = (plain(match[1]), match[2]) if match else (name, "")
    for target in targets:
        if name in target.names:
            return target, ""
        if unit and target.is_money and base in target.names:
            return target, unit
    return None


def figures_named(header: str) -> tuple[dict[str, Field], str]:
    """Return the figure, by kind, that a header names, and the unit behind it."""
    match = _WITH_UNIT.fullmatch(header.strip())
    base, unit = (match[1], match[2]) if match else (header, "")
    wanted = plain(base)
    found = {
        kind.key: declared
        for kind in KINDS
        for declared in kind.fields
        if wanted in (plain(declared.key), plain(declared.label))
    }
    return found, unit


def _column(
    header: str, targets: Sequence[Target], with_figures: bool, kind: Kind | None
) -> Column:
    if not plain(header):
        raise BadInput("row 1", None, "a name for every column")
    named = target_named(header, targets)
    if named is not None:
        target, unit = named
        if unit:
            unit = checked_currency(split_currency(f"0 {unit}")[1], "row 1")
        return Column(header, target.key, target.label, unit, is_numeric=target.is_numeric)
    fields, unit = figures_named(header) if with_figures else ({}, "")
    if not fields:
        keys = ", ".join(target.key for target in targets)
        if not with_figures:
            raise BadInput("row 1", header, f"one of the columns {keys}")
        known = "".join(f"{one.key}, " for one in (kind.fields if kind is not None else ()))
        expected = f"a figure's key or label, or one of the columns {known}{keys}"
        raise BadInput("row 1", header, expected)
    for declared in fields.values():
        quantity = declared.unit.quantity
        if unit and unit != declared.unit.symbol and units.find(unit, quantity) is None:
            raise BadInput("row 1", header, f"a unit of {quantity}")
    first = next(iter(fields.values()))
    shapes = {declared.shape for declared in fields.values()}
    is_numeric = not shapes.isdisjoint((Shape.NUMBER, Shape.WHOLE))
    return Column(header, first.key, first.label, unit, fields, is_numeric)
