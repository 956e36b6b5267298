"""Choices of a sheet in the window: kind, units, paper, sections, and the before-run list."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill
from pennyspeed.desktop.widgets.menu_style import marks
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.scrolling import ScrollBar
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.sheet.choices import A4, KINDS, LETTER, PAPERS, UNITS, Choices
from pennyspeed.services.sheet.look import Look

_KIND_WORDS = {
    "bench": "bench",
    "run-day": "run day",
    "beside": "side by side",
    "shopping": "to buy",
}
_PAPER_WORDS = {A4: "A4", LETTER: "Letter"}
_COLOUR, _MONO = "colour", "mono"


class SectionList(QListWidget):
    """Sections to tick; Space ticks, Ctrl with an arrow moves one up or down.

    Signals
    -------
    changed()
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(ScrollBar("ground", self))
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setAccessibleName("Sections on the sheet")
        self.setAccessibleDescription("Space ticks, Ctrl with an arrow moves up or down.")
        self.setToolTip("Space ticks, Ctrl with an arrow moves up or down.")
        self.setStyle(marks())
        self._is_filling = False
        self.itemChanged.connect(self._told)
        self.model().rowsMoved.connect(self._told)

    def fill(self, chosen: tuple[str, ...], look: Look) -> None:
        """Show every section, those that are chosen first and ticked."""
        self._is_filling = True
        row = self.currentRow()
        self.clear()
        for key in (*chosen, *(one for one in look.titles if one not in chosen)):
            item = QListWidgetItem(look.titles[key], self)
            item.setData(Qt.ItemDataRole.UserRole, key)
            ticked = Qt.CheckState.Checked if key in chosen else Qt.CheckState.Unchecked
            item.setCheckState(ticked)
        self.setCurrentRow(max(row, 0))
        if not self.hasFocus():
            self.clearSelection()
        self._is_filling = False

    @property
    def chosen(self) -> tuple[str, ...]:
        """Keys of the sections that are ticked, in their order."""
        items = [self.item(row) for row in range(self.count())]
        return tuple(
            item.data(Qt.ItemDataRole.UserRole)
            for item in items
            if item.checkState() == Qt.CheckState.Checked
        )

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        here = self.currentItem()
        if here is not None:
            here.setSelected(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.clearSelection()  # what is chosen shows by its tick alone

    def _told(self) -> None:
        if not self._is_filling:
            self.changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        moves = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        step = steps.get(Qt.Key(event.key())) if moves else None
        if step is None:
            super().keyPressEvent(event)
            return
        row = self.currentRow()
        if 0 <= row + step < self.count():
            self._is_filling = True
            self.insertItem(row + step, self.takeItem(row))
            self.setCurrentRow(row + step)
            self._is_filling = False
            self.changed.emit()


class SheetChoices(Scaled, QWidget):
    """What a person chooses about one build's sheet.

    Signals
    -------
    changed(Choices)
    """

    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.choices = Choices()
        self._look: Look | None = None
        self.kind = SegmentedControl("Sheet")
        self.kind.offer([(kind, _KIND_WORDS[kind]) for kind in KINDS])
        self.units = SegmentedControl("Units")
        self.units.offer([(units, units) for units in UNITS])
        self.paper = SegmentedControl("Paper")
        self.paper.offer([(paper, _PAPER_WORDS[paper]) for paper in PAPERS])
        self.ink = SegmentedControl("Ink")
        self.ink.offer([(_COLOUR, "colour"), (_MONO, "black and white")])
        self.options = (self.kind, self.units, self.paper, self.ink)
        self.sections = SectionList()
        self.before = QPlainTextEdit()
        self.before.setFrameShape(QFrame.Shape.NoFrame)
        self.before.setVerticalScrollBar(ScrollBar("ground", self.before))
        self.before.setTabChangesFocus(True)
        self.before.setAccessibleName("Before each run, one line for each thing to tick")
        self._heads = [Label("label_strong"), Label("label_strong")]
        self._heads[0].say("Sections")
        self._heads[1].say("Before each run")
        self._lay_out()
        self.kind.chosen.connect(lambda kind: self._take(kind=kind, sections=()))
        self.units.chosen.connect(lambda units: self._take(units=units))
        self.paper.chosen.connect(lambda paper: self._take(paper=paper))
        self.ink.chosen.connect(lambda ink: self._take(mono=ink == _MONO))
        self.sections.changed.connect(self._sections_changed)
        self.before.textChanged.connect(self._before_changed)
        self.rescale()

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        what, before = self._heads
        fill(self._column, *self.options, what, (self.sections, 3), before, (self.before, 2))

    def rescale(self) -> None:
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(6))
        for field in (self.sections, self.before):
            field.setFont(theme.font("label"))

    def set_width(self, width: int) -> None:
        """Take so many pixels; what does not fit in a row goes on in the next."""
        self.setFixedWidth(width)
        for line in self.options:
            line.limit(width)

    def show_choices(self, choices: Choices, look: Look) -> None:
        """Show what is chosen, without telling of it."""
        self._look, self.choices = look, choices
        self.blockSignals(True)
        self.kind.choose(choices.kind)
        self.units.choose(choices.units)
        self.paper.choose(choices.paper)
        self.ink.choose(_MONO if choices.mono else _COLOUR)
        self.choices = choices
        self.sections.fill(choices.sections or look.sections[choices.kind], look)
        self.before.setPlainText("\n".join(choices.before or look.before))
        self.choices = choices
        self.blockSignals(False)

    def _take(self, **changes: object) -> None:
        choices = replace(self.choices, **changes)  # type: ignore[arg-type]
        if choices == self.choices:
            return
        self.choices = choices
        if "kind" in changes and self._look is not None:
            self.sections.fill(self._look.sections[choices.kind], self._look)
        self.changed.emit(choices)

    def _sections_changed(self) -> None:
        assert self._look is not None
        chosen = self.sections.chosen
        usual = self._look.sections[self.choices.kind]
        if chosen:
            self._take(sections=() if chosen == usual else chosen)

    def _before_changed(self) -> None:
        assert self._look is not None
        lines = self.before.toPlainText().splitlines()
        texts = tuple(" ".join(line.split()) for line in lines if line.strip())
        self._take(before=() if texts == self._look.before else texts)
