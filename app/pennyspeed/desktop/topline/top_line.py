"""The top line: the build's name and what it is for, each edited in place."""

from __future__ import annotations

import math
from functools import partial

from PySide6.QtCore import QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.inline.inline_field import PAD, InlineField
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.topline import TOP
from pennyspeed.desktop.topline.held_buttons import TITLE, HeldBuildButton
from pennyspeed.desktop.topline.name_field import MenuButton, NameField
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import RIGHT, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.build_fields import Item, items

MARGIN, GAP, HEIGHT = 24, 22, 48
NAMES_FROM = 1240
"""Of the line's width that held builds' names leave to the rest."""
IN_LINE = 7
"""How many items stand in the line where there is room; the rest are in the sheet."""


class TopLine(Scaled, QWidget):
    """The build's name, its target, cap, road and weather, and what was done last.

    It is one stop for Tab; arrow keys go along it.

    Signals
    -------
    builds_wanted()
        The person opens the list of builds.
    menu_wanted()
        The person opens the menu.
    held_wanted(str)
        The person goes to what is held beside under that letter.
    """

    keys = TOP
    builds_wanted = Signal()
    menu_wanted = Signal()
    held_wanted = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._note = ""
        self.name = NameField(session, self)
        self.name.menu_wanted.connect(self.builds_wanted)
        self._all = items()
        self.fields = [InlineField(session, item, self) for item in self._all]
        self.more = MenuButton(
            "more", "Everything else about the road, the air and the driver.", self
        )
        self.menu = MenuButton("menu", "Everything that can be done, with its keys (F10).", self)
        self.menu.clicked.connect(self.menu_wanted)
        self.held: list[HeldBuildButton] = []
        self.sheet: MoreSheet | None = None
        self.more.clicked.connect(self.open_more)
        movers: list[InlineField | MenuButton] = [self.name, *self.fields, self.more, self.menu]
        for one in movers:
            one.moved.connect(partial(self._go_beside, one))
        self._stop: QWidget = self.name
        session.bench.build_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        self.rescale()

    def new_build(self) -> None:
        """Make an empty build and have it named; the first has units and currency chosen before."""
        builds = self._session.builds
        if builds.is_first:
            builds.first_build_wanted.emit()
            return
        builds.create(builds.free_name("New build"))
        self.name.edit()

    def copy_build(self) -> None:
        """Copy the build and have the copy named."""
        build, builds = self._session.bench.build, self._session.builds
        if build is not None:
            builds.copy(builds.free_name(f"{build.name}, copy"))
            self.name.edit()

    # Showing --------------------------------------------------------------------------------

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))
        self._lay_out()

    def refresh(self) -> None:
        """Take the values from the session's build."""
        moved = [one.refresh() for one in (self.name, *self.fields)]
        has_build = self._session.bench.build is not None
        if any(moved) or has_build == self.fields[0].isHidden():
            self._lay_out()
        if self.sheet is not None:
            self.sheet.refresh()

    def show_held(self, held: list[tuple[str, str]]) -> None:
        """Show the letters and names of the builds that are held beside this one."""
        if held == [(one.letter, one.name) for one in self.held]:
            return
        letter = next((one.letter for one in self.held if one.hasFocus()), "")
        gone, self.held = self.held, []
        for one in held:
            word = HeldBuildButton(*one, self)
            word.moved.connect(partial(self._go_beside, word))
            word.clicked.connect(lambda _, letter=one[0]: self.held_wanted.emit(letter))
            word.show()
            self.held.append(word)
        self._lay_out()
        if letter:
            same = next((one for one in self.held if one.letter == letter), self.menu)
            same.setFocus(Qt.FocusReason.OtherFocusReason)
        for word in gone:
            word.deleteLater()
        self.update()

    def say(self, note: str) -> None:
        """Show what was done last."""
        if note != self._note:
            self._note = note
            self.setAccessibleDescription(note)
            self.update(self._note_box())

    def field(self, key: str) -> InlineField:
        return next(one for one in self.fields if one.item.key == key)

    def _note_box(self) -> QRect:
        """Return where notes stand: between what is typed in and what is held."""
        more = self.more.geometry()
        left, right = more.right(), self._held_start
        if self.isRightToLeft():
            left, right = self.width() - self._held_start, more.left()
        return QRect(left, 0, max(right - left, 0), self.height())

    def _lay_out(self) -> None:
        """Place the fields from the leading edge; those without room are in the sheet only."""
        sizes = {one: one.sizeHint() for one in (self.name, *self.fields, self.more, self.menu)}
        top = (px(HEIGHT) - px(32)) // 2
        end = self.width() - px(MARGIN) + px(PAD) - sizes[self.menu].width()
        self._put(self.menu, end, top, sizes[self.menu])
        end = self._put_held(end, top)
        x = px(MARGIN) - px(PAD)
        self._put(self.name, x, top, sizes[self.name])
        x += sizes[self.name].width() + px(GAP) - 2 * px(PAD)
        last = end - px(GAP) - sizes[self.more].width() - (0 if self.held else px(64))
        has_room = True
        for one in self.fields:
            width = sizes[one].width()
            wanted = self._is_in_line(one)
            has_room = has_room and x + width <= last
            one.setVisible(wanted and has_room)
            if wanted and has_room:
                self._put(one, x, top, sizes[one])
                x += width + px(GAP) - 2 * px(PAD)
        self._put(self.more, x, top, sizes[self.more])
        self.name.show()

    def _put_held(self, end: int, top: int) -> int:
        """Place what is held before `end`, with its names on a wide line; return its start."""
        self._held_start = end
        if not self.held:
            return end
        sizes = [one.sizeHint() for one in self.held]
        wide = [one.wide() for one in self.held]
        if self.width() - px(NAMES_FROM) >= sum(one.width() for one in wide):
            sizes = wide
        end -= px(12)
        for one, size in zip(reversed(self.held), reversed(sizes), strict=True):
            end -= size.width()
            self._put(one, end, top, size)
        title = theme.metrics("label").horizontalAdvance(TITLE)
        self._held_start = end - round(title) - px(4)
        return self._held_start

    def _is_in_line(self, field: InlineField) -> bool:
        build = self._session.bench.build
        if build is None:
            return False
        if self.fields.index(field) < IN_LINE:
            return True
        return field.item.key == "slope_percent" and bool(build.conditions.get("slope_percent"))

    def _put(self, one: QWidget, x: int, y: int, size: QSize) -> None:
        place(one, QRect(QPoint(x, y), size))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "side") as painter:
            painter.fill(0, self.height() - 1, self.width(), 1, painter.theme.rule)
            more = max(self.more.geometry().right(), 0)
            if self.isRightToLeft():
                more = self.width() - self.more.geometry().left()
            line = baseline(0, self.height(), "label")
            right = self._held_start - px(12)
            room = right - more - px(16)
            if self.held:
                painter.text(self._held_start, line, TITLE, "label", painter.theme.ink2)
            painter.text(right, line, self._note, "label", painter.theme.ink2, RIGHT, room)

    # Hands ----------------------------------------------------------------------------------

    def _stops(self) -> list[QWidget]:
        all_stops = (self.name, *self.fields, self.more, *self.held, self.menu)
        return [one for one in all_stops if not one.isHidden()]

    def _go_beside(self, one: QWidget, step: int) -> None:
        stops = self._stops()
        place = stops.index(one) + step if one in stops else 0
        stops[min(max(place, 0), len(stops) - 1)].setFocus(Qt.FocusReason.OtherFocusReason)

    def take_focus(self) -> None:
        """Put the keyboard on the name."""
        self.name.setFocus(Qt.FocusReason.TabFocusReason)

    def go_to(self, key: str) -> None:
        """Put the keyboard on an item: in the line, or in the sheet where it has no room there."""
        found = self.field(key)
        if found.isHidden():
            self.close_more()
            self.open_more()
            assert self.sheet is not None
            found = self.sheet.fields[self.fields.index(found)]
        found.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def open_more(self) -> None:
        """Open the sheet with everything, or close it."""
        if self.sheet is not None:
            self.close_more()
            return
        bench = self.parentWidget() or self
        self.sheet = MoreSheet(self._session, self._all, bench)
        self.sheet.left_behind.connect(self.close_more)
        left = self.more.mapTo(bench, QPoint(0, self.more.height())).x()
        self.sheet.stand(left, px(HEIGHT))
        self.sheet.show()
        self.sheet.raise_()
        self.sheet.fields[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def close_more(self) -> None:
        """Close the sheet."""
        sheet, self.sheet = self.sheet, None
        if sheet is not None:
            self.more.setFocus(Qt.FocusReason.OtherFocusReason)
            sheet.hide()
            sheet.deleteLater()


class MoreSheet(Scaled, QWidget):
    """Every item, one below the other, each edited in place.

    Signals
    -------
    left_behind()
        Escape.
    """

    left_behind = Signal()

    def __init__(self, session: Session, all_items: list[Item], parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("the road, the air and the driver")
        self.fields = [InlineField(session, item, self, spread=True) for item in all_items]
        for i, one in enumerate(self.fields):
            one.moved.connect(lambda step, i=i: self._go(i + step))
        self._x = self._y = 0
        self.refresh()

    def refresh(self) -> None:
        """Take the values from the build."""
        for one in self.fields:
            one.refresh()

    def stand(self, x: int, y: int) -> None:
        """Stand with the corner there."""
        self._x, self._y = x, y
        self.rescale()

    def rescale(self) -> None:
        high, wide = px(28), px(320)
        parent = self.parentWidget()
        room = parent.size() if parent is not None else QSize(wide, 0)
        fitting = max((room.height() - self._y - px(24)) // high, 1)
        columns = 1 if len(self.fields) <= fitting else 2
        rows = math.ceil(len(self.fields) / columns)
        self.setGeometry(
            max(min(self._x, room.width() - columns * wide - px(8)), 0),
            self._y,
            columns * wide,
            high * rows + px(16),
        )
        for i, one in enumerate(self.fields):
            column, row = divmod(i, rows)
            box = QRect(px(16) + column * wide, px(8) + row * high, wide - px(32), high)
            place(one, box)

    def _go(self, place: int) -> None:
        place = min(max(place, 0), len(self.fields) - 1)
        self.fields[place].setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left_behind.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            painter.frame(self.rect(), painter.theme.line)
