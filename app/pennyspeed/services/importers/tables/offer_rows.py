"""Rows of offers: what a supplier asks for a part of the catalogue."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.offers import newest
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.services.importers.tables.cells import Cells, by_target
from pennyspeed.services.importers.tables.columns import Column
from pennyspeed.services.importers.tables.part_changes import price_changes
from pennyspeed.services.importers.tables.part_rows import History
from pennyspeed.services.importers.tables.prices import kind_of_row, price_of, says
from pennyspeed.services.importers.tables.rows import Refused, Row, Verdict

Named = Callable[[Kind | None, str], Iterable[Part]]
"""Kind, or None for all, and name to the catalogue's parts of that name."""


@dataclass(frozen=True, slots=True)
class OfferEntry:
    """An offer and the part that it is for."""

    part: Part
    price: Price | None


class OfferReader:
    """Reads rows of offers against a catalogue.

    Parameters
    ----------
    kind : Kind or None
        Of rows that do not name theirs; None looks among all.
    """

    def __init__(
        self,
        columns: Sequence[Column],
        named: Named,
        history: History,
        kind: Kind | None,
        measures: Measures,
    ) -> None:
        self._columns = by_target(columns)
        self._named, self._history, self._kind = named, history, kind
        self._measures = measures
        self._seen: dict[tuple[str, str, str, date], int] = {}
        self._today = date.today()

    def read(self, number: int, row: Sequence[str]) -> Row[OfferEntry]:
        """Return what a row would do, or raise Refused."""
        cells = Cells(self._columns, row)
        name = cells["name"]
        try:
            part = self._part(cells, name)
            price = price_of(cells, None, self._today)
            if price is None:
                raise BadInput(cells.place("price"), None, "what the supplier asks")
            place = (part.kind_key, part.name, price.supplier, price.on)
            first = self._seen.setdefault(place, number)
            if first != number:
                raise BadInput(
                    cells.place("name"), name, f"no second offer of that day beside row {first}"
                )
        except BadInput as error:
            raise Refused([error], name) from None
        history = [] if part.id is None else list(self._history(part.id))
        # The history has the newest first.
        own = newest(one for one in reversed(history) if one.supplier.strip() == price.supplier)
        if not own:
            return Row(number, row, Verdict.NEW, part.name, OfferEntry(part, price))
        theirs = (one for one in history if one.supplier.strip() == price.supplier)
        before = next((one for one in theirs if says(cells, price, one)), None)
        if before is not None:
            entry = OfferEntry(part, before)
            return Row(number, row, Verdict.SAME, part.name, entry, entry)
        changes = tuple(price_changes(own[0], price, self._measures))
        entry = OfferEntry(part, own[0])
        return Row(number, row, Verdict.CHANGED, part.name, OfferEntry(part, price), entry, changes)

    def _part(self, cells: Cells, name: str) -> Part:
        checked_name(name, cells.place("name"))
        kind = kind_of_row(cells, self._kind) if cells["kind"] else self._kind
        found = list(self._named(kind, name))
        kinds = {part.kind_key for part in found}
        if len(kinds) > 1:
            expected = "a column kind, since it is the name of a " + " and a ".join(sorted(kinds))
            raise BadInput(cells.place("name"), name, expected)
        if not found:
            what = "part" if kind is None else kind.label
            raise BadInput(cells.place("name"), name, f"the name of a {what} of the catalogue")
        return found[0]
