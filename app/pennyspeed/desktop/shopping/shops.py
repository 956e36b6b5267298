"""Shops: what is asked for the part in the chosen slot, and who the shops are."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping import SHOPS
from pennyspeed.desktop.shopping.offers import OffersTable
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.shopping.suppliers import SuppliersTable
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.domain.kinds import BY_KEY


class ShopsPage(Page):
    """The offers for a part above, the shops below.

    Parameters
    ----------
    session : Session
    shopping : Shopping

    Signals
    -------
    basket_wanted(), left_wanted()
        The cheapest basket, or what could still be bought, is to be shown.
    """

    basket_wanted = Signal()
    left_wanted = Signal()
    keys = SHOPS

    def __init__(
        self,
        session: Session,
        shopping: Shopping,
        today: Callable[[], date] = date.today,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Offers", parent)
        self._session = session
        self.offers = OffersTable(session, shopping, today)
        self.suppliers = SuppliersTable(session, shopping)
        self.new_push = Button("new offer", self)
        self.basket_push = Button("cheapest together", self)
        self.left_push = Button("what could I still buy", self)
        self.shops_title = Label("heading", self)
        self.shops_title.say("Shops")
        self.add_table(self.offers, 1)
        self.add_foot(self.new_push, self.basket_push, self.left_push)
        self.add_strip(40, self.shops_title)
        self.add_table(self.suppliers, 1)
        self.setFocusProxy(self.offers)
        verbs = (self.new_push, self.basket_push, self.left_push)
        self.order_tab(self.offers, *verbs, self.suppliers)
        self._keys = KeyHandler(SHOPS, basket=self.basket_wanted.emit, left=self.left_wanted.emit)
        self.new_push.clicked.connect(self.offers.write_new)
        self.basket_push.clicked.connect(self.basket_wanted)
        self.left_push.clicked.connect(self.left_wanted)
        session.bench.slot_changed.connect(self._slot_changed)
        session.bench.build_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        shopping.changed.connect(self.refresh)
        self.refresh()

    def _slot_changed(self, _: str) -> None:
        # A method, which Qt lets go with the page; the session would keep a lambda.
        self.refresh()

    def refresh(self) -> None:
        """Show the offers for the part that is chosen now."""
        part = self._session.bench.slot_part
        label = BY_KEY[self._session.bench.slot].label
        if part is None:
            self.title.say("Offers")
            self.note.say(f"The {label} slot is empty: put a part in, and its offers stand here.")
        else:
            self.title.say(f"Offers for {part.name}")
            self.note.say(f"{label}, the strong price is the one that builds take")
        self.new_push.setEnabled(part is not None and part.id is not None)
        self.offers.show_part(part)
        self.suppliers.name_also(tuple(one.supplier for one in self.offers.offers))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._keys.act(event):
            super().keyPressEvent(event)
