"""Beside each other: up to six held builds over and next to the car now, and what differs."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QStackedLayout

from pennyspeed.desktop.beside import BESIDE
from pennyspeed.desktop.beside.beside_header import MARGIN, ROW
from pennyspeed.desktop.beside.beside_model import BesideModel
from pennyspeed.desktop.beside.beside_table import BesideTable
from pennyspeed.desktop.charts.views.beside import TITLE as TITLE
from pennyspeed.desktop.charts.views.beside import BesideChart
from pennyspeed.desktop.navigator import StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.comparison import ComparedBuilds, Entry
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill, fill_column, order_tab
from pennyspeed.desktop.widgets.notice import Notice
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.services.charts.beside import Line
from pennyspeed.services.prediction.comparison import LETTERS, Comparison, compare
from pennyspeed.services.prediction.forecast import Forecast, forecast

THE_CAR_NOW = "the car now"
FOOT, MOST_PLOT, LEAST_PLOT = 32, 288, 150
PLOT_SHARE = 0.38
"""Of the height that the plot keeps, however many rows differ."""
DIFFERING, ALL = "differing", "all"


NOTHING_HELD = (
    "Nothing is held beside this car yet",
    "Space on the shelf or in the gear chart holds the car with what is tried there,",
    "Space here holds it as it is: change it then, and see what that did.",
)


class BesidePanel(Scaled, LazyPanel):
    """Curves over each other, a table of what differs, and what can be done with a held build.

    Signals
    -------
    left_behind()
        The person goes back.
    """

    keys = BESIDE
    left_behind = Signal()

    def __init__(self, session: Session, held: ComparedBuilds) -> None:
        super().__init__()
        self._session, self._held = session, held
        self._jobs = JobQueue(self, newest_only=True)
        self._letter = ""
        self.plot = BesideChart(self)
        self.model = BesideModel(self)
        self.table = BesideTable(self.model, self)
        self._nothing = Notice(self, *NOTHING_HELD)
        self.alike = Label("label", self, quiet=True)
        self.rows_shown = SegmentedControl("rows", self)
        self.rows_shown.offer([(DIFFERING, "that differ"), (ALL, "all")])
        self.hold_present = Button("hold the car as it is", self, "label")
        self.hold_other = Button("hold another build", self, "label")
        self.builds = QMenu("Hold another build", self)
        self._build_layout()
        self.builds.aboutToShow.connect(self._fill_builds)
        self.hold_present.clicked.connect(held.hold_present)
        self.hold_other.clicked.connect(self._open_builds)
        self.rows_shown.chosen.connect(lambda _: self._show())
        self.table.switched.connect(self.rows_shown.step)
        self.table.restore_wanted.connect(held.restore)
        self.table.removed.connect(held.remove)
        self.table.hold_wanted.connect(held.hold_present)
        self.table.left_behind.connect(self.left_behind)
        self.plot.saved.connect(session.messages.noted)
        self.plot.troubled.connect(session.messages.troubled)
        held.changed.connect(self._changed)
        session.bench.build_changed.connect(self._changed)
        session.bench.measures_changed.connect(self._changed)
        session.file.closed.connect(self._jobs.wait)
        self.rescale()

    def _build_layout(self) -> None:
        self._pile = QStackedLayout()
        self._pile.addWidget(self.table)
        self._pile.addWidget(self._nothing)
        self._foot = QHBoxLayout()
        verbs = self.rows_shown, self.hold_present, self.hold_other
        fill(self._foot, (self.alike, 1), *verbs)
        fill_column(self, self.plot, (self._pile, 1), self._foot)
        order_tab(self.table, *verbs, self.plot)

    def rescale(self) -> None:
        self._foot.setContentsMargins(px(MARGIN), px(2), px(MARGIN), px(2))
        self._foot.setSpacing(px(16))
        self.alike.setFixedHeight(px(FOOT) - px(4))
        self._share_height()

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(LEAST_PLOT) + px(160))

    @property
    def comparison(self) -> Comparison | None:
        """What is shown."""
        return self.model.comparison

    @property
    def is_busy(self) -> bool:
        """Whether forecasts of held builds are on their way."""
        return self._jobs.is_busy

    def page(self) -> StackPage:
        """Return how the navigator knows it."""
        return StackPage(self, self.left_behind, self.focus_table, self.stand_on)

    def focus_table(self) -> None:
        """Go to the table, or to what can be done where nothing is held."""
        wanted = self.table if self._held.entries else self.hold_present
        wanted.setFocus(Qt.FocusReason.OtherFocusReason)

    def stand_on(self, letter: str) -> None:
        """Go to a held build's column."""
        if letter in self.model.letters:
            row = max(self.table.currentIndex().row(), 0)
            self._letter = ""
            self.table.setCurrentIndex(self.model.index(row, self.model.letters.index(letter)))
        else:
            # Its forecast is still on its way.
            self._letter = letter
        self.focus_table()

    # Showing --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the car and what is held; what has no forecast yet comes as soon as it is there."""
        super().refresh()
        measures, leads = self._session.bench.measures, self._session.bench.lead_times
        missing = [entry for entry in self._held.entries if self._held.known(entry) is None]
        if missing:
            self._jobs.submit(
                lambda: [(entry, forecast(entry.build, measures, leads)) for entry in missing],
                partial(self._worked_out, measures),
            )
        self._show()

    def _worked_out(self, measures: Measures, found: list[tuple[Entry, Forecast]]) -> None:
        if measures is not self._session.bench.measures:
            return
        held = self._held.entries
        for entry, predicted in found:
            if entry in held:
                self._held.learn(entry, predicted)
        self._show()

    def _known(self) -> list[tuple[Entry, Forecast]]:
        pairs = [(entry, self._held.known(entry)) for entry in self._held.entries]
        return [(entry, known) for entry, known in pairs if known is not None]

    def _show(self) -> None:
        now, measures = self._session.bench.forecast, self._session.bench.measures
        known = self._known()
        row, column = self.table.currentIndex().row(), self.table.currentIndex().column()
        if now is None:
            self.model.take(None, [], measures, True)
            return
        lines = [Line(LETTERS[0], THE_CAR_NOW, now)]
        lines += [Line(entry.letter, entry.name, found) for entry, found in known]
        self.plot.show_lines(lines, measures)
        comparison = compare([(line.name, line.forecast) for line in lines], measures)
        only = self.rows_shown.key == DIFFERING
        self.model.take(comparison, [line.letter for line in lines], measures, only)
        keyboard = self.table.hasFocus()
        self._pile.setCurrentWidget(self.table if self._held.entries else self._nothing)
        self.setFocusProxy(self.table if self._held.entries else self.hold_present)
        if self._held.entries and self.model.rowCount():
            place = max(min(row, self.model.rowCount() - 1), 0)
            across = max(min(column, self.model.columnCount() - 1), 0)
            self.table.setCurrentIndex(self.model.index(place, across))
        elif keyboard:
            self.focus_table()
        if self._letter in self.model.letters:
            self.stand_on(self._letter)
        alike = comparison.alike if len(lines) > 1 and only else ()
        if len(lines) > 1 and not comparison.differing:
            self.alike.say("Nothing differs.")
        else:
            self.alike.say(f"Alike: {', '.join(alike)}." if alike else "")
        self.alike.setToolTip(self.alike.text)
        self._share_height()

    def _share_height(self) -> None:
        """Give the table the rows that it has, and the plot what is left of its own height."""
        room = self.height() - px(FOOT)
        high = room - px(112)
        if self._held.entries:
            left = room - self.table.natural_height()
            high = min(max(left, round(PLOT_SHARE * room), px(LEAST_PLOT)), px(MOST_PLOT))
            # Where rows have to scroll, none of them is cut.
            high += max(high - left, 0) and (room - high - self.table.over_rows()) % px(ROW)
        self.plot.setFixedHeight(max(min(high, room - px(96)), px(96)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_height()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.plot.read_at(None)

    # Doing ----------------------------------------------------------------------------------

    def _open_builds(self) -> None:
        button = self.hold_other
        high = self.builds.sizeHint().height()
        self.builds.popup(button.mapToGlobal(QPoint(0, -high)))

    def _fill_builds(self) -> None:
        self.builds.clear()
        build = self._session.bench.build
        for build_id, name in self._session.builds.entries():
            if build is None or build_id != build.id:
                action = self.builds.addAction(name.replace("&", "&&"))
                action.triggered.connect(lambda _=False, it=build_id: self._held.hold_saved(it))
        if self.builds.isEmpty():
            self.builds.addAction("there is no other build").setEnabled(False)
