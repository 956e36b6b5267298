"""A pasted listing beside a part's form: words in lines, and the field that each one goes to."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from pennyspeed.domain.errors import UserError
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Draw
from pennyspeed.domain.parts.provenance import Provenance, usual_spread
from pennyspeed.services.editing.figures import shown_value
from pennyspeed.services.listings import Reading, State, read_listing
from pennyspeed.services.listings.claims import Claimed
from pennyspeed.services.listings.reading_text import shown

FEWEST = 2
"""So many figures make a text a listing; fewer are pasted as they stand."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the listing, or several that are one figure.

    Attributes
    ----------
    start, end : int
        Its place in the text.
    keys : tuple of str
        The fields that it says something about.
    """

    text: str
    start: int
    end: int
    keys: tuple[str, ...] = ()
    tail: str = ""
    """What follows without a space and is not part of it, such as a comma."""


Line = tuple[Word, ...]


def is_listing(reading: Reading) -> bool:
    """Tell whether a pasted text is a listing rather than what goes into one field."""
    if "\n" in reading.text.strip():
        return True
    figures = {one.key for one in reading.claims if one.key != "name"}
    return len(figures) >= FEWEST or (not reading.kind_key and len(reading.text.split()) > FEWEST)


def lines_of(reading: Reading, width: Callable[[Word], float], room: float) -> list[Line]:
    """Return the text's lines in their order, the long ones cut where a word has no room.

    `width` is that of a word with the space behind it.
    """
    found: list[Line] = []
    for line in reading.lines:
        row: list[Word] = []
        at = 0.0
        for word in _words(reading, line.pieces):
            wide = width(word)
            if row and at + wide > room:
                found.append(tuple(row))
                row, at = [], 0.0
            row.append(word)
            at += wide
        if row:
            found.append(tuple(row))
    return found


def _words(reading: Reading, pieces: tuple[tuple[int, int, tuple[str, ...]], ...]) -> list[Word]:
    found = []
    for start, end, keys in pieces:
        piece = reading.text[start:end]
        if keys:
            found.append(Word(" ".join(piece.split()), start, end, keys))
            continue
        at = 0
        for text in piece.split():
            at = piece.index(text, at)
            if found and at == 0 and found[-1].end == start and not text[:1].isalnum():
                # a comma stays with the figure that it follows
                found[-1] = replace(found[-1], tail=text)
            else:
                found.append(Word(text, start + at, start + at + len(text)))
            at += len(text)
    return found


def field_text(kind: Kind, key: str, value: Claimed, measures: Measures) -> str:
    """Return a claimed value as the form's field holds it."""
    if isinstance(value, Money):
        return measures.money(value)
    if key == "name":
        return str(value)
    return shown_value(kind.field(key), value, measures)


def texts_of(reading: Reading, kind: Kind, measures: Measures) -> dict[str, str]:
    """Return what the fields hold of the figures that are plain, by their keys."""
    return {key: field_text(kind, key, value, measures) for key, value in reading.given.items()}


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the figure of a field comes from, in words, and whether a person has to look."""

    words: str
    is_open: bool = False


def origins(
    reading: Reading,
    kind: Kind,
    texts: Mapping[str, str],
    taken: Collection[str],
    measures: Measures,
) -> dict[str, Origin]:
    """Return what stands beside each field that the listing speaks of.

    `texts` is what the fields hold, `taken` the keys whose text came from the listing.
    """
    found = {}
    for key in reading.by_key:
        text = texts.get(key, "").strip()
        if reading.state_of(key) is State.CONFLICT and not text:
            says = " and ".join(
                _bare(shown(reading, key, one.value, measures)) for one in reading.conflicts[key]
            )
            found[key] = Origin(f"says {says}", is_open=True)
        elif key in taken:
            found[key] = Origin("the listing" + _spread(kind, key))
        else:
            found[key] = Origin(f"you typed {text}" if text else "left out")
    return found


def _bare(text: str) -> str:
    """Return a figure without its unit; a name stays whole."""
    number, _, unit = text.partition(" ")
    return number if number[:1].isdigit() and " " not in unit else text


def _spread(kind: Kind, key: str) -> str:
    """Return how far a maker's figure may be off, where that moves the speed."""
    field = next((one for one in kind.fields if one.key == key), None)
    if field is None or field.draw is Draw.EXACT:
        return ""
    share = usual_spread(Provenance.MAKER, field.draw is Draw.FIRM)
    return f", ±{100 * share:.0f} %"


def is_listing_text(text: str, kind_key: str, currency: str) -> bool:
    """Tell whether a text that is pasted into a field of a part's form is a listing."""
    try:
        return is_listing(read_listing(text, kind_key, currency))
    except UserError:
        return "\n" in text.strip()


Offer = tuple[str, str, str]
"""What a person reads, a field's key, and the text that it would hold."""


def offers_of(
    word: Word, reading: Reading, kind: Kind, empty: Sequence[tuple[str, str]], measures: Measures
) -> list[Offer]:
    """Return what a word may be: each of the values that contend, or a field that is empty.

    `empty` are labels and keys of the fields that hold nothing. [] where it is plain.
    """
    found = [
        (text, key, text)
        for key, claims in reading.conflicts.items()
        if key in word.keys
        for text in (field_text(kind, key, one.value, measures) for one in claims)
    ]
    if found or word.keys:
        return found
    said = word.text.strip(",;.()")
    return [(label, key, said) for label, key in empty]
