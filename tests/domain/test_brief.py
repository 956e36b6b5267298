"""A check in few words: no outcome without words, and the words are of that outcome."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from builds import a_build, document
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import RULES, Check, Facts, Level, checked
from pennyspeed.domain.checks.brief import BROKEN, FINE, LACKING, brief, in_general
from pennyspeed.domain.costs import costs
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH
from pennyspeed.physics.predict import predict


def outcomes(build: Build) -> tuple[Check, ...]:
    car = assemble(build)
    prediction = None if car is None else predict(car)
    return checked(Facts(build, prediction, costs(build), mass_kg(build)))


def builds_that_lack_a_figure() -> Iterator[Build]:
    for slot, part in document()["parts"].items():
        if slot != "extras":
            for field in BY_KEY[slot].fields:
                if field.key in part and not field.required:
                    yield a_build(**{f"parts__{slot}__{field.key}": None})
    nothing = a_build(money__cap=None, event_date=None)
    given = document()
    given["money"]["lines"][0].update(unit_price=None, arrives=None)
    yield from (nothing, build_from_document(given))


def test_every_check_has_words_for_being_broken() -> None:
    assert BROKEN.keys() == RULES.keys()
    assert len(set(BROKEN.values())) == len(BROKEN)
    for code in RULES:
        for level in (Level.STOP, Level.WARN):
            assert in_general(code, level) == BROKEN[code]
            assert brief(Check(code, level, None, None, "")) == BROKEN[code]
        assert in_general(code, Level.OK) == FINE


def test_every_check_that_can_lack_a_figure_says_which() -> None:
    lacked = {
        check.code
        for build in builds_that_lack_a_figure()
        for check in outcomes(build)
        if check.level is Level.UNKNOWN
    }
    assert lacked == LACKING.keys()
    for code in RULES:
        expected = f"{LACKING[code]} not known" if code in LACKING else "cannot be said yet"
        assert brief(Check(code, Level.UNKNOWN, None, None, "")) == expected


@pytest.mark.parametrize(
    ("code", "value", "limit", "words"),
    [
        ("cells-over-controller", 4, 3, "4 cells, takes 3"),
        ("gear-module", 0.8, 0.6, "module 0.8 to 0.6"),
        ("pinion-bore", 5.0, 3.175, "bore 5, shaft 3.175 mm"),
        ("mesh-distance", 30.0, 28.5, "mesh 1.5 mm too wide"),
        ("mesh-distance", 22.5, 24.0, "mesh 1.5 mm too tight"),
        ("motor-can", 40.5, 36.0, "40.5 mm can, room for 36"),
        ("motor-length", 80.0, 56.0, "80 mm long, room 56"),
        ("pack-bay", 150.0, 142.0, "150 mm, bay 142"),
        ("electrical-rpm", 251_300.0, 210_000.0, "251,000 electrical rpm"),
        ("connector", "round 4", "ring 5", "plugs round 4 and ring 5"),
        ("motor-rpm", 40_000.0, 38_000.0, "2,000 rpm past rating"),
        ("tyre-speed", 140.0, 120.0, "tyres rated 120 km/h"),
        ("current-controller", 35.2, 2.4, "controller 35 A, rated 2.4"),
        ("current-motor", 150.0, 120.0, "motor 150 A, rated 120"),
        ("current-pack", 120.4, 120.0, "pack 120.4 A, rated 120.0"),
        ("pack-voltage", 3.05, 3.2, "cells down to 3.05 V"),
        ("motor-temperature", 131.4, 100.0, "motor 131 °C hot"),
        ("cap", "310.50", "260.00", "50.50 over the cap"),
        ("cap", "3100", "2600", "500 over the cap"),
    ],
)
def test_it_says_by_how_much(code: str, value: float | str, limit: float | str, words: str) -> None:
    assert brief(Check(code, Level.WARN, value, limit, "")) == words
    assert len(words) <= 28
    assert brief(Check(code, Level.OK, value, limit, "")) == FINE


def test_it_follows_the_persons_units() -> None:
    imperial = Measures(speed_unit=MPH, length_unit=IN, decimal=",", group=".")
    assert brief(Check("tyre-speed", Level.WARN, 200.0, 160.9344, ""), imperial) == (
        "tyres rated 100 mph"
    )
    assert brief(Check("motor-can", Level.STOP, 38.1, 25.4, ""), imperial) == (
        "1,5 in can, room for 1"
    )
    assert brief(Check("cap", Level.WARN, "310.50", "260.00", ""), imperial) == (
        "50,50 over the cap"
    )
