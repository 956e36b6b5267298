"""Views: the row of their names above the shelf, and the stack in which one of them shows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QSizePolicy,
    QStackedWidget,
    QTabBar,
    QWidget,
)

from pennyspeed.desktop.charts import BY_KEY, CHARTS, Canvas, View
from pennyspeed.desktop.charts.views.road import RoadChart
from pennyspeed.desktop.navigator import PageDeclaration
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import LEFT, RIGHT, KeyMap, KeyRow
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.results import LateLift
from pennyspeed.services.prediction.forecast import Forecast

HEIGHT, MARGIN = 40, 24
GAP, TIGHT_GAP, PAD, BAR = 16, 0, 4, 3

VIEW_NAMES = KeyMap(
    "In the row of views",
    KeyRow((LEFT, RIGHT), "view"),
    KeyRow(("1", "2", "3"), "…"),
)


def _digit(place: int) -> str:
    """Return the key of the view at a place; the tenth and later ones have none."""
    return str(place + 1) if place < 9 else ""


class ViewsRow(Scaled, QTabBar):
    """The names of the views, each with its digit; arrow keys or a click choose.

    Signals
    -------
    view_chosen(str)
        The key of the view that a person chose.
    """

    keys = VIEW_NAMES
    view_chosen = Signal(str)

    def __init__(
        self, views: Sequence[View | PageDeclaration] = CHARTS, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.views = tuple(views)
        self._by_hand = True
        self._is_tight = False
        self.setAccessibleName("views of the car")
        self.setDrawBase(False)
        self.setExpanding(False)
        self.setUsesScrollButtons(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        for place, view in enumerate(self.views):
            self.addTab(view.title)
            digit = _digit(place)
            self.setTabToolTip(place, f"{view.help}  ·  {digit}" if digit else view.help)
            self.setAccessibleTabName(place, f"{digit} {view.title}".lstrip())
        self.currentChanged.connect(self._changed)
        self.tabBarClicked.connect(self._clicked)
        self.rescale()

    @property
    def chosen(self) -> str:
        """The key of the view that shows."""
        return self.views[self.currentIndex()].key

    def choose(self, key: str) -> None:
        """Mark a view that was chosen elsewhere."""
        keys = [view.key for view in self.views]
        if key in keys:
            self._by_hand = False
            self.setCurrentIndex(keys.index(key))
            self._by_hand = True

    def _changed(self, place: int) -> None:
        if place >= 0:
            view = self.views[place]
            self.setAccessibleDescription(f"{view.title}: {view.help}")
            if self._by_hand:
                self.view_chosen.emit(view.key)

    def _clicked(self, place: int) -> None:
        """Show the view that is chosen already, where something else stands in its place."""
        if place == self.currentIndex():
            self.view_chosen.emit(self.views[place].key)

    def rescale(self) -> None:
        self._fit()
        self.setFixedHeight(px(HEIGHT))

    # Sizes ------------------------------------------------------------------------------------

    def _digit_width(self, place: int) -> float:
        """Return what the digit takes; on a tight row there is none."""
        if self._is_tight or not _digit(place):
            return 0.0
        return theme.metrics("small").horizontalAdvance(_digit(place)) + px(4)

    def _needs(self) -> list[int]:
        strong = theme.metrics("heading")
        gap = px(TIGHT_GAP if self._is_tight else GAP)
        return [
            round(self._digit_width(place) + strong.horizontalAdvance(view.title))
            + 2 * px(PAD)
            + gap
            for place, view in enumerate(self.views)
        ]

    def tabSizeHint(self, index: int) -> QSize:
        return QSize(self._needs()[index], px(HEIGHT))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fit()
        super().resizeEvent(event)

    def _fit(self) -> None:
        """Leave the digits out where the names alone have room."""
        was, self._is_tight = self._is_tight, False
        self._is_tight = sum(self._needs()) > self.width()
        if was != self._is_tight:
            # a new font is what makes the tabs ask for their sizes again
            self.setFont(theme.font("heading"))
            self.setFont(QFont())
            self.update()

    def minimumTabSizeHint(self, index: int) -> QSize:
        return self.tabSizeHint(index)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), px(HEIGHT))

    def sizeHint(self) -> QSize:
        return QSize(sum(self._needs()), px(HEIGHT))

    # Painting ---------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for place, view in enumerate(self.views):
                box = self.tabRect(place)
                is_chosen = place == self.currentIndex()
                left = self.width() - box.right() - 1 if painter.mirrored else box.left()
                x = float(left + px(PAD))
                line = baseline(0, px(HEIGHT), "heading")
                ink = colours.ink if is_chosen else colours.ink2
                if not self._is_tight:
                    painter.text(x, line, _digit(place), "small", colours.ink2)
                name = x + self._digit_width(place)
                role = "heading" if is_chosen else "view"
                width = painter.text(name, line, view.title, role, ink)
                if is_chosen:
                    painter.fill(name, px(HEIGHT) - px(6), width, px(BAR), colours.accent)
                    if self.hasFocus():
                        self._ring(painter, x, name + width)

    def _ring(self, painter: Painter, left: float, right: float) -> None:
        width = round(right - left) + 2 * px(PAD)
        x = round(painter.left(left - px(PAD), width))
        box = QRect(x, px(4), width, px(HEIGHT) - px(5) + 1)
        painter.frame(box, painter.theme.accent)


class ViewsBar(Scaled, QWidget):
    """The row on its ground, in line with the plots below it."""

    def __init__(self, row: ViewsRow, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.row = row
        self.setAutoFillBackground(True)
        self._lines = QHBoxLayout(self)
        self._lines.addWidget(row)
        self.rescale()

    def rescale(self) -> None:
        margin = px(MARGIN) - px(PAD)
        self._lines.setContentsMargins(margin, 0, margin, 0)


class ViewStack(QStackedWidget):
    """The views, of which one shows; a view is made when it is first chosen.

    Signals
    -------
    saved(str), troubled(str)
        What a plot tells about the file that it was written to.
    """

    saved = Signal(str)
    troubled = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._made: dict[str, Canvas] = {}
        self.key = CHARTS[0].key
        """The key of the view that shows."""
        self._shown: tuple[Forecast, Measures, Forecast | None, str, LateLift | None] | None = None
        self.choose(self.key)

    @property
    def road(self) -> RoadChart:
        """The first view, which is there from the start."""
        found = self._made["road"]
        assert isinstance(found, RoadChart)
        return found

    @property
    def view(self) -> Canvas:
        return self._made[self.key]

    def choose(self, key: str) -> str:
        """Show a view and return its key; one that there is not stands for the first."""
        self.key = key if key in BY_KEY else CHARTS[0].key
        found = self._made.get(self.key)
        if found is None:
            found = self._made[self.key] = BY_KEY[self.key].make()
            self.addWidget(found)
            found.saved.connect(self.saved)
            found.troubled.connect(self.troubled)
        self._feed(found)
        focus = QApplication.focusWidget()
        has_keyboard = focus is not None and self.isAncestorOf(focus)
        self.setCurrentWidget(found)
        if has_keyboard:
            found.setFocus()
        return self.key

    def show_forecast(
        self,
        forecast: Forecast,
        measures: Measures,
        ghost: Forecast | None = None,
        ghost_name: str = "",
        late: LateLift | None = None,
    ) -> None:
        """Show a car in the view in sight; the others take it up when they are chosen."""
        self._shown = (forecast, measures, ghost, ghost_name, late)
        self._feed(self.view)

    def _feed(self, view: Canvas) -> None:
        if self._shown is not None:
            view.show_forecast(*self._shown)
