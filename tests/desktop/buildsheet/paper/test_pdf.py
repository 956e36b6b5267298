"""The PDF, read back by programs that did not make it.

pikepdf (qpdf) reads it everywhere; poppler's tools and the camera code's reader where installed.
"""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pikepdf
import pytest
import zxingcpp
from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from builds import a_build
from desktop.buildsheet.paper.pdf_reading import Reader
from pennyspeed.desktop.buildsheet.paper.fonts import DOTS_PER_INCH
from pennyspeed.desktop.buildsheet.paper.page_layout import lay_out
from pennyspeed.desktop.buildsheet.paper.painting import paint
from pennyspeed.desktop.buildsheet.paper.pdf import sheet_pdf
from pennyspeed.domain.builds import Build
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.curves import (
    Plot,
)
from pennyspeed.services.sheet.document import (
    Items,
    Paragraph,
    Picture,
    Sheet,
    Table,
)
from pennyspeed.services.sheet.drawing import COLOURS, MONO
from pennyspeed.services.sheet.look import shipped
from sheets import a_sheet, in_other_letters, stored, with_long_names, with_many_extras

pytestmark = pytest.mark.usefixtures("qapp")


def with_parts(count: int) -> Build:
    return replace(stored(), parts=dict(list(stored().parts.items())[:count]), extras=())


CASES: dict[str, tuple[Build, Choices]] = {
    "a4": (stored(), Choices()),
    "letter": (stored(), Choices(paper="letter")),
    "mono": (stored(), Choices(mono=True)),
    "run-day": (stored(), Choices(kind="run-day")),
    "shopping": (stored(), Choices(kind="shopping")),
    "three": (
        replace(stored(), parts=dict(list(stored().parts.items())[:3]), extras=()),
        Choices(),
    ),
    "sixty": (with_many_extras(stored(), 60), Choices()),
    "long": (with_long_names(stored()), Choices(paper="letter")),
    "letters": (in_other_letters(stored()), Choices()),
}


@pytest.fixture(scope="module")
def made(qapp: QApplication) -> dict[str, tuple[Sheet, bytes]]:
    found = {}
    for name, (build, choices) in CASES.items():
        sheet = a_sheet(build, choices=choices)
        found[name] = (sheet, sheet_pdf(sheet, choices))
    return found


def flat(text: str) -> str:
    return " ".join(text.split())


def squeezed(text: str) -> str:
    """Text without white space: a word too long for its line was broken."""
    return "".join(text.split())


@pytest.mark.parametrize("case", [case for case in CASES if case != "letters"])
def test_everything_on_the_sheet_is_told_in_reading_order(
    made: dict[str, tuple[Sheet, bytes]], case: str
) -> None:
    sheet, data = made[case]
    told = squeezed(Reader(data).text)
    at = 0
    for section in sheet.sections:
        place = told.find(squeezed(section.title), at)
        assert place >= at, section.title
        for block in section.blocks:
            if isinstance(block, Paragraph):
                texts = [block.text]
            elif isinstance(block, Items):
                texts = [item.lead + item.text + item.note for item in block.items]
            elif isinstance(block, Table):
                texts = [column.title for column in block.columns]
                texts += [cell.text for row in block.rows for cell in row]
            else:
                continue
            for text in texts:
                found = told.find(squeezed(text), place)
                assert found >= 0, text
                place = found + len(squeezed(text))
        at = place


def test_the_figures_are_the_predictions_and_the_moneys(
    made: dict[str, tuple[Sheet, bytes]],
) -> None:
    found = forecast(stored())
    run, band = found.prediction, found.band
    assert run is not None
    assert band is not None
    text = Reader(made["a4"][1]).text
    low, speed, high = (round(KMH.from_si(one)) for one in (band.p10, run.road_speed, band.p90))
    for figure in (
        f"{speed} km/h",
        f"{low} to {high} km/h in 8 cases of 10",
        f"Lift at {run.lift_at:.0f} m, stop in {run.stop_distance:.0f} m",
        f"{found.costs.counted.amount} of 250.00 EUR, {found.costs.left.amount} EUR left",  # type: ignore[union-attr]
        "Final drive ratio 5.00",
        "price, EUR",
        "ordered 64.50",
        "made 24.70",
    ):
        assert figure in text


@pytest.mark.parametrize("case", CASES)
def test_qpdf_finds_no_fault(made: dict[str, tuple[Sheet, bytes]], case: str) -> None:
    with pikepdf.open(io.BytesIO(made[case][1])) as pdf:
        assert pdf.check_pdf_syntax() == []


@pytest.mark.parametrize("case", CASES)
def test_every_font_is_embedded(made: dict[str, tuple[Sheet, bytes]], case: str) -> None:
    count = 0
    with pikepdf.open(io.BytesIO(made[case][1])) as pdf:
        for page in pdf.pages:
            for font in page.Resources.Font.values():
                (below,) = font.DescendantFonts
                assert len(below.FontDescriptor.FontFile2.read_bytes()) > 500
                count += 1
    assert count


@pytest.mark.parametrize("case", CASES)
def test_all_content_is_marked_and_repeated_things_are_artifacts(
    made: dict[str, tuple[Sheet, bytes]], case: str
) -> None:
    sheet, data = made[case]
    read = Reader(data)
    assert read.unmarked == []
    pages = len(read.pdf.pages)
    artifacts = "".join(read.artifacts)
    for number in range(1, pages + 1):
        assert f"page {number} of {pages}" in artifacts
    assert f"page 1 of {pages}" not in read.text
    assert len(read.root.all("H1")) == 1
    assert len(read.root.all("H2")) == len(sheet.sections)


def test_the_structure_has_tables_lists_and_figures(made: dict[str, tuple[Sheet, bytes]]) -> None:
    sheet, data = made["a4"]
    read = Reader(data)
    root = read.root
    assert root.kind == "Document"
    assert squeezed(root.all("H1")[0].text) == squeezed(sheet.masthead.title)
    tables = [block for block in sheet.blocks() if isinstance(block, Table)]
    told = root.all("Table")
    assert [one.alternative for one in told] == [block.summary for block in tables]
    for block, table in zip(tables, told, strict=True):
        rows = table.children
        assert all(row.kind == "TR" for row in rows)
        assert len(rows) == len(block.rows) + block.has_head
        assert {len(row.children) for row in rows} == {len(block.columns)}
        if block.has_head:
            assert {cell.scope for cell in rows[0].children} == {"Column"}
            assert {cell.kind for cell in rows[0].children} == {"TH"}
        if block.row_heads:
            assert {row.children[0].scope for row in rows[block.has_head :]} == {"Row"}
        for row, wanted in zip(rows[block.has_head :], block.rows, strict=True):
            texts = [squeezed(cell.text) for cell in row.children]
            assert texts == [squeezed(cell.text) for cell in wanted]
    figures = [one.alternative for one in root.all("Figure")]
    (plot,) = (block for block in sheet.blocks() if isinstance(block, Plot))
    assert plot.alternative in figures
    assert "Code that reads pennyspeed:K7QX2M@14" in figures
    items = [block for block in sheet.blocks() if isinstance(block, Items)]
    assert [len(one.children) for one in root.all("L")] == [len(block.items) for block in items]
    for entry in root.all("LI"):
        assert [child.kind for child in entry.children] == ["Lbl", "LBody"]


def test_a_reader_is_told_language_title_and_author(made: dict[str, tuple[Sheet, bytes]]) -> None:
    with pikepdf.open(io.BytesIO(made["a4"][1])) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert bool(pdf.Root.MarkInfo.Marked)
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert str(pdf.docinfo["/Title"]) == "Build sheet: Allotment runner"
        assert str(pdf.docinfo["/Author"]) == "Pennyspeed"
        assert str(pdf.docinfo["/CreationDate"]) == "D:20270304120000Z"
        assert b"2027-03-04T12:00:00" in pdf.Root.Metadata.read_bytes()
        for number, page in enumerate(pdf.pages):
            assert int(page.StructParents) == number
            assert str(page.Tabs) == "/S"
    with pikepdf.open(io.BytesIO(made["letters"][1])) as pdf:
        # Half of č is a carriage return, which a reader takes for a line feed where it stands bare.
        assert str(pdf.docinfo["/Title"]) == "Build sheet: Žluťoučký kůň 車"


def test_paper_has_the_size_that_was_asked_for(made: dict[str, tuple[Sheet, bytes]]) -> None:
    for case, size in (("a4", (210, 297)), ("letter", (215.9, 279.4))):
        with pikepdf.open(io.BytesIO(made[case][1])) as pdf:
            box = [float(side) * 25.4 / 72 for side in pdf.pages[0].MediaBox]
        assert box[2:] == pytest.approx(size, abs=0.4)


def test_drawings_are_vectors(made: dict[str, tuple[Sheet, bytes]]) -> None:
    with pikepdf.open(io.BytesIO(made["a4"][1])) as pdf:
        for page in pdf.pages:
            assert not page.get_images()


@pytest.mark.parametrize("mono", [False, True])
def test_a_badge_is_a_figure_with_words(mono: bool) -> None:
    """A red picture of 40 × 20 pixels; on black-and-white paper it has but two shades."""
    image = QImage(40, 20, QImage.Format.Format_RGB32)
    image.fill(QColor(200, 30, 30))
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    badge = Picture(bytes(buffer.data().data()), "image/png", (40, 20), "Badge of the club")
    sheet = a_sheet(look=replace(shipped(), badge=badge))
    data = sheet_pdf(sheet, Choices(mono=mono))
    read = Reader(data)
    assert "Badge of the club" in [one.alternative for one in read.root.all("Figure")]
    (found,) = read.pdf.pages[0].get_images().values()
    shades = {*pikepdf.PdfImage(found).as_pil_image().convert("L").get_flattened_data()}
    assert (shades <= {0, 255}) is mono


def test_black_and_white_paints_nothing_else(made: dict[str, tuple[Sheet, bytes]]) -> None:
    shades = set()
    with pikepdf.open(io.BytesIO(made["mono"][1])) as pdf:
        for page in pdf.pages:
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) in ("g", "G", "rg", "RG", "sc", "SC", "scn", "SCN"):
                    shades |= {float(one) for one in operands}
    assert shades == {0.0, 1.0}


def test_letters_of_other_fonts_are_told_as_they_were_written(
    made: dict[str, tuple[Sheet, bytes]],
) -> None:
    told = []
    with pikepdf.open(io.BytesIO(made["letters"][1])) as pdf:
        for page in pdf.pages:
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "BDC" and "/ActualText" in operands[1]:
                    told.append(str(operands[1]["/ActualText"]))
    text = squeezed("".join(told))
    for name in ("モーター三一〇〇", "Батарея3банки", "هيكلطويل"):
        assert name in text


def test_the_same_sheet_is_the_same_bytes_but_for_its_date(
    made: dict[str, tuple[Sheet, bytes]],
) -> None:
    sheet, data = made["a4"]
    assert sheet_pdf(sheet) == data
    later = sheet_pdf(replace(sheet, made=sheet.made.replace(day=5)))
    assert later != data


def test_other_processes_make_the_same_bytes(
    made: dict[str, tuple[Sheet, bytes]], tmp_path: Path
) -> None:
    """Qt orders what it writes by a seed of its own, another one in most processes."""
    script = (
        "import sys; sys.path[:0] = sys.argv[2:]\n"
        "from sheets import a_sheet; from pennyspeed.desktop.buildsheet.paper.pdf import *\n"
        "app = without_display(); open(sys.argv[1], 'wb').write(sheet_pdf(a_sheet()))"
    )
    tests = Path(__file__).parents[3]
    app = Path(sys.modules["pennyspeed"].__file__ or "").parents[1]
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    environment.pop("QT_HASH_SEED", None)
    path = tmp_path / "sheet.pdf"
    for seed in ({"QT_HASH_SEED": "0"}, {}, {}, {}):
        arguments = [sys.executable, "-c", script, str(path), str(tests), str(app)]
        subprocess.run(arguments, check=True, env=environment | seed)
        assert path.read_bytes() == made["a4"][1]


# Outside tools ------------------------------------------------------------------------------


def tool(name: str, *arguments: str) -> str:
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not installed; pikepdf has read the same file")
    done = subprocess.run([found, *arguments], capture_output=True, check=True)
    return done.stdout.decode(errors="replace")


@pytest.mark.parametrize("case", ["a4", "letter", "mono", "sixty"])
def test_popplers_text_has_the_same_figures(
    made: dict[str, tuple[Sheet, bytes]], case: str, tmp_path: Path
) -> None:
    sheet, data = made[case]
    path = tmp_path / "sheet.pdf"
    path.write_bytes(data)
    text = squeezed(tool("pdftotext", "-layout", str(path), "-"))
    for block in sheet.blocks():
        if isinstance(block, Table):
            for row in block.rows:
                for cell in row:
                    if re.fullmatch(r"[-+\d.,%]+( \S+)?", cell.text):
                        assert squeezed(cell.text) in text, cell.text
    found = forecast(CASES[case][0])
    assert found.prediction is not None
    assert f"liftat{found.prediction.lift_at:.0f}m" in text


def test_poppler_calls_it_tagged_and_reads_its_structure(
    made: dict[str, tuple[Sheet, bytes]], tmp_path: Path
) -> None:
    sheet, data = made["a4"]
    path = tmp_path / "sheet.pdf"
    path.write_bytes(data)
    facts = tool("pdfinfo", str(path))
    assert re.search(r"Tagged:\s+yes", facts)
    assert re.search(r"Title:\s+Build sheet: Allotment runner", facts)
    text = flat(tool("pdfinfo", "-struct-text", str(path)))
    places = [text.find(section.title) for section in sheet.sections]
    assert -1 not in places
    assert places == sorted(places)
    fonts = tool("pdffonts", str(path)).splitlines()[2:]
    assert fonts
    for line in fonts:
        assert re.search(r"Identity-H\s+yes yes yes", line), line


@pytest.mark.parametrize("mono", [False, True])
def test_a_camera_reads_the_code_from_paper(mono: bool) -> None:
    """Painted at 200 dpi and read by ZXing's decoder, which did not make the code."""
    pages = lay_out(a_sheet(), 210.0, 297.0)
    dpi = 200
    image = QImage(
        round(210 * dpi / 25.4), round(297 * dpi / 25.4), QImage.Format.Format_Grayscale8
    )
    image.fill(255)
    painter = QPainter(image)
    painter.scale(dpi / DOTS_PER_INCH, dpi / DOTS_PER_INCH)
    paint(painter, pages.pages[0], MONO if mono else COLOURS, mono)
    painter.end()
    grey = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    found = zxingcpp.read_barcodes(np.ascontiguousarray(grey[:, : image.width()]))
    assert [one.text for one in found] == ["pennyspeed:K7QX2M@14"]


def test_a_build_that_reads_its_own_name_from_a_file_has_no_code() -> None:
    sheet = a_sheet(a_build())
    assert not any("Code" in one.alternative for one in Reader(sheet_pdf(sheet)).root.all("Figure"))
