"""Claims: what single words of a text say about one figure of a part."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Value, plain_number
from pennyspeed.domain.units import INCH, LB, MPH, OZ
from pennyspeed.services.listings.phrases import STICKY, Phrase, Said
from pennyspeed.services.listings.quantities import Quantity
from pennyspeed.services.listings.rules import (
    CAN_SIZES,
    CELL_VOLTS,
    CELLS,
    RATED_PAIRS,
    RULES,
    STRANGE,
    Rule,
)
from pennyspeed.services.listings.words import CONNECTOR_WORDS, DRIVE_OF

Claimed: TypeAlias = Value | Money

_FACTORS = {
    "cm": 10.0,
    "in": INCH * 1e3,
    "kg": 1e3,
    "oz": OZ.factor * 1e3,
    "lb": LB.factor * 1e3,
    "ah": 1e3,
    "ohm": 1e3,
    "mph": MPH.factor * 3.6,
    "mm2": 0.01,
}
"""Units of a quantity in the unit of the fields that it fills."""

_WHOLE = frozenset(("teeth", "poles"))
_VOLTS_OFF = 0.06
_NO_LOAD_VOLTS = Rule("no_load_voltage_v", ("v",), 1, 60)
_BESIDE, _ROUNDED = 3, 0.03
"""Characters between a figure and the same in another unit; how far rounding sets them apart."""
_BORED = frozenset(("bore", "shaft"))


@dataclass(frozen=True, slots=True)
class Claim:
    """What a stretch of the text says about one figure.

    Attributes
    ----------
    key : str
        Of a field; "name", "price".
    value : Value or Money
        In the field's unit.
    start, end : int
        Its place in the text.
    """

    key: str
    value: Claimed
    start: int
    end: int
    is_last_resort: bool = False


def claims_of(
    kind_key: str, text: str, said: Sequence[Said], phrases: Sequence[Phrase]
) -> list[Claim]:
    """Return what a text says about a part of that kind, several claims for one field included."""
    found: list[Claim] = []
    for one in said:
        if not _is_strange(one, kind_key):
            found += _claims(kind_key, text, one)
    if kind_key == "motor" and not any(one.key in ("can_mm", "length_mm") for one in found):
        found += _codes(text, said)
    if kind_key == "pack" and any("nimh" in phrase.means for phrase in phrases):
        found = [one for one in found if one.key not in ("cells_series", "cells_parallel")]
    found = _said_once(found)
    found += _words(kind_key, text, phrases)
    sure = {one.key for one in found if not one.is_last_resort}
    return [one for one in found if not (one.is_last_resort and one.key in sure)]


def _said_once(found: Sequence[Claim]) -> list[Claim]:
    """Leave out what says the figure right before it in another unit: "182 g (6.4 oz)"."""
    kept: list[Claim] = []
    for one in found:
        if not kept or not _says_again(kept[-1], one):
            kept.append(one)
    return kept


def _says_again(last: Claim, one: Claim) -> bool:
    is_beside = last.key == one.key and 0 < one.start - last.end <= _BESIDE
    if not (is_beside and isinstance(last.value, float) and isinstance(one.value, float)):
        return False
    return math.isclose(last.value, one.value, rel_tol=_ROUNDED)


def _is_strange(one: Said, kind_key: str) -> bool:
    """Tell whether a quantity is of something else than the part."""
    quantity = one.quantity
    if quantity.is_struck or quantity.is_doubted or one.before & {"not", "bound"}:
        return True
    if "sold" in one.phrase.means:
        return True
    if "suits" in one.before or quantity.unit in one.phrase.others:
        return True
    bored = kind_key == "pinion" and one.means & _BORED
    if "for" in one.before and not bored:
        return True
    strange = STRANGE.get(one.quantity.unit, frozenset())
    if strange & (one.means | one.before | one.after if quantity.unit != "v" else one.means):
        return True
    told = bool(one.means & {"continuous", "burst", "no load"})
    earlier = {
        meaning
        for word in one.phrase.words
        if word.start < quantity.start
        for meaning in word.means & STICKY
    }
    return bool(strange & (one.phrase.carried | earlier)) and not told


def _claims(kind_key: str, text: str, one: Said) -> Iterator[Claim]:
    quantity, unit = one.quantity, one.quantity.unit
    if unit == "v" and kind_key == "motor":
        has_current = any(other.unit == "a" for other in one.phrase.quantities)
        if has_current and "no load" in one.phrase.means and "at" in one.before:
            yield from _by_rule(_NO_LOAD_VOLTS, quantity.numbers[0], unit, quantity)
        return
    if unit in ("s", "sp", "cells", "v"):
        yield from _cells(kind_key, text, one, unit)
        return
    if quantity.shape == "size":
        yield from _size(kind_key, one)
        return
    if quantity.shape == "pair":
        keys = RATED_PAIRS.get((kind_key, unit))
        if keys is not None:
            for key, number in zip(keys, quantity.numbers, strict=True):
                rule = next(rule for rule in RULES[kind_key] if rule.key == key)
                yield from _by_rule(rule, number, unit, quantity)
            return
    is_open = one.is_listed and quantity.is_labelled
    if (
        is_open
        or quantity.shape == "range"
        or (unit == "c" and text[max(quantity.start - 1, 0)] == "°")
    ):
        return
    for rule in RULES[kind_key]:
        fits = not rule.needs or bool(rule.needs & one.means)
        if unit in rule.units and fits and not rule.forbids & one.means:
            for number in quantity.numbers:
                yield from _by_rule(rule, number, unit, quantity)
            return


def _by_rule(rule: Rule, number: str, unit: str, quantity: Quantity) -> Iterator[Claim]:
    value = _value(number, unit, rule.low, rule.high)
    if value is None or (rule.key in _WHOLE and value != int(value)):
        return
    if rule.key == "poles" and value % 2:
        return
    kept: Value = int(value) if rule.key in _WHOLE else value
    yield Claim(rule.key, kept, quantity.start, quantity.end, rule.is_last_resort)


def readings(number: str) -> list[float]:
    """Return every number that a written one may be.

    >>> readings("3.800"), readings("1.234,5"), readings("0,529"), readings("1/8")
    ([3.8, 3800.0], [1234.5], [0.529], [0.125])
    """
    if "/" in number:
        above, below = map(int, number.split("/"))
        return [above / below] if below else []
    plain = plain_number(number)
    if plain is None:
        return []
    try:
        found = [float(plain)]
    except ValueError:
        return []
    marks = [mark for mark in ".," if mark in number]
    if len(marks) == 1 and number.count(marks[0]) == 1:
        whole, behind = number.split(marks[0])
        if len(behind) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0"):
            found.append(float(whole + behind))
    return found


def _value(number: str, unit: str, low: float, high: float) -> float | None:
    """Return the one reading of a number that lies in its bounds, in the field's unit."""
    values = []
    for one in readings(number):
        if unit == "pitch":
            value = INCH * 1e3 / one if one >= 10 and one == int(one) else 0.0
        else:
            # ten digits: 2.1" are 53.34 mm, not 53.339999999999996
            value = float(f"{one * _FACTORS.get(unit, 1.0):.10g}")
        if low <= value <= high:
            values.append(value)
    return values[0] if len(values) == 1 else None


def _cells(kind_key: str, text: str, one: Said, unit: str) -> Iterator[Claim]:
    field = CELLS.get(kind_key)
    quantity = one.quantity
    if (
        field is None
        or (unit == "v" and "at" in one.before)
        or (kind_key == "pack" and quantity.shape != "one")
    ):
        return
    is_written = text[quantity.start : quantity.end].rstrip().endswith("s")
    if unit == "s" and is_written and text[max(quantity.start - 1, 0)] in "(/":
        return  # as in "950A (10s)": how long it lasts
    counts = [_count(number, unit) for number in quantity.numbers]
    if None in counts or quantity.shape == "size":
        return
    most = max(count for count in counts if count is not None)
    if 1 <= most <= field[1]:
        yield Claim(field[0], most, quantity.start, quantity.end, unit == "v")
        if quantity.parallel and kind_key == "pack":
            strings = int(quantity.parallel)
            yield Claim("cells_parallel", strings, quantity.start, quantity.end)


def _count(number: str, unit: str) -> int | None:
    value = next(iter(readings(number)), 0.0)
    if unit != "v":
        return int(value) if value == int(value) else None
    cells = round(value / CELL_VOLTS)
    return cells if cells and abs(value - cells * CELL_VOLTS) <= _VOLTS_OFF else None


def _size(kind_key: str, one: Said) -> Iterator[Claim]:
    """Return what two or three sides say: can and length, shaft, or a pack's size."""
    quantity = one.quantity
    sides = [_value(number, quantity.unit, 1, 1_000) for number in quantity.numbers]
    if None in sides:
        return
    known = [side for side in sides if side is not None]
    place = quantity.start, quantity.end
    if kind_key == "pack" and len(known) == 3 and min(known) >= 5:
        yield Claim("size_mm", (known[0], known[1], known[2]), *place)
    if kind_key != "motor" or len(known) != 2:
        return
    if "shaft" in one.means:
        if known[0] <= 12:
            yield Claim("shaft_mm", known[0], *place)
    elif 10 <= known[0] <= 80 and 15 <= known[1] <= 150:
        yield Claim("can_mm", known[0], *place)
        yield Claim("length_mm", known[1], *place)


def _codes(text: str, said: Iterable[Said]) -> Iterator[Claim]:
    """Return what the code of a motor's size says: 3650 is 36 mm across and 50 mm long."""
    for one in said:
        quantity = one.quantity
        number = quantity.numbers[0]
        alone = quantity.shape == "one" and not one.quantity.unit and not quantity.is_doubted
        if not alone or len(number) != 4 or not number.isdecimal() or "number" in one.before:
            continue
        across, length = int(number[:2]), int(number[2:])
        if across in CAN_SIZES and 0.9 * across <= length <= 2.7 * across:
            if one.before & {"suits", "for", "not"}:
                continue
            yield Claim("can_mm", float(across), quantity.start, quantity.end)
            yield Claim("length_mm", float(length), quantity.start, quantity.end)


def _words(kind_key: str, text: str, phrases: Iterable[Phrase]) -> Iterator[Claim]:
    """Return what is said in words: which wheels are driven, which connector."""
    for phrase in phrases:
        if "suits" in phrase.means:
            continue
        for i, word in enumerate(phrase.words):
            if kind_key == "chassis":
                two = (
                    f"{word.text} {phrase.words[i + 1].text}"
                    if word is not phrase.words[-1]
                    else ""
                )
                drive = DRIVE_OF.get(two) or DRIVE_OF.get(word.text)
                if drive is not None:
                    yield Claim("driven", drive, word.start, word.end)
        if kind_key in ("controller", "pack"):
            yield from _connector(text, phrase)


def _connector(text: str, phrase: Phrase) -> Iterator[Claim]:
    """Return the name beside the word connector or plug, as it is written."""
    from pennyspeed.services.listings.names import connector_beside

    for word in phrase.words:
        last = word.text.rsplit("-", 1)[-1]
        if last in CONNECTOR_WORDS and not phrase.means & {"charge", "fan", "bec", "for"}:
            place = connector_beside(text, phrase, word)
            if place is not None:
                yield Claim("connector", text[slice(*place)], *place)
