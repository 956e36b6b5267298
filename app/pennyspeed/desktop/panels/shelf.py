"""The shelf: every part for the chosen slot with what the whole car would do, put in by Enter."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.shelf_answers import SOON, Answerer, Answers, Question, Rows
from pennyspeed.desktop.panels.shelf_model import BAND, CHANCE, PRICE, SPEED, ShelfModel
from pennyspeed.desktop.panels.shelf_table import HEAD as COLUMN_HEAD
from pennyspeed.desktop.panels.shelf_table import MARGIN, ROW, ShelfTable
from pennyspeed.desktop.pieces import LineField, Push, Wording
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.sheet import CENTRE, Sheet
from pennyspeed.desktop.table import Pairs, Stock
from pennyspeed.desktop.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts import Part, is_same

HEAD = 40
WIDE = 1000
"""From this width on the heading has room for everything."""

GOES_WITH = {"pinion": "spur", "motor": "controller"}
"""Slots whose parts can be tried with every part of another."""

MOST_PAIRS = 20_000
SIGHT_WAIT = 15
RESORT = 12
"""Chunks of bands between two times that rows sorted by them are sorted anew."""


class Empty(QWidget):
    """What stands where no row is: why, and what would help.

    Signals
    -------
    brought()
        The person asks for the demo parts.
    """

    brought = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._title, self._help = "", ""
        self._push = Push("bring in the demo parts", self)
        self._push.clicked.connect(self.brought)

    def say(self, title: str, help: str, offers_demo: bool) -> None:
        """Show a sentence and what would help."""
        self._title, self._help = title, help
        self.setAccessibleName(f"{title} {help}")
        self._push.setVisible(offers_demo)
        self.update()

    def resizeEvent(self, event: object) -> None:
        hint = self._push.sizeHint()
        x = (self.width() - hint.width()) // 2
        self._push.setGeometry(x, self._middle() + px(40), hint.width(), hint.height())

    def _middle(self) -> int:
        return max(px(32), self.height() // 2 - px(24))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        middle, room = self._middle(), self.width() - 2 * px(MARGIN)
        at = self.width() / 2
        sheet.text(at, middle, self._title, "heading", sheet.theme.ink, CENTRE, room)
        sheet.text(at, middle + px(24), self._help, "body", sheet.theme.ink2, CENTRE, room)
        painter.end()


class ShelfPanel(QWidget):
    """Heading, switches, narrowing field and table.

    Parameters
    ----------
    session : Session

    Signals
    -------
    left_behind()
        The person goes back to the slots.
    edit_wanted(Part)
    new_wanted(str)
        A new part of that kind.
    hold_wanted(Build, str)
        A car with the row's part is to be held beside, under that name.
    """

    left_behind = Signal()
    edit_wanted = Signal(object)
    new_wanted = Signal(str)
    hold_wanted = Signal(object, str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stocks: dict[tuple[str, bool], tuple[list[Part], Stock]] = {}
        self._pairs: Pairs | None = None
        self._paired: set[str] = set()
        self._archived = False
        self._standing: tuple[Part, ...] = ()
        self._chunks = 0
        self.model = ShelfModel(self)
        self.table = ShelfTable(self.model, self)
        self.answerer = Answerer(self)
        self.field = LineField("type to narrow", self)
        self.field.setAccessibleName("narrow the shelf")
        self.field.setClearButtonEnabled(False)
        self._title = Wording("heading", self)
        self._note = Wording("label", self, quiet=True)
        self.fitting = self._switch(self.turn_fitting)
        self.pairing = self._switch(self.turn_pairing)
        self._new = self._switch(lambda: self.new_wanted.emit(self._session.slot))
        self._new.say("new part")
        self._empty = Empty(self)
        self._head = QHBoxLayout()
        self._head.addWidget(self._title)
        self._head.addWidget(self._note, 1)
        for one in (self.pairing, self.fitting, self._new):
            self._head.addWidget(one)
        self._head.addWidget(self.field)
        self._pile = QStackedLayout()
        self._pile.addWidget(self.table)
        self._pile.addWidget(self._empty)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(self._head)
        self._column.addLayout(self._pile, 1)
        self._sight = QTimer(self)
        self._sight.setSingleShot(True)
        self._sight.setInterval(SIGHT_WAIT)
        self._sight.timeout.connect(self._look)
        self._connect()
        self.restyle()

    def _switch(self, act: Callable[[], None]) -> Push:
        push = Push("", self, role="label")
        push.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        push.clicked.connect(act)
        return push

    def _connect(self) -> None:
        session, table = self._session, self.table
        self.field.textChanged.connect(self._narrow)
        self.field.installEventFilter(self)
        table.put_in.connect(self._put_in)
        table.taken_out.connect(self._take_out)
        table.edit_wanted.connect(lambda row: self.edit_wanted.emit(self.model.part(row)))
        table.hold_wanted.connect(self._hold)
        table.typed.connect(self._type)
        table.left_behind.connect(self.left_behind)
        table.given_up.connect(self._give_up)
        table.row_changed.connect(self._row_changed)
        table.sight_changed.connect(self._sight.start)
        table.sorted_anew.connect(self._sorted_anew)
        self.answerer.answered.connect(self._answered)
        self.answerer.looked_at.connect(self._looked_at)
        self.answerer.went_on.connect(self._went_on)
        self.answerer.went_late.connect(self._went_late)
        self._empty.brought.connect(self._bring_demo)
        session.build_changed.connect(self._build_changed)
        session.slot_changed.connect(self._slot_changed)
        session.parts_changed.connect(self._parts_changed)
        session.measures_changed.connect(self.refresh)
        session.closed.connect(self.answerer.wait)

    # Showing --------------------------------------------------------------------------------

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._head.setSpacing(px(16))
        self.field.setFixedSize(px(144), px(28))
        switches = (self.fitting, self.pairing, self._new)
        for one in (self._title, self._note, *switches, self.field, self._empty):
            one.restyle() if hasattr(one, "restyle") else one.update()
        for one in (self._title, self._note):
            one.setFixedHeight(px(HEAD))
        self.table.restyle()

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(HEAD) + px(COLUMN_HEAD) + 3 * px(ROW))

    @staticmethod
    def whole_rows(height: float) -> int:
        """Return the height next to `height` at which no row is cut."""
        over = px(HEAD) + px(COLUMN_HEAD)
        return over + max(round((height - over) / px(ROW)), 3) * px(ROW)

    def refresh(self) -> None:
        """Take the chosen slot's parts from the session."""
        slot, archived = self._session.slot, self._archived
        if not self._session.has_parts(slot, archived):
            return
        self.model.show_build(self._session.build)
        self.model.show_stock(self._shown_stock(slot))
        if self.table.currentIndex().row() < 0 or not self._standing:
            self._stand()
        self._say()
        self._ask(0)

    @property
    def shows_archived(self) -> bool:
        """Whether archived parts are listed."""
        return self._archived

    def show_archived(self, archived: bool) -> None:
        """List archived parts too, or hide them."""
        if archived != self._archived:
            self._archived = archived
            self.refresh()

    def _stock(self, slot: str, archived: bool) -> Stock:
        parts = self._session.parts(slot, archived)
        known = self._stocks.get((slot, archived))
        if known is None or known[0] is not parts or known[1].measures != self._session.measures:
            known = parts, Stock(BY_KEY[slot], parts, self._session.measures)
            self._stocks[slot, archived] = known
        return known[1]

    def _shown_stock(self, slot: str) -> Stock:
        """Return the slot's parts, or its pairs where these are asked for."""
        one = self._stock(slot, self._archived)
        if slot not in self._paired:
            return one
        other = self._stock(GOES_WITH[slot], False)
        if len(one) * len(other) > MOST_PAIRS:
            one = self._narrowed(one, MOST_PAIRS // len(other))
        known = self._pairs
        if known is None or known.one is not one or known.other is not other:
            known = self._pairs = Pairs(one, other)
        return known

    def _narrowed(self, stock: Stock, most: int) -> Stock:
        """Return what narrowing leaves of a stock, nothing where that is still too much."""
        kept = np.flatnonzero(stock.with_words(self.field.text().casefold().split()))
        chosen = [stock.parts[i] for i in kept] if len(kept) <= most else []
        old = None if self._pairs is None else self._pairs.one
        is_old = old is not None and old.measures == stock.measures
        if old is not None and is_old and list(map(id, old.parts)) == list(map(id, chosen)):
            return old
        return Stock(stock.kind, chosen, stock.measures)

    def _say(self) -> None:
        model, kind = self.model, self.model.stock.kind
        stock, slot = model.stock, self._session.slot
        shown, total = model.rowCount(), model.total
        title = kind.plural
        if isinstance(stock, Pairs):
            title = f"{kind.plural} with {stock.other.kind.plural}"
        self._title.say(f"{title[0].upper()}{title[1:]} that could go in")
        count = f"{shown:,}" if shown == total else f"{shown:,} of {total:,}"
        waits = "worked out anew" if model.is_late else self._order_words()
        self._note.say(f"{count} on the shelf, {waits}", count)
        self._say_switches(slot)
        if shown:
            self._pile.setCurrentWidget(self.table)
            return
        self._say_empty(stock, total)

    def _order_words(self) -> str:
        """Say in which order the rows stand."""
        column, order = self.model.sorted_by
        falls = order == Qt.SortOrder.DescendingOrder
        key, title = self.model.columns[column].key, self.model.columns[column].title
        words = {
            SPEED: ("slowest first", "fastest first"),
            PRICE: ("cheapest first", "dearest first"),
            CHANCE: ("least likely first", "likeliest first"),
            "name": ("by name", "by name, last first"),
        }
        if key in words:
            return words[key][falls]
        return f"by {title}, largest first" if falls else f"by {title}"

    def _say_switches(self, slot: str) -> None:
        unfit, other = self.model.unfit, GOES_WITH.get(slot)
        hidden = self.model.fits_only
        self.fitting.setVisible(bool(unfit) or hidden)
        verb, do = "show" if hidden else "hide", "does" if unfit == 1 else "do"
        self.fitting.say(f"{verb} {unfit:,} that {do} not fit")
        self.pairing.setVisible(other is not None)
        if other is not None:
            alone = f"{BY_KEY[slot].plural} alone"
            paired = slot in self._paired
            self.pairing.say(alone if paired else f"with every {BY_KEY[other].label}")

    def _say_empty(self, stock: Stock, total: int) -> None:
        kind, typed = stock.kind, self.field.text().strip()
        title, help, offers = "", "", False
        if total and typed:
            title = f"No {kind.label} on the shelf has “{typed}” in it"
            help = f"Escape shows all {total:,} again."
        elif total:
            title = f"None of {total:,} {kind.plural} fits"
            help = "Ctrl+G shows them, each with its reason."
        elif isinstance(stock, Pairs) and self._session.parts(kind.key, self._archived):
            ones = len(self._session.parts(kind.key, self._archived))
            others = len(stock.other)
            if others:
                title = f"{ones:,} {kind.plural} with {others:,} {stock.other.kind.plural}"
                help = f"Type to narrow them to {MOST_PAIRS // others:,} {kind.plural} or fewer."
            else:
                title = f"No {stock.other.kind.plural} on the shelf yet"
                help = f"Ctrl+T shows the {kind.plural} alone."
        elif self._session.is_open:
            title = f"No {kind.plural} on the shelf yet"
            help = "Write one down with Ctrl+Shift+N, or bring a file in with Ctrl+O."
            offers = True
        else:
            return
        self._empty.say(title, help, offers)
        self._pile.setCurrentWidget(self._empty)

    def _stand(self) -> None:
        """Put the keyboard on the part in the slot, or on the first row."""
        row = self.model.row_of_parts(self._standing) if self._standing else -1
        if row < 0:
            row = self.model.row_now
        self.table.stand_on(max(row, 0))

    # Answers --------------------------------------------------------------------------------

    def _ask(self, wait: int = SOON) -> None:
        """Have worked out what the whole car would do with each row."""
        build, stock = self._session.build, self.model.stock
        if build is None or not self._session.is_open:
            self.answerer.ask(None, _nothing)
            return
        others: list[Part] = []
        ones = stock.parts
        if isinstance(stock, Pairs):
            others = stock.other.parts
            ones = ones if others else []
        question = Question(build, ones, others, self._session.measures)
        arrangement, room = self.model.arrangement, self.table.rows_of_room
        row, above = self.table.currentIndex().row(), self._above()
        anchor = self.model.place(row) if row >= 0 else -1

        def choose(answers: Answers) -> Rows:
            rows = arrangement.rows(answers)
            at = np.flatnonzero(rows == anchor)
            first = first_in_sight(int(at[0]), above, room, len(rows)) if at.size else 0
            return rows[first : first + room]

        self.answerer.ask(question, choose, wait)

    def _above(self) -> int | None:
        """Return how many rows stand above the keyboard's, None where it may move."""
        row, sight = self.table.currentIndex().row(), self.table.in_sight
        return row - sight.start if row in sight and self.model.answers is not None else None

    def _answered(self, answers: Answers) -> None:
        table, model = self.table, self.model
        above = self._above()
        model.show_answers(answers)
        row = table.currentIndex().row()
        if row < 0:
            self._stand()
        else:
            first = first_in_sight(row, above, table.rows_of_room, model.rowCount())
            table.verticalScrollBar().setValue(first)
        self._say()
        self._look()
        self.answerer.run(model.stock.prepare)
        self.answerer.go_on(model.order)

    def _look(self) -> None:
        """Ask for what is in sight and not yet worked out."""
        places = self.model.order[list(self.table.in_sight)]
        self.answerer.look(places)
        self.table.settle_scale()

    def _looked_at(self) -> None:
        self.model.show_more(resort=False)
        self.table.settle_scale()

    def _went_on(self) -> None:
        self._chunks += 1
        by_band = self.model.columns[self.model.sorted_by[0]].key in (BAND, CHANCE)
        if by_band and (self._chunks % RESORT == 0 or self.answerer.is_at_rest):
            self.model.show_more(resort=True)

    def _went_late(self) -> None:
        self.model.show_late()
        self._say()

    # Hearing --------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._new.setVisible(self.width() >= px(WIDE))
        super().resizeEvent(event)

    def _build_changed(self) -> None:
        if self.model.stock.kind.key != self._session.slot:
            self.refresh()
            return
        self.model.show_build(self._session.build)
        self._ask()

    def _slot_changed(self) -> None:
        self._standing = ()
        self.table.setCurrentIndex(self.model.index(-1, -1))
        if self.field.text():
            self.field.clear()
        self.refresh()

    def _parts_changed(self, kind_key: str) -> None:
        if kind_key in (self._session.slot, GOES_WITH.get(self._session.slot)):
            self.refresh()
            self._stand()

    def _narrow(self, text: str) -> None:
        self.answerer.hold()
        self.model.narrow(text)
        if self._session.slot in self._paired:
            self.refresh()
        self._say()
        self._stand()

    def _sorted_anew(self) -> None:
        self._say()
        self._look()
        self.answerer.go_on(self.model.order)

    def _row_changed(self, row: int) -> None:
        if row < 0:
            return
        self.answerer.hold()
        self._standing = self.model.parts(row)
        self._session.try_parts(self._bought(row), self._name(row))

    def _bought(self, row: int) -> tuple[Part, ...]:
        """Return those of a row's parts that are not in the build already."""
        build = self._session.build
        if build is None:
            return ()
        bought = []
        for part in self.model.parts(row):
            old = None if part.kind.many else build.part(part.kind_key)
            if old is None or not is_same(old, part):
                bought.append(part)
        return tuple(bought)

    def _name(self, row: int) -> str:
        """Return what people call a row's parts together."""
        return " with ".join(part.name for part in self.model.parts(row))

    # Doing ----------------------------------------------------------------------------------

    def focus_table(self) -> None:
        """Go to the rows."""
        self._stand()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def focus_field(self) -> None:
        """Go to the narrowing field."""
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    def sort_onward(self) -> None:
        """Sort by the next column."""
        self.table.sort_beside(1)

    def turn_round(self) -> None:
        """Sort the other way round."""
        self.table.turn_round()

    def turn_fitting(self) -> None:
        """Leave out what does not fit, or show it again."""
        self.model.show_fitting(not self.model.fits_only)
        self._say()
        self._stand()

    def turn_pairing(self) -> None:
        """List the slot's parts with every part that goes with them, or alone again."""
        slot = self._session.slot
        if slot not in GOES_WITH:
            return
        self._paired ^= {slot}
        self._standing = ()
        self.table.setCurrentIndex(self.model.index(-1, -1))
        self.refresh()

    def part_here(self) -> Part | None:
        """Return the part that the keyboard stands on."""
        row = self.table.currentIndex().row()
        return self.model.part(row) if row >= 0 else None

    def _put_in(self, row: int) -> None:
        bought, build = self._bought(row), self._session.build
        if len(bought) == 1:
            self._session.put_in(bought[0])
        elif bought and build is not None:
            old = [build.part(part.kind_key) for part in bought]
            names = " with ".join(part.name for part in old if part is not None)
            undid = f"put back {names}" if None not in old else f"took {self._name(row)} out again"
            self._session.change(_with_parts(build, bought), f"put in {self._name(row)}", undid)

    def _hold(self, row: int) -> None:
        build = self._session.build
        if build is not None:
            name = f"with {self._name(row)}"
            self.hold_wanted.emit(_with_parts(build, self._bought(row)), name)

    def _take_out(self, row: int) -> None:
        if self.model.count_in(row):
            self._session.take_out(self._session.slot, self.model.part(row))

    def _type(self, text: str) -> None:
        self.focus_field()
        if text:
            self.field.deselect()
            self.field.insert(text)

    def _give_up(self) -> None:
        """Show all rows again; then go back to what is in the slot; then to the slots."""
        now = self.model.row_now
        if self.field.text():
            self.field.clear()
        elif now >= 0 and self.table.currentIndex().row() != now:
            self.table.stand_on(now)
        else:
            self._session.try_parts(())
            self.left_behind.emit()

    def _bring_demo(self) -> None:
        from pennyspeed.resources import path

        self._session.bring(path(f"demo/parts/{self._session.slot}.csv"))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.field and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.focus_table()
                return True
            if event.key() == Qt.Key.Key_Escape:
                if self.field.text():
                    self.field.clear()
                else:
                    self.focus_table()
                return True
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().ground)
        painter.end()


def first_in_sight(row: int, above: int | None, room: int, count: int) -> int:
    """Return the first row in sight that leaves `above` rows above `row`.

    Where that may change, the list begins at its top, or has the row in its middle.
    """
    if above is None:
        above = row if row < room else room // 2
    return max(min(row - above, count - room), 0)


def _with_parts(build: Build, parts: tuple[Part, ...]) -> Build:
    for part in parts:
        build = build.with_part(part)
    return build


def _nothing(answers: Answers) -> Rows:
    return np.arange(0)
