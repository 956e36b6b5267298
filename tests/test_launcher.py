"""The launcher: what it sets up, when, and what it tells a person meanwhile."""

from __future__ import annotations

import ctypes
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import PySide6
import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
LAUNCHER = CHECKOUT / "packaging" / "launch.py"


def loaded() -> Any:
    spec = importlib.util.spec_from_file_location("launch", LAUNCHER)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def launch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The launcher, with an environment of its own that holds no packages."""
    module = loaded()
    monkeypatch.setattr(module, "VENV", str(tmp_path))
    monkeypatch.setattr(module, "PYTHON", sys.executable)
    monkeypatch.setattr(module, "READY", str(tmp_path / "ready"))
    monkeypatch.setattr(module, "missing_packages", list)
    return module


@pytest.fixture
def ran(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that were run; none of them does anything."""
    commands: list[list[str]] = []

    def run(command: Any, **_: object) -> Any:
        commands.append(list(command))
        return subprocess.CompletedProcess(command, 0, stdout=str(tmp_path))

    monkeypatch.setattr(subprocess, "run", run)
    return commands


@pytest.fixture
def became(launch: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[list[str]]:
    """What the launcher handed over to."""
    monkeypatch.chdir(tmp_path)
    commands: list[list[str]] = []
    monkeypatch.setattr(launch, "become", commands.append)
    return commands


def test_the_launcher_knows_what_is_set_up_and_forgets_what_was(
    launch: Any, tmp_path: Path, ran: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
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


@pytest.mark.parametrize(
    ("arguments", "locked", "command"),
    [
        ([], "locked.txt", ["-m", "pennyspeed"]),
        (["predict", "car.json"], "locked.txt", ["-m", "pennyspeed", "predict", "car.json"]),
        (["test", "-x"], "locked-test.txt", ["-m", "pytest", "-x"]),
    ],
)
def test_only_tests_install_what_tests_need(
    launch: Any,
    ran: list[list[str]],
    became: list[list[str]],
    arguments: list[str],
    locked: str,
    command: list[str],
) -> None:
    launch.main(arguments)
    (pip,) = (one for one in ran if "pip" in one)
    assert pip[-2:] == ["-r", str(CHECKOUT / "packaging" / locked)]
    assert became == [[sys.executable, *command]]
    ran.clear()
    launch.main(arguments)
    assert ran == [], "what is set up is not set up again"


def test_everything_is_tested_on_all_cores_and_then_the_benches_alone(
    launch: Any,
    ran: list[list[str]],
    became: list[list[str]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    launch.main(["test"])
    (parallel,) = (one for one in ran if "pytest" in one)
    assert parallel[parallel.index("-n") + 1] == "auto"
    assert parallel[-2:] == ["-m", "not bench"]
    assert became == [[sys.executable, "-m", "pytest", "-m", "bench"]]
    failed = subprocess.CompletedProcess(parallel, 1)
    monkeypatch.setattr(subprocess, "run", lambda *_, **__: failed)
    became.clear()
    with pytest.raises(SystemExit, match="1"):
        launch.main(["test"])
    assert became == []


def test_a_package_is_installed_only_if_its_hash_is_listed(
    launch: Any, ran: list[list[str]], became: list[list[str]]
) -> None:
    launch.main([])
    (pip,) = (one for one in ran if "pip" in one)
    # pip's option: a package that the list gives no hash for is refused.
    assert "--require-hashes" in pip


def test_a_checkout_that_was_moved_is_set_up_again(
    launch: Any,
    ran: list[list[str]],
    became: list[list[str]],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    launch.main([])
    moved = tmp_path / "moved"
    shutil.copytree(CHECKOUT / "packaging", moved / "packaging")
    monkeypatch.setattr(launch, "ROOT", str(moved))
    ran.clear()
    launch.main([])
    assert any("venv" in command for command in ran), "its scripts name the old place"
    assert (tmp_path / "pennyspeed.pth").read_text() == f"{moved / 'app'}\n"


def test_standard_output_is_left_to_answers(
    launch: Any, ran: list[list[str]], became: list[list[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    launch.main(["predict", "car.json", "--json"])
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.splitlines() == ["Setting up Pennyspeed; this happens once.", "Ready."]


def test_an_older_python_is_refused_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 10, 14))
    monkeypatch.setattr(sys, "version", "3.10.14 (main)")
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or later; this is 3\.10\.14\."):
        loaded()


def with_apt(monkeypatch: pytest.MonkeyPatch, user: int) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(os, "geteuid", lambda: user, raising=False)


def test_a_person_without_rights_is_told_what_to_type(
    launch: Any, ran: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    with_apt(monkeypatch, user=1000)
    with pytest.raises(SystemExit, match=r"sudo apt-get install .* libegl1 libgl1$"):
        launch.system_packages(["libegl1", "libgl1"])
    assert ran == []


def test_root_gets_system_libraries_installed(
    launch: Any, ran: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    with_apt(monkeypatch, user=0)
    launch.system_packages(["libegl1", "libgl1"])
    assert [command[:2] for command in ran] == [["apt-get", "update"], ["apt-get", "install"]]
    assert ran[-1][-2:] == ["libegl1", "libgl1"]


@pytest.mark.skipif(sys.platform != "linux", reason="Qt opens other libraries elsewhere")
def test_every_library_that_qt_opens_is_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    qt = Path(PySide6.__file__).parent / "Qt"
    opened: set[str] = set()
    for path in (
        *(qt / "lib" / f"libQt6{name}.so.6" for name in ("Core", "Gui", "Widgets", "DBus")),
        qt / "plugins" / "platforms" / "libqxcb.so",
    ):
        names = re.findall(rb"\0(lib[\w.+-]+\.so\.\d+)(?=\0)", path.read_bytes())
        opened.update(name.decode() for name in names)
    opened -= {path.name for path in (qt / "lib").iterdir()}
    # A name that the launcher does not ask for comes along with one that it does (from memory:
    # what Debian 12's packages depend on) or with every Debian.
    along = (
        r"lib(c|m|gcc_s|stdc\+\+|z|zstd|gthread-2\.0|freetype|X11|X11-xcb|xcb"
        r"|xcb-(image|randr|render|render-util|shm|sync|util|xfixes|xkb))\.so\.\d+"
    )
    asked: list[str] = []

    def nothing_there(name: str) -> None:
        asked.append(name)
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", nothing_there)
    packages = loaded().missing_packages()
    assert {name for name in opened if not re.fullmatch(along, name)} == set(asked)
    assert {"libegl1", "libgl1", "libxcb-cursor0"} <= set(packages)
