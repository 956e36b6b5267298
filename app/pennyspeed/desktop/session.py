"""Session: what the window works on. Opens files, and brings builds and parts in and out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from pennyspeed.desktop.changing import Changing
from pennyspeed.desktop.known_parts import PartLists
from pennyspeed.desktop.undoing import ChangeParts, words_of_import
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.importers import Imported
    from pennyspeed.services.workshop import Workshop


class Session(Changing):
    """The open file, the build on the bench and its forecast, and every change of them.

    Each base is one subject: `DataFile`, `OnBench`, `KnownParts`, `Changing`.

    Signals
    -------
    opened()
        The file was opened, or could not be.
    brought(list of Path)
        Those files were imported.
    look_wanted(Path)
        That table is to be looked at before it comes in: a workbook, or one that is not all right.
    wrote(Path)
        The build shown was written there.
    """

    opened = Signal()
    brought = Signal(object)
    look_wanted = Signal(object)
    wrote = Signal(object)

    # Opening ----------------------------------------------------------------------------------

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

    # Files of builds and parts ----------------------------------------------------------------

    def bring(self, path: Path) -> None:
        """Import a file of parts or a build; one undo step."""
        with self.telling():
            imported = self.workshop.import_file(path)
            self._take_up(path, imported)
            self.said.emit(imported.summary)
            self.brought.emit([path])

    def _take_up(self, path: Path, imported: Imported) -> None:
        changes, build = imported.changes, imported.build
        self.follow(changes)
        if build is not None:
            self._came(build, imported.summary, f"removed {build.name}", changes)
        elif changes:
            undid = words_of_import(path.name, changes)
            self.undo_stack.push(ChangeParts(self, changes, f"brought in {path.name}", undid))

    def bring_all(self, paths: Sequence[Path]) -> None:
        """Import several files, each all or nothing, in a thread of its own.

        Of tables that need a look, `look_wanted` tells the first.
        """
        if not paths:
            return
        from pennyspeed.services.importers import is_looked_at, reads_as_table

        def work() -> list[tuple[Path, Imported | UserError | None]]:
            found: list[tuple[Path, Imported | UserError | None]] = []
            for path in paths:
                if is_looked_at(path):
                    found.append((path, None))
                    continue
                try:
                    found.append((path, self.workshop.import_file(path)))
                except BadInput as error:
                    found.append((path, None if reads_as_table(path) else error))
                except UserError as error:
                    found.append((path, error))
            return found

        self.errands.ask(work, self._brought)

    def _brought(self, found: object) -> None:
        if self._is_closed:
            return
        assert isinstance(found, list)
        summaries, troubles, brought, unclear = [], [], [], []
        for path, one in found:
            if one is None:
                unclear.append(path)
            elif isinstance(one, UserError):
                troubles.append(str(one))
            else:
                brought.append(path)
                summaries.append(one.summary)
                self._take_up(path, one)
        if summaries:
            self.said.emit(" ".join(summaries))
            self.brought.emit(brought)
        if unclear:
            self.look_wanted.emit(unclear[0])
            others = " and ".join(path.name for path in unclear[1:])
            if others:
                troubles.append(f"One table is looked at at a time: {others} stayed out.")
        if troubles:
            self.troubled.emit(" ".join(troubles))

    def take_away(self, path: Path) -> None:
        """Write the build shown to a file."""
        if self.build is None:
            return
        from pennyspeed.services.build_files import write_build

        with self.telling():
            write_build(self.build, path)
            self.said.emit(f"written to {path.name}")
            self.wrote.emit(path)


def _parts_ahead(workshop: Workshop, wanted: list[tuple[str, bool]]) -> PartLists:
    """Read parts where they hold up nobody: thousands take longer than a frame."""
    return {key: workshop.parts(key[0], archived=key[1]) for key in wanted}


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
