"""Session: the open build, its forecast, and every change that a person can undo."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoStack

from pennyspeed.desktop.background import Errands
from pennyspeed.desktop.undoing import ChangeParts, ReplaceBuild, words_of, words_of_import
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import InUse, UserError
from pennyspeed.domain.kinds import EXTRAS, KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts import Part, is_same
from pennyspeed.services.forecast import Forecast, forecast, with_band, without_band

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import Imported, PartChange
    from pennyspeed.services.workshop import Workshop

UNDO_LIMIT = 500
AT_ONCE = 100
"""Changes of parts that are taken back while the window waits; more go to a thread."""
REST_MS = 50
"""How long the hand rests on what is tried before its band is drawn: a held key never waits."""
PartLists = dict[tuple[str, bool], list[Part]]
"""Parts by their kind and whether archived ones are among them."""


class Session(QObject):
    """The build on the bench, and the file it lives in.

    A change is stored, predicted and shown in one call; whoever listens repaints once.

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
    builds_changed()
        A build was made, renamed or deleted.
    parts_changed(str)
        The catalogue of that kind changed.
    measures_changed()
        Units or marks are others.
    said(str)
        A short note of what was done, such as "put back Marl 80".
    noted(str)
        A short note that tells of no change, such as "opening club.sqlite3"; "" takes it away.
    troubled(str)
        One sentence about what did not work.
    opened()
        The file was opened, or could not be.
    closed()
        The file is about to be closed.
    brought(list of Path)
        Those files were imported.
    wrote(Path)
        The build shown was written there.
    """

    build_changed = Signal()
    tried_changed = Signal()
    trial_settled = Signal()
    slot_changed = Signal(str)
    builds_changed = Signal()
    parts_changed = Signal(str)
    measures_changed = Signal()
    said = Signal(str)
    noted = Signal(str)
    troubled = Signal(str)
    opened = Signal()
    closed = Signal()
    brought = Signal(object)
    wrote = Signal(object)

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        measures: Measures | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._open_workshop = open_workshop
        self._workshop: Workshop | None = None
        self._parts: dict[tuple[str, bool], list[Part]] = {}
        self._catalogue_state = 0
        self._entries: list[tuple[int, str]] | None = None
        self.measures = Measures() if measures is None else measures
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
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(UNDO_LIMIT)
        self.errands = Errands(self)
        self._is_closed = False

    # Opening --------------------------------------------------------------------------------

    @property
    def workshop(self) -> Workshop:
        """The open file; opened at the first call, which may raise FileTrouble."""
        if self._workshop is None:
            self._workshop = self._open_workshop()
        return self._workshop

    @property
    def is_open(self) -> bool:
        """Whether the file has been opened."""
        return self._workshop is not None

    def begin(self, build: Build, entries: Sequence[tuple[int, str]], parts: list[Part]) -> None:
        """Take what was read ahead of opening the file, so that a first frame can be painted."""
        self._entries = list(entries)
        if parts:
            self._parts[parts[0].kind_key, False] = parts
        self._show(build)

    def open(self) -> None:
        """Open the file and show the build that was open last; troubles are told, not raised."""
        self._open()
        self.opened.emit()

    def _open(self, ahead: PartLists | None = None) -> None:
        try:
            shown = self.workshop.shown_build()
            self._entries = None
            self._forget_parts()
            self._parts.update(ahead or {})
            if shown is None:
                entries = self.builds()
                shown = self.workshop.build(entries[0][0]) if entries else None
        except UserError as error:
            self.troubled.emit(str(error))
            return
        self.builds_changed.emit()
        if shown is None or self.build is None or shown != self.build:
            self._show(shown)
        else:
            self.build = shown
        self.parts_changed.emit(self.slot)

    def close(self) -> None:
        """Close the file."""
        self._is_closed = True
        self._rest.stop()
        self.errands.wait()
        self.closed.emit()
        self.undo_stack.blockSignals(True)
        if self._workshop is not None:
            self._workshop.close()
            self._workshop = None

    def open_other(self, path: Path) -> None:
        """Open another file, new or old, in place of this one, which stays open where that fails.

        The file is opened in a thread of its own; `opened` or `troubled` tells how that ended.
        """
        if self._workshop is not None and _same_file(self._workshop.path, path):
            self.noted.emit(f"{path.name} is open already")
            return

        wanted = self._wanted_parts()

        def work() -> tuple[Workshop, PartLists] | UserError:
            from pennyspeed.services.workshop import Workshop

            try:
                workshop = Workshop.open(path)
                return workshop, _parts_ahead(workshop, wanted)
            except UserError as error:
                return error

        self.noted.emit(f"opening {path.name}")
        self.errands.ask(work, self._other_opened)

    def _other_opened(self, found: object) -> None:
        if isinstance(found, UserError):
            self.noted.emit("")
            self.troubled.emit(str(found))
            if not self.is_open:
                self.opened.emit()
            return
        assert isinstance(found, tuple)
        workshop, ahead = found
        if self._is_closed:
            workshop.close()
            return
        self.try_part(None)
        if self._workshop is not None:
            self._workshop.close()
        self._workshop = workshop
        self.undo_stack.clear()
        self._entries, self._ahead, self.build, self.forecast = None, None, None, None
        self._open(ahead)
        self.opened.emit()
        self.noted.emit(f"opened {workshop.path.name}")

    def look_again(self) -> None:
        """Take up what another window or program changed in the file."""
        if self._workshop is not None and self._workshop.changed_elsewhere():
            self._open()

    # Reading --------------------------------------------------------------------------------

    def builds(self) -> list[tuple[int, str]]:
        """Return id and name of every build, the one changed last first."""
        if self._entries is None:
            with _Telling(self):
                self._entries = [(entry.id, entry.name) for entry in self.workshop.builds()]
        return self._entries or []

    def free_name(self, name: str) -> str:
        """Return `name`, with a number behind it where another build has it already."""
        taken = {one for _, one in self.builds()}
        free, number = name, 2
        while free in taken:
            free, number = f"{name} {number}", number + 1
        return free

    def parts(self, kind_key: str, archived: bool = False) -> list[Part]:
        """Return the catalogue's parts of a kind, archived ones too where asked."""
        key = (kind_key, archived)
        if key not in self._parts:
            self._parts[key] = self.workshop.parts(kind_key, archived=archived)
        return self._parts[key]

    def has_parts(self, kind_key: str, archived: bool) -> bool:
        """Tell whether :meth:`parts` would answer without opening the file."""
        return self.is_open or (kind_key, archived) in self._parts

    # Choosing -------------------------------------------------------------------------------

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
            self._ahead = without_band(tried, self.measures)
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
            self.forecast = forecast(self.build, measures)
            trying, self.trying = self.trying, ()
            self.try_parts(trying, self.tried_name)
        self.measures_changed.emit()

    def choose_build(self, build_id: int) -> None:
        """Show another build."""
        with _Telling(self):
            self._show(self.workshop.build(build_id))

    # Changing -------------------------------------------------------------------------------

    def change(self, after: Build, did: str, undid: str, merge: str = "") -> bool:
        """Store `after` in place of the build shown, predict it, show it; one undo step.

        Returns False where it could not be stored; then nothing has changed.
        """
        before = self.build
        with _Telling(self) as telling:
            stored = self.workshop.save(after)
            self.undo_stack.push(ReplaceBuild(self, before, stored, did, undid, merge))
            self._renew_entries(before, stored)
            self._show(stored)
            self.said.emit(did)
        return telling.went_well

    def put_in(self, part: Part) -> bool:
        """Put a part into its slot; an extra comes beside the others."""
        if self.build is None:
            return False
        old = self.build.part(part.kind_key)
        if part.kind.many:
            undid = f"took {part.name} out again"
        elif old is None:
            undid = f"emptied the {part.kind.label} slot"
        else:
            if is_same(old, part):
                return False
            undid = f"put back {old.name}"
        return self.change(self.build.with_part(part), f"put in {part.name}", undid)

    def take_out(self, slot: str, part: Part | None = None) -> bool:
        """Empty a slot; of the extras, take out the one given or the last."""
        build = self.build
        if build is None:
            return False
        if slot == EXTRAS.key:
            places = [i for i, one in enumerate(build.extras) if part is None or is_same(one, part)]
            if not places:
                return False
            gone = build.extras[places[-1]]
            after = build.without_extra(places[-1])
        else:
            found = build.part(slot)
            if found is None:
                return False
            gone, after = found, build.without_part(slot)
        return self.change(after, f"took out {gone.name}", f"put back {gone.name}")

    def create(self, name: str) -> None:
        """Make an empty build and show it."""
        with _Telling(self):
            self._came(self.workshop.create(name), f"made {name}", f"removed {name}")

    def copy(self, name: str) -> None:
        """Copy the build shown under another name and show the copy."""
        if self.build is not None:
            with _Telling(self):
                made = self.workshop.copy(self.build, name)
                self._came(made, f"copied to {name}", f"removed {name}")

    def rename(self, name: str) -> bool:
        """Give the build shown another name."""
        if self.build is None:
            return False
        old = self.build.name
        return self.change(replace(self.build, name=name), f"renamed {old}", f"named it {old}")

    def delete(self) -> None:
        """Delete the build shown; undo brings it back."""
        build = self.build
        if build is None or build.id is None:
            return
        with _Telling(self):
            gone = self.workshop.delete(build.id)
            command = ReplaceBuild(
                self, gone, None, f"deleted {gone.name}", f"brought back {gone.name}"
            )
            self.undo_stack.push(command)
            self._gone(command.did)

    def bring(self, path: Path) -> None:
        """Import a file of parts or a build; one undo step."""
        with _Telling(self):
            imported = self.workshop.import_file(path)
            self._take_up(path, imported)
            self.said.emit(imported.summary)
            self.brought.emit([path])

    def _take_up(self, path: Path, imported: Imported) -> None:
        changes, build = imported.changes, imported.build
        self._follow(changes)
        if build is not None:
            self._came(build, imported.summary, f"removed {build.name}", changes)
        elif changes:
            undid = words_of_import(path.name, changes)
            self.undo_stack.push(ChangeParts(self, changes, f"brought in {path.name}", undid))

    def bring_all(self, paths: Sequence[Path]) -> None:
        """Import several files, each all or nothing, in a thread of its own."""
        if not paths:
            return

        def work() -> list[tuple[Path, Imported | UserError]]:
            found: list[tuple[Path, Imported | UserError]] = []
            for path in paths:
                try:
                    found.append((path, self.workshop.import_file(path)))
                except UserError as error:
                    found.append((path, error))
            return found

        self.errands.ask(work, self._brought)

    def _brought(self, found: object) -> None:
        if self._is_closed:
            return
        assert isinstance(found, list)
        summaries, troubles, brought = [], [], []
        for path, one in found:
            if isinstance(one, UserError):
                troubles.append(str(one))
            else:
                brought.append(path)
                summaries.append(one.summary)
                self._take_up(path, one)
        if summaries:
            self.said.emit(" ".join(summaries))
            self.brought.emit(brought)
        if troubles:
            self.troubled.emit(" ".join(troubles))

    @property
    def catalogue_state(self) -> int:
        """Another number whenever the catalogue has changed."""
        return self._catalogue_state

    def parts_at_hand(self) -> dict[str, list[Part]]:
        """Return the parts that have been read already, by kind, without the archived ones."""
        return {key: parts for (key, archived), parts in self._parts.items() if not archived}

    def keep_parts(self, state: int, parts: dict[str, list[Part]]) -> bool:
        """Take parts that were read elsewhere while the catalogue stood at `state`, or refuse."""
        if self._is_closed or state != self._catalogue_state:
            return False
        for key, those in parts.items():
            self._parts.setdefault((key, False), those)
        return True

    def take_away(self, path: Path) -> None:
        """Write the build shown to a file."""
        if self.build is None:
            return
        from pennyspeed.services.build_files import write_build

        with _Telling(self):
            write_build(self.build, path)
            self.said.emit(f"written to {path.name}")
            self.wrote.emit(path)

    # The catalogue --------------------------------------------------------------------------

    def save_part(self, part: Part) -> Part:
        """Store a part; builds that hold it follow. UserError where that is refused."""
        change = self.workshop.change_part(part)
        self._changed(change)
        assert change.after.part is not None
        return change.after.part

    def archive_part(self, part: Part, archived: bool) -> None:
        """Archive a part, or fetch it back."""
        assert part.id is not None
        self._changed(self.workshop.archive_part(part.id, archived))

    def delete_part(self, part: Part) -> None:
        """Delete a part; InUse where builds hold it."""
        assert part.id is not None
        self._changed(self.workshop.delete_part(part.id))

    def _changed(self, change: PartChange) -> None:
        if change.before == change.after:
            return
        did, undid = words_of(change, self.measures)
        self.undo_stack.push(ChangeParts(self, (change,), did, undid))
        self._follow((change,))
        self.said.emit(did)

    def take_back(self, changes: Sequence[PartChange], words: str = "") -> None:
        """Take changes of the catalogue back, all or none; many of them in a thread.

        Without `words` nothing is said, nor that parts stay because builds hold them by now.
        """

        def work() -> UserError | None:
            try:
                self.workshop.turn_back(changes)
            except UserError as error:
                return error
            return None

        def then(trouble: object) -> None:
            if self._is_closed:
                return
            if trouble is None:
                self._follow([change.reversed() for change in changes])
                if words:
                    self.said.emit(words)
            elif words or not isinstance(trouble, InUse):
                self.troubled.emit(str(trouble))

        if len(changes) > AT_ONCE or self.errands.is_busy:
            self.errands.ask(work, then)
        else:
            then(work())

    def _follow(self, changes: Sequence[PartChange]) -> None:
        """Let the lists of parts and the build shown follow changes of the catalogue."""
        if not changes:
            return
        self._catalogue_state += 1
        for key, parts in self._parts.items():
            self._parts[key] = _renewed(parts, key, changes)
        if self.build is not None and self.build.id is not None:
            fresh = self.workshop.build(self.build.id)
            if fresh != self.build:
                self._show(fresh)
        for kind_key in dict.fromkeys(change.kind_key for change in changes):
            self.parts_changed.emit(kind_key)

    def _wanted_parts(self) -> list[tuple[str, bool]]:
        """Return which parts are shown, to be read ahead in a thread."""
        return [key for key in self._parts if key[0] == self.slot] or [(self.slot, False)]

    def _forget_parts(self) -> None:
        self._parts.clear()
        self._catalogue_state += 1

    # Inside ---------------------------------------------------------------------------------

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
        """Return the build's forecast; a part that was tried is predicted already."""
        ahead, self._ahead = self._ahead, None
        if ahead is not None and ahead.build == build:
            return replace(with_band(ahead), build=build)
        return forecast(build, self.measures)

    def _swap(self, gone: Build | None, back: Build | None, words: str) -> None:
        with _Telling(self):
            if back is not None:
                # Read anew: parts of the catalogue may have been edited since.
                stored = self.workshop.build(self.workshop.save(back).id or 0)
                self._renew_entries(gone, stored)
                self._show(stored)
                self.said.emit(words)
            elif gone is not None:
                self.workshop.delete(self.workshop.build_named(gone.code).id or 0)
                self._gone(words)

    def _came(self, build: Build, did: str, undid: str, changes: Sequence[PartChange] = ()) -> None:
        self.undo_stack.push(ReplaceBuild(self, None, build, did, undid, changes=changes))
        self._renew_entries(None, build)
        self._show(build)
        self.said.emit(did)

    def _gone(self, words: str) -> None:
        self._entries = None
        entries = self.builds()
        self.builds_changed.emit()
        self._show(self.workshop.build(entries[0][0]) if entries else None)
        self.said.emit(words)

    def _renew_entries(self, before: Build | None, after: Build) -> None:
        if before is None or before.name != after.name or before.id != after.id:
            self._entries = None
            self.builds_changed.emit()


class _Telling:
    """Turns a person's mistake into one told sentence."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.went_well = False

    def __enter__(self) -> _Telling:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        self.went_well = error is None
        if isinstance(error, UserError):
            self._session.troubled.emit(str(error))
            return True
        return False


def _parts_ahead(workshop: Workshop, wanted: list[tuple[str, bool]]) -> PartLists:
    """Read parts where they hold up nobody: thousands take longer than a frame."""
    return {key: workshop.parts(key[0], archived=key[1]) for key in wanted}


def _renewed(parts: list[Part], key: tuple[str, bool], changes: Sequence[PartChange]) -> list[Part]:
    """Return a list of parts after changes: reading thousands anew takes longer than a frame."""
    kind_key, archived = key
    changed = {one.after.id: one.after.part for one in changes if one.kind_key == kind_key}
    if not changed:
        return parts
    found = [part for part in parts if part.id not in changed]
    back = [one for one in changed.values() if one and (archived or not one.archived)]
    if len(back) > AT_ONCE:
        return sorted(found + back, key=_order)
    for one in back:
        insort(found, one, key=_order)
    return found


def _order(part: Part) -> tuple[str, int | None]:
    return part.name.casefold(), part.id


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
