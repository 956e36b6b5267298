"""Changes of the catalogue taken back: what was there before is there again, prices included."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from builds import a_build
from pennyspeed.domain.errors import InUse
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.catalogue import PartChange
from pennyspeed.services.workshop import Workshop
from pennyspeed.storage.changes import Kept
from pennyspeed.storage.prepared import Prepared


def price(minor: int, day: str = "2027-03-01", supplier: str = "Seed box") -> Price:
    return Price(Money(minor, "EUR"), date.fromisoformat(day), supplier)


def everything(workshop: Workshop) -> dict[int, Kept]:
    """Return the whole catalogue by number, with every price."""
    with workshop.begin(reading=True) as work:
        found = [part for kind in KINDS for part in work.parts.of_kind(kind.key, archived=True)]
        return {part.id: work.parts.kept(part.id) for part in found if part.id is not None}


def again(changes: Sequence[PartChange]) -> list[PartChange]:
    return [change.reversed() for change in reversed(changes)]


@pytest.fixture
def part(workshop: Workshop) -> Part:
    """A pinion that was dearer once, and has a price of the same day beside the current one."""
    made = workshop.catalogue.save_part(Part("pinion", "19 teeth", {"teeth": 19, "module_mm": 0.8}))
    for one in (price(520, "2027-01-10"), price(480, supplier="Pier 3"), price(490)):
        made = workshop.catalogue.save_part(replace(made, price=one))
    return made


CHANGES: dict[str, Callable[[Workshop, Part], PartChange]] = {
    "a figure": lambda w, p: w.catalogue.change_part(p.with_figure("mass_g", 5.0)),
    "a name": lambda w, p: w.catalogue.change_part(replace(p, name="nineteen")),
    "a price": lambda w, p: w.catalogue.change_part(replace(p, price=price(4900, "2027-05-01"))),
    "a price it had": lambda w, p: w.catalogue.change_part(
        replace(p, price=price(520, "2027-01-10"))
    ),
    "no price": lambda w, p: w.catalogue.change_part(replace(p, price=None)),
    "archived": lambda w, p: w.catalogue.archive_part(p.id or 0),
    "deleted": lambda w, p: w.catalogue.delete_part(p.id or 0),
    "new": lambda w, p: w.catalogue.change_part(replace(p, id=None, name="a new one")),
}


@pytest.mark.parametrize("what", CHANGES)
def test_taking_a_change_back_leaves_no_trace(workshop: Workshop, part: Part, what: str) -> None:
    before = everything(workshop)
    change = CHANGES[what](workshop, part)
    after = everything(workshop)
    assert after != before
    workshop.catalogue.turn_back([change])
    assert everything(workshop) == before
    workshop.catalogue.turn_back(again([change]))
    assert everything(workshop) == after


def test_a_mistaken_price_goes_and_one_from_elsewhere_stays(workshop: Workshop, part: Part) -> None:
    mistaken, elsewhere = price(49000, "2027-05-01"), price(470, "2027-06-01", "Pond Street")
    change = workshop.catalogue.change_part(replace(part, price=mistaken))
    with Workshop.open(workshop.path) as other:
        other.catalogue.save_part(replace(part, price=elsewhere))
    workshop.catalogue.turn_back([change])
    assert part.id is not None
    assert workshop.catalogue.part(part.id).price == part.price
    history = workshop.catalogue.price_history(part.id)
    assert elsewhere in history
    assert mistaken not in history


def test_builds_follow(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    motor = build.parts["motor"]
    change = workshop.catalogue.change_part(motor.with_figure("kv_rpm_per_v", 2000.0))
    assert build.id is not None
    assert workshop.builds.get(build.id).parts["motor"].number("kv_rpm_per_v") == 2000.0
    workshop.catalogue.turn_back([change])
    assert workshop.builds.get(build.id) == build


def listed(path: Path, rows: list[dict[str, object]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def test_an_import_is_taken_back_as_a_whole(workshop: Workshop, part: Part, tmp_path: Path) -> None:
    before = everything(workshop)
    row = {"name": part.name, "teeth": 20, "module_mm": 0.8, "price": "9.99"}
    rows = [row, *({**row, "name": f"new {i}", "teeth": 20 + i} for i in range(3))]
    imported = workshop.import_file(listed(tmp_path / "pinion.csv", rows))
    assert len(imported.changes) == 4
    after = everything(workshop)
    assert len(after) == len(before) + 3
    workshop.catalogue.turn_back(imported.changes)
    assert everything(workshop) == before
    workshop.catalogue.turn_back(again(imported.changes))
    assert everything(workshop) == after


def test_what_a_build_uses_by_now_is_not_taken_away_nor_half_of_the_rest(
    workshop: Workshop, part: Part, tmp_path: Path
) -> None:
    row = {"name": "new", "teeth": 20, "module_mm": 0.8}
    rows = [row, {**row, "name": "newer"}, {**row, "name": part.name}]
    imported = workshop.import_file(listed(tmp_path / "pinion.csv", rows))
    used = next(one for one in workshop.catalogue.parts("pinion") if one.name == "new")
    build = workshop.builds.save(a_build().with_part(used))
    after = everything(workshop)
    with pytest.raises(InUse, match=build.name):
        workshop.catalogue.turn_back(imported.changes)
    assert everything(workshop) == after


def test_many_are_taken_away_and_brought_back_as_one(
    workshop: Workshop, part: Part, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many parts come with a file, as many statements take them away as for two."""
    run, asked = Prepared.run_with, []

    def counted(self: Prepared, *given: object) -> object:
        asked.append(self.sql)
        return run(self, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(Prepared, "run_with", counted)

    def statements(number: int) -> list[int]:
        rows = [
            {"name": f"lot {number} no. {i}", "teeth": 20, "module_mm": 0.8, "price": f"{i}.50"}
            for i in range(number)
        ]
        before = everything(workshop)
        imported = workshop.import_file(listed(tmp_path / "pinion.csv", rows))
        after = everything(workshop)
        counts = []
        for changes, wanted in ((imported.changes, before), (again(imported.changes), after)):
            asked.clear()
            workshop.catalogue.turn_back(changes)
            counts.append(len(asked))
            assert everything(workshop) == wanted
        return counts

    assert statements(40) == statements(2)


def test_what_somebody_brought_back_already_becomes_what_it_was(
    workshop: Workshop, part: Part
) -> None:
    change = workshop.catalogue.delete_part(part.id or 0)
    with Workshop.open(workshop.path) as other:
        other.catalogue.save_part(replace(part, note="from elsewhere"))
    workshop.catalogue.turn_back([change])
    now = everything(workshop)[part.id or 0]
    assert now.part == change.before.part
    assert set(now.prices) == set(change.before.prices)
