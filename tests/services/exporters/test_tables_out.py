"""Tables written out: no cell runs as a formula, and what went out comes back in as the same."""

from __future__ import annotations

import csv
import io
import re
import shutil
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from odf import opendocument, table, teletype

from as_given import as_given
from builds import a_build
from pennyspeed.domain.errors import BadInput, UnwritableFile
from pennyspeed.domain.kinds import KINDS, SPUR
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import IN, MPH, OZ
from pennyspeed.services.exporters import FORMATS, write_table
from pennyspeed.services.exporters.table import Table, lines_table, offers_table, parts_table
from pennyspeed.services.importers.tables.rows import Verdict
from pennyspeed.services.workshop import Workshop

SUFFIXES = [one.suffix for one in FORMATS]
MARCH = date(2027, 3, 1)

# OWASP, "CSV Injection": cells that begin with one of these may be run; the Application Security
# Verification Standard 5.0, 1.2.10, adds the null character. The wide forms: own judgement.
STARTS = tuple("=+-@\t\r\n\x00＝＋－＠")
NASTY = ["=1+1", "+x", "-x", "@x", "=cmd|' /C calc'!A0", "'=x", "''-1", " =1", "＝1", "-5"]
ODD = [
    "a\tb",
    "q\"u'o",
    "line\nbreak",
    "a\r\nb",
    "a\rb",
    "a  b",
    "Ä漢字🏁",
    "_x0041_",
    "007",
    "1e5",
]
ODD += ["<b>&amp;", "yes", "2027-03-01", "a;b,c", "x" * 200]

# XML, and so a workbook, has no way to write other control characters (XML 1.0, section 2.2).
TEXTS = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="\t\n\r").filter(
        lambda c: c not in "\ufffe\uffff"
    ),
    max_size=30,
)
NAMES = st.one_of(
    TEXTS,
    st.builds(str.__add__, st.sampled_from(["=", "+", "-", "@", "'", "'=", "\t", "0"]), TEXTS),
).filter(lambda text: text.strip() != "")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Workshop, Path]]:
    folder = tmp_path_factory.mktemp("shared")
    with Workshop.open(folder / "file.sqlite3") as workshop:
        yield workshop, folder


def verdicts(workshop: Workshop, path: Path, **options: Any) -> list[Verdict]:
    preview = workshop.tables.preview(path, **options)
    assert preview.trouble is None
    assert not preview.left_out
    refusals = [str(one) for row in preview.rows for one in row.refusals]
    assert not refusals
    return [row.verdict for row in preview.rows]


def cells_of(path: Path) -> list[list[str]]:
    """Return a file's cells as text, read by a library that the program does not use."""
    match path.suffix:
        case ".csv" | ".tsv":
            mark = "\t" if path.suffix == ".tsv" else ","
            with path.open(newline="", encoding="utf-8-sig") as file:
                return list(csv.reader(file, delimiter=mark, strict=True))
        case ".xlsx":
            rows = openpyxl.load_workbook(path).active.iter_rows()
            return [[_text(cell) for cell in row] for row in rows]
        case _:
            sheet = opendocument.load(str(path)).spreadsheet
            return [
                [_paragraphs(cell) for cell in row.getElementsByType(table.TableCell)]
                for row in sheet.getElementsByType(table.TableRow)
            ]


def _text(cell: Any) -> str:
    assert cell.data_type != "f"  # openpyxl's sign of a formula
    return "" if cell.value is None else str(cell.value)


def _paragraphs(cell: Any) -> str:
    assert cell.getAttribute("formula") is None
    return "\n".join(teletype.extractText(child) for child in cell.childNodes)


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_no_cell_starts_a_formula(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"texts{suffix}"
    texts = [*NASTY, "\tx", "\rx", "\nx", *ODD]
    write_table(Table("texts", ("a", "b"), [(text, "=2") for text in texts]), path)
    rows = cells_of(path)[1:]
    assert len(rows) == len(texts)
    if suffix in (".csv", ".tsv"):
        for row in rows:
            for cell in row:
                assert not cell.lstrip(" ").startswith(STARTS), cell
    else:
        # Cells that say that they hold text need no guard: what is there is shown.
        assert [row[1] for row in rows] == ["=2"] * len(texts)
        assert [row[0] for row in rows[:5]] == texts[:5]


def test_texts_that_are_no_formula_stay_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "texts.csv"
    write_table(Table("texts", ("a",), [(text,) for text in ODD]), path)
    assert [row[0] for row in cells_of(path)[1:]] == ODD


@pytest.mark.parametrize("suffix", SUFFIXES)
@given(name=NAMES, note=TEXTS, supplier=TEXTS)
@example(name="=1+1", note="+x", supplier="-x")
@example(name="'=1", note="@x", supplier="''")
@example(name="a\tb", note='"', supplier="\n\t=")
def test_any_name_that_goes_out_comes_back_as_the_same(
    shared: tuple[Workshop, Path], suffix: str, name: str, note: str, supplier: str
) -> None:
    workshop, folder = shared
    price = Price(Money(1234, "EUR"), MARCH, supplier, note)
    part = Part("spur", name.strip()[:200], {"teeth": 60, "module_mm": 0.8}, price=price, note=note)
    part = workshop.catalogue.save_part(part)
    path = folder / f"table{suffix}"
    try:
        for exported in (parts_table([part]), offers_table([(part, [price])])):
            write_table(exported, path)
            preview = workshop.tables.preview(path, what=exported.name)
            assert [row.verdict for row in preview.rows] == [Verdict.SAME], preview.rows
    finally:
        workshop.catalogue.delete_part(part.id or 0)


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize(
    "measures",
    [None, METRIC, Measures(MPH, IN, OZ, decimal=",", group=".")],
    ids=["keys", "metric", "imperial"],
)
def test_the_whole_catalogue_comes_back_as_the_same(
    workshop: Workshop, demo_file: Path, tmp_path: Path, suffix: str, measures: Measures | None
) -> None:
    for i, text in enumerate((*NASTY, *ODD)):
        part = Part("pinion", text, {"teeth": 9 + i, "module_mm": 1.125}, note=text)
        sources = {"teeth": Provenance.MEASURED, "module_mm": Provenance.WORKED_OUT}
        spreads = {"module_mm": 0.1 + 0.2, "teeth": 2.0}
        workshop.catalogue.save_part(replace(part, provenance=sources, spread=spreads))
    shell = workshop.catalogue.parts("body")[0]
    lift = {**shell.figures, "downforce_front": -0.25, "downforce_rear": -1.125}
    workshop.catalogue.save_part(Part("body", "lift", lift, note="-"))
    parts = [part for kind in KINDS for part in workshop.catalogue.parts(kind.key)]
    path = tmp_path / f"all{suffix}"
    write_table(parts_table(parts, measures), path, measures.decimal if measures else ".")
    assert verdicts(workshop, path) == [Verdict.SAME] * len(parts)
    # And into a file that has none of them, as they are.
    shutil.copy(demo_file, tmp_path / "other.sqlite3")
    with Workshop.open(tmp_path / "other.sqlite3") as other:
        for kind in KINDS:
            for part in other.catalogue.parts(kind.key):
                if part.id is not None and not other_builds_use(other, part):
                    other.catalogue.delete_part(part.id)
        other.tables.take(other.tables.preview(path))
        for kind in KINDS:
            for part in workshop.catalogue.parts(kind.key):
                (found,) = (
                    one for one in other.catalogue.parts(kind.key) if one.name == part.name.strip()
                )
                assert figures(as_given(found)) == pytest.approx(figures(as_given(part)))
                assert found.price == part.price
                assert as_given(found).provenance == as_given(part).provenance
                assert as_given(found).spread == as_given(part).spread


def figures(part: Part) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in part.figures.items():
        sides = value if isinstance(value, tuple) else (value,)
        found.update({f"{key} {i}": side for i, side in enumerate(sides)})
    return found


def other_builds_use(workshop: Workshop, part: Part) -> bool:
    builds = [workshop.builds.get(entry.id) for entry in workshop.builds.entries()]
    return any(
        part.id in {one.id for one in (*build.parts.values(), *build.extras)} for build in builds
    )


def test_figures_stand_in_a_persons_units_and_say_so(tmp_path: Path) -> None:
    # 25.4 mm = 1 in and 28.349523125 g = 1 oz, exactly (international yard and pound, 1959).
    spur = Part("spur", "sixty", {"teeth": 60, "module_mm": 0.635, "mass_g": 28.349523125})
    imperial = Measures(MPH, IN, OZ)
    exported = parts_table([spur], imperial)
    shown = dict(zip(exported.header, exported.rows[0], strict=True))
    # 40 teeth for an inch of pitch diameter are module 25.4 / 40 = 0.635 mm (AGMA, from memory).
    assert shown["module (pitch)"] == 40
    assert shown["mass (oz)"] == 1
    plain = parts_table([spur])
    assert list(plain.header[2 : 2 + len(SPUR.fields)]) == [field.key for field in SPUR.fields]
    path = tmp_path / "spur.csv"
    write_table(exported, path, decimal=",")
    header, row = path.read_text(encoding="utf-8-sig").splitlines()
    assert "module (pitch)" in header.split(";")
    assert "40" in row.split(";")


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_workbooks_hold_numbers_as_numbers_and_days_as_days(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"typed{suffix}"
    header = ("whole", "number", "money", "day", "text", "nothing")
    row = (7, -0.125, Decimal("1250.50"), MARCH, "7", None)
    write_table(Table("typed", header, [row]), path)
    if suffix == ".xlsx":
        sheet = openpyxl.load_workbook(path).active
        assert [cell.value for cell in sheet[1]] == list(header)
        values = [cell.value for cell in sheet[2]]
        assert values[:3] == [7, -0.125, 1250.5]
        assert values[3].date() == MARCH
        assert values[4] == "7"
        assert (values[5:] or [None])[0] is None
    else:
        rows = opendocument.load(str(path)).spreadsheet.getElementsByType(table.TableRow)
        cells = rows[1].getElementsByType(table.TableCell)
        assert [cell.getAttribute("valuetype") for cell in cells] == [
            "float",
            "float",
            "float",
            "date",
            "string",
            None,
        ]
        assert [cell.getAttribute("value") for cell in cells[:3]] == ["7", "-0.125", "1250.50"]
        assert cells[3].getAttribute("datevalue") == "2027-03-01"


def test_an_open_document_is_packed_as_its_standard_asks(tmp_path: Path) -> None:
    # OpenDocument 1.3, part 2, section 3.3: the file mimetype first, stored and without extra
    # field; section 3.2: a manifest that lists every other file.
    path = tmp_path / "table.ods"
    write_table(Table("one", ("a",), [("x",)]), path)
    content = path.read_bytes()
    kind = b"application/vnd.oasis.opendocument.spreadsheet"
    assert content[30:38] == b"mimetype"
    assert content[38 : 38 + len(kind)] == kind
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        assert packed.testzip() is None
        first = packed.infolist()[0]
        assert (first.compress_type, first.extra) == (zipfile.ZIP_STORED, b"")
        listed = re.findall(r'full-path="([^"]+)"', packed.read("META-INF/manifest.xml").decode())
        assert set(listed) == {"/", "content.xml"}
        ElementTree.fromstring(packed.read("content.xml"))


def test_text_files_are_what_spreadsheets_expect(tmp_path: Path) -> None:
    # RFC 4180: lines end in CR LF, quotes are doubled; the mark of UTF-8 in front is what
    # spreadsheets know the encoding by (common practice, no source).
    path = tmp_path / "table.csv"
    write_table(Table("one", ("a", "b"), [('ä"', Decimal("1.50")), ("", None)]), path)
    assert path.read_bytes() == b'\xef\xbb\xbfa,b\r\n"\xc3\xa4""",1.50\r\n,\r\n'


AMOUNTS = st.decimals(0, 10**6, places=3, allow_nan=False).map(
    lambda number: number.normalize() if number else Decimal(0)
)
DAYS = st.none() | st.dates(date(1990, 1, 1), date(2099, 12, 31))
LINES = st.builds(
    Line,
    part=st.sampled_from(["", "motor", "pack", "extras"]),
    name=NAMES.map(str.strip),
    quantity=AMOUNTS.filter(bool),
    unit_price=st.none() | AMOUNTS,
    status=st.sampled_from(Status),
    counts=st.booleans(),
    supplier=TEXTS.map(str.strip),
    order=TEXTS.map(str.strip),
    arrives=DAYS,
    currency=st.sampled_from(["", "EUR", "JPY", "KWD"]),
    ordered=DAYS,
    arrived=DAYS,
    fitted=st.booleans(),
    refund=st.none() | AMOUNTS,
)


@pytest.mark.parametrize("suffix", SUFFIXES)
@given(lines=st.lists(LINES, min_size=1, max_size=4), decimal=st.sampled_from(".,"))
def test_any_lines_come_back_as_the_same(
    shared: tuple[Workshop, Path], suffix: str, lines: list[Line], decimal: str
) -> None:
    workshop, folder = shared
    build = replace(a_build(), lines=tuple(lines))
    path = folder / f"lines{suffix}"
    write_table(lines_table(build), path, decimal)
    preview = workshop.tables.preview(path, build=build)
    assert preview.trouble is None
    assert [(row.verdict, row.changes) for row in preview.rows] == [(Verdict.SAME, ())] * len(
        lines
    ), [str(one) for row in preview.rows for one in row.refusals]


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_an_amount_of_many_digits_keeps_them_all(
    workshop: Workshop, tmp_path: Path, suffix: str
) -> None:
    # A workbook's numbers are IEEE 754 doubles, which hold 15 decimal digits.
    amount = Decimal("1234567890.123456789")
    build = replace(a_build(), lines=(Line("", "gold leaf", unit_price=amount),))
    path = tmp_path / f"lines{suffix}"
    write_table(lines_table(build), path)
    header, row = cells_of(path)
    assert row[header.index("unit_price")] == str(amount)
    (read,) = workshop.tables.preview(path, build=replace(build, lines=())).rows
    assert read.value.line.unit_price == amount


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_offers_come_back_as_the_same(workshop: Workshop, tmp_path: Path, suffix: str) -> None:
    part = workshop.catalogue.parts("motor")[0]
    offers = [
        Price(Money(2490, "EUR"), MARCH, "Barn", "https://example.org/=1", 3, 9),
        Price(Money(4100, "JPY"), MARCH, "=Yard"),
        Price(Money(12345, "KWD"), date(2027, 1, 9), "", in_stock=0),
    ]
    workshop.tables.take(workshop.tables.preview(_written(tmp_path, part, offers, ".csv")))
    path = _written(tmp_path, part, workshop.catalogue.price_history(part.id or 0), suffix)
    assert set(verdicts(workshop, path)) == {Verdict.SAME}
    assert set(offers) <= set(workshop.catalogue.price_history(part.id or 0))


def _written(folder: Path, part: Part, offers: list[Price], suffix: str) -> Path:
    path = folder / f"offers{suffix}"
    write_table(offers_table([(part, offers)]), path)
    return path


def test_a_name_that_says_no_format_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "table.doc"
    with pytest.raises(BadInput, match=r"'table\.doc' was given, expected .*\.csv.*\.ods"):
        write_table(Table("one", ("a",), []), path)
    assert not path.exists()


def test_what_a_workbook_cannot_hold_leaves_the_old_file(tmp_path: Path) -> None:
    # From memory: a cell of that format holds 32,767 characters.
    path = tmp_path / "table.xlsx"
    write_table(Table("one", ("note",), [("x" * 32_767,)]), path)
    before = path.read_bytes()
    with pytest.raises(BadInput, match=r"row 2, column note.*32,767"):
        write_table(Table("one", ("note",), [("x" * 32_768,)]), path)
    assert path.read_bytes() == before
    with pytest.raises(UnwritableFile):
        write_table(Table("one", ("a",), []), tmp_path / "absent" / "table.csv")
