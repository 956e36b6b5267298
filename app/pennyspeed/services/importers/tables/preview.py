"""Previews: what a file would do, row by row, before anything is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, KINDS, Kind
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.tables.columns import LEFT_OUT, Column
from pennyspeed.services.importers.tables.filled_rows import filled_rows
from pennyspeed.services.importers.tables.line_rows import LineReader
from pennyspeed.services.importers.tables.offer_rows import OfferReader
from pennyspeed.services.importers.tables.part_rows import PartReader
from pennyspeed.services.importers.tables.rows import Row, Told, Verdict
from pennyspeed.services.importers.tables.table_subjects import (
    LINES,
    OFFERS,
    PARTS,
    SUBJECTS,
    Subject,
    Table,
    choices,
    missing,
    read_table,
    rows_of_table,
)


class Stock:
    """The catalogue by name; a kind is read once, when a row asks for it.

    Parameters
    ----------
    of_kind : callable
        Kind's key to its parts, those put away too.
    history : callable
        Part's number to what it cost, newest first.
    """

    def __init__(
        self,
        of_kind: Callable[[str], Iterable[Part]],
        history: Callable[[int], Sequence[Price]],
    ) -> None:
        self._of_kind, self.history = of_kind, history
        self._lists: dict[str, list[Part]] = {}
        self._kinds: dict[str, dict[str, Part]] = {}

    def parts(self, kind_key: str) -> list[Part]:
        """Return all parts of a kind."""
        if kind_key not in self._lists:
            self._lists[kind_key] = list(self._of_kind(kind_key))
        return self._lists[kind_key]

    def find(self, kind_key: str, name: str) -> Part | None:
        """Return the part of that kind and name, those in use first, or None."""
        parts = self._kinds.get(kind_key)
        if parts is None:
            parts = self._kinds[kind_key] = {}
            for part in sorted(
                self.parts(kind_key), key=lambda part: (part.archived, part.id or 0)
            ):
                parts.setdefault(part.name.strip(), part)
        return parts.get(name)

    def named(self, kind: Kind | None, name: str) -> list[Part]:
        """Return the parts of that name, of one kind or of all."""
        kinds = KINDS if kind is None else (kind,)
        found = (self.find(one.key, name) for one in kinds)
        return [part for part in found if part is not None]


@dataclass(frozen=True)
class Preview:
    """What a file would do.

    Attributes
    ----------
    what : str
        Key of a subject: "parts", "offers" or "lines".
    columns : tuple of Column
        With what each is taken for, or why it is left out.
    rows : tuple of Row
        None of them where there is `trouble`.
    trouble : BadInput or None
        What the table lacks as a whole; nothing can be taken in before that is mended.
    kind : str
        Key of the kind of rows that do not name theirs; "" where each does.
    build : Build or None
        That lines go into.
    """

    path: Path
    what: str
    columns: tuple[Column, ...]
    rows: tuple[Row[Any], ...]
    trouble: BadInput | None = None
    kind: str = ""
    sheets: tuple[str, ...] = ()
    build: Build | None = None

    @cached_property
    def counts(self) -> Mapping[Verdict, int]:
        """How many rows there are of each verdict; 0 included."""
        found = Counter(row.verdict for row in self.rows)
        return {verdict: found[verdict] for verdict in Verdict}

    @property
    def refused(self) -> tuple[Row[Any], ...]:
        return tuple(row for row in self.rows if row.verdict is Verdict.REFUSED)

    @property
    def left_out(self) -> tuple[Column, ...]:
        """The columns that are not read."""
        return tuple(column for column in self.columns if column.target == LEFT_OUT)

    def refuse_strange_columns(self) -> None:
        """Raise BadInput where a column is left out because nobody understands it."""
        troubles = [column.trouble for column in self.left_out if column.trouble]
        if troubles and self.trouble is None:
            raise troubles[0].within(str(self.path))

    @property
    def choices(self) -> list[tuple[str, str]]:
        """What a column may be said to hold: the header to map it to, and its label."""
        return choices(_subject(self.what), BY_KEY.get(self.kind))

    @property
    def summary(self) -> str:
        """One sentence for a person."""
        if self.trouble is not None:
            return str(self.trouble)
        counts = self.counts
        texts = [f"{counts[verdict]:,} {verdict}" for verdict in Verdict if counts[verdict]]
        one = "row" if len(self.rows) == 1 else "rows"
        return f"{len(self.rows):,} {one}: {', '.join(texts)}."


def preview(
    path: Path,
    stock: Stock,
    what: str | None = None,
    mapping: Mapping[int, str] | None = None,
    build: Build | None = None,
    kind: str = "",
    sheet: str = "",
    measures: Measures = METRIC,
    told: Told | None = None,
    fills_in: bool = True,
) -> Preview:
    """Return what a file would do; nothing is written.

    Parameters
    ----------
    path : Path
        Delimited text (.csv, .tsv) or a workbook (.xlsx, .ods).
    what : str, optional
        "parts", "offers" or "lines"; else the file's name or its headers say.
    mapping : mapping, optional
        Column's place, from 0, to the header that it is to be read as, with a unit if need be;
        "" leaves it out. Other columns are guessed.
    build : Build, optional
        That lines go into.
    kind : str, optional
        Key of the kind of rows that do not name theirs; else the file's name says.
    sheet : str, optional
        Of a workbook.
    fills_in : bool
        Work out what is left out of parts, where that can be.

    Raises
    ------
    BadInput, FileTrouble
        Where there is no table at all.
    """
    try:
        subject = None if what is None else _subject(what)
        table = read_table(path, subject, mapping, BY_KEY.get(kind), sheet)
    except BadInput as error:
        raise error.within(str(path)) from None
    trouble = missing(table)
    if table.subject is LINES and build is None:
        trouble = trouble or BadInput("build", None, "a build that the lines go into")
    rows: Sequence[Row[Any]] = ()
    if trouble is None:
        rows = rows_of_table(table, _reader(table, stock, build, measures), told)
        if table.subject is PARTS and fills_in:
            rows = filled_rows(rows, stock.parts, measures)
    return Preview(
        path,
        table.subject.key,
        table.columns,
        tuple(rows),
        trouble,
        "" if table.kind is None else table.kind.key,
        table.sheet.names,
        build if table.subject is LINES else None,
    )


def _reader(
    table: Table, stock: Stock, build: Build | None, measures: Measures
) -> Callable[[int, Sequence[str]], Row[Any]]:
    if table.subject is LINES:
        assert build is not None
        return LineReader(table.columns, build, measures).read
    if table.subject is OFFERS:
        return OfferReader(table.columns, stock.named, stock.history, table.kind, measures).read
    return PartReader(table.columns, stock.find, table.kind, stock.history, measures).read


def _subject(key: str) -> Subject:
    subjects = {subject.key: subject for subject in SUBJECTS}
    if key not in subjects:
        raise BadInput("what", key, "one of " + ", ".join(subjects))
    return subjects[key]
