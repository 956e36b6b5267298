"""Imports: builds and parts brought in from files, and the build shown written to one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.step_words import words_of_import
from pennyspeed.domain.errors import BadInput, UserError

if TYPE_CHECKING:
    from pennyspeed.services.importers import Imported

    Outcome = Imported | UserError | None
    """What came of one file; None of a table that is to be looked at first."""


class Imports(QObject):
    """Brings files in, each as one undo step, and writes builds out.

    Signals
    -------
    imported(list of Path)
        Those files were imported.
    preview_requested(Path)
        That table is to be looked at before it comes in: a workbook, or one that is not all right.
    build_written(Path)
        The build shown was written there.
    """

    imported = Signal(object)
    preview_requested = Signal(object)
    build_written = Signal(object)

    def __init__(
        self,
        file: OpenFile,
        bench: Bench,
        catalogue: Catalogue,
        builds: Builds,
        messages: Messages,
        jobs: JobQueue,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._file, self._bench = file, bench
        self._catalogue, self._builds = catalogue, builds
        self._messages, self._jobs = messages, jobs

    def import_file(self, path: Path) -> None:
        """Import a file of parts or a build while the window waits."""
        with self._messages.reporting():
            imported = self._file.workshop.import_file(path)
            self._record(path, imported)
            self._messages.said.emit(imported.summary)
            self.imported.emit([path])

    def import_files(self, paths: Sequence[Path]) -> None:
        """Import several files beside the window, each all or nothing.

        Of tables that need a look, `preview_requested` tells the first.
        """
        if not paths:
            return
        from pennyspeed.services.importers import recognised_by

        def outcome(path: Path) -> Outcome:
            importer = recognised_by(path)
            if importer is not None and importer.needs_preview(path):
                return None
            try:
                return self._file.workshop.import_file(path)
            except BadInput as error:
                return None if importer is not None and importer.has_preview else error
            except UserError as error:
                return error

        self._jobs.submit(lambda: [(path, outcome(path)) for path in paths], self._finish)

    def write_build(self, path: Path) -> None:
        """Write the build shown to a file."""
        build = self._bench.build
        if build is None:
            return
        from pennyspeed.services.build_files import write_build

        with self._messages.reporting():
            write_build(build, path)
            self._messages.said.emit(f"written to {path.name}")
            self.build_written.emit(path)

    def _finish(self, outcomes: Sequence[tuple[Path, Outcome]]) -> None:
        if self._file.is_closed:
            return
        summaries, troubles, imported, unclear = [], [], [], []
        for path, outcome in outcomes:
            if outcome is None:
                unclear.append(path)
            elif isinstance(outcome, UserError):
                troubles.append(str(outcome))
            else:
                imported.append(path)
                summaries.append(outcome.summary)
                self._record(path, outcome)
        if summaries:
            self._messages.said.emit(" ".join(summaries))
            self.imported.emit(imported)
        if unclear:
            self.preview_requested.emit(unclear[0])
            others = " and ".join(path.name for path in unclear[1:])
            if others:
                troubles.append(f"One table is looked at at a time: {others} stayed out.")
        if troubles:
            self._messages.troubled.emit(" ".join(troubles))

    def record(self, imported: Imported, did: str, undid: str) -> None:
        """Make what was imported an undo step, and have what is shown follow it."""
        changes, build = imported.changes, imported.build
        if build is None:
            if changes:
                self._catalogue.record(changes, did, undid)
            return
        self._catalogue.follow(changes)
        if imported.build_before is None:
            self._builds.add(build, did, undid, changes)
            return
        self._builds.record(imported.build_before, build, did, undid, changes)
        shown = self._bench.build
        if shown is not None and build.id is not None and shown.id == build.id:
            self._builds.choose(build.id)

    def _record(self, path: Path, imported: Imported) -> None:
        if imported.build is not None:
            self.record(imported, imported.summary, f"removed {imported.build.name}")
        else:
            undid = words_of_import(path.name, imported.changes)
            self.record(imported, f"brought in {path.name}", undid)
