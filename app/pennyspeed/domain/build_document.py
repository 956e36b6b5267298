"""The build file's document: a build as plain JSON values, and back.

::

    {"format", "version", "name", "target_kmh",
     "parts": {slot: part, "extras": [part]},
     "conditions": {key: number, "spread": {key: number}},
     "money": {"currency", "cap", "lines": [line], "orders": [order], "rates": [rate]},
     "event_date"}

Strict about our own keys, each of which is checked against its declaration; keys that nobody here
knows are kept where they stood and written back.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from pennyspeed.domain.builds import TARGET, Build
from pennyspeed.domain.conditions import CONDITIONS, SPREAD
from pennyspeed.domain.document_values import (
    amount_not_negative,
    day_of,
    list_of,
    number,
    object_of,
    optional_object,
    plain,
    unknown,
)
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, EXTRAS, SLOTS
from pennyspeed.domain.money.money import DEFAULT_CURRENCY, Money, checked_currency
from pennyspeed.domain.money.money_document import (
    lines_from_document,
    money_document,
    orders_from_document,
    rates_from_document,
)
from pennyspeed.domain.parts.parts import Part, checked_name, checked_part

FORMAT = "pennyspeed-build"
VERSION = 2
"""The one that is written."""
_READ = (1, 2)

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
_SPREAD_PATH = f"conditions.{SPREAD}"
_SPREAD_KEYS = tuple(
    field.key.removeprefix(f"{SPREAD}.") for field in CONDITIONS if "." in field.key
)
_CONDITION_KEYS = (*(field.key for field in CONDITIONS if "." not in field.key), SPREAD)
_MONEY_KEYS = ("currency", "cap", "lines", "orders", "rates")


def build_from_document(data: object) -> Build:
    """Return the build that a build file's document, as the JSON parser gave it, describes.

    Raises
    ------
    BadInput
        With the path of the key at fault, such as ``parts.motor.kv_rpm_per_v``.
    """
    top = object_of(data, "top level", "an object, the build")
    _check_header(top)
    name = checked_name(top.get("name"), "name")
    target = number(TARGET.checked(top.get("target_kmh"), "target_kmh"))

    held = object_of(top.get("parts"), "parts", "an object with the build's parts")
    parts = {
        slot: checked_part(BY_KEY[slot], held[slot], f"parts.{slot}")
        for slot in SLOTS
        if held.get(slot) is not None
    }
    extras = tuple(
        checked_part(EXTRAS, extra, f"parts.{EXTRAS.key}[{i}]")
        for i, extra in enumerate(list_of(held.get(EXTRAS.key), f"parts.{EXTRAS.key}"))
    )

    given = optional_object(top.get("conditions"), "conditions")
    spread = optional_object(given.get(SPREAD), f"conditions.{SPREAD}")
    conditions = {}
    for field in CONDITIONS:
        group, _, key = field.key.rpartition(".")
        found = (spread if group else given).get(key)
        value = number(field.checked(found, f"conditions.{field.key}"))
        if value is not None:
            conditions[field.key] = value

    money = optional_object(top.get("money"), "money")
    currency = DEFAULT_CURRENCY
    if money.get("currency") is not None:
        currency = checked_currency(money["currency"], "money.currency")
    cap = None
    if money.get("cap") is not None:
        cap = Money.of(amount_not_negative(money["cap"], "money.cap") or 0, currency)
    lines = lines_from_document(money)
    orders = orders_from_document(money)
    rates = rates_from_document(money)
    event_date = day_of(top.get("event_date"), "event_date")

    _refuse_what_json_cannot_hold(top, "")
    strangers = {
        "": unknown(top, _TOP_KEYS),
        "parts": unknown(held, (*SLOTS, EXTRAS.key)),
        "conditions": unknown(given, _CONDITION_KEYS),
        _SPREAD_PATH: unknown(spread, _SPREAD_KEYS),
        "money": unknown(money, _MONEY_KEYS),
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
        orders=orders,
        rates=rates,
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
        document["target_kmh"] = plain(build.target_kmh)

    parts: dict[str, Any] = {
        slot: _part_document(build.parts[slot]) for slot in SLOTS if slot in build.parts
    }
    parts[EXTRAS.key] = [_part_document(extra) for extra in build.extras]
    document["parts"] = parts | dict(strangers.get("parts", {}))

    document["conditions"] = _conditions_document(build)

    money: dict[str, Any] = {"currency": build.currency}
    if build.cap is not None:
        money["cap"] = str(build.cap)
    money |= money_document(build)
    document["money"] = money | dict(strangers.get("money", {}))

    if build.event_date is not None:
        document["event_date"] = build.event_date.isoformat()
    return document | dict(strangers.get("", {}))


def _conditions_document(build: Build) -> dict[str, Any]:
    given = {key: plain(value) for key, value in build.conditions.items()}
    document = {key: given[key] for key in _CONDITION_KEYS if key in given}
    spread = {key: given[f"{SPREAD}.{key}"] for key in _SPREAD_KEYS if f"{SPREAD}.{key}" in given}
    spread |= _still_unknown(build.unknown_keys.get(_SPREAD_PATH, {}), _SPREAD_KEYS)
    if spread:
        document[SPREAD] = spread
    return document | _still_unknown(build.unknown_keys.get("conditions", {}), _CONDITION_KEYS)


def _still_unknown(kept: object, ours: Iterable[str]) -> dict[str, Any]:
    """Return the keys that were kept and are still not ours.

    A key that an older Pennyspeed did not know says nothing in its file, and must not begin to when
    the build goes into another.
    """
    return unknown(kept, ours) if isinstance(kept, Mapping) else {}


def _check_header(top: Mapping[str, Any]) -> None:
    if top.get("format") != FORMAT:
        raise BadInput("format", top.get("format"), f'"{FORMAT}"')
    version, readable = top.get("version"), " or ".join(map(str, _READ))
    expected = f"the number {readable}"
    if isinstance(version, bool) or not isinstance(version, int | float):
        raise BadInput("version", version, expected)
    if version > VERSION:
        raise BadInput(
            "version", version, f"{readable}; a newer Pennyspeed wrote this file, and opens it"
        )
    if version not in _READ:
        raise BadInput("version", version, expected)


def _part_document(part: Part) -> dict[str, Any]:
    document: dict[str, Any] = {"name": part.name}
    for field in part.kind.fields:
        value = part.figures.get(field.key)
        if value is not None:
            document[field.key] = plain(value)
    if part.recipe is not None:
        from pennyspeed.domain.parts.recipes import recipe_document

        document["recipe"] = recipe_document(part.recipe)
    keys = [field.key for field in part.kind.fields]
    sources = {key: str(source) for key, source in part.provenance.items()}
    spreads = {key: plain(spread) for key, spread in part.spread.items()}
    for name, beside in (("provenance", sources), ("spread", spreads)):
        beside |= _still_unknown(part.unknown_keys.get(name), keys)
        if beside:
            document[name] = beside
    ours = (*keys, "name", "recipe", "provenance", "spread")
    return document | _still_unknown(part.unknown_keys, ours)


def _refuse_what_json_cannot_hold(value: object, place: str) -> None:
    """Raise BadInput for a number or text that could not be written back, wherever it stands."""
    if isinstance(value, str):
        if not _encodes(value):
            raise BadInput(place, ascii(value), "text without halves of characters")
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise BadInput(place, value, "a finite number")
    elif isinstance(value, Mapping):
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
