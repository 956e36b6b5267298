"""The window: the car, the road, the shelf and the verdict around one build."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QSize, Qt
from PySide6.QtGui import QCloseEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from pennyspeed.desktop.car.slots import SlotsPanel
from pennyspeed.desktop.charts import Canvas
from pennyspeed.desktop.commands.context_menus import ContextMenus
from pennyspeed.desktop.commands.key_hints import HINTS, HasPlaces, HintsLine
from pennyspeed.desktop.commands.menus import Menus
from pennyspeed.desktop.imports.files import Files
from pennyspeed.desktop.pages import Pages
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.shelf.column_choices import ColumnChoices
from pennyspeed.desktop.shelf.shelf import ShelfPanel
from pennyspeed.desktop.topline.inline_field import NO_BUILD
from pennyspeed.desktop.topline.top_line import TopLine
from pennyspeed.desktop.verdict.verdict import VerdictPanel
from pennyspeed.desktop.views import ViewsBar, ViewsRow, ViewStack
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.desktop.window_body import Splitter, WindowBody
from pennyspeed.domain.builds import Build
from pennyspeed.services.prediction.forecast import forecast as forecast_of

if TYPE_CHECKING:
    from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel
    from pennyspeed.desktop.commands.find_line import FindLine
    from pennyspeed.desktop.whatif.what_if import WhatIfPanel

LEFT, RIGHT, WIDE_LEFT, WIDE_RIGHT = 240, 304, 296, 352
WIDE_FROM = 1720
LEAST = QSize(1024, 640)
STEP = 0.06


class Window(Scaled, Pages):
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
        self.bench = WindowBody(self)
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
        self.sheet: SheetPanel | None = None
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
        self.split = Splitter(Qt.Orientation.Vertical)
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
        session.bench.build_changed.connect(self._build_changed)
        session.bench.tried_changed.connect(self._show_road)
        session.bench.measures_changed.connect(self._show_road)
        session.messages.said.connect(self._say)
        session.messages.noted.connect(self.top.say)
        session.messages.troubled.connect(self.hints.complain)
        self.slots.entered.connect(self.go_to_shelf)
        self.slots.view.edit_wanted.connect(self.edit_slot)
        self.shelf.left_behind.connect(lambda: self.slots.view.setFocus())
        self.shelf.edit_wanted.connect(self.edit_row)
        self.shelf.hold_wanted.connect(session.comparison.hold)
        self.shelf.new_wanted.connect(self.new_part)
        self.top.builds_wanted.connect(self.open_builds)
        self.top.menu_wanted.connect(self.open_menu)
        self.top.held_wanted.connect(self.show_held)
        session.file.opened.connect(self._list_held)
        session.comparison.changed.connect(self._list_held)
        self.row.view_chosen.connect(self.choose_view)
        self._hear_plot(self.stack)
        self.split.splitterMoved.connect(self._split_moved)
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

    def rescale(self) -> None:
        self._share_width()
        self._share_height()

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
        build = self.session.bench.build
        self.setWindowTitle("Pennyspeed" if build is None else f"{build.name} · Pennyspeed")

    def _show_road(self) -> None:
        bench = self.session.bench
        if bench.forecast is not None:
            self.stack.show_forecast(bench.forecast, bench.measures, bench.trial, bench.tried_name)
        elif self.session.file.is_open:
            # A car without parts says what is missing, where the old curve would still stand.
            self.stack.show_forecast(forecast_of(Build(NO_BUILD)), bench.measures)

    def _say(self, words: str) -> None:
        self.top.say(f"{words} · saved")

    def _focus_changed(self, _: QWidget | None, now: QWidget | None) -> None:
        if now is None or now.window() is not self:
            return
        if not self.area.viewport().rect().contains(self.bench.geometry()):
            self.area.ensureWidgetVisible(now, 0, 0)
        if isinstance(now, Canvas):
            self.hints.show_place("plot")
            return
        places: dict[str, QWidget] = {
            "slots": self.slots,
            "field": self.shelf.field,
            "shelf": self.shelf,
            "views": self.row,
            "checks": self.verdict,
        }
        if self.what_if is not None:
            places["what if"] = self.what_if
        if self.sheet is not None:
            places["sheet"] = self.sheet
        places |= {key: page for key, page in self._filling.items() if key in HINTS}
        places |= self._filling
        if "cell_edit" in self.__dict__:
            places = {"figure": self.cell_edit} | places
        for place, panel in places.items():
            if panel is now or panel.isAncestorOf(now):
                own = panel.place_of(now) if isinstance(panel, HasPlaces) else place
                self.hints.show_place(own)
                return
        page = self.pages.currentWidget()
        own = getattr(page, "place", "")
        if page is not None and own and page.isAncestorOf(now):
            self.hints.show_place(own)
            return
        is_form = self.form is not None and self.form.isAncestorOf(now)
        self.hints.show_place("form" if is_form else "top")

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.session.file.check_for_changes()

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
        self.session.bench.choose_measures(settings_file.measures(chosen))
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
