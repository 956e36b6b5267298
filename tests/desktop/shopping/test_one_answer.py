"""The day to order on is one answer: terminal, window, sheet, shopping list, days and basket."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.money_story import day
from pennyspeed.cli import run
from pennyspeed.desktop.shopping.days import DaysPage
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.calendar import ItemKind
from pennyspeed.domain.money.days import say_day
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.workshop import Workshop

SHOP = "Pebble quay"
EVENT = day(60)
TOOK = 9
ORDER_BY = EVENT - timedelta(days=TOOK + 1)
"""By hand: the shop says 6 days, the one order that came from there took 9, and a day in hand."""
SENTENCE = f"Order by {say_day(ORDER_BY)}"


@pytest.fixture
def shop_file(file: Path) -> Path:
    """The file of the window: a shop with its days, an offer, an order that came, and a plan."""
    with Workshop.open(file) as workshop:
        build = workshop.builds.shown()
        assert build is not None
        motor = build.parts["motor"]
        workshop.suppliers.save(Supplier(SHOP, "EUR", lead_days=6))
        assert motor.id is not None
        workshop.offers.save(motor.id, Price(Money(3100, "EUR"), day(-2), SHOP))
        came = Line(
            "", "an old order", unit_price=Decimal(1), status=Status.RECEIVED, supplier=SHOP,
            ordered=day(-30), arrived=day(-30 + TOOK),
        )  # fmt: skip
        workshop.builds.save(Build("last year's car", lines=(came,)))
        lines = [
            replace(line, status=Status.OWNED) if line.fitted else line for line in build.lines
        ]
        plan = Line("motor", motor.name, unit_price=Decimal(31), supplier=SHOP)
        place = build.fitted_line("motor")
        assert place is not None
        lines[place] = plan
        workshop.builds.save(replace(build, lines=tuple(lines), orders=(), event_date=EVENT))
    return file


def late_advice(window: Window) -> str:
    forecast = window.session.bench.forecast
    assert forecast is not None
    return next(check.advice for check in forecast.checks if check.code == "late")


def test_every_place_that_speaks_of_it_names_one_day(
    shop_file: Path,
    open_window: Callable[..., Window],
    qtbot: QtBot,
    capsys: pytest.CaptureFixture[str],
) -> None:
    with Workshop.open(shop_file) as workshop:
        build = workshop.builds.shown()
        assert build is not None
        name = build.name
        basket = workshop.basket(build, day(0))
    assert {choice.lead_days for choice in basket.choices if choice.price is not None} == {TOOK}

    assert run(["--data", str(shop_file), "predict", name]) == 0
    assert SENTENCE in " ".join(capsys.readouterr().out.split())
    assert run(["--data", str(shop_file), "dates", name]) == 0
    assert f"{ORDER_BY.isoformat()}" in capsys.readouterr().out
    for kind, words in (("bench", SENTENCE), ("shopping", f"by {say_day(ORDER_BY)}")):
        out = shop_file.with_name(f"{kind}.txt")
        order = ["--data", str(shop_file), "sheet", name, "--kind", kind, "-o", str(out)]
        assert run(order) == 0
        assert words in " ".join(out.read_text(encoding="utf-8").split()), kind

    window = open_window()
    qtbot.waitUntil(lambda: window.session.bench.lead_times is not None)
    assert SENTENCE in late_advice(window)
    page = window.money_pages.show_days()
    assert isinstance(page, DaysPage)
    qtbot.waitUntil(lambda: not window.money_pages.shopping.is_learning)
    assert [item.day for item in page.items if item.kind is ItemKind.ORDER_BY] == [ORDER_BY]
    assert SENTENCE in late_advice(window)
