"""The window: the car, the road, the shelf and the verdict around one build."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QPoint, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QMainWindow,
    QScrollArea,
    QSplitter,
    QSplitterHandle,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from pennyspeed.desktop import settings as settings_file
from pennyspeed.desktop import theme
from pennyspeed.desktop.columns import ColumnChoices
from pennyspeed.desktop.commands import Menus
from pennyspeed.desktop.context import ContextMenus
from pennyspeed.desktop.files import Files
from pennyspeed.desktop.panels.conditions import TopLine
from pennyspeed.desktop.panels.hints import HINTS, HintsLine
from pennyspeed.desktop.panels.shelf import ShelfPanel
from pennyspeed.desktop.panels.slots import SlotsPanel
from pennyspeed.desktop.panels.verdict import VerdictPanel
from pennyspeed.desktop.panels.views import ViewsBar, ViewsRow, ViewStack
from pennyspeed.desktop.plots import PLOTS, Plot, View
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.settings import Settings
from pennyspeed.desktop.theme import px
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.parts import Part
from pennyspeed.services.forecast import Forecast

if TYPE_CHECKING:
    from pennyspeed.desktop.held import Held
    from pennyspeed.desktop.panels.find_line import FindLine
    from pennyspeed.desktop.panels.part_form import PartForm
    from pennyspeed.desktop.panels.what_if import WhatIfPanel

LEFT, RIGHT, WIDE_LEFT, WIDE_RIGHT = 240, 304, 296, 352
WIDE_FROM = 1720
LEAST = QSize(1024, 640)
STEP = 0.06


class Handle(QSplitterHandle):
    """A rule between plot and shelf that can be moved."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = theme.current()
        painter.fillRect(event.rect(), colours.ground)
        painter.fillRect(0, self.height() // 2, self.width(), 1, colours.rule)
        painter.end()


class Split(QSplitter):
    """Plot above, shelf below.

    Signals
    -------
    resized()
    """

    resized = Signal()

    def createHandle(self) -> QSplitterHandle:
        return Handle(self.orientation(), self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()


class Bench(QWidget):
    """What everything lies on; the lines between the columns are its own ground.

    Signals
    -------
    painted()
        The first time that it was painted.
    resized()
    """

    painted = Signal()
    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_painted = False

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().rule)
        painter.end()
        if not self._is_painted:
            self._is_painted = True
            QTimer.singleShot(0, self.painted.emit)


class Window(QMainWindow):
    """The one window.

    Parameters
    ----------
    session : Session
    settings : Settings
    settings_path : Path or None
        Where choices are kept; None keeps none.
    """

    def __init__(
        self, session: Session, settings: Settings, settings_path: Path | None = None
    ) -> None:
        super().__init__()
        self.session = session
        self.settings = settings
        self._settings_path = settings_path
        self.bench = Bench(self)
        self.top = TopLine(session, self.bench)
        self.slots = SlotsPanel(session, self.bench)
        self.row = ViewsRow(self._all_views())
        self.stack = ViewStack()
        self.plot = self.stack.road
        self.shelf = ShelfPanel(session)
        self.hints = HintsLine()
        self.verdict = VerdictPanel(session, self.bench)
        self.form: QWidget | None = None
        self.what_if: WhatIfPanel | None = None
        self._filling: dict[str, QWidget] = {}
        self.find_line: FindLine | None = None
        self._came_from: QWidget | None = None
        self._build_layout()
        self.files = Files(self)
        self.menus = Menus(self)
        self.context = ContextMenus(self)
        self.column_choices = ColumnChoices(self)
        self._connect()
        self._order_tab()
        self.setMinimumSize(LEAST)
        self.resize(1366, 768)
        self.shelf.show_archived(settings.show_archived)
        if settings.geometry:
            self.restoreGeometry(QByteArray.fromBase64(settings.geometry.encode()))
        self._retitle()
        self._show_road()
        if settings.view != self.stack.key:
            self.choose_view(settings.view)
        self.slots.view.setFocus()

    # Building -------------------------------------------------------------------------------

    def _build_layout(self) -> None:
        self.split = Split(Qt.Orientation.Vertical)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(7)
        self.below = QStackedWidget()
        self.below.addWidget(self.shelf)
        self.split.addWidget(self.stack)
        self.split.addWidget(self.below)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.split)
        centre = QVBoxLayout()
        centre.setSpacing(0)
        self.views_bar = ViewsBar(self.row)
        centre.addWidget(self.views_bar)
        centre.addWidget(self.pages, 1)
        centre.addWidget(self.hints)
        columns = QHBoxLayout()
        columns.setSpacing(1)
        columns.addWidget(self.slots)
        columns.addLayout(centre, 1)
        columns.addWidget(self.verdict)
        whole = QVBoxLayout(self.bench)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.top)
        whole.addLayout(columns, 1)
        # With large text on a small screen the bench is larger than the window, and scrolls.
        self.area = QScrollArea()
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setWidget(self.bench)
        self.setCentralWidget(self.area)
        self.split.resized.connect(self._share_height)
        self.bench.resized.connect(self._share_width)

    def _connect(self) -> None:
        session = self.session
        session.build_changed.connect(self._build_changed)
        session.tried_changed.connect(self._show_road)
        session.measures_changed.connect(self._show_road)
        session.said.connect(self._say)
        session.noted.connect(self.top.say)
        session.troubled.connect(self.hints.complain)
        self.slots.entered.connect(self.go_to_shelf)
        self.slots.view.edit_wanted.connect(self.edit_slot)
        self.shelf.left_behind.connect(lambda: self.slots.view.setFocus())
        self.shelf.edit_wanted.connect(self.edit_row)
        self.shelf.hold_wanted.connect(lambda build, name: self.held.hold(build, name))
        self.shelf.new_wanted.connect(self.new_part)
        self.top.builds_wanted.connect(self.open_builds)
        self.top.menu_wanted.connect(self.open_menu)
        self.row.view_chosen.connect(self.choose_view)
        self.stack.saved.connect(self.top.say)
        self.stack.troubled.connect(self.hints.complain)
        self.split.splitterMoved.connect(self._split_moved)
        theme.keeper().changed.connect(self.restyle)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._focus_changed)
        menu = self.menus.main.menuAction()
        menu.setShortcut("F10")
        menu.triggered.connect(self.open_menu)
        self.addAction(menu)

    def _order_tab(self) -> None:
        stops: list[QWidget] = [
            self.top.name,
            self.slots.view,
            self.shelf.field,
            self.shelf.table,
            self.row,
            self.stack.view,
            self.verdict.checks,
            self.verdict.next,
        ]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)
        self.stops = stops

    def restyle(self) -> None:
        """Take up another theme or text size everywhere."""
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.setFont(theme.font("body"))
        for one in (self.top, self.slots, self.views_bar, self.shelf, self.hints, self.verdict):
            one.restyle()
        if self.what_if is not None:
            self.what_if.restyle()
        if self.form is not None:
            self.form.restyle()  # type: ignore[attr-defined]
        if self.find_line is not None:
            self.find_line.restyle()
        page: object = self.pages.currentWidget()
        if page is not self.form and hasattr(page, "restyle"):
            page.restyle()
        self.menus.restyle()
        self._share_width()
        self._share_height()
        self.bench.update()

    def _share_width(self) -> None:
        """Give the outer columns their width: wider on a wide window, narrower on a tight one."""
        self.bench.setMinimumSize(px(LEAST.width()), px(LEAST.height()))
        width = self.bench.width()
        left, right = (WIDE_LEFT, WIDE_RIGHT) if width >= px(WIDE_FROM) else (LEFT, RIGHT)
        tight = min(1.0, 0.5 * width / (px(left) + px(right)))
        self.slots.setFixedWidth(round(px(left) * tight))
        self.verdict.setFixedWidth(round(px(right) * tight))

    def _share_height(self) -> None:
        """Share the height between plot and shelf, so that a whole number of rows shows."""
        height = self.split.height() - self.split.handleWidth()
        shelf = self.shelf.whole_rows((1.0 - self.settings.plot_share) * height)
        self.split.setSizes([height - shelf, shelf])

    # Hearing --------------------------------------------------------------------------------

    def _build_changed(self) -> None:
        self.hints.complain("")
        self._retitle()
        self._show_road()

    def _retitle(self) -> None:
        build = self.session.build
        self.setWindowTitle("Pennyspeed" if build is None else f"{build.name} · Pennyspeed")

    def _show_road(self) -> None:
        session = self.session
        if session.forecast is not None:
            forecast, measures = session.forecast, session.measures
            self.stack.show_forecast(forecast, measures, session.trial, session.tried_name)

    def _say(self, words: str) -> None:
        self.top.say(f"{words} · saved")

    def _focus_changed(self, _: QWidget | None, now: QWidget | None) -> None:
        if now is None or now.window() is not self:
            return
        if not self.area.viewport().rect().contains(self.bench.geometry()):
            self.area.ensureWidgetVisible(now, 0, 0)
        places: dict[str, QWidget] = {
            "slots": self.slots,
            "field": self.shelf.field,
            "shelf": self.shelf,
            "views": self.row,
            "plot": self.stack,
            "checks": self.verdict,
        }
        if self.what_if is not None:
            places["what if"] = self.what_if
        places |= {key: page for key, page in self._filling.items() if key in HINTS}
        places |= self._filling
        for place, panel in places.items():
            if panel is now or panel.isAncestorOf(now):
                self.hints.show_place(place)
                return
        is_form = self.form is not None and self.form.isAncestorOf(now)
        self.hints.show_place("form" if is_form else "top")

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.session.look_again()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.files.watch()

    def closeEvent(self, event: QCloseEvent) -> None:
        geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self._keep(self.settings.with_choice(geometry=geometry))
        self.session.close()
        super().closeEvent(event)

    # Choices --------------------------------------------------------------------------------

    def choose(self, **choices: object) -> None:
        """Take choices of :class:`Settings`, show and keep them."""
        self._keep(self.settings.with_choice(**choices))
        keeper, chosen = theme.keeper(), self.settings
        keeper.choose(chosen.theme)
        keeper.choose_text(chosen.text_percent)
        self.session.choose_measures(settings_file.measures(chosen))
        self.shelf.show_archived(chosen.show_archived)
        for key, value in choices.items():
            self.menus.show_choice(key, value)

    def _keep(self, settings: Settings) -> None:
        if settings != self.settings:
            self.settings = settings
            if self._settings_path is not None:
                settings_file.save(settings, self._settings_path)

    def size_text(self, step: int) -> None:
        """Make all text larger or smaller."""
        sizes = theme.TEXT_PERCENTS
        place = sizes.index(self.settings.text_percent) + step
        self.choose(text_percent=sizes[min(max(place, 0), len(sizes) - 1)])

    def share(self, step: int) -> None:
        """Give the plot more or less of the height."""
        self.choose(plot_share=min(max(self.settings.plot_share + step * STEP, 0.2), 0.8))
        self._share_height()

    def _split_moved(self) -> None:
        plot, shelf = self.split.sizes()
        self._keep(self.settings.with_choice(plot_share=plot / max(plot + shelf, 1)))
        self._share_height()

    # Views ----------------------------------------------------------------------------------

    def _all_views(self) -> tuple[View, ...]:
        """Return the plots, and behind them what takes the shelf's place too."""
        return (*PLOTS, *self._filling_views())

    def _filling_views(self) -> tuple[View, ...]:
        def gears() -> QWidget:
            from pennyspeed.desktop.panels.gear_chart import GearsView

            found = GearsView(self.session, self.held)
            found.left_behind.connect(lambda: self.slots.view.setFocus())
            return found

        def beside() -> QWidget:
            from pennyspeed.desktop.panels.beside import BesidePanel

            found = BesidePanel(self.session, self.held)
            found.left_behind.connect(lambda: self.slots.view.setFocus())
            return found

        return (
            View("gears", "Gears", "Every pinion with every spur", gears),
            View("beside", "Beside", "Builds beside each other", beside),
        )

    @cached_property
    def held(self) -> Held:
        """The builds that are held beside the present one."""
        from pennyspeed.desktop.held import Held

        return Held(self.session)

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
        from pennyspeed.desktop.panels.what_if import WhatIfPanel

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
        from pennyspeed.desktop.plots.saving import ask_and_save

        plots = [one for one in self.pages.findChildren(Plot) if one.isVisible()]
        if plots and plots[0].has_curve:
            ask_and_save(plots[0])

    def _follow(self, forecast: Forecast) -> None:
        """Draw what a slider stands at."""
        self.stack.show_forecast(forecast, self.session.measures)

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
        self.session.create(self.session.free_name("New build"))
        self.rename_build()

    def copy_build(self) -> None:
        """Copy the build and have the copy named."""
        if self.session.build is not None:
            self.session.copy(self.session.free_name(f"{self.session.build.name}, copy"))
            self.rename_build()

    def rename_build(self) -> None:
        """Have the build's name typed anew, where it stands."""
        self.top.name.edit()

    def take_out(self) -> None:
        """Empty the chosen slot."""
        self.session.take_out(self.session.slot)

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
        self.session.choose_slot(slot)
        self.go_to_shelf()

    def go_to_part(self, part: Part) -> None:
        """Go to a part's row on the shelf, which shows all its parts again."""
        self.session.choose_slot(part.kind_key)
        self.shelf.field.clear()
        self.go_to_shelf()
        self.shelf.table.stand_on(self.shelf.model.row_of(part))

    def find_anything(self) -> None:
        """Open the line that finds parts, builds and actions."""
        if self.find_line is None:
            from pennyspeed.desktop.panels.find_line import FindLine
            from pennyspeed.desktop.things import Things

            things = Things(self)
            self.find_line = FindLine(things.gather, self.area)
            things.fetched.connect(self.find_line.renew)
        self.find_line.open(self.focusWidget())

    def new_part(self, kind_key: str = "") -> None:
        """Open the form for a new part of the chosen slot's kind."""
        self._open_form().write_new(kind_key or self.session.slot)

    def edit_part(self, part: Part | None = None, figure: str = "") -> None:
        """Open the form for a part, or for the one that the shelf stands on, at a figure."""
        wanted = part or self.shelf.part_here()
        if wanted is not None:
            self._open_form().edit(wanted, figure)

    def edit_row(self, part: Part) -> None:
        """Open the form for the part of a row, at the figure of the column that was clicked."""
        columns, column = self.shelf.model.columns, self.shelf.table.currentIndex().column()
        self.edit_part(part, columns[column].key if 0 <= column < len(columns) else "")

    def choose_columns(self) -> None:
        """Open the menu in which the shelf's columns are chosen."""
        self.context.open_columns()

    def edit_slot(self) -> None:
        """Open the form for the part in the chosen slot."""
        build, slot = self.session.build, self.session.slot
        if build is not None:
            parts = build.extras if slot == EXTRAS.key else (build.part(slot),)
            if parts and parts[-1] is not None:
                self.edit_part(parts[-1])

    def _open_form(self) -> PartForm:
        from pennyspeed.desktop.panels.part_form import PartForm

        if not isinstance(self.form, PartForm):
            self.form = PartForm(self.session)
            self.form.closed.connect(self._close_form)
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
        from pennyspeed.desktop.panels.cautions import Cautions

        page = Cautions()
        page.closed.connect(lambda: self.leave_page(page))
        self.show_page(page)

    def show_keys(self) -> None:
        """Show all keys in place of plot and shelf, or go back from there."""
        from pennyspeed.desktop.panels.keys import KeysPage

        now = self.pages.currentWidget()
        if isinstance(now, KeysPage):
            self.leave_page(now)
            return
        page = KeysPage(self.menus.key_groups())
        page.closed.connect(lambda: self.leave_page(page))
        self.show_page(page)

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
