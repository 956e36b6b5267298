"""The cheapest basket: which shop for which line of the whole build, postage and duty included."""

from __future__ import annotations

from datetime import date
from functools import partial

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping import BASKET
from pennyspeed.desktop.shopping.background_page import BackgroundPage
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.builds import Build
from pennyspeed.services.money.baskets import Basket
from pennyspeed.services.money.shopping import with_basket
from pennyspeed.services.shopping.basket_rows import (
    CHOICES,
    PARCELS,
    choice_rows,
    parcel_rows,
    saving_note,
    taken_words,
    totals,
)


class BasketPage(BackgroundPage):
    """The basket, worked out beside the window; Enter takes it into the build as one step."""

    keys = BASKET

    def __init__(self, session: Session, shopping: Shopping) -> None:
        super().__init__("Cheapest together", session)
        self.basket: Basket | None = None
        self._build: Build | None = None
        self.choices = EditableTable(
            "cheapest shops", CHOICES, "Nothing that is planned is to be bought."
        )
        self.parcels = EditableTable("parcels", PARCELS, "No parcel.")
        self.take_button = Button("take it into the build", self)
        self.sum = Label("heading", self)
        self.add_table(self.choices, 3)
        self.add_strip(40, (self.sum, 1))
        self.add_table(self.parcels, 1)
        self.add_foot(self.take_button)
        self.setFocusProxy(self.choices)
        self.order_tab(self.choices, self.parcels, self.take_button)
        self.take_button.clicked.connect(self.take)
        for one in (self.choices, self.parcels):
            one.acted.connect(lambda _: self.take())
        session.bench.build_changed.connect(self.refresh)
        shopping.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Work the basket out anew, beside the window."""
        build, today = self._session.bench.build, date.today()
        if build is None or not self._session.file.is_open:
            return
        work = partial(self._session.file.workshop.basket, build, today)
        self.work_out("working it out …", work, partial(self._found, build))

    def _found(self, build: Build, basket: Basket) -> None:
        if build == self._session.bench.build:
            self.trouble.say("")
            self._show(build, basket)

    # Showing --------------------------------------------------------------------------------

    def _show(self, build: Build, basket: Basket) -> None:
        self.basket, self._build = basket, build
        measures, today = self._session.bench.measures, date.today()
        self.choices.show_entries(choice_rows(build, basket, measures, today))
        self.parcels.show_entries(parcel_rows(basket, measures))
        pieces = totals(basket, measures)
        self.sum.say(" · ".join(pieces), pieces[0])
        self.note.say(saving_note(basket, measures))
        self.take_button.setEnabled(with_basket(build, basket) != build)

    # Taking ---------------------------------------------------------------------------------

    def take(self) -> None:
        """Give every line the shop and the price of the basket, as one step."""
        build, basket = self._session.bench.build, self.basket
        if build is None or basket is None or build != self._build:
            return
        after = with_basket(build, basket)
        if after == build:
            self.note.say("The lines name these shops already.")
            return
        did = taken_words(basket, self._session.bench.measures)
        self._session.builds.change(after, did, "put the shops back as before")
