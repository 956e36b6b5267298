"""The queue of jobs: all in order, or the newest only, and a user error told apart."""

from __future__ import annotations

import threading
from functools import partial

import pytest
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.domain.errors import NotFound, UserError


def names(qtbot: QtBot, jobs: JobQueue) -> list[str]:
    """Submit three jobs, the first of which lasts until all are there; return which ran."""
    gate, ran = threading.Event(), []
    jobs.submit(lambda: gate.wait(10), lambda _: ran.append("first"))
    for name in ("second", "third"):
        jobs.submit(partial(str, name), ran.append)
    gate.set()
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    return ran


def test_every_job_is_done_in_the_order_of_asking(qtbot: QtBot) -> None:
    assert names(qtbot, JobQueue()) == ["first", "second", "third"]


def test_the_newest_takes_the_place_of_what_waits_where_that_is_wanted(qtbot: QtBot) -> None:
    assert names(qtbot, JobQueue(newest_only=True)) == ["first", "third"]


@pytest.mark.parametrize("newest_only", [False, True])
def test_what_a_result_asks_for_waits_its_turn_or_takes_the_place_of_what_waits(
    qtbot: QtBot, newest_only: bool
) -> None:
    jobs, gate, ran = JobQueue(newest_only=newest_only), threading.Event(), []

    def then(_: bool) -> None:
        jobs.submit(lambda: "asked by the first", ran.append)

    jobs.submit(lambda: gate.wait(10), then)
    jobs.submit(lambda: "waited", ran.append)
    gate.set()
    qtbot.waitUntil(lambda: not jobs.is_busy and bool(ran), timeout=10_000)
    assert ran == (["asked by the first"] if newest_only else ["waited", "asked by the first"])


def test_a_user_error_goes_to_whoever_takes_it(qtbot: QtBot) -> None:
    jobs, went_well, failed = JobQueue(), [], []

    def work() -> None:
        raise NotFound("No such part.")

    jobs.submit(work, went_well.append, failed.append)
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert went_well == []
    assert [str(error) for error in failed] == ["No such part."]


def test_a_user_error_that_nobody_takes_is_raised(qtbot: QtBot) -> None:
    jobs = JobQueue()

    def work() -> None:
        raise NotFound("No such part.")

    with qtbot.captureExceptions() as caught:
        jobs.submit(work, lambda _: None)
        qtbot.waitUntil(lambda: bool(caught), timeout=10_000)
    assert isinstance(caught[0][1], UserError)


def test_the_queue_is_free_when_a_result_comes_and_busy_while_one_waits(qtbot: QtBot) -> None:
    jobs, busy = JobQueue(), []
    jobs.submit(lambda: None, lambda _: busy.append(jobs.is_busy))
    jobs.submit(lambda: None, lambda _: busy.append(jobs.is_busy))
    qtbot.waitUntil(lambda: len(busy) == 2, timeout=10_000)
    assert busy == [True, False]
