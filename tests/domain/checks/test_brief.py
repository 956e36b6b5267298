"""Checks in few words: every one has some, and they have room in a row."""

from __future__ import annotations

import pytest

from pennyspeed.domain.checks import BY_CODE, Level, Outcome
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.units import IN, MPH

ROOM = 26
"""Letters that the column has room for."""


def brief(outcome: Outcome, measures: Measures = METRIC) -> str:
    return BY_CODE[outcome.code].brief(outcome, measures)


@pytest.mark.parametrize("code", BY_CODE)
@pytest.mark.parametrize("level", Level)
def test_every_check_has_words_for_every_end(code: str, level: Level) -> None:
    said = BY_CODE[code].in_general(level)
    assert said
    assert len(said) <= ROOM
    assert (said == "fine") is (level is Level.OK)


NAMED = {
    "cells-over-controller": "cells",
    "gear-module": "module",
    "pinion-bore": "bore",
    "mesh-distance": "mesh",
    "motor-can": "can",
    "motor-length": "long",
    "pack-bay": "pack",
    "electrical-rpm": "electrical",
    "connector": "plug",
    "cannot-move": "move",
    "cannot-stop": "stop",
    "motor-rpm": "rated rpm",
    "tyre-speed": "tyres",
    "free-spin": "in the air",
    "current-controller": "controller",
    "current-motor": "motor’s rating",
    "current-pack": "pack’s",
    "pack-voltage": "sag",
    "motor-temperature": "hot",
    "front-load": "front",
    "rear-load": "rear",
    "wheelie": "front wheels lift",
    "road-short": "road",
    "target": "target",
    "margin": "late lift",
    "pack-flat": "flat",
    "masses": "mass",
    "cap": "cap",
    "late": "late",
}


@pytest.mark.parametrize("code", BY_CODE)
def test_what_is_broken_is_called_by_its_own_name(code: str) -> None:
    assert NAMED[code] in BY_CODE[code].in_general(Level.STOP)


@pytest.mark.parametrize(
    ("code", "value", "limit", "said"),
    [
        ("motor-rpm", 38_600.0, 38_400.0, "200 rpm past rating"),
        ("electrical-rpm", 95_500.0, 80_000.0, "95,500 electrical rpm"),
        ("motor-can", 42.0, 37.0, "42 mm can, room for 37"),
        ("motor-length", 61.5, 60.0, "61.5 mm long, room 60"),
        ("pack-bay", 139.0, 135.0, "139 mm, bay 135"),
        ("gear-module", 0.6, 0.8, "module 0.6 to 0.8"),
        ("pinion-bore", 5.0, 3.175, "bore 5, shaft 3.175 mm"),
        ("mesh-distance", 30.0, 27.9, "mesh 2.1 mm too wide"),
        ("mesh-distance", 20.0, 21.5, "mesh 1.5 mm too tight"),
        ("cells-over-controller", 4.0, 3.0, "4 cells, takes 3"),
        ("current-motor", 130.4, 110.0, "motor 130 A, rated 110"),
        ("current-pack", 110.4, 110.0, "pack 110.4 A, rated 110.0"),
        ("tyre-speed", 130.0, 110.0, "tyres rated 110 km/h"),
        ("target", 118.4, 130.0, "118 km/h at most"),
        ("margin", -7.2, 0.0, "7 m off, lifting late"),
        ("motor-temperature", 118.2, 100.0, "motor 118 °C hot"),
        ("pack-voltage", 3.05, 3.2, "cells down to 3.05 V"),
        ("connector", "wedge 45", "flat 60", "plugs wedge 45 and flat 60"),
        ("cap", "275.50", "260.00", "15.50 over the cap"),
        ("cap", "27550", "26000", "1,550 over the cap"),
    ],
)
def test_words_say_by_how_much(code: str, value: object, limit: object, said: str) -> None:
    check = Outcome(code, Level.STOP, value, limit, "")  # type: ignore[arg-type]
    assert brief(check) == said
    assert len(said) <= ROOM


def test_words_are_in_the_person_s_units() -> None:
    measures = Measures(speed_unit=MPH, length_unit=IN, decimal=",")
    assert (
        brief(Outcome("tyre-speed", Level.WARN, 130.0, 110.0, ""), measures) == "tyres rated 68 mph"
    )
    can = brief(Outcome("motor-can", Level.STOP, 42.0, 37.0, ""), measures)
    assert can == "1,654 in can, room for 1,457"


def test_what_cannot_be_said_says_what_is_lacking() -> None:
    check = Outcome("tyre-speed", Level.UNKNOWN, None, None, "")
    assert brief(check) == "tyres’ rating not known"
