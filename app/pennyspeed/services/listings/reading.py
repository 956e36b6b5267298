"""Reading a listing: kind, figures, the words that they came from, and what was not understood."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.money.money import Money
from pennyspeed.services.listings.claims import Claim, Claimed, claims_of
from pennyspeed.services.listings.kind_evidence import Things, kinds_told
from pennyspeed.services.listings.names import name_of
from pennyspeed.services.listings.phrases import phrases_of, said_of, words_of
from pennyspeed.services.listings.prices import price_claims
from pennyspeed.services.listings.quantities import plain_text, quantities_of

LONGEST = 20_000
"""The most characters of a listing."""

MOST_NUMBERS = 500
"""The most numbers of a listing; a table has more, and is brought in as one."""

_SAME_TO = 0.003
"""Relative; 3.17 mm and 1/8" are one shaft."""
_WORDLIKE = re.compile(r"\w")


class State(StrEnum):
    """How a figure stands in the text."""

    GIVEN = "given"
    CONFLICT = "conflict"
    """Several values are claimed for it; none is taken until a person chooses."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the text as it was pasted.

    Attributes
    ----------
    start, end : int
        Its place in the text, without the line's end.
    pieces : tuple of (int, int, tuple of str)
        The whole line in order: start, end, and the keys that this piece gave; no key where it
        was not understood.
    """

    start: int
    end: int
    pieces: tuple[tuple[int, int, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Reading:
    """What was read.

    Attributes
    ----------
    text : str
        As it was pasted; every place counts its characters.
    kind_key : str
        "" where it fits several kinds, or none.
    kinds : tuple of str
        Those that it fits.
    claims : tuple of Claim
        In the text's order; none without a kind.
    note : str
        One sentence where the kind is not plain; "" else.
    """

    text: str
    kind_key: str
    kinds: tuple[str, ...]
    claims: tuple[Claim, ...]
    note: str = ""

    @cached_property
    def by_key(self) -> dict[str, tuple[Claim, ...]]:
        """Key to its claims, in the order of the kind's fields: name first, price last."""
        if not self.kind_key:
            return {}
        keys = ("name", *(field.key for field in BY_KEY[self.kind_key].fields), "price")
        found = {key: tuple(one for one in self.claims if one.key == key) for key in keys}
        return {key: claims for key, claims in found.items() if claims}

    def state_of(self, key: str) -> State | None:
        """Return how a figure stands; None where nothing is said of it."""
        claims = self.by_key.get(key)
        if not claims:
            return None
        return State.GIVEN if len(distinct(claims)) == 1 else State.CONFLICT

    @property
    def given(self) -> dict[str, Claimed]:
        """Key to the value that stands there, where there is one."""
        return {
            key: distinct(claims)[0].value
            for key, claims in self.by_key.items()
            if self.state_of(key) is State.GIVEN
        }

    @property
    def conflicts(self) -> dict[str, tuple[Claim, ...]]:
        """Key to the claims that contend for it, one for each value."""
        return {
            key: distinct(claims)
            for key, claims in self.by_key.items()
            if self.state_of(key) is State.CONFLICT
        }

    def words(self, claim: Claim) -> str:
        """Return the words that a claim came from."""
        return self.text[claim.start : claim.end]

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The text's lines, in order, each cut where something was understood."""
        found, start = [], 0
        for row in self.text.split("\n"):
            end = start + len(row)
            found.append(Line(start, end, tuple(self._pieces(start, end))))
            start = end + 1
        return tuple(found)

    @property
    def not_understood(self) -> list[tuple[int, int]]:
        """Places of what nothing was read from, in order, without the space around them."""
        found = []
        for line in self.lines:
            for start, end, keys in line.pieces:
                piece = self.text[start:end]
                if not keys and _WORDLIKE.search(piece):
                    bare = piece.strip(" \t\r,;.:|•-–()")
                    at = start + piece.index(bare)
                    found.append((at, at + len(bare)))
        return found

    def _pieces(self, start: int, end: int) -> Iterable[tuple[int, int, tuple[str, ...]]]:
        spans: dict[tuple[int, int], list[str]] = {}
        for one in self.claims:
            if start <= one.start < end:
                spans.setdefault((one.start, min(one.end, end)), []).append(one.key)
        at = start
        for (first, last), keys in sorted(spans.items()):
            if first < at:
                first = at
            if first > at:
                yield at, first, ()
            if last > first:
                yield first, last, tuple(dict.fromkeys(keys))
                at = last
        if at < end:
            yield at, end, ()


def read_listing(text: str, kind_key: str = "", currency: str = "") -> Reading:
    """Return what a text says of one part.

    Parameters
    ----------
    kind_key : str
        Where the person says which kind it is; "" has the text tell.
    currency : str
        The person's own, which a bare $ may be of.

    Raises
    ------
    UserError
        For a blank text, one too long or with too many numbers, and an unknown kind.
    """
    if kind_key and kind_key not in BY_KEY:
        raise BadInput("kind", kind_key, "one of " + ", ".join(BY_KEY))
    if len(text) > LONGEST:
        raise UserError(f"The listing has {len(text):,} characters, expected at most {LONGEST:,}.")
    if not text.strip():
        raise BadInput("listing", None, "a few lines from a shop's page or a message")
    plain = plain_text(text)
    found = quantities_of(plain)
    if len(found) > MOST_NUMBERS:
        raise UserError(f"The listing has {len(found):,} numbers, expected at most {MOST_NUMBERS}.")
    phrases = phrases_of(plain, words_of(plain), found)
    things = Things.of(phrases)
    said = [one for one in said_of(plain, phrases) if one.phrase.start not in things.elsewhere]
    kinds = kinds_told(phrases, said, things)
    chosen = kind_key or (kinds[0] if len(kinds) == 1 else "")
    note = _note(kinds, kind_key)
    if not chosen:
        return Reading(text, "", kinds, (), note)
    claims = claims_of(chosen, plain, said, phrases)
    claims += price_claims(plain, said, currency)
    name = name_of(plain, found)
    if name is not None:
        claims.append(Claim("name", text[slice(*name)], *name))
    fitting = [one for one in claims if _fits(chosen, one)]
    fitting.sort(key=lambda one: (one.start, one.end))
    return Reading(text, chosen, kinds, tuple(fitting), note)


def _fits(kind_key: str, claim: Claim) -> bool:
    """Tell whether the kind's field takes what is claimed for it."""
    if claim.key in ("name", "price"):
        return True
    field = BY_KEY[kind_key].field(claim.key)
    try:
        return field.checked(claim.value, field.label) is not None
    except BadInput:
        return False


def distinct(claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """Return the first claim of each value that differs from those before."""
    found: list[Claim] = []
    for one in claims:
        if not any(_same(one.value, other.value) for other in found):
            found.append(one)
    return tuple(found)


def _same(one: Claimed, other: Claimed) -> bool:
    if isinstance(one, tuple) and isinstance(other, tuple):
        return all(map(_same, one, other))
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=_SAME_TO)
    if isinstance(one, str) and isinstance(other, str):
        return one.casefold() == other.casefold()
    return isinstance(one, Money) and one == other


def _note(kinds: Sequence[str], asked: str) -> str:
    labels = [BY_KEY[kind].label for kind in kinds]
    if asked:
        label = BY_KEY[asked].label
        if not kinds:
            return f"Nothing in the text says that it is a {label}."
        return "" if asked in kinds else f"This reads like a {labels[0]}, not like a {label}."
    if len(labels) > 1:
        told = f"{', '.join(labels[:-1])} and {labels[-1]}"
        return f"This fits {told}: say which one it is; nothing is stored."
    return "" if labels else "This fits no kind of part: say which one it is; nothing is stored."
