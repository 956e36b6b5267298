"""Work beside the window: one at a time, the newest waits, and nothing is told twice."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import QThread
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.background import Worker


def test_what_waits_is_only_the_newest(qtbot: QtBot) -> None:
    worker, told, ran = Worker(), [], []
    worker.done.connect(lambda key, found: told.append((key, found)))
    gate = threading.Event()

    def first() -> int:
        gate.wait(10)
        ran.append("first")
        return 1

    def work(name: str) -> int:
        ran.append(name)
        return len(name)

    worker.ask("a", first)
    worker.ask("b", lambda: work("second"))
    worker.ask("c", lambda: work("third"))
    assert worker.is_busy
    gate.set()
    qtbot.waitUntil(lambda: not worker.is_busy and len(told) == 2, timeout=10_000)
    assert told == [("a", 1), ("c", 5)]
    assert ran == ["first", "third"]


def test_work_is_done_in_another_thread_and_told_in_this_one(qtbot: QtBot) -> None:
    worker, told = Worker(), []
    here = QThread.currentThread()
    worker.done.connect(lambda _, found: told.append((found, QThread.currentThread())))
    worker.ask(None, threading.get_ident)
    qtbot.waitUntil(lambda: bool(told), timeout=10_000)
    ((thread, heard),) = told
    assert thread != threading.get_ident()
    assert heard is here


def test_after_waiting_nothing_more_is_begun(qtbot: QtBot) -> None:
    worker, ran = Worker(), []
    gate = threading.Event()
    worker.ask(1, lambda: gate.wait(10))
    worker.ask(2, lambda: ran.append("late"))
    gate.set()
    worker.wait()
    qtbot.waitUntil(lambda: not worker.is_busy, timeout=10_000)
    assert ran == []


def test_trouble_comes_out_where_it_was_asked_for(qtbot: QtBot) -> None:
    worker, told = Worker(), []
    worker.done.connect(lambda key, _: told.append(key))

    def trouble() -> None:
        raise ValueError("no such pair")

    with qtbot.captureExceptions() as caught:
        worker.ask(1, trouble)
        qtbot.waitUntil(lambda: bool(caught), timeout=10_000)
    assert "no such pair" in str(caught[0][1])
    worker.ask(2, lambda: None)
    qtbot.waitUntil(lambda: told == [2], timeout=10_000)


@pytest.mark.parametrize("times", [1, 5])
def test_one_ask_is_told_once(qtbot: QtBot, times: int) -> None:
    worker, told = Worker(), []
    worker.done.connect(lambda key, _: told.append(key))
    for i in range(times):
        worker.ask(i, lambda: None)
        qtbot.waitUntil(lambda: not worker.is_busy, timeout=10_000)
    assert told == list(range(times))
