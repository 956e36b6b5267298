"""A chart is added by the files that DEVELOPERS.md names, and works everywhere."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

from copies import copy_program, run_copy

ROOT = Path(__file__).parents[3]
CHART = '''
"""The push at the wheels alone."""

from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.services.charts.chart import Chart, Panel, Series
from pennyspeed.services.charts.views import forces_over_speed


class PushChart(SeriesChart):
    """One frame with one curve."""

    NAME = "Push over speed"

    def chart(self, forecast, car, found, measures):
        view, unit = forces_over_speed(car, found), measures.speed_unit
        panel = Panel("push", "N", (Series("push at the wheels", view.force),))
        return Chart(view.speed / unit.factor, "speed", unit, "at {}", (panel,), "It pushes.")
'''
LISTED = '    View("push", "Push", "How hard the wheels push", "push", "PushChart"),\n'
USE = """
import json, sys
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

app = QApplication([])
from pennyspeed.desktop.app import dress
from pennyspeed.desktop.charts import saving
from pennyspeed.desktop.commands.key_sheet import key_groups
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.window import Window
from pennyspeed.services.workshop import Workshop

file, folder = Path(sys.argv[1]), Path(sys.argv[2])
dress(app, Settings())
session = Session(lambda: Workshop.open(file))
window = Window(session, Settings())
session.file.open()
window.show()
QTest.qWaitForWindowActive(window)
place = next(i for i, view in enumerate(window.row.views) if view.key == "push")
QTest.keyClick(window.shelf.table, str(place + 1))
app.processEvents()
chart = window.home.stack.view
chart.setFocus()
QTest.keyClick(chart, Qt.Key.Key_Home)
print(json.dumps({
    "place": place,
    "key": window.home.stack.key,
    "tab": window.row.tabText(place),
    "spoken tab": window.row.accessibleTabName(place),
    "chosen": window.row.chosen,
    "tenth": [
        window.row.accessibleTabName(9),
        window.menus.actions["view_money"].shortcut().toString(),
    ],
    "name": chart.accessibleName(),
    "summary": chart.summary,
    "reading": [row[0] for row in chart.card.rows],
    "saved": {end: saving.save(chart, folder / f"chart{end}").stat().st_size
              for end in saving.FORMATS},
    "figures": (folder / "chart.csv").read_text("utf-8-sig").splitlines()[0],
    "keys": [list(hint) for group in key_groups(window.menus.main) for hint in group.hints],
}))
"""


def row_of(what: str) -> list[str]:
    """Return the cells of a row of 'Where do I add …'."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    row = next(line for line in text.splitlines() if line.startswith(f"| {what} |"))
    return re.findall(r"`([^`]+)`", row)


def test_a_chart_is_added_by_the_files_that_the_row_names(demo_file: Path, tmp_path: Path) -> None:
    module, listing, *_ = row_of("a chart")
    package = copy_program(tmp_path)
    (package / module.replace("<name>", "push")).write_text(CHART, encoding="utf-8")
    folder = package / module.split("/views/")[0] / "__init__.py"
    before, rest = folder.read_text(encoding="utf-8").split(f"{listing}: ")
    body, after = rest.split("\n)\n", 1)
    folder.write_text(f"{before}{listing}: {body}\n{LISTED})\n{after}", encoding="utf-8")
    file = tmp_path / "file.sqlite3"
    shutil.copy(demo_file, file)
    told = json.loads(run_copy(tmp_path, "-c", USE, str(file), str(tmp_path)))
    digit = str(told["place"] + 1)
    assert told["key"] == told["chosen"] == "push"
    assert (told["tab"], told["spoken tab"]) == ("Push", f"{digit} Push")
    assert (told["name"], told["summary"]) == ("Push over speed", "It pushes.")
    assert told["tenth"] == ["Money", ""], "there is no tenth digit"
    assert told["reading"] == ["push at the wheels"]
    assert set(told["saved"]) == {".svg", ".png", ".csv"}
    assert all(told["saved"].values())
    assert told["figures"] == "speed [km/h],push at the wheels [N]"
    assert [[digit], "Push: how hard the wheels push"] in told["keys"]
