"""The suppliers: what each adds to a price, and how long it takes, as it says and as it was."""

from __future__ import annotations

from collections import Counter

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.names import free_name
from pennyspeed.services.editing.supplier_fields import with_typed
from pennyspeed.services.money.money_words import amount_text, plain

KEYS = ("name", "lead_days", "learned", "postage", "free_from", "duty", "currency", "note")
HEADS = (
    ColumnHead("shop", "Who sells, as prices and lines write it."),
    ColumnHead("says days", "From order to arrival, as the shop says.", True),
    ColumnHead("took days", "From order to arrival, the median of what came before.", True),
    ColumnHead("postage", "For one parcel, however much is in it.", True),
    ColumnHead("free from", "Goods of this much and more are sent free.", True),
    ColumnHead("duty %", "Duty and tax on what the goods cost, in percent.", True),
    ColumnHead("in", "The currency of postage and of free from."),
    ColumnHead("note", "Whatever you want to remember.", grows=True),
)
NEW = "new shop"


class SuppliersTable(EditableTable):
    """The suppliers, one a row; names that only prices or lines know stand among them.

    Parameters
    ----------
    session : Session
    shopping : Shopping
    """

    def __init__(self, session: Session, shopping: Shopping, parent: QWidget | None = None) -> None:
        empty = "No shop is known yet. N writes one down; prices and lines that name one do too."
        super().__init__("shops", HEADS, empty, parent)
        self._session, self._shopping = session, shopping
        self._named: tuple[str, ...] = ()
        self.take = self._take
        self.removed.connect(self._remove)
        self.new_wanted.connect(self._write_new)
        shopping.changed.connect(self.refresh)
        session.bench.build_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        self.refresh()

    def name_also(self, names: tuple[str, ...]) -> None:
        """Show these too, though nobody has described them."""
        if names != self._named:
            self._named = names
            self.refresh()

    def refresh(self) -> None:
        """Show what is known now."""
        build, shopping = self._session.bench.build, self._shopping
        known = {supplier.name: supplier for supplier in shopping.suppliers()}
        lines = () if build is None else [build.supplier_of(line) for line in build.lines]
        currency = DEFAULT_CURRENCY if build is None else build.currency
        arrivals = shopping.arrivals
        for name in (*lines, *self._named, *(one for one, _, _ in arrivals)):
            if name and name not in known:
                known[name] = Supplier(name, currency)
        self._known = known
        counts = Counter(name.casefold() for name, _, _ in arrivals)
        learned = shopping.leads().learned
        entries = [
            self._entry(one, learned.get(name.casefold()), counts[name.casefold()])
            for name, one in sorted(known.items(), key=lambda pair: pair[0].casefold())
        ]
        self.show_entries(entries)

    def _entry(self, one: Supplier, took: int | None, arrivals: int) -> TableRow:
        measures = self._session.bench.measures
        postage = amount_text(one.postage, one.currency, measures)
        free = amount_text(one.free_from, one.currency, measures)
        says = "" if one.lead_days is None else str(one.lead_days)
        often = "once" if arrivals == 1 else f"{arrivals} times"
        times = "" if took is None else f"{took}, {often}"
        return TableRow(
            one.name,
            (
                Cell(one.name, typed=one.name, tone="strong"),
                Cell(says or "not known", typed=says, tone="" if says else "quiet"),
                Cell(times or "not known", tone="" if times else "quiet"),
                Cell(postage, typed=postage),
                Cell(free or "never", typed=free, tone="" if free else "quiet"),
                Cell(plain(one.duty_percent, measures), typed=plain(one.duty_percent, measures)),
                Cell(one.currency, typed=one.currency),
                Cell(one.note, typed=one.note),
            ),
        )

    # Changing -------------------------------------------------------------------------------

    def _stored(self, name: str) -> Supplier | None:
        return next((one for one in self._shopping.suppliers() if one.name == name), None)

    def _take(self, row: int, column: int, text: str) -> None:
        name = str(self.ledger.entries[row].key)
        shown = self._known[name]
        after = with_typed(shown, KEYS[column], text, self._session.bench.measures)
        if after.name != name and after.name in self._known:
            raise BadInput("shop", text, "a name that no other shop has")
        self._shopping.change_supplier(self._stored(name), after)
        self.stand_on_key(after.name, column)

    def _remove(self, row: int) -> None:
        stored = self._stored(str(self.ledger.entries[row].key))
        if stored is None:
            return
        with self._session.messages.reporting():
            self._shopping.change_supplier(stored, None)

    def _write_new(self) -> None:
        name = free_name(NEW, self._known)
        build = self._session.bench.build
        currency = DEFAULT_CURRENCY if build is None else build.currency
        with self._session.messages.reporting() as report:
            self._shopping.change_supplier(None, Supplier(name, currency))
        if report.succeeded and self.stand_on_key(name):
            self.edit_here()
