"""The workshop: what a person keeps in it, takes out, and finds again."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import OF_A_NEW_BUILD
from pennyspeed.domain.errors import BadInput, InUse, NotFound, UnwritableFile
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.glance import glance
from pennyspeed.services.workshop import Workshop


def number(thing: Build | Part) -> int:
    assert thing.id is not None
    return thing.id


def price(minor: int, day: str = "2027-03-01", supplier: str = "Seed box") -> Price:
    return Price(Money(minor, "EUR"), date.fromisoformat(day), supplier)


def reopened(workshop: Workshop) -> Workshop:
    workshop.close()
    return Workshop.open(workshop.path)


def pinion(workshop: Workshop, name: str = "19 teeth", **changes: object) -> Part:
    part = Part("pinion", name, {"teeth": 19, "module_mm": 0.8})
    return workshop.catalogue.save_part(replace(part, **changes))  # type: ignore[arg-type]


def loaded(code: str, *arguments: str) -> set[str]:
    """Return which of the heavy packages a fresh interpreter has loaded after `code`."""
    heavy = "{'sqlalchemy', 'sqlalchemy.orm', 'alembic', 'scipy', 'PySide6'}"
    code = f"import sys\n{code}\nprint(*({heavy} & set(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stdout.split())


def test_importing_it_loads_no_database() -> None:
    assert loaded("import pennyspeed.services.workshop, pennyspeed.services.glance") == set()


def test_a_glance_loads_no_database(demo_file: Path) -> None:
    code = (
        "from pathlib import Path\n"
        "from pennyspeed.services.glance import glance\n"
        "assert glance(Path(sys.argv[1])).build is not None"
    )
    assert loaded(code, str(demo_file)) == set()


def test_an_up_to_date_file_opens_without_alembic_and_the_orm(demo_file: Path) -> None:
    code = (
        "from pathlib import Path\n"
        "from pennyspeed.services.workshop import Workshop\n"
        "Workshop.open(Path(sys.argv[1])).close()"
    )
    assert loaded(code, str(demo_file)) == {"sqlalchemy"}


# builds


def test_a_saved_build_is_there_at_the_next_start(workshop: Workshop) -> None:
    saved = workshop.builds.save(a_build())
    assert saved == a_build()
    assert re.fullmatch(r"[2-9B-DF-HJ-NP-TV-XZ]{6}", saved.code)
    with reopened(workshop) as again:
        stored = again.builds.get(number(saved))
        assert stored == saved
        assert (stored.code, stored.revision) == (saved.code, 1)


def test_a_swapped_part_is_there_at_the_next_start(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    other = next(part for part in workshop.catalogue.parts("motor") if part != build.part("motor"))
    saved = workshop.builds.save(build.with_part(other))
    assert saved.part("motor") == other
    assert saved.revision == 2
    with reopened(workshop) as again:
        stored = again.builds.get(number(build))
    assert stored.part("motor") == other
    assert stored.line("motor") == saved.line("motor")
    assert stored.code == build.code
    assert {slot: p for slot, p in stored.parts.items() if slot != "motor"} == {
        slot: p for slot, p in build.parts.items() if slot != "motor"
    }


def test_a_cleared_slot_and_a_lost_extra_stay_empty(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    saved = workshop.builds.save(build.without_part("motor").without_extra(0))
    stored = workshop.builds.get(number(build))
    assert stored == saved
    assert stored.part("motor") is None
    assert stored.line("motor") is None
    assert stored.extras == build.extras[1:]


def test_the_same_extra_may_ride_twice(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    twice = workshop.builds.save(build.with_part(build.extras[0]))
    assert workshop.builds.get(number(build)).extras == (*build.extras, build.extras[0])
    assert len({extra.id for extra in twice.extras}) == 2


def test_parts_of_a_saved_build_join_the_catalogue_once(workshop: Workshop) -> None:
    before = {kind.key: len(workshop.catalogue.parts(kind.key)) for kind in KINDS}
    first = workshop.builds.save(a_build())
    second = workshop.builds.save(replace(a_build(), name="again"))
    after = {kind.key: len(workshop.catalogue.parts(kind.key)) for kind in KINDS}
    assert after == {key: n + (2 if key == "extras" else 1) for key, n in before.items()}
    assert {s: p.id for s, p in first.parts.items()} == {s: p.id for s, p in second.parts.items()}


def test_a_part_of_another_make_under_one_name_is_its_own(workshop: Workshop) -> None:
    first = workshop.builds.save(a_build())
    motor = a_build().parts["motor"].with_figure("kv_rpm_per_v", 2800.0)
    second = workshop.builds.save(replace(a_build(), name="other").with_part(motor))
    assert first.parts["motor"].id != second.parts["motor"].id
    assert workshop.builds.get(number(first)).parts["motor"].number("kv_rpm_per_v") == 3100


def test_a_changed_part_changes_in_every_build(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    lighter = build.parts["motor"].with_figure("mass_g", 150.0)
    workshop.catalogue.save_part(lighter)
    assert workshop.builds.get(number(build)).parts["motor"].number("mass_g") == 150.0
    # An undone step still carries the heavier one; what comes back is what the catalogue says.
    undone = workshop.builds.save(build.with_condition("road_m", 300.0))
    assert undone.parts["motor"] == lighter
    assert undone == workshop.builds.get(number(build))


def test_two_builds_may_not_share_a_name(workshop: Workshop) -> None:
    first = workshop.builds.save(a_build())
    second = workshop.builds.create("second")
    for attempt in (
        lambda: workshop.builds.create(first.name),
        lambda: workshop.builds.copy(second, first.name),
        lambda: workshop.builds.save(replace(second, name=first.name)),
    ):
        with pytest.raises(BadInput, match=f"name: '{first.name}' .*no other build"):
            attempt()
    assert workshop.builds.get(number(second)).name == "second"


@pytest.mark.parametrize("name", ["", "   ", "n" * 201])
def test_a_build_needs_a_name(workshop: Workshop, name: str) -> None:
    before = workshop.builds.entries()
    for attempt in (
        lambda: workshop.builds.create(name),
        lambda: workshop.builds.copy(a_build(), name),
        lambda: workshop.builds.save(replace(a_build(), name=name)),
    ):
        with pytest.raises(BadInput, match="1 to 200 characters"):
            attempt()
    assert workshop.builds.entries() == before


def test_renaming_keeps_everything_else(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    renamed = workshop.builds.save(replace(build, name="Greenhouse racer"))
    assert renamed == replace(build, name="Greenhouse racer")
    assert (renamed.id, renamed.code) == (build.id, build.code)
    assert workshop.builds.named("Greenhouse racer") == renamed


def test_a_copy_goes_its_own_way(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    copy = workshop.builds.copy(build, "copy")
    assert copy == replace(build, name="copy")
    assert copy.code != build.code
    workshop.builds.save(copy.without_part("motor"))
    assert workshop.builds.get(number(build)) == build


def test_a_deleted_build_comes_back_under_its_code(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    gone = workshop.builds.delete(number(build))
    assert gone == build
    with pytest.raises(NotFound):
        workshop.builds.get(number(build))
    workshop.builds.create("meanwhile")
    back = workshop.builds.save(gone)
    assert (back.id, back.code) == (build.id, build.code)
    assert workshop.builds.named(build.code) == build


def test_a_build_comes_back_with_a_part_that_was_deleted_meanwhile(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    gone = workshop.builds.delete(number(build))
    motor = gone.parts["motor"]
    workshop.catalogue.delete_part(number(motor))
    assert workshop.builds.save(gone) == build
    assert workshop.catalogue.part(number(motor)) == motor


def test_builds_are_listed_the_one_changed_last_first(workshop: Workshop) -> None:
    before = datetime.now(UTC)
    first, second = workshop.builds.create("first"), workshop.builds.create("second")
    assert [entry.name for entry in workshop.builds.entries()][:2] == ["second", "first"]
    workshop.builds.save(first.with_condition("road_m", 90.0))
    entry = workshop.builds.entries()[0]
    assert (entry.id, entry.name, entry.code) == (first.id, "first", first.code)
    assert before <= entry.changed <= datetime.now(UTC)
    assert entry.changed.utcoffset() == timedelta(0)
    assert second.revision == 1


def test_a_build_answers_to_name_and_code(workshop: Workshop) -> None:
    saved = workshop.builds.create("Road runner")
    for wanted in ("Road runner", " road RUNNER ", saved.code, saved.code.lower()):
        assert workshop.builds.named(wanted).id == saved.id
    upper = workshop.builds.create("ROAD RUNNER")
    assert workshop.builds.named("ROAD RUNNER").id == upper.id
    with pytest.raises(NotFound, match="Road runner"):
        workshop.builds.named("road runner")


def test_an_unknown_name_is_answered_with_those_there_are(workshop: Workshop) -> None:
    with pytest.raises(NotFound) as caught:
        workshop.builds.named("nobody's car")
    for entry in workshop.builds.entries():
        assert entry.name in str(caught.value)


def test_no_code_has_a_sign_that_is_taken_for_another(workshop: Workshop) -> None:
    # Own judgement: 0 and O, 1, I and L. Some of them would come up in so many codes.
    codes = {workshop.builds.create(f"build {i}").code for i in range(40)}
    assert len(codes) == 40
    assert set("".join(codes)).isdisjoint("01OIL")


def test_the_build_shown_last_is_shown_again(workshop: Workshop) -> None:
    saved = workshop.builds.create("shown")
    workshop.builds.create("newer")
    workshop.builds.note_shown(number(saved))
    with reopened(workshop) as again:
        shown = again.builds.shown()
        assert shown is not None
        assert shown.id == saved.id
        again.builds.delete(number(saved))
        newest = again.builds.shown()
        assert newest is not None
        assert newest.name == "newer"
        for entry in again.builds.entries():
            again.builds.delete(entry.id)
        assert again.builds.shown() is None


# catalogue


def test_parts_are_listed_by_name_and_kind(workshop: Workshop) -> None:
    for name in ("Öland", "ash", "Beech"):
        workshop.catalogue.save_part(Part("extras", name))
    names = [part.name for part in workshop.catalogue.parts("extras")]
    assert names == sorted(names, key=str.casefold)
    assert {"ash", "Beech", "Öland"} <= set(names)
    assert {part.kind_key for part in workshop.catalogue.parts("motor")} == {"motor"}


def test_a_part_needs_a_name(workshop: Workshop) -> None:
    with pytest.raises(BadInput, match="name"):
        workshop.catalogue.save_part(Part("extras", " "))


def test_what_was_bought_goes_along_with_its_parts_new_name(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    other = next(part for part in workshop.catalogue.parts("motor") if part != build.part("motor"))
    swapped = workshop.builds.save(build.with_part(other))
    workshop.catalogue.save_part(replace(build.parts["motor"], name="Potting shed 3100"))
    workshop.catalogue.save_part(replace(build.parts["body"], name="Longer tail"))
    stored = workshop.builds.get(number(build))
    assert [line.name for line in stored.lines if line.part == "body"] == ["Longer tail"]
    assert stored.parts["body"].name == "Longer tail"
    in_drawer = [line.name for line in stored.lines if line.part == "motor" and not line.fitted]
    assert in_drawer == ["Potting shed 3100"]
    assert len(stored.lines) == len(swapped.lines)


def test_a_used_part_is_not_deleted_and_its_builds_are_named(workshop: Workshop) -> None:
    first = workshop.builds.save(a_build())
    workshop.builds.save(replace(first, id=None, name="Second user"))
    motor = first.parts["motor"]
    with pytest.raises(InUse) as caught:
        workshop.catalogue.delete_part(number(motor))
    assert caught.value.builds == (first.name, "Second user")
    assert first.name in str(caught.value)
    assert workshop.catalogue.part(number(motor)) == motor


def test_an_unused_part_is_deleted_and_can_come_back(workshop: Workshop) -> None:
    part = pinion(workshop, price=price(490))
    assert workshop.catalogue.delete_part(number(part)).before.part == part
    with pytest.raises(NotFound):
        workshop.catalogue.part(number(part))
    assert workshop.catalogue.save_part(part).id == part.id
    assert workshop.catalogue.part(number(part)) == part


def test_an_archived_part_leaves_the_shelf_but_not_its_builds(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    motor = build.parts["motor"]
    workshop.catalogue.archive_part(number(motor))
    assert motor.id not in {part.id for part in workshop.catalogue.parts("motor")}
    assert motor.id in {part.id for part in workshop.catalogue.parts("motor", archived=True)}
    stored = workshop.builds.get(number(build)).parts["motor"]
    assert stored == replace(motor, archived=True)
    workshop.catalogue.archive_part(number(motor), archived=False)
    assert motor.id in {part.id for part in workshop.catalogue.parts("motor")}


def test_a_changed_price_leaves_the_old_one_in_the_history(workshop: Workshop) -> None:
    first, second = price(490), price(450, "2027-04-01", "Pond Street")
    part = pinion(workshop, price=first)
    workshop.catalogue.save_part(replace(part, price=second))
    assert workshop.catalogue.part(number(part)).price == second
    assert workshop.catalogue.price_history(number(part)) == [second, first]
    # Undone: the first is current again, and nothing is listed twice.
    workshop.catalogue.save_part(part)
    assert workshop.catalogue.part(number(part)).price == first
    assert workshop.catalogue.price_history(number(part)) == [second, first]
    # Unknown again: what it once cost is not forgotten.
    workshop.catalogue.save_part(replace(part, price=None))
    assert workshop.catalogue.part(number(part)).price is None
    assert workshop.catalogue.price_history(number(part)) == [second, first]


def test_saving_other_figures_adds_no_price(workshop: Workshop) -> None:
    part = pinion(workshop, price=price(490))
    workshop.catalogue.save_part(part.with_figure("mass_g", 5.0))
    assert workshop.catalogue.price_history(number(part)) == [price(490)]


# two windows, and disks


def test_another_window_is_noticed_and_this_one_is_not(workshop: Workshop) -> None:
    workshop.builds.create("mine")
    assert not workshop.changed_elsewhere()
    with Workshop.open(workshop.path) as other:
        other.builds.create("theirs")
    assert workshop.changed_elsewhere()
    assert not workshop.changed_elsewhere()
    assert workshop.builds.named("theirs").name == "theirs"


def test_two_windows_may_save_one_build_in_turn(workshop: Workshop) -> None:
    mine = workshop.builds.create("shared")
    with Workshop.open(workshop.path) as other:
        theirs = other.builds.get(number(mine))
        theirs = other.builds.save(theirs.with_condition("road_m", 90.0))
        mine = workshop.builds.save(mine.with_condition("slope_percent", 1.0))
        assert (theirs.revision, mine.revision) == (2, 3)
        kept = {**OF_A_NEW_BUILD, "slope_percent": 1.0}
        assert other.builds.get(number(mine)).conditions == kept


def test_a_full_disk_loses_nothing(workshop: Workshop) -> None:
    part = pinion(workshop)
    with closing(workshop._engine.raw_connection()) as connection:
        driver = connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        (pages,) = driver.execute("PRAGMA page_count").fetchone()
        driver.execute(f"PRAGMA max_page_count={pages}")
    before = workshop.builds.entries()
    with pytest.raises(UnwritableFile, match=r"file\.sqlite3 .*disk is full"):
        workshop.catalogue.save_part(replace(part, note="n" * 100_000))
    assert workshop.catalogue.part(number(part)) == part
    assert workshop.builds.entries() == before
    with closing(workshop._engine.raw_connection()) as connection:
        driver = connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        driver.execute("PRAGMA max_page_count=1000000")
    assert workshop.catalogue.save_part(replace(part, note="n" * 100_000)).note


def test_a_lock_of_another_program_is_told(workshop: Workshop) -> None:
    build = workshop.builds.create("waiting")
    with closing(workshop._engine.raw_connection()) as connection:
        driver = connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        driver.execute("PRAGMA busy_timeout=20")
    with closing(sqlite3.connect(workshop.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(UnwritableFile, match="locked by another program"):
            workshop.builds.save(build.with_condition("road_m", 1.0))
        assert workshop.builds.get(number(build)) == build, "reading goes on meanwhile"
        other.execute("ROLLBACK")
    assert workshop.builds.save(build.with_condition("road_m", 1.0)).revision == 2


def test_a_file_that_another_window_is_writing_is_waited_for(workshop: Workshop) -> None:
    build = workshop.builds.create("waiting")
    with (
        closing(sqlite3.connect(workshop.path, isolation_level=None)) as other,
        ThreadPoolExecutor() as threads,
    ):
        other.execute("BEGIN IMMEDIATE")
        saving = threads.submit(workshop.builds.save, build.with_condition("road_m", 1.0))
        with pytest.raises(TimeoutError):
            saving.result(timeout=0.2)
        other.execute("ROLLBACK")
        assert saving.result().revision == 2


# the first frame


def test_a_glance_shows_what_the_workshop_would(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    workshop.builds.note_shown(number(build))
    workshop.catalogue.archive_part(number(workshop.catalogue.parts("pack")[0]))
    for kind in ("motor", "pack"):
        seen = glance(workshop.path, kind)
        assert seen is not None
        assert seen.build == workshop.builds.shown()
        assert seen.build.code == build.code
        assert list(seen.entries) == workshop.builds.entries()
        assert list(seen.parts) == workshop.catalogue.parts(kind)
        assert [part.id for part in seen.parts] == [
            part.id for part in workshop.catalogue.parts(kind)
        ]
    workshop.close()
    assert glance(workshop.path) is not None


def test_a_glance_at_anything_unusual_shows_nothing(workshop: Workshop, tmp_path: Path) -> None:
    assert glance(tmp_path / "absent.sqlite3") is None
    assert glance(tmp_path) is None
    (tmp_path / "notes.txt").write_text("notes")
    assert glance(tmp_path / "notes.txt") is None
    workshop.close()
    assert glance(workshop.path) is not None
    with closing(sqlite3.connect(workshop.path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0000'")
        connection.commit()
    assert glance(workshop.path) is None


# the usual place


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="XDG is for other systems")
def test_the_usual_place_follows_the_desktops_rule(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # XDG Base Directory Specification 0.8: $XDG_DATA_HOME, if absolute; else ~/.local/share.
    monkeypatch.setenv("HOME", str(tmp_path))
    for given, expected in (
        (str(tmp_path / "data"), tmp_path / "data"),
        ("relative", tmp_path / ".local/share"),
        ("", tmp_path / ".local/share"),
    ):
        monkeypatch.setenv("XDG_DATA_HOME", given)
        with Workshop.open() as workshop:
            assert workshop.path == expected / "pennyspeed" / "pennyspeed.sqlite3"
            assert workshop.path.is_file()


def test_a_folder_that_cannot_be_made_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "data").write_text("in the way")
    for name in ("XDG_DATA_HOME", "LOCALAPPDATA", "HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(tmp_path / "data"))
    with pytest.raises(UnwritableFile, match="cannot be made"):
        Workshop.open()
