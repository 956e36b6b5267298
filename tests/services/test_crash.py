"""Killed at any moment, a file holds every commit that returned and no half of one."""

from __future__ import annotations

import os
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

# Swaps motor and pinion together, for ever; says which revision is safe after each.
SWAP = """
import sys
from pathlib import Path
from pennyspeed.services.workshop import Workshop
workshop = Workshop.open(Path(sys.argv[1]))
build = workshop.builds.shown()
motors, pinions = workshop.catalogue.parts("motor"), workshop.catalogue.parts("pinion")
step = build.revision
while True:
    step += 1
    build = build.with_part(motors[step % 7]).with_part(pinions[step % 7])
    build = workshop.builds.save(build.with_condition("road_m", float(100 + step % 7)))
    print(build.revision, flush=True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="signals of POSIX")
def test_a_kill_leaves_all_of_a_swap_or_nothing(demo_file: Path, tmp_path: Path) -> None:
    path = tmp_path / "file.sqlite3"
    shutil.copy(demo_file, path)
    with Workshop.open(path) as workshop:
        motors = [part.name for part in workshop.catalogue.parts("motor")]
        pinions = [part.name for part in workshop.catalogue.parts("pinion")]
    safe = 0
    for lap in range(3):
        with subprocess.Popen(
            [sys.executable, "-c", SWAP, str(path)],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
            stdout=subprocess.PIPE,
            text=True,
        ) as swapping:
            assert swapping.stdout is not None
            said = [swapping.stdout.readline() for _ in range(3 + 4 * lap)]
            time.sleep(0.003 * lap)  # not always at the same place of the loop
            swapping.send_signal(signal.SIGKILL)
            said += swapping.stdout.readlines()
        safe = max(int(line) for line in said if line.endswith("\n"))
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        with Workshop.open(path) as workshop:
            build = workshop.builds.shown()
        assert build is not None
        assert safe <= build.revision <= safe + 1
        step = int(build.condition("road_m")) - 100
        assert build.parts["motor"].name == motors[step]
        assert build.parts["pinion"].name == pinions[step]
        for slot in ("motor", "pinion"):
            line = build.line(slot)
            assert line is not None
            assert line.name == build.parts[slot].name
    assert safe > 15
