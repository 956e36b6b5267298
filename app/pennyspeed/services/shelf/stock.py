"""Table: declared columns over many parts, sorted and narrowed inside the model.

Keys to sort by are numpy arrays, made once for a stock of parts; texts are made when they are
shown. No proxy: thousands of rows stay within a frame.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.estimates.estimate_words import origin, stored_words
from pennyspeed.domain.estimates.work_out import Estimator
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.money.apportion import rounded
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.columns import Columns
from pennyspeed.domain.parts.fields import Field, Shape
from pennyspeed.domain.parts.glossary import field_help
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import IN
from pennyspeed.services.estimates.peers import Estimators

Keys = NDArray[np.floating]
ABOUT = "≈"
"""Stands before a figure that was worked out."""
_RUNS = re.compile(r"(\d+)")
FEW = 20
"""So many parts may be others for a stock to be made from the one before."""


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


# Thousands of names take a while to sort, and stay as they are when one figure is edited.
@lru_cache(maxsize=16)
def ranks(texts: tuple[str, ...]) -> Keys:
    """Return each text's place in natural order; equal texts share one, blank ones have none."""
    order = sorted(set(texts) - {""}, key=natural_key)
    places = {text: float(i) for i, text in enumerate(order)}
    found = np.array([places.get(text, np.nan) for text in texts])
    found.flags.writeable = False
    return found


def title_of(field: Field, measures: Measures) -> str:
    """Return a field's header with the unit in which its figures are shown.

    >>> from pennyspeed.domain.kinds import BY_KEY
    >>> from pennyspeed.domain.units import IN
    >>> title_of(BY_KEY["motor"].field("can_mm"), Measures(length_unit=IN))
    'can in'
    """
    unit, shown = field.unit, measures.unit_for(field.unit)
    if shown.is_reciprocal:
        return shown.symbol
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


@dataclass(frozen=True, slots=True)
class _Number:
    """Writes the figures of a column, all with as many decimals as they need together."""

    values: Keys
    measures: Measures
    digits: int

    def __call__(self, i: int) -> str:
        value = self.values[i]
        return NOT_KNOWN if value != value else self.measures.number(float(value), self.digits)


def _changed(parts: list[Part], before: Stock) -> list[int] | None:
    """Return the places of the parts that are others than before, None where too much is."""
    old = before.parts
    if len(old) != len(parts):
        return None
    places = [i for i, (one, other) in enumerate(zip(parts, old, strict=True)) if one is not other]
    is_few = len(places) <= FEW and all(parts[i].id == old[i].id for i in places)
    return places if is_few else None


def _priced(parts: Sequence[Part], currency: str, rates: tuple[Rate, ...]) -> Keys:
    if not parts:
        return np.zeros(0)
    minor, known, fractions = Columns(parts).prices(currency, rates)
    whole = minor if fractions is None else minor + np.array([rounded(f) for f in fractions])
    return np.where(known, whole.astype(float), np.nan)


class Stock:
    """The parts of one kind as columns: what is theirs alone, whatever build they go into.

    Parameters
    ----------
    before : Stock or None
        The same parts but for a few that were changed: only these are worked out anew.
    """

    def __init__(
        self, kind: Kind, parts: list[Part], measures: Measures, before: Stock | None = None
    ) -> None:
        self.kind, self.parts, self.measures = kind, parts, measures
        others = _changed(parts, before) if before is not None else None
        if before is not None and (others is None or before.measures != measures):
            before = None
        self.columns = [Column("name", kind.label, "What it is called.", numeric=False)]
        self._texts: list[Callable[[int], str]] = [lambda i: parts[i].name]
        self.keys: list[Keys] = [ranks(tuple(part.name for part in parts))]
        for field in kind.shelf_fields:
            numeric = field.shape in (Shape.NUMBER, Shape.WHOLE)
            help = field_help(kind.key, field)
            self.columns.append(Column(field.key, title_of(field, measures), help, numeric))
            text: Callable[[int], str]
            if numeric:
                known = before.keys[len(self.keys)] if before is not None else None
                keys, text = self._numbers(field, known, others or [])
            else:
                keys, text = self._others(field)
            self.keys.append(keys)
            self._texts.append(text)
        self._kept: list[dict[int, str]] = [{} for _ in self.columns]
        self._digits = [text.digits if isinstance(text, _Number) else 0 for text in self._texts]
        if before is not None:
            for place, digits in enumerate(self._digits):
                if digits == before._digits[place]:
                    self._kept[place] = dict(before._kept[place])
                for i in others or []:
                    self._kept[place].pop(i, None)
        self._prices: dict[tuple[str, tuple[Rate, ...]], Keys] = {}
        if before is not None:
            # The last ones asked for will be asked for again.
            for (currency, rates), old in list(before._prices.items())[-1:]:
                prices = self._prices[currency, rates] = old.copy()
                some = [parts[i] for i in others or []]
                prices[others or []] = _priced(some, currency, rates)

    def __len__(self) -> int:
        return len(self.parts)

    @property
    def names(self) -> int:
        """How many of the first columns name what goes in."""
        return 1

    @property
    def asked(self) -> tuple[list[Part], list[Part]]:
        """The parts that go in, and those of which each goes in with every one of them."""
        return self.parts, []

    def parts_at(self, i: int) -> tuple[Part, ...]:
        """Return what goes in with one row."""
        return (self.parts[i],)

    def index_of(self, part: Part) -> int:
        """Return the place of a part of the catalogue, or −1."""
        if part.id is not None:
            found = np.flatnonzero(self.ids == part.id)
            return int(found[0]) if len(found) else -1
        return next((i for i, one in enumerate(self.parts) if one.same_article(part)), -1)

    def index_of_parts(self, parts: Sequence[Part]) -> int:
        """Return the row of what goes in together, or −1."""
        return self.index_of(parts[0]) if len(parts) == self.names else -1

    def inside(self, build: Build) -> Counter[int]:
        """Return which rows are in a build already, and how often."""
        kind = self.kind
        own = build.extras if kind.many else (build.part(kind.key),)
        places = (-1 if one is None else self.index_of(one) for one in own)
        return Counter(i for i in places if i >= 0)

    def prepare(self) -> None:
        """Work out what narrowing will need; may be called in any thread."""
        self.with_words([""])
        if any(part.spread for part in self.parts):
            self.estimator.estimates(self.parts[0])

    def with_words(self, words: Sequence[str]) -> NDArray[np.bool_]:
        """Tell of each row whether every word is found in it."""
        return np.array([all(word in hay for word in words) for hay in self.haystacks], dtype=bool)

    def prices(self, currency: str, rates: tuple[Rate, ...] = ()) -> Keys:
        """Return what each costs in the smallest unit, by a build's exchange rates where need be.

        NaN where that is not known.
        """
        if (currency, rates) not in self._prices:
            self._prices[currency, rates] = _priced(self.parts, currency, rates)
        return self._prices[currency, rates]

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
            text = self._texts[column](i)
            text = kept[i] = f"{ABOUT} {text}" if self.is_worked_out(column, i) else text
        return text

    def is_worked_out(self, column: int, i: int) -> bool:
        """Tell whether a cell shows a figure that was worked out, which says so by a sign."""
        key, part = self.columns[column].key, self.parts[i]
        return part.provenance.get(key) is Provenance.WORKED_OUT and key in part.figures

    def estimate_words(self, column: int, i: int) -> str:
        """Return how surely a figure was worked out, and from what; "" of any other."""
        if not self.is_worked_out(column, i):
            return ""
        part, key = self.parts[i], self.columns[column].key
        words = stored_words(part, key, self.measures)
        estimate = self.estimator.estimates(part, anew=True).get(key)
        return f"{words}, worked out from {origin(self.kind, estimate)}" if estimate else words

    @cached_property
    def estimator(self) -> Estimator:
        """The rules of the kind as these parts teach them."""
        return Estimators(lambda _: self.parts).of(self.kind.key)

    def is_filled_in(self, column: int, i: int) -> bool:
        """Tell whether a cell shows a default that nobody gave, or nothing known."""
        return column > 0 and self.parts[i].figures.get(self.columns[column].key) is None

    def _numbers(self, field: Field, known: Keys | None, others: list[int]) -> tuple[Keys, _Number]:
        key, measures = field.key, self.measures
        default = field.default
        anew = self.parts if known is None else [self.parts[i] for i in others]
        given = [part.figures.get(key) for part in anew]
        stored = np.array([default if value is None else value for value in given], dtype=float)
        one = measures.shown(1.0, field.unit)
        if measures.unit_for(field.unit).is_reciprocal:
            values: Keys = one / stored
        else:
            # Such units are linear in each other, so two points give the whole column.
            zero = measures.shown(0.0, field.unit)
            values = zero + stored * (one - zero)
        if known is not None:
            few, values = values, known.copy()
            values[others] = few
        is_inch = measures.unit_for(field.unit) is IN
        most = 0 if field.shape is Shape.WHOLE else max(field.decimals, 1) + 2 * is_inch
        return values, _Number(values, measures, _decimals(values, most))

    def _others(self, field: Field) -> tuple[Keys, Callable[[int], str]]:
        key, parts, measures = field.key, self.parts, self.measures
        if field.shape is Shape.SIZE:
            sizes = [part.figure(key) for part in parts]
            keys = np.array([size[0] if isinstance(size, tuple) else np.nan for size in sizes])
        else:
            keys = ranks(tuple(str(part.figure(key) or "") for part in parts))

        def text(i: int) -> str:
            return measures.figure(field, parts[i].figure(key), unit=False)

        return keys, text


def ordered(
    keys: Keys, rows: NDArray[np.integer], descending: bool, last: NDArray[np.bool_] | None = None
) -> NDArray[np.integer]:
    """Return `rows` sorted by their keys, stable, with what is not known last either way.

    Rows that `last` marks come behind all others, sorted among themselves.
    """
    of_rows = keys[rows]
    if descending:
        of_rows = -of_rows
    if last is None:
        return rows[np.argsort(of_rows, kind="stable")]
    return rows[np.lexsort((of_rows, last[rows]))]
