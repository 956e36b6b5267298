"""Imports a build file: the build with the parts that it brings along."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money import Money
from pennyspeed.domain.parts import Part, Price
from pennyspeed.services.importers.importer import Contents, Importer, Known


def read(path: Path, known: Known) -> Contents:
    """Return the build that a file holds; its parts carry the prices of its lines of money."""
    from pennyspeed.services.build_files import read_build

    return Contents(build=_priced(read_build(path)))


def _priced(build: Build) -> Build:
    """Return the build with parts that cost what its lines say.

    A part new to the catalogue would otherwise lose its price at the first swap away and back.
    """

    def priced(slot: str, part: Part) -> Part:
        for line in build.lines:
            if line.part == slot and line.name == part.name and line.unit_price is not None:
                amount = Money.of(line.unit_price, build.currency)
                return replace(part, price=Price(amount, date.today(), line.supplier))
        return part

    return replace(
        build,
        parts={slot: priced(slot, part) for slot, part in build.parts.items()},
        extras=tuple(priced(part.kind_key, part) for part in build.extras),
    )


BUILD_FILE = Importer("a build file", (".build.json", ".json"), read)
