"""What if: what a tenth of each thing would bring, beside sliders for the road and the air."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.whatif import WHAT_IF
from pennyspeed.desktop.whatif.sensitivity_bars import ROW, SensitivityBars
from pennyspeed.desktop.whatif.sliders import SliderRow
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.services.prediction.condition_ranges import CONDITION_RANGES
from pennyspeed.services.prediction.sensitivity import sensitivity, sorted_by_size

MARGIN = 24


class WhatIfPanel(Scaled, LazyPanel):
    """The strip beside the sliders.

    What the sliders stand at is tried, and nothing of it is saved until the person keeps it: one
    undo step for all of them.

    Signals
    -------
    left_behind()
        Escape.
    """

    keys = WHAT_IF
    left_behind = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._values: dict[str, float] = {}
        self.setAccessibleName("what if")
        self.heading = Label("heading", self)
        self.heading.say("What if")
        self.remark = Label("label", self, quiet=True)
        self.keep_button = Button("keep", self)
        self.drop_button = Button("drop", self)
        self.strip = SensitivityBars(self)
        self.sliders = [SliderRow(one, self) for one in CONDITION_RANGES]
        for row in self.sliders:
            row.moved.connect(lambda value, row=row: self._moved(row, value))
        self._frame = QTimer(self, singleShot=True, interval=0)
        self._frame.timeout.connect(self.follow)
        self.keep_button.clicked.connect(self.keep)
        self.drop_button.clicked.connect(self.drop)
        self._keys = KeyHandler(WHAT_IF, keep=self.keep, drop=self._drop_or_leave)
        self._build_layout()
        session.bench.build_changed.connect(self._build_changed)
        session.bench.tried_changed.connect(self._tried_changed)
        session.bench.measures_changed.connect(self._changed)
        self._show_trial()

    def _build_layout(self) -> None:
        self._head = QHBoxLayout()
        fill(self._head, self.heading, (self.remark, 1), self.keep_button, self.drop_button)
        self._right = QVBoxLayout()
        for row in self.sliders:
            self._right.addWidget(row)
        self._right.addStretch(1)
        self._columns = QHBoxLayout()
        fill(self._columns, (self.strip, 3), (self._right, 2))
        self._whole = QVBoxLayout(self)
        fill(self._whole, self._head, (self._columns, 1))
        expanding = QSizePolicy.Policy.Expanding
        self.strip.setSizePolicy(expanding, expanding)
        self.rescale()

    def rescale(self) -> None:
        margin = px(MARGIN)
        self._whole.setContentsMargins(margin, px(8), margin, px(8))
        self._whole.setSpacing(px(8))
        self._head.setSpacing(px(16))
        self._columns.setSpacing(px(40))
        self._right.setSpacing(px(4))
        self.strip.setMinimumHeight(px(ROW) * 4)

    # Showing ----------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Take bars and values from the build."""
        super().refresh()
        build, measures = self._session.bench.build, self._session.bench.measures
        rows = () if build is None else sensitivity(build)
        self.strip.show_rows(sorted_by_size(rows), measures)
        self._show_values()
        if self._values:
            self.follow()

    def _show_values(self) -> None:
        build, measures = self._session.bench.build, self._session.bench.measures
        for row in self.sliders:
            row.setEnabled(build is not None)
            if build is not None:
                condition = row.condition
                tried = self._values.get(condition.key)
                row.show_value(condition.value(build), measures, tried)
        self._show_trial()

    def _show_trial(self) -> None:
        """Say what is tried, with the verbs for it, or what the bars are."""
        for verb in (self.keep_button, self.drop_button):
            if verb.hasFocus() and not self._values:
                self.sliders[0].slider.setFocus(Qt.FocusReason.OtherFocusReason)
            verb.setVisible(bool(self._values))
        if self._values:
            self.remark.say(f"trying {self._said(self.draft)}: not saved yet")
        else:
            self.remark.say(
                "a tenth more or less of one thing, all else as it is; speed on this road",
                "a tenth more or less, speed on this road",
            )

    def _said(self, build: Build | None, joint: str = " ") -> str:
        """Return what a build has where sliders were moved."""
        if build is None:
            return ""
        measures = self._session.bench.measures
        moved = [one for one in CONDITION_RANGES if one.key in self._values]
        return ", ".join(
            f"{one.label}{joint}{one.said(one.value(build), measures)}" for one in moved
        )

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self.drop()

    # Trying -----------------------------------------------------------------------------------

    @property
    def draft(self) -> Build | None:
        """The build with what the sliders stand at; None without a build."""
        build = self._session.bench.build
        for one in CONDITION_RANGES:
            if build is not None and one.key in self._values:
                build = one.put(build, self._values[one.key])
        return build

    def _moved(self, row: SliderRow, value: float) -> None:
        if row.is_kept:
            self._values.pop(row.condition.key, None)
        else:
            self._values[row.condition.key] = value
        self._show_trial()
        self._frame.start()

    def follow(self) -> None:
        """Try what the sliders stand at now."""
        self._frame.stop()
        draft = self.draft if self._values else None
        self._session.bench.try_build(draft, self._said(draft))

    def keep(self) -> None:
        """Change the build to what the sliders stand at."""
        draft, build = self.draft, self._session.bench.build
        if self._values and draft is not None:
            undid = self._said(build, " back to ")
            self._session.builds.change(draft, self._said(draft), undid)

    def drop(self) -> None:
        """Go back to what the build has."""
        if self._values:
            self._forget()
            self._session.bench.try_build(None)

    def _build_changed(self) -> None:
        self._forget()
        self._changed()

    def _forget(self) -> None:
        self._values.clear()
        self._frame.stop()
        self._show_values()

    def _tried_changed(self) -> None:
        """Go back to what the build has where something else is tried."""
        if self._values and self._session.bench.tried_build != self.draft:
            self._forget()

    def _drop_or_leave(self) -> None:
        if self._values:
            self.drop()
        else:
            self.left_behind.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._keys.act(event):
            super().keyPressEvent(event)
