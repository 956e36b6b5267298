"""The offers for one part: who sells it, for how much, how many there are, and how old that is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.domain.checks import Level
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.days import iso, say_day, say_days
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import STALE_AFTER_DAYS, stale
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.editing.offer_fields import with_typed
from pennyspeed.services.editing.part_fields import currency_of
from pennyspeed.services.money.money_words import amount_text

KEYS = ("supplier", "price", "in_stock", "lead_days", "on", "age", "link")
HEADS = (
    ColumnHead("shop", "Who asks that price."),
    ColumnHead("price", "Of one; a currency may follow, such as 12.50 USD.", True),
    ColumnHead("in stock", "How many are to be had.", True),
    ColumnHead("days", "From order to arrival, as said with the price.", True),
    ColumnHead("seen on", "The day of the price.", True),
    ColumnHead(
        "", f"Whether it is older than {STALE_AFTER_DAYS} days and has to be asked for again."
    ),
    ColumnHead("link", "Where it is offered.", grows=True),
)
DRAFT = "draft"


def say_age(price: Price, today: date) -> str:
    """Return how old a price is, and that it is too old where it is."""
    age = (today - price.on).days
    if age <= 0:
        return "today"
    return f"{say_days(age)} old"


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
        entries = [TableRow(price.supplier, self._cells(price)) for price in self.offers]
        if self._draft is not None:
            entries.append(TableRow(DRAFT, self._draft_cells(self._draft)))
        self.show_entries(entries)

    def _cells(self, price: Price) -> tuple[Cell, ...]:
        measures, today = self._session.bench.measures, self._today()
        own = self.part is not None and self.part.price == price
        stock = "" if price.in_stock is None else str(price.in_stock)
        days = "" if price.lead_days is None else str(price.lead_days)
        currency = price.amount.currency
        typed = f"{amount_text(price.amount.amount, currency, measures)} {currency}"
        is_old = stale(price, today)
        return (
            Cell(price.supplier or "nobody named", typed=price.supplier, tone="strong"),
            Cell(measures.money(price.amount), typed=typed, tone="strong" if own else ""),
            Cell(stock or "not known", typed=stock, tone="" if stock else "quiet"),
            Cell(days or "not known", typed=days, tone="" if days else "quiet"),
            Cell(say_day(price.on, today), typed=iso(price.on)),
            Cell(say_age(price, today), Level.WARN if is_old else None),
            Cell(price.link, typed=price.link),
        )

    @staticmethod
    def _draft_cells(draft: dict[str, str]) -> tuple[Cell, ...]:
        return tuple(
            Cell("a price is needed", Level.UNKNOWN)
            if key == "age"
            else Cell(draft.get(key, ""), typed=draft.get(key, ""))
            for key in KEYS
        )

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
