"""The offers for one part: who sells it, for how much, how many there are, and how old that is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.editing.offer_fields import with_typed
from pennyspeed.services.editing.part_fields import currency_of
from pennyspeed.services.shopping.offer_rows import DRAFT, HEADS, KEYS, draft_row, offer_rows


class OffersTable(EditableTable):
    """The offers for a part, one a row, edited in place.

    Parameters
    ----------
    session : Session
    shopping : Shopping
    today : callable, optional
        Returns the day that it is.
    """

    def __init__(
        self,
        session: Session,
        shopping: Shopping,
        today: Callable[[], date] = date.today,
        parent: QWidget | None = None,
    ) -> None:
        empty = "Nobody has said a price for it yet. N writes an offer down."
        super().__init__("offers", HEADS, empty, parent)
        self._session, self._shopping, self._today = session, shopping, today
        self.part: Part | None = None
        self.offers: tuple[Price, ...] = ()
        self._draft: dict[str, str] | None = None
        self.take = self._take
        self.removed.connect(self._remove)
        self.new_wanted.connect(self.write_new)

    def show_part(self, part: Part | None) -> None:
        """Show the offers for another part, or renew those of the same."""
        if part is None or self.part is None or part.id != self.part.id:
            self._draft = None
        self.part = part
        self.offers = () if part is None else self._shopping.offers(part)
        own = None if part is None else part.price
        rows = offer_rows(self.offers, own, self._session.bench.measures, self._today())
        if self._draft is not None:
            rows.append(draft_row(self._draft))
        self.show_entries(rows)

    # Changing -------------------------------------------------------------------------------

    def write_new(self) -> None:
        """Add a row for another offer, to be filled in."""
        if self.part is None or self.part.id is None:
            return
        if self._draft is None:
            self._draft = {}
            self.show_part(self.part)
        if self.stand_on_key(DRAFT):
            self.edit_here()

    def _take(self, row: int, column: int, text: str) -> None:
        part, key = self.part, KEYS[column]
        if part is None:
            return
        measures, today = self._session.bench.measures, self._today()
        if row >= len(self.offers):
            self._take_draft(part, key, text, column)
            return
        before = self.offers[row]
        after = with_typed(before, key, text, before.amount.currency, measures, today)
        self._refuse_twin(after, before)
        if after == before:
            return
        # What was asked on an earlier day stays in the history.
        is_newer = after.amount != before.amount and after.on > before.on
        self._shopping.change_offer(part, None if is_newer else before, after)
        self.stand_on_key(after.supplier, column)

    def _take_draft(self, part: Part, key: str, text: str, column: int) -> None:
        measures, today = self._session.bench.measures, self._today()
        currency = currency_of(part, self._session.bench.build)
        if self._draft is None:
            return
        draft = {**self._draft, key: text.strip()}
        price = Price(Money(0, currency), today)
        for one, typed in draft.items():
            if typed:
                price = with_typed(price, one, typed, currency, measures, today)
        self._refuse_twin(price, None)
        if not draft.get("price"):
            self._draft = draft
            self.show_part(part)
            self.stand_on_key(DRAFT, column)
            return
        if draft.get("on"):
            price = with_typed(price, "on", draft["on"], currency, measures, today)
        self._draft = None
        self._shopping.change_offer(part, None, price)
        self.stand_on_key(price.supplier, column)

    def _refuse_twin(self, after: Price, before: Price | None) -> None:
        others = [one for one in self.offers if one is not before]
        if any(one.supplier == after.supplier for one in others):
            expected = "a shop that has no offer here yet; its own row can be edited"
            raise BadInput("shop", after.supplier, expected)

    def _remove(self, row: int) -> None:
        if self.part is None:
            return
        if row >= len(self.offers):
            self._draft = None
            self.show_part(self.part)
            return
        with self._session.messages.reporting():
            self._shopping.change_offer(self.part, self.offers[row], None)
