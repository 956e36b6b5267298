"""Rows of parts: one row a part, one column a figure.

The first row names the columns: by a field's key ("mass_g") or its label, with a unit of the
person's choice behind it if they like ("mass (oz)"), and by the keys of `TARGETS`. The kind stands
in a column or in the file's name. A part that the catalogue has by kind and name is changed: a
blank figure becomes 'not known', and a figure without a column stays.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.estimates.rules import expected_words, lacking
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.fields import Field, Shape, Value, parsed_number
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.domain.parts.provenance import Provenance, checked_provenance, checked_spread
from pennyspeed.services.importers.importer import Known
from pennyspeed.services.importers.tables.cells import Cells, by_target
from pennyspeed.services.importers.tables.columns import Column, Target
from pennyspeed.services.importers.tables.part_changes import changes_of, is_same
from pennyspeed.services.importers.tables.prices import (
    KIND,
    NAME,
    PRICE_TARGETS,
    kind_of_row,
    price_of,
)
from pennyspeed.services.importers.tables.rows import Change, Refused, Row, Verdict

TARGETS = (
    KIND,
    NAME,
    *PRICE_TARGETS,
    Target("note", "note", ("notes", "remarks", "comment", "notiz", "bemerkung")),
    Target("picture", "picture", ("image", "bild")),
    Target("provenance", "source of the figures", ("sources",)),
    Target("spread", "spread of the figures", ("spreads",)),
)

History = Callable[[int], Sequence[Price]]
"""Part's number to what it cost so far."""


@dataclass(frozen=True, slots=True)
class PartEntry:
    """A part as a row leaves it, and a price that only joins its history."""

    part: Part
    older: Price | None = None


class _Plan(NamedTuple):
    """What the columns of figures are to a kind: its own with what they said, those of others."""

    figures: list[tuple[int, Column, Field, dict[str, Value | None]]]
    strays: list[tuple[int, Column]]
    required: list[Field]


class PartReader:
    """Reads rows of parts against a catalogue.

    Parameters
    ----------
    kind : Kind or None
        Of rows that do not name theirs.
    """

    def __init__(
        self,
        columns: Sequence[Column],
        known: Known,
        kind: Kind | None,
        history: History,
        measures: Measures,
    ) -> None:
        self._columns = by_target(columns)
        self._figures = [(i, column) for i, column in enumerate(columns) if column.fields]
        self._known, self._kind, self._history = known, kind, history
        self._measures = measures
        self._seen: dict[tuple[str, str], int] = {}
        self._plans: dict[str, _Plan] = {}
        self._today = date.today()

    def read(self, number: int, row: Sequence[str]) -> Row[PartEntry]:
        """Return what a row would do, or raise Refused."""
        cells = Cells(self._columns, row)
        name = cells["name"]
        try:
            kind = kind_of_row(cells, self._kind)
            name = checked_name(name, cells.place("name"))
            first = self._seen.setdefault((kind.key, name), number)
            if first != number:
                raise BadInput(cells.place("name"), name, f"another name than in row {first}")
        except BadInput as error:
            raise Refused([error], name) from None
        old = self._known(kind.key, name)
        entry = PartEntry(self._part(kind, name, cells, row, old))
        if old is None:
            return Row(number, row, Verdict.NEW, name, entry)
        entry = self._with_history(entry, old)
        changes = changes_of(old, entry.part, self._measures)
        if entry.older is not None:
            day_of, amount = entry.older.on, self._measures.money(entry.older.amount)
            changes = (*changes, Change(f"earlier price of {day_of}", "not known", amount))
        verdict = Verdict.CHANGED if changes else Verdict.SAME
        return Row(number, row, verdict, name, entry, PartEntry(old), changes)

    def _part(
        self, kind: Kind, name: str, cells: Cells, row: Sequence[str], old: Part | None
    ) -> Part:
        part = old if old is not None else Part(kind.key, name)
        figures, sources, spreads = dict(part.figures), dict(part.provenance), dict(part.spread)
        errors: list[BadInput] = []
        plan = self._plan(kind)
        blank: dict[str, str] = {}
        # what was worked out, and still nobody says
        kept = {key for key, source in sources.items() if source is Provenance.WORKED_OUT}
        for i, column in plan.strays:
            if row[i]:
                expected = f"nothing, since a {kind.label} has no such figure"
                errors.append(BadInput(column.place, row[i], expected))
        for i, column, declared, values in plan.figures:
            cell, key = row[i], declared.key
            was = figures.pop(key, None)
            if not cell.strip() and declared.required:
                blank[key] = column.place
            try:
                # Long lists repeat themselves: diameters, cells, ratings.
                if cell not in values:
                    values[cell] = (
                        declared.read(_with_unit(cell, declared, column.unit), column.place)
                        if cell.strip()
                        else None
                    )
            except BadInput as error:
                errors.append(error)
                continue
            value = values[cell]
            if value is not None:
                kept.discard(key)
            if was is not None and (key in kept or (value is not None and is_same(was, value))):
                figures[key] = was
                continue
            sources.pop(key, None)
            spreads.pop(key, None)
            if value is not None:
                figures[key] = value
        if not errors:
            blank = {declared.key: f"column {declared.key}" for declared in plan.required} | blank
        errors += [
            BadInput(place, None, expected_words(kind.key, figures, key))
            for key, place in blank.items()
            if key not in figures and lacking(kind.key, figures, key)
        ]
        price = part.price
        try:
            price = price_of(cells, old, self._today) or price
        except BadInput as error:
            errors.append(error)
        try:
            if "provenance" in cells:
                before = sources
                sources = _sources(cells["provenance"], kind, cells.place("provenance"))
                spreads = {k: v for k, v in spreads.items() if sources.get(k) == before.get(k)}
        except BadInput as error:
            errors.append(error)
        try:
            if "spread" in cells:
                spreads = _spreads(cells["spread"], kind, cells.place("spread"))
        except BadInput as error:
            errors.append(error)
        if errors:
            raise Refused(errors, name)
        sources |= dict.fromkeys(kept, Provenance.WORKED_OUT)
        spreads |= {key: part.spread[key] for key in kept if key in part.spread}
        return replace(
            part,
            figures=figures,
            provenance={key: source for key, source in sources.items() if key in figures},
            spread={key: spread for key, spread in spreads.items() if key in figures},
            price=price,
            note=_text(cells, "note", part.note),
            picture=_text(cells, "picture", part.picture),
        )

    def _plan(self, kind: Kind) -> _Plan:
        plan = self._plans.get(kind.key)
        if plan is None:
            figures: list[tuple[int, Column, Field, dict[str, Value | None]]] = [
                (i, column, column.fields[kind.key], {})
                for i, column in self._figures
                if kind.key in column.fields
            ]
            strays = [(i, one) for i, one in self._figures if kind.key not in one.fields]
            required = [declared for declared in kind.fields if declared.required]
            plan = self._plans[kind.key] = _Plan(figures, strays, required)
        return plan

    def _with_history(self, entry: PartEntry, old: Part) -> PartEntry:
        """Keep the current price where the row's is older: an old list does not replace it."""
        price, current = entry.part.price, old.price
        if price is None or current is None or price.on >= current.on or price == current:
            return entry
        known = old.id is not None and price in self._history(old.id)
        return PartEntry(replace(entry.part, price=current), None if known else price)


def _text(cells: Cells, target: str, old: str) -> str:
    """Return a row's text, the old one where nothing but the space around it is another."""
    if target not in cells or cells[target] == old.strip():
        return old
    return cells[target]


def _with_unit(cell: str, declared: Field, unit: str) -> str:
    bare = cell[-1:].isdigit() or cell[-1:] in (".", ",")
    return (
        f"{cell} {unit}"
        if unit and bare and declared.shape not in (Shape.TEXT, Shape.CHOICE)
        else cell
    )


def _sources(cell: str, kind: Kind, place: str) -> dict[str, Provenance]:
    """Return what "key=source; key=source" says."""
    return dict(_read_sources(cell, kind.key, place))


def _spreads(cell: str, kind: Kind, place: str) -> dict[str, float]:
    """Return what "key=spread; key=spread" says."""
    found = {}
    for key, said in _read_pairs(cell, kind.key, place, "spread", "0.28").items():
        try:
            found[key] = checked_spread(parsed_number(said), place)
        except BadInput as error:
            raise BadInput(place, said, error.expected) from None  # in the row's own words
    return found


@lru_cache(maxsize=256)
def _read_sources(cell: str, kind_key: str, place: str) -> Mapping[str, Provenance]:
    said = _read_pairs(cell, kind_key, place, "source", "measured")
    return {key: checked_provenance(source.casefold(), place) for key, source in said.items()}


def _read_pairs(cell: str, kind_key: str, place: str, what: str, example: str) -> dict[str, str]:
    kind, found = BY_KEY[kind_key], {}
    for item in filter(None, map(str.strip, re.split(r"[;,]", cell))):
        key, equals, said = (text.strip() for text in item.partition("="))
        fields = [one for one in kind.fields if key.casefold() in (one.key, one.label.casefold())]
        if not equals or not fields:
            raise BadInput(
                place,
                item,
                f"a figure of a {kind.label} and its {what}, as in {kind.fields[-1].key}={example}",
            )
        found[fields[0].key] = said
    return found
