"""Sheets of the tests' own builds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.sheet.document import (
    Sheet,
)
from pennyspeed.services.sheet.making import build_sheet

MADE = date(2027, 3, 4)


def stored(build: Build | None = None) -> Build:
    """Return a build as if it had been stored."""
    return replace(build or a_build(), id=7, code="K7QX2M", revision=14)


def a_sheet(build: Build | None = None, **options: Any) -> Sheet:
    """Return the sheet of a build, the tests' own unless given."""
    options.setdefault("made", MADE)
    return build_sheet(forecast(stored() if build is None else build), **options)


def with_many_extras(build: Build, count: int) -> Build:
    """Return a build with so many extras beside its parts."""
    for i in range(count):
        build = build.with_part(Part("extras", f"Ballast plate {i + 1}", {"mass_g": 5.0}))
    return build


def in_other_letters(build: Build) -> Build:
    """Return a build whose parts have names in letters that the shipped font lacks."""
    names = {"motor": "モーター 三一〇〇", "pack": "Батарея 3 банки", "body": "هيكل طويل"}
    parts = {
        slot: replace(part, name=names.get(slot, part.name)) for slot, part in build.parts.items()
    }
    return replace(build, name="Žluťoučký kůň 車", parts=parts, lines=())


def with_long_names(build: Build) -> Build:
    """Return a build whose names are as long as names may be, one of them without a space."""
    parts = dict(build.parts)
    parts["motor"] = replace(parts["motor"], name="Greenhouse with a very long tail " * 6)
    parts["body"] = replace(parts["body"], name="L" + "o" * 190 + "ng")
    return replace(build, name="Allotment " * 19, parts=parts)
