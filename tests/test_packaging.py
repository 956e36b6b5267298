"""The wheel: everything of ours is in it, and it works without the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from pennyspeed import resources

CHECKOUT = Path(__file__).resolve().parents[1]
STORAGE = CHECKOUT / "app" / "pennyspeed" / "storage"

FIRST_START = """
import sys
from pathlib import Path
import pennyspeed
from pennyspeed import resources
from pennyspeed.services.workshop import Workshop
assert Path(pennyspeed.__file__).is_relative_to(sys.argv[1]), pennyspeed.__file__
assert resources.path("icons").is_relative_to(sys.argv[1])
with Workshop.open(Path(sys.argv[2])) as workshop:
    print(len(workshop.builds.entries()), len(workshop.catalogue.parts("motor")))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    done = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder)],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    (found,) = folder.glob("*.whl")
    return found


def test_every_resource_and_every_migration_is_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        inside = set(archive.namelist())
    shipped = [path for path in (CHECKOUT / "resources").rglob("*") if path.is_file()]
    assert len(shipped) > 20
    for path in shipped:
        name = path.relative_to(CHECKOUT / "resources").as_posix()
        assert f"pennyspeed/_resources/{name}" in inside
    steps = list((STORAGE / "migrations" / "versions").glob("r*.py"))
    assert steps
    for path in (*steps, STORAGE / "migrations" / "env.py"):
        assert path.relative_to(CHECKOUT / "app").as_posix() in inside


def test_a_first_start_works_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    place = tmp_path / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(place)
    # First in the path, so that neither the checkout nor an installed copy is found.
    done = subprocess.run(
        [sys.executable, "-c", FIRST_START, str(place), str(tmp_path / "file.sqlite3")],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(place)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    builds, motors = map(int, done.stdout.split())
    assert builds >= 3
    assert motors >= 16


def test_a_missing_resource_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"icons/absent\.svg"):
        resources.path("icons/absent.svg")
