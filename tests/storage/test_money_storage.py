"""Money in the file: text and whole numbers only, offers and suppliers, and older files."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import Engine

from books import random_build
from builds import a_build
from pennyspeed.domain.errors import BadInput, NotFound
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order
from pennyspeed.domain.parts.ingredients import Printed
from pennyspeed.domain.parts.parts import Price
from pennyspeed.domain.parts.recipes import Recipe, with_recipe
from pennyspeed.storage.database import Work, open_database
from pennyspeed.storage.files import NEWEST_REVISION, revision_of
from pennyspeed.storage.glance import glance
from pennyspeed.storage.rows import SHOWN_BUILD

MAY, JUNE = date(2027, 5, 1), date(2027, 6, 1)
MONEY = ("price", "build_line", "build_order", "build_rate", "supplier")

# A file as revision 0001 wrote it, a deleted last part and build included.
FIRST_FILE = """
INSERT INTO part VALUES
 (1, 'motor', 'Greenhouse 3100', '{"kv_rpm_per_v":3100,"resistance_mohm":11,"mass_g":185}',
  '{"mass_g":"measured"}', '{"x-shelf":"B"}', 'a note', 'motor.png', 0, '2026-01-01', '2026-01-02'),
 (2, 'pinion', 'Nineteen', '{"teeth":19,"module_mm":0.6}', '{}', '{}', '', '', 1,
  '2026-01-01', '2026-01-02'),
 (9, 'pinion', 'Gone', '{"teeth":20,"module_mm":0.6}', '{}', '{}', '', '', 0, '2026', '2026');
DELETE FROM part WHERE id = 9;
INSERT INTO price VALUES
 (1, 1, 5990, 'EUR', '2026-01-01', 'Seed box', 'https://example.org', 0),
 (2, 1, 6450, 'EUR', '2026-02-01', 'Seed box', '', 1);
INSERT INTO build VALUES
 (1, 'BCDFGH', 'first', 80.5, 'EUR', 25000, '2027-05-20', '{"road_m":240}', '{"":{"x":[1]}}', 7,
  '2026-01-01', '2026-03-01'),
 (8, 'ZZZZZZ', 'gone', NULL, 'EUR', NULL, NULL, '{}', '{}', 1, '2026', '2026');
DELETE FROM build WHERE id = 8;
INSERT INTO build_part VALUES (1, 'motor', 0, 1), (1, 'pinion', 0, 2);
INSERT INTO build_line VALUES
 (1, 0, 'motor', 'Greenhouse 3100', '1.50', '64.50', 'ordered', 1, 'Seed box', 'A-17', '2027-05-02',
  '{"x-note":true}'),
 (1, 1, '', 'Screws', '12', NULL, 'owned', 0, '', '', NULL, '{}');
INSERT INTO setting VALUES ('shown_build', '1');
"""


def rows(path: Path) -> dict[str, list[dict[str, object]]]:
    """Return everything that a file holds, by table and column."""
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        tables = [
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if name != "alembic_version"
        ]
        return {
            table: [dict(row) for row in connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2")]
            for table in tables
        }


@pytest.fixture
def first_file(tmp_path: Path) -> Path:
    path = tmp_path / "first.sqlite3"
    open_database(path, newest="0001").dispose()
    assert revision_of(path) == "0001"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.executescript(FIRST_FILE)
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def test_a_file_of_the_first_revision_opens_and_loses_nothing(first_file: Path) -> None:
    before = rows(first_file)
    open_database(first_file).dispose()
    assert revision_of(first_file) == NEWEST_REVISION
    after = rows(first_file)
    for table, old in before.items():
        kept = [{name: row[name] for name in old[0]} for row in after[table]] if old else []
        assert kept == old, table
    assert rows(first_file.with_name(f"{first_file.name}.revision-0001")) == before


def test_its_lines_are_what_they_were(first_file: Path) -> None:
    engine = open_database(first_file)
    with Work(engine) as work:
        build = work.builds.get(1)
        assert build.lines[0] == Line(
            "motor",
            "Greenhouse 3100",
            Decimal("1.50"),
            Decimal("64.50"),
            build.lines[0].status,
            supplier="Seed box",
            order="A-17",
            arrives=date(2027, 5, 2),
            unknown_keys={"x-note": True},
        )
        assert book(build).counted == Money(9675, "EUR")
        assert (build.orders, build.rates, work.suppliers.all()) == ((), (), [])
        assert build.parts["motor"].recipe is None
        # Numbers of what was deleted are not used again.
        added = work.parts.save(replace(build.parts["motor"], id=None, name="new"))
        assert added.id == 10
        assert work.builds.save(replace(build, id=None, code="", name="new")).id == 9
    engine.dispose()


@pytest.fixture
def work(memory: Engine) -> Iterator[Work]:
    with Work(memory) as work:
        yield work


def test_no_money_is_ever_a_float_in_the_file(file: Path) -> None:
    engine = open_database(file)
    with Work(engine) as work:
        for seed in range(40):
            work.builds.save(replace(random_build(seed, "KWD"), name=f"book {seed}"))
        work.builds.save(a_build(money__lines=[{"quantity": 0.1, "unit_price": "0.3"}]))
        work.suppliers.save(
            Supplier("Quay shop", "EUR", Decimal("4.90"), Decimal("49.5"), 5, Decimal("2.5"))
        )
        motor = work.parts.of_kind("pinion")[0]
        work.offers.save(motor.id or 0, Price(Money(1250, "EUR"), MAY, "Quay shop", "", 3, 5))
        work.commit()
    engine.dispose()
    with closing(sqlite3.connect(file)) as connection:
        for table in MONEY:
            columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
            assert connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            for column in columns:
                kinds = connection.execute(f"SELECT DISTINCT typeof({column}) FROM {table}")
                assert {kind for (kind,) in kinds} <= {"text", "integer", "null"}, column
        for statement in (
            "UPDATE build_line SET unit_price = 1.5",
            "UPDATE build_order SET postage = 1.5",
        ):
            # STRICT keeps the text of a number that is put into a text column.
            connection.execute(statement)
        assert connection.execute("SELECT DISTINCT typeof(unit_price) FROM build_line").fetchall()
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("UPDATE price SET minor = 1.5")
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("UPDATE build SET cap_minor = 1.5")


def test_orders_may_change_places_and_references(work: Work) -> None:
    one, two = Order("A", postage=Decimal(1)), Order("B", duty=Decimal(2))
    build = work.builds.save(replace(a_build(), orders=(one, two)))
    swapped = work.builds.save(replace(build, orders=(two, replace(one, note="late"))))
    assert work.builds.get(build.id or 0).orders == swapped.orders
    renamed = (replace(two, reference="A"), replace(one, reference="B"))
    work.builds.save(replace(build, orders=renamed))
    assert work.builds.get(build.id or 0).orders == renamed
    work.builds.save(replace(build, orders=()))
    assert work.builds.get(build.id or 0).orders == ()


def test_a_glance_sees_orders_rates_and_recipes(file: Path) -> None:
    build = random_build(5, "EUR")
    assert build.orders
    assert build.rates
    recipe = Recipe((Printed("shell", mass_g=Decimal(120), price_per_kg=Decimal(25)),))
    body = with_recipe(a_build().parts["body"], recipe, "EUR", MAY)
    engine = open_database(file)
    with Work(engine) as work:
        saved = work.builds.save(build.with_part(body))
        work.settings.put(SHOWN_BUILD, str(saved.id))
        work.commit()
    engine.dispose()
    seen = glance(file)
    assert seen is not None
    assert seen.build == saved
    assert seen.build.parts["body"].recipe == recipe


def test_the_newest_price_of_each_supplier_is_its_offer(work: Work) -> None:
    part = work.parts.save(replace(a_build().parts["motor"], name="offered"))
    id = part.id or 0
    first = Price(Money(6450, "EUR"), MAY, "Seed box", "https://example.org", 2, 4)
    work.offers.save(id, first)
    assert work.parts.get(id).price == first  # it had none
    other = Price(Money(5990, "EUR"), JUNE, "Quay shop")
    work.offers.save(id, other)
    assert work.parts.get(id).price == first  # another supplier's
    newer = replace(first, amount=Money(6600, "EUR"), on=JUNE)
    work.offers.save(id, newer)
    assert work.parts.get(id).price == newer
    older = replace(first, amount=Money(6000, "EUR"), on=date(2027, 1, 1))
    work.offers.save(id, older)
    assert work.parts.get(id).price == newer
    assert work.offers.of([id, 987654]) == {id: (other, newer), 987654: ()}
    assert work.offers.of([id, *range(1000, 1100)])[id] == (other, newer)
    work.offers.delete(id, newer)
    assert work.parts.get(id).price == other  # the newest that is left
    assert work.offers.of([id])[id] == (other, first)
    with pytest.raises(NotFound):
        work.offers.delete(id, newer)


def test_suppliers_are_kept_by_name(work: Work) -> None:
    shop = Supplier("quay shop", "EUR", Decimal("4.90"), Decimal(50), 5, Decimal("2.5"), "pier 3")
    mill = Supplier("Mill counter", "KWD", Decimal("0.005"))
    work.suppliers.save(shop)
    work.suppliers.save(mill)
    assert work.suppliers.all() == [mill, shop]
    moved = replace(shop, name="Harbour shop")
    work.suppliers.save(moved, was="quay shop")
    assert work.suppliers.all() == [moved, mill]
    with pytest.raises(BadInput, match="no other supplier"):
        work.suppliers.save(replace(moved, name="Mill counter"), was="Harbour shop")
    with pytest.raises(BadInput, match="postage"):
        work.suppliers.save(replace(mill, postage=Decimal(-1)))
    assert work.suppliers.delete("Harbour shop") == moved
    assert work.suppliers.all() == [mill]
    with pytest.raises(NotFound):
        work.suppliers.delete("Harbour shop")
