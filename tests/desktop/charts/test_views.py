"""The views of one car: what they say is what was worked out, and they can be read and chosen."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from builds import a_build
from labels import IMPERIAL, METRIC, check_apart, check_free, plates, texts
from pennyspeed.desktop.charts import BY_KEY, CHARTS, Canvas
from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.layout import clipped
from pennyspeed.desktop.charts.reader import Crosshair
from pennyspeed.desktop.charts.series_chart import SeriesChart
from pennyspeed.desktop.charts.series_layout import SeriesLayout
from pennyspeed.desktop.charts.textures import TEXTURES, filled
from pennyspeed.desktop.charts.views.forces import HOLDING, LIMITS
from pennyspeed.desktop.charts.views.power import TEXTURE_OF, WORDS
from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.view_list import VIEWS
from pennyspeed.desktop.views import ViewsRow, ViewStack
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.window import Window
from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.services.charts import views
from pennyspeed.services.prediction.forecast import Forecast, forecast
from services.swaps import demo_builds

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")

SERIES = [view.key for view in CHARTS if view.key != "road"]
CARS: dict[str, Callable[[], Build]] = {
    "as drawn": a_build,
    "demo": lambda: demo_builds()[1],
    "grip": lambda: a_build(parts__tyres__grip=0.35, conditions__driver_g=2.0),
    "current": lambda: a_build(
        parts__controller__burst_current_a=20, parts__tyres__grip=2.0, conditions__driver_g=3.0
    ),
    "pack": lambda: a_build(
        parts__pack__c_burst=4, parts__tyres__grip=2.0, conditions__driver_g=3.0
    ),
    "no ratings": lambda: a_build(
        parts__motor__max_rpm=None,
        parts__motor__continuous_current_a=None,
        parts__motor__peak_current_a=None,
    ),
    "no target": lambda: a_build(target_kmh=None),
    "downhill": lambda: a_build(conditions__slope_percent=-4.0),
    "uphill": lambda: a_build(conditions__slope_percent=5.0),
    "tail wind": lambda: a_build(conditions__head_wind_kmh=-25.0),
    "short road": lambda: a_build(conditions__road_m=3.0),
    "long road": lambda: a_build(conditions__road_m=3000.0),
    "tiny pack": lambda: a_build(parts__pack__capacity_mah=60),
    "hot": lambda: a_build(conditions__motor_temperature_c=95.0),
}
SIZES = ((822, 328, 100), (822, 232, 100), (1250, 600, 100), (560, 300, 100), (900, 620, 200))


@cache
def forecast_of(name: str) -> Forecast:
    return forecast(CARS[name]())


@cache
def ghost() -> Forecast:
    return forecast(a_build(parts__motor__kv_rpm_per_v=3600))


def values(plot: Canvas, at: float) -> dict[str, str]:
    """What the card says at a place [SI]."""
    plot.read_at(at)
    card = plot.card
    assert card is not None
    return {row[0]: row[1] for row in card.rows}


def number(said: str) -> float:
    return float(said.split()[0].replace(",", "").replace("−", "-"))


# Figures ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["as drawn", "demo", "grip", "downhill", "long road"])
def test_time_says_what_was_worked_out(name: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("time")
    plot.show_forecast(forecast_of(name), METRIC)
    found = forecast_of(name).prediction
    assert found is not None
    run = views.over_time(found)
    for at in (0.3, 0.5, 0.9):
        moment = float(run.time[-1]) * at
        said = values(plot, moment)
        assert number(said["speed"]) == pytest.approx(
            3.6 * np.interp(moment, run.time, run.speed), abs=0.5
        )
        assert number(said["distance"]) == pytest.approx(
            np.interp(moment, run.time, run.distance), abs=0.5
        )
    assert f"lift at {found.lift_at:,.0f} m" in texts(plot.layout_shown.labels)


@pytest.mark.parametrize("name", ["as drawn", "current", "pack", "uphill"])
def test_forces_say_what_was_worked_out(name: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("forces")
    plot.show_forecast(forecast_of(name), METRIC)
    build, found = forecast_of(name).build, forecast_of(name).prediction
    car = assemble(build)
    assert car is not None
    assert found is not None
    view = views.forces_over_speed(car, found)
    speed = 0.6 * found.balance_speed
    said = values(plot, speed)
    for label, series in (
        ("push at the wheels", view.force),
        ("all that holds it", view.resistance),
        ("grip allows", view.grip),
        ("driver allows", view.driver),
        ("drag", view.drag),
        ("rolling", view.rolling),
        *((("slope", view.grade),) if name == "uphill" else ()),
    ):
        at = float(np.interp(speed, view.speed, series))
        assert number(said[label]) == pytest.approx(at, abs=0.051), label
    assert ("slope" in said) == (name == "uphill")
    for label, series in (("current allows", view.current), ("pack allows", view.pack)):
        at = float(np.interp(speed, view.speed, series))
        if np.isnan(at):
            assert said[label] == "no limit here"
        else:
            assert number(said[label]) == pytest.approx(at, abs=0.051)


@pytest.mark.parametrize("key", ["forces", "motor", "power"])
def test_past_the_top_speed_of_what_is_tried_nothing_is_made_up(
    key: str, plot_of: Callable[..., Canvas]
) -> None:
    plot, car = plot_of(key), forecast_of("as drawn")
    slow = forecast(a_build(parts__motor__kv_rpm_per_v=1200))
    assert car.prediction is not None
    assert slow.prediction is not None
    plot.show_forecast(car, METRIC, slow, "slow")
    for speed, is_past in ((0.5 * slow.prediction.balance_speed, False),
                           (0.99 * car.prediction.balance_speed, True)):  # fmt: skip
        plot.read_at(speed)
        card = plot.card
        assert card is not None
        tried = [row[2] for row in card.rows[1:] if row[2]]
        assert tried
        assert all((one == "past its top speed") == is_past for one in tried)


@pytest.mark.parametrize("name", ["as drawn", "grip", "current", "pack"])
def test_every_crossing_is_ringed_and_named(name: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("forces", 1250, 600)
    plot.show_forecast(forecast_of(name), METRIC)
    build, found = forecast_of(name).build, forecast_of(name).prediction
    car = assemble(build)
    assert car is not None
    assert found is not None
    crossings = views.forces_over_speed(car, found).crossings
    laid = plot.layout_shown.frames[0]
    assert len(laid.rings) == len(crossings)
    for one, (at, _) in zip(crossings, laid.rings, strict=True):
        assert at.x() == pytest.approx(laid.scale.x(one.speed * 3.6))
        assert at.y() == pytest.approx(laid.scale.y(one.force))
        said = f"{one.text}, {one.speed * 3.6:.0f} km/h"
        assert said in texts(plot.layout_shown.labels)
        assert one.text in plot.accessibleDescription()
    assert crossings[-1].text.endswith("meets drag and rolling")
    # L goes from one ring to the next.
    QTest.keyClick(plot, Qt.Key.Key_L)
    assert plot.reader.place == pytest.approx(crossings[0].speed)


def test_the_motor_says_what_was_worked_out(plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("motor")
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    build, found = forecast_of("as drawn").build, forecast_of("as drawn").prediction
    car = assemble(build)
    assert car is not None
    assert found is not None
    view = views.motor_over_speed(build, car, found)
    speed = 0.8 * found.balance_speed
    written = texts(plot.layout_shown.labels)
    assert {"into the motor", "at its shaft"} <= set(written)
    said = values(plot, speed)
    for label, series, close in (
        ("motor speed", view.rpm, 51),
        ("motor current", view.current, 0.51),
        ("into the motor", view.electric_power, 0.51),
        ("at its shaft", view.shaft_power, 0.51),
        ("efficiency", 100 * view.efficiency, 0.51),
    ):
        assert number(said[label]) == pytest.approx(np.interp(speed, view.speed, series), abs=close)
    shown = " | ".join(texts(plot.layout_shown.labels))
    # 52,000 rpm, 55 A and 150 A are the ratings that the motor of the test was given.
    for rating in ("rated 52,000 rpm", "all the time 55 A", "for a moment 150 A"):
        assert rating in shown
    levels = [y for laid in plot.layout_shown.frames for y, _ in laid.levels]
    scale = plot.layout_shown.frames[0].scale
    assert scale.y(52000) in levels or scale.y_max < 52000


def test_without_ratings_no_line_is_drawn(plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("motor")
    plot.show_forecast(forecast_of("no ratings"), METRIC)
    said = texts(plot.layout_shown.labels)
    assert not [one for one in said if one.startswith(("rated", "all the"))]
    assert not [level for laid in plot.layout_shown.frames for level in laid.levels]


@pytest.mark.parametrize("name", ["as drawn", "demo", "uphill"])
def test_the_layers_of_power_add_up_to_what_the_cells_give(
    name: str, plot_of: Callable[..., Canvas]
) -> None:
    plot = plot_of("power")
    plot.show_forecast(forecast_of(name), METRIC)
    found = forecast_of(name).prediction
    assert found is not None
    said = values(plot, 0.7 * found.balance_speed)
    source = number(said.pop("the cells give"))
    assert ("slope" in said) == (name == "uphill")
    # each is rounded to a whole watt
    assert sum(map(number, said.values())) == pytest.approx(source, abs=0.5 * (len(said) + 1))
    edge = plot.layout_shown.frames[0].fills[-1].edges[-1]
    laid = plot.layout_shown.frames[0]
    top = laid.lines[-1][0]
    assert edge.at(edge.size() - 1).y() == pytest.approx(top.at(top.size() - 1).y(), abs=0.1)
    for word in said:
        assert word in texts(plot.layout_shown.labels)


def test_charge_and_heat_end_where_the_forecast_says(plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("heat")
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    found = forecast_of("as drawn").prediction
    assert found is not None
    QTest.keyClick(plot, Qt.Key.Key_End)
    card = plot.card
    assert card is not None
    said = {row[0]: row[1] for row in card.rows}
    # 3,800 mAh are 13,680 A s (1 Ah = 3600 A s); the build starts full and at 20 °C.
    left = 100 * (1 - found.charge_used / 13680)
    assert number(said["charge"]) == pytest.approx(left, abs=0.051)
    assert number(said["motor"]) == pytest.approx(20 + found.motor_rise, abs=0.051)


@pytest.mark.parametrize("key", SERIES)
def test_units_are_the_persons(key: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    metric, place = plot.layout_shown, 0.7 * plot.layout_shown.end
    here = values(plot, place)
    plot.show_forecast(forecast_of("as drawn"), IMPERIAL)
    imperial = plot.layout_shown
    there = values(plot, place)
    if key == "heat":
        assert texts(metric.labels) == texts(imperial.labels)
        return
    assert any("km/h" in text for text in texts(metric.labels))
    assert not any("km/h" in text for text in texts(imperial.labels))
    assert any("mph" in text for text in texts(imperial.labels))
    if key == "time":
        # 1 mph = 1.609344 km/h, 1 ft = 0.3048 m exactly (1959 agreement).
        assert number(there["speed"]) == pytest.approx(number(here["speed"]) / 1.609344, abs=0.9)
        assert number(there["distance"]) == pytest.approx(number(here["distance"]) / 0.3048, abs=3)
    else:
        assert here == there


# Drawing ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("key", SERIES)
def test_labels_neither_collide_nor_leave_the_plot(
    key: str, name: str, keeper: themes.ThemeKeeper, plot_of: Callable[..., Canvas]
) -> None:
    plot = plot_of(key)
    assert isinstance(plot, SeriesChart)
    for width, height, percent in SIZES:
        keeper.choose_text(percent)
        plot.resize(width, height)
        for measures, other in ((METRIC, None), (IMPERIAL, ghost())):
            plot.show_forecast(forecast_of(name), measures, other, "Potting bench 3600")
            layout = plot.layout_shown
            size = plot.size()
            case = f"{size.width()}×{size.height()} at {percent} %"
            check_apart(layout.labels, QRectF(plot.rect()), 2, case)
            check_everything_is_a_number(layout, case)
            check_curves_are_free(layout, case)


def check_everything_is_a_number(layout: SeriesLayout, case: str) -> None:
    for laid in layout.frames:
        frame = laid.scale.frame.adjusted(-1, -1, 1, 1)
        assert laid.scale.y_max > laid.scale.y_min
        for polygon, _ in laid.lines:
            for i in range(polygon.size()):
                point = polygon.at(i)
                assert np.isfinite(point.x()), case
                assert np.isfinite(point.y()), case
                assert frame.contains(point), case
        for ring, _ in laid.rings:
            assert frame.contains(ring)


def check_curves_are_free(layout: SeriesLayout, case: str) -> None:
    drawn = [
        (
            np.array([polygon.at(i).x() for i in range(polygon.size())]),
            np.array([polygon.at(i).y() for i in range(polygon.size())]),
        )
        for laid in layout.frames
        for polygon, _ in laid.lines
    ]
    check_free(drawn, plates(layout.labels, 2, 4), case)


@pytest.mark.parametrize("theme", themes.THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("key", SERIES)
def test_the_curve_is_inked_where_the_axes_say(
    key: str, theme: themes.Theme, keeper: themes.ThemeKeeper, plot_of: Callable[..., Canvas], qapp
) -> None:
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    keeper.choose(theme.name)
    qapp.processEvents()
    image = plot.grab().toImage()
    assert image.pixelColor(3, 200) == theme.ground
    chart, laid = plot.layout_shown.chart, plot.layout_shown.frames[0]
    x = 0.37 * float(chart.xs[-1])
    y = float(np.interp(x, chart.xs, chart.panels[0].series[0].values))
    at = QPointF(laid.scale.x(x), laid.scale.y(y)).toPoint()
    near = [image.pixelColor(at.x(), at.y() + dy) for dy in (-1, 0, 1)]
    assert theme.accent in near


@pytest.mark.parametrize("key", SERIES)
def test_what_is_tried_is_drawn_thin_and_named(key: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of(key, 1250, 600)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    alone = sum(len(laid.lines) for laid in plot.layout_shown.frames)
    plot.show_forecast(forecast_of("as drawn"), METRIC, ghost(), "Potting bench 3600")
    layout = plot.layout_shown
    assert sum(len(laid.lines) for laid in layout.frames) > alone
    assert "with Potting bench 3600" in texts(layout.labels)
    assert "With Potting bench 3600" in plot.accessibleDescription()
    QTest.keyClick(plot, Qt.Key.Key_End)
    QTest.keyClick(plot, Qt.Key.Key_Left)
    card = plot.card
    assert card is not None
    assert card.rows[0] == ("", "the car now", "Potting bench 3600")
    assert any(row[1] != row[2] for row in card.rows[1:])


@pytest.mark.parametrize("key", SERIES)
def test_what_is_tried_stays_in_sight(key: str, plot_of: Callable[..., Canvas]) -> None:
    """A tried car that pushes harder, gets hotter and takes more charge does not leave the axes."""
    strong = forecast(
        a_build(
            parts__motor__resistance_mohm=60,
            parts__pack__capacity_mah=900,
            conditions__driver_g=1.2,
            parts__tyres__grip=2.0,
        )
    )
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC, strong, "x")
    layout = plot.layout_shown
    assert layout.ghost is not None
    for place, laid in enumerate(layout.frames):
        for one in layout.ghosts(place):
            if key != "forces" or one.name == "push at the wheels":
                assert np.nanmax(one.values) <= laid.scale.y_max + 1e-9, one.name
        if key == "heat":
            assert min(one.values.min() for one in layout.ghosts(place)) >= laid.scale.y_min


def test_lines_of_forces_differ_without_colour() -> None:
    for group in (LIMITS, HOLDING):
        dashes = [stroke.dash for stroke in group.values()]
        assert len(set(dashes)) == len(dashes)


def test_layers_of_power_differ_without_colour(qapp: object) -> None:
    from PySide6.QtGui import QPainter

    assert set(TEXTURE_OF) == set(WORDS)
    assert len(set(TEXTURE_OF.values())) == len(TEXTURE_OF)
    xs = np.array([0.0, 120.0])
    drawn = {}
    for texture in TEXTURES:
        image = QImage(120, 60, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        filled(texture, xs, np.array([60.0, 60.0]), np.array([0.0, 0.0])).paint(
            painter, themes.LIGHT
        )
        painter.end()
        grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
        drawn[texture] = np.array(grey.constBits(), np.uint8).reshape(60, -1)[:, :120].astype(int)
    for one, two in combinations(drawn, 2):
        differing = np.abs(drawn[one] - drawn[two]) > 12
        assert differing.mean() > 0.02, f"{one} looks like {two}"


def test_textures_stay_inside_their_layer() -> None:
    xs = np.linspace(0.0, 300.0, 50)
    low, high = 200 - 0.3 * xs, 150 - 0.4 * xs - 20 * np.sin(xs / 40)
    for texture in TEXTURES:
        made = filled(texture, xs, low, high)
        ends = [end for line in made.lines for end in (line.p1(), line.p2())] + made.dots
        for at in ends:
            assert np.interp(at.x(), xs, high) - 0.6 <= at.y()
            assert at.y() <= np.interp(at.x(), xs, low) + 0.6
    assert filled("rising", xs, low, high).lines


def test_a_curve_is_cut_at_the_frame() -> None:
    xs = np.array([0.0, 10.0, 20.0, 30.0, 40.0])
    ys = np.array([50.0, -50.0, np.nan, 20.0, 120.0])
    pieces = list(clipped(xs, ys, 0.0, 100.0))
    assert [(x.tolist(), y.tolist()) for x, y in pieces] == [
        ([0.0, 5.0], [50.0, 0.0]),
        ([30.0, 38.0], [20.0, 100.0]),
    ]


@pytest.mark.parametrize("key", [view.key for view in CHARTS])
def test_without_a_car_it_says_what_is_missing(key: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    plot.show_forecast(forecast(a_build().without_part("pack")), METRIC)
    assert "No pack yet" in plot.accessibleDescription()
    image = plot.grab().toImage()
    inked = sum(
        image.pixelColor(x, y) == themes.LIGHT.ink for x in range(250, 600) for y in range(90, 200)
    )
    assert inked > 30
    QTest.keyClick(plot, Qt.Key.Key_Right)
    assert plot.card is None
    plot.show_forecast(forecast(a_build(conditions__driver_g=0.0)), METRIC)
    assert "does not move" in plot.accessibleDescription()
    assert plot.table() is None


# Hands --------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", SERIES)
def test_arrow_keys_read_every_curve_and_copy(key: str, plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    assert plot.card is None
    QTest.keyClick(plot, Qt.Key.Key_Home)
    start = plot.card
    QTest.keyClick(plot, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    card = plot.card
    assert card is not None
    assert card != start
    chart = plot.layout_shown.chart
    assert [row[0] for row in card.rows] == [one.name for _, one in chart.every()]
    assert plot.accessibleDescription() == card.sentence
    QTest.keyClick(plot, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    copied = QGuiApplication.clipboard().text().splitlines()
    assert copied[0] == card.heading
    assert copied[1] == "\t".join(card.rows[0])
    QTest.keyClick(plot, Qt.Key.Key_Escape)
    assert plot.card is None
    QTest.keyClick(plot, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text() == plot.summary


@pytest.mark.parametrize("key", SERIES)
def test_the_pointer_reads_every_curve(key: str, plot_of: Callable[..., Canvas], qapp) -> None:
    plot = plot_of(key)
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    qapp.processEvents()
    before = plot.grab().toImage()
    laid = plot.layout_shown.frames[-1]
    x = 0.5 * float(plot.layout_shown.chart.xs[-1])
    at = QPointF(laid.scale.x(x), laid.scale.frame.center().y()).toPoint()
    QTest.mouseMove(plot.viewport(), at)
    qapp.processEvents()
    card = plot.card
    assert card is not None
    unit = plot.layout_shown.chart.x_unit
    pixel = laid.scale.x_pixels
    assert plot.reader.place / unit.factor == pytest.approx(x, abs=1.5 / pixel)
    assert plot.grab().toImage() != before
    # One dot on every line of every frame.
    cross = plot.crosshair()
    assert cross is not None
    assert len(cross.lines) == len(plot.layout_shown.frames)
    assert len(cross.dots) >= len(plot.layout_shown.frames)


def test_what_is_not_in_sight_is_not_worked_out(
    plot_of: Callable[..., Canvas], monkeypatch: pytest.MonkeyPatch
) -> None:
    plot = plot_of("forces")
    asked = []
    monkeypatch.setattr(type(plot), "chart", lambda *_: asked.append(1))
    plot.hide()
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    assert not asked
    plot.show()
    assert asked == [1]


def test_while_parts_are_tried_the_car_is_worked_out_once(
    plot_of: Callable[..., Canvas], monkeypatch: pytest.MonkeyPatch
) -> None:
    plot = plot_of("forces")
    asked: list[Forecast] = []
    real = type(plot).chart

    def counted(self: SeriesChart, found: Forecast, *rest: object) -> object:
        asked.append(found)
        return real(self, found, *rest)

    monkeypatch.setattr(type(plot), "chart", counted)
    car, other = forecast_of("as drawn"), ghost()
    for one in (None, other, None, other):
        plot.show_forecast(car, METRIC, one, "x")
    assert sum(one is car for one in asked) == 1
    assert sum(one is other for one in asked) == 2


# Row and stack ------------------------------------------------------------------------------


def test_the_row_is_worked_by_arrow_keys(keeper: themes.ThemeKeeper, qtbot) -> None:
    row = ViewsRow()
    qtbot.addWidget(row)
    row.resize(700, 40)
    row.show()
    qtbot.waitExposed(row)
    chosen: list[str] = []
    row.view_chosen.connect(chosen.append)
    row.setFocus()
    QTest.keyClick(row, Qt.Key.Key_Right)
    QTest.keyClick(row, Qt.Key.Key_Right)
    QTest.keyClick(row, Qt.Key.Key_Left)
    assert chosen == ["time", "forces", "time"]
    QTest.mouseClick(row, Qt.MouseButton.LeftButton, pos=row.tabRect(3).center())
    assert chosen[-1] == row.chosen == "motor"
    row.choose("heat")
    assert chosen[-1] == "motor"
    assert row.accessibleTabName(5) == "6 Heat"
    assert BY_KEY["heat"].help in row.accessibleDescription()


def test_only_what_is_chosen_is_made(keeper: themes.ThemeKeeper, qtbot) -> None:
    stack = ViewStack()
    qtbot.addWidget(stack)
    stack.resize(822, 328)
    stack.show()
    stack.show_forecast(forecast_of("as drawn"), METRIC)
    assert stack.count() == 1
    stack.choose("motor")
    assert stack.count() == 2
    assert isinstance(stack.view, Canvas)
    assert "the motor turns" in stack.view.accessibleDescription()
    stack.show_forecast(forecast_of("demo"), METRIC)
    assert stack.road.shown.forecast is forecast_of("as drawn")
    stack.choose("road")
    assert stack.count() == 2
    assert stack.road.shown.forecast is forecast_of("demo")
    assert stack.choose("none such") == "road"


def test_a_start_imports_no_other_view() -> None:
    code = (
        "import sys; import pennyspeed.desktop.window; "
        "print([n for n in sys.modules if n.startswith('pennyspeed.desktop.charts.')])"
    )
    app = Path(__file__).parents[3] / "app"
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": str(app), "QT_QPA_PLATFORM": "offscreen", "PATH": ""},
    )
    for module in (
        "series_chart",
        "series_layout",
        "views.forces",
        "views.motor",
        "views.power",
        "saving",
    ):
        assert f"charts.{module}'" not in ran.stdout
    assert "charts.views.road'" in ran.stdout


# The window ---------------------------------------------------------------------------------


def test_digits_choose_the_view_and_the_keyboard_stays(window: Window, press) -> None:
    window.shelf.focus_table()
    press("3")
    assert window.home.stack.key == "forces"
    assert window.row.chosen == "forces"
    assert window.shelf.table.hasFocus()
    press("1")
    assert window.home.stack.key == "road"


def test_digits_are_typed_in_a_field(window: Window, press) -> None:
    window.home.go_to_field()
    press("3")
    assert window.home.stack.key == "road"
    assert window.shelf.field.text() == "3"


KEYPAD = Qt.KeyboardModifier.KeypadModifier


@pytest.mark.parametrize("held", [Qt.KeyboardModifier.NoModifier, KEYPAD])
def test_digits_choose_views_from_anywhere_and_leave_the_keyboard_there(
    window: Window, held: Qt.KeyboardModifier
) -> None:
    """Digit by digit, from everything that has the keyboard but is not typed in."""
    outside = [
        *(window.top.name, window.top.fields[0], window.top.more, window.top.menu),
        *(window.slots.view, window.row, window.verdict.checks, window.verdict.next),
    ]
    inside = [window.shelf.table, window.home.stack.view]
    for start in (*outside, *inside):
        for place, view in enumerate(VIEWS[:9]):
            start.setFocus()
            assert start.hasFocus()
            QTest.keyClick(start, Qt.Key(Qt.Key.Key_1 + place), held)
            QApplication.processEvents()
            assert window.row.chosen == view.key
            if start in outside:
                assert start.hasFocus(), (start, view.key)
            else:
                assert QApplication.focusWidget().isVisible()
            assert window.shelf.field.text() == ""
            window.navigator.turn_to_view("road")


def test_the_way_back_from_a_larger_view_leads_to_the_row_that_was_left(
    window: Window, press
) -> None:
    window.shelf.focus_table()
    press("7")
    assert not window.shelf.table.isVisible()
    press("1")
    assert window.shelf.table.hasFocus()


def test_a_digit_that_is_no_shortcut_is_not_typed_into_the_filter(window: Window) -> None:
    window.shelf.focus_table()
    for key in "123456789":
        event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key(ord(key)), KEYPAD.NoModifier, key)
        window.shelf.table.keyPressEvent(event)
    assert window.shelf.field.text() == ""
    assert window.shelf.table.hasFocus()


def test_the_view_is_kept(open_window: Callable[..., Window], tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    first = open_window(Settings(theme=themes.BRIGHT), path)
    first.navigator.choose_view("power")
    kept = settings_file.load(path)
    assert kept.view == "power"
    second = open_window(kept, path)
    assert second.row.chosen == "power"
    assert second.home.stack.key == "power"
    assert "the cells give" in second.home.stack.view.accessibleDescription()


def test_a_view_that_there_is_not_is_the_road(open_window: Callable[..., Window]) -> None:
    window = open_window(Settings(theme=themes.BRIGHT, view="none such"))
    assert window.row.chosen == "road"


def test_trying_shows_in_every_view(window: Window, press) -> None:
    window.navigator.choose_view("forces")
    window.shelf.focus_table()
    for _ in range(6):
        press(Qt.Key.Key_Down)
        if window.session.bench.trial is not None:
            break
    assert window.session.bench.trial is not None
    shown = window.home.stack.view.shown
    assert shown.ghost.prediction is window.session.bench.trial.prediction
    assert shown.ghost_name == window.session.bench.tried_name


@pytest.mark.parametrize(("width", "percent"), [(1024, 100), (1366, 200)])
def test_every_name_of_a_view_is_in_sight(
    width: int, percent: int, open_window: Callable[..., Window], qapp
) -> None:
    window = open_window(Settings(theme=themes.BRIGHT, text_percent=percent))
    window.resize(width, 768)
    qapp.processEvents()
    row = window.row
    boxes = [row.tabRect(place) for place in range(row.count())]
    assert all(row.rect().contains(box) for box in boxes)
    for place, box in enumerate(boxes):
        name = themes.metrics("heading").horizontalAdvance(row.tabText(place))
        assert box.width() >= name
    for one, two in combinations(boxes, 2):
        assert not one.intersects(two)


def test_the_plot_in_sight_is_saved_and_told(
    window: Window, shortcut, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from PySide6.QtWidgets import QFileDialog

    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "power.csv"), "")
    )
    window.navigator.choose_view("power")
    shortcut("Ctrl+Alt+S")
    assert "the cells give [W]" in (tmp_path / "power.csv").read_text(encoding="utf-8-sig")
    assert "power.csv" in window.top.accessibleDescription()


def test_a_click_on_the_view_that_shows_closes_the_form(window: Window) -> None:
    window.parts.new_part()
    assert window.pages.currentWidget() is window.parts.form
    place = window.row.tabRect(window.row.currentIndex()).center()
    QTest.mouseClick(window.row, Qt.MouseButton.LeftButton, pos=place)
    assert window.pages.currentWidget() is window.home.widget


def test_up_to_five_rows_of_a_card_stand_loosely_and_more_stand_closer(
    keeper: themes.ThemeKeeper,
) -> None:
    cross = Crosshair([(400.0, 0.0, 300.0)], [], QRectF(0, 0, 800, 300))
    pitches = []
    for count in (4, 5, 6):
        card = Card("at 10 m", [("speed", "80 km/h")] * count)
        pitches.append((card.place(cross).height() - themes.px(32)) / count)
    assert pitches == [themes.px(24), themes.px(24), themes.px(18)]
