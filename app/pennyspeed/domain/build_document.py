"""The build file's document: a build as plain JSON values, and back.

::

    {"format", "version", "name", "target_kmh",
     "parts": {slot: part, "extras": [part]}, "conditions": {key: number},
     "money": {"currency", "cap", "lines": [line]}, "event_date"}

Strict about our own keys, each of which is checked against its declaration; keys that nobody here
knows are kept where they stood and written back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from pennyspeed.domain.builds import QUANTITY, TARGET, Build, Line, Status
from pennyspeed.domain.conditions import CONDITIONS
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.fields import Value
from pennyspeed.domain.kinds import BY_KEY, EXTRAS, SLOTS
from pennyspeed.domain.money import DEFAULT_CURRENCY, Money, checked_currency, decimal_text
from pennyspeed.domain.parts import Part, checked_name, checked_part

FORMAT = "pennyspeed-build"
VERSION = 1

_TOP_KEYS = (
    "format",
    "version",
    "name",
    "target_kmh",
    "parts",
    "conditions",
    "money",
    "event_date",
)
_CONDITION_KEYS = tuple(field.key for field in CONDITIONS)
_MONEY_KEYS = ("currency", "cap", "lines")
_LINE_KEYS = (
    "part",
    "name",
    "quantity",
    "unit_price",
    "status",
    "counts",
    "supplier",
    "order",
    "arrives",
)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


def build_from_document(data: object) -> Build:
    """Return the build that a build file's document describes.

    Parameters
    ----------
    data : object
        What the JSON parser gave.

    Raises
    ------
    BadInput
        With the path of the key at fault, such as ``parts.motor.kv_rpm_per_v``.
    """
    top = _object(data, "top level", "an object, the build")
    _check_header(top)
    name = checked_name(top.get("name"), "name")
    target = _number(TARGET.checked(top.get("target_kmh"), "target_kmh"))

    held = _object(top.get("parts"), "parts", "an object with the build's parts")
    parts = {
        slot: checked_part(BY_KEY[slot], held[slot], f"parts.{slot}")
        for slot in SLOTS
        if held.get(slot) is not None
    }
    extras = tuple(
        checked_part(EXTRAS, extra, f"parts.{EXTRAS.key}[{i}]")
        for i, extra in enumerate(_list(held.get(EXTRAS.key), f"parts.{EXTRAS.key}"))
    )

    given = _optional_object(top.get("conditions"), "conditions")
    conditions = {}
    for field in CONDITIONS:
        number = _number(field.checked(given.get(field.key), f"conditions.{field.key}"))
        if number is not None:
            conditions[field.key] = number

    money = _optional_object(top.get("money"), "money")
    currency = DEFAULT_CURRENCY
    if money.get("currency") is not None:
        currency = checked_currency(money["currency"], "money.currency")
    cap = None
    if money.get("cap") is not None:
        amount = decimal_text(money["cap"], "money.cap")
        if amount < 0:
            raise BadInput("money.cap", money["cap"], "an amount of 0 or more")
        cap = Money.of(amount, currency)
    lines = tuple(
        _line(line, f"money.lines[{i}]")
        for i, line in enumerate(_list(money.get("lines"), "money.lines"))
    )
    event_date = _date(top.get("event_date"), "event_date")

    _refuse_what_json_cannot_hold(top, "")
    strangers = {
        "": _unknown(top, _TOP_KEYS),
        "parts": _unknown(held, (*SLOTS, EXTRAS.key)),
        "conditions": _unknown(given, _CONDITION_KEYS),
        "money": _unknown(money, _MONEY_KEYS),
    }
    return Build(
        name=name,
        target_kmh=target,
        parts=parts,
        extras=extras,
        conditions=conditions,
        currency=currency,
        cap=cap,
        lines=lines,
        event_date=event_date,
        unknown_keys={path: keys for path, keys in strangers.items() if keys},
    )


def document_from_build(build: Build) -> dict[str, Any]:
    """Return the build as JSON values; :func:`build_from_document` takes them back unchanged.

    Figures that are not known are left out.
    """
    strangers = build.unknown_keys
    document: dict[str, Any] = {"format": FORMAT, "version": VERSION, "name": build.name}
    if build.target_kmh is not None:
        document["target_kmh"] = _plain(build.target_kmh)

    parts: dict[str, Any] = {
        slot: _part_document(build.parts[slot]) for slot in SLOTS if slot in build.parts
    }
    parts[EXTRAS.key] = [_part_document(extra) for extra in build.extras]
    document["parts"] = parts | dict(strangers.get("parts", {}))

    document["conditions"] = {
        key: _plain(build.conditions[key]) for key in _CONDITION_KEYS if key in build.conditions
    } | dict(strangers.get("conditions", {}))

    money: dict[str, Any] = {"currency": build.currency}
    if build.cap is not None:
        money["cap"] = str(build.cap)
    money["lines"] = [_line_document(line) for line in build.lines]
    document["money"] = money | dict(strangers.get("money", {}))

    if build.event_date is not None:
        document["event_date"] = build.event_date.isoformat()
    return document | dict(strangers.get("", {}))


def _check_header(top: Mapping[str, Any]) -> None:
    if top.get("format") != FORMAT:
        raise BadInput("format", top.get("format"), f'"{FORMAT}"')
    version = top.get("version")
    if isinstance(version, bool) or not isinstance(version, int | float):
        raise BadInput("version", version, f"the number {VERSION}")
    if version > VERSION:
        raise BadInput(
            "version", version, f"{VERSION}; a newer Pennyspeed wrote this file, and opens it"
        )
    if version != VERSION:
        raise BadInput("version", version, f"the number {VERSION}")


def _line(data: object, place: str) -> Line:
    line = _object(data, place, "an object with one line of money")
    quantity = _number(QUANTITY.checked(line.get("quantity"), f"{place}.quantity"))
    price = line.get("unit_price")
    counts = line.get("counts")
    if counts is not None and not isinstance(counts, bool):
        raise BadInput(f"{place}.counts", counts, "true or false")
    return Line(
        part=_text(line.get("part"), f"{place}.part"),
        name=_text(line.get("name"), f"{place}.name"),
        # the shortest text that stands for the number, so that 0.1 is a tenth
        quantity=Decimal(1) if quantity is None else Decimal(repr(_plain(quantity))),
        unit_price=None if price is None else decimal_text(price, f"{place}.unit_price"),
        status=_status(line.get("status"), f"{place}.status"),
        counts=True if counts is None else counts,
        supplier=_text(line.get("supplier"), f"{place}.supplier"),
        order=_text(line.get("order"), f"{place}.order"),
        arrives=_date(line.get("arrives"), f"{place}.arrives"),
        unknown_keys=_unknown(line, _LINE_KEYS),
    )


def _line_document(line: Line) -> dict[str, Any]:
    document: dict[str, Any] = {
        "part": line.part,
        "name": line.name,
        "quantity": _plain(float(line.quantity)),
        "unit_price": None if line.unit_price is None else f"{line.unit_price:f}",
        "status": line.status.value,
        "counts": line.counts,
        "supplier": line.supplier,
        "order": line.order,
        "arrives": None if line.arrives is None else line.arrives.isoformat(),
    }
    return document | dict(line.unknown_keys)


def _part_document(part: Part) -> dict[str, Any]:
    document: dict[str, Any] = {"name": part.name}
    for field in part.kind.fields:
        value = part.figures.get(field.key)
        if value is not None:
            document[field.key] = _plain(value)
    strangers = dict(part.unknown_keys)
    sources = {key: str(source) for key, source in part.provenance.items()}
    sources |= strangers.pop("provenance", {})
    if sources:
        document["provenance"] = sources
    return document | strangers


def _plain(value: Value) -> Any:
    """Return a figure as JSON writes it: 980 rather than 980.0, a list for a size."""
    if isinstance(value, tuple):
        return [_plain(side) for side in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return value


def _unknown(data: Mapping[str, Any], ours: Iterable[str]) -> dict[str, Any]:
    known = set(ours)
    return {key: value for key, value in data.items() if key not in known}


def _object(value: object, place: str, expected: str) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise BadInput(place, value, expected)
    return value


def _optional_object(value: object, place: str) -> Mapping[str, Any]:
    return {} if value is None else _object(value, place, "an object")


def _list(value: object, place: str) -> list[Any]:
    if value is None:
        return []
    if not isinstance(value, list | tuple):
        raise BadInput(place, value, "a list")
    return list(value)


def _number(value: Value | None) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _text(value: object, place: str) -> str:
    if value is None:
        return ""
    if not isinstance(value, str):
        raise BadInput(place, value, "text")
    return value


def _status(value: object, place: str) -> Status:
    if value is None:
        return Status.PLANNED
    if not isinstance(value, str) or value not in set(Status):
        raise BadInput(place, value, "one of " + ", ".join(Status))
    return Status(value)


def _date(value: object, place: str) -> date | None:
    if value is None:
        return None
    if isinstance(value, str) and _DATE.fullmatch(value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise BadInput(place, value, "a date such as 2027-04-10")


def _refuse_what_json_cannot_hold(value: object, place: str) -> None:
    """Raise BadInput for a number or text that could not be written back, wherever it stands."""
    if isinstance(value, float) and not math.isfinite(value):
        raise BadInput(place, value, "a finite number")
    if isinstance(value, str) and not _encodes(value):
        raise BadInput(place, ascii(value), "text without halves of characters")
    if isinstance(value, Mapping):
        for key, inner in value.items():
            _refuse_what_json_cannot_hold(key, f"{place} (key)".lstrip())
            _refuse_what_json_cannot_hold(inner, f"{place}.{key}".lstrip("."))
    elif isinstance(value, list | tuple):
        for i, inner in enumerate(value):
            _refuse_what_json_cannot_hold(inner, f"{place}[{i}]")


def _encodes(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True
