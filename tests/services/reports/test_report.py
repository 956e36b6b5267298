"""The report for the terminal, read as its reader would."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from math import exp

from builds import a_build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH, OZ
from pennyspeed.physics.results import PowerBooks
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.figure_rows import power_rows
from pennyspeed.services.reports.report import WIDTH, report


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
    flat = " ".join(text.split())
    assert "final drive ratio 5.00 = spur 66 / pinion 33 × 2.5" in flat
    # π × 65 mm / 5, common practice, no source
    assert "roll-out 40.8 mm for one turn of the motor" in flat
    assert "Watch (2)" in text
    assert "rated 20,000" in text
    assert "A lift half a second late leaves the road" in text
    assert "Not known (1)" in text
    assert "26 of 29 checks are fine." in text
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


def test_a_car_that_cannot_move_has_no_run_and_says_why() -> None:
    text = report(forecast(a_build(conditions__slope_percent=60)))
    assert "0 km/h in 240 m of road" in text
    assert "by a push too weak to move it off" in text
    assert "Stop (1)" in text
    for line in ("Run ", "Electrics "):
        assert f"\n{line}" not in text
    assert f"\nGears{'':6}final drive ratio 5.00" in text


def test_advice_stands_under_what_it_mends() -> None:
    found = forecast(a_build(parts__tyres__rated_kmh=60, parts__motor__max_rpm=20000))
    lines = report(found).splitlines()
    for check in found.checks:
        if check.code in ("tyre-speed", "motor-rpm"):
            assert check.advice
            start = next(i for i, line in enumerate(lines) if line == f"  - {check.text}")
            advice = [lines[start + 1]]
            assert advice[0].startswith("    > ")
            for line in lines[start + 2 :]:
                if not line.startswith("      "):
                    break
                advice.append(line)
            assert " ".join(" ".join(advice).split()) == f"> {check.advice}"


def test_a_warm_motor_is_given_its_rest_before_the_next_run() -> None:
    assert "of rest" not in report(forecast(a_build()))
    found = forecast(a_build(conditions__motor_temperature_c=95, conditions__air_temperature_c=17))
    flat = " ".join(report(found).split())
    minutes = int(re.search(r"(\d+) min of rest before the next run", flat)[1])
    rise = found.prediction.motor_rise
    later = 17 + (95 + rise - 17) * exp(-minutes / 10)  # Newton's law of cooling, 600 s
    sooner = 17 + (95 + rise - 17) * exp(-(minutes - 2) / 10)
    assert later + rise <= 100 < sooner + rise


def test_a_name_cannot_move_the_cursor() -> None:
    assert "\x1b" not in report(forecast(a_build(name="red\x1b[31m car")))


def test_of_the_power_a_share_of_half_a_percent_or_less_is_not_listed() -> None:
    books = PowerBooks(**{one.name: 0.0 for one in fields(PowerBooks)})
    rows = power_rows(replace(books, drag=199.0, rolling=1.0), Measures())
    assert [name for name, _, _ in rows] == ["air"]
    rows = power_rows(replace(books, drag=198.0, rolling=2.0), Measures())
    assert [name for name, _, _ in rows] == ["air", "rolling"]
