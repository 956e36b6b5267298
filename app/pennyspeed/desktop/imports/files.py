"""Files: data files opened and begun, builds and parts brought in and written, the last ones."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from pennyspeed.desktop.navigator import Navigator, StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.storage.place import DATA_SUFFIX

if TYPE_CHECKING:
    from pennyspeed.desktop.imports.dropping import DropGround
    from pennyspeed.desktop.imports.no_file import NoFile

DATA = f"Data files (*{DATA_SUFFIX});;All files (*)"
BUILDS = "Builds (*.build.json)"


class Files(QObject):
    """What a window does with files.

    Parameters
    ----------
    session : Session
    preferences : Preferences
    navigator : Navigator
    window : QWidget
        What files are dropped onto.
    """

    def __init__(
        self, session: Session, preferences: Preferences, navigator: Navigator, window: QWidget
    ) -> None:
        super().__init__(window)
        self._session, self._preferences = session, preferences
        self._navigator, self._window = navigator, window
        self._trouble = ""
        self.page: NoFile | None = None
        self.ground: DropGround | None = None
        self.recent_files = QMenu("Recent data files", window)
        self.recent_imports = QMenu("Recent builds and parts", window)
        self._session.messages.troubled.connect(self._troubled)
        self._session.file.opened.connect(self._opened)
        self._session.imports.imported.connect(lambda paths: self._noted("recent_imports", paths))
        self._session.imports.build_written.connect(
            lambda path: self._noted("recent_imports", [path])
        )
        self._fill()

    def watch(self) -> None:
        """Take files that are dropped onto the window, which is shown by now."""
        if self.ground is None:
            from pennyspeed.desktop.imports.dropping import DropGround

            self.ground = DropGround(self._window, self.take)

    @property
    def recent(self) -> dict[str, QMenu]:
        """The menus of the files that were opened, by the key of their setting."""
        return {"recent_files": self.recent_files, "recent_imports": self.recent_imports}

    # Doing ----------------------------------------------------------------------------------

    def ask_and_open(self) -> None:
        """Ask for another data file and open it."""
        name, _ = QFileDialog.getOpenFileName(self._window, "Open another data file", "", DATA)
        if name:
            self._session.file.open_other(Path(name))

    def ask_and_begin(self) -> None:
        """Ask for a place and begin a new data file there."""
        name, _ = QFileDialog.getSaveFileName(
            self._window,
            "Begin a new data file",
            f"cars{DATA_SUFFIX}",
            DATA,
            # A file that is there already is opened, never written over: no question needed.
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        if name:
            path = Path(name)
            if not path.suffix:
                path = path.with_name(f"{path.name}{DATA_SUFFIX}")
            self._session.file.open_other(path)

    def ask_and_bring(self) -> None:
        """Ask for builds and parts and bring them in."""
        from pennyspeed.services.importers import IMPORTERS

        ends = " ".join(f"*{end}" for one in reversed(IMPORTERS) for end in one.suffixes)
        kinds = f"Builds and tables ({ends});;All files (*)"
        names, _ = QFileDialog.getOpenFileNames(self._window, "Bring in", "", kinds)
        self._session.imports.import_files([Path(name) for name in names])

    def ask_and_take(self) -> None:
        """Ask for a place and write the build there."""
        build = self._session.bench.build
        if build is None:
            return
        proposed = f"{build.name}.build.json".replace("/", "-")
        name, _ = QFileDialog.getSaveFileName(self._window, "Write", proposed, BUILDS)
        if name:
            self._session.imports.write_build(Path(name))

    def take(self, paths: Sequence[Path]) -> None:
        """Bring in what can be, or open a data file that came alone; say what cannot."""
        from pennyspeed.services.importers.dropped_files import DroppedFiles

        files = DroppedFiles.of(paths)
        if files.data_files and not files.importers:
            self._session.file.open_other(files.data_files[0])
        else:
            self._session.imports.import_files([*files.importers, *files.others])

    # Recent ones ----------------------------------------------------------------------------

    def _noted(self, key: str, paths: Sequence[Path]) -> None:
        settings = self._preferences.settings
        for path in paths:
            settings = settings.with_recent(key, path)
        self._preferences.choose(**{key: getattr(settings, key)})
        self._fill()

    def _fill(self) -> None:
        settings = self._preferences.settings
        for key, menu in self.recent.items():
            menu.clear()
            names = getattr(settings, key)
            alike = {Path(name).name for name in names}
            for name in names:
                path = Path(name)
                # The whole path only where the name alone does not tell two apart.
                text = path.name if len(alike) == len(names) else str(path)
                action = menu.addAction(text.replace("&", "&&"))
                action.setToolTip(name)
                is_data = key == "recent_files"
                opens = self._session.file.open_other if is_data else self._bring_again
                action.triggered.connect(lambda _=False, it=path, act=opens: act(it))
            if names:
                menu.addSeparator()
                forget = menu.addAction("Forget these")
                forget.triggered.connect(lambda _=False, key=key: self._forget(key))
            menu.setEnabled(bool(names))
            menu.menuAction().setEnabled(bool(names))
            menu.setToolTipsVisible(True)

    def _bring_again(self, path: Path) -> None:
        self._session.imports.import_files([path])

    def _forget(self, key: str) -> None:
        self._preferences.choose(**{key: ()})
        self._fill()

    # When none can be opened ----------------------------------------------------------------

    def _troubled(self, sentence: str) -> None:
        self._trouble = sentence

    def _opened(self) -> None:
        """Show the page that says why no file is open, or take it away."""
        if self._session.file.is_open:
            self._noted("recent_files", [self._session.file.workshop.path])
            page, self.page = self.page, None
            if page is not None:
                self._navigator.take_away(page)
            return
        from pennyspeed.desktop.imports.no_file import NoFile

        page = self.page = NoFile(self._trouble or "No file is open.")
        page.again.connect(self._session.file.open, Qt.ConnectionType.QueuedConnection)
        page.other.connect(self.ask_and_open)
        page.new.connect(self.ask_and_begin)
        self._navigator.show_passing(StackPage(page))
