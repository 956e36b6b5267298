"""The cheapest basket: which shop for which line of the whole build, postage and duty included."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.shopping.offers import say_age
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.money.money import Money
from pennyspeed.services.money.baskets import Basket, Choice, Parcel
from pennyspeed.services.money.money_words import plain

CHOICES = (
    ColumnHead("thing", "What is still to buy.", grows=True),
    ColumnHead("from now", "The shop that the line names now.", grows=True),
    ColumnHead("cheapest from", "The shop that is cheapest for all together.", grows=True),
    ColumnHead("each", "Its price, in its currency.", True),
    ColumnHead("goods", "In the build's currency, for all of them.", True),
    ColumnHead("days", "From order to arrival.", True),
    ColumnHead("", "Whether its price is old, or why no offer will do."),
)
PARCELS = (
    ColumnHead("parcel from", "One parcel from each shop.", grows=True),
    ColumnHead("goods", "What is in it.", True),
    ColumnHead("duty", "Duty and tax.", True),
    ColumnHead("postage", "For the parcel.", True),
    ColumnHead("together", "Goods, duty and postage.", True),
    ColumnHead("", "Whether what the shop takes for sending is known."),
)
NOBODY = "not chosen"


class BasketPage(Page):
    """The basket, worked out beside the window; Enter takes it into the build as one step.

    Parameters
    ----------
    session : Session
    shopping : Shopping
    """

    place = "basket"

    def __init__(
        self,
        session: Session,
        shopping: Shopping,
        today: Callable[[], date] = date.today,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Cheapest together", parent)
        self._session, self._shopping, self._today = session, shopping, today
        self.basket: Basket | None = None
        self._build: Build | None = None
        self.choices = EditableTable(
            "cheapest shops", CHOICES, "Nothing that is planned is to be bought."
        )
        self.parcels = EditableTable("parcels", PARCELS, "No parcel.")
        self.take_push = Button("take it into the build", self)
        self.sum = Label("heading", self)
        self.add(self.choices, 3)
        self.add_strip(40, (self.sum, 1))
        self.add(self.parcels, 1)
        self.add_foot(self.take_push)
        self.setFocusProxy(self.choices)
        self.order_tab(self.choices, self.parcels, self.take_push)
        self._jobs = JobQueue(self, newest_only=True)
        self.take_push.clicked.connect(self.take)
        for one in (self.choices, self.parcels):
            one.left_behind.connect(self.closed)
            one.acted.connect(lambda _: self.take())
        session.bench.build_changed.connect(self.refresh)
        session.file.closed.connect(self._jobs.wait)
        shopping.changed.connect(self.refresh)
        self.refresh()

    @property
    def is_at_rest(self) -> bool:
        """Whether what stands there is worked out."""
        return not self._jobs.is_busy

    def refresh(self) -> None:
        """Work the basket out anew, beside the window."""
        build, today = self._session.bench.build, self._today()
        if build is None or not self._session.file.is_open:
            return
        workshop, arrivals = self._session.file.workshop, list(self._shopping.arrivals)

        def work() -> Basket:
            from pennyspeed.domain.money.calendar import Leads
            from pennyspeed.services.money.shopping import basket_of

            ids = [
                part.id for part in (*build.parts.values(), *build.extras) if part.id is not None
            ]
            suppliers = workshop.suppliers()
            leads = Leads.of(arrivals, suppliers)
            return basket_of(build, workshop.offers(ids), suppliers, today, leads)

        self.note.say("working it out …")
        self._jobs.submit(work, partial(self._found, build), self._failed)

    def _found(self, build: Build, basket: Basket) -> None:
        if build == self._session.bench.build:
            self.trouble.say("")
            self._show(build, basket)

    def _failed(self, error: UserError) -> None:
        self.note.say("")
        self.trouble.say(str(error))

    # Showing --------------------------------------------------------------------------------

    def _show(self, build: Build, basket: Basket) -> None:
        self.basket, self._build = basket, build
        measures = self._session.bench.measures
        self.choices.show_entries(
            [TableRow(choice.want.index, self._cells(build, choice)) for choice in basket.choices]
        )
        self.parcels.show_entries(
            [TableRow(parcel.supplier, self._parcel_cells(parcel)) for parcel in basket.parcels]
        )
        parcels = len(basket.parcels)
        count = "1 parcel" if parcels == 1 else f"{parcels} parcels"
        pieces = [f"{measures.money(basket.total)} for all in {count}"]
        pieces.append(f"goods {measures.money(basket.goods, False)}")
        pieces.append(f"postage {measures.money(basket.postage, False)}")
        if basket.duty.minor:
            pieces.append(f"duty {measures.money(basket.duty, False)}")
        self.sum.say(" · ".join(pieces), pieces[0])
        self.note.say(self._saving(basket))
        self.take_push.setEnabled(self._changes(build, basket))

    def _saving(self, basket: Basket) -> str:
        texts = []
        for saving, against in (
            (basket.saving_now, "from the shops named now"),
            (basket.saving, "each where it alone is cheapest"),
        ):
            if saving is not None and saving.minor > 0:
                texts.append(f"{self._session.bench.measures.money(saving)} less than {against}")
                break
        unmet = len(basket.unmet)
        if unmet:
            texts.append("1 thing has no offer" if unmet == 1 else f"{unmet} things have no offer")
        is_best = basket.choices and not texts
        return "; ".join(texts) or ("as cheap as it is now" if is_best else "")

    @staticmethod
    def _changes(build: Build, basket: Basket) -> bool:
        from pennyspeed.services.money.shopping import with_basket

        return with_basket(build, basket) != build

    def _cells(self, build: Build, choice: Choice) -> tuple[Cell, ...]:
        measures, want, price = self._session.bench.measures, choice.want, choice.price
        name = build.lines[want.index].called if want.index is not None else ""
        many = "" if want.quantity == 1 else f"{plain(want.quantity, measures)} × "
        first = (
            Cell(many + name, tone="strong"),
            Cell(want.now or NOBODY, tone="" if want.now else "quiet"),
        )
        if price is None or choice.goods is None:
            blank = Cell("–", tone="quiet")
            return (*first, blank, blank, blank, blank, Cell(choice.why, Level.UNKNOWN))
        is_other = price.supplier != want.now
        days = "–" if choice.lead_days is None else str(choice.lead_days)
        mark = Cell(say_age(price, self._today()), Level.WARN) if choice.is_stale else Cell()
        return (
            *first,
            Cell(price.supplier or NOBODY, tone="strong" if is_other else "quiet"),
            Cell(measures.money(price.amount)),
            Cell(measures.money(choice.goods, False)),
            Cell(days, tone="quiet" if choice.lead_days is None else ""),
            mark,
        )

    def _parcel_cells(self, parcel: Parcel) -> tuple[Cell, ...]:
        def money(amount: Money) -> Cell:
            return Cell(self._session.bench.measures.money(amount, False))

        known = Cell() if parcel.is_known else Cell("postage not known", Level.UNKNOWN)
        return (
            Cell(parcel.supplier or NOBODY, tone="strong"),
            money(parcel.goods),
            money(parcel.duty),
            money(parcel.postage),
            Cell(self._session.bench.measures.money(parcel.total, False), tone="strong"),
            known,
        )

    # Taking ---------------------------------------------------------------------------------

    def take(self) -> None:
        """Give every line the shop and the price of the basket, as one step."""
        build, basket = self._session.bench.build, self.basket
        if build is None or basket is None or build != self._build:
            return
        from pennyspeed.services.money.shopping import with_basket

        after = with_basket(build, basket)
        if after == build:
            self.note.say("The lines name these shops already.")
            return
        saved = basket.saving_now
        by = ""
        if saved is not None and saved.minor > 0:
            by = f", {self._session.bench.measures.money(saved)} less"
        self._session.builds.change(
            after, f"took the cheapest shops{by}", "put the shops back as before"
        )
