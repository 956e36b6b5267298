"""The bench: what is shown, what is tried on it, and who is told of what."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from pytestqt.qtbot import QtBot

from builds import a_build
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import MPH
from pennyspeed.services.prediction.forecast import Forecast, forecast

SIGNALS = ("build_changed", "tried_changed", "trial_settled", "slot_changed", "measures_changed")


@pytest.fixture
def told(bench: Bench) -> list[str]:
    """The names of the bench's signals, as they come."""
    names: list[str] = []
    for name in SIGNALS:
        getattr(bench, name).connect(lambda *_, name=name: names.append(name))
    return names


def motor(bench: Bench, name: str = "Shed 3300") -> Part:
    """Return a motor that is not the one on the bench."""
    found = shown(bench).part("motor")
    assert found is not None
    return replace(found, id=None, name=name, figures={**found.figures, "kv_rpm_per_v": 3300})


def figures(found: Forecast | None) -> object:
    """Return what tells one forecast from another, the arrays left out."""
    assert found is not None
    assert found.prediction is not None
    band = None if found.band is None else (found.band.p10, found.band.p90, found.band.chance)
    return found.prediction.road_speed, band, found.checks


def shown(bench: Bench) -> Build:
    assert bench.build is not None
    return bench.build


def test_a_build_that_is_shown_has_its_whole_forecast(bench: Bench, told: list[str]) -> None:
    build = a_build()
    bench.show(build)
    assert bench.build is build
    assert figures(bench.forecast) == figures(forecast(build, bench.measures))
    assert told == ["build_changed"]
    bench.show(None)
    assert (bench.build, bench.forecast) == (None, None)


def test_the_file_remembers_which_build_was_shown(bench: Bench, open_file: OpenFile) -> None:
    other = open_file.workshop.builds.create("Second")
    bench.show(other)
    again = open_file.workshop.builds.shown()
    assert again is not None
    assert again.id == other.id


def test_what_is_tried_has_its_run_at_once_and_its_band_when_the_hand_rests(
    bench: Bench, told: list[str], qtbot: QtBot
) -> None:
    part = motor(bench)
    bench.try_part(part)
    assert (bench.tried_parts, bench.tried_name) == ((part,), part.name)
    assert bench.trial is not None
    assert bench.trial.build == shown(bench).with_part(part)
    assert bench.trial.band is None
    assert told == ["tried_changed"]
    qtbot.waitUntil(lambda: "trial_settled" in told, timeout=10_000)
    assert figures(bench.trial) == figures(forecast(bench.trial.build, bench.measures))


def test_trying_the_same_again_tells_nobody(bench: Bench, told: list[str]) -> None:
    part = motor(bench)
    bench.try_part(part)
    bench.try_part(part)
    assert told == ["tried_changed"]
    bench.try_part(None)
    assert told == ["tried_changed"] * 2
    assert (bench.tried_parts, bench.tried_name, bench.trial) == ((), "", None)


def test_parts_tried_together_go_by_one_name(bench: Bench) -> None:
    pinion, spur = (shown(bench).part(slot) for slot in ("pinion", "spur"))
    assert pinion is not None
    assert spur is not None
    bench.try_parts([pinion, spur])
    assert bench.tried_name == f"{pinion.name} with {spur.name}"
    bench.try_parts([pinion, spur], "28 on 54")
    assert bench.tried_name == "28 on 54"


def test_whoever_needs_it_whole_gets_the_band_at_once(bench: Bench, told: list[str]) -> None:
    bench.try_part(motor(bench))
    assert bench.trial is not None
    assert bench.forecast_of(shown(bench)) is bench.forecast
    whole = bench.forecast_of(bench.trial.build)
    assert whole is not None
    assert whole.band is not None
    assert told[-1] == "trial_settled"
    assert bench.forecast_of(replace(shown(bench), target_kmh=12.0)) is None


def test_showing_a_build_ends_what_was_tried(bench: Bench) -> None:
    bench.try_part(motor(bench))
    bench.show(shown(bench))
    assert (bench.tried_parts, bench.tried_name, bench.trial) == ((), "", None)


def test_a_build_read_anew_is_shown_only_where_it_is_another(
    bench: Bench, open_file: OpenFile, told: list[str]
) -> None:
    bench.read_anew()
    bench.show_saved(open_file.workshop.builds.shown())
    assert told == []
    open_file.workshop.builds.save(replace(shown(bench), target_kmh=61.0))
    bench.read_anew()
    assert shown(bench).target_kmh == 61.0
    assert told == ["build_changed"]


def test_clearing_tells_only_of_what_was_tried(bench: Bench, told: list[str]) -> None:
    bench.try_part(motor(bench))
    bench.clear()
    assert (bench.build, bench.forecast, bench.trial) == (None, None, None)
    assert told == ["tried_changed"] * 2


def test_a_slot_is_told_once(bench: Bench, told: list[str]) -> None:
    bench.choose_slot("spur")
    bench.choose_slot("spur")
    assert bench.slot == "spur"
    assert told == ["slot_changed"]


def test_other_units_reach_the_forecast_and_what_is_tried(bench: Bench, told: list[str]) -> None:
    bench.choose_measures(Measures())
    assert told == []
    part = motor(bench)
    bench.try_part(part)
    imperial = Measures(speed_unit=MPH)
    bench.choose_measures(imperial)
    assert figures(bench.forecast) == figures(forecast(shown(bench), imperial))
    assert bench.tried_parts == (part,)
    assert told == ["tried_changed", "tried_changed", "measures_changed"]


def test_lead_times_that_change_no_check_repaint_nothing(bench: Bench, told: list[str]) -> None:
    bench.show(a_build())
    del told[:]
    lead_times = Leads.of([], [])
    bench.set_lead_times(lead_times)
    assert bench.lead_times is lead_times
    assert told == []


def test_a_lead_time_that_changes_a_check_is_shown(bench: Bench, told: list[str]) -> None:
    line = Line("motor", "Slow motor", unit_price=Decimal(30), supplier="Seed box")
    build = replace(a_build(), lines=(line,), event_date=date.today())
    bench.show(build)
    del told[:]
    before = bench.forecast
    assert before is not None
    bench.set_lead_times(Leads.of([], [Supplier("Seed box", "EUR", lead_days=90)]))
    assert bench.forecast is not None
    assert bench.forecast.checks != before.checks
    assert told == ["build_changed"]


def test_closing_the_file_leaves_no_band_to_be_drawn(
    bench: Bench, open_file: OpenFile, told: list[str], qtbot: QtBot
) -> None:
    bench.try_part(motor(bench))
    open_file.close()
    qtbot.wait(120)
    assert told == ["tried_changed"]
