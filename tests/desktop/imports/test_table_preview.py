"""A table looked at before it comes in: verdicts, columns put right, all or nothing, undo."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.imports.preview import PreviewPage
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.importers.tables.rows import Stopped, Verdict

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]
Look = Callable[[str, str], PreviewPage]

PINIONS = "name,teeth,module,bore_mm,price,currency,supplier\n"
NEW = "Reed 31,31,0.8,5,6.40,EUR,Seed box\nReed 33,33,0.8,5,6.80,EUR,Seed box\n"


def texts(table: EditableTable) -> list[list[str]]:
    model = table.entries_model
    columns = range(model.columnCount())
    return [[model.cell(row, column).text for column in columns] for row in range(model.rowCount())]


def pinions(window: Window) -> dict[str, Part]:
    return {part.name: part for part in window.session.file.workshop.catalogue.parts("pinion")}


@pytest.fixture
def look(window: Window, tmp_path: Path, qtbot: QtBot) -> Look:
    """Writes a file and looks at it."""

    def look(name: str, text: str) -> PreviewPage:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        window.money_pages.look_at(path)
        page = window.pages.currentWidget()
        assert isinstance(page, PreviewPage)
        qtbot.waitUntil(lambda: page.is_at_rest)
        return page

    return look


def rest(window: Window, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.session.jobs.is_busy)


def test_every_row_says_what_it_would_do_and_nothing_is_written(
    window: Window, look: Look, press: Press
) -> None:
    before = pinions(window)
    known = next(iter(before.values()))
    figures = known.figures
    teeth = figures["teeth"]
    same = f'"{known.name}",{teeth},{figures["module_mm"]},{figures["bore_mm"]},,,\n'
    other = list(before.values())[1]
    changed = f'"{other.name}",{other.figures["teeth"]},{other.figures["module_mm"]},9.5,,,\n'
    page = look("pinions.csv", PINIONS + NEW + same + changed + "Reed x,many,0.8,5,,,\n")

    rows = texts(page.table)
    assert [row[1] for row in rows] == ["new", "new", "same", "changed", "refused"]
    levels = [page.table.entries_model.cell(row, 1).level for row in range(5)]
    assert levels == [Level.OK, Level.OK, None, Level.WARN, Level.STOP]
    assert "9.5" in rows[3][3]
    assert " to " in rows[3][3]
    assert rows[4][:3] == ["6", "refused", "Reed x"]
    assert "'many' was given, expected" in rows[4][3]
    assert page.note.text == "5 rows: 2 new, 1 changed, 1 same, 1 refused."
    assert QApplication.focusWidget() is page.table
    press(Key.Key_End, to=page.table)
    page.table.stand_on(4)
    assert "'many' was given" in page.whole.text
    assert pinions(window) == before


def test_it_is_all_or_nothing_unless_what_is_refused_is_left_out(
    window: Window, look: Look, press: Press, qtbot: QtBot, shortcut: Shortcut
) -> None:
    before = pinions(window)
    page = look("pinions.csv", PINIONS + NEW + "Reed x,many,0.8,5,,,\n")
    press("t")
    rest(window, qtbot)
    assert pinions(window) == before, "a refused row lets nothing in"
    press("r")
    assert [row[2] for row in texts(page.table)] == ["Reed x"]
    press("l")
    press("t")
    rest(window, qtbot)
    assert set(pinions(window)) - set(before) == {"Reed 31", "Reed 33"}
    assert window.pages.currentWidget() is not page
    names = [part.name for part in window.session.catalogue.parts("pinion")]
    assert "Reed 31" in names, "the shelf follows"

    shortcut("Ctrl+Z")
    rest(window, qtbot)
    assert pinions(window) == before
    assert "Reed 31" not in [part.name for part in window.session.catalogue.parts("pinion")]
    shortcut("Ctrl+Shift+Z")
    rest(window, qtbot)
    assert pinions(window)["Reed 33"].price is not None


def test_undo_leaves_what_a_build_uses_by_now_and_says_so(
    window: Window, look: Look, press: Press, qtbot: QtBot
) -> None:
    look("pinions.csv", PINIONS + NEW)
    press("t")
    rest(window, qtbot)
    stack = window.session.undo_stack
    place = stack.index()
    assert window.session.builds.put_in(pinions(window)["Reed 31"])
    # The table's step is undone while the pinion is in the car.
    stack.command(place - 1).undo()  # type: ignore[union-attr]
    rest(window, qtbot)
    assert "Reed 31" in window.hints.trouble
    assert {"Reed 31", "Reed 33"} <= set(pinions(window))


def test_a_column_is_put_right_by_hand(
    window: Window, look: Look, press: Press, qtbot: QtBot
) -> None:
    page = look("pinions.csv", "name,cogs,module,bore_mm\nReed 31,31,0.8,5\n")
    assert [row[1] for row in texts(page.table)] == ["refused"]
    strange = [one for one in page.columns.asked if one.is_strange]
    assert [(one.label, one.sample) for one in strange] == [("cogs", "31")]
    field = page.columns.field(1)
    field.setFocus()
    wanted = field.findData("teeth")
    for _ in range(wanted - field.currentIndex()):
        press(Key.Key_Down)
    qtbot.waitUntil(lambda: page.is_at_rest)
    assert page.columns.field(1).currentData() == "teeth"
    assert [row[1] for row in texts(page.table)] == ["new"]
    assert QApplication.focusWidget() is page.columns.field(1)


def test_arrow_keys_go_on_from_a_choice_that_another_column_has(
    look: Look, press: Press, qtbot: QtBot
) -> None:
    page = look("pinions.csv", "name,cogs,module,bore_mm\nReed 31,31,0.8,5\n")
    field = page.columns.field(1)
    field.setFocus()
    for _ in range(field.findData("name") - field.currentIndex()):
        press(Key.Key_Down)
    qtbot.waitUntil(lambda: page.is_at_rest)
    assert page.columns.field(1).currentData() == "name"
    assert [one.key for one in page.columns.asked if one.is_strange] == [1]
    press(Key.Key_Down)
    qtbot.waitUntil(lambda: page.is_at_rest)
    assert page.columns.field(1).currentData() == "price"


def test_what_the_table_lacks_as_a_whole_is_asked_for(
    window: Window, look: Look, qtbot: QtBot
) -> None:
    page = look("things.csv", "name,teeth,module,bore_mm\nReed 31,31,0.8,5\n")
    assert "a column kind" in page.trouble.text
    assert page.whole.text == page.trouble.text
    assert not page.take_button.isEnabled()
    field = page.columns.field("kind")
    field.setCurrentIndex(field.findData("pinion"))
    field.activated.emit(field.currentIndex())
    qtbot.waitUntil(lambda: page.is_at_rest)
    assert page.trouble.text == ""
    assert page.take_button.isEnabled()


def test_lines_come_into_the_build_shown_and_undo_takes_them_out(
    window: Window, look: Look, press: Press, qtbot: QtBot, shortcut: Shortcut
) -> None:
    session = window.session
    before = session.bench.build
    assert before is not None
    look(
        "more lines.csv",
        "name,quantity,unit_price,status,supplier\nPaint,2,6.40,planned,Seed box\n",
    )
    for said in ("T: take in", "L: leave out what is refused", "Esc: leave it"):
        assert said in window.hints.accessibleDescription()
    press("t")
    rest(window, qtbot)
    assert session.bench.build is not None
    assert [line.name for line in session.bench.build.lines][len(before.lines) :] == ["Paint"]
    shortcut("Ctrl+Z")
    assert session.bench.build == before
    shortcut("Ctrl+Shift+Z")
    assert session.bench.build.lines[-1].name == "Paint"


def test_a_file_that_is_no_table_says_so_and_is_left(
    window: Window, look: Look, press: Press
) -> None:
    page = look("pinions.csv", "")
    assert "column names" in page.trouble.text
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is window.home.widget


def test_stopping_while_it_is_taken_in_writes_nothing(
    window: Window, look: Look, qtbot: QtBot
) -> None:
    many = "".join(f"Reed {i},{20 + i % 30},0.8,5,6.40,EUR,Seed box\n" for i in range(900))
    page = look("pinions.csv", PINIONS + many)
    before = pinions(window)
    preview = page.preview
    assert preview is not None
    assert preview.counts[Verdict.NEW] == 900
    seen: list[tuple[int, int]] = []

    def told(done: int, total: int) -> None:
        seen.append((done, total))
        if done >= 500:
            raise Stopped("enough")

    with pytest.raises(Stopped):
        window.session.file.workshop.tables.take(preview, told=told)
    assert seen[-1] == (500, 900)
    assert pinions(window) == before
    # By hand: Escape while it runs stops it, and the page stays. The file is held meanwhile, or
    # the table might be in before the key is pressed.
    with window.session.file.workshop.begin(reading=True):
        page.take()
        page.leave()
    rest(window, qtbot)
    assert window.pages.currentWidget() is page
    assert page.note.text == "stopped, nothing was taken in"
    assert pinions(window) == before


def test_tables_are_written_and_read_back_without_a_change(
    window: Window, tmp_path: Path, qtbot: QtBot, look: Look
) -> None:
    path = tmp_path / "out.ods"
    window.money_pages.write("parts", path)
    rest(window, qtbot)
    window.money_pages.look_at(path)
    page = window.pages.currentWidget()
    assert isinstance(page, PreviewPage)
    qtbot.waitUntil(lambda: page.is_at_rest, timeout=20_000)
    assert page.preview is not None
    counts = page.preview.counts
    assert counts[Verdict.SAME] == len(page.preview.rows) > 100
    assert not page.take_button.isEnabled()


def test_exchange_rates_come_in_as_one_step(
    window: Window, tmp_path: Path, shortcut: Shortcut
) -> None:
    path = tmp_path / "rates.csv"
    path.write_text("currency,rate,day\nNOK,0.086,2027-03-01\nUSD,0.92,2027-03-01\n")
    before = window.session.bench.build
    assert before is not None
    window.money_pages.bring_rates(path)
    assert window.session.bench.build is not None
    assert {"NOK", "USD"} <= {rate.currency for rate in window.session.bench.build.rates}
    shortcut("Ctrl+Z")
    assert window.session.bench.build == before
    path.write_text("currency,rate,day\nNOK,much,2027-03-01\n")
    window.money_pages.bring_rates(path)
    assert "row 2, column rate: 'much' was given" in window.hints.trouble
    assert window.session.bench.build == before
