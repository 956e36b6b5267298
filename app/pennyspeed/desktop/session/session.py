"""Session: everything that the window works on, put together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.imports import Imports
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.missing_figures import MissingInFile
from pennyspeed.desktop.session.money_questions import MoneyQuestions
from pennyspeed.desktop.session.undo_stack import UndoStack
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.workshop import Workshop


class Session(QObject):
    """Holds what the window works on, and connects it.

    Parameters
    ----------
    open_workshop : callable
        Opens the file, when it is first needed.
    measures : Measures or None
        How figures are written.
    """

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        measures: Measures | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.messages = Messages(self)
        self.undo_stack = UndoStack(self)
        self.jobs = JobQueue(self)
        self.file = OpenFile(open_workshop, self.messages, self.jobs, self)
        self.bench = Bench(self.file, measures, self)
        self.catalogue = Catalogue(
            self.file, self.bench, self.undo_stack, self.messages, self.jobs, self
        )
        self.builds = Builds(
            self.file, self.bench, self.catalogue, self.undo_stack, self.messages, self
        )
        self.questions = MoneyQuestions(self.bench, self.builds, self)
        self.imports = Imports(
            self.file, self.bench, self.catalogue, self.builds, self.messages, self.jobs, self
        )
        self.comparison = ComparedBuilds(
            self.file, self.bench, self.builds, self.undo_stack, self.messages, self
        )
        self.missing_figures = MissingInFile(
            self.file, self.catalogue, self.messages, self.jobs, self
        )
        self.file.replaced.connect(self._clear)
        self.file.content_read.connect(self._read)

    def preload(
        self, build: Build, entries: Sequence[tuple[int, str]], parts: Sequence[Part]
    ) -> None:
        """Show what was read ahead of opening the file, so that a first frame can be painted."""
        self.builds.preload(entries)
        self.catalogue.preload(parts)
        self.bench.show(build)

    def close(self) -> None:
        """Close the file, and let go of the steps without telling anybody."""
        self.file.close()
        self.undo_stack.blockSignals(True)

    def _clear(self) -> None:
        self.bench.clear()
        self.undo_stack.clear()

    def _read(self, shown: Build | None) -> None:
        # Whoever hears of one of them may look at the others: none may be of before by then.
        self.catalogue.forget()
        self.builds.read_anew()
        self.bench.show_saved(shown)
        self.catalogue.parts_changed.emit(self.bench.slot)
