"""The form of an order: what its lines share, and which lines it gathers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money.money_fields import (
    amount_text,
    iso,
    plain,
    read_amount,
    read_currency,
)
from pennyspeed.desktop.money.money_form import MoneyForm, field_row
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.topline.build_fields import read_day
from pennyspeed.desktop.widgets.form import Choice, FormRow
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.orders import Order, ShareBy
from pennyspeed.services.money.line_changes import LineChange, with_order, without_order

COSTS = (
    ("postage", "What sending it costs."),
    ("duty", "Customs and tax on all of it."),
    ("discount", "What is taken off all of it."),
)
DAYS = (
    ("ordered", "ordered on", "The day it was sent off; nothing while it is a plan."),
    ("expected", "expected on", "The day it is to come; lines may have their own."),
    ("arrived", "arrived on", "The day it did come."),
)
SHARES = [("value", ShareBy.VALUE.value), ("mass", ShareBy.MASS.value)]


class OrderForm(MoneyForm):
    """The form of one order, new or changed."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._was: Order | None = None
        self._gathered: tuple[int, ...] = ()

    def write_new(self, build: Build, places: Sequence[int]) -> None:
        """Show an empty form that gathers lines, by their places in the build."""
        suppliers = {build.supplier_of(build.lines[i]) for i in places} - {""}
        currencies = {build.lines[i].currency for i in places}
        order = Order(
            "",
            supplier=suppliers.pop() if len(suppliers) == 1 else "",
            currency=currencies.pop() if len(currencies) == 1 else "",
        )
        self._was = None
        self._show(build, order, places)

    def edit(self, build: Build, order: Order, places: Sequence[int] = ()) -> None:
        """Show an order of the build, which gathers further lines."""
        self._was = order
        self._show(build, order, places)

    def _show(self, build: Build, order: Order, places: Sequence[int]) -> None:
        measures = self._session.bench.measures
        self._gathered = tuple(places)
        is_new = self._was is None
        own = [line.called for line in build.lines if not is_new and line.order == order.reference]
        names = own + [
            build.lines[i].called
            for i in places
            if is_new or build.lines[i].order != order.reference
        ]
        about = f"of {', '.join(names)}" if names else "without lines yet"
        title = "A new order" if is_new else f"Order {order.reference}"
        rows = _rows(order, build, measures, self.body)
        self.show_rows(title, about, rows, can_remove=not is_new)

    def deed(self, build: Build) -> LineChange:
        measures = self._session.bench.measures
        texts = {row.key: row.text.strip() for row in self.body.rows}
        reference = texts["reference"]
        if not reference:
            raise BadInput("reference", "", "a word or number by which you know the order")
        was = None if self._was is None else self._was.reference
        if any(one.reference == reference != was for one in build.orders):
            raise BadInput("reference", reference, "one that no other order of this build has")
        currency = read_currency(texts["currency"], build, "currency")
        amounts = {
            key: read_amount(texts[key], key, measures, Decimal(0)) if texts[key] else Decimal(0)
            for key, _ in COSTS
        }
        rate = _read_rate(texts["rate"], currency, measures)
        old = self._was or Order(reference)
        is_same = rate == old.rate and currency == old.currency
        ordered, expected, arrived = (read_day(texts[key], label) for key, label, _ in DAYS)
        order = replace(
            old,
            reference=reference,
            supplier=texts["supplier"],
            currency=currency,
            rate=rate,
            rate_on=old.rate_on if is_same else None,
            postage=amounts["postage"],
            duty=amounts["duty"],
            discount=amounts["discount"],
            share_by=ShareBy(texts["share_by"]),
            ordered=ordered,
            expected=expected,
            arrived=arrived,
            note=texts["note"],
        )
        return with_order(build, order, was, self._gathered, date.today())

    def remove(self) -> None:
        build = self._session.bench.build
        if build is not None and self._was is not None:
            self.take(without_order(build, self._was.reference))


def _read_rate(text: str, currency: str, measures: Measures) -> Decimal | None:
    if not text:
        return None
    if not currency:
        raise BadInput("rate", text, "nothing, as the order is in the build's own currency")
    rate = read_amount(text, "rate", measures)
    if rate <= 0:
        raise BadInput("rate", text, f"more than 0 for one {currency}")
    return rate


def _rows(order: Order, build: Build, measures: Measures, home: QWidget) -> list[FormRow]:
    currency = order.currency or build.currency

    def amount(value: Decimal) -> str:
        return amount_text(value or None, currency, measures)

    share = Choice(SHARES, home)
    share.setCurrentIndex(share.findData(order.share_by.value))
    rows = [
        field_row(
            "reference", "reference", "The number on the invoice, or a word.", order.reference
        ),
        field_row("supplier", "supplier", "Who sends it.", order.supplier),
        field_row(
            "currency", "currency", "In which it is paid.", order.currency, build.currency
        ),
        field_row(
            "rate", "rate", f"{build.currency} for one unit of its currency on that day.",
            plain(order.rate, measures), "the build's, of its day",
        ),
        *(
            field_row(key, key, help, amount(getattr(order, key)), measures.number(0, 2))
            for key, help in COSTS
        ),
        FormRow("share_by", "shared by", "What decides each line's part of these costs.", share),
        *(
            field_row(key, label, help, iso(getattr(order, key)), "not known")
            for key, label, help in DAYS
        ),
        field_row("note", "note", "Whatever you want to remember.", order.note),
    ]  # fmt: skip
    return rows
