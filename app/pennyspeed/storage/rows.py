"""Rows <-> domain objects, whoever read the rows.

Rows are unpacked by position, in the order of the column lists here, which serves SQLAlchemy's rows
and the standard library's alike and takes thousands of parts within a blink.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.storage.money_rows import EMPTY, json_text, line_of, order_of, rate_of

if TYPE_CHECKING:
    from pennyspeed.domain.parts.recipes import Recipe

PART_COLUMNS = (
    "id",
    "kind",
    "name",
    "figures",
    "provenance",
    "spread",
    "unknown_keys",
    "note",
    "picture",
    "archived",
    "recipe",
)
PRICE_COLUMNS = ("minor", "currency", "on_date", "supplier", "link", "in_stock", "lead_days")
BUILD_COLUMNS = (
    "id",
    "code",
    "name",
    "target_kmh",
    "currency",
    "cap_minor",
    "event_date",
    "conditions",
    "unknown_keys",
    "revision",
)
ENTRY_COLUMNS = ("id", "name", "code", "changed")

COUNTED_KINDS = "kinds that count"
"""Key of the setting that says of kinds of parts whether they count toward the cap."""

SHOWN_BUILD = "shown_build"
"""Key of the setting that names the build shown last."""

# Without the look for white space around, which JSON of our own does not have.
_decoded = json.JSONDecoder().raw_decode
# A catalogue of thousands was priced on few days.
_day = lru_cache(maxsize=1024)(date.fromisoformat)
_SOURCES = {source.value: source for source in Provenance}


@dataclass(frozen=True, slots=True)
class BuildEntry:
    """A build in a list."""

    id: int
    name: str
    code: str
    changed: datetime
    """In UTC."""


def part_of(row: Sequence[Any]) -> Part:
    """Return the part in a row of `PART_COLUMNS` and `PRICE_COLUMNS`."""
    (
        id,
        kind,
        name,
        figures,
        provenance,
        spread,
        unknown,
        note,
        picture,
        archived,
        recipe,
        *price,
    ) = row
    values = _decoded(figures)[0]
    if "[" in figures:
        values = {k: tuple(v) if isinstance(v, list) else v for k, v in values.items()}
    return Part(
        kind,
        name,
        values,
        {}
        if provenance == EMPTY
        else {key: _SOURCES[source] for key, source in json.loads(provenance).items()},
        {} if unknown == EMPTY else json.loads(unknown),
        None if price[0] is None else price_of(price),
        note,
        picture,
        archived == 1,
        None if recipe is None else _recipe(recipe, f"recipe of {name}"),
        {} if spread == EMPTY else json.loads(spread),
        id,
    )


def part_values(part: Part) -> dict[str, Any]:
    """Return the part's columns, without its number and its price."""
    return {
        "kind": part.kind_key,
        "name": part.name,
        "figures": json_text(part.figures, f"figures of {part.name}"),
        "provenance": json_text(part.provenance, f"provenance of {part.name}"),
        "spread": json_text(part.spread, f"spread of {part.name}"),
        "unknown_keys": json_text(part.unknown_keys, f"further keys of {part.name}"),
        "note": part.note,
        "picture": part.picture,
        "archived": int(part.archived),
        "recipe": None
        if part.recipe is None
        else _recipe_text(part.recipe, f"recipe of {part.name}"),
    }


def _recipe(text: str, place: str) -> Recipe:
    # few parts have one, and the first frame waits for this module
    from pennyspeed.domain.parts.recipes import recipe_from_document

    return recipe_from_document(json.loads(text), place)


def _recipe_text(recipe: Recipe, place: str) -> str:
    from pennyspeed.domain.parts.recipes import recipe_document

    return json_text(recipe_document(recipe), place)


def price_of(row: Sequence[Any]) -> Price:
    """Return the price in a row of `PRICE_COLUMNS`."""
    minor, currency, on_date, supplier, link, in_stock, lead_days = row
    return Price(Money(minor, currency), _day(on_date), supplier, link, in_stock, lead_days)


def price_values(price: Price) -> dict[str, Any]:
    """Return the price's columns."""
    return {
        "minor": price.amount.minor,
        "currency": price.amount.currency,
        "on_date": price.on.isoformat(),
        "supplier": price.supplier,
        "link": price.link,
        "in_stock": price.in_stock,
        "lead_days": price.lead_days,
    }


def build_of(
    row: Sequence[Any],
    parts: Iterable[tuple[str, Part]],
    lines: Iterable[Sequence[Any]],
    orders: Iterable[Sequence[Any]] = (),
    rates: Iterable[Sequence[Any]] = (),
    *,
    counted: str | None = None,
) -> Build:
    """Return the build in a row of `BUILD_COLUMNS`, with the rows of its lists by position.

    Parts come with their slots; `counted` is what stands under `COUNTED_KINDS`.
    """
    (id, code, name, target, currency, cap, event, conditions, unknown, revision) = row
    slots: dict[str, Part] = {}
    extras: list[Part] = []
    for slot, part in parts:
        if slot == EXTRAS.key:
            extras.append(part)
        else:
            slots[slot] = part
    return Build(
        name=name,
        target_kmh=target,
        parts=slots,
        extras=tuple(extras),
        conditions=json.loads(conditions),
        currency=currency,
        cap=None if cap is None else Money(cap, currency),
        lines=tuple(line_of(line) for line in lines),
        orders=tuple(order_of(order) for order in orders),
        rates=tuple(rate_of(rate) for rate in rates),
        event_date=None if event is None else date.fromisoformat(event),
        unknown_keys=json.loads(unknown),
        id=id,
        code=code,
        revision=revision,
        counted_kinds=json.loads(counted or EMPTY),
    )


def build_values(build: Build) -> dict[str, Any]:
    """Return the build's columns, without its number, code, revision and times."""
    cap = build.cap
    if cap is not None and cap.currency != build.currency:
        raise BadInput("cap", str(cap), f"an amount in {build.currency}")
    return {
        "name": build.name,
        "target_kmh": None if build.target_kmh is None else float(build.target_kmh),
        "currency": build.currency,
        "cap_minor": None if cap is None else cap.minor,
        "event_date": None if build.event_date is None else build.event_date.isoformat(),
        "conditions": json_text(build.conditions, "conditions"),
        "unknown_keys": json_text(build.unknown_keys, "further keys"),
    }


def entry_of(row: Sequence[Any]) -> BuildEntry:
    """Return the entry in a row of `ENTRY_COLUMNS`."""
    id, name, code, changed = row
    return BuildEntry(id, name, code, datetime.fromisoformat(changed))


def placed_parts(build: Build) -> dict[tuple[str, int], Part]:
    """Return the build's parts by slot and position."""
    placed = {(slot, 0): part for slot, part in build.parts.items()}
    placed.update({(EXTRAS.key, i): part for i, part in enumerate(build.extras)})
    return placed


def columns(names: Mapping[str, Any] | Sequence[str], table: str) -> str:
    """Return a column list of SQL, each name with its table.

    >>> columns(("id", "name"), "part")
    'part.id, part.name'
    """
    return ", ".join(f"{table}.{name}" for name in names)
