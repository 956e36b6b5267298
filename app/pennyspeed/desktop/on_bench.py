"""On the bench: the build that is shown, its forecast, and what is tried on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.data_file import DataFile
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import (
    Forecast,
    forecast,
    is_same_car,
    with_band,
    with_money_of,
    without_band,
)

if TYPE_CHECKING:
    from pennyspeed.domain.money.calendar import Leads
    from pennyspeed.services.workshop import Workshop

REST_MS = 50
"""How long the hand rests on what is tried before its band is drawn: a held key never waits."""


class OnBench(DataFile):
    """The build shown and what is tried; whoever listens repaints once.

    What is known when: `forecast` is whole at every moment. `trial` has curve, costs and checks at
    once; its band comes when the hand rests, or at the first call that needs it (`known`, taking
    the parts), and never later than what it belongs to.

    Signals
    -------
    build_changed()
        Another build, or the same one changed: `build` and `forecast` are new.
    tried_changed()
        Other parts are tried, or none: `trying`, `tried_name` and `trial` are new.
    trial_settled()
        What is tried has its band now: `trial` is whole.
    slot_changed(str)
        Another slot was chosen.
    measures_changed()
        Units or marks are others.
    """

    build_changed = Signal()
    tried_changed = Signal()
    trial_settled = Signal()
    slot_changed = Signal(str)
    measures_changed = Signal()

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        measures: Measures | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(open_workshop, parent)
        self.measures = Measures() if measures is None else measures
        self.leads: Leads | None = None
        self.slot = KINDS[1].key
        self.build: Build | None = None
        self.forecast: Forecast | None = None
        self.trying: tuple[Part, ...] = ()
        self.tried_name = ""
        self.trial: Forecast | None = None
        self._ahead: Forecast | None = None
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._settle)

    def close(self) -> None:
        """Close the file."""
        self._rest.stop()
        super().close()

    def choose_slot(self, slot: str) -> None:
        """Choose the slot whose parts the shelf shows."""
        if slot != self.slot:
            self.slot = slot
            self.slot_changed.emit(slot)

    @property
    def tried(self) -> Part | None:
        """The part that is tried, the first where several are tried together."""
        return self.trying[0] if self.trying else None

    def try_part(self, part: Part | None) -> None:
        """Predict the build with `part` in its slot, beside the build as it is."""
        self.try_parts(() if part is None else (part,))

    def try_parts(self, parts: Sequence[Part], name: str = "") -> None:
        """Predict the build with several parts in their slots at once; none tries nothing.

        Parameters
        ----------
        parts : sequence of Part
        name : str
            What people call them together, such as "28 on 54"; the names of all by default.
        """
        trying = tuple(parts)
        named = name or " with ".join(part.name for part in trying)
        tried_name = named if trying else ""
        is_the_same = len(trying) == len(self.trying) and all(
            one is other for one, other in zip(trying, self.trying, strict=True)
        )
        if is_the_same and tried_name == self.tried_name:
            return
        self.trying, self.tried_name = trying, tried_name
        self.trial = None
        self._rest.stop()
        if trying and self.build is not None:
            tried = self.build
            for part in trying:
                tried = tried.with_part(part)
            self._ahead = without_band(tried, self.measures, self.leads)
            if self._ahead.prediction is not None:
                self.trial = self._ahead
        self.tried_changed.emit()
        if self.trial is not None:
            # From here on, or a slow repaint would count as rest.
            self._rest.start()

    def known(self, build: Build) -> Forecast | None:
        """Return the whole forecast of a build that is shown or tried; None of any other."""
        if self.forecast is not None and self.forecast.build == build:
            return self.forecast
        if self.trial is not None and self.trial.build == build:
            self._settle()
            return self.trial
        return None

    def _settle(self) -> None:
        """Draw the band of what is tried, unless that is done."""
        self._rest.stop()
        if self.trial is not None and self.trial.band is None:
            self.trial = self._ahead = with_band(self.trial)
            self.trial_settled.emit()

    def choose_measures(self, measures: Measures) -> None:
        """Take other units or marks; the checks' sentences follow."""
        if measures == self.measures:
            return
        self.measures = measures
        self._ahead = None
        if self.build is not None:
            self.forecast = forecast(self.build, measures, self.leads)
            trying, self.trying = self.trying, ()
            self.try_parts(trying, self.tried_name)
        self.measures_changed.emit()

    def take_leads(self, leads: Leads) -> None:
        """Take up how long suppliers take; a check that says more now is shown."""
        self.leads = leads
        if self.build is None or self.forecast is None:
            return
        found = with_money_of(self.forecast, self.build, self.measures, leads)
        if found.checks != self.forecast.checks:
            self.forecast = found
            if not self.trying:  # what is tried keeps the build as it stands beside it
                self.build_changed.emit()

    def _show(self, build: Build | None) -> None:
        is_other = build is not None and (self.build is None or self.build.id != build.id)
        self.build = build
        self.trying, self.tried_name = (), ""
        self.trial = None
        self._rest.stop()
        self.forecast = None if build is None else self._predicted(build)
        if is_other and build is not None and build.id is not None and self.is_open:
            self.workshop.note_shown(build.id)
        self.build_changed.emit()

    def _predicted(self, build: Build) -> Forecast:
        """Return the build's forecast; what was tried or only costs otherwise is predicted."""
        ahead, self._ahead = self._ahead, None
        if ahead is not None and ahead.build == build:
            return replace(with_band(ahead), build=build)
        if self.forecast is not None and is_same_car(self.forecast.build, build):
            return with_money_of(self.forecast, build, self.measures, self.leads)
        return forecast(build, self.measures, self.leads)
