"""Rows: what each row of a table would do, and why one is refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

from pennyspeed.domain.errors import BadInput, PennyspeedError, shown

Stored = TypeVar("Stored")

Told = Callable[[int, int], None]
"""Called now and then with how many rows are done and how many there are; may raise Stopped."""

OFTEN = 100
"""After so many rows it is told."""


class Stopped(PennyspeedError):
    """Whoever asked wants no more of it; nothing was written."""


class Progress:
    """How far a thread is, and whether it is to stop; asked and told from two threads."""

    def __init__(self) -> None:
        self.done = self.total = 0
        self.is_stopped = False

    def __call__(self, done: int, total: int) -> None:
        self.done, self.total = done, total
        if self.is_stopped:
            raise Stopped("stopped by hand")


class Verdict(StrEnum):
    """What a row would do."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that a row changes, as a person reads it: "mass", "38 g", "40 g"."""

    what: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a row is refused.

    Attributes
    ----------
    row : int
        Its number in the file; that of the column names is 1.
    column : str
        Header; "" where the row as a whole is at fault.
    value : object
        What stood there.
    expected : str
        To follow the word "expected".
    """

    row: int
    column: str
    value: object
    expected: str

    @classmethod
    def of(cls, row: int, error: BadInput) -> Refusal:
        """Return what an error of a reader says about a row."""
        return cls(row, error.place.removeprefix("column "), error.value, error.expected)

    @property
    def error(self) -> BadInput:
        """It as an error."""
        row = f"row {self.row}"
        place = f"{row}, column {self.column}" if self.column else row
        return BadInput(place, self.value, self.expected)

    def __str__(self) -> str:
        where = f"{self.column}: " if self.column else ""
        return f"{where}{shown(self.value)} was given, expected {self.expected}."


@dataclass(frozen=True, slots=True)
class Row(Generic[Stored]):
    """One row and what it would do.

    Attributes
    ----------
    number : int
        In the file; that of the column names is 1.
    cells : sequence of str
    verdict : Verdict
    name : str
        What a person calls the thing: "Dunlin 2900".
    value : object or None
        The thing as it would be stored; None where it is refused.
    before : object or None
        As it is stored now; None where it is new or refused.
    changes : tuple of Change
    refusals : tuple of Refusal
    """

    number: int
    cells: Sequence[str]
    verdict: Verdict
    name: str = ""
    value: Stored | None = None
    before: Stored | None = None
    changes: tuple[Change, ...] = ()
    refusals: tuple[Refusal, ...] = ()


class Refused(Exception):
    """A row that cannot be read; carries everything that is wrong with it."""

    def __init__(self, errors: Sequence[BadInput], name: str = "") -> None:
        self.errors, self.name = tuple(errors), name
        super().__init__()
