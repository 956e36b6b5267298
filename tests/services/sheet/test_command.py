"""The command `sheet`: what it writes, what it refuses, and that it needs no display."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from builds import a_build
from cli_runs import Captured, ran
from pennyspeed import cli
from pennyspeed.services.build_files import write_build
from pennyspeed.services.sheet.choices import Choices, text_of
from pennyspeed.services.sheet.look import OWN_NAME
from pennyspeed.services.workshop import Workshop


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "parts.sqlite"
    with Workshop.open(path) as workshop:
        workshop.builds.save(a_build())
        workshop.builds.save(a_build(name="Tall gears", parts__pinion__teeth=38))
    return path


def test_it_writes_text_and_html(capsys: Captured, data: Path, tmp_path: Path) -> None:
    for end, start in ((".txt", "Allotment runner\n===="), (".html", "<!DOCTYPE html>")):
        path = tmp_path / f"sheet{end}"
        code, out, err = ran(
            capsys, "--data", data, "sheet", "Allotment runner", "-o", path,
            "--date", "2027-03-04", "--paper", "Letter",
        )  # fmt: skip
        assert (code, out) == (0, "")
        assert str(path) in err
        text = path.read_text(encoding="utf-8")
        assert text.startswith(start)
        assert "Sheet of 4 March 2027" in text


def test_without_a_display_it_writes_a_tagged_pdf(data: Path, tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    folder = Path(cli.__file__).parents[1]
    kept = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    environment = {name: value for name, value in os.environ.items() if name not in kept}
    done = subprocess.run(
        [sys.executable, "-m", "pennyspeed", "--data", str(data), "sheet", "Allotment runner",
         "-o", str(path), "--paper", "letter", "--mono"],
        capture_output=True,
        env=environment | {"PYTHONPATH": str(folder)},
        check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (0, b"")
    assert done.stderr.decode().strip() == f"Written to {path}"
    content = path.read_bytes()
    assert content.startswith(b"%PDF")
    assert content.rstrip().endswith(b"%%EOF")


def test_text_loads_neither_qt_nor_what_makes_pdf(data: Path, tmp_path: Path) -> None:
    script = (
        "import sys; from pennyspeed import cli; code = cli.run(sys.argv[1:]);"
        "print(sorted({'PySide6', 'pikepdf', 'jinja2', 'pyqtgraph'} & set(sys.modules)));"
        "sys.exit(code)"
    )
    folder = Path(cli.__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", script, "--data", str(data), "sheet", "Allotment runner",
         "-o", str(tmp_path / "sheet.txt")],
        capture_output=True,
        env=os.environ | {"PYTHONPATH": str(folder)},
        check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout.decode().strip()) == (0, "[]")


def test_what_was_chosen_in_the_window_holds_unless_an_option_says_otherwise(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    with Workshop.open(data) as workshop:
        build = workshop.builds.named("Allotment runner")
        chosen = Choices(sections=("before",), before=("Flag up",), units="imperial")
        workshop.settings.note_sheet_choices(build, text_of(chosen))
        workshop.settings.note_held([("Held one", a_build(parts__pinion__teeth=30))])
    path = tmp_path / "sheet.txt"
    assert ran(capsys, "--data", data, "sheet", build.code, "-o", path)[0] == 0
    text = path.read_text(encoding="utf-8")
    assert "[ ] Flag up" in text
    assert "Run log" not in text
    assert "mph" in text
    ran(capsys, "--data", data, "sheet", build.code, "-o", path, "--kind", "beside")
    assert "B  Held one" in path.read_text(encoding="utf-8")
    ran(capsys, "--data", data, "sheet", build.code, "-o", path, "--sections", "money, pack")
    text = path.read_text(encoding="utf-8")
    assert text.index("Money\n") < text.index("Pack\n")


def test_black_and_white_or_colour_is_as_the_option_says(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    path = tmp_path / "sheet.html"

    def colours(*options: str) -> set[str]:
        run = ("--data", data, "sheet", "Allotment runner", "-o", path, *options)
        assert ran(capsys, *run)[0] == 0
        root = re.search(r":root \{(.*?)\}", path.read_text(encoding="utf-8"))
        assert root is not None
        return set(re.findall(r"#\w{6}", root[1]))

    assert colours("--mono") == {"#000000", "#FFFFFF"}
    assert len(colours()) > 2
    with Workshop.open(data) as workshop:
        build = workshop.builds.named("Allotment runner")
        workshop.settings.note_sheet_choices(build, text_of(Choices(mono=True)))
    assert colours() == {"#000000", "#FFFFFF"}
    assert len(colours("--colour")) > 2


def test_builds_are_named_to_stand_beside_it(capsys: Captured, data: Path, tmp_path: Path) -> None:
    path = tmp_path / "sheet.txt"
    run = ("--data", data, "sheet", "Allotment runner", "-o", path, "--kind", "beside")
    assert ran(capsys, *run, "--beside", "Tall gears")[0] == 0
    assert "B  Tall gears" in path.read_text(encoding="utf-8")
    before = path.read_bytes()
    code, _, err = ran(capsys, *run, *("--beside", "Tall gears") * 4)
    assert code == 2
    assert "at most 4 builds" in err
    assert path.read_bytes() == before


def test_of_many_that_are_held_beside_it_the_first_three_are_on_the_sheet(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    with Workshop.open(data) as workshop:
        workshop.settings.note_held([(f"Held {i}", a_build()) for i in range(1, 6)])
    path = tmp_path / "sheet.txt"
    run = ("--data", data, "sheet", "Allotment runner", "-o", path, "--kind", "beside")
    assert ran(capsys, *run)[0] == 0
    text = path.read_text(encoding="utf-8")
    assert [i for i in range(1, 6) if f"Held {i}" in text] == [1, 2, 3]


def test_a_build_file_has_a_sheet_too(capsys: Captured, tmp_path: Path) -> None:
    file, path = tmp_path / "car.build.json", tmp_path / "sheet.txt"
    write_build(a_build(), file)
    (tmp_path / OWN_NAME).write_text('running = "Pond Street"\n', encoding="utf-8")
    assert ran(capsys, "sheet", file, "-o", path)[0] == 0
    text = path.read_text(encoding="utf-8")
    assert text.startswith("Allotment runner")
    assert text.rstrip().endswith("Allotment runner · Pond Street")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("-o", "sheet.doc"), "expected a name that ends in .pdf, .html or .txt"),
        (("-o", "s.txt", "--kind", "soup"), "--kind: 'soup' was given, expected one of bench"),
        (("-o", "s.txt", "--paper", "a0"), "--paper: 'a0' was given, expected one of a4, letter"),
        (("-o", "s.txt", "--date", "4.3."), "--date: '4.3.' was given, expected a day"),
        (("-o", "s.txt", "--sections", "soup"), "sections: 'soup' was given, expected one of"),
        (("-o", "s.txt", "--beside", "Nobody"), "Nobody"),
        ((), "-o"),
    ],
)
def test_what_cannot_be_meant_is_one_plain_line_and_writes_nothing(
    capsys: Captured,
    data: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    said: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    code, out, err = ran(capsys, "--data", data, "sheet", "Allotment runner", *options)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert said in err
    assert sorted(tmp_path.iterdir()) == before


def test_a_bad_look_is_refused_with_its_place(capsys: Captured, data: Path, tmp_path: Path) -> None:
    (tmp_path / OWN_NAME).write_text("[log]\nrows = 0\n", encoding="utf-8")
    path = tmp_path / "sheet.txt"
    code, _, err = ran(capsys, "--data", data, "sheet", "Allotment runner", "-o", path)
    assert code == 2
    assert f"{tmp_path / OWN_NAME}, log.rows: 0 was given, expected a whole number" in err
    assert not path.exists()
