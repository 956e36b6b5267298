"""An import that is killed at any moment leaves all of its rows or none."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from pennyspeed.services.workshop import Workshop

ROWS = 10_000
SEED, LAPS = 20270301, 4

TAKE = """
import sys
from pathlib import Path
from pennyspeed.services.workshop import Workshop
with Workshop.open(Path(sys.argv[1])) as workshop:
    preview = workshop.tables.preview(Path(sys.argv[2]))
    print("looked", flush=True)
    workshop.tables.take(preview)
    print("taken", flush=True)
    sys.stdin.read()
"""


def killed(path: Path, table: Path, delay: float | None) -> tuple[str, float]:
    """Import in a process of its own and kill it; return what it said and how long it took.

    Parameters
    ----------
    delay : float or None
        Seconds after its look at the table; None lets it come to its end first.
    """
    with subprocess.Popen(
        [sys.executable, "-c", TAKE, str(path), str(table)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "looked\n"
        begin = time.perf_counter()
        said = ""
        if delay is None:
            said = process.stdout.readline()
        else:
            time.sleep(delay)  # the very point: no moment is a good one
        taken = time.perf_counter() - begin
        process.send_signal(signal.SIGKILL)
        said += process.stdout.read()
    return said, taken


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="signals of POSIX")
def test_a_killed_import_leaves_all_or_nothing(demo_file: Path, tmp_path: Path) -> None:
    table = tmp_path / "extras.csv"
    rows = "".join(f"thing {i},{i % 90},{i % 70}.50,mine\n" for i in range(ROWS))
    table.write_text(f"name,mass_g,price,note\n{rows}", encoding="utf-8")
    with Workshop.open(demo_file) as workshop:
        before = len(workshop.catalogue.parts("extras"))

    def after_a_kill(name: str, delay: float | None) -> tuple[int, float]:
        path = tmp_path / f"{name}.sqlite3"
        shutil.copy(demo_file, path)
        said, seconds = killed(path, table, delay)
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
            prices = connection.execute(
                "SELECT count(*) FROM price JOIN part ON part.id = part_id WHERE part.note = 'mine'"
            ).fetchone()[0]
        with Workshop.open(path) as workshop:
            came = len(workshop.catalogue.parts("extras")) - before
        assert came in (0, ROWS)
        assert prices == came
        if said == "taken\n":
            assert came == ROWS
        return came, seconds

    came, seconds = after_a_kill("whole", None)
    assert came == ROWS
    came, _ = after_a_kill("at once", 0.0)
    assert came == 0
    draw = random.Random(SEED)
    for lap in range(LAPS):
        after_a_kill(f"lap {lap}", draw.uniform(0.0, 1.2 * seconds))
