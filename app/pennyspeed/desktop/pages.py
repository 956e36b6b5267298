"""Pages: what stands in the window's middle, and the ways to get from one to another."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMainWindow, QScrollArea, QSplitter, QStackedWidget, QWidget

from pennyspeed.desktop.car.slots import SlotsPanel
from pennyspeed.desktop.charts import CHARTS, Canvas, View
from pennyspeed.desktop.commands.key_hints import HintsLine
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.shelf.shelf import ShelfPanel
from pennyspeed.desktop.topline.top_line import TopLine
from pennyspeed.desktop.verdict.verdict import VerdictPanel
from pennyspeed.desktop.views import ViewsRow, ViewStack
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import Forecast

if TYPE_CHECKING:
    from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel
    from pennyspeed.desktop.commands.context_menus import ContextMenus
    from pennyspeed.desktop.commands.find_line import FindLine
    from pennyspeed.desktop.commands.menus import Menus
    from pennyspeed.desktop.money.money_pages import MoneyPages
    from pennyspeed.desktop.parts.part_form import PartForm
    from pennyspeed.desktop.shelf.figure_editor import FigureEditor
    from pennyspeed.desktop.whatif.what_if import WhatIfPanel
    from pennyspeed.desktop.window import Window


class Pages(QMainWindow):
    """The half of the window that shows one thing or another; :class:`Window` makes the panels."""

    session: Session
    settings: Settings
    top: TopLine
    slots: SlotsPanel
    row: ViewsRow
    stack: ViewStack
    shelf: ShelfPanel
    verdict: VerdictPanel
    hints: HintsLine
    split: QSplitter
    below: QStackedWidget
    pages: QStackedWidget
    area: QScrollArea
    menus: Menus
    context: ContextMenus
    form: QWidget | None
    what_if: WhatIfPanel | None
    sheet: SheetPanel | None
    find_line: FindLine | None
    _filling: dict[str, QWidget]
    _came_from: QWidget | None

    def _keep(self, settings: Settings) -> None:
        """Take other settings and keep them."""
        raise NotImplementedError

    def _order_tab(self) -> None:
        """Put the stops of the Tab key in order."""
        raise NotImplementedError

    # Views ----------------------------------------------------------------------------------

    def _all_views(self) -> tuple[View, ...]:
        """Return the plots, and behind them what takes the shelf's place too."""
        return (*CHARTS, *self._filling_views())

    def _filling_views(self) -> tuple[View, ...]:
        def gears() -> QWidget:
            from pennyspeed.desktop.gears.gears_view import GearsView

            found = GearsView(self.session, self.session.comparison)
            found.left_behind.connect(lambda: self.slots.view.setFocus())
            self._hear_plot(found.plot)
            return found

        def beside() -> QWidget:
            from pennyspeed.desktop.beside.beside import BesidePanel

            found = BesidePanel(self.session, self.session.comparison)
            found.left_behind.connect(lambda: self.slots.view.setFocus())
            self._hear_plot(found.plot)
            return found

        def money() -> QWidget:
            from pennyspeed.desktop.money.money_panel import MoneyPanel

            found = MoneyPanel(self.session, self.session.comparison)
            self._hear_plot(found.plot)
            return found

        return (
            View("gears", "Gears", "Every pinion with every spur", gears),
            View("beside", "Beside", "Builds beside each other", beside),
            View("money", "Money", "What is spent, promised and planned, and by when", money),
        )

    def _hear_plot(self, plot: Canvas | ViewStack) -> None:
        """Say what became of a plot that was to be written."""
        plot.saved.connect(self.top.say)
        plot.troubled.connect(self.hints.complain)

    @cached_property
    def money_pages(self) -> MoneyPages:
        """The pages around money."""
        from pennyspeed.desktop.money.money_pages import MoneyPages

        return MoneyPages(cast("Window", self))

    def _list_held(self) -> None:
        """Have the top line show what is held, once the file is open."""
        self.top.show_held([(one.letter, one.name) for one in self.session.comparison.entries])

    def show_held(self, letter: str) -> None:
        """Go to a held build, beside the one on the bench."""
        self.choose_view("beside")
        self._filling["beside"].stand_on(letter)  # type: ignore[attr-defined]

    def choose_view(self, key: str) -> None:
        """Show a view above the shelf, or one that takes the shelf's place too, and keep that."""
        filling = {view.key: view for view in self._filling_views()}
        if key in filling:
            page = self._filling.get(key)
            if page is None:
                page = self._filling[key] = filling[key].make()
                page.left_behind.connect(self.slots.view.setFocus)  # type: ignore[attr-defined]
                self.pages.addWidget(page)
            self.pages.setCurrentWidget(page)
            page.focus_table()  # type: ignore[attr-defined]
        else:
            key = self.stack.choose(key)
            self.pages.setCurrentWidget(self.split)
            self._order_tab()
        self.row.choose(key)
        self._keep(self.settings.with_choice(view=key))

    def ask_what_if(self) -> None:
        """Put the sliders in the shelf's place, or the shelf back in theirs."""
        from pennyspeed.desktop.whatif.what_if import WhatIfPanel

        if self.what_if is None:
            self.what_if = WhatIfPanel(self.session)
            self.what_if.followed.connect(self._follow)
            self.what_if.left_behind.connect(self.ask_what_if)
            self.below.addWidget(self.what_if)
        if self.pages.currentWidget() is not self.split:
            self.choose_view(self.stack.key)
        elif self.below.currentWidget() is self.what_if:
            self.go_to_shelf()
            return
        self.below.setCurrentWidget(self.what_if)
        self.what_if.sliders[0].slider.setFocus()

    def save_plot(self) -> None:
        """Ask for a place and write the plot in sight there."""
        from pennyspeed.desktop.charts.saving import ask_and_save

        plots = [one for one in self.pages.findChildren(Canvas) if one.isVisible()]
        if plots and plots[0].has_curve:
            ask_and_save(plots[0])

    def _follow(self, forecast: Forecast) -> None:
        """Draw what a slider stands at."""
        self.stack.show_forecast(forecast, self.session.bench.measures)
        self.verdict.follow(forecast)

    # Doing ----------------------------------------------------------------------------------

    def open_builds(self) -> None:
        """Open the list of builds below the name."""
        name = self.top.name
        self.menus.builds.popup(name.mapToGlobal(QPoint(0, name.height())))

    def open_menu(self) -> None:
        """Open the menu with everything."""
        button = self.top.menu
        width = self.menus.main.sizeHint().width()
        self.menus.main.popup(button.mapToGlobal(QPoint(button.width() - width, button.height())))

    def new_build(self) -> None:
        """Make an empty build and have it named."""
        self.session.builds.create(self.session.builds.free_name("New build"))
        self.rename_build()

    def copy_build(self) -> None:
        """Copy the build and have the copy named."""
        build, builds = self.session.bench.build, self.session.builds
        if build is not None:
            builds.copy(builds.free_name(f"{build.name}, copy"))
            self.rename_build()

    def rename_build(self) -> None:
        """Have the build's name typed anew, where it stands."""
        self.top.name.edit()

    def take_out(self) -> None:
        """Empty the chosen slot."""
        self.session.builds.take_out(self.session.bench.slot)

    def go_to_field(self) -> None:
        """Go to the narrowing field."""
        self._show_shelf()
        self.shelf.focus_field()

    def go_to_shelf(self) -> None:
        """Go to the shelf's rows."""
        self._show_shelf()
        self.shelf.focus_table()

    def _show_shelf(self) -> None:
        if self.pages.currentWidget() is not self.split:
            self.choose_view(self.stack.key)
        self.below.setCurrentWidget(self.shelf)

    def go_to_slot(self, slot: str) -> None:
        """Go to the rows of a slot's shelf."""
        self.session.bench.choose_slot(slot)
        self.go_to_shelf()

    def go_to_part(self, part: Part) -> None:
        """Go to a part's row on the shelf, which shows all its parts again."""
        self.session.bench.choose_slot(part.kind_key)
        self.shelf.field.clear()
        self.go_to_shelf()
        self.shelf.table.stand_on(self.shelf.rows.row_of(part))

    def find_anything(self) -> None:
        """Open the line that finds parts, builds and actions."""
        if self.find_line is None:
            from pennyspeed.desktop.commands.find_line import FindLine
            from pennyspeed.desktop.commands.search_index import SearchIndex

            things = SearchIndex(cast("Window", self))
            self.find_line = FindLine(things.gather, self.area)
            things.fetched.connect(self.find_line.renew)
        self.find_line.open(self.focusWidget())

    def new_part(self, kind_key: str = "") -> None:
        """Open the form for a new part of the chosen slot's kind."""
        self._open_form().write_new(kind_key or self.session.bench.slot)

    def edit_part(self, part: Part | None = None, figure: str = "") -> None:
        """Open the form for a part, or for the one that the shelf stands on, at a figure."""
        wanted = part or self.shelf.part_here()
        if wanted is not None:
            self._open_form().edit(wanted, self.cell_edit.chosen(wanted, figure))

    @cached_property
    def cell_edit(self) -> FigureEditor:
        """What edits a figure on the shelf, in its row."""
        from pennyspeed.desktop.shelf.figure_editor import FigureEditor

        made = FigureEditor(self.session, self.shelf.table)
        made.form_wanted.connect(self.edit_part)
        return made

    def edit_figure(self) -> None:
        """Edit a figure of the part that the shelf stands on, in its row."""
        self._show_shelf()
        part = self.shelf.part_here()
        if part is not None:
            self.cell_edit.edit(part, self.cell_edit.chosen(part, self._column_here()))

    def _column_here(self) -> str:
        columns, column = self.shelf.rows.columns, self.shelf.table.currentIndex().column()
        return columns[column].key if 0 <= column < len(columns) else ""

    def edit_row(self, part: Part) -> None:
        """Open the form for the part of a row, at the figure of the column that was clicked."""
        self.edit_part(part, self._column_here())

    def choose_columns(self) -> None:
        """Open the menu in which the shelf's columns are chosen."""
        self.context.open_columns()

    def edit_slot(self) -> None:
        """Open the form for the part in the chosen slot."""
        build, slot = self.session.bench.build, self.session.bench.slot
        if build is not None:
            parts = build.extras if slot == EXTRAS.key else (build.part(slot),)
            if parts and parts[-1] is not None:
                self.edit_part(parts[-1])

    def _open_form(self) -> PartForm:
        from pennyspeed.desktop.parts.part_form import PartForm

        if not isinstance(self.form, PartForm):
            self.form = PartForm(self.session)
            self.form.closed.connect(self._close_form)
            self.form.recipe_wanted.connect(lambda part: self.money_pages.edit_recipe(part))
            self.pages.addWidget(self.form)
        self.pages.setCurrentWidget(self.form)
        return self.form

    def _close_form(self) -> None:
        page = self._filling.get(self.row.chosen, self.split)
        if self.pages.currentWidget() is not page:
            self.pages.setCurrentWidget(page)
            if page is self.split:
                self.go_to_shelf()
            else:
                page.focus_table()  # type: ignore[attr-defined]

    def show_cautions(self) -> None:
        """Show the cautions in place of plot and shelf."""
        from pennyspeed.desktop.commands.cautions import Cautions

        page = Cautions()
        page.closed.connect(lambda: self.leave_page(page))
        self.show_page(page)

    def show_keys(self) -> None:
        """Show all keys in place of plot and shelf, or go back from there."""
        from pennyspeed.desktop.commands.key_sheet import KeysPage

        now = self.pages.currentWidget()
        if isinstance(now, KeysPage):
            self.leave_page(now)
            return
        page = KeysPage(self.menus.key_groups())
        page.closed.connect(lambda: self.leave_page(page))
        self.show_page(page)

    def show_sheet(self) -> None:
        """Show the build's sheet in place of plot and shelf, or go back from there."""
        from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel

        if self.sheet is None:
            self.sheet = SheetPanel(self.session, self.session.comparison)
            self.sheet.closed.connect(self._leave_sheet)
            self.sheet.said.connect(self.top.say)
            self.pages.addWidget(self.sheet)
        if self.pages.currentWidget() is self.sheet:
            self._leave_sheet()
        elif self.session.bench.build is not None:
            self._came_from = self.focusWidget()
            self.pages.setCurrentWidget(self.sheet)
            self.sheet.setFocus(Qt.FocusReason.OtherFocusReason)

    def _leave_sheet(self) -> None:
        """Go back to where the keyboard was; the sheet stays, for it may still be written."""
        came_from, self._came_from = self._came_from, None
        self._close_form()
        if came_from is not None and came_from.isVisible():
            came_from.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_page(self, page: QWidget) -> None:
        """Show a page in place of plot and shelf."""
        self._came_from = self.focusWidget()
        self.pages.addWidget(page)
        self.pages.setCurrentWidget(page)
        page.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave_page(self, page: QWidget) -> None:
        """Take a page away and go back to where the keyboard was."""
        came_from, self._came_from = self._came_from, None
        if self.pages.currentWidget() is page:
            self._close_form()
            if came_from is not None and came_from.isVisible():
                came_from.setFocus(Qt.FocusReason.OtherFocusReason)
        self.pages.removeWidget(page)
        page.deleteLater()
