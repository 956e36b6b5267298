"""Which rows the shelf shows, in which order they stand, and which of them are in sight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pennyspeed.services.shelf.answer_columns import (
    BAND,
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    LEFT,
    SPEED,
)
from pennyspeed.services.shelf.answers import Answers
from pennyspeed.services.shelf.stock import Keys, ordered


@dataclass(frozen=True)
class Arrangement:
    """Which rows are shown, and by which column they are sorted; safe in any thread.

    Attributes
    ----------
    keys : array or None
        What sorts them where that is a figure of the parts themselves.
    first : array
        What sorts them before anything is answered.
    kept : array of bool or None
        What narrowing leaves; all where None.
    """

    count: int
    keys: Keys | None
    first: Keys
    column: str
    descending: bool
    kept: NDArray[np.bool_] | None
    fits_only: bool

    def rows(self, answers: Answers | None) -> NDArray[np.integer]:
        """Return the rows in their order: those that fit first."""
        rows = np.arange(self.count) if self.kept is None else np.flatnonzero(self.kept)
        unfit = None if answers is None else ~answers.concern.fits
        if unfit is not None and self.fits_only:
            rows = rows[~unfit[rows]]
        keys = self.keys
        if keys is None:
            if answers is None:
                return ordered(self.first, rows, False)
            keys = answer_keys(answers, self.column)
        return ordered(keys, rows, self.descending, unfit)


def answer_keys(answers: Answers, column: str) -> Keys:
    """Return what a column of answers is sorted by."""
    found, concern = answers.found, answers.concern
    if column == CHECK:
        return np.asarray(concern.worst * len(found.levels) + concern.check, dtype=float)
    if column == LEFT:
        return np.full(len(found), np.nan) if found.left is None else found.left.astype(float)
    if column == CHANGE:
        return found.cost_change.astype(float)
    columns = {BAND: answers.p10, SPEED: answers.speed, GAIN: answers.gain, CHANCE: answers.chance}
    return columns[column]


def in_sight(
    rows: NDArray[np.integer], anchor: int, above: int | None, room: int
) -> NDArray[np.integer]:
    """Return those of arranged rows that are in sight with `above` of them above the anchor.

    `anchor` is its place in the stock, −1 where the list begins at its top.
    """
    at = np.flatnonzero(rows == anchor)
    first = first_in_sight(int(at[0]), above, room, len(rows)) if at.size else 0
    return rows[first : first + room]


def first_in_sight(row: int, above: int | None, room: int, count: int) -> int:
    """Return the first row in sight that leaves `above` rows above `row`.

    Where that may change, the list begins at its top, or has the row in its middle.
    """
    if above is None:
        above = row if row < room else room // 2
    return max(min(row - above, count - room), 0)
