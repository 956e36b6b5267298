"""Names in a listing: what the part is called, and what its connector is."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pennyspeed.services.listings.phrases import Phrase, Word
from pennyspeed.services.listings.quantities import Quantity
from pennyspeed.services.listings.words import ENDINGS, KIND_OF_THING, KNOWN

_TOKEN = re.compile(r"[^\s,;:!?()\[\]\"|*#_]+")
_END_OF_TITLE = re.compile(r"[,;.](?=\s)|[|•]")
_LAST_WORD = re.compile(r"[^\W\d_]+\Z")
_TITLE = 120
"""A name stands in the first so many characters of its line."""
_NAME_UNITS = frozenset(("", "t", "s", "sp", "teeth", "a", "cells"))
"""Of figures that makers put into names."""
_MOST_TOKENS = 4

_CODE = re.compile(r"[A-Z]{1,4}-?[0-9]{1,3}[A-Z]?")
_CODE_BEHIND = re.compile(r"\s{0,2}[:=]?\s{0,2}(?:type |typ )?([A-Z]{1,4}-?[0-9]{1,3}[A-Z]?)\b")
_NO_CONNECTOR = (
    "gold golden male female power original new with mit no without same of the and und or usb "
    "balance balancer fitted your our his battery goldene"
)


def name_of(text: str, found: Sequence[Quantity]) -> tuple[int, int] | None:
    """Return the place of the name: an unknown word with a capital, and what belongs to it.

    It stands in the first line that says anything. Any word may begin a line, so that one alone
    is a name only behind the word for the thing, or in quotes, or behind a label. None where there
    is none.
    """
    begin = len(text) - len(text.lstrip())
    end = text.find("\n", begin)
    end = min(len(text) if end < 0 else end, begin + _TITLE)
    broken = _END_OF_TITLE.search(text, begin, end)
    end = end if broken is None else broken.start()
    inside = {place for one in found if one.unit for place in range(one.start + 1, one.end)}
    by_start = {one.start: one for one in found}
    first = last = -1
    count = 0
    for match in _TOKEN.finditer(text, begin, end):
        token = match[0].rstrip(".")
        word = token.casefold().strip("'-")
        quantity = by_start.get(match.start())
        if first < 0:
            if match.start() not in inside and _begins_name(token, word):
                first, last, count = match.start(), match.start() + len(token), 1
            continue
        if match.start() in inside:
            break
        is_next = text[last : match.start()].strip(" ") == "" and count < _MOST_TOKENS
        if not is_next or not _goes_on(token, word, quantity, match.end()):
            break
        last, count = match.start() + len(token), count + 1
    if first < 0 or not (count > 1 or _is_introduced(text, begin, first)):
        return None
    return first, last


def _is_introduced(text: str, begin: int, first: int) -> bool:
    """Tell whether a word is one that a text presents as a name."""
    before = text[max(begin, first - 40) : first].rstrip(" ")
    if before.endswith(('"', ":")):
        return True
    word = _LAST_WORD.search(before)
    return word is not None and (
        word[0].casefold() in KIND_OF_THING or _is_thing(word[0].casefold())
    )


def _is_thing(word: str) -> bool:
    return len(word) > 6 and any(word.endswith(end) for end in ENDINGS if end in KIND_OF_THING)


def _is_known(word: str) -> bool:
    parts = re.split(r"[-/&+]", word)
    known = word in KNOWN or all(part in KNOWN for part in parts if part)
    return known or (len(word) > 6 and word.endswith(ENDINGS))


def _begins_name(token: str, word: str) -> bool:
    letters = [letter for letter in token if letter.isalpha()]
    return (
        len(letters) >= 3
        and token[0].isupper()
        and all(letter.isalpha() or letter in "'-" for letter in token)
        and not _is_known(word)
    )


def _goes_on(token: str, word: str, quantity: Quantity | None, end: int) -> bool:
    if any(letter.isdigit() for letter in token):
        if quantity is None:
            return token[0].isalnum() and len(token) <= 8
        is_close = quantity.end <= end
        return is_close and not quantity.money and quantity.unit in (*_NAME_UNITS, "mm")
    return token[0].isupper() and (not _is_known(word) or word == "pro")


def connector_beside(text: str, phrase: Phrase, word: Word) -> tuple[int, int] | None:
    """Return the place of a connector's name beside the word for one; None where there is none."""
    behind = _CODE_BEHIND.match(text, word.end)
    if behind is not None:
        return behind.span(1)
    if "-" in word.text:
        return word.start, word.end  # "T-Stecker"
    before = [one for one in phrase.words if one.end <= word.start]
    tokens = list(_TOKEN.finditer(text, phrase.start, word.start))
    while tokens and tokens[-1][0].casefold() in ("battery", "akku", "pack"):
        tokens.pop()
    if not tokens:
        return None
    token = tokens[-1]
    code = token[0].rstrip("-")
    if _CODE.fullmatch(code):
        return token.start(), token.start() + len(code)
    said = token[0].casefold()
    is_word = bool(before) and token[0].isalpha() and tokens[-1].end() >= word.start - 1
    is_word &= len(said) > 1 or token[0].isupper()
    if is_word and not _is_known(said) and said not in _NO_CONNECTOR.split():
        return token.start(), word.end
    return None
