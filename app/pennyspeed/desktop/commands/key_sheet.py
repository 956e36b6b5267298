"""The sheet of keys: everything that a key does, gathered from what is declared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QMenu, QVBoxLayout, QWidget

from pennyspeed.desktop.commands.actions import is_plain
from pennyspeed.desktop.commands.key_hints import Hint, hints_of, keys_width, paint_keys, spoken
from pennyspeed.desktop.commands.places import PLACES
from pennyspeed.desktop.commands.search_index import NATIVE, listed, words_of
from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.panel import ClosablePanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.scrolling import ScrollArea
from pennyspeed.desktop.widgets.theme import px

MARGIN, HEAD, TITLE, ROW, KEYS, COLUMN = 24, 56, 36, 24, 88, 368


@dataclass(frozen=True, slots=True)
class KeyGroup:
    """Keys that belong together.

    Attributes
    ----------
    hints : tuple of Hint
        Keys and what they do.
    """

    title: str
    hints: tuple[Hint, ...]


def key_groups(main: QMenu) -> list[KeyGroup]:
    """Return every key that does something, by menu and then by place."""
    gathered: dict[str, list[Hint]] = {}
    for title, action in listed(main):
        keys = [one.toString(NATIVE) for one in action.shortcuts() if is_plain(one)]
        if keys:
            hint = (" or ".join(keys),), words_of(title, action)
            gathered.setdefault(title, []).append(hint)
    own = main.menuAction().shortcut().toString(NATIVE)
    gathered.setdefault("Help", []).append(((own,), "Menu with everything"))
    groups = [KeyGroup(title, tuple(hints)) for title, hints in gathered.items()]
    return groups + [KeyGroup(place.title, hints_of(place.own)) for place in PLACES]


Laid = list[tuple[int, list[str]]]
"""For each row of a group where its words begin, and their lines."""


class KeyLines(QWidget):
    """The groups, in as many columns as there is room for."""

    def __init__(self, groups: Sequence[KeyGroup], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.groups = tuple(groups)
        self._places: list[tuple[KeyGroup, int, int, Laid]] = []

    def lay_out(self) -> None:
        """Share the groups among the columns, the next one into the shortest."""
        count = max((self.width() - px(MARGIN)) // px(COLUMN), 1)
        ends = [0] * count
        wide = (self.width() - px(MARGIN)) // count
        self._places = []
        for group in self.groups:
            column = ends.index(min(ends))
            laid = self._laid(group, wide - px(MARGIN))
            self._places.append((group, px(MARGIN) + column * wide, ends[column], laid))
            rows = sum(len(lines) for _, lines in laid)
            ends[column] += px(TITLE) + rows * px(ROW) + px(16)
        if self.minimumHeight() != max(ends):
            self.setMinimumHeight(max(ends))
        self.update()

    @staticmethod
    def _laid(group: KeyGroup, wide: int) -> Laid:
        """Return where the words of each row begin, and their lines."""
        widest = max(keys_width(keys) for keys, _ in group.hints)
        column = min(max(px(KEYS), round(widest) + px(12)), wide // 2)
        laid = []
        for keys, what in group.hints:
            start = max(column, round(keys_width(keys)) + px(12))
            laid.append((start, wrapped(what, "body", max(wide - start, px(64)))))
        return laid

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for group, x, top, laid in self._places:
                line = baseline(top, px(TITLE), "heading")
                painter.text(x, line, group.title, "heading", colours.ink)
                y: float = top + px(TITLE)
                for (keys, _), (start, lines) in zip(group.hints, laid, strict=True):
                    paint_keys(painter, x, baseline(y, px(ROW), "body"), keys)
                    y = painter.lines(x + start, y, px(ROW), lines, "body", colours.ink2)


class KeysPage(Scaled, ClosablePanel):
    """The sheet, in place of plot and shelf; Escape closes it."""

    def __init__(self, groups: Sequence[KeyGroup], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Keys")
        self.lines = KeyLines(groups)
        self._area = ScrollArea(self.lines, self)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._area)
        self.setAccessibleDescription(self.text)
        self.rescale()

    @property
    def text(self) -> str:
        """Everything on the sheet, as words."""
        return "\n".join(
            f"{group.title}: " + "; ".join(f"{spoken(keys)}: {what}" for keys, what in group.hints)
            for group in self.lines.groups
        )

    def rescale(self) -> None:
        self._column.setContentsMargins(1, px(HEAD), 1, 1)
        self.lines.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            line = baseline(0, px(HEAD), "heading")
            painter.text(px(MARGIN), line, "Keys", "heading", painter.theme.ink)
            right = painter.width - px(MARGIN)
            words = "Escape goes back."
            painter.text(right, line, words, "label", painter.theme.ink2, align=1.0)
            painter.fill(
                px(MARGIN), px(HEAD) - px(9), painter.width - 2 * px(MARGIN), 1, painter.theme.rule
            )
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self._area.verticalScrollBar()
        steps = {
            Qt.Key.Key_Down: px(ROW),
            Qt.Key.Key_Up: -px(ROW),
            Qt.Key.Key_PageDown: self._area.viewport().height() - px(ROW),
            Qt.Key.Key_PageUp: px(ROW) - self._area.viewport().height(),
            Qt.Key.Key_Space: self._area.viewport().height() - px(ROW),
            Qt.Key.Key_Home: -bar.maximum(),
            Qt.Key.Key_End: bar.maximum(),
        }
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.closed.emit()
        elif event.key() in steps:
            bar.setValue(bar.value() + steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)
