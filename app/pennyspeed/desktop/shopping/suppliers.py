"""The suppliers: what each adds to a price, and how long it takes, as it says and as it was."""

from __future__ import annotations

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.names import free_name
from pennyspeed.services.editing.supplier_fields import with_typed
from pennyspeed.services.shopping.supplier_rows import (
    HEADS,
    KEYS,
    known_suppliers,
    supplier_rows,
)

NEW = "new shop"


class SuppliersTable(EditableTable):
    """The suppliers, one a row; names that only prices or lines know stand among them."""

    def __init__(self, session: Session, shopping: Shopping) -> None:
        empty = "No shop is known yet. N writes one down; prices and lines that name one do too."
        super().__init__("shops", HEADS, empty)
        self._session, self._shopping = session, shopping
        self._named: tuple[str, ...] = ()
        self._known: dict[str, Supplier] = {}
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
        self._known = known_suppliers(shopping.suppliers(), build, shopping.arrivals, self._named)
        measures, learned = self._session.bench.measures, shopping.leads().learned
        self.show_entries(supplier_rows(self._known, shopping.arrivals, learned, measures))

    # Changing -------------------------------------------------------------------------------

    def _stored(self, name: str) -> Supplier | None:
        return next((one for one in self._shopping.suppliers() if one.name == name), None)

    def _take(self, row: int, column: int, text: str) -> None:
        name = str(self.entries_model.entries[row].key)
        shown = self._known[name]
        after = with_typed(shown, KEYS[column], text, self._session.bench.measures)
        if after.name != name and after.name in self._known:
            raise BadInput("shop", text, "a name that no other shop has")
        self._shopping.change_supplier(self._stored(name), after)
        self.stand_on_key(after.name, column)

    def _remove(self, row: int) -> None:
        stored = self._stored(str(self.entries_model.entries[row].key))
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
