"""Work beside the window: one at a time, the newest waits, and nothing is told twice."""

from __future__ import annotations

import threading
from functools import partial

import pytest
from PySide6.QtCore import QThread
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.session.jobs import JobQueue


def test_what_waits_is_only_the_newest(qtbot: QtBot) -> None:
    jobs, told, ran = JobQueue(newest_only=True), [], []
    gate = threading.Event()

    def first() -> int:
        gate.wait(10)
        ran.append("first")
        return 1

    def work(name: str) -> int:
        ran.append(name)
        return len(name)

    jobs.submit(first, lambda found: told.append(("a", found)))
    jobs.submit(lambda: work("second"), lambda found: told.append(("b", found)))
    jobs.submit(lambda: work("third"), lambda found: told.append(("c", found)))
    assert jobs.is_busy
    gate.set()
    qtbot.waitUntil(lambda: not jobs.is_busy and len(told) == 2, timeout=10_000)
    assert told == [("a", 1), ("c", 5)]
    assert ran == ["first", "third"]


def test_work_is_done_in_another_thread_and_told_in_this_one(qtbot: QtBot) -> None:
    jobs, told = JobQueue(), []
    here = QThread.currentThread()
    jobs.submit(threading.get_ident, lambda found: told.append((found, QThread.currentThread())))
    qtbot.waitUntil(lambda: bool(told), timeout=10_000)
    ((thread, heard),) = told
    assert thread != threading.get_ident()
    assert heard is here


def test_after_waiting_nothing_more_is_begun(qtbot: QtBot) -> None:
    jobs, ran = JobQueue(newest_only=True), []
    gate = threading.Event()
    jobs.submit(lambda: gate.wait(10), lambda _: None)
    jobs.submit(lambda: ran.append("late"), lambda _: None)
    gate.set()
    jobs.wait()
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert ran == []


def test_trouble_comes_out_where_it_was_asked_for(qtbot: QtBot) -> None:
    jobs, told = JobQueue(), []

    def trouble() -> None:
        raise ValueError("no such pair")

    with qtbot.captureExceptions() as caught:
        jobs.submit(trouble, lambda _: told.append(1))
        qtbot.waitUntil(lambda: bool(caught), timeout=10_000)
    assert "no such pair" in str(caught[0][1])
    jobs.submit(lambda: None, lambda _: told.append(2))
    qtbot.waitUntil(lambda: told == [2], timeout=10_000)


@pytest.mark.parametrize("times", [1, 5])
def test_one_ask_is_told_once(qtbot: QtBot, times: int) -> None:
    jobs, told = JobQueue(newest_only=True), []
    for i in range(times):
        jobs.submit(lambda: None, partial(lambda key, _: told.append(key), i))
        qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert told == list(range(times))
