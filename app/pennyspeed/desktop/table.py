"""Table: declared columns over many parts, sorted and narrowed inside the model.

Keys to sort by are numpy arrays, made once for a stock of parts; texts are made when they are
shown. No proxy: thousands of rows stay within a frame.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QModelIndex, QPersistentModelIndex

from pennyspeed.domain.fields import Field, Shape
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts import Part
from pennyspeed.domain.units import IN

Keys = NDArray[np.floating]
Index = QModelIndex | QPersistentModelIndex
"""Where a cell is, as Qt hands it to a view."""
_RUNS = re.compile(r"(\d+)")
NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    key : str
        A field's key, or "name", "price", "change", "left".
    title, help : str
        The header, and one sentence about it.
    numeric : bool
        Whether its figures stand to the right, on their decimal mark.
    """

    key: str
    title: str
    help: str
    numeric: bool = True


def natural_key(text: str) -> list[object]:
    """Return a key that sorts "9 teeth" before "10 teeth"."""
    pieces = _RUNS.split(text.casefold())
    return [int(piece) if i % 2 else piece for i, piece in enumerate(pieces)]


def ranks(texts: Sequence[str]) -> Keys:
    """Return each text's place in natural order; equal texts share one, blank ones have none."""
    order = sorted(set(texts) - {""}, key=natural_key)
    places = {text: float(i) for i, text in enumerate(order)}
    return np.array([places.get(text, np.nan) for text in texts])


def title_of(field: Field, measures: Measures) -> str:
    """Return a field's header with the unit in which its figures are shown.

    >>> from pennyspeed.domain.kinds import BY_KEY
    >>> from pennyspeed.domain.units import IN
    >>> title_of(BY_KEY["motor"].field("can_mm"), Measures(length_unit=IN))
    'can in'
    """
    unit, shown = field.unit, measures.unit_for(field.unit)
    if shown is not unit and (
        field.short == unit.symbol or field.short.endswith(f" {unit.symbol}")
    ):
        return field.short.removesuffix(unit.symbol) + shown.symbol
    return field.short


def _decimals(values: Keys, most: int) -> int:
    """Return the fewest decimals, up to `most`, that show all values."""
    known = values[np.isfinite(values)]
    for digits in range(most):
        if np.allclose(known, np.round(known, digits), rtol=0, atol=0.5 * 10.0**-most):
            return digits
    return most


class Stock:
    """The parts of one kind as columns: what is theirs alone, whatever build they go into.

    Parameters
    ----------
    kind : Kind
    parts : list of Part
    measures : Measures
    """

    def __init__(self, kind: Kind, parts: list[Part], measures: Measures) -> None:
        self.kind, self.parts, self.measures = kind, parts, measures
        fields = sorted((f for f in kind.fields if f.on_shelf), key=lambda f: f.on_shelf)
        self.fields = fields
        self.columns = [Column("name", kind.label, "What it is called.", numeric=False)]
        self._texts: list[Callable[[int], str]] = [lambda i: parts[i].name]
        self.keys: list[Keys] = [ranks([part.name for part in parts])]
        for field in fields:
            numeric = field.shape in (Shape.NUMBER, Shape.WHOLE)
            self.columns.append(Column(field.key, title_of(field, measures), field.help, numeric))
            keys, text = self._numbers(field) if numeric else self._others(field)
            self.keys.append(keys)
            self._texts.append(text)
        self._kept: list[dict[int, str]] = [{} for _ in self.columns]

    def __len__(self) -> int:
        return len(self.parts)

    @cached_property
    def ids(self) -> NDArray[np.integer]:
        """Each part's id in the catalogue, −1 where it has none."""
        return np.array([-1 if part.id is None else part.id for part in self.parts], dtype=np.int64)

    @cached_property
    def haystacks(self) -> list[str]:
        """What narrowing looks through, part by part."""
        found = []
        for i, part in enumerate(self.parts):
            own = [self.text(column, i) for column in range(len(self.columns))]
            supplier = part.price.supplier if part.price else ""
            found.append(" ".join((*own, supplier, part.note)).casefold())
        return found

    def text(self, column: int, i: int) -> str:
        """Return what a cell shows."""
        kept = self._kept[column]
        text = kept.get(i)
        if text is None:
            text = kept[i] = self._texts[column](i)
        return text

    def is_filled_in(self, column: int, i: int) -> bool:
        """Tell whether a cell shows a default that nobody gave, or nothing known."""
        return column > 0 and self.parts[i].figures.get(self.columns[column].key) is None

    def _numbers(self, field: Field) -> tuple[Keys, Callable[[int], str]]:
        key, measures = field.key, self.measures
        default = field.default
        given = [part.figures.get(key) for part in self.parts]
        stored = np.array([default if value is None else value for value in given], dtype=float)
        # Units of one quantity are linear in each other, so two points give the whole column.
        zero = measures.shown(0.0, field.unit)
        values = zero + stored * (measures.shown(1.0, field.unit) - zero)
        is_inch = measures.unit_for(field.unit) is IN
        most = 0 if field.shape is Shape.WHOLE else max(field.decimals, 1) + 2 * is_inch
        digits = _decimals(values, most)

        def text(i: int) -> str:
            value = values[i]
            return NOT_KNOWN if value != value else measures.number(float(value), digits)

        return values, text

    def _others(self, field: Field) -> tuple[Keys, Callable[[int], str]]:
        key, parts, measures = field.key, self.parts, self.measures
        if field.shape is Shape.SIZE:
            sizes = [part.figure(key) for part in parts]
            keys = np.array([size[0] if isinstance(size, tuple) else np.nan for size in sizes])
        else:
            keys = ranks([str(part.figure(key) or "") for part in parts])

        def text(i: int) -> str:
            return measures.figure(field, parts[i].figure(key), unit=False)

        return keys, text


def ordered(keys: Keys, rows: NDArray[np.integer], descending: bool) -> NDArray[np.integer]:
    """Return `rows` sorted by their keys, stable, with what is not known last either way."""
    of_rows = keys[rows]
    if descending:
        of_rows = -of_rows
    return rows[np.argsort(of_rows, kind="stable")]
