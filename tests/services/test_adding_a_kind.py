"""Adding a kind of part and a figure of a part: done as DEVELOPERS.md says, they work everywhere.

A copy of the program gets a kind of its own, servos, and two figures, a choice of the chassis and a
number of the body, in the files that the table names and no other. A process of its own uses them.
"""

from __future__ import annotations

import csv
import json
import re
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

import pennyspeed
from builds import a_build
from copies import copy_program, run_copy
from pennyspeed import cli
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.parts.parts import Part
from pennyspeed.physics.predict import predict
from pennyspeed.services.build_files import read_build, write_build
from pennyspeed.services.editing.part_fields import keys_of
from pennyspeed.services.prediction.comparison import compare
from pennyspeed.services.prediction.forecast import forecast, without_band
from pennyspeed.services.shelf.bands import bands
from pennyspeed.services.shelf.candidates import candidates
from pennyspeed.services.shelf.next_change import cheapest_next_change
from pennyspeed.services.shelf.shelf_rows import ShelfRows
from pennyspeed.services.shelf.stock import Stock
from pennyspeed.services.workshop import Workshop

SERVO = '''"""Servo: what steers."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Draw, Field, Shape

SERVO = Kind(
    "servo",
    "servo",
    "servos",
    (
        Field(
            "torque_kgcm",
            "torque",
            "kg·cm",
            "How hard it holds the wheels straight.",
            draw=Draw.FIGURE,
            decimals=1,
            on_shelf=1,
        ),
        Field(
            "gear_train",
            "gear train",
            "gears",
            "What its gears are made of.",
            shape=Shape.CHOICE,
            choices=("nylon", "steel"),
            required=True,
            on_shelf=2,
        ),
        Field(
            "plug",
            "plug",
            "plug",
            "What it is plugged into.",
            shape=Shape.CHOICE,
            choices=("wide", "narrow"),
            on_shelf=3,
        ),
        mass_field("With its horn and screws.", on_shelf=4),
    ),
)
'''

ROWS = """name,torque_kgcm,gear_train,plug,mass_g,price,currency,supplier,on
Elbow 9,9.5,nylon,wide,44,18.50,EUR,Pond Street Parts,2026-09-05
Elbow 20,20,steel,,61,41.00,EUR,Pond Street Parts,2026-09-05
"""

ICON = """<svg xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24"
fill="none" stroke="currentColor"><rect x="4" y="8" width="16" height="10"/></svg>
"""

BEARINGS = """        Field(
            "bearings",
            "bearings",
            "bearings",
            "What its axles turn in; bushes lose a tenth.",
            shape=Shape.CHOICE,
            choices=("balls", "bushes"),
            default="balls",
            on_shelf=3,
        ),
"""

SPOILER = """        Field(
            "spoiler_cm2",
            "spoiler area",
            "spoiler cm²",
            "Comes on top of the frontal area.",
            CM2,
            default=0.0,
            draw=Draw.FIGURE,
            on_shelf=6,
        ),
"""

EDITS = {
    "domain/kinds/__init__.py": [
        ("    BODY,\n    EXTRAS,\n)", "    BODY,\n    SERVO,\n    EXTRAS,\n)"),
        (
            "from pennyspeed.domain.kinds.tyres import TYRES\n",
            "from pennyspeed.domain.kinds.servo import SERVO\n"
            "from pennyspeed.domain.kinds.tyres import TYRES\n",
        ),
    ],
    "domain/kinds/chassis.py": [
        (
            '        Field(\n            "wheelbase_mm",',
            f'{BEARINGS}        Field(\n            "wheelbase_mm",',
        )
    ],
    "domain/kinds/body.py": [
        ('        mass_field("Painted', f'{SPOILER}        mass_field("Painted')
    ],
    "domain/assembly.py": [
        (
            '"drivetrain_efficiency"), _INSIDE, 1.0),',
            '"drivetrain_efficiency"), _INSIDE, 1.0)\n'
            '        * np.array([1.0, 0.9])[chosen("chassis", "bearings", BEARING_CODES)],',
        ),
        (
            'frontal_area=get(body, "frontal_area_cm2") * CM2.factor',
            'frontal_area=(get(body, "frontal_area_cm2") + get(body, "spoiler_cm2")) * CM2.factor',
        ),
        ("_INSIDE = 1e-9\n", 'BEARING_CODES = {"balls": 0, "bushes": 1}\n_INSIDE = 1e-9\n'),
    ],
}
"""By file of the package what is replaced in it."""


def speed(build: Build) -> float | None:
    car = assemble(build)
    return None if car is None else predict(car).road_speed


def outcomes(build: Build) -> list[list[str]]:
    return [[check.code, check.level, check.text] for check in without_band(build).checks]


def figures_of(build: Build) -> dict[str, Any]:
    return {slot: dict(part.figures) for slot, part in build.parts.items()}


def train_of(servo: Part) -> str:
    return str(servo.figure("gear_train"))


# In the copy ------------------------------------------------------------------------------------


def ask(folder: Path) -> None:
    """Write what the copy says into `folder`."""
    assert Path(pennyspeed.__file__).is_relative_to(folder)
    said: dict[str, Any] = {"speed": speed(a_build()), "checks": outcomes(a_build())}
    file = folder / "data.sqlite3"
    with Workshop.open(file) as workshop:
        servos = sorted(workshop.catalogue.parts("servo"), key=train_of)
        said |= ask_kind(servos, workshop, folder)
        said |= ask_figures()
        said |= ask_files(folder, servos, workshop)
    said["window"] = ask_window(file, folder / "settings.json")
    (folder / "said.json").write_text(json.dumps(said))


def ask_kind(servos: list[Part], workshop: Workshop, folder: Path) -> dict[str, Any]:
    """Have servos judged, priced, shown and compared."""
    build = a_build()
    found = candidates(build, servos)
    sure = bands(found, range(len(servos)))
    shelf = ShelfRows()
    shelf.show_build(build)
    shelf.show_stock(Stock(BY_KEY["servo"], servos, METRIC))
    columns = [column.key for column in shelf.columns]
    rows = [[shelf.text(row, i) for i in range(4)] for row in range(len(shelf))]
    shelf.sort(columns.index("gear_train"), descending=False)
    shelf.arrange()
    by_train = [shelf.text(row, 0) for row in range(len(shelf))]
    shelf.narrowing = "steel"
    shelf.arrange()
    with_servo = build.with_part(servos[0])
    compared = compare([("A", forecast(build)), ("B", forecast(with_servo))])
    catalogue = {key: workshop.catalogue.parts(key) for key in BY_KEY if key != "extras"}
    change = cheapest_next_change(replace(with_servo, target_kmh=100.0), catalogue)
    return {
        "on its own": [speed(build.with_part(one)) for one in servos],
        "among rows": found.speed.tolist(),
        "banded": bool((sure.p10 < sure.p90).all()),
        "fits": found.fits.tolist(),
        "columns": [column.title for column in shelf.columns[:5]],
        "rows": rows,
        "by train": by_train,
        "narrowed": [shelf.text(row, 0) for row in range(len(shelf))],
        "grams": 1000 * (mass_kg(with_servo) - mass_kg(build)),
        "cost": str(costs(with_servo).counted - costs(build).counted),
        "checks with one": outcomes(with_servo),
        "compared": [row.label for row in compared.rows if row.differs],
        "next change": change is not None,
        "form": list(keys_of(BY_KEY["servo"])),
    }


def ask_figures() -> dict[str, Any]:
    """Have chassis and bodies told apart by the new figures."""
    build = a_build()
    chassis, body = build.parts["chassis"], build.parts["body"]
    some = [chassis, chassis.with_figure("bearings", "bushes")]
    bodies = [body, body.with_figure("spoiler_cm2", 30.0)]
    return {
        "chassis alone": [speed(build.with_part(one)) for one in some],
        "chassis among rows": candidates(build, some).speed.tolist(),
        "bodies alone": [speed(build.with_part(one)) for one in bodies],
        "bodies among rows": candidates(build, bodies).speed.tolist(),
    }


def ask_files(folder: Path, servos: list[Part], workshop: Workshop) -> dict[str, Any]:
    """Have parts and a build written and read back."""
    chassis = a_build().parts["chassis"].with_figure("bearings", "bushes")
    build = a_build().with_part(chassis).with_part(servos[1])
    path = folder / "car.build.json"
    write_build(build, path)
    assert cli.run(["--data", str(workshop.path), "parts", "servos"]) == 0
    assert cli.run(["predict", str(path)]) == 0
    assert cli.run(["sheet", str(path), "--out", str(folder / "sheet.txt")]) == 0
    bare = folder / "bare.build.json"
    write_build(a_build().without_part("spur"), bare)
    assert cli.run(["sheet", str(bare), "--out", str(folder / "bare.txt")]) == 0
    tables = [folder / "servos.csv", folder / "servos.ods"]
    for table in tables:
        workshop.tables.write(table, "parts", ["servo"])
    with Workshop.open(folder / "empty.sqlite3") as other:
        for part in other.catalogue.parts("servo"):
            assert part.id is not None
            other.catalogue.delete_part(part.id)
        other.tables.take(other.tables.preview(tables[1]))
        came = other.catalogue.parts("servo")
        other.import_file(path)
        stored = other.builds.named(build.name)
    figures = figures_of(build)
    return {
        "read back": figures_of(read_build(path)) == figures,
        "stored": figures_of(stored) == figures,
        "table back": sorted(came, key=train_of) == servos,
    }


def ask_window(file: Path, settings: Path) -> dict[str, Any]:
    """Work the window by hand: go to the servos, put the first in, open the form, find one."""
    from PySide6.QtCore import QEvent, Qt
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QListView, QTableView, QWidget

    from pennyspeed.desktop.app import launch

    app, window = launch(file, settings)

    def wait_until(is_so: Callable[[], object]) -> None:
        end = monotonic() + 60
        while not is_so():
            assert monotonic() < end, "waited too long"
            QTest.qWait(5)

    def named(name: str) -> QWidget:
        return next(one for one in window.findChildren(QWidget) if one.accessibleName() == name)

    def press(to: QWidget, *keys: Qt.Key) -> None:
        to.setFocus()
        for key in keys:
            QTest.keyClick(to, key)
            QTest.qWait(20)

    shelf, slots = named("the shelf"), named("the car's slots")
    assert isinstance(shelf, QTableView)
    model = shelf.model()
    wait_until(lambda: model.rowCount() > 5 and model.index(0, 0).data())
    press(slots, Qt.Key.Key_Home, *[Qt.Key.Key_Down] * list(BY_KEY).index("servo"))
    wait_until(lambda: model.headerData(0, Qt.Orientation.Horizontal) == "servo")
    assert model.rowCount() == 2
    wait_until(lambda: shelf.currentIndex().row() == 0)
    press(shelf, Qt.Key.Key_Return)
    last = model.columnCount() - 1
    wait_until(lambda: model.index(0, last).data())
    said = {"row": [str(model.index(0, i).data()) for i in (0, last)]}
    QTest.keyClick(
        shelf, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    )
    wait_until(lambda: any(one.accessibleName() == "gear train" for one in app.allWidgets()))
    choice = named("gear train")
    assert isinstance(choice, QComboBox)
    said["choices"] = [choice.itemText(i) for i in range(choice.count())]
    said["source"] = named("where torque comes from").isEnabled()
    QTest.keyClick(window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    line = next(one for one in window.findChildren(QLineEdit) if "find" in one.accessibleName())
    line.setText("elbow 20")
    answers = named("what was found")
    assert isinstance(answers, QListView)
    wait_until(lambda: answers.model().index(0, 0).data() == "Elbow 20")
    assert not window.grab().isNull()
    window.close()
    window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return said


# Of the copy ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a copy with the kind and the figures, and of what it said."""
    folder = tmp_path_factory.mktemp("copy").resolve()
    package = copy_program(folder)
    for name, edits in EDITS.items():
        text = (package / name).read_text(encoding="utf-8")
        for old, new in edits:
            assert text.count(old) == 1, f"{name}: {old}"
            text = text.replace(old, new)
        (package / name).write_text(text, encoding="utf-8")
    (package / "domain/kinds/servo.py").write_text(SERVO, encoding="utf-8")
    (folder / "resources/demo/parts/servo.csv").write_text(ROWS, encoding="utf-8")
    (folder / "resources/icons/servo.svg").write_text(ICON, encoding="utf-8")

    said = run_copy(folder, __file__, str(folder))
    (folder / "report.txt").write_text(said, encoding="utf-8")
    return folder


@pytest.fixture
def said(copy: Path) -> Any:
    return json.loads((copy / "said.json").read_text())


def test_a_build_without_one_stays_as_it_was(said: Any) -> None:
    assert said["speed"] == speed(a_build())
    assert said["checks"] == outcomes(a_build())


def test_one_adds_its_mass_and_its_price(said: Any) -> None:
    alone = said["on its own"]
    assert alone == pytest.approx(said["among rows"], rel=1e-3)
    assert len({said["speed"], *alone}) == 3
    assert said["grams"] == pytest.approx(44)
    assert said["cost"] == "18.50"
    assert said["banded"]
    assert said["fits"] == [True, True]
    codes = {code for code, _, _ in said["checks"]}
    assert {code for code, _, _ in said["checks with one"]} == codes
    assert said["compared"].count("servo") == 1
    assert said["next change"]


def test_its_rows_and_columns_stand_on_the_shelf(said: Any) -> None:
    assert said["columns"] == ["servo", "kg·cm", "gears", "plug", "g"]
    assert sorted(said["rows"]) == [
        ["Elbow 20", "20.0", "steel", "not known"],
        ["Elbow 9", "9.5", "nylon", "wide"],
    ]
    assert said["by train"] == ["Elbow 9", "Elbow 20"]
    assert said["narrowed"] == ["Elbow 20"]


def test_the_window_shows_its_slot_its_rows_and_its_form(said: Any) -> None:
    assert said["form"][:5] == ["name", "torque_kgcm", "gear_train", "plug", "mass_g"]
    assert said["window"]["row"][0].startswith("Elbow")
    assert said["window"]["source"]
    assert said["window"]["choices"] == ["nylon", "steel"]


def test_choices_and_numbers_tell_rows_apart_as_they_do_cars(said: Any) -> None:
    for name in ("chassis", "bodies"):
        before, after = said[f"{name} alone"]
        assert before == said["speed"]
        assert after < 0.999 * before
        assert said[f"{name} among rows"] == pytest.approx([before, after], rel=1e-3)


def test_tables_and_build_files_carry_both(copy: Path, said: Any) -> None:
    with (copy / "servos.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert sorted(row["gear_train"] for row in rows) == ["nylon", "steel"]
    assert said["table back"]
    assert said["read back"]
    assert said["stored"]
    document = json.loads((copy / "car.build.json").read_text(encoding="utf-8"))
    assert document["parts"]["chassis"]["bearings"] == "bushes"
    assert document["parts"]["servo"]["gear_train"] == "steel"


def test_report_and_sheet_print_it(copy: Path) -> None:
    report = (copy / "report.txt").read_text(encoding="utf-8")
    assert "km/h" in report
    assert re.search(r"Elbow 9 +9.5 +nylon +wide +44 +18.50 EUR", report)
    sheet = " ".join((copy / "sheet.txt").read_text(encoding="utf-8").split())
    assert "Elbow 20 torque 20, gear train steel" in sheet
    bare = (copy / "bare.txt").read_text(encoding="utf-8")
    assert re.search(r"spur +empty", bare)
    assert "servo" not in bare


if __name__ == "__main__":
    ask(Path(sys.argv[1]))
