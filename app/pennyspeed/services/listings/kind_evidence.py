"""Which kind of part a text is about, by its words and its figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from pennyspeed.services.listings.claims import readings
from pennyspeed.services.listings.phrases import Phrase, Said
from pennyspeed.services.listings.quantities import Quantity
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
_LEAST_KV = 300
_BOTH_GEARS = ("pinion", "spur")


def kinds_told(phrases: Sequence[Phrase], said: Sequence[Said], things: Things) -> tuple[str, ...]:
    """Return the kinds that a text fits: one, several that it could be, or none.

    >>> from pennyspeed.services.listings.reading import read_listing
    >>> read_listing("23T 48p gear").kinds
    ('pinion', 'spur')
    """
    weights: dict[str, int] = defaultdict(int)
    for place, thing in enumerate(dict.fromkeys(things.named)):
        for kind in _BOTH_GEARS if thing == "gear" else (thing,):
            weights[kind] += 3 if thing == "gear" else _NAMED
            weights[kind] += _FIRST if place == 0 else _LEADS if thing in things.leading else 0
    own = [one.quantity for one in said if not one.before & {"suits", "for"}]
    units = {one.unit for one in own if one.unit != "kv" or _is_motors(one)}
    meanings = set().union(*(phrase.means for phrase in phrases))
    for table, found in ((_BY_UNIT, units), (_BY_MEANING, meanings)):
        for key in found:
            for kind, weight in table.get(key, {}).items():
                weights[kind] += weight
    if "kv" in units and "none" in things.named:
        weights["motor"] -= _BY_UNIT["kv"]["motor"]  # kilovolts
    together = {thing for thing in (*things.named, *things.beside) if thing not in ("gear", "none")}
    if "combo" in meanings and len(together) > 1:
        return tuple(sorted(together))
    return _strongest(weights)


def _is_motors(kv: Quantity) -> bool:
    """Tell whether a Kv may be a motor's; of kilovolts there are fewer."""
    return any(value >= _LEAST_KV for number in kv.numbers for value in readings(number))


def _strongest(weights: dict[str, int]) -> tuple[str, ...]:
    ranked = sorted(weights.items(), key=lambda item: -item[1])
    if not ranked or ranked[0][1] < _ENOUGH or ranked[0][0] == "none":
        return ()
    best = ranked[0][1]
    near = [kind for kind, weight in ranked if weight >= _ENOUGH and weight > best - _APART]
    return tuple(sorted(one for one in near if one != "none")) if "none" not in near else ()


@dataclass(slots=True)
class Things:
    """What things a text names.

    Attributes
    ----------
    named, beside : list of str
        As its own, in order; and what comes with it.
    leading : set of str
        Those that begin a sentence.
    elsewhere : set of int
        Where phrases begin that are about another part than the text's.
    """

    named: list[str] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)
    leading: set[str] = field(default_factory=set)
    elsewhere: set[int] = field(default_factory=set)

    @classmethod
    def of(cls, phrases: Sequence[Phrase]) -> Things:
        """Return what things the phrases of a text name."""
        found = cls()
        sentence = -1
        for phrase in phrases:
            begins, sentence = phrase.sentence != sentence, phrase.sentence
            if not phrase.means & {"not", "sold"}:
                found._take(phrase, begins)
        return found

    def _take(self, phrase: Phrase, begins: bool) -> None:
        comes_with = False
        for i, word in enumerate(phrase.words):
            if word.means & {"for", "suits", "without", "old price"}:
                break
            comes_with |= "beside" in word.means
            thing = KIND_OF_THING.get(word.text) or _by_ending(word.text)
            if thing is None:
                if word.text in ACCESSORIES and _follows_thing(phrase, i):
                    self.named[-1:] = ["extras"]
                continue
            if thing == "none" and _follows_thing(phrase, i):
                self.named[-1:] = []  # a battery charger is no battery
            if comes_with:
                self.beside.append(thing)
            elif thing == "motor" and "max" in phrase.means and "controller" in self.named:
                self.elsewhere.add(phrase.start)  # "motor limit: 3000KV"
            elif not _is_aside(phrase, i, thing, self.named):
                self.named.append(thing)
                if begins and i == 0 and phrase.quantities:
                    self.leading.add(thing)


def _is_aside(phrase: Phrase, i: int, thing: str, named: Sequence[str]) -> bool:
    """Tell whether a word for a thing is no thing of its own: a lead, a count, a chemistry."""
    word = phrase.words[i]
    follows = phrase.words[i + 1].text if i + 1 < len(phrase.words) else ""
    if follows in ("connector", "plug", "stecker", "lead", "leads", "cable", "kabel"):
        return True
    if any(one.end == word.start - 1 and not one.unit for one in phrase.quantities):
        return word.text.endswith("s")  # "10 packs"
    return thing == "pack" and _is_chemistry(phrase, i, bool(named))


def _follows_thing(phrase: Phrase, i: int) -> bool:
    if not i:
        return False
    before, word = phrase.words[i - 1], phrase.words[i]
    return word.start - before.end == 1 and before.text in KIND_OF_THING


def _is_chemistry(phrase: Phrase, i: int, is_later: bool) -> bool:
    """Tell whether a word says what cells another part takes: "2-3S LiPo", "batteries 2-6S"."""
    told = [one.unit in ("s", "cells", "v") for one in phrase.quantities]
    if not told or not all(told):
        return False
    is_last = i + 1 == len(phrase.words) and len(phrase.words) <= 3
    return is_later or (phrase.words[i].text.startswith("lipo") and is_last)


def _by_ending(word: str) -> str | None:
    if len(word) < 7:
        return None
    return next((KIND_OF_THING.get(end) for end in ENDINGS if word.endswith(end)), None)
