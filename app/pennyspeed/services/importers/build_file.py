"""Imports a build file: the build with the parts that it brings along."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.importer import Imported, Importer

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


def _priced(build: Build) -> Build:
    """Return the build with parts that cost what its lines say.

    A part new to the catalogue would otherwise lose its price at the first swap away and back.
    """

    def priced(slot: str, part: Part) -> Part:
        for line in build.lines:
            # A line below 0 gives something back; no part costs that.
            price = line.unit_price
            if line.part == slot and line.name == part.name and price is not None and price >= 0:
                amount = Money.of(price, line.currency or build.currency)
                return replace(part, price=Price(amount, date.today(), build.supplier_of(line)))
        return part

    return replace(
        build,
        parts={slot: priced(slot, part) for slot, part in build.parts.items()},
        extras=tuple(priced(part.kind_key, part) for part in build.extras),
    )


class BuildFile(Importer):
    """A build with its parts, as :mod:`~pennyspeed.services.build_files` writes it."""

    label = "a build file"
    suffixes = (".build.json", ".json")

    def take(self, work: Work, path: Path) -> Imported:
        """Add the build; its parts carry the prices of its lines of money."""
        from pennyspeed.services.build_files import read_build

        build = _priced(read_build(path))
        before = work.parts.count()
        build = work.builds.save(replace(build, name=work.builds.free_name(build.name)))
        added = work.parts.count() - before
        parts = "1 part" if added == 1 else f"{added} parts"
        return Imported(f"{build.name} added, with {parts} new.", build)
