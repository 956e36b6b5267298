"""The demo catalogue as its files hold it, read without the program's importer; what fits."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache

from pennyspeed import resources
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.money.money import Money, decimal_text
from pennyspeed.domain.parts.parts import Part, Price, checked_part


def rows(kind_key: str) -> list[dict[str, str]]:
    with resources.path(f"demo/parts/{kind_key}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


@cache
def recipes() -> dict[str, dict[str, object]]:
    return json.loads(resources.path("demo/recipes.json").read_text(encoding="utf-8"))


def part_from(kind_key: str, row: dict[str, str]) -> Part:
    kind, place = BY_KEY[kind_key], f"{kind_key}.csv, {row['name']}"
    figures = {f.key: f.read(row[f.key], f"{place}, {f.label}") for f in kind.fields}
    sources = dict(pair.split("=") for pair in row["provenance"].split("; ") if pair)
    stray = sources.keys() - {key for key, value in figures.items() if value is not None}
    assert not stray, f"{place}: a source for {stray}, which is not given"
    made = recipes().get(kind_key, {}).get(row["name"])
    given = {"name": row["name"], "provenance": sources, "recipe": made, **figures}
    part = checked_part(kind, given, place)
    if not row["price"]:
        return part
    amount = Money.of(decimal_text(row["price"], place), row["currency"])
    return replace(part, price=Price(amount, date.fromisoformat(row["on"]), row["supplier"]))


@cache
def parts(kind_key: str) -> tuple[Part, ...]:
    return tuple(part_from(kind_key, row) for row in rows(kind_key))


def given(part: Part, key: str) -> float:
    value = part.known_number(key)
    assert value is not None, f"{part.name} lacks {key}"
    return value


def knowing(kind_key: str, *keys: str) -> Iterator[Part]:
    for part in parts(kind_key):
        if all(part.known(key) is not None for key in keys):
            yield part


def meshes(chassis: Part, pinion: Part, spur: Part) -> bool:
    """Centre distance of two gears is module × (teeth + teeth) / 2 (ISO 21771)."""
    module = given(chassis, "gear_module_mm")
    if {module} != {given(pinion, "module_mm"), given(spur, "module_mm")}:
        return False
    apart = module * (given(pinion, "teeth") + given(spur, "teeth")) / 2
    return given(chassis, "mesh_min_mm") <= apart <= given(chassis, "mesh_max_mm")


def sits(chassis: Part, motor: Part) -> bool:
    return (
        given(motor, "can_mm") <= given(chassis, "motor_can_mm")
        and given(motor, "length_mm") <= given(chassis, "motor_length_max_mm")
    )  # fmt: skip


def lies(chassis: Part, pack: Part) -> bool:
    bay, size = chassis.known("pack_bay_mm"), pack.known("size_mm")
    assert isinstance(bay, tuple)
    assert isinstance(size, tuple)
    return all(side <= room for side, room in zip(size, bay, strict=True))
