"""The next change, against trying everything one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from builds import a_build
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Facts, Level, checked
from pennyspeed.domain.kinds import SLOTS
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.units import KMH
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.shelf.change_words import say_change
from pennyspeed.services.shelf.next_change import cheapest_next_change
from services.swaps import CATALOGUE, demo_builds


def swaps(build: Build) -> Iterator[tuple[Build, int]]:
    """Every build one swap away, pinion with spur as one, and the price of what does not count."""
    for slot in SLOTS:
        for part in CATALOGUE[slot]:
            old = build.part(slot)
            if old is not None and old.same_article(part):
                continue
            beside = 0
            if not part.kind.counts:
                if part.price is None or part.price.amount.currency != build.currency:
                    continue
                beside = part.price.amount.minor
            yield build.with_part(part), beside
    for pinion in CATALOGUE["pinion"]:
        for spur in CATALOGUE["spur"]:
            yield build.with_part(pinion).with_part(spur), 0


@cache
def runs(place: int) -> list[Prediction | None]:
    """How a demo build runs one swap away; target and cap, which differ, drive no car."""
    cars = (assemble(taken) for taken, _ in swaps(demo_builds()[place]))
    return [None if car is None else predict(car) for car in cars]


def one_by_one(build: Build, place: int) -> tuple[bool, int, float] | None:
    """Whether the best reaches the target, its extra money and its speed, by brute force."""
    now = costs(build).counted.minor
    assert build.target_kmh is not None
    found = []
    for (taken, beside), run in zip(swaps(build), runs(place), strict=True):
        money = costs(taken)
        if money.unpriced or (money.left is not None and money.left.minor < 0):
            continue
        if any(
            one.level is Level.STOP for one in checked(Facts(taken, run, money, mass_kg(taken)))
        ):
            continue
        assert run is not None
        reaches = run.road_speed >= KMH.to_si(build.target_kmh)
        found.append((reaches, money.counted.minor - now + beside, run.road_speed))
    reaching = [one for one in found if one[0]]
    if reaching:
        return min(reaching, key=lambda one: (one[1], -one[2]))
    return max(found, key=lambda one: (one[2], -one[1]), default=None)


def targets(build: Build) -> list[float]:
    run = forecast(build).prediction
    assert run is not None
    return [round(KMH.from_si(run.road_speed) * share, 1) for share in (1.03, 1.12, 2.0)]


@pytest.mark.parametrize("place", range(4))
@pytest.mark.parametrize("step", range(3))
def test_it_is_what_trying_everything_finds(place: int, step: int) -> None:
    build = demo_builds()[place]
    build = replace(build, target_kmh=targets(build)[step])
    if step == 2:
        build = replace(build, cap=None)
    best, change = one_by_one(build, place), cheapest_next_change(build, CATALOGUE)
    now = forecast(build).prediction
    assert now is not None
    if best is None or best[2] <= now.road_speed * 1.001:
        assert change is None
        return
    assert change is not None
    assert change.reaches == best[0]
    assert change.cost.minor + change.beside_cap.minor == best[1]
    assert change.speed == pytest.approx(best[2], rel=2e-4)
    answer = forecast(change.build)
    assert answer.prediction is not None
    assert answer.band is not None
    assert change.speed == answer.prediction.road_speed
    assert change.gain == pytest.approx(change.speed - now.road_speed)
    assert change.chance == pytest.approx(answer.band.chance)
    assert 1 <= len(change.parts) <= 2
    assert all(answer.build.parts[part.kind_key] == part for part in change.parts)


def test_nothing_where_the_target_is_reached_the_car_is_not_whole_or_the_cap_is_spent() -> None:
    assert cheapest_next_change(a_build(target_kmh=20.0), CATALOGUE) is None
    assert cheapest_next_change(a_build().without_part("body"), CATALOGUE) is None
    spent = replace(a_build(), target_kmh=300.0, cap=Money(0, "EUR"))
    assert cheapest_next_change(spent, CATALOGUE) is None
    assert cheapest_next_change(replace(a_build(), target_kmh=300.0), {}) is None
    assert "Nothing" in say_change(spent, None)


def larger_pinion(build: Build) -> Part:
    price = Price(Money(500, build.currency), date(2027, 3, 1))
    return replace(build.parts["pinion"].with_figure("teeth", 38), name="38 teeth", price=price)


@pytest.mark.parametrize(("share", "reaches"), [(1.0005, False), (0.9995, True)])
def test_what_falls_just_short_of_the_target_does_not_reach_it(share: float, reaches: bool) -> None:
    pinion = larger_pinion(a_build())
    run = forecast(a_build().with_part(pinion)).prediction
    assert run is not None
    build = replace(a_build(), target_kmh=share * KMH.from_si(run.road_speed))
    change = cheapest_next_change(build, {"pinion": [pinion]})
    assert change is not None
    assert change.reaches is reaches
    assert ("brings most for what is left" in say_change(build, change)) is not reaches


def test_what_is_archived_is_never_the_next_change() -> None:
    build = replace(a_build(), target_kmh=300.0)
    pinion = larger_pinion(build)
    assert cheapest_next_change(build, {"pinion": [pinion]}) is not None
    assert cheapest_next_change(build, {"pinion": [replace(pinion, archived=True)]}) is None


def test_archived_parts_are_passed_over() -> None:
    build = replace(a_build(), target_kmh=300.0)
    change = cheapest_next_change(build, CATALOGUE)
    assert change is not None
    gone = {
        kind: [replace(one, archived=True) if one in change.parts else one for one in stock]
        for kind, stock in CATALOGUE.items()
    }
    other = cheapest_next_change(build, gone)
    assert other is None or other.parts != change.parts


def test_the_sentence_says_what_how_fast_and_for_how_much() -> None:
    for build in demo_builds():
        change = cheapest_next_change(build, CATALOGUE)
        if change is None:
            continue
        text = say_change(build, change)
        assert all(part.name in text for part in change.parts)
        assert "km/h" in text
        assert ("reaches" in text) == change.reaches


def test_a_part_without_a_price_is_never_named() -> None:
    build = replace(demo_builds()[3], target_kmh=300.0)
    change = cheapest_next_change(build, CATALOGUE)
    assert change is not None
    assert change.parts[0].kind_key == "pack"
    unpriced = {
        kind: [replace(one, price=None) if one in change.parts else one for one in stock]
        for kind, stock in CATALOGUE.items()
    }
    other = cheapest_next_change(build, unpriced)
    assert other is not None
    assert not any(part.name == change.parts[0].name for part in other.parts)
