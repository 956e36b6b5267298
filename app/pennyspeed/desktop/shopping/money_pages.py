"""The pages around money: days, offers, the cheapest basket, and tables in and out."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog, QWidget

from pennyspeed.desktop.navigator import Navigator, StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.domain.errors import UserError

if TYPE_CHECKING:
    from pennyspeed.desktop.shopping.days import DaysPage
    from pennyspeed.desktop.shopping.shopping import Shopping
    from pennyspeed.desktop.widgets.page import Page
    from pennyspeed.domain.money.money import Money

P = TypeVar("P", bound="Page")


class MoneyPages(QObject):
    """Opens the pages around money, each in place of plot and shelf."""

    def __init__(self, session: Session, navigator: Navigator, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._navigator, self._window = session, navigator, window
        session.builds.currency_wanted.connect(self.show_currency)
        session.file.opened.connect(self._learn)

    @cached_property
    def shopping(self) -> Shopping:
        """Offers and suppliers, as every page shows and changes them."""
        from pennyspeed.desktop.shopping.shopping import Shopping

        return Shopping(self._session)

    def _learn(self) -> None:
        """Have the days to order on known before any page is opened."""
        if self._session.file.is_open:
            self.shopping.learn()

    # Pages ----------------------------------------------------------------------------------

    def _show(self, make: Callable[[], P]) -> P | None:
        """Show a page, if there is a file that it could be about."""
        if not self._session.file.is_open:
            return None
        page = make()
        self._navigator.show_passing(StackPage(page, page.closed))
        return page

    def show_days(self) -> DaysPage | None:
        """Show what is open, soonest first."""
        from pennyspeed.desktop.shopping.days import DaysPage

        def make() -> DaysPage:
            page = DaysPage(self._session, self.shopping)
            page.line_wanted.connect(self.go_to_line)
            return page

        return self._show(make)

    def write_days(self) -> None:
        """Show the days and ask where to write them."""
        page = self.show_days()
        if page is not None:
            page.ask_and_write()

    def show_shops(self) -> None:
        """Show the offers for the part in the chosen slot, and the shops."""
        from pennyspeed.desktop.shopping.shops import ShopsPage

        def make() -> ShopsPage:
            page = ShopsPage(self._session, self.shopping)
            page.basket_wanted.connect(self.show_basket)
            page.left_wanted.connect(self.show_left)
            return page

        self._show(make)

    def show_basket(self) -> None:
        """Show where everything that is planned is cheapest together."""
        from pennyspeed.desktop.shopping.basket_page import BasketPage

        self._show(lambda: BasketPage(self._session, self.shopping))

    def show_left(self) -> None:
        """Show what could still be bought for what is left."""
        from pennyspeed.desktop.shopping.affordable_page import AffordablePage

        self._show(lambda: AffordablePage(self._session))

    def show_currency(self, cap: Money | None = None) -> None:
        """Show what a change of the build's currency needs; `cap` is one typed in another."""
        from pennyspeed.desktop.shopping.currency_page import CurrencyPage

        build = self._session.bench.build
        if build is not None:
            self._show(lambda: CurrencyPage(self._session, build, cap))

    def ask_first(self, preferences: Preferences, name_it: Callable[[], object]) -> None:
        """Ask for units and currency, then make the first build and have it named."""
        from pennyspeed.desktop.shopping.first_build_page import FirstBuildPage

        def make() -> FirstBuildPage:
            page = FirstBuildPage(self._session, preferences)
            page.made.connect(name_it)
            return page

        self._show(make)

    def look_at(self, path: Path) -> None:
        """Show what a table would do, before anything of it is taken in."""
        from pennyspeed.desktop.imports.preview import PreviewPage

        self._show(lambda: PreviewPage(self._session, path))

    def go_to_line(self, index: int) -> None:
        """Go to a line of the build, to its row in the money view."""
        build, page = self._session.bench.build, self._navigator.current
        if build is not None and index < len(build.lines):
            self._navigator.choose_view("money", index)
            self._navigator.take_away(page)

    # Files ----------------------------------------------------------------------------------

    def ask_and_look(self) -> None:
        """Ask for a table and show what it would do."""
        path = self._asked_for("Look at a table")
        if path is not None:
            self.look_at(path)

    def _asked_for(self, title: str) -> Path | None:
        from pennyspeed.services.importers.table_file import TABLE_FILE

        kinds = f"Tables ({' '.join(f'*{end}' for end in TABLE_FILE.suffixes)});;All files (*)"
        name, _ = QFileDialog.getOpenFileName(self._window, title, "", kinds)
        return Path(name) if name else None

    def ask_and_bring_rates(self) -> None:
        """Ask for a table of exchange rates and take it into the build."""
        path = self._asked_for("Bring in exchange rates")
        if path is not None:
            self.bring_rates(path)

    def bring_rates(self, path: Path) -> None:
        """Take a table of exchange rates into the build, as one step."""
        from pennyspeed.services.importers.tables.rates import read_rates, said

        build = self._session.bench.build
        if build is None:
            return
        with self._session.messages.reporting():
            rates = read_rates(path, build.currency)
            after = build
            for rate in rates:
                after = after.with_rate(rate)
            words = said(rates)
            self._session.builds.change(after, f"brought in {words}", f"took {words} out again")

    def ask_and_write(self, what: str) -> None:
        """Ask for a place and write parts, offers or the build's lines there."""
        from pennyspeed.services.exporters import FORMATS

        labels = [(one.label[0].upper() + one.label[1:], one.suffix) for one in FORMATS]
        kinds = ";;".join(f"{label} (*{suffix})" for label, suffix in labels)
        build = self._session.bench.build
        proposed = f"{build.name} lines" if what == "lines" and build is not None else what
        proposed = proposed.replace("/", "-") + FORMATS[0].suffix
        name, _ = QFileDialog.getSaveFileName(self._window, f"Write the {what}", proposed, kinds)
        if name:
            path = Path(name)
            self.write(what, path if path.suffix else path.with_name(f"{path.name}.csv"))

    def write(self, what: str, path: Path) -> None:
        """Write parts, offers or the build's lines to a table, beside the window."""
        session = self._session

        def then(count: int) -> None:
            one = what.removesuffix("s") if count == 1 else what
            session.messages.noted.emit(f"{count:,} {one} written to {path.name}")

        def failed(error: UserError) -> None:
            session.messages.noted.emit("")
            session.messages.report(error)

        session.messages.noted.emit(f"writing {path.name}")
        bench, write_table = session.bench, session.file.workshop.tables.write
        work = partial(write_table, path, what, build=bench.build, measures=bench.measures)
        session.jobs.submit(work, then, failed)
