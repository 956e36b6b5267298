"""How long the window takes to be painted, and how much memory it holds, beside a bare window.

The bare one is PySide6 and pyqtgraph with one plot and one table. Each is a process of its own,
several times, in turn; medians. Counts are asserted, times are printed.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pennyspeed.services.workshop import Workshop

RUNS = 5

pytestmark = pytest.mark.bench

COMMON = """
import linecache, sys, time
def resident():
    for line in open("/proc/self/status"):
        if line.startswith("VmRSS"):
            return int(line.split()[1])
"""

BARE = (
    COMMON
    + """
import pyqtgraph as pg
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow, QSplitter, QTableWidget, QTableWidgetItem

app = QApplication([])

class Bare(QMainWindow):
    painted = None
    def paintEvent(self, event):
        super().paintEvent(event)
        if self.painted is None:
            self.painted = True
            QTimer.singleShot(0, done)

def done():
    print("painted", time.monotonic_ns(), flush=True)
    QTimer.singleShot(1500, rest)

def rest():
    print("resident", resident(), flush=True)
    app.quit()

window = Bare()
split = QSplitter()
plot = pg.PlotWidget()
plot.plot(list(range(200)), [x * x for x in range(200)])
table = QTableWidget(30, 8)
for row in range(30):
    for column in range(8):
        table.setItem(row, column, QTableWidgetItem(f"{row} {column}"))
split.addWidget(plot)
split.addWidget(table)
window.setCentralWidget(split)
window.resize(1366, 768)
window.show()
app.exec()
"""
)

OURS = (
    COMMON
    + """
from pathlib import Path
from pennyspeed.desktop.app import launch

app, window = launch(Path(sys.argv[1]), Path(sys.argv[2]))
from PySide6.QtCore import QTimer

def done():
    print("painted", time.monotonic_ns(), flush=True)
    print("speed", window.verdict.speed, flush=True)
    print("rows", window.shelf.model.rowCount(), flush=True)
    QTimer.singleShot(1500, rest)

def rest():
    print("open", int(window.session.file.is_open), flush=True)
    needless = [name for name in ("sqlalchemy.orm", "alembic") if name in sys.modules]
    print("needless", len(needless), flush=True)
    print("sources", sum("/sqlalchemy/" in name for name in linecache.cache), flush=True)
    print("resident", resident(), flush=True)
    window.close()
    app.quit()

early = [name for name in ("sqlalchemy", "alembic", "scipy") if name in sys.modules]
print("early", len(early), flush=True)
window.body.painted.connect(done)
app.exec()
"""
)


def started(code: str, caches: Path, *arguments: str) -> dict[str, str]:
    """Run a script; return what it printed, with the milliseconds it took to be painted."""
    app = Path(__file__).parents[2] / "app"
    environment = os.environ | {
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONPATH": str(app),
        # Both start from compiled modules, as an installed program does.
        "PYTHONPYCACHEPREFIX": str(caches),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    begin = time.monotonic_ns()
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = dict(line.split(maxsplit=1) for line in done.stdout.splitlines())
    told["ms"] = str((int(told["painted"]) - begin) / 1e6)
    return told


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs Linux' /proc")
def test_start_beside_a_bare_window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "demo.sqlite3"
    with Workshop.open(file) as workshop:
        motors = len(workshop.catalogue.parts("motor"))
    caches = tmp_path / "caches"
    ours = (OURS, caches, str(file), str(tmp_path / "settings.json"))
    started(BARE, caches)
    started(*ours)
    pairs = [(started(BARE, caches), started(*ours)) for _ in range(RUNS)]
    for _, told in pairs:
        assert told["early"] == "0", "the first frame waits for the database library"
        assert told["speed"].isdigit()
        assert int(told["rows"]) == motors
        assert told["open"] == "1"
        assert told["needless"] == "0", "a file that is up to date needs neither"
        assert told["sources"] == "0", "the text of imported modules stays in memory"
    bare_ms, ours_ms, bare_kb, ours_kb = (
        statistics.median(float(pair[i][key]) for pair in pairs)
        for key in ("ms", "resident")
        for i in (0, 1)
    )
    ratio = statistics.median(float(o["ms"]) / float(b["ms"]) for b, o in pairs)
    with capsys.disabled():
        print(
            f"\nstart to painted, medians of {RUNS}: ours {ours_ms:.0f} ms, bare {bare_ms:.0f} ms, "
            f"ratio {ratio:.2f} (aim 1.4); resident with the file open {ours_kb / 1024:.0f} MiB, "
            f"bare {bare_kb / 1024:.0f} MiB, ratio {ours_kb / bare_kb:.2f} (aim 1.4)",
            file=sys.stderr,
        )
