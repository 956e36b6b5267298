"""Suppliers: what they add to a price, and how long they take."""

from __future__ import annotations

import sqlite3

from sqlalchemy import bindparam, delete, insert, select

from pennyspeed.domain.errors import BadInput, NotFound
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.storage.money_rows import SUPPLIER_COLUMNS, supplier_of, supplier_values
from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.tables import SUPPLIER

_ALL = Prepared(select(*(SUPPLIER.c[name] for name in SUPPLIER_COLUMNS)))
_ADD = Prepared(insert(SUPPLIER), SUPPLIER_COLUMNS)
_DELETE = Prepared(delete(SUPPLIER).where(SUPPLIER.c.name == bindparam("wanted")))


class Suppliers:
    """The suppliers within one transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def all(self) -> list[Supplier]:
        """Return every supplier, by name."""
        found = [supplier_of(row) for row in _ALL.run(self._connection).fetchall()]
        found.sort(key=lambda supplier: (supplier.name.casefold(), supplier.name))
        return found

    def save(self, supplier: Supplier, was: str | None = None) -> Supplier:
        """Add a supplier, or change the one of its name, or of the name that it `was`.

        Raises
        ------
        BadInput
            For what cannot be, or where another supplier has the new name.
        """
        supplier = supplier.checked()
        names = {one.name for one in self.all()}
        if was is not None and was != supplier.name and supplier.name in names:
            raise BadInput("supplier", supplier.name, "a name that no other supplier has")
        for name in {supplier.name, was} - {None}:
            _DELETE.run(self._connection, wanted=name)
        _ADD.run(self._connection, **supplier_values(supplier))
        return supplier

    def delete(self, name: str) -> Supplier:
        """Delete a supplier and return what it was; prices and lines keep the name."""
        gone = next((one for one in self.all() if one.name == name), None)
        if gone is None:
            raise NotFound(f"There is no supplier {name}.")
        _DELETE.run(self._connection, wanted=name)
        return gone
