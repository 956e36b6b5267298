"""The gear chart: what every pinion with every spur would do, tried by arrows, taken by Enter."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.gears.gear_grid import HEAD, MARGIN, ROW
from pennyspeed.desktop.gears.gear_model import GearModel
from pennyspeed.desktop.gears.gear_table import GearTable
from pennyspeed.desktop.gears.teeth_left_column import TeethLeftColumn
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill, fill_column, order_tab
from pennyspeed.desktop.widgets.notice import Notice
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.gears.gear_cells import (
    RATIO,
    ROLL_OUT,
    SPEED,
    TURNS,
    GearCells,
    work_out,
)
from pennyspeed.services.gears.gear_chart import say_teeth_left
from pennyspeed.services.gears.suited_gears import Asked, asked_for

TITLE = "Gears"
TOP, LINE, LEFT_COLUMN = 40, 20, 72
SUITED, ALL = "suited", "all"


class GearChart(Scaled, LazyPanel):
    """Heading, table, and three lines in words.

    Arrow keys try a pair beside the car as it is, Enter takes both gears as one step, Space holds
    that car beside, S shows another figure, A all gears of the shelf, Escape goes back.

    Signals
    -------
    left_behind()
        Escape on the pair that is in.
    """

    left_behind = Signal()

    def __init__(self, session: Session, held: ComparedBuilds, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._held = session, held
        self._jobs = JobQueue(self, newest_only=True)
        self._asked: Asked | None = None
        self.model = GearModel(self)
        self.table = GearTable(self.model, self)
        self.left = TeethLeftColumn(self.table, self)
        self.show_options = SegmentedControl("show", self)
        self.gear_options = SegmentedControl("gears", self)
        self.pair_line = Label("body", self)
        self.left_line = Label("body", self)
        self.notes_line = Label("label", self, quiet=True)
        self._title = Label("heading", self)
        self._title.say("Pinion and spur")
        self._note = Label("label", self, quiet=True)
        self._missing = Notice(self)
        self._build_layout()
        self.show_options.chosen.connect(self._show_what)
        self.gear_options.chosen.connect(lambda _: self.refresh())
        self.table.moved.connect(self._moved)
        self.table.taken.connect(self.take)
        self.table.held.connect(self._hold)
        self.table.show_wanted.connect(self.show_options.step)
        self.table.gears_wanted.connect(self.gear_options.step)
        self.table.names_changed.connect(self._say)
        self.table.left_behind.connect(self._leave)
        session.bench.build_changed.connect(self._changed)
        session.catalogue.parts_changed.connect(lambda _: self._changed())
        session.bench.measures_changed.connect(self._changed)
        session.file.closed.connect(self._jobs.wait)
        self.gear_options.offer([(SUITED, "that suit"), (ALL, "all")])
        self._offer()
        self.rescale()

    def _build_layout(self) -> None:
        self._head = QHBoxLayout()
        fill(self._head, self._title, (self._note, 1), self.gear_options, self.show_options)
        body = QWidget(self)
        beside = QHBoxLayout(body)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(0)
        fill(beside, (self.table, 1), self.left)
        self._body = body
        self._pile = QStackedLayout()
        self._pile.addWidget(body)
        self._pile.addWidget(self._missing)
        self._foot = QVBoxLayout()
        fill(self._foot, self.pair_line, self.left_line, self.notes_line)
        fill_column(self, self._head, (self._pile, 1), self._foot)
        order_tab(self.gear_options, self.show_options, self.table)

    # Showing --------------------------------------------------------------------------------

    def rescale(self) -> None:
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._head.setSpacing(px(16))
        self._foot.setContentsMargins(px(MARGIN), px(4), px(MARGIN), px(6))
        self._foot.setSpacing(0)
        for one in (self._title, self._note):
            one.setFixedHeight(px(TOP))
        for one in (self.pair_line, self.left_line, self.notes_line):
            one.setFixedHeight(px(LINE))
        self.left.setFixedWidth(px(LEFT_COLUMN))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), self.least_height())

    @staticmethod
    def least_height() -> int:
        """Return the height at which three rows show."""
        return px(TOP) + px(HEAD) + 3 * px(ROW) + 3 * px(LINE) + px(10)

    @staticmethod
    def whole_rows(height: float) -> int:
        """Return the height next to `height` at which no row is cut."""
        over = px(TOP) + px(HEAD) + 3 * px(LINE) + px(10)
        return over + max(round((height - over) / px(ROW)), 3) * px(ROW)

    @property
    def cells(self) -> GearCells | None:
        """What is shown; None before the first chart."""
        return self.model.cells

    @property
    def is_busy(self) -> bool:
        """Whether another chart is on its way."""
        return self._jobs.is_busy

    def focus_table(self) -> None:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def refresh(self) -> None:
        """Ask for the chart of the build and the shelf as they are now."""
        super().refresh()
        build, session = self._session.bench.build, self._session
        if build is None or not session.file.is_open:
            self._asked = None
            self._show(None)
            return
        pinions, spurs = session.catalogue.parts("pinion"), session.catalogue.parts("spur")
        for slot, parts in (("pinion", pinions), ("spur", spurs)):
            if not parts:
                self._asked = None
                self._missing.say(
                    f"No {slot}s on the shelf yet",
                    "Write one down with Ctrl+Shift+N, or bring a file in with Ctrl+O.",
                )
                self._show(None)
                return
        shows_all = self.gear_options.key == ALL
        asked = asked_for(build, pinions, spurs, session.bench.measures, shows_all)
        self._asked = asked
        self._jobs.submit(partial(work_out, asked), partial(self._worked_out, asked))

    def _changed(self) -> None:
        """The build, the shelf or the units are others; work is put off while nobody looks."""
        self._offer()
        super()._changed()

    def _offer(self) -> None:
        speed = self._session.bench.measures.speed_unit.symbol
        self.show_options.offer(
            [(SPEED, speed), (RATIO, "ratio"), (ROLL_OUT, "roll-out"), (TURNS, "motor rpm")]
        )

    def _worked_out(self, asked: Asked, cells: GearCells) -> None:
        if asked is self._asked:
            self._show(cells)

    def _show(self, cells: GearCells | None) -> None:
        had_keyboard = self.table.hasFocus()
        here = self._pair_here()
        self.model.take(cells)
        self._pile.setCurrentWidget(self._missing if cells is None else self._body)
        if cells is not None:
            self.table.stand_on(*cells.place_of(here))
            if had_keyboard:
                self.focus_table()
        self._say()
        self.left.update()

    def _pair_here(self) -> tuple[str, str] | None:
        index, cells = self.table.currentIndex(), self.cells
        if cells is None or not index.isValid():
            return None
        pinion, spur = cells.pair(index.row(), index.column())
        return pinion.name, spur.name

    def _say(self) -> None:
        cells, index = self.cells, self.table.currentIndex()
        if cells is None or not index.isValid():
            for one in (self.pair_line, self.left_line, self.notes_line, self._note):
                one.say("")
            return
        self._note.say(cells.what(self.model.show_what))
        self.pair_line.say(cells.line(index.row(), index.column()))
        self.left_line.say(say_teeth_left(cells.build, cells.teeth_left_now, cells.measures))
        self.notes_line.say(self.table.paths.notes())

    def _show_what(self, what: str) -> None:
        self.table.show_what(what)
        self._say()

    # Trying and taking ----------------------------------------------------------------------

    def _moved(self) -> None:
        self._say()
        self._try()

    def _try(self) -> None:
        index, cells = self.table.currentIndex(), self.cells
        if not self.isVisible() or cells is None or not index.isValid():
            return
        if cells.build != self._session.bench.build:
            return
        row, column = index.row(), index.column()
        self._session.bench.try_parts(cells.bought(row, column), cells.name(row, column))

    def take(self, row: int, column: int) -> None:
        """Put both gears of a pair in, as one step."""
        cells, build = self.cells, self._session.bench.build
        swap = None if cells is None or build is None else cells.swap(build, row, column)
        if swap is not None:
            self._session.builds.change(swap.build, swap.done, swap.undone)

    def _hold(self) -> None:
        self._try()
        self._held.hold_tried()

    def _leave(self) -> None:
        """Go back to the pair that is in; from there, go back altogether."""
        cells, index = self.cells, self.table.currentIndex()
        now = None if cells is None else cells.now
        if now is not None and (index.row(), index.column()) != now:
            self.table.stand_on(*now)
        else:
            self.left_behind.emit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._try()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._session.bench.try_parts(())
