"""The workshop: a person's builds and catalogue, in one file.

Importing this module costs nothing; SQLAlchemy is loaded when a workshop opens.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import NotFound, UnwritableFile
from pennyspeed.domain.parts.parts import checked_name
from pennyspeed.services.catalogue import Catalogue
from pennyspeed.services.held import HELD_BUILDS, held_from_text, text_of_held
from pennyspeed.services.offering import Offering
from pennyspeed.services.short_ids import id_in
from pennyspeed.services.table_files import Tables
from pennyspeed.storage.place import default_path
from pennyspeed.storage.rows import SHOWN_BUILD, BuildEntry

if TYPE_CHECKING:
    from pennyspeed.storage.database import Engine

_FILLED = "demo"
_SHEET = "sheet of {}"
_LONGEST_LIST = 10


class Workshop(Catalogue, Offering, Tables):
    """One open file: its builds, and its catalogue.

    Every method is one transaction, on the disk when it returns.
    Methods may be called from any thread; one at a time is served.
    """

    def __init__(self, engine: Engine, path: Path) -> None:
        super().__init__(engine)
        self.path = path
        self._version = self._data_version()

    @classmethod
    def open(cls, path: Path | None = None) -> Workshop:
        """Open the file at `path`, or the person's usual one.

        A new file is filled with the demo. An older one is brought up to date, and a copy of it is
        kept beside it.

        Raises
        ------
        FileTrouble
            Not ours, newer, read-only, locked, a full disk, no such folder; the file is as it was.
        """
        from pennyspeed.storage.database import open_database

        if path is None:
            path = default_path()
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise UnwritableFile(
                    f"The folder {path.parent} cannot be made: {error.strerror}."
                ) from None
        workshop = cls(open_database(path), path)
        try:
            workshop._fill()
        except BaseException:
            workshop.close()
            raise
        return workshop

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def __enter__(self) -> Workshop:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _data_version(self) -> int:
        from pennyspeed.storage.database import data_version

        return data_version(self._engine)

    def _fill(self) -> None:
        with self._work(reading=True) as work:
            if work.settings.get(_FILLED) is not None:
                return
        from pennyspeed.services.demo import fill

        with self._work() as work:
            if work.settings.get(_FILLED) is None:
                shown = fill(work)
                if shown is not None:
                    work.settings.put(SHOWN_BUILD, str(shown.id))
                work.settings.put(_FILLED, "filled")
                work.commit()

    def changed_elsewhere(self) -> bool:
        """Tell whether another window or program changed the file since this was last asked."""
        before, self._version = self._version, self._data_version()
        return self._version != before

    # builds

    def builds(self) -> list[BuildEntry]:
        """Return every build, the one changed last first."""
        with self._work(reading=True) as work:
            return work.builds.entries()

    def build(self, id: int) -> Build:
        """Return one build, or raise NotFound."""
        with self._work(reading=True) as work:
            return work.builds.get(id)

    def build_named(self, name_or_code: str) -> Build:
        """Return the build of that name or code; case counts only where it tells two apart.

        What the code on a printed sheet says is understood as well. NotFound says which names there
        are.
        """
        wanted = id_in(name_or_code).strip()
        with self._work(reading=True) as work:
            entries = work.builds.entries()
            found = (
                [entry for entry in entries if entry.name == wanted]
                or [entry for entry in entries if entry.code == wanted.upper()]
                or [entry for entry in entries if entry.name.casefold() == wanted.casefold()]
            )
            if len(found) == 1:
                return work.builds.get(found[0].id)
        names = [entry.name for entry in found or entries]
        listed = ", ".join(names[:_LONGEST_LIST]) + (", …" if len(names) > _LONGEST_LIST else "")
        there = f"there are {listed}" if names else "there is none yet"
        raise NotFound(f"No build is called {wanted!r}; {there}.")

    def save(self, build: Build) -> Build:
        """Store a build; return it with its number, its code and its new revision.

        Parts without a number are found in the catalogue or added to it. A build that was deleted
        comes back under its number and code. BadInput says that another build has the name.
        """
        checked_name(build.name, "name")
        with self._work() as work:
            saved = work.builds.save(build)
            work.commit()
        return saved

    def create(self, name: str) -> Build:
        """Store an empty build."""
        return self.save(Build(checked_name(name, "name")))

    def copy(self, build: Build, name: str) -> Build:
        """Store a copy of a build under a name of its own.

        It is another plan for the same purchases: its book holds the same lines, spent and promised
        included. Nothing adds the books of two builds, so that no money counts twice.
        """
        name = checked_name(name, "name")
        return self.save(replace(build, name=name, id=None, code="", revision=0))

    def delete(self, id: int) -> Build:
        """Delete a build and return what it was; :meth:`save` of that undoes it."""
        with self._work() as work:
            build = work.builds.delete(id)
            work.commit()
        return build

    def shown_build(self) -> Build | None:
        """Return the build that was shown last, else the newest, else None."""
        with self._work(reading=True) as work:
            ids = [entry.id for entry in work.builds.entries()]
            noted = work.settings.get(SHOWN_BUILD)
            if noted is not None and int(noted) in ids:
                return work.builds.get(int(noted))
            return work.builds.get(ids[0]) if ids else None

    def note_shown(self, id: int) -> None:
        """Remember which build is shown."""
        with self._work() as work:
            if work.settings.get(SHOWN_BUILD) != str(id):
                work.settings.put(SHOWN_BUILD, str(id))
                work.commit()

    def held(self) -> list[tuple[str, Build]]:
        """Return the builds that were held beside the one shown, each with its label."""
        with self._work(reading=True) as work:
            text = work.settings.get(HELD_BUILDS)
        return [] if text is None else held_from_text(text)

    def note_held(self, held: Sequence[tuple[str, Build]]) -> None:
        """Remember which builds are held beside the one shown."""
        with self._work() as work:
            work.settings.put(HELD_BUILDS, text_of_held(held))
            work.commit()

    def sheet_choices(self, build: Build) -> str | None:
        """Return what was noted of a build's sheet; None where nothing was."""
        with self._work(reading=True) as work:
            return work.settings.get(_SHEET.format(build.code))

    def note_sheet_choices(self, build: Build, text: str) -> None:
        """Remember what a person wants on a stored build's sheet."""
        with self._work() as work:
            work.settings.put(_SHEET.format(build.code), text)
            work.commit()
