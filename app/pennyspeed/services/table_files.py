"""The tables of a workshop: looked at, taken in, and written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.services.transactions import InTransactions

if TYPE_CHECKING:
    from pennyspeed.services.importers.importer import Imported
    from pennyspeed.services.importers.tables.preview import Preview
    from pennyspeed.services.importers.tables.rows import Told


class Tables(InTransactions):
    """What comes into one open file and leaves it as tables."""

    def preview(
        self,
        path: Path,
        what: str | None = None,
        mapping: Mapping[int, str] | None = None,
        build: Build | None = None,
        kind: str = "",
        sheet: str = "",
        measures: Measures = METRIC,
        told: Told | None = None,
    ) -> Preview:
        """Say what a file of parts, offers or lines would do; nothing is written.

        See :func:`~pennyspeed.services.importers.tables.preview.preview`.
        """
        from pennyspeed.services.importers.tables.preview import preview
        from pennyspeed.services.importers.tables.table_import import stock_of

        with self._begin(reading=True) as work:
            return preview(
                Path(path), stock_of(work), what, mapping, build, kind, sheet, measures, told
            )

    def take(
        self, preview: Preview, leave_out_refused: bool = False, told: Told | None = None
    ) -> Imported:
        """Take a preview in, all of it or nothing.

        Raises
        ------
        BadInput
            Where rows are refused, unless they are to be left out.
        UserError
            Where what it changes was changed since the preview.
        """
        from pennyspeed.services.importers.tables.table_import import take

        with self._begin() as work:
            work.parts.watch()
            taken = take(work, preview, leave_out_refused, told)
            taken = replace(taken, changes=work.parts.changes())
            work.commit()
        return taken

    def write(
        self,
        path: Path,
        what: str = "parts",
        kinds: Sequence[str] = (),
        build: Build | None = None,
        measures: Measures | None = None,
    ) -> int:
        """Write parts, offers or a build's lines to a file; return how many rows it has.

        Parameters
        ----------
        path : Path
            Its name says the format.
        what : str
            "parts", "offers" or "lines".
        kinds : sequence of str
            Keys of the kinds of parts and offers; none means all.
        build : Build, optional
            Of the lines.
        measures : Measures, optional
            In whose units figures stand and whose decimal mark text has; else in the keys'.

        Raises
        ------
        BadInput, UnwritableFile
        """
        from pennyspeed.services.exporters import write_table
        from pennyspeed.services.exporters.table import lines_table, offers_table, parts_table

        if what == "lines":
            if build is None:
                raise BadInput("build", None, "the build whose lines are written")
            table = lines_table(build)
        else:
            keys = kinds or [kind.key for kind in KINDS]
            with self._begin(reading=True) as work:
                parts = [part for key in keys for part in work.parts.of_kind(key)]
                offers = work.offers.of(part.id or 0 for part in parts) if what == "offers" else {}
            if what == "offers":
                table = offers_table((part, offers[part.id or 0]) for part in parts)
            elif what == "parts":
                table = parts_table(parts, measures)
            else:
                raise BadInput("what", what, "one of parts, offers, lines")
        write_table(table, Path(path), "." if measures is None else measures.decimal)
        return len(table.rows)
