"""The home page: a plot above, and below it the shelf, the sliders or the margin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QStackedWidget

from pennyspeed.desktop.inline.inline_field import NO_BUILD
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.desktop.shelf.shelf import ShelfPanel
from pennyspeed.desktop.views import ViewStack
from pennyspeed.desktop.window_body import Splitter
from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part
from pennyspeed.physics.results import LateLift
from pennyspeed.services.prediction.forecast import forecast as forecast_of

if TYPE_CHECKING:
    from pennyspeed.desktop.margin.margin_panel import MarginPanel
    from pennyspeed.desktop.whatif.what_if import WhatIfPanel

STEP = 0.06


class HomePage(QObject):
    """The plots over the shelf, and the ways to go there.

    Signals
    -------
    wanted()
        Something in it is to be shown.
    margin_turned(bool)
        The margin on this road shows, or no more.
    """

    wanted = Signal()
    margin_turned = Signal(bool)

    def __init__(
        self, session: Session, preferences: Preferences, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._preferences = session, preferences
        self.stack = ViewStack()
        self.shelf = ShelfPanel(session)
        self.what_if: WhatIfPanel | None = None
        self.margin: MarginPanel | None = None
        self.below = QStackedWidget()
        self.below.addWidget(self.shelf)
        self.widget = Splitter(Qt.Orientation.Vertical)
        self.widget.setChildrenCollapsible(False)
        self.widget.setHandleWidth(7)
        self.widget.addWidget(self.stack)
        self.widget.addWidget(self.below)
        self.widget.resized.connect(self.share_height)
        self.widget.splitterMoved.connect(self._split_moved)
        self.stack.saved.connect(session.messages.noted)
        self.stack.troubled.connect(session.messages.troubled)
        bench = session.bench
        for signal in (bench.build_changed, bench.tried_changed, bench.measures_changed):
            signal.connect(self.show_road)

    # Height ---------------------------------------------------------------------------------

    def share_height(self) -> None:
        """Share the height between plot and shelf, so that a whole number of rows shows."""
        height = self.widget.height() - self.widget.handleWidth()
        shelf = self.shelf.whole_rows((1.0 - self._preferences.settings.plot_share) * height)
        self.widget.setSizes([height - shelf, shelf])

    def share(self, step: int) -> None:
        """Give the plot more or less of the height."""
        share = self._preferences.settings.plot_share + step * STEP
        self._preferences.choose(plot_share=min(max(share, 0.2), 0.8))
        self.share_height()

    def _split_moved(self) -> None:
        plot, shelf = self.widget.sizes()
        self._preferences.keep(plot_share=plot / max(plot + shelf, 1))
        self.share_height()

    # The plots ------------------------------------------------------------------------------

    def show_road(self) -> None:
        """Show the car in the plot in sight."""
        bench = self._session.bench
        if bench.forecast is not None:
            self.stack.show_forecast(
                bench.forecast, bench.measures, bench.trial, bench.tried_name, self._late()
            )
        elif self._session.file.is_open:
            # A car without parts says what is missing, where the old curve would still stand.
            self.stack.show_forecast(forecast_of(Build(NO_BUILD)), bench.measures)

    # The shelf ------------------------------------------------------------------------------

    def show_shelf(self) -> None:
        """Show the shelf below the plot."""
        self.wanted.emit()
        self.below.setCurrentWidget(self.shelf)

    def go_to_field(self) -> None:
        self.show_shelf()
        self.shelf.focus_field()

    def go_to_shelf(self) -> None:
        """Go to the shelf's rows."""
        self.show_shelf()
        self.shelf.focus_table()

    def go_to_slot(self, slot: str) -> None:
        """Go to the rows of a slot's shelf."""
        self._session.bench.choose_slot(slot)
        self.go_to_shelf()

    def go_to_part(self, part: Part) -> None:
        """Go to a part's row on the shelf, which shows all its parts again."""
        self._session.bench.choose_slot(part.kind_key)
        self.shelf.field.clear()
        self.go_to_shelf()
        self.shelf.table.stand_on(self.shelf.rows.row_of(part))

    # The sliders ----------------------------------------------------------------------------

    def ask_what_if(self) -> None:
        """Put the sliders in the shelf's place, or the shelf back in theirs."""
        from pennyspeed.desktop.whatif.what_if import WhatIfPanel

        if self.what_if is None:
            self.what_if = WhatIfPanel(self._session)
            self.what_if.left_behind.connect(self.ask_what_if)
            self.below.addWidget(self.what_if)
        elif self.what_if.isVisible():
            self.go_to_shelf()
            return
        self.wanted.emit()
        self.below.setCurrentWidget(self.what_if)
        self.what_if.sliders[0].slider.setFocus()

    # The margin -----------------------------------------------------------------------------

    def turn_margin(self) -> None:
        """Put the margin on this road in the shelf's place, or the shelf back in its."""
        if self.margin is not None and self.margin.isVisible():
            self.go_to_shelf()
        else:
            self.show_margin()

    def show_margin(self) -> None:
        """Put the margin on this road in the shelf's place, below the road."""
        from pennyspeed.desktop.margin.margin_panel import MarginPanel

        if self.margin is None:
            self.margin = MarginPanel(self._session)
            self.margin.late_chosen.connect(self.show_road)
            self.margin.left_behind.connect(self.go_to_shelf)
            self.margin.reading_wanted.connect(lambda event: self.stack.view.read_by(event))
            self.margin.turned.connect(self._margin_turned)
            self.below.addWidget(self.margin)
        self.wanted.emit()
        self.below.setCurrentWidget(self.margin)
        self.margin.take_focus()

    def _margin_turned(self, is_shown: bool) -> None:
        self.show_road()
        if not is_shown:
            self.stack.view.read_at(None)
        self.margin_turned.emit(is_shown)

    def _late(self) -> LateLift | None:
        """Return the late lift that the margin stands on, while it shows."""
        if self.margin is None or not self.margin.isVisible():
            return None
        return self.margin.late_of(self._session.bench.forecast)
