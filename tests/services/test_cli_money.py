"""Money and dates on the command line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from icalendar import Calendar

from builds import a_build
from cli_runs import Captured, ran
from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.build_files import write_build
from pennyspeed.services.workshop import Workshop

EVENT = date.today() + timedelta(days=40)


def a_plan() -> Build:
    """Spent 10.00 and its share of the postage, promised 4.50, planned 20.00; 3.00 do not count."""
    lines = (
        Line("", "Foam", Decimal(2), Decimal(5), Status.RECEIVED, supplier="Seed box", order="A"),
        Line("", "Screws", Decimal(1), Decimal("4.50"), Status.ORDERED, supplier="Attic"),
        Line("motor", "Greenhouse 3100", unit_price=Decimal(20), supplier="Seed box"),
        Line("", "Radio", unit_price=Decimal(3), counts=False),
        Line("", "Paint"),
    )
    order = Order("A", "Seed box", postage=Decimal("1.25"))
    return replace(a_build(), lines=lines, orders=(order,), event_date=EVENT)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "parts.sqlite"
    with Workshop.open(path) as workshop:
        workshop.builds.save(a_plan())
        workshop.suppliers.save(Supplier("Seed box", "EUR", lead_days=6))
    return path


def test_money_lists_every_line_and_adds_them_up(capsys: Captured, data: Path) -> None:
    code, out, _ = ran(capsys, "--data", data, "money", "Allotment runner")
    rows = [line.split() for line in out.splitlines()]
    assert code == 0
    # 2 × 5.00 with 1.25 of postage.
    assert [row[:3] for row in rows if row[:1] == ["received"]] == [["received", "Foam", "11.25"]]
    assert ["counts", "11.25", "4.50", "20.00", "35.75"] in rows
    assert ["does", "not", "count", "0.00", "0.00", "3.00", "3.00"] in rows
    assert ["Seed", "box", "11.25", "0.00", "20.00", "31.25"] in rows
    assert "Cap: 35.75 of 250.00 EUR, 214.25 EUR left" in out
    assert "Without a price: Paint" in out


def test_money_takes_a_file_as_well(capsys: Captured, data: Path, tmp_path: Path) -> None:
    path = tmp_path / "car.build.json"
    write_build(a_plan(), path)
    assert build_from_document(document_from_build(a_plan())) == a_plan()
    from_file = ran(capsys, "--data", tmp_path / "none.sqlite", "money", path)
    assert from_file == ran(capsys, "--data", data, "money", "Allotment runner")
    assert not (tmp_path / "none.sqlite").exists()


def test_dates_are_listed_and_written_for_another_calendar(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    code, out, _ = ran(capsys, "--data", data, "dates", "Allotment runner")
    order_by = EVENT - timedelta(days=7)  # six on the way, one of margin
    assert code == 0
    (said,) = [line for line in out.splitlines() if line.startswith(order_by.isoformat())]
    assert "Order Greenhouse 3100 by" in said
    assert "Screws is ordered, and no day is known" in out
    path = tmp_path / "dates.ics"
    code, out, err = ran(capsys, "--data", data, "dates", "Allotment runner", "-o", path)
    assert (code, out) == (0, "")
    assert str(path) in err
    # Read back with the icalendar library.
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    assert {event.decoded("dtstart") for event in events} == {order_by, EVENT}


def test_dates_go_into_a_file_of_dates_only(capsys: Captured, data: Path, tmp_path: Path) -> None:
    path = tmp_path / "dates.txt"
    code, out, err = ran(capsys, "--data", data, "dates", "Allotment runner", "-o", path)
    assert (code, out) == (2, "")
    assert "expected a name that ends in .ics" in err
    assert not path.exists()


def test_a_report_says_by_when_to_order(capsys: Captured, data: Path) -> None:
    _, out, _ = ran(capsys, "--data", data, "predict", "Allotment runner")
    assert "> Order by" in out


def test_the_cheapest_shops_for_all_that_is_left_to_buy(capsys: Captured, data: Path) -> None:
    with Workshop.open(data) as workshop:
        motor = workshop.builds.named("Allotment runner").parts["motor"]
        assert motor.id is not None
        asked = Price(Money.of("15", "EUR"), date.today(), "Quay shop")
        workshop.offers.save(motor.id, asked)
        workshop.suppliers.save(Supplier("Quay shop", "EUR", postage=Decimal("2.50"), lead_days=3))
    code, out, _ = ran(capsys, "--data", data, "basket", "Allotment runner")
    rows = [line.split("  ") for line in out.splitlines()]
    rows = [[cell.strip() for cell in row if cell] for row in rows]
    assert code == 0
    assert ["Greenhouse 3100", "Quay shop", "15.00"] in rows
    assert ["Quay shop", "15.00", "0.00", "2.50", "17.50"] in rows
    # Radio for 3.00 from nobody named, 15.00 and 2.50 from the quay; 20.00 from the seed box now.
    assert out.endswith("In all 20.50 EUR, 2.50 EUR less than from the shops named now\n")
