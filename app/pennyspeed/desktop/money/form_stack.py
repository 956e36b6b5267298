"""The form stack: the lines of money, or a form in their place."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from pennyspeed.desktop.money.money_form import OrderForm, RatesForm
from pennyspeed.desktop.session import Session
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.orders import Order


class FormStack(QStackedWidget):
    """Shows the lines until a form is opened, and again once it is closed.

    Parameters
    ----------
    session : Session
    lines : QWidget

    Signals
    -------
    form_closed()
        The lines show again.
    """

    form_closed = Signal()

    def __init__(self, session: Session, lines: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines = lines
        self.order_form, self.rates_form = OrderForm(session), RatesForm(session)
        self.forms = self.order_form, self.rates_form
        self.addWidget(lines)
        for form in self.forms:
            self.addWidget(form)
            form.closed.connect(self.close_form)

    def edit_order(self, build: Build, order: Order | None, places: Sequence[int]) -> None:
        """Open the form for an order, None for a new one of the lines in those places."""
        self.setCurrentWidget(self.order_form)
        if order is None:
            self.order_form.write_new(build, places)
        else:
            self.order_form.edit(build, order, places)

    def edit_rates(self, build: Build) -> None:
        """Open the form of exchange rates."""
        self.setCurrentWidget(self.rates_form)
        self.rates_form.edit(build)

    def close_form(self) -> None:
        """Show the lines again."""
        if self.currentWidget() is not self._lines:
            self.setCurrentWidget(self._lines)
            self.form_closed.emit()

    def focus_form(self) -> bool:
        """Go to the first row of the form that is open; False where none is."""
        form = next((form for form in self.forms if form is self.currentWidget()), None)
        if form is not None:
            form.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)
        return form is not None
