"""The wheel: everything of ours is in it, and it works without the checkout."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

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
    print(len(workshop.builds()), len(workshop.parts("motor")))
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


@pytest.fixture
def launch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The launcher, with an environment of its own that holds no packages."""
    spec = importlib.util.spec_from_file_location("launch", CHECKOUT / "packaging" / "launch.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "VENV", str(tmp_path))
    monkeypatch.setattr(module, "PYTHON", sys.executable)
    monkeypatch.setattr(module, "READY", str(tmp_path / "ready"))
    monkeypatch.setattr(module, "missing_packages", list)
    return module


def test_the_launcher_knows_what_is_set_up_and_forgets_what_was(
    launch: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[list[str]] = []

    def run(command: Any, **_: object) -> Any:
        ran.append(list(command))
        return subprocess.CompletedProcess(command, 0, stdout=str(tmp_path))

    monkeypatch.setattr(subprocess, "run", run)
    short, long = (
        launch.fingerprint(str(CHECKOUT / "packaging" / name))
        for name in ("locked.txt", "locked-test.txt")
    )
    old = long.replace(long.split()[1], "00000000")
    (tmp_path / "ready").write_text(f"{old}\n", encoding="utf-8")
    launch.set_up(str(CHECKOUT / "packaging" / "locked.txt"), short)
    assert launch.ready() == [short], "an older list is not what is installed now"
    assert not any("venv" in command for command in ran), "the environment itself is still good"
    launch.set_up(str(CHECKOUT / "packaging" / "locked-test.txt"), long)
    assert set(launch.ready()) == {short, long}
    assert (tmp_path / "pennyspeed.pth").read_text() == f"{CHECKOUT / 'app'}\n"

    monkeypatch.setattr(launch, "PYTHON", str(tmp_path / "gone"))
    assert launch.ready() == []


def test_a_set_up_that_is_cut_short_is_not_ready(
    launch: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    locked = str(CHECKOUT / "packaging" / "locked.txt")
    wanted = launch.fingerprint(locked)
    (tmp_path / "ready").write_text(f"{wanted}\n", encoding="utf-8")
    monkeypatch.setattr(
        subprocess, "run", lambda command, **_: subprocess.CompletedProcess(command, 1)
    )
    with pytest.raises(SystemExit, match="pip"):
        launch.set_up(locked, wanted)
    assert wanted not in launch.ready()


def test_the_longer_list_holds_all_of_the_shorter_one() -> None:
    def pinned(name: str) -> set[str]:
        text = (CHECKOUT / "packaging" / name).read_text(encoding="utf-8")
        return set(re.findall(r"^\S+==\S+", text, re.MULTILINE))

    short, long = pinned("locked.txt"), pinned("locked-test.txt")
    assert len(short) > 5
    assert short <= long


def test_a_missing_resource_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"icons/absent\.svg"):
        resources.path("icons/absent.svg")
