"""How long it takes from Enter to paint, and that it is one repaint.

Prints own work, the plot's paint, the whole, and the ratio to a bare pyqtgraph redraw of the same
items in the same process. Counts are asserted, times are not.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.app import dress
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.settings import Settings
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
        motors = workshop.parts("motor")
        have = len(motors)
        with workshop._work() as work:
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
    session.open()
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


def bare_redraw(window: Window) -> float:
    """Return the median time [ms] of a bare pyqtgraph redraw of what the plot shows."""
    forecast = window.session.forecast
    assert forecast is not None
    assert forecast.prediction is not None
    assert forecast.band is not None
    trace = forecast.prediction.trace
    assert trace is not None
    plot = pg.PlotWidget()
    plot.setMenuEnabled(False)
    plot.resize(window.plot.size())
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
    assert window.shelf.model.total == PARTS
    window.shelf.focus_table()
    settle()
    watched = {
        "plot": window.plot.viewport(),
        "shelf": table.viewport(),
        "slots": window.slots.view.viewport(),
        "verdict": window.verdict,
        "checks": window.verdict.checks.viewport(),
        "top": window.top,
        "window": window,
    }

    def swap(row: int) -> tuple[float, float]:
        """Press Enter on a row; return milliseconds of own work and of the whole."""
        table.stand_on(row)
        settle()
        before = session.build
        begin = perf_counter()
        QTest.keyClick(table, Qt.Key.Key_Return)
        middle = perf_counter()
        QApplication.processEvents()
        end = perf_counter()
        settle()
        assert session.build.part("motor") != before.part("motor")
        assert session.build.revision == before.revision + 1
        return 1e3 * (middle - begin), 1e3 * (end - begin)

    paints = Paints(watched)
    for i in range(COUNTED):
        paints.reset()
        table.stand_on(201 + 2 * i)
        settle()
        paints.reset()
        swap(201 + 2 * i)
        for name in ("plot", "shelf", "slots", "verdict"):
            assert paints.counts[name] == 1, (name, paints.counts)
        assert max(paints.counts.values()) == 1, paints.counts
    # Counting costs time of its own, so it is over before the clock starts.
    paints.stop()
    times = [swap(200 + 2 * i) for i in range(SWAPS)]
    own, whole = [one for one, _ in times], [all for _, all in times]
    fresh = []
    for i in range(SWAPS):
        part = window.shelf.model.part(400 + i)
        begin = perf_counter()
        session.put_in(part)
        fresh.append(1e3 * (perf_counter() - begin))
        settle()
    stored = session.workshop.build(session.build.id or 0)
    assert stored == session.build

    window.shelf.focus_table()
    table.stand_on(300)
    settle()
    ghosts = []
    for _ in range(SWAPS):
        tried = session.tried
        begin = perf_counter()
        QTest.keyClick(table, Qt.Key.Key_Down)
        middle = perf_counter()
        QApplication.processEvents()
        end = perf_counter()
        settle()
        assert session.tried is not tried
        ghosts.append((1e3 * (middle - begin), 1e3 * (end - begin)))
    ghost_own, ghost_whole = (statistics.median(column) for column in zip(*ghosts, strict=True))

    times = []
    for _ in range(SWAPS):
        window.plot.viewport().update()
        begin = perf_counter()
        QApplication.processEvents()
        times.append(1e3 * (perf_counter() - begin))
    plot = statistics.median(times)
    bare = bare_redraw(window)
    with capsys.disabled():
        print(
            f"\nswap at {SIZE[0]}×{SIZE[1]}, {PARTS} parts, medians of {SWAPS} [ms]: "
            f"own work {statistics.median(own):.1f} (aim 10; {statistics.median(fresh):.1f} for a "
            f"part that was not tried before), plot paint {plot:.1f} (aim 4), "
            f"whole {statistics.median(whole):.1f} (aim 16); "
            f"bare redraw of the same curves {bare:.1f}, whole / bare "
            f"{statistics.median(whole) / bare:.2f}; worst whole {max(whole):.1f}\n"
            f"ghost of the next row: own work {ghost_own:.1f} (aim 6), whole {ghost_whole:.1f} "
            f"(aim 16), whole / bare {ghost_whole / bare:.2f}",
            file=sys.stderr,
        )
    assert np.isfinite(bare)
