"""The command line: answers, messages, exit codes, and what it loads."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from builds import a_build, document
from cli_runs import Captured, ran
from pennyspeed import __version__, cli
from pennyspeed.services.build_files import read_build, write_build
from pennyspeed.services.workshop import Workshop


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "car.build.json"
    write_build(a_build(), path)
    return path


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "parts.sqlite"
    with Workshop.open(path) as workshop:
        workshop.builds.save(a_build())
    return path


def test_predict_writes_one_json_object_and_nothing_else(capsys: Captured, file: Path) -> None:
    code, out, err = ran(capsys, "predict", file, "--json")
    assert (code, err) == (0, "")
    assert out.count("\n") == 1
    answer = json.loads(out)
    assert 60 < answer["road_speed_kmh"] < 120
    assert answer["counted_cost"] == "89.20"


def test_predict_writes_a_report_in_the_persons_units(capsys: Captured, file: Path) -> None:
    code, out, err = ran(capsys, "predict", file)
    assert (code, err) == (0, "")
    assert "km/h in 240 m of road" in out
    assert "mph in 787 ft" in ran(capsys, "predict", file, "--units", "imperial")[1]
    mixed = ran(capsys, "predict", file, "--speed", "mph")[1]
    assert "mph in 240 m" in mixed


def test_predict_takes_a_stored_build_by_its_name(capsys: Captured, data: Path) -> None:
    code, out, _ = ran(capsys, "--data", data, "predict", "Allotment runner", "--json")
    assert code == 0
    assert json.loads(out)["cap_left"] == "160.80"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ('{"format": 1}', "format: 1 was given"),
        ("{", "line 1, column"),
        (json.dumps(document(parts__pinion__teeth=2.5)), "parts.pinion.teeth: 2.5 was given"),
        (json.dumps(document(version=9)), "newer Pennyspeed"),
    ],
)
def test_a_refused_file_is_one_plain_line(
    capsys: Captured, tmp_path: Path, content: str, said: str
) -> None:
    path = tmp_path / "bad.build.json"
    path.write_text(content)
    code, out, err = ran(capsys, "predict", path, "--json")
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert str(path) in err
    assert said in err
    assert "expected" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ["predict"],
        ["predict", "nowhere.build.json"],
        ["frobnicate"],
        ["predict", "x.json", "--units", "parsecs"],
        ["parts", "wheels"],
        ["import"],
        ["--data"],
    ],
)
def test_what_cannot_be_meant_is_one_plain_line(capsys: Captured, arguments: list[str]) -> None:
    code, out, err = ran(capsys, *arguments)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert len(err) > 10


@pytest.mark.parametrize("name", ["", "  "])
def test_a_file_without_a_name_is_refused(capsys: Captured, name: str) -> None:
    code, out, err = ran(capsys, "--data", name, "parts", "motors")
    assert (code, out) == (2, "")
    assert err == f"--data: {name!r} was given, expected the name of a file.\n".replace("  ", " ")


def test_a_name_that_no_build_has_is_refused(capsys: Captured, data: Path) -> None:
    code, out, err = ran(capsys, "--data", data, "predict", "Nobody's car")
    assert (code, out) == (2, "")
    assert "Nobody's car" in err


def test_parts_are_listed_with_their_columns(capsys: Captured, data: Path) -> None:
    code, out, _ = ran(capsys, "--data", data, "parts", "motors")
    assert code == 0
    head, *rows = out.splitlines()
    assert head.split()[0] == "name"
    assert "rated rpm" in head
    assert any(row.startswith("Greenhouse 3100") and "3,100" in row for row in rows)
    inches = ran(capsys, "--data", data, "parts", "motor", "--units", "imperial")[1]
    assert "can in" in inches.splitlines()[0]


def test_parts_that_were_put_away_are_listed_on_demand(capsys: Captured, data: Path) -> None:
    with Workshop.open(data) as workshop:
        part = next(
            one for one in workshop.catalogue.parts("motor") if one.name == "Greenhouse 3100"
        )
        assert part.id is not None
        workshop.catalogue.archive_part(part.id)
    assert "Greenhouse" not in ran(capsys, "--data", data, "parts", "motor")[1]
    assert "Greenhouse" in ran(capsys, "--data", data, "parts", "motor", "--archived")[1]


def test_export_and_import_carry_a_build_to_another_file(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    path = tmp_path / "carried.build.json"
    code, out, err = ran(capsys, "--data", data, "export", "Allotment runner", path)
    assert (code, out) == (0, "")
    assert str(path) in err
    assert read_build(path) == a_build()
    write_build(a_build(name="Carried over"), path)
    other = tmp_path / "other.sqlite"
    code, out, _ = ran(capsys, "--data", other, "import", path)
    assert code == 0
    assert out
    with Workshop.open(other) as workshop:
        found = workshop.builds.named("Carried over")
    assert found.parts["motor"].figures == a_build().parts["motor"].figures


def test_a_place_that_takes_no_file_is_our_exit_code_one(
    capsys: Captured, file: Path, tmp_path: Path
) -> None:
    code, out, err = ran(capsys, "export", file, tmp_path / "nowhere" / "x.build.json")
    assert (code, out) == (1, "")
    assert "cannot be written" in err


def test_without_a_display_the_report_stands_in_for_the_window(
    capsys: Captured, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for command in ([], ["open"]):
        code, out, err = ran(capsys, "--data", data, *command)
        assert code == 0
        assert err.count("\n") == 1
        assert "no display" in err
        assert "of road" in out


def test_our_own_mistake_is_exit_code_one(
    capsys: Captured, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError("by our own hand")

    monkeypatch.setattr("pennyspeed.services.build_files.read_build", broken)
    code, out, err = ran(capsys, "predict", file)
    assert (code, out) == (1, "")
    assert "ZeroDivisionError" in err
    assert "not yours" in err


def test_help_and_version() -> None:
    runner = CliRunner()
    assert runner.invoke(cli.commands, ["--version"]).output == f"pennyspeed {__version__}\n"
    text = runner.invoke(cli.commands, ["--help"]).output
    for command in ("open", "predict", "parts", "import", "export", "--data"):
        assert command in text


def python(*arguments: object, **settings: str) -> subprocess.CompletedProcess[bytes]:
    folder = Path(cli.__file__).parents[1]
    environment = os.environ | {"PYTHONPATH": str(folder)} | settings
    return subprocess.run(
        [sys.executable, *map(str, arguments)], capture_output=True, env=environment, check=False
    )


def test_as_a_program_it_loads_no_more_than_it_needs(file: Path) -> None:
    script = (
        "import sys; from pennyspeed import cli; code = cli.run(sys.argv[1:]);"
        "heavy = {'PySide6', 'pyqtgraph', 'sqlalchemy', 'alembic', 'scipy'} & set(sys.modules);"
        "print(sorted(heavy), file=sys.stderr); sys.exit(code)"
    )
    done = python("-c", script, "predict", file, "--json")
    assert done.returncode == 0
    assert done.stderr.decode().strip() == "[]"
    assert json.loads(done.stdout)["top_speed_kmh"] > 0


def test_as_a_program_it_writes_utf8_whatever_the_locale(tmp_path: Path) -> None:
    path = tmp_path / "car.build.json"
    write_build(a_build(name="Fährwagen 車"), path)
    settings = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = python("-m", "pennyspeed", "predict", path, **settings)
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Fährwagen 車" in done.stdout.decode("utf-8")


@pytest.mark.skipif(os.name != "posix", reason="pipes of a POSIX shell")
def test_a_reader_that_stops_early_is_no_mistake(file: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pennyspeed", "predict", str(file), "--json"],
            stdout=writing,
            stderr=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": str(Path(cli.__file__).parents[1])},
            check=False,
        )
    finally:
        os.close(writing)
    assert done.stderr == b""
    assert done.returncode == 1
