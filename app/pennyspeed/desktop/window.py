"""The window: makes the car, the road, the shelf and the verdict around one build."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSize, Qt
from PySide6.QtGui import QAction, QCloseEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from pennyspeed.desktop.buildsheet import PAGE as SHEET
from pennyspeed.desktop.car import SLOTS
from pennyspeed.desktop.car.slots import SlotsPanel
from pennyspeed.desktop.commands.context_menus import ContextMenus
from pennyspeed.desktop.commands.help import HelpPages
from pennyspeed.desktop.commands.key_hints import HintsLine
from pennyspeed.desktop.commands.menus import Menus
from pennyspeed.desktop.commands.targets import Targets
from pennyspeed.desktop.home_page import HomePage
from pennyspeed.desktop.imports.files import Files
from pennyspeed.desktop.money.question_notice import QuestionNotice
from pennyspeed.desktop.navigator import Navigator, StackPage
from pennyspeed.desktop.parts.missing_notice import MissingNotice
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.shelf.column_choices import ColumnChoices
from pennyspeed.desktop.shelf.part_editing import PartEditing
from pennyspeed.desktop.shopping.money_pages import MoneyPages
from pennyspeed.desktop.topline.top_line import TopLine
from pennyspeed.desktop.verdict.verdict import VerdictPanel
from pennyspeed.desktop.view_list import LARGER_VIEWS, VIEWS
from pennyspeed.desktop.views import ViewsBar, ViewsRow
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.layouts import fill, fill_column, order_tab
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.desktop.window_body import WindowBody

LEFT, RIGHT, WIDE_LEFT, WIDE_RIGHT = 240, 304, 296, 352
WIDE_FROM = 1720
LEAST, FIRST = QSize(1024, 640), QSize(1366, 768)
FRAME = QSize(16, 48)
"""What the frame and its title bar may take: they are not known before the window shows."""


class Window(Scaled, QMainWindow):
    """The one window: makes the panels and what they are worked with, and connects them.

    Parameters
    ----------
    settings_path : Path or None
        Where choices are kept; None keeps none.
    """

    def __init__(
        self, session: Session, settings: Settings, settings_path: Path | None = None
    ) -> None:
        super().__init__()
        self.session = session
        self.preferences = Preferences(settings, settings_path, self)
        self.body = WindowBody(self)
        self.top = TopLine(session, self.body)
        self.slots = SlotsPanel(session, self.body)
        self.row = ViewsRow(VIEWS)
        self.home = HomePage(session, self.preferences, self)
        self.shelf = self.home.shelf
        self.hints = HintsLine(SLOTS)
        self.verdict = VerdictPanel(session, self.body)
        self.pages = QStackedWidget()
        stack, go_to_shelf = self.home.stack, self.home.go_to_shelf
        home_page = StackPage(self.home.widget, enter=go_to_shelf, stand_on=stack.choose)
        self.navigator = Navigator(self.pages, home_page, LARGER_VIEWS, (SHEET,), session, self)
        self._build_layout()
        self._make_commands()
        self._connect()
        self._order_tab()
        self.setMinimumSize(LEAST)
        self._fit_screen()
        self.shelf.show_archived(settings.show_archived)
        if settings.geometry:
            self.restoreGeometry(QByteArray.fromBase64(settings.geometry.encode()))
        self._retitle()
        self.home.show_road()
        if settings.view != self.home.stack.key:
            self.navigator.choose_view(settings.view)
        self.slots.view.setFocus()

    # Building -------------------------------------------------------------------------------

    def _build_layout(self) -> None:
        centre = QVBoxLayout()
        centre.setSpacing(0)
        self.views_bar = ViewsBar(self.row)
        self.notice = MissingNotice(self.session)
        self.question = QuestionNotice(self.session)
        fill(centre, self.views_bar, self.notice, self.question, (self.pages, 1), self.hints)
        columns = QHBoxLayout()
        columns.setSpacing(1)
        fill(columns, self.slots, (centre, 1), self.verdict)
        fill_column(self.body, self.top, (columns, 1))
        # With large text on a small screen the body is larger than the window, and scrolls.
        self.area = QScrollArea()
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setWidget(self.body)
        self.setCentralWidget(self.area)
        self.body.resized.connect(self._share_width)

    def _make_commands(self) -> None:
        session, navigator, home, shelf = self.session, self.navigator, self.home, self.shelf
        main, actions = QMenu("Menu", self), dict[str, QAction]()
        self.files = Files(session, self.preferences, navigator, self)
        self.parts = PartEditing(session, shelf, navigator, home.show_shelf, self)
        self.money_pages = MoneyPages(session, navigator, self)
        self.columns = ColumnChoices(shelf, self.preferences)
        self.help = HelpPages(session, navigator, home, self.top.go_to, main, self.area)
        targets = Targets(
            window=self,
            session=session,
            preferences=self.preferences,
            navigator=navigator,
            home=home,
            top=self.top,
            slots=self.slots,
            verdict=self.verdict,
            columns=self.columns,
            files=self.files,
            parts=self.parts,
            money=self.money_pages,
            help=self.help,
        )
        self.context = ContextMenus(targets, actions)
        self.menus = Menus(targets, main, actions)

    def _connect(self) -> None:
        session, home, navigator = self.session, self.home, self.navigator
        session.bench.build_changed.connect(self._build_changed)
        session.messages.said.connect(self._say)
        session.messages.noted.connect(self.top.say)
        session.messages.troubled.connect(self.hints.complain)
        session.builds.first_build_wanted.connect(
            lambda: self.money_pages.ask_first(self.preferences, self.top.name.edit)
        )
        session.imports.preview_requested.connect(self.money_pages.look_at)
        session.undo_stack.indexChanged.connect(self._show_undo)
        session.file.opened.connect(self._show_held_builds)
        session.comparison.changed.connect(self._show_held_builds)
        self.slots.entered.connect(home.go_to_shelf)
        self.slots.view.edit_wanted.connect(self.parts.edit_slot)
        self.shelf.left_behind.connect(lambda: self.slots.view.setFocus())
        self.shelf.edit_wanted.connect(self.parts.edit_row)
        self.shelf.hold_wanted.connect(session.comparison.hold)
        self.shelf.new_wanted.connect(self.parts.new_part)
        self.pages.currentChanged.connect(self._page_changed)
        self.parts.listing_saved.connect(home.go_to_part)
        self.columns.menu_wanted.connect(self.context.open_columns)
        self.top.builds_wanted.connect(self.menus.open_builds)
        self.top.menu_wanted.connect(self.menus.open_main)
        self.top.held_wanted.connect(lambda letter: navigator.choose_view("beside", letter))
        self.row.view_chosen.connect(navigator.turn_to_view)
        home.wanted.connect(navigator.go_home)
        home.margin_turned.connect(self.verdict.tell_day)
        self.verdict.checks.margin_wanted.connect(self._show_margin)
        navigator.view_shown.connect(self._view_shown)
        navigator.view_left.connect(lambda: self.slots.view.setFocus())
        self.preferences.chosen.connect(self._show_choices)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._focus_changed)

    def _order_tab(self) -> None:
        stops: list[QWidget] = [
            self.top.name,
            self.slots.view,
            self.shelf.field,
            self.shelf.table,
            self.row,
            self.home.stack.view,
            self.verdict.checks,
            self.verdict.next,
        ]
        order_tab(*stops)
        self.stops = stops

    def _fit_screen(self) -> None:
        """Take the size and place of a first window: with its frame it fits the screen."""
        room = self.screen().availableGeometry()
        self.resize(FIRST.boundedTo(room.size() - FRAME))
        spare = room.size() - FRAME - self.size()
        self.move(room.x() + max(spare.width(), 0) // 2, room.y() + max(spare.height(), 0) // 2)

    def rescale(self) -> None:
        self._share_width()
        self.home.share_height()

    def _share_width(self) -> None:
        """Give the outer columns their width: wider on a wide window, narrower on a tight one."""
        self.body.setMinimumSize(px(LEAST.width()), px(LEAST.height()))
        width = self.body.width()
        left, right = (WIDE_LEFT, WIDE_RIGHT) if width >= px(WIDE_FROM) else (LEFT, RIGHT)
        tight = min(1.0, 0.5 * width / (px(left) + px(right)))
        self.slots.setFixedWidth(round(px(left) * tight))
        self.verdict.setFixedWidth(round(px(right) * tight))

    def _show_margin(self) -> None:
        self.navigator.choose_view("road")
        self.home.show_margin()

    # Hearing --------------------------------------------------------------------------------

    def _page_changed(self) -> None:
        self.verdict.show_unknowns(self.navigator.current in self.parts.pages)

    def _build_changed(self) -> None:
        self.hints.complain("")
        self._retitle()

    def _retitle(self) -> None:
        build = self.session.bench.build
        self.setWindowTitle("Pennyspeed" if build is None else f"{build.name} · Pennyspeed")

    def _say(self, words: str) -> None:
        self.top.say(f"{words} · saved")

    def _show_undo(self) -> None:
        self.hints.show_undo(self.session.undo_stack.undid)

    def _show_held_builds(self) -> None:
        """Have the top line show what is held, once the file is open."""
        self.top.show_held([(one.letter, one.name) for one in self.session.comparison.entries])

    def _view_shown(self, key: str) -> None:
        if self.navigator.is_home:
            self._order_tab()
        self.row.choose(key)
        self.preferences.keep(view=key)

    def _show_choices(self) -> None:
        keeper, chosen = theme.keeper(), self.preferences.settings
        keeper.choose(chosen.theme)
        keeper.choose_text(chosen.text_percent)
        self.session.bench.choose_measures(settings_file.measures(chosen))
        self.shelf.show_archived(chosen.show_archived)

    def _focus_changed(self, _: QWidget | None, now: QWidget | None) -> None:
        if now is None or now.window() is not self:
            return
        if not self.area.viewport().rect().contains(self.body.geometry()):
            self.area.ensureWidgetVisible(now, 0, 0)
        self.hints.show_place_of(now)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.session.file.check_for_changes()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.files.watch()

    def closeEvent(self, event: QCloseEvent) -> None:
        geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self.preferences.keep(geometry=geometry)
        self.session.close()
        super().closeEvent(event)
