"""The pages around money: days, offers, the cheapest basket, recipes, and tables in and out."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from pennyspeed.desktop.commands.actions import SEPARATOR, Command, Entry
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.desktop.shopping.shopping import Shopping
    from pennyspeed.desktop.widgets.page import Page
    from pennyspeed.desktop.window import Window

MADE_KINDS = ("body", "chassis", EXTRAS.key)
"""Kinds of parts that people make themselves."""


class MoneyPages(QObject):
    """Opens the pages around money, each in place of plot and shelf.

    Parameters
    ----------
    window : Window
    """

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window, self._session = window, window.session
        self.page: Page | None = None
        self._drafts: dict[Hashable, object] = {}

    @cached_property
    def shopping(self) -> Shopping:
        """Offers and suppliers, as every page shows and changes them."""
        from pennyspeed.desktop.shopping.shopping import Shopping

        return Shopping(self._session)

    def commands(self) -> list[Entry]:
        """Return what stands in the menu."""
        return [
            Command("days", "Days: what is open, soonest first", ("Ctrl+Alt+D",), self.show_days),
            Command("offers", "Offers for the part, and shops", ("Ctrl+Alt+O",), self.show_shops),
            Command("basket", "Cheapest together", ("Ctrl+Alt+B",), self.show_basket),
            Command("left", "What could I still buy", ("Ctrl+Alt+L",), self.show_left),
            Command("recipe", "How the part is made…", ("Ctrl+Alt+M",), self.edit_recipe),
            SEPARATOR,
            Command("look", "Look at a table and bring it in…", ("Ctrl+Alt+I",), self.ask_and_look),
            Command("rates", "Bring in exchange rates…", (), self.ask_and_bring_rates),
            Command("write_parts", "Write the parts to a table…", (), self._writing("parts")),
            Command("write_offers", "Write the offers to a table…", (), self._writing("offers")),
            Command("write_lines", "Write the lines to a table…", (), self._writing("lines")),
            Command("write_days", "Write the days to a calendar file…", (), self.write_days),
        ]

    # Pages ----------------------------------------------------------------------------------

    def _show(self, make: Callable[[], Page]) -> Page | None:
        """Show a page in place of the one of ours that is there."""
        if not self._session.file.is_open:
            return None
        if self.page is not None:
            self._leave(self.page)
        page = self.page = make()
        page.closed.connect(lambda: self._leave(page))
        self._window.show_page(page)
        return page

    def _leave(self, page: Page) -> None:
        if self.page is page:
            self.page = None
            self._window.leave_page(page)

    def show_days(self) -> None:
        """Show what is open, soonest first."""
        from pennyspeed.desktop.shopping.days import DaysPage

        def make() -> DaysPage:
            page = DaysPage(self._session, self.shopping)
            page.line_wanted.connect(self.go_to_line)
            return page

        self._show(make)

    def write_days(self) -> None:
        """Show the days and ask where to write them."""
        from pennyspeed.desktop.shopping.days import DaysPage

        self.show_days()
        if isinstance(self.page, DaysPage):
            self.page.ask_and_write()

    def show_shops(self) -> None:
        """Show the offers for the part in the chosen slot, and the shops."""
        from pennyspeed.desktop.shopping.shops import ShopsPage

        def make() -> ShopsPage:
            page = ShopsPage(self._session, self.shopping, self.part_here)
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
        from pennyspeed.desktop.shopping.left_page import LeftPage

        self._show(lambda: LeftPage(self._session))

    def edit_recipe(self, part: Part | None = None) -> None:
        """Show what a part is made of: the one given, else the one in the chosen slot."""
        from pennyspeed.desktop.parts.recipe_form import RecipeForm

        wanted = part or self.part_here()
        if wanted is None or wanted.id is None or wanted.kind_key not in MADE_KINDS:
            kinds = "a body, a chassis or an extra"
            self._session.messages.troubled.emit(f"Only {kinds} is made: choose its slot first.")
            return
        part = wanted
        self._show(lambda: RecipeForm(self._session, part, self._drafts))

    def look_at(self, path: Path) -> None:
        """Show what a table would do, before anything of it is taken in."""
        from pennyspeed.desktop.imports.preview import PreviewPage

        self._show(lambda: PreviewPage(self._session, path))

    def part_here(self) -> Part | None:
        """Return the part in the chosen slot, of the extras the last one."""
        build, slot = self._session.bench.build, self._session.bench.slot
        if build is None:
            return None
        if slot == EXTRAS.key:
            return build.extras[-1] if build.extras else None
        return build.part(slot)

    def go_to_line(self, index: int) -> None:
        """Go to a line of the build: to its row in the money view, else to its slot."""
        window, build = self._window, self._session.bench.build
        if build is None or index >= len(build.lines):
            return
        page = self.page
        if any(view.key == "money" for view in window.row.views):
            window.choose_view("money")
            window._filling["money"].stand_on(index)  # type: ignore[attr-defined]
        elif build.lines[index].part:
            window.go_to_slot(build.lines[index].part)
        if page is not None and window.pages.currentWidget() is not page:
            self.page = None
            window.pages.removeWidget(page)
            page.deleteLater()

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
        from pennyspeed.services.importers.rates import read_rates, said

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

    def _writing(self, what: str) -> Callable[[], None]:
        return lambda: self.ask_and_write(what)

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
        bench, write_table = session.bench, session.file.workshop.write_table
        work = partial(write_table, path, what, build=bench.build, measures=bench.measures)
        session.jobs.submit(work, then, failed)
