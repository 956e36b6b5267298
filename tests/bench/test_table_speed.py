"""How long ten thousand rows take to look at, to take in, to take out again and to write.

Prints seconds and, for the machine of the next person, the ratio to the standard library's reader
over the same file. Counts are asserted, times are not.
"""

from __future__ import annotations

import csv
import random
import statistics
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import TypeVar

import pytest
from odf import opendocument, table, text

from pennyspeed.services.exporters import FORMATS, write_table
from pennyspeed.services.exporters.table import Table, parts_table
from pennyspeed.services.importers.tables.rows import Verdict
from pennyspeed.services.workshop import Workshop

ROWS = 10_000
HEADER = (
    "name,kv_rpm_per_v,resistance_mohm,can_mm,length_mm,max_rpm,continuous_current_a,mass_g,price,"
    "currency,supplier,on,note,provenance"
)

pytestmark = pytest.mark.bench

Found = TypeVar("Found")


def motors(path: Path) -> Path:
    draw = random.Random(20270301)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(HEADER.split(","))
        for i in range(ROWS):
            writer.writerow(
                [
                    f"Motor {i}",
                    draw.randint(1000, 6000),
                    round(draw.uniform(1, 60), 2),
                    draw.choice([28, 36, 40]),
                    round(draw.uniform(40, 80), 1),
                    draw.choice([50_000, 60_000]),
                    draw.randint(20, 200),
                    round(draw.uniform(50, 400), 1),
                    f"{draw.uniform(10, 200):.2f}",
                    "EUR",
                    draw.choice(["Seed box", "Barn"]),
                    f"2027-{draw.randint(1, 9):02}-{draw.randint(1, 28):02}",
                    f"lot {i}",
                    draw.choice(["", "mass_g=measured"]),
                ]
            )
    return path


def timed(work: Callable[[], Found]) -> tuple[Found, float]:
    begin = perf_counter()
    found = work()
    return found, perf_counter() - begin


def bare(path: Path) -> float:
    """Return the median seconds in which the standard library reads a file."""

    def read() -> int:
        with path.open(newline="", encoding="utf-8") as file:
            return len(list(csv.reader(file)))

    return statistics.median(timed(read)[1] for _ in range(5))


def with_trees(exported: Table, path: Path) -> None:
    """Write what an OpenDocument table needs with a library that builds a tree of it."""
    book = opendocument.OpenDocumentSpreadsheet()
    sheet = table.Table(name=exported.name)
    for row in (exported.header, *exported.rows):
        line = table.TableRow()
        for cell in row:
            one = table.TableCell(valuetype="string")
            one.addElement(text.P(text="" if cell is None else str(cell)))
            line.addElement(one)
        sheet.addElement(line)
    book.spreadsheet.addElement(sheet)
    book.save(str(path))


def test_ten_thousand_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = motors(tmp_path / "motor.csv")
    unit = bare(path)
    said = [f"{ROWS:,} rows of {HEADER.count(',') + 1} columns; a bare reader {1e3 * unit:.0f} ms"]

    def say(what: str, seconds: float, aim: str = "") -> None:
        said.append(f"  {what:<30}{seconds:6.2f} s{aim}  {seconds / unit:5.0f} × the bare reader")

    with Workshop.open(tmp_path / "file.sqlite3") as workshop:
        preview, seconds = timed(lambda: workshop.tables.preview(path))
        assert preview.counts[Verdict.NEW] == ROWS
        say("look at new ones", seconds, " (aim 2)")
        taken, seconds = timed(lambda: workshop.tables.take(preview))
        assert len(taken.changes) == ROWS
        say("take them in", seconds, " (aim 3)")
        same, seconds = timed(lambda: workshop.tables.preview(path))
        assert same.counts[Verdict.SAME] == ROWS
        say("look at the same again", seconds, " (aim 2)")
        cheaper = tmp_path / "motor 2.csv"
        lines = path.read_text(encoding="utf-8").replace(",2027-", ",2028-").replace("lot", "box")
        cheaper.write_text(lines, encoding="utf-8")
        changed, seconds = timed(lambda: workshop.tables.preview(cheaper))
        assert changed.counts[Verdict.CHANGED] == ROWS
        say("look at changed ones", seconds, " (aim 2)")
        again, seconds = timed(lambda: workshop.tables.take(changed))
        assert len(again.changes) == ROWS
        say("take those in", seconds, " (aim 3)")
        _, seconds = timed(lambda: workshop.catalogue.turn_back(again.changes))
        say("undo the changes", seconds)
        added = {one.after.id for one in taken.changes}
        found = [part for part in workshop.catalogue.parts("motor") if part.id in added]
        exported = parts_table(found)
        for one in FORMATS:
            target = tmp_path / f"motors out{one.suffix}"
            _, seconds = timed(lambda target=target: write_table(exported, target))  # type: ignore[misc]
            say(f"write {one.suffix}", seconds)
            preview, seconds = timed(lambda target=target: workshop.tables.preview(target))  # type: ignore[misc]
            assert preview.counts[Verdict.SAME] == ROWS
            say(f"look at {one.suffix}", seconds)
        _, seconds = timed(lambda: workshop.catalogue.turn_back(taken.changes))
        say("undo the new ones", seconds)
    part = Table(exported.name, exported.header, exported.rows[: ROWS // 10])
    _, trees = timed(lambda: with_trees(part, tmp_path / "trees.ods"))
    say("a tenth as .ods by a tree", trees)
    with capsys.disabled():
        print("\n" + "\n".join(said), file=sys.stderr)
