"""Finding: which parts, builds, slots and actions a few typed letters mean, best first."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from heapq import nsmallest

from pennyspeed.services.short_ids import id_in

MOST = 60
"""How many are listed; who needs more types another letter."""

_BREAKS = re.compile(r"[\W_]+")
_MARKS = {code: " " for code in range(128) if not chr(code).isalnum()}


def plain(text: str) -> str:
    """Return `text` without case, accents and marks, one space between words.

    >>> plain("Lärche 36-3300, 52.00 EUR")
    'larche 36 3300 52 00 eur'
    """
    text = text.casefold()
    if text.isascii():
        return " ".join(text.translate(_MARKS).split())
    spread = unicodedata.normalize("NFKD", text)
    return _BREAKS.sub(" ", "".join(c for c in spread if not unicodedata.combining(c))).strip()


@lru_cache(maxsize=256)
def _spaced(text: str) -> str:
    return f" {plain(text)} "


@dataclass(slots=True)
class SearchEntry:
    """Something that can be gone to or done.

    Attributes
    ----------
    group : str
        What it is, in a word or two: "motor", "build", "do".
    note : str
        What stands at the end of its row: a price, a key.
    act : callable
        Goes there, or does it.
    rank : int
        Smaller comes first among equals.
    more : str
        Further words by which it is found.
    is_deed : bool
        Whether going there changes something.
    """

    group: str
    name: str
    note: str
    act: Callable[[], object] = field(compare=False)
    icon: str = ""
    rank: int = 0
    more: str = ""
    is_deed: bool = False
    _name: str = field(init=False, default="", compare=False)
    _rest: str = field(init=False, default="", compare=False)

    def __post_init__(self) -> None:
        # A space before every word makes the start of a word a plain search.
        self._name = f" {plain(self.name)} "
        self._rest = _spaced(f"{self.group} {self.more}")

    def score(self, words: list[str]) -> int:
        """Return how well it answers to `words`; 0 where one of them is not in it."""
        total = 0
        name, rest = self._name, self._rest
        for word in words:
            start = f" {word}"
            if start in name:
                total += 6 + 2 * name.startswith(start) + (f"{start} " in name)
            elif start in rest:
                total += 3
            elif word in name:
                total += 1
            else:
                return 0
        if len(words) > 1 and name.startswith(f" {' '.join(words)}"):
            total += 4
        return total


def find(things: Iterable[SearchEntry], typed: str) -> list[SearchEntry]:
    """Return the things in which every typed word is found, the best answers first, deeds last.

    Words that begin with what was typed come before those that merely hold it; a shorter name
    comes before a longer one. With nothing typed, everything, by rank.

    >>> do = lambda: None
    >>> motors = [SearchEntry("motor", n, "", do) for n in ("Kestrel 36", "Larch 3640", "Arch 36")]
    >>> [one.name for one in find(motors, "arch")]
    ['Arch 36', 'Larch 3640']
    """
    # what a camera reads from a printed sheet may be typed or pasted as it is
    words = plain(id_in(typed)).split()
    if not words:
        return nsmallest(MOST, things, key=lambda one: (one.is_deed, one.rank))
    scores = [(one.score(words), one) for one in things]
    found: list[SearchEntry] = []
    for deeds in (False, True):
        good = (pair for pair in scores if pair[0] and pair[1].is_deed is deeds)
        best = nsmallest(MOST, good, key=lambda pair: (-pair[0], pair[1].rank, len(pair[1].name)))
        found += [one for _, one in best]
    return found
