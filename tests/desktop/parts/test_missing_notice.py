"""The notice of a file with missing figures: what it says, what it does, and its undo."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.conftest import wait_until
from pennyspeed.desktop.window import Window
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.estimates.missing import MissingFigures, SpeedChange
from pennyspeed.services.workshop import Workshop

LEFT = Qt.MouseButton.LeftButton
LACKING = ("inductance_uh", "no_load_current_a")
Open = Callable[..., Window]


@pytest.fixture
def own(file: Path) -> int:
    """A motor of the person's own in the build shown, two figures short; returns its number."""
    with Workshop.open(file) as workshop:
        build = workshop.builds.shown()
        assert build is not None
        motor = build.parts["motor"]
        figures = {key: value for key, value in motor.figures.items() if key not in LACKING}
        own = replace(
            motor, id=None, name="My Siskin", figures={**figures, "kv_rpm_per_v": 3145.0},
            provenance={}, spread={},
        )  # fmt: skip
        with workshop.begin() as work:
            stored = work.parts.save(own)
            work.commit()
        workshop.builds.save(build.with_part(stored))
        assert stored.id is not None
        return stored.id


def looked(window: Window) -> Window:
    wait_until(lambda: window.session.missing_figures.is_at_rest)
    return window


def test_it_says_how_many_and_which_builds_get_another_speed(own: int, open_window: Open) -> None:
    window = looked(open_window())
    assert window.notice.isVisible()
    assert window.notice.sentence.text == "2 figures are missing or count as 0; work them out."
    name = window.session.bench.build.name
    assert window.notice.detail.text.startswith(f"{name}: {window.verdict.speed} km/h, with them ")


def test_working_them_out_is_one_step_and_brings_the_speed_that_was_said(
    own: int, open_window: Open
) -> None:
    window = looked(open_window())
    session, speed = window.session, window.verdict.speed
    said = window.notice.detail.text
    QTest.mouseClick(window.notice.work_button, LEFT)
    assert window.notice.isHidden()
    wait_until(lambda: not session.jobs.is_busy)
    motor = session.bench.build.part("motor")
    assert [motor.provenance_of(key) for key in LACKING] == [Provenance.WORKED_OUT] * 2
    assert said.endswith(f"with them {window.verdict.speed} km/h")
    assert float(window.verdict.speed) < float(speed)
    assert session.undo_stack.undid == "took 2 figures of My Siskin back"
    session.undo_stack.undo()
    assert window.verdict.speed == speed
    assert not set(LACKING) & set(session.bench.build.part("motor").figures)
    session.undo_stack.redo()
    assert float(window.verdict.speed) < float(speed)


def test_leaving_them_is_remembered_in_the_file(own: int, open_window: Open) -> None:
    window = looked(open_window())
    QTest.mouseClick(window.notice.leave_button, LEFT)
    assert window.notice.isHidden()
    window.close()
    assert looked(open_window()).notice.isHidden()


def test_the_demo_alone_has_no_notice(window: Window) -> None:
    assert looked(window).notice.isHidden()


def test_the_menu_works_out_all_parts_and_says_where_nothing_moves(
    own: int, open_window: Open
) -> None:
    window = looked(open_window())
    session = window.session
    window.menus.actions["work_out"].trigger()
    wait_until(lambda: not session.jobs.is_busy)
    assert "inductance_uh" in session.bench.build.part("motor").figures
    assert session.undo_stack.count() == 1
    # the own motor has taught something about figures of others
    window.menus.actions["work_out_again"].trigger()
    wait_until(lambda: not session.jobs.is_busy)
    assert session.undo_stack.count() == 2
    window.menus.actions["work_out_again"].trigger()
    wait_until(lambda: not session.jobs.is_busy)
    assert session.undo_stack.count() == 2
    assert "as it was worked out before" in window.top.accessibleDescription()


def test_many_builds_are_named_up_to_three() -> None:
    changes = tuple(SpeedChange(i, f"Car {i}", 100.0, 90.0) for i in range(5))
    words = MissingFigures(9, 2, changes).builds_words(Measures())
    assert words.startswith("Car 0: 100 km/h, with them 90 km/h; Car 1")
    assert words.endswith("Car 2: 100 km/h, with them 90 km/h; and 2 more builds")
    assert MissingFigures(9, 2, ()).builds_words(Measures()).startswith("No build")
