"""How long it takes from a key or a slider to paint, and that it is one repaint.

Prints own work and the whole, each also as a ratio to a bare pyqtgraph redraw of the same items in
the same process. Counts are asserted, times are not.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QEvent, QEventLoop, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.app import dress
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.window import Window
from pennyspeed.domain.units import KMH
from pennyspeed.services.workshop import Workshop

PARTS, SWAPS, COUNTED = 5000, 41, 5
SIZE = (1920, 1080)

pytestmark = pytest.mark.bench


class Paints(QObject):
    """Counts paint events by widget, and how long each took."""

    def __init__(self, widgets: dict[str, QWidget]) -> None:
        super().__init__()
        self.counts = dict.fromkeys(widgets, 0)
        self._names = {widget: name for name, widget in widgets.items()}
        for widget in widgets.values():
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and isinstance(watched, QWidget):
            name = self._names.get(watched)
            if name is not None:
                self.counts[name] += 1
        return False

    def reset(self) -> None:
        self.counts = dict.fromkeys(self.counts, 0)

    def stop(self) -> None:
        for widget in self._names:
            widget.removeEventFilter(self)


def grow(path: Path) -> None:
    """Fill the catalogue up to many motors, each a little different."""
    with Workshop.open(path) as workshop:
        motors = workshop.catalogue.parts("motor")
        have = len(motors)
        with workshop.begin() as work:
            for i in range(PARTS - have):
                base = motors[i % have]
                kv = (base.number("kv_rpm_per_v") or 3000.0) * (0.9 + 0.2 * (i % 97) / 97)
                figures = dict(base.figures) | {"kv_rpm_per_v": round(kv)}
                made = replace(base, id=None, name=f"{base.name} no. {i}", figures=figures)
                work.parts.save(made)
            work.commit()


@pytest.fixture
def window(qapp: QApplication, tmp_path: Path) -> Iterator[Window]:
    path = tmp_path / "many.sqlite3"
    grow(path)
    dress(qapp, Settings())
    session = Session(lambda: Workshop.open(path))
    window = Window(session, Settings())
    session.file.open()
    window.resize(*SIZE)
    window.show()
    qapp.processEvents()
    yield window
    window.close()
    window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def settle() -> None:
    """Let everything that is still to be painted be painted."""
    for _ in range(5):
        QApplication.processEvents()


def rest(window: Window) -> None:
    """Let the hand rest until all is known about what is tried."""
    session = window.session
    settle()
    if session.bench.trial is not None and session.bench.trial.band is None:
        loop = QEventLoop()
        session.bench.trial_settled.connect(loop.quit)
        QTimer.singleShot(5000, loop.quit)
        loop.exec()
        session.bench.trial_settled.disconnect(loop.quit)
        assert session.bench.trial.band is not None
    settle()


def clocked(act: Callable[[], object]) -> tuple[float, float]:
    """Return milliseconds of own work, and of the whole with its repaint."""
    settle()
    begin = perf_counter()
    act()
    middle = perf_counter()
    QApplication.processEvents()
    end = perf_counter()
    return 1e3 * (middle - begin), 1e3 * (end - begin)


def line(name: str, times: list[tuple[float, float]], aim: int, bare: float) -> str:
    """Return the medians of what was clocked, in milliseconds and beside a bare redraw."""
    own, whole = (statistics.median(column) for column in zip(*times, strict=True))
    worst = max(all for _, all in times)
    return (
        f"{name}: own work {own:.1f} (aim {aim}), {own / bare:.2f} bare; whole {whole:.1f} "
        f"(aim 16), {whole / bare:.2f} bare; worst {worst:.1f}"
    )


def bare_redraw(window: Window) -> float:
    """Return the median time [ms] of a bare pyqtgraph redraw of what the plot shows."""
    forecast = window.session.bench.forecast
    assert forecast is not None
    assert forecast.prediction is not None
    assert forecast.band is not None
    trace = forecast.prediction.trace
    assert trace is not None
    plot = pg.PlotWidget()
    plot.setMenuEnabled(False)
    plot.resize(window.home.stack.road.size())
    x, y = trace.distance, KMH.from_si(trace.speed)
    now = plot.plot(x, y, pen=pg.mkPen("b", width=3), antialias=True, skipFiniteCheck=True)
    along, low, high = (
        forecast.band.distance,
        KMH.from_si(forecast.band.low),
        KMH.from_si(forecast.band.high),
    )
    edges = [plot.plot(along, edge, pen=pg.mkPen("k", width=1)) for edge in (low, high)]
    fill = pg.FillBetweenItem(*edges, brush=(200, 220, 240))
    plot.addItem(fill)
    plot.addItem(pg.InfiniteLine(130.0, angle=0))
    plot.show()
    QApplication.processEvents()
    times = []
    for i in range(SWAPS):
        begin = perf_counter()
        scale = 1.0 + 0.01 * (i % 2)
        now.setData(x, y * scale)
        for edge, values in zip(edges, (low, high), strict=True):
            edge.setData(along, values * scale)
        QApplication.processEvents()
        times.append(perf_counter() - begin)
    plot.close()
    plot.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return 1e3 * statistics.median(times)


def test_swap_is_one_repaint(window: Window, capsys: pytest.CaptureFixture[str]) -> None:
    session, table = window.session, window.shelf.table
    assert window.shelf.rows.total == PARTS
    window.shelf.focus_table()
    settle()
    watched = {
        "plot": window.home.stack.road.viewport(),
        "shelf": table.viewport(),
        "slots": window.slots.view.viewport(),
        "verdict": window.verdict,
        "checks": window.verdict.checks.viewport(),
        "top": window.top,
        "window": window,
    }

    def swap(row: int) -> tuple[float, float]:
        """Press Enter on a row on which the hand has rested."""
        table.stand_on(row)
        rest(window)
        before = session.bench.build
        paints.reset()
        times = clocked(lambda: QTest.keyClick(table, Qt.Key.Key_Return))
        assert session.bench.build.part("motor") != before.part("motor")
        assert session.bench.build.revision == before.revision + 1
        return times

    paints = Paints(watched)
    for i in range(COUNTED):
        swap(201 + 2 * i)
        for name in ("plot", "shelf", "slots", "verdict"):
            assert paints.counts[name] == 1, (name, paints.counts)
        assert max(paints.counts.values()) == 1, paints.counts
    # Counting costs time of its own, so it is over before the clock starts.
    paints.stop()
    swaps = [swap(200 + 2 * i) for i in range(SWAPS)]
    parts = [window.shelf.rows.part(400 + i) for i in range(SWAPS)]
    fresh = [clocked(lambda part=part: session.builds.put_in(part)) for part in parts]
    stored = session.file.workshop.builds.get(session.bench.build.id or 0)
    assert stored == session.bench.build

    window.shelf.focus_table()
    table.stand_on(300)
    settle()
    ghosts = []
    for _ in range(SWAPS):
        tried = session.bench.tried_parts
        ghosts.append(clocked(lambda: QTest.keyClick(table, Qt.Key.Key_Down)))
        assert session.bench.tried_parts is not tried

    window.home.ask_what_if()
    settle()
    slider = window.home.what_if.sliders[0].slider
    slider.setSliderDown(True)

    def slide() -> None:
        """Move the slider by a step, and follow it without waiting for the next event."""
        slider.setValue(slider.value() + 1)
        window.home.what_if.follow()

    slides = []
    for _ in range(SWAPS):
        slides.append(clocked(slide))
        assert window.home.stack.road.shown.ghost.build.condition("road_m") == 5 * slider.value()
    slider.setSliderDown(False)

    plot = statistics.median(
        clocked(window.home.stack.road.viewport().update)[1] for _ in range(SWAPS)
    )
    bare = bare_redraw(window)
    lines = (
        f"at {SIZE[0]}×{SIZE[1]}, {PARTS} parts, medians of {SWAPS} [ms]; a bare redraw of the "
        f"same curves {bare:.1f}, a repaint of the plot alone {plot:.1f} (aim 4)",
        line("swap of a part on which the hand rested", swaps, 10, bare),
        line("swap of a part that was not tried", fresh, 10, bare),
        line("ghost of the next row", ghosts, 6, bare),
        line("frame of a slider", slides, 6, bare),
    )
    with capsys.disabled():
        print("", *lines, sep="\n", file=sys.stderr)
    assert np.isfinite(bare)
