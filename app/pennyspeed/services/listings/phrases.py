"""Phrases: what the words around a quantity say of it."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from pennyspeed.services.listings.quantities import Quantity
from pennyspeed.services.listings.words import ENDINGS, LABELS, MEANINGS

_WORD = re.compile(r"\bi0\b|w/o\b|[^\W\d_]+(?:[-&][^\W\d_]+)*|@|ø|p&p", re.IGNORECASE)
_LISTED = re.compile(r" ?[,/|] ?")
_BREAK = re.compile(r":(?=\s)|[\n;()|•·,/!?]|(?<=\s)-(?=\s)|\.(?=\s|$)")
_STRONG = frozenset("\n;.!?|•")
_SHORT = "cont max min ca zzgl incl inkl no nr art dia approx mod spec excl wt"

STICKY = frozenset(("package", "bec", "fan", "charger", "nimh"))
"""Meanings that hold for the phrases after them too, up to the end of the sentence or line."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the text, in lower case."""

    text: str
    start: int
    end: int
    means: frozenset[str] = frozenset()


@dataclass(slots=True)
class Phrase:
    """A stretch between two marks of punctuation."""

    start: int
    end: int
    sentence: int
    """Counts up where one ends, as lines do."""
    words: list[Word] = field(default_factory=list)
    quantities: list[Quantity] = field(default_factory=list)
    means: set[str] = field(default_factory=set)
    carried: frozenset[str] = frozenset()
    """Sticky meanings of phrases before."""
    others: frozenset[str] = frozenset()
    """Units of what earlier phrases say that the part goes with."""


@dataclass(frozen=True, slots=True)
class Said:
    """A quantity with what is said of it.

    Attributes
    ----------
    before, after : frozenset of str
        Meanings of the words on either side, up to the next quantity of the phrase.
    means : frozenset of str
        Those that count as its own.
    is_listed : bool
        A bare number follows behind a comma, as in "Kv: 3000, 3500".
    """

    quantity: Quantity
    phrase: Phrase
    before: frozenset[str]
    after: frozenset[str]
    means: frozenset[str]
    is_listed: bool


def words_of(text: str) -> list[Word]:
    """Return the words of a text."""
    found = []
    for match in _WORD.finditer(text):
        word = match[0].casefold()
        means = MEANINGS.get(word)
        if means is None and "-" in word:
            means = MEANINGS.get(word.rpartition("-")[2])
        if means is None and len(word) > 5:
            means = next((MEANINGS.get(end) for end in ENDINGS if word.endswith(end)), None)
        found.append(Word(word, match.start(), match.end(), means or frozenset()))
    for i in range(len(found) - 1):
        one, two = found[i], found[i + 1]
        both = MEANINGS.get(f"{one.text} {two.text}")
        if both is not None and two.start - one.end == 1:
            found[i] = Word(one.text, one.start, one.end, both)
            found[i + 1] = Word(two.text, two.start, two.end)
    return found


def phrases_of(text: str, words: Iterable[Word], found: Sequence[Quantity]) -> list[Phrase]:
    """Return the phrases of a text, in order, with their words and quantities."""
    starts, ends = [one.start for one in found], [one.end for one in found]
    phrases: list[Phrase] = []
    start = sentence = 0
    for match in _BREAK.finditer(text):
        at = match.start()
        place = bisect_right(starts, at) - 1
        if place >= 0 and at < ends[place]:
            continue
        if match[0] == ":" and (at == 0 or text[at - 1].isalpha() or place < 0):
            continue  # behind a label; behind a title with figures the next begins
        if match[0] == "." and _ends_short(text, at):
            continue
        phrases.append(Phrase(start, at, sentence))
        start = match.end()
        sentence += match[0] in _STRONG
    phrases.append(Phrase(start, len(text), sentence))
    begins = [phrase.start for phrase in phrases]
    for one in found:
        phrases[max(bisect_right(begins, one.start) - 1, 0)].quantities.append(one)
    for word in words:
        place = bisect_right(starts, word.start) - 1
        if place >= 0 and word.start < ends[place]:
            if word.end <= ends[place]:
                continue
            word = replace(word, start=ends[place])  # "5-mm-shaft"
        phrase = phrases[max(bisect_right(begins, word.start) - 1, 0)]
        phrase.words.append(word)
        phrase.means |= word.means
    _carry(phrases)
    return phrases


def _ends_short(text: str, at: int) -> bool:
    """Tell whether a full stop ends an abbreviation."""
    word = re.search(r"[^\W\d_]{1,8}\Z", text[max(at - 8, 0) : at])
    return word is not None and word[0].casefold() in _SHORT.split()


def _carry(phrases: Sequence[Phrase]) -> None:
    carried: frozenset[str] = frozenset()
    others: frozenset[str] = frozenset()
    sentence = -1
    for phrase in phrases:
        if phrase.sentence != sentence:
            carried, others, sentence = frozenset(), frozenset(), phrase.sentence
        phrase.carried, phrase.others = carried, others
        carried |= phrase.means & STICKY
        suits = next((one.end for one in phrase.words if "suits" in one.means), phrase.end)
        others |= {one.unit for one in phrase.quantities if one.start >= suits}


def said_of(text: str, phrases: Sequence[Phrase]) -> list[Said]:
    """Return every quantity with what is said of it."""
    found: list[Said] = []
    for i, phrase in enumerate(phrases):
        heading = _heading(text, phrases, i)
        for place, one in enumerate(phrase.quantities):
            remark = _remark(text, phrases, i) if place + 1 == len(phrase.quantities) else None
            found.append(_said(phrase, place, one, heading, remark or frozenset()))
    for i in range(len(found) - 1):
        one, two = found[i].quantity, found[i + 1].quantity
        if not two.unit and _LISTED.fullmatch(text[one.end : two.start]):
            found[i] = replace(found[i], is_listed=True)
    return found


def _said(
    phrase: Phrase,
    place: int,
    one: Quantity,
    heading: frozenset[str],
    remark: frozenset[str],
) -> Said:
    own = phrase.quantities
    since = own[place - 1].end if place else phrase.start
    until = own[place + 1].start if place + 1 < len(own) else phrase.end
    words_before = [word for word in phrase.words if since <= word.start < one.start]
    before = frozenset().union(*(word.means for word in words_before))
    after = frozenset().union(
        *(word.means for word in phrase.words if one.end <= word.start < until)
    )
    if len(own) == 1:
        means = before | after
    else:
        is_label_first = any(
            word.means & LABELS for word in phrase.words if word.start < own[0].start
        )
        means = before if is_label_first else after
    if place == 0 and not before:
        means |= heading
    return Said(one, phrase, before, after | remark, means | remark, False)


def _remark(text: str, phrases: Sequence[Phrase], i: int) -> frozenset[str]:
    """Return what a remark in brackets says that follows a phrase: "380A (burst)"."""
    if i + 1 >= len(phrases):
        return frozenset()
    after = phrases[i + 1]
    is_remark = after.start > 0 and text[after.start - 1] == "(" and not after.quantities
    is_close = phrases[i].quantities[-1].end >= after.start - 3
    return frozenset(after.means) if is_remark and is_close else frozenset()


def _heading(text: str, phrases: Sequence[Phrase], i: int) -> frozenset[str]:
    """Return what a label says that stands alone before a phrase: in a line or in brackets."""
    phrase = phrases[i]
    if i == 0 or not phrase.quantities or text[phrase.start - 1] not in "\n):":
        return frozenset()
    found: set[str] = set()
    for earlier in reversed(phrases[max(i - 3, 0) : i]):
        if text[earlier.start - 1 : earlier.start] == "(":
            continue  # a remark, as "(LxWxH)"
        same_line = earlier.sentence >= phrase.sentence - 1
        known = all(word.means for word in earlier.words)
        if earlier.quantities or not same_line or len(earlier.words) > 3 or not known:
            break
        found |= earlier.means
        if found:
            break
    return frozenset(found)
