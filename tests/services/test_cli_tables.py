"""Tables on the command line: looked at, taken in, and written."""

from __future__ import annotations

from pathlib import Path

import pytest

from builds import a_build
from cli_runs import Captured, ran_on
from pennyspeed.services.workshop import Workshop


def names(data: Path, kind: str = "pinion") -> set[str]:
    with Workshop.open(data) as workshop:
        return {part.name for part in workshop.catalogue.parts(kind)}


def test_a_look_says_what_would_be_and_writes_nothing(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    path = tmp_path / "pinion.csv"
    path.write_text("name,teeth,module_mm,colour\nnine,9,0.8,red\nten,many,0.8,\n")
    before = names(data)
    code, out, err = ran_on(capsys, data, "import", "--look", path)
    assert code == 0
    assert out.splitlines() == [
        "row 2: new nine",
        "row 3: refused ten: teeth: 'many' was given, expected a whole number from 1 to 10,000.",
        "2 rows: 1 new, 1 refused.",
    ]
    assert "'colour' was given" in err
    assert names(data) == before


def test_a_table_is_taken_whole_unless_rows_are_to_be_left_out(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    path = tmp_path / "pinion.csv"
    path.write_text("name,teeth,module_mm\nnine,9,0.8\nten,many,0.8\n")
    before = names(data)
    code, out, err = ran_on(capsys, data, "import", path)
    assert (code, out) == (2, "")
    assert "row 3, column teeth" in err
    assert names(data) == before
    code, out, _ = ran_on(capsys, data, "import", "--leave-out", path)
    assert (code, out) == (0, "1 part added, 0 changed, 1 left out.\n")
    assert names(data) - before == {"nine"}
    # A column that is not understood refuses the file; a look tells more.
    path.write_text("name,teeth,module_mm,colour\neleven,9,0.8,red\n")
    code, out, err = ran_on(capsys, data, "import", path)
    assert (code, out) == (2, "")
    assert "'colour' was given" in err
    assert "eleven" not in names(data)


@pytest.mark.parametrize("suffix", ["csv", "tsv", "xlsx", "ods"])
@pytest.mark.parametrize("what", ["parts", "offers", "lines"])
def test_what_was_written_is_nothing_new(
    capsys: Captured, data: Path, tmp_path: Path, what: str, suffix: str
) -> None:
    path = tmp_path / f"{what}.{suffix}"
    of = ["--of", a_build().name] if what == "lines" else []
    code, out, err = ran_on(capsys, data, "table", what, path, *of)
    assert (code, out) == (0, "")
    assert f"{what} written to {path}" in err
    into = ["--lines-of", a_build().name] if what == "lines" else []
    code, out, err = ran_on(capsys, data, "import", "--look", path, *into)
    assert (code, err) == (0, "")
    rows, *rest = out.split(" rows: ")
    assert int(rows.replace(",", "")) > 2
    assert rest == [f"{rows} same.\n"]


def test_figures_are_written_in_a_persons_units(
    capsys: Captured, data: Path, tmp_path: Path
) -> None:
    path = tmp_path / "parts.csv"
    assert ran_on(capsys, data, "table", "parts", path, "--units", "imperial")[0] == 0
    assert "mass (oz)" in path.read_text(encoding="utf-8-sig").splitlines()[0]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["table", "lines", "x.csv"], "build: nothing was given, expected the build whose lines"),
        (["table", "parts", "x.doc"], "'x.doc' was given, expected"),
        (["table", "wheels", "x.csv"], "wheels"),
        (["import", "--look", "x.build.json"], "expected a table"),
        (["import", "x.doc"], "'x.doc' was given, expected a table"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_a_line(
    capsys: Captured, data: Path, arguments: list[str], words: str
) -> None:
    code, out, err = ran_on(capsys, data, *arguments)
    assert (code, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1
