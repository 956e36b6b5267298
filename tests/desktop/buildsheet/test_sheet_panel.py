"""The sheet in the window, worked as a person would."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from desktop.buildsheet.paper.pdf_reading import Reader
from desktop.conftest import wait_until
from desktop.widgets.test_theme import contrast
from pennyspeed.desktop.buildsheet.paper.printing import prepared, print_pages
from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.desktop.window import Window
from pennyspeed.domain.units import KMH
from pennyspeed.services.sheet import making
from pennyspeed.services.sheet.choices import Choices, from_text
from pennyspeed.services.sheet.look import OWN_NAME

Press = Callable[..., None]
Shortcut = Callable[[str], None]


def rest(panel: SheetPanel) -> None:
    wait_until(lambda: not panel.is_busy and panel.made is not None)


def opened(window: Window, shortcut: Shortcut) -> SheetPanel:
    shortcut("Ctrl+P")
    panel = window.pages.currentWidget()
    assert isinstance(panel, SheetPanel)
    rest(panel)
    return panel


def speed(window: Window) -> str:
    forecast = window.session.bench.forecast
    assert forecast is not None
    assert forecast.prediction is not None
    return f"{KMH.from_si(forecast.prediction.road_speed):.0f} km/h"


def words(panel: SheetPanel) -> str:
    return " ".join(panel.pages.accessibleDescription().split())


def test_a_key_shows_it_and_escape_goes_back_to_where_the_keyboard_was(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    before = window.focusWidget()
    panel = opened(window, shortcut)
    assert panel.isVisible()
    assert window.focusWidget() is panel.choices.kind
    assert panel.pages.stack.images
    assert speed(window) in words(panel)
    press(Qt.Key.Key_Escape)
    assert not panel.isVisible()
    assert window.focusWidget() is before
    shortcut("Ctrl+P")
    assert panel.isVisible()
    shortcut("Ctrl+P")
    assert not panel.isVisible()


def test_it_is_made_beside_the_window_not_in_its_thread(
    window: Window, shortcut: Shortcut, monkeypatch: pytest.MonkeyPatch
) -> None:
    threads = []
    whole = making.build_sheet

    def watched(*arguments: object, **options: object) -> object:
        threads.append(threading.current_thread())
        return whole(*arguments, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(making, "build_sheet", watched)
    opened(window, shortcut)
    assert threads
    assert threading.main_thread() not in threads


def test_choices_by_key_are_made_at_once_and_kept_with_the_build(
    window: Window, press: Press, shortcut: Shortcut, open_window: Callable[..., Window]
) -> None:
    panel = opened(window, shortcut)
    press(Qt.Key.Key_Right)
    rest(panel)
    assert panel.choices.choices.kind == "run-day"
    assert "To buy" in words(panel)
    panel.choices.sections.setFocus()
    press(Qt.Key.Key_Home, Qt.Key.Key_Space)
    rest(panel)
    assert "How fast" not in words(panel)
    build = window.session.bench.build
    assert build is not None
    kept = from_text(window.session.file.workshop.settings.sheet_choices(build))
    assert kept == panel.choices.choices
    assert "speed" not in kept.sections
    other = open_window()
    other.navigator.turn("sheet")
    again = other.pages.currentWidget()
    assert isinstance(again, SheetPanel)
    rest(again)
    assert again.choices.choices == kept
    assert again.choices.sections.chosen == kept.sections


def test_a_section_moves_by_key(window: Window, press: Press, shortcut: Shortcut) -> None:
    panel = opened(window, shortcut)
    sections = panel.choices.sections
    first, second = sections.chosen[:2]
    sections.setFocus()
    sections.setCurrentRow(1)
    QTest.keyClick(sections, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    assert sections.chosen[:2] == (second, first)
    rest(panel)
    text = words(panel)
    assert text.index("Speed over the road ----") < text.index("How fast ----")


def test_the_before_run_list_is_typed_line_by_line(window: Window, shortcut: Shortcut) -> None:
    panel = opened(window, shortcut)
    panel.choices.before.setPlainText("Flag at the lift point\n\n  Phone   off ")
    rest(panel)
    assert panel.choices.choices.before == ("Flag at the lift point", "Phone off")
    assert "[ ] Flag at the lift point [ ] Phone off" in words(panel)
    panel.choices.before.setPlainText("\n".join(panel._look.before))
    assert panel.choices.choices == Choices()


def test_another_part_on_the_bench_is_another_sheet(window: Window, shortcut: Shortcut) -> None:
    panel = opened(window, shortcut)
    build = window.session.bench.build
    assert build is not None
    old = speed(window)
    motors = [
        one
        for one in window.session.catalogue.parts("motor")
        if one.name != build.parts["motor"].name
    ]
    for motor in motors:
        window.session.builds.put_in(motor)
        if speed(window) != old:
            break
    rest(panel)
    assert speed(window) in words(panel)
    assert motor.name in words(panel)


@pytest.mark.parametrize("end", [".pdf", ".html", ".txt"])
def test_it_is_written_as_what_its_name_says(
    window: Window, shortcut: Shortcut, tmp_path: Path, end: str
) -> None:
    panel = opened(window, shortcut)
    path = tmp_path / f"sheet{end}"
    told: list[str] = []
    panel.said.connect(told.append)
    panel.save(path)
    wait_until(lambda: bool(told))
    assert told == [f"written to sheet{end}"]
    data = path.read_bytes()
    text = Reader(data).text if end == ".pdf" else data.decode()
    assert speed(window) in text


def test_a_place_that_takes_no_file_is_told(
    window: Window, shortcut: Shortcut, tmp_path: Path
) -> None:
    panel = opened(window, shortcut)
    told: list[str] = []
    window.session.messages.troubled.connect(told.append)
    panel.save(tmp_path / "nowhere" / "sheet.pdf")
    wait_until(lambda: bool(told))
    assert "cannot be written" in told[0]


def test_a_bad_look_is_told_and_the_shipped_one_holds(
    window: Window, shortcut: Shortcut, file: Path
) -> None:
    (file.parent / OWN_NAME).write_text("[sizes]\ntext_pt = 900\n", encoding="utf-8")
    told: list[str] = []
    window.session.messages.troubled.connect(told.append)
    panel = opened(window, shortcut)
    assert any("sizes.text_pt: 900 was given" in one for one in told)
    assert "How fast" in words(panel)


def test_a_printer_gets_every_page_with_its_text(
    window: Window, shortcut: Shortcut, tmp_path: Path
) -> None:
    panel = opened(window, shortcut)
    made = panel.made
    assert made is not None
    assert made.sheet is not None
    assert made.pages is not None
    path = tmp_path / "printed.pdf"
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    prepared(printer, made.sheet, made.choices)
    assert print_pages(printer, made.pages, made.choices)
    with pikepdf.open(path) as pdf:
        assert len(pdf.pages) == len(made.pages.pages)
        box = [float(side) for side in pdf.pages[0].MediaBox]
        assert box[2:] == pytest.approx([595.3, 841.9], abs=1.0)
        for page in pdf.pages:
            assert page.Contents.read_bytes().count(b" Tf") > 20


@pytest.mark.parametrize("mode", [theme.BRIGHT, theme.DARKNESS])
def test_a_box_without_its_tick_is_seen_on_either_ground(
    window: Window, shortcut: Shortcut, keeper: theme.ThemeKeeper, mode: str
) -> None:
    keeper.choose(mode)
    sections = opened(window, shortcut).choices.sections
    row = next(
        one
        for one in map(sections.item, range(sections.count()))
        if one.checkState() == Qt.CheckState.Unchecked
    )
    sections.scrollToItem(row)
    box = sections.visualItemRect(row)
    image = sections.viewport().grab(box).toImage()
    middle = image.height() // 2
    ground = image.pixelColor(image.width() - 2, middle)
    # 3 to 1 for what is needed to know a control (WCAG 2.2, 1.4.11)
    assert max(contrast(image.pixelColor(x, middle), ground) for x in range(px(24))) >= 3.0


def made_small(window: Window, panel: SheetPanel) -> None:
    window.resize(1024, 640)
    wait_until(lambda: panel.buttons[0].y() < panel.buttons[-1].y())


def test_in_a_small_window_the_pages_keep_room_and_every_choice_its_words(
    window: Window, shortcut: Shortcut
) -> None:
    panel = opened(window, shortcut)
    window.resize(1366, 768)
    wait_until(lambda: panel.buttons[0].y() == panel.buttons[-1].y())
    wide = panel.choices.kind.sizeHint()
    made_small(window, panel)
    assert panel.pages.width() >= 0.4 * panel.width()
    assert panel.choices.kind.sizeHint().height() > wide.height()
    for one in panel.choices.options:
        assert one.sizeHint().width() <= panel.choices.width()
    for one in panel.buttons:
        assert panel.rect().contains(one.geometry())


def test_words_in_a_second_row_are_chosen_by_a_click(window: Window, shortcut: Shortcut) -> None:
    panel = opened(window, shortcut)
    kind = panel.choices.kind
    made_small(window, panel)
    last = kind.rect().bottomLeft() + QPoint(round(kind.width() * 0.75), -px(10))
    QTest.mouseClick(kind, Qt.MouseButton.LeftButton, pos=last)
    assert kind.key == "shopping"
