"""The report for the terminal, read as its reader would."""

from __future__ import annotations

import re

from builds import a_build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH, OZ
from pennyspeed.services.forecast import forecast
from pennyspeed.services.report import WIDTH, report


def test_it_says_how_fast_how_sure_how_much_and_what_is_wrong() -> None:
    found = forecast(a_build(parts__motor__max_rpm=20000, event_date=None))
    text = report(found)
    assert found.prediction is not None
    speed = round(found.prediction.road_speed * 3.6)
    assert text.startswith("Allotment runner\n")
    assert f"{speed} km/h in 240 m of road" in text
    assert re.search(r"\d+ to \d+ km/h in 8 cases of 10", text)
    assert "of 100 reach the target of 80 km/h" in " ".join(text.split())
    assert "89.20 of 250.00 EUR, 160.80 EUR left" in text
    assert "spur 66 / pinion 33 × 2.5 = 5.00" in text
    assert "Watch (1)" in text
    assert "rated 20,000" in text
    assert "Not known (1)" in text
    assert "22 of 24 checks are fine." in text
    assert "local law" in " ".join(text.split())
    assert all(len(line) <= WIDTH for line in text.splitlines())


def test_it_follows_the_persons_units() -> None:
    imperial = Measures(speed_unit=MPH, length_unit=IN, mass_unit=OZ)
    build = a_build()
    text = report(forecast(build, imperial), imperial)
    assert "mph in 787 ft of road" in text  # 240 m is 787.4 ft
    assert "km/h" not in text


def test_a_car_that_is_not_whole_says_what_is_missing() -> None:
    text = report(forecast(a_build(parts__pack=None)))
    assert "cannot be said yet; still missing: pack" in text


def test_a_name_cannot_move_the_cursor() -> None:
    assert "\x1b" not in report(forecast(a_build(name="red\x1b[31m car")))
