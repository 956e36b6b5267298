"""Builds held beside the present one: kept with the file, undone like everything else."""

from __future__ import annotations

from dataclasses import replace

from desktop.session.heard import Heard
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.undo_stack import UndoStack
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import MPH
from pennyspeed.services.prediction.comparison import MOST_HELD


def shown(bench: Bench) -> Build:
    assert bench.build is not None
    return bench.build


def held(compared: ComparedBuilds) -> list[tuple[str, str]]:
    return [(entry.letter, entry.name) for entry in compared.entries]


def aim(bench: Bench, target: float) -> None:
    bench.show(replace(shown(bench), target_kmh=target))


def test_a_held_build_has_a_letter_and_is_not_held_twice(
    compared: ComparedBuilds, bench: Bench, heard: Heard
) -> None:
    assert compared.hold_present() == "B"
    assert compared.hold_present() == "B"
    aim(bench, 61.0)
    assert compared.hold_present() == "C"
    assert held(compared) == [("B", "as it was"), ("C", "as it was 2")]
    assert heard.said == [
        "held as it was beside as B",
        "as it was is held as B already",
        "held as it was 2 beside as C",
    ]


def test_holding_and_removing_are_steps(
    compared: ComparedBuilds, bench: Bench, undo_stack: UndoStack, heard: Heard
) -> None:
    told: list[int] = []
    compared.changed.connect(lambda: told.append(len(compared.entries)))
    compared.hold_present()
    aim(bench, 61.0)
    compared.hold_present()
    compared.remove("B")
    assert held(compared) == [("C", "as it was 2")]
    undo_stack.undo()
    assert held(compared) == [("B", "as it was"), ("C", "as it was 2")]
    undo_stack.undo()
    undo_stack.undo()
    undo_stack.redo()
    assert held(compared) == [("B", "as it was")]
    assert told == [1, 2, 1, 2, 1, 0, 1]
    assert heard.said[2:4] == ["took as it was away", "held as it was beside again"]
    assert compared.remove("F") is None


def test_there_is_room_for_so_many(compared: ComparedBuilds, bench: Bench, heard: Heard) -> None:
    for i in range(MOST_HELD):
        aim(bench, 50.0 + i)
        assert compared.hold_present()
    aim(bench, 99.0)
    assert compared.hold_present() == ""
    assert len(compared.entries) == MOST_HELD
    assert len(heard.troubled) == 1


def test_what_is_tried_is_held_with_its_parts(compared: ComparedBuilds, bench: Bench) -> None:
    motor = shown(bench).part("motor")
    assert motor is not None
    tried = replace(motor, id=None, name="Shed 3300")
    bench.try_part(tried)
    compared.hold_tried()
    (entry,) = compared.entries
    assert entry.name == "Shed 3300"
    assert entry.build == shown(bench).with_part(tried)
    assert compared.known(entry) is bench.trial, "what is known is not worked out again"


def test_another_build_of_the_file_is_held_by_its_name(
    compared: ComparedBuilds, open_file: OpenFile, heard: Heard
) -> None:
    other = open_file.workshop.builds.create("Second")
    assert compared.hold_saved(other.id or 0) == "B"
    assert held(compared) == [("B", "Second")]
    assert compared.hold_saved(9999) == ""
    assert len(heard.troubled) == 1


def test_the_car_is_put_back_to_a_held_state_in_one_step(
    compared: ComparedBuilds, bench: Bench, builds: Builds, undo_stack: UndoStack, heard: Heard
) -> None:
    before = shown(bench).target_kmh
    compared.hold_present()
    assert not compared.restore("B"), "it is so already"
    builds.change(replace(shown(bench), target_kmh=61.0), "did", "undid")
    assert compared.restore("B")
    assert shown(bench).target_kmh == before
    undo_stack.undo()
    assert shown(bench).target_kmh == 61.0
    assert not compared.restore("F")
    assert "put the car back to as it was" in heard.said


def test_what_is_held_is_there_when_the_file_is_opened_next(
    compared: ComparedBuilds,
    open_file: OpenFile,
    bench: Bench,
    builds: Builds,
    undo_stack: UndoStack,
    messages: Messages,
) -> None:
    compared.hold_present()
    again = ComparedBuilds(open_file, bench, builds, undo_stack, messages)
    assert again.entries == ()
    told: list[int] = []
    again.changed.connect(lambda: told.append(len(again.entries)))
    open_file.open()
    open_file.open()
    assert held(again) == held(compared)
    assert told == [1]


def test_forecasts_are_worked_out_once_and_anew_in_other_units(
    compared: ComparedBuilds, bench: Bench, open_file: OpenFile
) -> None:
    compared.hold(open_file.workshop.builds.create("Second"))
    (entry,) = compared.entries
    assert compared.known(entry) is None
    found = compared.forecast(entry)
    assert compared.forecast(entry) is found
    bench.choose_measures(Measures(speed_unit=MPH))
    assert compared.known(entry) is None
