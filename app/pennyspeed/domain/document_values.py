"""Values of a JSON document, each checked where it is read.

Every reader takes the value and its key path, and raises BadInput with both where it is not what
was expected.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import checked_currency, decimal_text
from pennyspeed.domain.parts.fields import Value

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_Choice = TypeVar("_Choice", bound=StrEnum)


def plain(value: Value) -> Any:
    """Return a figure as JSON writes it: 980 rather than 980.0, a list for a size."""
    if isinstance(value, tuple):
        return [plain(side) for side in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return value


def unknown(data: Mapping[str, Any], ours: Iterable[str]) -> dict[str, Any]:
    """Return the keys of an object that are not ours."""
    known = set(ours)
    return {key: value for key, value in data.items() if key not in known}


def object_of(value: object, place: str, expected: str) -> Mapping[str, Any]:
    """Return a JSON object, or raise BadInput."""
    if not isinstance(value, Mapping):
        raise BadInput(place, value, expected)
    return value


def optional_object(value: object, place: str) -> Mapping[str, Any]:
    """Return a JSON object, empty where there is none."""
    return {} if value is None else object_of(value, place, "an object")


def list_of(value: object, place: str) -> list[Any]:
    """Return a list, empty where there is none."""
    if value is None:
        return []
    if not isinstance(value, list | tuple):
        raise BadInput(place, value, "a list")
    return list(value)


def number(value: Value | None) -> float | None:
    """Return a checked value as a number, None where it is none."""
    return float(value) if isinstance(value, int | float) else None


def text_of(value: object, place: str) -> str:
    """Return a text, "" where there is none."""
    if value is None:
        return ""
    if not isinstance(value, str):
        raise BadInput(place, value, "text")
    return value


def day_of(value: object, place: str) -> date | None:
    """Return a day, None where there is none."""
    if value is None:
        return None
    if isinstance(value, str) and _DATE.fullmatch(value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise BadInput(place, value, "a date such as 2027-04-10")


def flag(value: object, place: str, default: bool) -> bool:
    """Return true or false."""
    if value is not None and not isinstance(value, bool):
        raise BadInput(place, value, "true or false")
    return default if value is None else value


def choice(value: object, place: str, default: _Choice) -> _Choice:
    """Return one of the choices that `default` belongs to."""
    choices = type(default)
    if value is None:
        return default
    if not isinstance(value, str) or value not in set(choices):
        raise BadInput(place, value, "one of " + ", ".join(choices))
    return choices(value)


def amount(value: object, place: str) -> Decimal | None:
    """Return the amount in decimal text, None where there is none."""
    return None if value is None else decimal_text(value, place)


def amount_not_negative(value: object, place: str) -> Decimal | None:
    """Return an amount of 0 or more, None where there is none."""
    found = amount(value, place)
    if found is not None and found < 0:
        raise BadInput(place, value, "an amount of 0 or more")
    return found


def rate(value: object, place: str) -> Decimal | None:
    """Return an exchange rate in decimal text, None where there is none."""
    found = amount(value, place)
    if found is not None and found <= 0:
        raise BadInput(place, value, "a rate above 0")
    return found


def currency_of(value: object, place: str) -> str:
    """Return a currency's code, "" where there is none."""
    return "" if value in (None, "") else checked_currency(value, place)


def exact_number(number: float) -> Decimal:
    """Return the shortest decimal that stands for a number, so that 0.1 is a tenth."""
    return Decimal(repr(plain(number)))


def decimal_number(number: Decimal) -> int | float:
    """Return a decimal as the number that a document has."""
    found = plain(float(number))
    assert isinstance(found, int | float)
    return found
