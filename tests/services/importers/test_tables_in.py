"""Tables looked at before they are taken in: verdicts, mappings, what is refused, and undoing."""

from __future__ import annotations

import os
import random
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from odf import opendocument, table, text

from as_given import as_given
from builds import a_build
from pennyspeed.domain.errors import BadInput, FileTrouble, InUse, UnwritableFile, UserError
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.importer import Imported
from pennyspeed.services.importers.tables.cells import day, decimal, yes_or_no
from pennyspeed.services.importers.tables.delimited import text_of
from pennyspeed.services.importers.tables.preview import Preview
from pennyspeed.services.importers.tables.rows import Change, Verdict
from pennyspeed.services.workshop import Workshop

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def write(text: str, name: str = "pinion.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(text.encode(encoding))
        return path

    return write


def pinion(name: str, teeth: int, **more: Any) -> Part:
    return Part("pinion", name, {"teeth": teeth, "module_mm": 0.8}, **more)


def price(minor: int, on: date, supplier: str = "", **more: Any) -> Price:
    return Price(Money(minor, "EUR"), on, supplier, **more)


def verdicts(preview: Preview) -> list[str]:
    return [row.verdict.value for row in preview.rows]


def catalogue(workshop: Workshop) -> dict[int | None, tuple[Part, list[Price]]]:
    """Return all that the catalogue holds, by number."""
    parts = (part for kind in KINDS for part in workshop.catalogue.parts(kind.key, archived=True))
    return {part.id: (part, workshop.catalogue.price_history(part.id or 0)) for part in parts}


def said_of(workshop: Workshop, path: Path) -> str:
    """Return what a person reads of a file that may be no table."""
    try:
        return f"{path.name}: {workshop.tables.preview(path).summary}"
    except UserError as error:
        return str(error)


MARCH = date(2027, 3, 1)


def parts_before(taken: Imported) -> list[Part]:
    return [one.before.part for one in taken.changes if one.before.part is not None]


def parts_after(taken: Imported) -> list[Part]:
    return [one.after.part for one in taken.changes if one.after.part is not None]


def new_ids(taken: Imported) -> list[int]:
    return [one.after.id for one in taken.changes if one.before.part is None]


def undo(workshop: Workshop, taken: Imported) -> None:
    workshop.catalogue.turn_back(taken.changes)
    if taken.build_before is not None:
        workshop.builds.save(taken.build_before)


def redo(workshop: Workshop, taken: Imported) -> None:
    workshop.catalogue.turn_back([one.reversed() for one in reversed(taken.changes)])
    if taken.build is not None:
        workshop.builds.save(taken.build)


def test_each_row_says_what_it_would_do_and_nothing_is_written(
    workshop: Workshop, write: Write
) -> None:
    workshop.catalogue.save_part(pinion("twelve", 12, price=price(490, MARCH)))
    workshop.catalogue.save_part(pinion("thirteen", 13))
    before = catalogue(workshop)
    preview = workshop.tables.preview(
        write(
            "name,teeth,module_mm,price,on\n"
            "twelve,12,0.8,4.90,2027-03-01\n"
            "thirteen,14,0.8,5.20,2027-03-01\n"
            "fifteen,15,0.8,,\n"
            "sixteen,many,-1,dear,soon\n"
        )
    )
    assert verdicts(preview) == ["same", "changed", "new", "refused"]
    assert [row.number for row in preview.rows] == [2, 3, 4, 5]
    assert preview.rows[1].changes == (
        Change("teeth", "13", "14"),
        Change("price", "not known", "5.20 EUR"),
    )
    # Everything that is wrong with a row, so that it can be mended at once.
    assert [(one.row, one.column, one.value) for one in preview.rows[3].refusals] == [
        (5, "teeth", "many"),
        (5, "module_mm", "-1"),
        (5, "price", "dear"),
    ]
    assert "whole number from 1" in preview.rows[3].refusals[0].expected
    assert preview.counts == {
        Verdict.NEW: 1,
        Verdict.CHANGED: 1,
        Verdict.SAME: 1,
        Verdict.REFUSED: 1,
    }
    assert preview.summary == "4 rows: 1 new, 1 changed, 1 same, 1 refused."
    assert catalogue(workshop) == before


def test_a_preview_with_refused_rows_is_taken_only_without_them(
    workshop: Workshop, write: Write
) -> None:
    before = catalogue(workshop)
    preview = workshop.tables.preview(
        write("name,teeth,module_mm\nfifteen,15,0.8\nsixteen,many,0.8\n")
    )
    with pytest.raises(BadInput, match=r"pinion\.csv, row 3, column teeth: 'many' was given"):
        workshop.tables.take(preview)
    assert catalogue(workshop) == before
    taken = workshop.tables.take(preview, leave_out_refused=True)
    assert taken.summary == "1 part added, 0 changed, 1 left out."
    assert {part.name for part, _ in catalogue(workshop).values()} - {
        part.name for part, _ in before.values()
    } == {"fifteen"}


def test_what_was_taken_in_is_taken_out_again_and_in_once_more(
    workshop: Workshop, write: Write
) -> None:
    february = date(2027, 2, 1)
    workshop.catalogue.save_part(pinion("twelve", 12, price=price(490, MARCH), note="mine"))
    workshop.catalogue.save_part(pinion("thirteen", 13, price=price(510, MARCH)))
    before = catalogue(workshop)
    preview = workshop.tables.preview(
        write(
            "name,teeth,price,on,module_mm\n"
            "twelve,11,4.50,2027-03-02,0.8\n"
            "thirteen,13,5.50,2027-02-01,0.8\n"
            "fifteen,15,6,2027-03-01,0.8\n"
        )
    )
    assert verdicts(preview) == ["changed", "changed", "new"]
    taken = workshop.tables.take(preview)
    after = catalogue(workshop)
    assert [part.name for part in parts_before(taken)] == ["twelve", "thirteen"]
    (new_id,) = new_ids(taken)
    fifteen, its_prices = after[new_id]
    assert as_given(fifteen) == pinion("fifteen", 15, price=price(600, MARCH))
    assert its_prices == [price(600, MARCH)]
    by_name = {part.name: (part, prices) for part, prices in after.values()}
    twelve, prices = by_name["twelve"]
    assert (twelve.figure("teeth"), twelve.note) == (11, "mine")
    assert prices == [price(450, date(2027, 3, 2)), price(490, MARCH)]
    # An older price joins the history only.
    thirteen, prices = by_name["thirteen"]
    assert thirteen.price == price(510, MARCH)
    assert prices == [price(510, MARCH), price(550, february)]
    undo(workshop, taken)
    assert catalogue(workshop) == before
    redo(workshop, taken)
    assert catalogue(workshop) == after
    assert verdicts(workshop.tables.preview(preview.path)) == ["same"] * 3


def test_a_part_in_a_build_is_not_taken_out_from_under_it(workshop: Workshop, write: Write) -> None:
    taken = workshop.tables.take(
        workshop.tables.preview(write("name,teeth,module_mm\nfifteen,15,0.6\nsixteen,16,0.6\n"))
    )
    part = workshop.catalogue.part(new_ids(taken)[1])
    build = workshop.builds.save(a_build().with_part(part))
    before = catalogue(workshop)
    with pytest.raises(InUse, match=build.name):
        undo(workshop, taken)
    assert catalogue(workshop) == before


def test_what_changed_since_the_preview_is_not_written_over(
    workshop: Workshop, write: Write
) -> None:
    part = workshop.catalogue.save_part(pinion("twelve", 12))
    path = write("name,teeth,module_mm\nfirst,9,0.8\ntwelve,13,0.8\n")
    preview = workshop.tables.preview(path)
    workshop.catalogue.save_part(replace(part, note="measured today"))
    before = catalogue(workshop)
    with pytest.raises(UserError, match=r"twelve was changed since pinion\.csv was looked at"):
        workshop.tables.take(preview)
    assert catalogue(workshop) == before
    workshop.tables.take(workshop.tables.preview(path))
    assert workshop.catalogue.part(part.id or 0).note == "measured today"
    # The same for a part that came meanwhile.
    again = workshop.tables.preview(write("name,teeth,module_mm\nlate,9,0.8\n"))
    workshop.catalogue.save_part(pinion("late", 9))
    with pytest.raises(UserError, match="late was changed"):
        workshop.tables.take(again)


def test_a_disk_that_fills_up_on_the_way_leaves_the_catalogue_as_it_was(
    workshop: Workshop, write: Write
) -> None:
    workshop.catalogue.save_part(pinion("twelve", 12))
    before = catalogue(workshop)
    preview = workshop.tables.preview(
        write(f"name,teeth,module_mm,note\nfirst,9,0.8,\ntwelve,12,0.8,{'n' * 100_000}\n")
    )
    assert verdicts(preview) == ["new", "changed"]
    with closing(workshop._engine.raw_connection()) as connection:
        driver = connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        (pages,) = driver.execute("PRAGMA page_count").fetchone()
        # Room for the new part, and not for the long note.
        driver.execute(f"PRAGMA max_page_count={pages + 8}")
    with pytest.raises(UnwritableFile, match="disk is full"):
        workshop.tables.take(preview)
    assert catalogue(workshop) == before


def test_headers_that_others_write_are_understood(workshop: Workshop, write: Write) -> None:
    preview = workshop.tables.preview(
        write(
            "Artikel;Zähne;TEETH;Module_mm;Bore [in];Preis (GBP);Lieferant;Datum;Lager\n"
            "nine;;9;0,8;0,125;4,90;Saatkiste;1.3.2027;7\n",
        )
    )
    assert [column.target for column in preview.columns] == [
        "name",
        "",
        "teeth",
        "module_mm",
        "bore_mm",
        "price",
        "supplier",
        "on",
        "in_stock",
    ]
    assert [column.header for column in preview.left_out] == ["Zähne"]
    trouble = preview.columns[1].trouble
    assert trouble is not None
    assert "'Zähne' was given, expected a figure's key or label" in str(trouble)
    assert preview.columns[0].samples == ("nine",)
    taken = workshop.tables.take(preview)
    (nine,) = parts_after(taken)
    assert as_given(nine).figures == pytest.approx({"teeth": 9, "module_mm": 0.8, "bore_mm": 3.175})
    assert nine.price == Price(Money(490, "GBP"), MARCH, "Saatkiste", in_stock=7)


def test_a_person_corrects_what_a_column_is_taken_for(workshop: Workshop, write: Write) -> None:
    path = write("Was;Zahn;mass;module\nnine;9;1;0,8\n", "liste.csv")
    first = workshop.tables.preview(path)
    assert str(first.trouble) == (
        "row 1: 'Was, Zahn, mass, module' was given, expected column names, one of them name."
    )
    assert first.rows == ()
    assert [column.target for column in first.columns] == ["", "", "mass_g", "module_mm"]
    assert first.columns[0].samples == ("nine",)
    with pytest.raises(BadInput, match="column names"):
        workshop.tables.take(first)
    second = workshop.tables.preview(path, mapping={0: "name", 1: "teeth", 2: "mass (oz)"})
    assert "a column kind, or a file named for a kind" in str(second.trouble)
    third = workshop.tables.preview(
        path, mapping={0: "name", 1: "teeth", 2: "mass (oz)"}, kind="pinion"
    )
    assert verdicts(third) == ["new"]
    # 1 oz = 28.349523125 g, exactly (international pound, 1959).
    assert third.rows[0].value.part.figures["mass_g"] == pytest.approx(28.349523125)
    fourth = workshop.tables.preview(path, mapping={0: "name", 1: "teeth", 2: ""}, kind="pinion")
    assert "mass_g" not in as_given(fourth.rows[0].value.part).figures
    offered = dict(third.choices)
    assert offered["name"] == "name"
    assert offered["mass_g"] == "mass (g)"
    assert "kv_rpm_per_v" not in offered
    assert "kv_rpm_per_v" in dict(first.choices)


def test_every_choice_of_a_mapping_is_understood(workshop: Workshop, write: Write) -> None:
    for what in ("parts", "offers", "lines"):
        path = write("a;b\nx;y\n", f"{what}.csv")
        for header, _ in workshop.tables.preview(path).choices:
            column = workshop.tables.preview(path, mapping={1: header}).columns[1]
            assert (column.target, column.trouble) == (header, None)


def test_a_number_that_reads_two_ways_refuses_its_row_alone(
    workshop: Workshop, write: Write
) -> None:
    preview = workshop.tables.preview(
        write("name;teeth;module_mm;bore_mm\na;9;1;3,2\nb;9;1;3.175\nc;9;1;3.2\n")
    )
    assert verdicts(preview) == ["new", "refused", "new"]
    (refusal,) = preview.rows[1].refusals
    assert str(refusal) == "bore_mm: '3.175' was given, expected 3175 or 3.175."


def test_columns_that_are_missing_or_twice_are_told(workshop: Workshop, write: Write) -> None:
    preview = workshop.tables.preview(write("name,teeth,module_mm,Teeth,\na,9,1,10,x\n"))
    assert [str(c.trouble) for c in preview.left_out] == [
        "row 1: 'Teeth' was given, expected no second column for teeth.",
        "row 1: nothing was given, expected a name for every column.",
    ]
    assert verdicts(preview) == ["new"]
    assert preview.rows[0].value.part.figures["teeth"] == 9


# From memory: the Windows code page 1252 has the euro sign at 0x80 and the dash at 0x96, where
# Latin-1 has control characters; UTF-16 without a mark is what some databases export.
@pytest.mark.parametrize("encoding", ["utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_encodings_are_told_apart(encoding: str) -> None:
    said = "name;price\nRäder – weiß;5 €\n"
    assert text_of(said.encode(encoding)) == said


@pytest.mark.parametrize(
    ("cell", "found"),
    [
        ("2027-03-01", MARCH),
        ("2027/3/1", MARCH),
        ("01.03.2027", MARCH),
        ("1. 3. 2027", MARCH),
        ("", None),
        ("01/03/2027", BadInput),  # the first of March or the third of January
        ("29.02.2027", BadInput),
        ("2027-13-01", BadInput),
    ],
)
def test_days_that_read_one_way_are_read(cell: str, found: Any) -> None:
    if found is BadInput:
        with pytest.raises(BadInput, match="a date such as 2027-04-10"):
            day(cell, "here")
    else:
        assert day(cell, "here") == found


def test_yes_and_no() -> None:
    assert [yes_or_no(word, "here") for word in ("Yes", "x", "0", "nein")] == [
        True,
        True,
        False,
        False,
    ]
    with pytest.raises(BadInput, match="yes or no"):
        yes_or_no("perhaps", "here")


# Workbooks ----------------------------------------------------------------------------------


def workbook(path: Path, sheets: dict[str, list[list[Any]]]) -> Path:
    """Write a workbook with a library that the program itself does not use."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def document(path: Path, rows: list[list[Any]]) -> Path:
    """Write an OpenDocument table with a library that the program itself does not use."""
    file = opendocument.OpenDocumentSpreadsheet()
    sheet = table.Table(name="one")
    for row in rows:
        line = table.TableRow()
        for value in row:
            if isinstance(value, float | int):
                cell = table.TableCell(valuetype="float", value=value)
            elif isinstance(value, date):
                cell = table.TableCell(valuetype="date", datevalue=value.isoformat())
            else:
                cell = table.TableCell(valuetype="string")
            cell.addElement(text.P(text=str(value)))
            line.addElement(cell)
        sheet.addElement(line)
    file.spreadsheet.addElement(sheet)
    file.save(str(path))
    return path


ROWS: list[list[Any]] = [
    ["name", "teeth", "module_mm", "bore_mm", "price", "on", "note"],
    ["nine", 9, 0.8, 3.175, 4.9, MARCH, "=1+1"],
    [3300, "10", "0,8", "3,2", 1250, MARCH, ""],
]


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_a_workbook_is_read(workshop: Workshop, tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"pinion{suffix}"
    if suffix == ".xlsx":
        rows = [row[:] for row in ROWS]
        rows[1][6] = "text"  # there it would be a formula
        workbook(path, {"notes": [["a heap of words"]], "gears": rows})
    else:
        document(path, ROWS)
    preview = workshop.tables.preview(path)
    assert verdicts(preview) == ["new", "new"]
    taken = workshop.tables.take(preview)
    nine, ten = parts_after(taken)
    # A number of a workbook reads one way: 3.175 is no 3175, although "3,2" has a comma.
    assert as_given(nine).figures == {"teeth": 9, "module_mm": 0.8, "bore_mm": 3.175}
    assert nine.price == price(490, MARCH)
    assert nine.note == ("text" if suffix == ".xlsx" else "=1+1")
    assert (ten.name, ten.figures["bore_mm"]) == ("3300", 3.2)
    assert ten.price == price(125000, MARCH)


def test_a_workbook_has_sheets_to_choose_from(workshop: Workshop, tmp_path: Path) -> None:
    sheets = {
        name: [["name", "teeth", "module_mm"], [name, 9, 0.8]] for name in ("first", "second")
    }
    path = workbook(tmp_path / "pinion.xlsx", sheets)
    assert workshop.tables.preview(path).sheets == ("first", "second")
    assert workshop.tables.preview(path).rows[0].name == "first"
    assert workshop.tables.preview(path, sheet="second").rows[0].name == "second"
    with pytest.raises(BadInput, match="'third' was given, expected one of first, second"):
        workshop.tables.preview(path, sheet="third")


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_a_damaged_workbook_is_refused_in_a_sentence(
    workshop: Workshop, tmp_path: Path, suffix: str
) -> None:
    path = tmp_path / f"pinion{suffix}"
    if suffix == ".xlsx":
        workbook(path, {"one": ROWS[:1]})
    else:
        document(path, ROWS)
    whole = path.read_bytes()
    draw = random.Random(20270301)
    for cut in (0, 3, len(whole) // 2, len(whole) - 10):
        path.write_bytes(whole[:cut])
        with pytest.raises((FileTrouble, BadInput), match=path.name):
            workshop.tables.preview(path)
    for _ in range(30):
        damaged = bytearray(whole)
        for _ in range(20):
            damaged[draw.randrange(len(whole))] = draw.randrange(256)
        path.write_bytes(damaged)
        assert path.name in said_of(workshop, path)


def test_a_cell_far_from_the_others_is_refused_before_it_fills_the_memory(
    workshop: Workshop, tmp_path: Path
) -> None:
    path = tmp_path / "pinion.xlsx"
    book = openpyxl.Workbook()
    book.active.append(["name", "teeth", "module_mm"])
    book.active["XFD1048576"] = "far"  # the last cell that the format has
    book.save(path)
    with pytest.raises(FileTrouble, match=r"pinion\.xlsx.*17,179,869,184.*far from the others"):
        workshop.tables.preview(path)


def test_a_workbook_that_fills_the_memory_once_it_is_unpacked_is_refused(
    workshop: Workshop, tmp_path: Path
) -> None:
    path = workbook(tmp_path / "pinion.xlsx", {"one": ROWS[:1]})
    content = bytearray(path.read_bytes())
    # The size that the first file of an archive says it has (PKWARE APPNOTE 6.3.10, 4.3.12).
    size = content.index(b"PK\x01\x02") + 24
    content[size : size + 4] = (400_000_001).to_bytes(4, "little")
    path.write_bytes(content)
    with pytest.raises(FileTrouble, match=r"pinion\.xlsx.*unpacked it is larger than 400 MB"):
        workshop.tables.preview(path)


# Offers -------------------------------------------------------------------------------------


def test_offers_find_their_parts(workshop: Workshop, write: Write) -> None:
    twelve = workshop.catalogue.save_part(pinion("twelve", 12, price=price(490, MARCH, "Seed box")))
    workshop.catalogue.save_part(Part("spur", "both", {"teeth": 60, "module_mm": 0.8}))
    workshop.catalogue.save_part(pinion("both", 60))
    before = catalogue(workshop)
    preview = workshop.tables.preview(
        write(
            "name,supplier,price,currency,date,stock,lead days,link\n"
            "twelve,Seed box,4.90,EUR,2027-03-01,,,\n"
            "twelve,Seed box,4.70,EUR,2027-03-05,3,2,https://example.org\n"
            "twelve,Barn,600,JPY,2027-03-05,,9,\n"
            "absent,Barn,5,EUR,2027-03-05,,,\n"
            "both,Barn,5,EUR,2027-03-05,,,\n"
            "twelve,Yard,,EUR,2027-03-05,,,\n"
            "twelve,Yard,5,EUR,2027-03-05,1.5,,\n",
            "list.csv",
        )
    )
    assert preview.what == "offers"
    assert verdicts(preview) == ["same", "changed", "new"] + ["refused"] * 4
    assert [str(row.refusals[0]) for row in preview.rows[3:]] == [
        "name: 'absent' was given, expected the name of a part of the catalogue.",
        "name: 'both' was given, expected a column kind, since it is the name of a pinion and a "
        "spur.",
        "price: nothing was given, expected what the supplier asks.",
        "stock: '1.5' was given, expected a whole number of 0 or more.",
    ]
    assert [change.what for change in preview.rows[1].changes] == [
        "price",
        "date of the price",
        "link",
        "in stock",
        "lead time in days",
    ]
    taken = workshop.tables.take(preview, leave_out_refused=True)
    newer = price(470, date(2027, 3, 5), "Seed box", link="https://example.org", in_stock=3)
    newer = replace(newer, lead_days=2)
    other = Price(Money(600, "JPY"), date(2027, 3, 5), "Barn", lead_days=9)
    # The supplier whose price is the part's own has a newer one; another's stands beside it.
    assert workshop.catalogue.part(twelve.id or 0).price == newer
    assert set(workshop.catalogue.price_history(twelve.id or 0)) == {
        newer,
        other,
        price(490, MARCH, "Seed box"),
    }
    assert verdicts(workshop.tables.preview(preview.path))[:3] == ["same"] * 3
    after = catalogue(workshop)
    undo(workshop, taken)
    assert catalogue(workshop) == before
    redo(workshop, taken)
    assert catalogue(workshop) == after


def test_two_offers_of_one_shop_and_day_are_not_both_taken(
    workshop: Workshop, write: Write
) -> None:
    workshop.catalogue.save_part(pinion("twelve", 12))
    preview = workshop.tables.preview(
        write(
            "name,supplier,price,date,stock\n"
            "twelve,Barn,4.90,2027-03-01,1\n"
            "twelve,Barn,4.70,2027-03-01,1\n"
            "twelve,Barn,4.70,2027-03-02,1\n"
            "twelve,Yard,4.70,2027-03-01,1\n",
            "list.csv",
        )
    )
    assert verdicts(preview) == ["new", "refused", "new", "new"]
    assert [str(one) for one in preview.rows[1].refusals] == [
        "name: 'twelve' was given, expected no second offer of that day beside row 2."
    ]


# Lines --------------------------------------------------------------------------------------


def test_lines_go_into_a_build(workshop: Workshop, write: Write) -> None:
    lines = (
        Line("", "screws", Decimal(2), Decimal("3.50"), supplier="Barn"),
        Line("", "screws", Decimal(1), Decimal("3.50"), arrives=MARCH),
        Line("extras", "ballast", status=Status.OWNED),
    )
    build = workshop.builds.save(replace(a_build(), lines=(*a_build().lines, *lines)))
    first = len(a_build().lines)
    path = write(
        "part,name,quantity,unit price,currency,status,counts,order,ordered,arrives\n"
        ",screws,2,3.50,EUR,planned,yes,,,\n"
        ",screws,4,3.50,EUR,ordered,yes,A-1,2027-03-02,\n"
        ",paint,0.5,1200,JPY,planned,no,,,2027-04-01\n"
        "extra,ballast,1,,,bought,yes,,,\n"
        "wing,flap,1,,,planned,yes,,,\n"
        ",glue,1,-2,,planned,perhaps,,,\n"
    )
    assert "a build that the lines go into" in str(workshop.tables.preview(path).trouble)
    preview = workshop.tables.preview(path, build=build)
    assert preview.what == "lines"
    assert verdicts(preview) == ["same", "changed", "new", "refused", "refused", "refused"]
    assert preview.rows[1].changes == (
        Change("quantity", "1", "4"),
        Change("status", "planned", "ordered"),
        Change("order", "", "A-1"),
        Change("ordered on", "not known", "2027-03-02"),
        Change("arrives", "2027-03-01", "not known"),
    )
    assert [one.column for row in preview.rows[3:] for one in row.refusals] == [
        "status",
        "part",
        "counts",
        "unit price",
    ]
    taken = workshop.tables.take(preview, leave_out_refused=True)
    stored = workshop.builds.get(build.id or 0)
    assert stored.lines[: first + 1] == build.lines[: first + 1]
    assert stored.lines[first + 1] == replace(
        lines[1],
        quantity=Decimal(4),
        status=Status.ORDERED,
        order="A-1",
        ordered=date(2027, 3, 2),
        arrives=None,
    )
    assert stored.lines[first + 3] == Line(
        "",
        "paint",
        Decimal("0.5"),
        Decimal(1200),
        counts=False,
        currency="JPY",
        arrives=date(2027, 4, 1),
    )
    assert taken.build_before == build
    assert taken.build == stored
    undo(workshop, taken)
    assert workshop.builds.get(build.id or 0).lines == build.lines
    redo(workshop, taken)
    assert workshop.builds.get(build.id or 0).lines == stored.lines


def test_a_second_line_of_a_slot_lies_in_the_drawer(workshop: Workshop, write: Write) -> None:
    build = workshop.builds.save(a_build())
    motor = build.parts["motor"].name
    preview = workshop.tables.preview(
        write(f"part,name,quantity\nmotor,{motor},1\nmotor,{motor},1\nmotor,other,1\n", "a.csv"),
        build=build,
    )
    assert verdicts(preview) == ["same", "new", "new"]
    assert [row.value.line.fitted for row in preview.rows] == [True, False, False]


@pytest.mark.parametrize(
    ("header", "good", "bad", "expected"),
    [
        ("quantity", "1000000", "1000001", "1,000,000"),
        ("quantity", "0", "-1", "0"),
        ("refund", "0", "-0.01", "a number of 0 or more"),
        ("mass_g", "0", "-5", "a number of 0 or more"),
    ],
)
def test_a_figure_of_a_line_stays_within_its_range(
    workshop: Workshop, write: Write, header: str, good: str, bad: str, expected: str
) -> None:
    preview = workshop.tables.preview(
        write(f"name,{header}\npaint,{good}\nglue,{bad}\n", "a.csv"), "lines", build=a_build()
    )
    assert verdicts(preview) == ["new", "refused"]
    (refusal,) = preview.rows[1].refusals
    assert (refusal.column, refusal.value) == (header, bad)
    assert expected in refusal.expected


def test_lines_of_a_build_that_changed_meanwhile_are_not_taken(
    workshop: Workshop, write: Write
) -> None:
    build = workshop.builds.save(a_build())
    preview = workshop.tables.preview(write("name,quantity\npaint,1\n", "a.csv"), build=build)
    other = replace(build, lines=(*build.lines, Line("", "glue")))
    workshop.builds.save(other)
    with pytest.raises(UserError, match=f"{build.name} was changed since"):
        workshop.tables.take(preview)
    assert workshop.builds.get(build.id or 0).lines == other.lines


def test_a_number_is_below_a_million_million() -> None:
    assert decimal("999999999999", "price") == Decimal(999_999_999_999)
    with pytest.raises(BadInput):
        decimal("1000000000000", "price")


# Anything -----------------------------------------------------------------------------------


@given(st.binary(max_size=200), st.sampled_from([".csv", ".tsv", ".xlsx", ".ods"]))
def test_any_bytes_are_refused_in_a_sentence_or_read(
    any_file: tuple[Workshop, Path], content: bytes, suffix: str
) -> None:
    workshop, folder = any_file
    path = folder / f"pinion{suffix}"
    path.write_bytes(content)
    assert path.name in said_of(workshop, path)


CELLS = st.sampled_from(
    ["", "9", "0,8", "1.250", "1,250.5", "nan", "=1", "'", '"', "name", "€4", "x", "2027-03-01"]
)


@given(st.lists(st.lists(CELLS, max_size=5), max_size=5), st.sampled_from(",;\t"))
def test_any_cells_below_good_headers_have_a_verdict(
    any_file: tuple[Workshop, Path], rows: list[list[str]], mark: str
) -> None:
    workshop, folder = any_file
    path = folder / "pinion.csv"
    header = mark.join(["name", "teeth", "module_mm", "price", "on"])
    quoted = [mark.join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    path.write_text("\n".join([header, *quoted]), encoding="utf-8")
    preview = workshop.tables.preview(path)
    for row in preview.rows:
        assert (row.value is None) == (row.verdict is Verdict.REFUSED) == bool(row.refusals)


@pytest.fixture(scope="module")
def any_file(tmp_path_factory: pytest.TempPathFactory) -> Any:
    folder = tmp_path_factory.mktemp("any")
    with Workshop.open(folder / "file.sqlite3") as workshop:
        yield workshop, folder


def test_packages_for_workbooks_are_loaded_with_the_first_workbook() -> None:
    said = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, pennyspeed.services.importers.tables.preview;"
            "import pennyspeed.services.exporters;"
            "print(sorted({'xlsxwriter', 'python_calamine'} & set(sys.modules)))",
        ],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert said == "[]\n"
