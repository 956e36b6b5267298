"""Which of the shelf's columns there is room for, and how wide each is."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.services.shelf.answer_columns import (
    BAND,
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    LEFT,
    PRICE,
)

GIVEN_UP = (GAIN, PRICE, CHECK, LEFT, CHANCE, BAND)
"""Answers that stay out, in this order, where there is no room for all of them whole."""


@dataclass(frozen=True)
class Limits:
    """Widths in pixels: the least and the most of a name, the most of band and check."""

    name: tuple[int, int]
    band: int
    check: int


def share(
    room: int,
    wants: dict[str, int],
    names: int,
    answers_from: int,
    sorted_by: str,
    hidden: frozenset[str],
    limits: Limits,
) -> dict[str, int]:
    """Return the widths of the columns that show: answers first, then figures with room.

    Parameters
    ----------
    room : int
        Width of all together.
    wants : dict
        By key the width that a column would have.
    names, answers_from : int
        How many columns name what goes in; where those of answers begin.
    sorted_by : str
        Key of the column that sorts, which always shows.
    hidden : set of str
        Keys of columns that the person leaves out.
    """
    keys = list(wants)
    least_name, most_name = limits.name
    least = dict(wants)
    for key in keys[:names]:
        least[key] = min(max(least[key], least_name), most_name)
    chosen = [key for i, key in enumerate(keys) if i < names or key not in hidden]
    figures = [key for key in chosen if key in keys[names:answers_from]]
    # What a pair costs is what is left with it, where there is no room for both.
    spared = [key for key in (PRICE, CHANGE)[2 - names :] if key in chosen]
    shown = [key for key in chosen if key not in figures and key not in spared]
    spare = room - sum(least[key] for key in shown)
    if spare < 0:
        # A name may be cut before an answer is.
        for i, key in enumerate(keys[:names]):
            cut = max(min(least[key] - least_name, -(spare // (names - i))), 0)
            least[key] -= cut
            spare += cut
    given_up: list[str] = []
    for key in GIVEN_UP:
        if spare >= 0:
            break
        if key in shown and key != sorted_by:
            shown.remove(key)
            given_up.insert(0, key)
            spare += least[key]
    # A narrow one that matters less may have room where a wide one has none.
    for key in given_up:
        if least[key] <= spare:
            shown.append(key)
            spare -= least[key]
    for key in () if given_up else (*figures, *spared):
        if least[key] > spare:
            break
        shown.append(key)
        spare -= least[key]
    widths = {key: least[key] for key in shown}
    for key, most in ((BAND, limits.band), (CHECK, limits.check)):
        if key in widths:
            more = max(min(most - widths[key], spare // 2 if key == BAND else spare), 0)
            widths[key] += more
            spare -= more
    each = max(spare, 0) // len(shown)
    return {key: own + each for key, own in widths.items()}
