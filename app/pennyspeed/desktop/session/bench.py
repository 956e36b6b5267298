"""The bench: the build that is shown, its forecast, and what is tried on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import EXTRAS, KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import (
    Forecast,
    forecast,
    is_same_car,
    with_band,
    with_money_of,
    with_unknowns,
    without_band,
)

if TYPE_CHECKING:
    from pennyspeed.domain.money.calendar import Leads
    from pennyspeed.services.prediction.unknowns import Unknowns

REST_MS = 50
"""How long the hand rests on what is tried before its band is drawn: a held key never waits."""

UNKNOWNS_MS = 150
"""How long the build stays as it is before its biggest unknowns are looked for."""


class Bench(QObject):
    """The build shown and what is tried; whoever listens repaints once.

    What is known when: `forecast` is whole at every moment but for its unknowns, which are worked
    out beside the window once the hand rests. `trial` has curve, costs and checks at once; its band
    comes when the hand rests, or at the first call that needs it (`forecast_of`, putting the parts
    in), and never later than what it belongs to.

    Parameters
    ----------
    measures : Measures or None
        How figures are written; metric by default.

    Signals
    -------
    build_changed()
        Another build, or the same one changed: `build` and `forecast` are new.
    tried_changed()
        Something else is tried, or nothing: `tried_build`, the parts of it that are others
        (`tried_parts`), `tried_name` and `trial` are new.
    trial_settled()
        What is tried has its band now: `trial` is whole.
    slot_changed(str)
        Another slot was chosen.
    measures_changed()
        Units or marks are others.
    unknowns_found()
        `forecast` has its unknowns now.
    """

    build_changed = Signal()
    tried_changed = Signal()
    trial_settled = Signal()
    slot_changed = Signal(str)
    measures_changed = Signal()
    unknowns_found = Signal()

    def __init__(
        self, file: OpenFile, measures: Measures | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._file = file
        self.measures = Measures() if measures is None else measures
        self.lead_times: Leads | None = None
        self.slot = KINDS[1].key
        self.build: Build | None = None
        self.forecast: Forecast | None = None
        self.tried_build: Build | None = None
        self.tried_parts: tuple[Part, ...] = ()
        self.tried_name = ""
        self.trial: Forecast | None = None
        self._ahead: Forecast | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._settle)
        self._jobs = JobQueue(self, newest_only=True)
        self._wait = QTimer(self, singleShot=True, interval=UNKNOWNS_MS)
        self._wait.timeout.connect(self._find_unknowns)
        self.build_changed.connect(self._wait.start)
        file.closed.connect(self._stop)

    def choose_slot(self, slot: str) -> None:
        """Choose the slot whose parts the shelf shows."""
        if slot != self.slot:
            self.slot = slot
            self.slot_changed.emit(slot)

    @property
    def slot_part(self) -> Part | None:
        """The part in the chosen slot, of the extras the last one."""
        if self.build is None:
            return None
        if self.slot != EXTRAS.key:
            return self.build.part(self.slot)
        return self.build.extras[-1] if self.build.extras else None

    def try_part(self, part: Part | None) -> None:
        """Predict the build with `part` in its slot, beside the build as it is."""
        self.try_parts(() if part is None else (part,))

    def try_parts(self, parts: Sequence[Part], name: str = "") -> None:
        """Predict the build with several parts in their slots at once; none tries nothing.

        Parameters
        ----------
        name : str
            What people call them together, such as "28 on 54"; the names of all by default.
        """
        tried_parts = tuple(parts)
        named = name or " with ".join(part.name for part in tried_parts)
        tried_name = named if tried_parts else ""
        is_the_same = len(tried_parts) == len(self.tried_parts) and all(
            one is other for one, other in zip(tried_parts, self.tried_parts, strict=True)
        )
        if is_the_same and tried_name == self.tried_name:
            return
        tried = None
        if tried_parts and self.build is not None:
            tried = self.build.with_parts(tried_parts)
        self._try(tried, tried_parts, tried_name)

    def try_build(self, build: Build | None, name: str = "") -> None:
        """Predict the build in other conditions beside the build as it is; None tries nothing.

        Parameters
        ----------
        name : str
            What is other about it, such as "road 340 m".
        """
        self._try(build, (), name if build is not None else "")

    def _try(self, build: Build | None, parts: tuple[Part, ...], name: str) -> None:
        self.tried_build, self.tried_parts, self.tried_name = build, parts, name
        self.trial = None
        self._rest.stop()
        if build is not None:
            self._ahead = without_band(build, self.measures, self.lead_times)
            if self._ahead.prediction is not None:
                self.trial = self._ahead
        self.tried_changed.emit()
        if self.trial is not None:
            # From here on, or a slow repaint would count as rest.
            self._rest.start()

    def forecast_of(self, build: Build) -> Forecast | None:
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
        """Write figures in other units or marks; the checks' sentences follow."""
        if measures == self.measures:
            return
        self.measures = measures
        self._ahead = None
        if self.build is not None:
            unknowns = None if self.forecast is None else self.forecast.unknowns
            found = forecast(self.build, measures, self.lead_times)
            self.forecast = replace(found, unknowns=unknowns)
            if self.tried_build is not None:
                self._try(self.tried_build, self.tried_parts, self.tried_name)
        self.measures_changed.emit()

    def set_lead_times(self, lead_times: Leads) -> None:
        """Say how long suppliers take to deliver; a check that says more now is shown."""
        self.lead_times = lead_times
        if self.build is None or self.forecast is None:
            return
        found = with_money_of(self.forecast, self.build, self.measures, lead_times)
        if found.checks != self.forecast.checks:
            self.forecast = found
            if self.tried_build is None:  # what is tried keeps the build as it stands beside it
                self.build_changed.emit()

    def show(self, build: Build | None) -> None:
        """Show a build as it is stored; what was tried is tried no more."""
        is_other = build is not None and (self.build is None or self.build.id != build.id)
        self.build = build
        self.tried_build, self.tried_parts, self.tried_name = None, (), ""
        self.trial = None
        self._rest.stop()
        self.forecast = None if build is None else self._predicted(build)
        if is_other and build is not None and build.id is not None and self._file.is_open:
            self._file.workshop.builds.note_shown(build.id)
        self.build_changed.emit()

    def show_saved(self, build: Build | None) -> None:
        """Show a build that was read from the file, unless it is the one that is shown."""
        if build is None or build != self.build:
            self.show(build)
        else:
            self.build = build

    def read_anew(self) -> None:
        """Show the build as it is stored by now."""
        if self.build is not None and self.build.id is not None:
            fresh = self._file.workshop.builds.get(self.build.id)
            if fresh != self.build:
                self.show(fresh)

    def clear(self) -> None:
        """Show nothing of a file that is no longer the open one, and tell of nothing but trials."""
        self.try_part(None)
        self._ahead = self.build = self.forecast = self.lead_times = None

    @property
    def is_at_rest(self) -> bool:
        """Whether nothing about the build shown is still to be worked out."""
        return not self._wait.isActive() and not self._jobs.is_busy

    def _find_unknowns(self) -> None:
        found = self.forecast
        if found is None or found.prediction is None or found.unknowns is not None:
            return

        def then(unknowns: Unknowns | None) -> None:
            if self.forecast is not None and is_same_car(self.forecast.build, found.build):
                self.forecast = replace(self.forecast, unknowns=unknowns)
                self.unknowns_found.emit()

        self._jobs.submit(lambda: with_unknowns(found).unknowns, then)

    def _stop(self) -> None:
        self._rest.stop()
        self._wait.stop()
        self._jobs.wait()

    def _predicted(self, build: Build) -> Forecast:
        """Return the build's forecast; what was tried or only costs otherwise is predicted."""
        ahead, self._ahead = self._ahead, None
        if ahead is not None and ahead.build == build:
            return replace(with_band(ahead), build=build)
        if self.forecast is not None and is_same_car(self.forecast.build, build):
            return with_money_of(self.forecast, build, self.measures, self.lead_times)
        return forecast(build, self.measures, self.lead_times)
