"""The comparison: up to six builds that stand beside the one on the bench, and can be put back.

They are kept with the file, so they are there again when it is opened next.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.undo_stack import UndoStack, UndoStep
from pennyspeed.domain.builds import Build
from pennyspeed.domain.names import free_name
from pennyspeed.services.prediction.forecast import Forecast, forecast

AS_IT_WAS = "as it was"


@dataclass(frozen=True, slots=True)
class Entry:
    """One held build.

    Attributes
    ----------
    letter : str
        From B on; it stays when another one is taken away.
    """

    letter: str
    name: str
    build: Build


class ComparedBuilds(QObject):
    """The builds held beside the one on the bench.

    Signals
    -------
    changed()
        One came, went or has another name.
    """

    changed = Signal()

    def __init__(
        self,
        file: OpenFile,
        bench: Bench,
        builds: Builds,
        undo_stack: UndoStack,
        messages: Messages,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._file, self._bench, self._builds = file, bench, builds
        self._undo_stack, self._messages = undo_stack, messages
        self.entries: tuple[Entry, ...] = ()
        """What is held, by letter."""
        self._forecasts: dict[str, tuple[Build, Forecast]] = {}
        file.opened.connect(self._read)
        bench.measures_changed.connect(self._forget)

    def entry(self, letter: str) -> Entry | None:
        """Return what is held under a letter, or None."""
        return next((one for one in self.entries if one.letter == letter), None)

    def known(self, entry: Entry) -> Forecast | None:
        """Return the forecast of a held build, None where it has yet to be worked out."""
        found = self._forecasts.get(entry.letter)
        return found[1] if found is not None and found[0] is entry.build else None

    def forecast(self, entry: Entry) -> Forecast:
        """Return the forecast of a held build, worked out once."""
        return self.known(entry) or self.learn(entry, self._predicted(entry))

    def _predicted(self, entry: Entry) -> Forecast:
        return forecast(entry.build, self._bench.measures, self._bench.lead_times)

    def learn(self, entry: Entry, found: Forecast) -> Forecast:
        """Keep a forecast that was worked out elsewhere."""
        self._forecasts[entry.letter] = entry.build, found
        return found

    # Changing -------------------------------------------------------------------------------

    def hold(self, build: Build, name: str = "") -> str:
        """Hold a build beside the one on the bench; return its letter, "" where it was not held.

        What is held already is not held twice.
        """
        from pennyspeed.services.prediction.comparison import LETTERS, MOST_HELD

        twin = next((one for one in self.entries if one.build == build), None)
        if twin is not None:
            self._messages.said.emit(f"{twin.name} is held as {twin.letter} already")
            return twin.letter
        free = [letter for letter in LETTERS[1:] if self.entry(letter) is None]
        if not free:
            self._messages.troubled.emit(
                f"{MOST_HELD} builds are held beside this one, which is as many as there is room "
                "for: take one away first."
            )
            return ""
        taken = {one.name for one in self.entries}
        entry = Entry(free[0], free_name(name or AS_IT_WAS, taken), build)
        after = sorted([*self.entries, entry], key=lambda one: one.letter)
        found = self._bench.forecast_of(build)
        if found is not None:
            self.learn(entry, found)
        did = f"held {entry.name} beside as {entry.letter}"
        self._change(tuple(after), did, f"took {entry.name} away again")
        return entry.letter

    def hold_present(self) -> str:
        """Hold the build on the bench as it is now."""
        build = self._bench.build
        return "" if build is None else self.hold(build)

    def hold_tried(self) -> str:
        """Hold the build that is tried; the one on the bench where none is."""
        tried = self._bench.tried_build
        return self.hold_present() if tried is None else self.hold(tried, self._bench.tried_name)

    def hold_saved(self, build_id: int) -> str:
        """Hold another build of the file."""
        with self._messages.reporting():
            build = self._file.workshop.builds.get(build_id)
            return self.hold(build, build.name)
        return ""

    def remove(self, letter: str) -> Entry | None:
        """Take a held build away; return it, None where there is none of that letter."""
        gone = self.entry(letter)
        if gone is not None:
            after = tuple(one for one in self.entries if one is not gone)
            self._change(after, f"took {gone.name} away", f"held {gone.name} beside again")
        return gone

    def restore(self, letter: str) -> bool:
        """Put the bench's build back to a held state: one step, which can be undone."""
        entry, present = self.entry(letter), self._bench.build
        if entry is None or present is None:
            return False
        after = replace(
            entry.build,
            id=present.id,
            code=present.code,
            revision=present.revision,
            name=present.name,
        )
        if after == present:
            self._messages.said.emit(f"the car is as {letter} has it already")
            return False
        return self._builds.change(
            after, f"put the car back to {entry.name}", f"undid {entry.name}"
        )

    def replace_entries(self, entries: tuple[Entry, ...], words: str) -> None:
        """Hold these builds and no others, and keep that with the file."""
        self.entries = entries
        with self._messages.reporting():
            self._file.workshop.settings.note_held([(one.name, one.build) for one in entries])
            self._messages.said.emit(words)
        self.changed.emit()

    # Inside ---------------------------------------------------------------------------------

    def _change(self, after: tuple[Entry, ...], did: str, undid: str) -> None:
        self._undo_stack.push(ReplaceEntries(self, self.entries, after, did, undid))
        self.replace_entries(after, did)

    def _read(self) -> None:
        """Read what was held when the file was closed; one that is not open has nothing yet."""
        from pennyspeed.services.prediction.comparison import LETTERS

        held: list[tuple[str, Build]] = []
        if self._file.is_open:
            with self._messages.reporting():
                held = self._file.workshop.settings.held()
        entries = tuple(
            Entry(letter, name, build)
            for letter, (name, build) in zip(LETTERS[1:], held, strict=False)
        )
        if entries != self.entries:
            self.entries = entries
            self.changed.emit()

    def _forget(self) -> None:
        """Sentences of checks are written in the units of before."""
        self._forecasts.clear()
        self.changed.emit()


class ReplaceEntries(UndoStep):
    """Other builds held beside the one on the bench."""

    def __init__(
        self,
        comparison: ComparedBuilds,
        before: tuple[Entry, ...],
        after: tuple[Entry, ...],
        did: str,
        undid: str,
    ) -> None:
        super().__init__(did, undid)
        self._comparison, self._before, self._after = comparison, before, after

    def apply(self) -> None:
        """Hold what was held after the change."""
        self._comparison.replace_entries(self._after, self.did)

    def revert(self) -> None:
        """Hold what was held before it."""
        self._comparison.replace_entries(self._before, self.undid)
