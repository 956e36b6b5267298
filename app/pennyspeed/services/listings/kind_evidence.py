"""Which kind of part a text is about, by its words and its figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from pennyspeed.services.listings.phrases import Phrase, Said
from pennyspeed.services.listings.rules import UNIT_OF_LABEL
from pennyspeed.services.listings.words import ACCESSORIES, ENDINGS, KIND_OF_THING

_NAMED, _FIRST = 5, 3
"""Weight of a kind's own word, and of being the first thing that is named."""
_LEADS = 5
"""Of beginning a sentence, behind another thing: a second part is offered."""
_ENOUGH, _APART = 4, 3
"""What the strongest kind needs, and by how much it leads the next that has enough."""

# Units that tell a kind, with their weight (common practice, no source).
_BY_UNIT: dict[str, dict[str, int]] = {
    "kv": {"motor": 4},
    "poles": {"motor": 2},
    "uh": {"motor": 2},
    "mah": {"pack": 4},
    "ah": {"pack": 3},
    "c": {"pack": 2},
    "sp": {"pack": 3},
    "erpm": {"controller": 4},
    "teeth": {"pinion": 1, "spur": 1},
    "pitch": {"pinion": 1, "spur": 1},
    "module": {"pinion": 1, "spur": 1},
    "drag": {"body": 4},
}
_BY_MEANING: dict[str, dict[str, int]] = {
    "bec": {"controller": 2},
    "wheelbase": {"chassis": 2},
    "bore": {"pinion": 2},
    "shaft": {"motor": 1, "pinion": 1},
    "burst": {"controller": 1, "pack": 1},
    "no load": {"motor": 2},
    "nimh": {"controller": 1},
}
_BOTH_GEARS = ("pinion", "spur")


def kinds_told(phrases: Sequence[Phrase], said: Sequence[Said]) -> tuple[str, ...]:
    """Return the kinds that a text fits: one, several that it could be, or none.

    >>> from pennyspeed.services.listings.reading import read_listing
    >>> read_listing("23T 48p gear").kinds
    ('pinion', 'spur')
    """
    weights: dict[str, int] = defaultdict(int)
    things, leading = _things(phrases)
    for place, thing in enumerate(dict.fromkeys(things)):
        for kind in _BOTH_GEARS if thing == "gear" else (thing,):
            weights[kind] += 3 if thing == "gear" else _NAMED
            weights[kind] += _FIRST if place == 0 else _LEADS if thing in leading else 0
    units = {
        one.quantity.unit or UNIT_OF_LABEL.get(one.label, "")
        for one in said
        if not one.before & {"suits", "for"}
    }
    meanings = set().union(*(phrase.means for phrase in phrases))
    for table, found in ((_BY_UNIT, units), (_BY_MEANING, meanings)):
        for key in found:
            for kind, weight in table.get(key, {}).items():
                weights[kind] += weight
    if "kv" in units and "none" in things:
        weights["motor"] -= _BY_UNIT["kv"]["motor"]  # kilovolts
    return _strongest(weights)


def _strongest(weights: dict[str, int]) -> tuple[str, ...]:
    ranked = sorted(weights.items(), key=lambda item: -item[1])
    if not ranked or ranked[0][1] < _ENOUGH or ranked[0][0] == "none":
        return ()
    best = ranked[0][1]
    near = [kind for kind, weight in ranked if weight >= _ENOUGH and weight > best - _APART]
    return tuple(sorted(one for one in near if one != "none")) if "none" not in near else ()


def _things(phrases: Sequence[Phrase]) -> tuple[list[str], set[str]]:
    """Return what things a text names as its own, in order, and those that begin a sentence."""
    found: list[str] = []
    leading: set[str] = set()
    sentence = -1
    for phrase in phrases:
        begins, sentence = phrase.sentence != sentence, phrase.sentence
        if phrase.means & {"not", "sold"}:
            continue
        for i, word in enumerate(phrase.words):
            if word.means & {"for", "suits", "without", "old price"}:
                break
            thing = KIND_OF_THING.get(word.text) or _by_ending(word.text)
            if thing is None:
                if word.text in ACCESSORIES and _follows_thing(phrase, i):
                    found[-1:] = ["extras"]
                continue
            if thing == "none" and _follows_thing(phrase, i):
                found[-1:] = []  # a battery charger is no battery
            follows = phrase.words[i + 1].text if i + 1 < len(phrase.words) else ""
            if follows in ("connector", "plug", "stecker", "lead", "leads", "cable", "kabel"):
                continue
            if thing == "pack" and _is_chemistry(phrase, i):
                continue
            found.append(thing)
            if begins and i == 0 and phrase.quantities:
                leading.add(thing)
    return found, leading


def _follows_thing(phrase: Phrase, i: int) -> bool:
    if not i:
        return False
    before, word = phrase.words[i - 1], phrase.words[i]
    return word.start - before.end == 1 and before.text in KIND_OF_THING


def _is_chemistry(phrase: Phrase, i: int) -> bool:
    """Tell whether a word says what cells a controller takes: "2-3S LiPo"."""
    word = phrase.words[i].text
    ranges = [one for one in phrase.quantities if one.unit in ("s", "cells", "v")]
    is_last = i + 1 == len(phrase.words)
    return word.startswith("lipo") and bool(ranges) and is_last and len(phrase.words) <= 3


def _by_ending(word: str) -> str | None:
    if len(word) < 7:
        return None
    return next((KIND_OF_THING.get(end) for end in ENDINGS if word.endswith(end)), None)
