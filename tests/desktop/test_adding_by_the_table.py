"""Rows of DEVELOPERS.md's table of what to add are followed in a copy, and then it works.

The copy gets an importer, a section of the sheet, a format of tables, a material and an ingredient;
a process of its own uses them. Each file that is touched stands in its row.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from decimal import Decimal
from io import StringIO
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from PySide6.QtCore import QEventLoop, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

import pennyspeed
from copies import copy_program, run_copy
from pennyspeed import cli
from pennyspeed.desktop.app import dress
from pennyspeed.desktop.buildsheet.sheet_choices import SheetChoices
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.parts.ingredients import KINDS, Volume
from pennyspeed.domain.parts.recipes import Recipe, recipe_document, recipe_from_document
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.editing.recipe_fields import KIND, MATERIAL, form_fields
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.look import shipped
from pennyspeed.services.workshop import Workshop

ROOT = Path(__file__).resolve().parents[2]

GEAR_NOTES = '''"""Imports gear notes: a line for each pinion, its name and its teeth."""

from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.importers.importer import Imported, Importer, read_bytes
from pennyspeed.storage.database import Work


class GearNotes(Importer):
    label = "gear notes"
    suffixes = (".gears", ".txt")

    def recognises(self, path: Path, head: bytes) -> bool:
        return head.startswith(b"gear notes")

    def take(self, work: Work, path: Path) -> Imported:
        lines = read_bytes(path).decode().splitlines()[1:]
        for number, line in enumerate(lines, 2):
            name, _, teeth = line.partition(": ")
            if not teeth.isdecimal():
                raise BadInput("teeth", teeth, "a whole number").within(f"{path}, line {number}")
            work.parts.save(Part("pinion", name, {"teeth": int(teeth), "module_mm": 0.8}))
        return Imported(f"{len(lines)} pinions noted.")
'''

MOTTO = '''"""Section with the club's motto."""

from pennyspeed.services.sheet.document import Paragraph, Section
from pennyspeed.services.sheet.sheet_source import SheetSource


def motto(source: SheetSource, title: str) -> Section:
    return Section("motto", title, (Paragraph(f"{source.build.name}: straight on."),))
'''

PIPES = '''"""Text with cells between pipes."""

from pennyspeed.services.exporters.table import Table


def pipes_content(table: Table, decimal: str) -> bytes:
    rows = (table.header, *table.rows)
    return "\\n".join("|".join("" if c is None else str(c) for c in row) for row in rows).encode()
'''

LISTS_PIPES = '    Format("text with pipes", ".pipes", pipes_content),\n'

READS_PIPES = """
def _pipes_sheet(path, content, is_header, name):
    return _sheet([line.split("|") for line in content.decode().splitlines()])

"""

CORK = '    Material("cork", "Cork", Decimal("0.24"), "from memory"),\n'

SEWN = """
@dataclass(frozen=True)
class Sewn(Ingredient):
    KIND: ClassVar[str] = "sewn"
    LABEL: ClassVar[str] = "Sewn"
    FIGURES: ClassVar[tuple[Figure, ...]] = (
        Figure("length_m", "length", "m"),
        Figure("price_per_m", "price per m", "price"),
    )

    length_m: Decimal | None = None
    price_per_m: Decimal | None = None

    @property
    def mass(self) -> Decimal | None:
        return None if self.length_m is None else 2 * self.length_m

    def exact_cost(self) -> Decimal | None:
        if self.length_m is None or self.price_per_m is None:
            return None
        return self.length_m * self.price_per_m


"""


class Copy:
    """A copy of the program, changed as the table says.

    Parameters
    ----------
    folder : Path
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.package = copy_program(folder)

    def add(self, row: str, path: str, text: str) -> None:
        """Write a file where the row says."""
        place = Path(path).parent.as_posix()
        assert re.search(rf"`{place}/(<\w+>\.py)?`", said_by(row)), (row, path)
        target = self.package / path
        assert not target.exists()
        target.write_text(text, encoding="utf-8")

    def put(self, row: str, path: str, before: str, text: str) -> None:
        """Put text in front of another one, in a file that the row names by itself or its folder's
        list."""
        says = said_by(row)
        lists = re.findall(r"`([A-Z]+)`", says)
        target = (self.package if path.endswith(".py") else self.folder) / path
        old = target.read_text(encoding="utf-8")
        assert Path(path).name in says or any(f"\n{one}" in old for one in lists), (row, path)
        assert old.count(before) == 1, (path, before)
        target.write_text(old.replace(before, text + before), encoding="utf-8")


def said_by(row: str) -> str:
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return next(line for line in table.splitlines() if line.startswith(f"| {row} |"))


def imported(module: str, name: str) -> str:
    return f"from pennyspeed.services.{module} import {name}\n"


def change(copy: Copy) -> None:
    """Do what five rows of the table say."""
    row, listing = "an importer", "services/importers/__init__.py"
    copy.add(row, "services/importers/gear_notes.py", GEAR_NOTES)
    copy.put(row, listing, "\nIMPORTERS", imported("importers.gear_notes", "GearNotes"))
    copy.put(row, listing, ")\n\n_HEAD_BYTES", ", GearNotes()")

    row, listing = "a section of the sheet", "services/sheet/making.py"
    copy.add(row, "services/sheet/sections/motto.py", MOTTO)
    copy.put(row, listing, "\n_Maker =", imported("sheet.sections.motto", "motto"))
    copy.put(row, listing, '    "speed": road.speed,\n', '    "motto": motto,\n')
    copy.put(row, "resources/sheet/look.toml", 'speed = "How fast"', 'motto = "Our motto"\n')

    row, listing = "a format of tables", "services/exporters/__init__.py"
    copy.add(row, "services/exporters/pipes.py", PIPES)
    copy.put(row, listing, "\n\n@dataclass", imported("exporters.pipes", "pipes_content"))
    copy.put(row, listing, '    Format("text with tabs"', LISTS_PIPES)
    sheets = "services/importers/tables/sheets.py"
    copy.put(row, sheets, "\ndef _workbook_sheet", READS_PIPES)
    copy.put(row, sheets, '    ".csv": _text_sheet', '    ".pipes": _pipes_sheet,\n')

    row = "a material"
    copy.put(row, "domain/parts/materials.py", '    Material("pla"', CORK)

    row, listing = "an ingredient of made parts", "domain/parts/ingredients.py"
    copy.put(row, listing, "\ndef _by_kg", SEWN)
    copy.put(row, listing, "Printed, Area, Volume", "Sewn, ")


# In the copy --------------------------------------------------------------------------------


def ask(folder: Path) -> None:
    """Use what was added, and write what came of it into `folder`."""
    assert Path(pennyspeed.__file__).is_relative_to(folder)
    app = QApplication([])
    notes, bad = folder / "night.txt", folder / "bad.gears"
    notes.write_text("gear notes\nNight 15: 15\nNight 17: 17\n")
    bad.write_text("gear notes\nNight 19: 19\nNight 21: many\n")
    said = {
        **by_command(folder, notes, bad),
        **in_window(app, folder / "window.sqlite3", notes, bad),
        **of_recipes(),
    }
    (folder / "said.json").write_text(json.dumps(said))


def night_gears(workshop: Workshop) -> list[str]:
    parts = workshop.catalogue.parts("pinion")
    return [part.name for part in parts if part.name.startswith("Night")]


def by_command(folder: Path, notes: Path, bad: Path) -> dict[str, object]:
    file, table, sheet = folder / "file.sqlite3", folder / "parts.pipes", folder / "sheet.txt"

    def ran(*words: object) -> str:
        out, err = StringIO(), StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            cli.run(["--data", str(file), *map(str, words)])
        return out.getvalue() + err.getvalue()

    said: dict[str, object] = {"imported": ran("import", notes), "refused": ran("import", bad)}
    with Workshop.open(file) as workshop:
        said["gears"] = night_gears(workshop)
        shown = workshop.builds.shown()
        assert shown is not None
    ran("table", "parts", table)
    said["read back"] = ran("import", "--look", table)
    ran("sheet", shown.name, "--sections", "motto", "--out", sheet)
    said["sheet"] = sheet.read_text(encoding="utf-8")
    return said


def in_window(app: QApplication, file: Path, notes: Path, bad: Path) -> dict[str, object]:
    settings = Settings(theme=theme.BRIGHT)
    dress(app, settings)
    session = Session(lambda: Workshop.open(file))
    window = Window(session, settings, None)
    session.file.open()
    window.show()
    QTest.qWaitForWindowActive(window)
    app.processEvents()
    said: dict[str, object] = {}

    def wait_until(is_so: Callable[[], object]) -> None:
        end = monotonic() + 20
        while not is_so():
            assert monotonic() < end, "waited too long"
            app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)

    def drag(kind: type[QDragEnterEvent] | type[QDropEvent], path: Path) -> None:
        carried = QMimeData()
        carried.setUrls([QUrl.fromLocalFile(str(path))])
        place = QPoint(400, 300) if kind is QDragEnterEvent else QPointF(400, 300)
        keys = Qt.KeyboardModifier.NoModifier
        event = kind(place, Qt.DropAction.CopyAction, carried, Qt.MouseButton.LeftButton, keys)
        app.sendEvent(window.windowHandle(), event)

    drag(QDragEnterEvent, notes)
    sheet = window.files.drop_target.overlay
    said["promise"] = [sheet.heading, *sheet.lines]
    drag(QDropEvent, notes)
    wait_until(session.undo_stack.canUndo)
    said["dropped"] = night_gears(session.file.workshop)
    session.undo_stack.undo()
    said["undone"] = night_gears(session.file.workshop)
    session.undo_stack.redo()
    said["redone"] = night_gears(session.file.workshop)

    troubles: list[str] = []
    session.messages.troubled.connect(troubles.append)
    filters: list[str] = []

    def choose(*given: str) -> tuple[list[str], str]:
        filters.append(given[-1])
        return [str(bad)], ""

    QFileDialog.getOpenFileNames = choose
    window.menus.actions["bring"].trigger()
    wait_until(lambda: troubles)
    said["filter"], said["told"] = filters[0], troubles[0]
    said["after a bad one"] = night_gears(session.file.workshop)

    choices = SheetChoices()
    choices.show_choices(Choices(), shipped())
    items = [choices.sections.item(row) for row in range(choices.sections.count())]
    said["sections"] = [item.text() for item in items]
    window.close()
    return said


def of_recipes() -> dict[str, object]:
    sewn = KINDS["sewn"](length_m=Decimal(3), price_per_m=Decimal("1.20"))  # type: ignore[call-arg]
    recipe = Recipe((sewn, Volume(material="cork", volume_cm3=Decimal(10))))
    again = recipe_from_document(json.loads(json.dumps(recipe_document(recipe))), "recipe")

    def fields(row: int) -> dict[str, FormField]:
        return {field.key: field for field in form_fields(recipe, row, "EUR", METRIC)}

    return {
        "same": again == recipe,
        "masses": [str(one.mass) for one in recipe.ingredients],
        "cost": str(sewn.exact_cost()),
        "labels": [field.label for field in fields(0).values()],
        "kinds": [word for word, _ in fields(0)[KIND].choices],
        "materials": [word for word, _ in fields(1)[MATERIAL].choices],
    }


# What came of it ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What the copy says."""
    folder = tmp_path_factory.mktemp("copy").resolve()
    change(Copy(folder))
    run_copy(folder, __file__, str(folder))
    return json.loads((folder / "said.json").read_text())


NIGHT = ["Night 15", "Night 17"]


def test_a_new_importer_is_asked_by_the_command_line(said: Any) -> None:
    assert said["imported"] == "2 pinions noted.\n"
    assert "line 3, teeth: 'many' was given, expected a whole number" in said["refused"]
    assert said["gears"] == NIGHT


def test_a_new_importer_takes_dropped_files_and_undo_takes_them_out(said: Any) -> None:
    assert said["promise"] == ["Let go to bring in this file", "night.txt"]
    assert (said["dropped"], said["undone"], said["redone"]) == (NIGHT, [], NIGHT)


def test_a_new_importer_is_offered_by_the_file_dialog_and_its_troubles_are_told(said: Any) -> None:
    assert "*.gears" in said["filter"]
    assert "line 3, teeth: 'many' was given, expected a whole number" in said["told"]
    assert said["after a bad one"] == NIGHT


def test_a_new_section_is_offered_and_printed(said: Any) -> None:
    assert "Our motto" in said["sections"]
    assert "Our motto" in said["sheet"]
    assert "straight on." in said["sheet"]


def test_a_new_format_of_tables_is_written_and_read_back(said: Any) -> None:
    # Every part is there already as it stands in the table.
    assert re.search(r"^[\d,]+ rows: [\d,]+ same\.$", said["read back"].splitlines()[-1])


def test_a_new_material_weighs_and_is_offered(said: Any) -> None:
    """By hand: 10 cm³ at 0.24 g/cm³."""
    assert said["masses"][1] == "2.40"
    assert "Cork, 0.24 g/cm³" in said["materials"]


def test_a_new_ingredient_is_weighed_paid_kept_and_offered(said: Any) -> None:
    """By hand: 3 m at 2 g and at 1.20 each."""
    assert said["same"]
    assert (said["masses"][0], said["cost"]) == ("6", "3.60")
    assert "Sewn" in said["kinds"]
    assert said["labels"][:4] == ["how", "what it is", "length, m", "price per m, EUR"]


if __name__ == "__main__":
    ask(Path(sys.argv[1]))
