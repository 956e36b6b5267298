"""The forms of money, in the lines' place: an order, and the exchange rates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money import MONEY_FORM
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.services.editing import order_fields, rate_fields
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.line_changes import LineChange, without_order


class MoneyForm(FormPage):
    """A form over a build's money.

    Parameters
    ----------
    session : Session
    """

    keys = MONEY_FORM
    head, foot = 36, 40
    closes_below = True

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self._session = session
        self._change: LineChange | None = None
        self.remove_push = Button("remove", self)
        self.remove_push.clicked.connect(self.remove)
        self.add(self.area, 1)
        self.add_foot(self.save_button, self.close_button, self.remove_push)

    def change_typed(self, build: Build, texts: Mapping[str, str]) -> LineChange:
        """Return what is typed as a change; BadInput names its row by the label."""
        raise NotImplementedError

    def remove(self) -> None:
        """Take away what the form is about."""

    def show_form(
        self, title: str, about: str, fields: Sequence[FormField], can_remove: bool, at: str
    ) -> None:
        """Show other rows, with the keyboard on the row of key `at`."""
        self.note.say(about)
        self.note.setToolTip(about)
        self.remove_push.setVisible(can_remove)
        self.show_fields(title, fields)
        self.body.row(at).focus()

    def read(self) -> Mapping[str, BadInput]:
        build = self._session.bench.build
        if build is not None:
            texts = {key: text.strip() for key, text in self.body.texts.items()}
            try:
                self._change = self.change_typed(build, texts)
            except BadInput as error:
                return self.fault_of(error)
        return {}

    def store(self) -> bool:
        change = self._change
        if change is None:
            return False
        is_same = change.after == self._session.bench.build
        return is_same or self._session.builds.change(change.after, change.did, change.undid)


class OrderForm(MoneyForm):
    """The form of one order, new or changed."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._was: Order | None = None
        self._gathered: tuple[int, ...] = ()

    def write_new(self, build: Build, places: Sequence[int]) -> None:
        """Show an empty form that gathers lines, by their places in the build."""
        self._was = None
        self._show(build, order_fields.order_gathering(build, places), places)

    def edit(self, build: Build, order: Order, places: Sequence[int] = ()) -> None:
        """Show an order of the build, which gathers further lines."""
        self._was = order
        self._show(build, order, places)

    def _show(self, build: Build, order: Order, places: Sequence[int]) -> None:
        self._gathered = tuple(places)
        title = "A new order" if self._was is None else f"Order {order.reference}"
        about = order_fields.lines_said(build, self._was, places)
        fields = order_fields.form_fields(order, build, self._session.bench.measures)
        self.show_form(title, about, fields, self._was is not None, "reference")

    def change_typed(self, build: Build, texts: Mapping[str, str]) -> LineChange:
        measures = self._session.bench.measures
        return order_fields.order_typed(texts, self._was, self._gathered, build, measures)

    def remove(self) -> None:
        build = self._session.bench.build
        if build is not None and self._was is not None:
            self._change = without_order(build, self._was.reference)
            if self.store():
                self.close_done()


class RatesForm(MoneyForm):
    """Every rate of the build, each to be typed anew or emptied, and one more."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._rates: tuple[Rate, ...] = ()

    def edit(self, build: Build, today: date | None = None) -> None:
        """Show the rates of a build, the one that is missing first."""
        self._rates = build.rates
        fields = rate_fields.form_fields(build, self._session.bench.measures, today or date.today())
        about = f"what one unit of another currency is in {build.currency}"
        self.show_form("Exchange rates", about, fields, False, "currency")

    def change_typed(self, build: Build, texts: Mapping[str, str]) -> LineChange:
        return rate_fields.rates_typed(texts, self._rates, build, self._session.bench.measures)
