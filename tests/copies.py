"""A copy of the program, for tests that add to it as DEVELOPERS.md says."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pennyspeed

TESTS = Path(__file__).resolve().parent


def copy_program(folder: Path) -> Path:
    """Copy the program and what it reads into a folder, and return the copy's package."""
    package = folder / "app" / "pennyspeed"
    shutil.copytree(Path(pennyspeed.__file__).parent, package)
    shutil.copytree(TESTS.parent / "resources", folder / "resources")
    return package


def run_copy(folder: Path, *arguments: str) -> str:
    """Have Python run these arguments with the copy in a folder, and return what it prints."""
    paths = os.pathsep.join((str(folder / "app"), str(TESTS)))
    ran = subprocess.run(
        [sys.executable, *arguments],
        env={**os.environ, "PYTHONPATH": paths, "PYTHONUTF8": "1", "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        encoding="utf-8",
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stdout
