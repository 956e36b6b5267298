"""A field: one figure of a part or one condition, declared once.

The form's row, the table's column, the CSV header, the JSON key, the range that is checked and the
spread that is drawn all come from the declaration.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from pennyspeed.domain import units
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import MODULE, PITCH, SHARE, Unit

Value: TypeAlias = float | int | str | tuple[float, float, float]
"""A figure, in the unit that its key names."""


class Shape(Enum):
    """What a field holds."""

    NUMBER = "number"
    WHOLE = "whole"
    TEXT = "text"
    CHOICE = "choice"
    SIZE = "size"


class Draw(Enum):
    """How a figure's uncertainty is drawn."""

    EXACT = "exact"
    """Never: counts, dimensions, ratings, conditions."""
    FIGURE = "figure"
    FIRM = "firm"
    """Masses and diameters, of which makers are surer."""


# Gears of the trade have pitches of 16 to 120 and modules up to 2 (common practice, no source).
_LARGEST_BARE_MODULE = 10.0
_SIZE_FIRST = re.compile(r"\s*(?:(m|mod|module?)\.?|(?:dp|pitch))\s*(?=[\d.,])", re.IGNORECASE)

_TYPED = re.compile(r"\s*([-+−]?[\d.,'  ]*\d[\d.,]*(?:[eE][-+]?\d+)?)\s*(.*?)\s*")


@dataclass(frozen=True, slots=True)
class Field:
    """One figure."""

    key: str
    """Its key in files and storage, unit included."""
    label: str
    """What a person calls it, without the unit."""
    short: str
    """Its column header."""
    help: str
    """One sentence that explains it."""
    unit: Unit = SHARE
    """The key's unit."""
    shape: Shape = Shape.NUMBER
    default: Value | None = None
    """Taken where nothing is given; None is 'not known'."""
    required: bool = False
    known_by_default: bool = False
    """The default counts as known when a check needs the figure."""
    low: float = 0.0
    """The least that is accepted; not itself where `low_open`."""
    high: float = 1e6
    """The most that is accepted; not itself where `high_open`."""
    low_open: bool = False
    high_open: bool = False
    choices: tuple[str, ...] = ()
    draw: Draw = Draw.EXACT
    sure: Provenance = Provenance.MAKER
    """Where a given figure comes from unless somebody says."""
    decimals: int = 0
    """Digits shown behind the decimal mark in the key's unit."""
    on_shelf: int = 0
    """Place among the shelf's columns, 1 first; 0 stays in the form only."""

    @property
    def expected(self) -> str:
        """What is accepted, in words, to follow 'expected'."""
        if self.shape is Shape.CHOICE:
            return "one of " + ", ".join(self.choices)
        if self.shape is Shape.TEXT:
            return "text"
        if self.shape is Shape.SIZE:
            return "three lengths: length, width and height in mm, each of 0 or more"
        kind = "a whole number" if self.shape is Shape.WHOLE else "a number"
        unit = f" {self.unit.symbol}" if self.unit.symbol else ""
        low = f"above {self.low:,.10g}" if self.low_open else f"from {self.low:,.10g}"
        high = f"and below {self.high:,.10g}" if self.high_open else f"to {self.high:,.10g}"
        pitch = ", or a pitch such as 48p" if self.unit is MODULE else ""
        return f"{kind} {low} {high}{unit}{pitch}"

    def checked(self, value: object, place: str) -> Value | None:
        """Return `value` as this field stores it; None stays 'not known'.

        Raises
        ------
        BadInput
            For a wrong type, NaN or infinity, a number out of range, or a required figure missing.
        """
        if value is None:
            if self.required:
                raise BadInput(place, value, self.expected)
            return None
        match self.shape:
            case Shape.TEXT:
                if not isinstance(value, str):
                    raise BadInput(place, value, self.expected)
                return value
            case Shape.CHOICE:
                if value not in self.choices:
                    raise BadInput(place, value, self.expected)
                return str(value)
            case Shape.SIZE:
                if isinstance(value, str) or not isinstance(value, Sequence) or len(value) != 3:
                    raise BadInput(place, value, self.expected)
                length, width, height = (
                    self._number(side, f"{place}[{i}]") for i, side in enumerate(value)
                )
                return (length, width, height)
            case Shape.WHOLE:
                number = self._number(value, place)
                if number != int(number):
                    raise BadInput(place, value, self.expected)
                return int(number)
            case Shape.NUMBER:
                return self._number(value, place)

    def _number(self, value: object, place: str) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise BadInput(place, value, self.expected)
        try:
            number = float(value)
        except OverflowError:
            raise BadInput(place, value, self.expected) from None
        low_fails = number <= self.low if self.low_open else number < self.low
        high_fails = number >= self.high if self.high_open else number > self.high
        if not math.isfinite(number) or low_fails or high_fails:
            raise BadInput(place, value, self.expected)
        return number

    def read(self, text: str, place: str) -> Value | None:
        """Return what typed `text` says, in the key's unit; blank is 'not known'.

        A unit may follow ("37.5 mm", "1.5 in"); the decimal mark may be point or comma.

        Raises
        ------
        BadInput
            Where the text is no such figure.
        """
        text = text.strip()
        if not text:
            return self.checked(None, place)
        if self.shape is Shape.CHOICE:
            spelled = {choice.casefold(): choice for choice in self.choices}
            return self.checked(spelled.get(text.casefold(), text), place)
        if self.shape is Shape.TEXT:
            return self.checked(text, place)
        if self.shape is Shape.SIZE:
            sides = re.split(r"\s*[x×*;]\s*", text)
            if len(sides) != 3:
                raise BadInput(place, text, self.expected)
            last_unit = _parts(sides[2])
            unit = last_unit[1] if last_unit else ""
            values = [
                self._typed(side if _has_unit(side) else f"{side} {unit}", text, place)
                for side in sides
            ]
            return self._as_typed(values, text, place)
        return self._as_typed(self._typed(text, text, place), text, place)

    def _as_typed(self, value: object, text: str, place: str) -> Value | None:
        try:
            return self.checked(value, place)
        except BadInput:
            # in the person's own words and unit
            raise BadInput(place, text, self.expected) from None

    def _typed(self, text: str, whole: str, place: str) -> float:
        first = _SIZE_FIRST.match(text) if self.unit is MODULE else None
        if first is not None:
            text = f"{text[first.end() :]} {MODULE.symbol if first[1] else PITCH.symbol}"
        split = _parts(text)
        if split is None:
            raise BadInput(place, whole, self.expected)
        number, symbol = split
        if not symbol and self.unit is MODULE and number >= _LARGEST_BARE_MODULE:
            raise BadInput(place, whole, _which_size(number))
        if not symbol or symbol == self.unit.symbol:
            return number
        unit = units.find(symbol, self.unit.quantity)
        if unit is None:
            raise BadInput(place, whole, self.expected)
        return unit.convert(number, self.unit)

    def text(self, value: Value | None) -> str:
        """Return `value` as :meth:`read` takes it back, in the key's unit and without it.

        >>> from pennyspeed.domain.kinds.pack import PACK
        >>> PACK.field("size_mm").text((138.0, 46.0, 25.0))
        '138 x 46 x 25'
        """
        if value is None:
            return ""
        if isinstance(value, tuple):
            return " x ".join(f"{side:.10g}" for side in value)
        return value if isinstance(value, str) else f"{value:.10g}"


def _which_size(number: float) -> str:
    """Return what is expected of a gear's size that may be a pitch or a module.

    >>> _which_size(48.0)
    '48p for a pitch of 48, which is module 0.529, or m48 for a module of 48 mm'
    """
    module = PITCH.convert(number, MODULE)
    return (
        f"{number:g}p for a pitch of {number:g}, which is module {module:.3g}, "
        f"or m{number:g} for a module of {number:g} mm"
    )


def _parts(text: str) -> tuple[float, str] | None:
    """Split typed text into its number and its unit's symbol; None where there is no number."""
    match = _TYPED.fullmatch(text)
    if match is None:
        return None
    number = parsed_number(match[1])
    return None if number is None else (number, match[2])


def _has_unit(text: str) -> bool:
    split = _parts(text)
    return bool(split and split[1])


def parsed_number(text: str) -> float | None:
    """Return the number that a person wrote, or None where it could be read two ways.

    See :func:`plain_number`.

    >>> parsed_number("1.234,5"), parsed_number("1,234,567"), parsed_number("2,5")
    (1234.5, 1234567.0, 2.5)
    """
    plain = plain_number(text)
    try:
        return None if plain is None else float(plain)
    except ValueError:
        return None


def plain_number(text: str) -> str | None:
    """Return the number that a person wrote with a decimal point and no group marks.

    The decimal mark may be point or comma. With both, the last one is the decimal mark; a mark that
    stands several times groups thousands; one comma before exactly three digits is ambiguous and is
    taken as a decimal mark, as one point is. None where it could be read two ways.

    >>> plain_number("1.234,50"), plain_number("1.2.3")
    ('1234.50', None)
    """
    text = re.sub(r"['\s  ]", "", text).replace("−", "-")
    marks = [mark for mark in ".," if mark in text]
    if len(marks) == 2:
        decimal = max(marks, key=text.rfind)
        group = "," if decimal == "." else "."
        if text.count(decimal) > 1:
            return None
        text = text.replace(group, "").replace(decimal, ".")
    elif marks and text.count(marks[0]) > 1:
        if not re.fullmatch(r"[-+]?\d{1,3}(" + re.escape(marks[0]) + r"\d{3})+", text):
            return None
        text = text.replace(marks[0], "")
    elif marks:
        text = text.replace(",", ".")
    return text
