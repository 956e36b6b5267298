"""Tables: what a file's rows are about, found from its name and its headers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, KINDS, Kind
from pennyspeed.services.importers.tables import delimited, line_rows, part_rows
from pennyspeed.services.importers.tables.cells import settle
from pennyspeed.services.importers.tables.columns import (
    Column,
    Target,
    columns_of,
    figures_named,
    plain,
    target_named,
    with_samples,
)
from pennyspeed.services.importers.tables.prices import KIND, NAME, PRICE_TARGETS, kind_of_file
from pennyspeed.services.importers.tables.rows import OFTEN, Refusal, Refused, Row, Told, Verdict
from pennyspeed.services.importers.tables.sheets import Sheet, read_sheet

Stored = TypeVar("Stored")


@dataclass(frozen=True)
class Subject:
    """What the rows of a table are.

    Attributes
    ----------
    key, label : str
    one : str
        What a row is: "a part".
    targets : tuple of Target
    required : tuple of str
        Targets of which one must have a column.
    with_figures : bool
        Whether columns may hold figures of parts.
    marks : frozenset of str
        Targets whose columns no other subject has.
    """

    key: str
    label: str
    one: str
    targets: tuple[Target, ...]
    required: tuple[str, ...] = ("name",)
    with_figures: bool = False
    marks: frozenset[str] = frozenset()


PARTS = Subject("parts", "parts", "a part", part_rows.TARGETS, with_figures=True)
OFFERS = Subject(
    "offers",
    "offers",
    "an offer",
    (KIND, NAME, *PRICE_TARGETS),
    marks=frozenset(("in_stock", "lead_days")),
)
LINES = Subject(
    "lines",
    "lines of a build",
    "a line",
    line_rows.TARGETS,
    required=("name", "part"),
    marks=line_rows.MARKS,
)
SUBJECTS: tuple[Subject, ...] = (PARTS, OFFERS, LINES)


@dataclass(frozen=True)
class Table:
    """A file read, its columns understood as far as they are.

    Attributes
    ----------
    path : Path
    subject : Subject
    sheet : Sheet
        Its numbers read one way.
    columns : tuple of Column
    kind : Kind or None
        Of rows that do not name theirs.
    unclear : mapping
        Row's number to the numbers there that read two ways.
    """

    path: Path
    subject: Subject
    sheet: Sheet
    columns: tuple[Column, ...]
    kind: Kind | None
    unclear: Mapping[int, Sequence[BadInput]]


def read_table(
    path: Path,
    subject: Subject | None = None,
    mapping: Mapping[int, str] | None = None,
    kind: Kind | None = None,
    sheet: str = "",
) -> Table:
    """Return a file's table.

    Parameters
    ----------
    path : Path
    subject : Subject, optional
        Else the headers say.
    mapping : mapping, optional
        See :func:`~pennyspeed.services.importers.tables.columns.columns_of`.
    kind : Kind, optional
        Of rows that do not name theirs; else the file's name says.
    sheet : str, optional
        Of a workbook.

    Raises
    ------
    BadInput, FileTrouble
        Where there is no table at all: not even what is missing can be asked for.
    """
    subjects = SUBJECTS if subject is None else (subject,)
    read = read_sheet(path, lambda row: any(_is_understood(cell, subjects) for cell in row), sheet)
    if not any(read.header):
        raise BadInput("row 1", None, f"column names, one of them {subjects[0].required[0]}")
    subject = subject or _subject(path, read.header)
    if kind is None and subject is not LINES:
        kind = kind_of_file(path.name.split(".")[0])
    columns = columns_of(read.header, subject.targets, subject.with_figures, kind, mapping)
    unclear = settle(read, columns)
    return Table(path, subject, read, with_samples(columns, read.rows), kind, unclear)


def names_columns(head: bytes) -> bool:
    """Tell whether a text's first row names columns that a subject must have."""
    return delimited.names_columns(
        delimited.text_of(head), lambda row: any(_is_understood(cell, SUBJECTS) for cell in row)
    )


def missing(table: Table) -> BadInput | None:
    """Return what a table lacks as a whole before any of its rows can be read."""
    there = {column.target for column in table.columns}
    header = ", ".join(table.sheet.header) or None
    subject = table.subject
    if there.isdisjoint(subject.required):
        needed = " or ".join(subject.required)
        return BadInput("row 1", header, f"column names, one of them {needed}")
    if subject is PARTS and table.kind is None and "kind" not in there:
        expected = "a column kind, or a file named for a kind: " + ", ".join(BY_KEY)
        return BadInput("row 1", header, expected)
    if not table.sheet.rows:
        return BadInput("row 2", None, f"{subject.one} below the column names")
    return None


def rows_of_table(
    table: Table, read: Callable[[int, Sequence[str]], Row[Stored]], told: Told | None = None
) -> list[Row[Stored]]:
    """Return what each row would do.

    Parameters
    ----------
    table : Table
    read : callable
        Row's number and cells to what it would do; raises Refused.
    told : callable, optional
        How far it is.

    Raises
    ------
    BadInput
        See :func:`missing`.
    """
    lacking = missing(table)
    if lacking is not None:
        raise lacking
    width, rows = len(table.columns), []
    for done, (number, cells) in enumerate(table.sheet.rows):
        if told is not None and done % OFTEN == 0:
            told(done, len(table.sheet.rows))
        errors = list(table.unclear.get(number, ()))
        if len(cells) > width:
            expected = f"{width}, as in row 1"
            errors = [BadInput("", f"{len(cells)} cells", expected)]
        name = ""
        if not errors:
            try:
                rows.append(read(number, cells))
                continue
            except Refused as refused:
                errors, name = list(refused.errors), refused.name
        refusals = tuple(Refusal.of(number, error) for error in errors)
        rows.append(Row(number, cells, Verdict.REFUSED, name, refusals=refusals))
    return rows


def choices(subject: Subject, kind: Kind | None = None) -> list[tuple[str, str]]:
    """Return what a column may be said to hold: header to map it to, and what a person calls it."""
    found = [(target.key, target.label) for target in subject.targets]
    if subject.with_figures:
        figures: dict[str, str] = {}
        for one in KINDS if kind is None else (kind,):
            for declared in one.fields:
                unit = f" ({declared.unit.symbol})" if declared.unit.symbol else ""
                figures.setdefault(declared.key, declared.label + unit)
        found += figures.items()
    return found


def _is_understood(header: str, subjects: Sequence[Subject]) -> bool:
    """Tell whether a header names a column that one of the subjects must have."""
    return any(
        plain(header) in target.names
        for subject in subjects
        for target in subject.targets
        if target.key in subject.required
    )


def _subject(path: Path, header: Sequence[str]) -> Subject:
    """Return what a table is about: what its name says, else what only such a table has."""
    words = plain(path.name.split(".")[0]).split()
    for subject in SUBJECTS:
        if subject.key in words:
            return subject
    for subject in (LINES, OFFERS):
        found = [target_named(name, subject.targets) for name in header]
        if any(one is not None and one[0].key in subject.marks for one in found):
            has_figures = any(
                figures_named(name)[0]
                for name, one in zip(header, found, strict=True)
                if one is None
            )
            if not has_figures:
                return subject
    return PARTS
