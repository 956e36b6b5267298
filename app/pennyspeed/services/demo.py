"""The demo: an invented catalogue and the builds of an invented club, for the first start."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price
from pennyspeed.domain.parts.recipes import recipe_from_document
from pennyspeed.resources import path
from pennyspeed.services.build_files import read_build
from pennyspeed.services.importers.tables.preview import preview
from pennyspeed.services.importers.tables.table_import import stock_of, take

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


def fill(work: Work) -> Build | None:
    """Put the demo's parts and builds into an empty file; return the build to show first.

    The caller commits: a start that is cut short leaves no half a demo.
    """
    for table in sorted(path("demo/parts").glob("*.csv")):
        take(work, preview(table, stock_of(work)))
    saved = {
        (part.kind_key, part.name): part for kind in KINDS for part in work.parts.of_kind(kind.key)
    }
    made = json.loads(path("demo/recipes.json").read_text(encoding="utf-8"))
    for kind_key, recipes in made.items():
        for name, recipe in recipes.items():
            found = recipe_from_document(recipe, f"recipe of {name}")
            work.parts.save(replace(saved[kind_key, name], recipe=found))
    for row in _rows("suppliers"):
        work.suppliers.save(
            Supplier(
                row["name"],
                row["currency"],
                Decimal(row["postage"]),
                Decimal(row["free_from"]) if row["free_from"] else None,
                int(row["lead_days"]),
                Decimal(row["duty_percent"]),
                row["note"],
            )
        )
    for row in _rows("offers"):
        price = Price(
            Money.of(row["price"], row["currency"]),
            date.fromisoformat(row["on"]),
            row["supplier"],
            row["link"],
            int(row["in_stock"]) if row["in_stock"] else None,
            int(row["lead_days"]),
        )
        id = saved[row["kind"], row["name"]].id
        assert id is not None
        work.offers.save(id, price)
    shown = None
    # Backwards, so that the first is the newest of the list.
    for file in sorted(path("demo/builds").glob("*.build.json"), reverse=True):
        shown = work.builds.save(read_build(file))
    return shown


def _rows(name: str) -> list[dict[str, str]]:
    with path(f"demo/{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))
