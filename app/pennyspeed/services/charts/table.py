"""Tables: the curves of a chart as columns of figures."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np

from pennyspeed.physics.car import FloatArray
from pennyspeed.services.formulas import guarded


@dataclass(frozen=True, slots=True)
class Table:
    """Columns of one length; NaN stands for a figure that there is not.

    Attributes
    ----------
    heads : tuple of str
        Each column's name with its unit in square brackets.
    """

    heads: tuple[str, ...]
    columns: tuple[FloatArray, ...]

    def csv(self) -> str:
        """Return the table as comma-separated values (RFC 4180), numbers with a decimal point."""
        sink = io.StringIO()
        writer = csv.writer(sink)
        writer.writerow([guarded(head) for head in self.heads])
        writer.writerows(self._rows())
        return sink.getvalue()

    def _rows(self) -> Iterator[list[str]]:
        for row in zip(*self.columns, strict=True):
            yield ["" if np.isnan(figure) else f"{figure:.6g}" for figure in row]


@dataclass(frozen=True, slots=True)
class DayTable(Table):
    """Sums in minor units by day, written with `digits` decimals; the first head is the days'."""

    days: tuple[date, ...] = ()
    digits: int = 2

    def _rows(self) -> Iterator[list[str]]:
        for day, *amounts in zip(self.days, *self.columns, strict=True):
            whole = [Decimal(int(amount)).scaleb(-self.digits) for amount in amounts]
            yield [day.isoformat(), *(f"{one:.{self.digits}f}" for one in whole)]


def head(name: str, unit: str) -> str:
    """Return a column's head."""
    return f"{name} [{unit}]" if unit else name


def along(xs: FloatArray, own: FloatArray, values: FloatArray) -> FloatArray:
    """Return a curve's values at `xs`, NaN outside its own range."""
    return np.interp(xs, own, values, left=np.nan, right=np.nan)
