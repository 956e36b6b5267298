"""The demo builds: made of the catalogue's parts, each telling its own story about one target."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from functools import cache

import pytest

from pennyspeed import resources
from pennyspeed.domain.assembly import assemble, drawn_figures
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build, Status
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import KINDS, SLOTS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.physics.car import VOLTAGE
from pennyspeed.physics.predict import predict
from pennyspeed.services.prediction.forecast import Forecast, forecast
from services.demo_catalogue import meshes, parts, sits

CLUB_CAR, PRINTED_FRAME, SWAP_TABLE = "club-car-130", "printed-frame", "swap-table"
DEMO_BUILDS = (CLUB_CAR, PRINTED_FRAME, SWAP_TABLE)
KMH = 3.6


@cache
def document(name: str) -> Build:
    path = resources.path(f"demo/builds/{name}.build.json")
    return build_from_document(json.loads(path.read_text(encoding="utf-8")))


@cache
def answer(name: str) -> Forecast:
    return forecast(document(name))


def levels(found: Forecast) -> dict[str, Level]:
    return {check.code: check.level for check in found.checks}


@pytest.mark.parametrize("name", DEMO_BUILDS)
def test_a_demo_build_is_made_of_the_catalogues_own_parts(name):
    build = document(name)
    assert not build.empty_slots
    for part in (*build.parts.values(), *build.extras):
        twins = [other for other in parts(part.kind_key) if part.same_article(other)]
        assert len(twins) == 1, part.name


@pytest.mark.parametrize("name", DEMO_BUILDS)
def test_a_demo_build_pays_catalogue_prices_and_leaves_out_packs_and_radio(name):
    build = document(name)
    prices = {
        (kind.key, part.name): None if part.price is None else part.price.amount.amount
        for kind in KINDS
        for part in parts(kind.key)
    }
    for line in build.lines:
        if line.part:
            assert build.unit_price(line)[0] == prices[line.part, line.name], line.name
    for slot in SLOTS:
        line = build.line(slot)
        assert line is not None
        assert line.name == build.parts[slot].name
    uncounted = {line.name for line in build.lines if not line.counts}
    assert {build.parts["pack"].name, "Receiver, three channels", "Handset"} <= uncounted


@pytest.mark.parametrize("name", DEMO_BUILDS)
def test_a_demo_build_is_for_the_club_day(name):
    build = document(name)
    assert build.target_kmh == 130
    assert build.cap == Money(26000, "EUR")
    assert build.event_date == date(2027, 4, 10)
    assert 220 <= build.condition("road_m") <= 300


def test_the_three_builds_show_every_status_and_a_quantity():
    lines = [line for name in DEMO_BUILDS for line in document(name).lines]
    assert {line.status for line in lines} == set(Status)
    assert any(line.quantity > 1 for line in lines)


def test_the_club_car_misses_its_target_and_says_why():
    found = answer(CLUB_CAR)
    assert found.prediction is not None
    assert found.band is not None
    assert found.band.chance is not None
    assert 112 < found.band.p50 * KMH < 122
    assert found.band.chance < 0.2
    assert 112 < found.prediction.road_speed * KMH < 122
    of_level = {
        level: {code for code, its in levels(found).items() if its is level} for level in Level
    }
    assert of_level[Level.STOP] == set()
    assert of_level[Level.WARN] == {"motor-rpm", "late", "target", "margin"}
    assert of_level[Level.UNKNOWN] == {"current-motor"}
    # Geared too short: it runs out of revs on a road that would allow the target.
    assert found.prediction.at_top is not None
    assert found.prediction.at_top.limit == VOLTAGE
    assert found.costs.left is not None
    assert found.costs.left.minor > 0


def test_the_club_cars_cheapest_change_that_reaches_the_target_is_a_pinion():
    build = document(CLUB_CAR)
    spent = answer(CLUB_CAR).costs.counted.minor
    by_price, by_change = [], []
    for slot in SLOTS:
        for part in parts(slot):
            if part.price is None or not _faster(build.with_part(part), 130):
                continue
            found = forecast(build.with_part(part))
            left = found.costs.left
            assert left is not None
            if left.minor >= 0 and not stops(found):
                by_price.append((part.price.amount.minor, slot))
                by_change.append((found.costs.counted.minor - spent, slot))
    # The motor is bought, and another one would not bring its money back.
    assert {slot for _, slot in by_price} == {"pinion"}
    assert min(by_price)[1] == min(by_change)[1] == "pinion"


def stops(found: Forecast) -> list[str]:
    return [check.code for check in found.checks if check.level is Level.STOP]


def _faster(build: Build, kmh: float) -> bool:
    car = assemble(build)
    assert car is not None
    return predict(car).road_speed * KMH >= kmh


@pytest.mark.parametrize("slot", ["pinion", "motor"])
def test_swaps_on_the_club_car_show(slot):
    build = document(CLUB_CAR)

    def speed(part: Part) -> float:
        car = assemble(build.with_part(part))
        assert car is not None
        return predict(car).road_speed * KMH

    fits: dict[str, Callable[[Part], bool]] = {
        "pinion": lambda p: meshes(build.parts["chassis"], p, build.parts["spur"]),
        "motor": lambda p: sits(build.parts["chassis"], p),
    }
    speeds = [speed(part) for part in parts(slot) if fits[slot](part)]
    assert len(speeds) >= 5
    assert max(speeds) - min(speeds) > 20


def test_the_printed_frame_reaches_the_target_inside_the_cap():
    found = answer(PRINTED_FRAME)
    assert found.band is not None
    assert found.band.chance is not None
    assert found.band.p50 * KMH > 130
    assert 0.6 < found.band.chance < 1
    assert found.costs.left is not None
    assert found.costs.left.minor >= 0
    # the reserve of a new build is less than half a second at this speed
    watched = {code for code, level in levels(found).items() if level is not Level.OK}
    assert watched == {"margin"}


def test_the_swap_table_car_is_cheap_and_slow_and_needs_a_plug():
    """Cars of 1:10 on two cells do roughly 45 to 80 km/h."""
    build = document(SWAP_TABLE)
    found = answer(SWAP_TABLE)
    assert build.cap is not None
    assert found.costs.counted.minor < build.cap.minor / 2
    assert found.prediction is not None
    assert 45 < found.prediction.road_speed * KMH < 80
    assert stops(found) == ["connector"]


def test_the_fastest_sensible_car_of_the_catalogue_is_no_fairy_tale():
    """Road cars of 1:8 on six cells and stock gears do roughly 130 to 180 km/h."""
    choice = {
        "chassis": "Larch 325 road car", "motor": "Bittern 1950", "controller": "Gabbro 150",
        "pack": "Spelt 6 cells 4200", "pinion": "28 teeth, module 1.0, bore 5",
        "spur": "46 teeth, module 1.0", "tyres": "Comfrey 100 belted",
        "body": "Zander road shell with floor",
    }  # fmt: skip
    build = document(CLUB_CAR)
    for slot, name in choice.items():
        build = build.with_part(next(part for part in parts(slot) if part.name == name))
    assert stops(forecast(build)) == []
    car = assemble(build)
    assert car is not None
    assert 150 < predict(car).top_speed * KMH < 180


def test_the_band_of_the_club_car_comes_from_figures_of_several_sources():
    build = document(CLUB_CAR)
    sources = {build.parts[d.key[0]].provenance_of(d.key[1])
               for d in drawn_figures(build) if d.key[0] in build.parts}  # fmt: skip
    assert sources == set(Provenance) - {Provenance.WORKED_OUT}
