"""What if: what a tenth of each thing would bring, beside sliders for the road and the air."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.whatif import WHAT_IF
from pennyspeed.desktop.whatif.sensitivity_bars import ROW, SensitivityBars
from pennyspeed.desktop.whatif.sliders import SliderRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.services.prediction.condition_ranges import CONDITION_RANGES, ConditionRange
from pennyspeed.services.prediction.forecast import followed
from pennyspeed.services.prediction.sensitivity import sensitivity, sorted_by_size

MARGIN = 24
SETTLED_MS = 400
"""How long a slider rests before its value is kept."""


class WhatIfPanel(Scaled, LazyPanel):
    """The strip beside the sliders.

    While a slider moves, the curve follows; when it rests, the build is changed, one undo step for
    however many stops on the way.

    Signals
    -------
    followed(object)
        A forecast to draw until the value is kept.
    left_behind()
        Escape.
    """

    keys = WHAT_IF
    followed = Signal(object)
    left_behind = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._draft: tuple[ConditionRange, float, Build] | None = None
        self.setAccessibleName("what if")
        self.heading = Label("heading", self)
        self.heading.say("What if")
        self.remark = Label("label", self, quiet=True)
        self.remark.say(
            "a tenth more or less of one thing, all else as it is; speed on this road",
            "a tenth more or less, speed on this road",
        )
        self.strip = SensitivityBars(self)
        self.sliders = [SliderRow(one, self) for one in CONDITION_RANGES]
        for row in self.sliders:
            row.moved.connect(lambda value, row=row: self._moved(row.condition, value))
            row.released.connect(self.keep)
        self._frame = QTimer(self, singleShot=True, interval=0)
        self._frame.timeout.connect(self.follow)
        self._rest = QTimer(self, singleShot=True, interval=SETTLED_MS)
        self._rest.timeout.connect(self._rested)
        self._build_layout()
        session.bench.build_changed.connect(self._changed)
        session.bench.measures_changed.connect(self._changed)
        session.file.closed.connect(self.keep)

    def _build_layout(self) -> None:
        self._head = QHBoxLayout()
        fill(self._head, self.heading, (self.remark, 1))
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
        for row in self.sliders:
            row.setEnabled(build is not None)
            if build is not None:
                row.show_value(row.condition.value(build), measures)

    def _changed(self) -> None:
        self._drop()
        super()._changed()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.keep()

    # Changing ---------------------------------------------------------------------------------

    def _moved(self, condition: ConditionRange, value: float) -> None:
        build = self._session.bench.build
        if build is None:
            return
        if self._draft is not None and self._draft[0] is not condition:
            self.keep()
            build = self._session.bench.build
            assert build is not None
        self._draft = (condition, value, condition.put(build, value))
        self._frame.start()
        self._rest.start()

    def follow(self) -> None:
        """Draw what the slider stands at now."""
        self._frame.stop()
        forecast = self._session.bench.forecast
        if self._draft is not None and forecast is not None:
            self.followed.emit(followed(forecast, self._draft[2]))

    def _rested(self) -> None:
        """Keep a value that was moved by keys; a slider that is held is not at rest."""
        if any(row.slider.isSliderDown() for row in self.sliders):
            self._rest.start()
        else:
            self.keep()

    def keep(self) -> None:
        """Change the build to the value that the slider stands at."""
        draft, build = self._draft, self._session.bench.build
        self._drop()
        if draft is None or build is None:
            return
        condition, value, after = draft
        if after == build:
            # Dragged away and back: nothing to keep, but the plot still shows the way.
            self.followed.emit(self._session.bench.forecast)
            return
        measures = self._session.bench.measures
        now = condition.said(value, measures)
        before = condition.said(condition.value(build), measures)
        kept = self._session.builds.change(
            after,
            f"{condition.label} {now}",
            f"{condition.label} back to {before}",
            f"slide {condition.key}",
        )
        if not kept:
            self.followed.emit(self._session.bench.forecast)
            self.refresh()

    def _drop(self) -> None:
        self._draft = None
        self._frame.stop()
        self._rest.stop()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left_behind.emit()
        else:
            super().keyPressEvent(event)
