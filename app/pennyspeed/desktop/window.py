"""The window: the car, the road, the shelf and the verdict around one build."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QPoint, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent, QResizeEvent
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
from pennyspeed.desktop.commands import Menus
from pennyspeed.desktop.panels.conditions import TopLine
from pennyspeed.desktop.panels.hints import HintsLine
from pennyspeed.desktop.panels.shelf import ShelfPanel
from pennyspeed.desktop.panels.slots import SlotsPanel
from pennyspeed.desktop.panels.verdict import VerdictPanel
from pennyspeed.desktop.plots.road import RoadPlot
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.settings import Settings
from pennyspeed.desktop.theme import px
from pennyspeed.domain.parts import Part

if TYPE_CHECKING:
    from pennyspeed.desktop.panels.part_form import PartForm

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
        self.plot = RoadPlot()
        self.shelf = ShelfPanel(session)
        self.hints = HintsLine()
        self.verdict = VerdictPanel(session, self.bench)
        self.form: QWidget | None = None
        self._build_layout()
        self.menus = Menus(self)
        self._connect()
        self._order_tab()
        self.setMinimumSize(LEAST)
        self.resize(1366, 768)
        self.shelf.show_archived(settings.show_archived)
        if settings.geometry:
            self.restoreGeometry(QByteArray.fromBase64(settings.geometry.encode()))
        self._retitle()
        self._show_road()
        self.slots.view.setFocus()

    # Building -------------------------------------------------------------------------------

    def _build_layout(self) -> None:
        self.split = Split(Qt.Orientation.Vertical)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(7)
        self.split.addWidget(self.plot)
        self.split.addWidget(self.shelf)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.split)
        centre = QVBoxLayout()
        centre.setSpacing(0)
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
        session.troubled.connect(self.hints.complain)
        self.slots.entered.connect(self.shelf.focus_table)
        self.shelf.left_behind.connect(lambda: self.slots.view.setFocus())
        self.shelf.edit_wanted.connect(self.edit_part)
        self.shelf.new_wanted.connect(self.new_part)
        self.top.builds_wanted.connect(self.open_builds)
        self.top.menu_wanted.connect(self.open_menu)
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
            self.plot,
            self.verdict.checks,
        ]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)
        self.stops = stops

    def restyle(self) -> None:
        """Take up another theme or text size everywhere."""
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.setFont(theme.font("body"))
        for one in (self.top, self.slots, self.shelf, self.hints, self.verdict):
            one.restyle()
        if self.form is not None:
            self.form.restyle()  # type: ignore[attr-defined]
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
            name = session.tried.name if session.tried is not None else ""
            self.plot.show_forecast(session.forecast, session.measures, session.trial, name)

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
            "plot": self.plot,
            "checks": self.verdict,
        }
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
        self._close_form()
        self.shelf.focus_field()

    def ask_and_bring(self) -> None:
        """Ask for files and bring them in."""
        from PySide6.QtWidgets import QFileDialog

        kinds = "Builds and parts (*.build.json *.csv);;All files (*)"
        names, _ = QFileDialog.getOpenFileNames(self, "Bring in", "", kinds)
        for name in names:
            self.session.bring(Path(name))

    def ask_and_take(self) -> None:
        """Ask for a place and write the build there."""
        from PySide6.QtWidgets import QFileDialog

        if self.session.build is None:
            return
        proposed = f"{self.session.build.name}.build.json".replace("/", "-")
        name, _ = QFileDialog.getSaveFileName(self, "Write", proposed, "Builds (*.build.json)")
        if name:
            self.session.take_away(Path(name))

    def new_part(self, kind_key: str = "") -> None:
        """Open the form for a new part of the chosen slot's kind."""
        self._open_form().write_new(kind_key or self.session.slot)

    def edit_part(self, part: Part | None = None) -> None:
        """Open the form for a part, or for the one that the shelf stands on."""
        wanted = part or self.shelf.part_here()
        if wanted is not None:
            self._open_form().edit(wanted)

    def _open_form(self) -> PartForm:
        from pennyspeed.desktop.panels.part_form import PartForm

        if not isinstance(self.form, PartForm):
            self.form = PartForm(self.session)
            self.form.closed.connect(self._close_form)
            self.pages.addWidget(self.form)
        self.pages.setCurrentWidget(self.form)
        return self.form

    def _close_form(self) -> None:
        if self.pages.currentWidget() is not self.split:
            self.pages.setCurrentWidget(self.split)
            self.shelf.focus_table()

    def show_cautions(self) -> None:
        """Show the cautions in place of plot and shelf."""
        from pennyspeed.desktop.panels.cautions import Cautions

        page = Cautions()
        page.closed.connect(self._close_form)
        page.closed.connect(page.deleteLater)
        self.pages.addWidget(page)
        self.pages.setCurrentWidget(page)
        page.setFocus()
