"""The workshop: a person's builds and catalogue, in one file.

Importing this module costs nothing; SQLAlchemy is loaded when a workshop opens.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.domain.errors import UnwritableFile
from pennyspeed.services.builds import Builds
from pennyspeed.services.catalogue import Catalogue
from pennyspeed.services.file_settings import FileSettings
from pennyspeed.services.offers import Offers, Suppliers
from pennyspeed.services.table_files import Tables
from pennyspeed.storage.place import default_path
from pennyspeed.storage.rows import SHOWN_BUILD

if TYPE_CHECKING:
    from datetime import date

    from pennyspeed.domain.builds import Build
    from pennyspeed.services.importers.importer import Imported
    from pennyspeed.services.money.baskets import Basket
    from pennyspeed.storage.database import Engine, Work

_FILLED = "demo"


class Workshop:
    """One open file, and what it holds.

    Every method, here and of what it holds, is one transaction, on the disk when it returns.
    Methods may be called from any thread; one at a time is served.
    """

    def __init__(self, engine: Engine, path: Path) -> None:
        from pennyspeed.storage.database import Work

        self.path = path
        self._engine = engine
        self.begin = partial(Work, engine)
        self.builds = Builds(self.begin)
        self.catalogue = Catalogue(self.begin)
        self.offers = Offers(self.begin)
        self.suppliers = Suppliers(self.begin)
        self.tables = Tables(self.begin)
        self.settings = FileSettings(self.begin)
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
        with self.begin(reading=True) as work:
            if work.settings.get(_FILLED) is not None:
                return
        from pennyspeed.services.demo import fill

        with self.begin() as work:
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

    def import_file(self, path: Path, work_out: bool = False) -> Imported:
        """Take in a file of parts or a build file, all of it or nothing.

        With `work_out` figures that a build's parts lack are worked out; a table's always are.
        BadInput says file, place, value and what was expected, FileTrouble that the file cannot be
        read.
        """
        from pennyspeed.services.importers import importer_for

        path = Path(path)
        importer = importer_for(path)
        with self.begin() as work:
            work.parts.watch()
            imported = importer.take(work, path)
            if work_out and imported.build is not None:
                imported = replace(imported, build=_worked_out(work, imported.build))
            imported = replace(imported, changes=work.parts.changes())
            work.commit()
        return imported

    def basket(self, build: Build, today: date) -> Basket:
        """Return where a build's planned lines are cheapest together, here by its event."""
        from pennyspeed.services.money.shopping import basket_of

        ids = [part.id for part in (*build.parts.values(), *build.extras) if part.id is not None]
        return basket_of(
            build, self.offers.of(ids), self.suppliers.all(), today, self.suppliers.leads()
        )


def _worked_out(work: Work, build: Build) -> Build:
    """Work out what the parts of a stored build lack; return the build with them."""
    from pennyspeed.services.catalogue import estimators_of
    from pennyspeed.services.estimates.missing import worked_out

    parts = [*build.parts.values(), *build.extras]
    for before, after in zip(parts, worked_out(parts, estimators_of(work)), strict=True):
        if after != before:
            work.parts.save(after)
    assert build.id is not None
    return work.builds.get(build.id)
