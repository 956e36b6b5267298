"""The view of money: the bar, what was spent over time, and the lines, all by the keyboard."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from pennyspeed.desktop.charts.views.spending import SpendingChart
from pennyspeed.desktop.money import MONEY
from pennyspeed.desktop.money.form_stack import FormStack
from pennyspeed.desktop.money.line_actions import LineActions
from pennyspeed.desktop.money.money_bar import MoneyBar
from pennyspeed.desktop.money.money_cell_editor import MoneyCellEditor
from pennyspeed.desktop.money.money_model import MoneyModel
from pennyspeed.desktop.money.money_table import ROW, MoneyTable
from pennyspeed.desktop.money.money_totals import MoneyTotals
from pennyspeed.desktop.navigator import StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.layouts import fill, fill_column, order_tab
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.desktop.widgets.tables.titled_table import HEAD, MARGIN
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import Book, book
from pennyspeed.services.money.bar_segments import WouldBe
from pennyspeed.services.money.money_rows import (
    ARRANGEMENTS,
    BY_DATE,
    MoneyRows,
    line_rows,
    sum_rows,
)

TABLE_HEAD, GAP, LEAST_PLOT, MOST_PLOT, LEAST_ROWS = 36, 12, 176, 272, 3
PLOT_SHARE = 0.42
"""Of the height that plot and table share which the plot keeps, however many lines there are."""


class MoneyPanel(Scaled, LazyPanel):
    """Everything about a build's money.

    Signals
    -------
    left_behind()
        The person goes back.
    """

    keys = MONEY
    left_behind = Signal()

    def __init__(self, session: Session, held: ComparedBuilds) -> None:
        super().__init__()
        self._session, self._held = session, held
        self._shown: tuple[int | None, int] = (None, 0)
        self._lines = QWidget()
        self.bar = MoneyBar(self)
        self.plot = SpendingChart(self)
        self.arranged = SegmentedControl("lines", self)
        self.arranged.offer(ARRANGEMENTS)
        self.new_button = Button("new line", self, "label")
        self.order_button = Button("order", self, "label")
        self.rates_button = Button("rates", self, "label")
        self.currency_button = Button("currency", self, "label")
        # The one that is needed most comes first: the last have no room in a narrow panel.
        self.buttons = (
            self.new_button,
            self.order_button,
            self.rates_button,
            self.currency_button,
        )
        self.model = MoneyModel(self)
        self.table = MoneyTable(self.model, self)
        self.foot = MoneyTotals(self)
        self.edit = MoneyCellEditor(session, self.table)
        self.forms = FormStack(session, self._lines, self)
        self.lines = LineActions(session, self.arranged, self.table, self.edit, self.forms)
        self._build_layout()
        self._connect()
        self.setFocusProxy(self.table)
        self.rescale()

    def _build_layout(self) -> None:
        self._head = QHBoxLayout()
        self._head.addWidget(self.arranged)
        self._head.addStretch(1)
        fill(self._head, *self.buttons)
        fill_column(self._lines, self.plot, self._head, (self.table, 1), self.foot)
        fill_column(self, self.bar, (self.forms, 1))
        order_tab(self.table, self.arranged, *self.buttons, self.plot)

    def _connect(self) -> None:
        session = self._session
        bench = session.bench
        for signal in (bench.build_changed, bench.tried_changed, bench.measures_changed):
            signal.connect(self._changed)
        self._held.changed.connect(self._changed)
        self.arranged.chosen.connect(lambda _: self._show_rows())
        self.new_button.clicked.connect(self.lines.write_new)
        self.order_button.clicked.connect(self.lines.open_order)
        self.rates_button.clicked.connect(self.lines.open_rates)
        wanted = session.builds.currency_wanted
        self.currency_button.clicked.connect(lambda: wanted.emit(None))
        self.table.left_behind.connect(self.left_behind)
        self.plot.saved.connect(session.messages.noted)
        self.plot.troubled.connect(session.messages.troubled)

    def rescale(self) -> None:
        self._head.setContentsMargins(px(MARGIN), px(4), px(MARGIN) - px(4), 0)
        self._head.setSpacing(px(GAP))
        self.arranged.setMinimumHeight(px(TABLE_HEAD) - px(4))
        self._share_height()
        self._share_width()

    def _share_width(self) -> None:
        """Leave out what has no room beside the arrangements; its key does it all the same."""
        room = self.width() - 2 * px(MARGIN) - self.arranged.sizeHint().width()
        for one in self.buttons:
            room -= one.sizeHint().width() + px(GAP)
            one.setVisible(room >= 0)

    def minimumSizeHint(self) -> QSize:
        rest = px(LEAST_PLOT + TABLE_HEAD + HEAD + LEAST_ROWS * ROW)
        return QSize(px(320), self.bar.height() + rest + self.foot.height())

    def page(self) -> StackPage:
        """Return how the navigator knows it."""
        return StackPage(self, self.left_behind, self.focus_table, self.lines.stand_on)

    def focus_table(self) -> None:
        """Go to the lines, or to the form in their place."""
        if not self.forms.focus_form():
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    # Showing --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the build as it is now."""
        super().refresh()
        bench = self._session.bench
        build, forecast = bench.build, bench.forecast
        if build is None or forecast is None:
            return
        ghost = None
        if bench.trial is not None:
            ghost = WouldBe(f"with {bench.tried_name}", book(bench.trial.build))
        held = [
            WouldBe(f"{one.letter} {one.name}", book(one.build))
            for one in self._held.entries
            if one.build.currency == build.currency
        ]
        self.bar.show_book(book(build), bench.measures, ghost, held)
        self.plot.show_forecast(forecast, bench.measures, bench.trial, bench.tried_name)
        self._show_rows()

    def rows(self, build: Build, found: Book) -> MoneyRows:
        """Return what the table is to show."""
        if self.lines.by_line:
            by_date = self.arranged.key == BY_DATE
            return line_rows(build, found, self._session.bench.measures, date.today(), by_date)
        return sum_rows(found, self._session.bench.measures, self.arranged.key)

    def _show_rows(self) -> None:
        build = self._session.bench.build
        if build is None:
            return
        here = self.table.currentIndex()
        known = 0 <= here.row() < len(self.model.rows)
        key = self.model.rows[here.row()].key if known else ""
        column = self.model.columns[here.column()].key if known else "name"
        found = book(build)
        shown = build.id, len(build.lines)
        if shown != self._shown:
            # Places are others now.
            self.model.clear_marks()
            self._shown = shown
        self.model.take(self.rows(build, found))
        row = self.model.row_of(key)
        self.table.stand_on(
            row if row >= 0 else max(here.row(), 0), max(self.model.column_of(column), 0)
        )
        self.foot.show_book(found, self._session.bench.measures)
        self._share_height()

    def _share_height(self) -> None:
        """Give the table the rows that it has, and the plot what is left of its own height."""
        room = self.height() - self.bar.height() - px(TABLE_HEAD) - self.foot.height()
        left = room - self.table.natural_height()
        high = min(max(left, round(PLOT_SHARE * room), px(LEAST_PLOT)), px(MOST_PLOT))
        # Where rows have to scroll, none of them is cut.
        if high > left:
            high += (room - high - px(HEAD)) % px(ROW)
        self.plot.setFixedHeight(max(high, px(LEAST_PLOT)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_height()
        self._share_width()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.plot.read_at(None)
