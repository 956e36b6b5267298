"""The road plot: what it says is what was forecast, and it can be read."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from builds import a_build
from desktop.charts.road_layouts import checked_layouts
from labels import IMPERIAL, METRIC, check_free, plates, texts
from pennyspeed.desktop.charts import Canvas, textures
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.label_placer import LabelPlacer
from pennyspeed.desktop.charts.views.road import RoadChart
from pennyspeed.desktop.charts.views.road_layout import RoadLayout, lay_out
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.services.charts.axes import decimals, round_step, ticks
from pennyspeed.services.charts.chart import GHOST, NOW
from pennyspeed.services.charts.road_curves import reading_at
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.prediction.limits import BRAKING, stretches

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")

CARS: dict[str, dict[str, object]] = {
    "as drawn": {},
    "driver": {"conditions__driver_g": 0.2},
    "grip": {"parts__tyres__grip": 0.35, "conditions__driver_g": 2.0},
    "current": {
        "parts__controller__burst_current_a": 20,
        "parts__tyres__grip": 2.0,
        "conditions__driver_g": 3.0,
    },
    "pack": {
        "parts__pack__c_burst": 4,
        "parts__tyres__grip": 2.0,
        "conditions__driver_g": 3.0,
    },
    "long road": {"conditions__road_m": 1500.0},
    "short road": {"conditions__road_m": 30.0},
    "no target": {"target_kmh": None},
    "low target": {"target_kmh": 12.0},
    "far target": {"target_kmh": 900.0},
    "target at the top": {"target_kmh": 103.0},
    "weak brake": {"conditions__brake_g": 0.1},
}
SIZES = ((822, 328, 100), (822, 232, 100), (560, 300, 100), (1400, 610, 125), (830, 600, 200))


@cache
def forecast_of(name: str) -> Forecast:
    return forecast(a_build(**CARS[name]))


@cache
def ghost() -> Forecast:
    return forecast(a_build(parts__motor__kv_rpm_per_v=3600))


@pytest.fixture
def plot(plot_of: Callable[..., Canvas]) -> RoadChart:
    made = plot_of("road")
    assert isinstance(made, RoadChart)
    return made


def laid(name: str, measures: Measures = METRIC, with_ghost: bool = False) -> RoadLayout:
    other = ghost() if with_ghost else None
    shown = ChartInput(forecast_of(name), measures, other, "Potting bench 3600" if other else "")
    return lay_out(shown, QSizeF(822, 328))


def placed(layout: RoadLayout) -> list[tuple[str, QRectF]]:
    return [(label.words.text, label.box) for label in layout.labels]


@pytest.mark.usefixtures("keeper")
@pytest.mark.parametrize("name", CARS)
def test_what_is_kept_while_parts_are_tried_changes_nothing(name: str) -> None:
    """A layout that takes over the base of another is the one laid out from nothing."""
    size = QSizeF(822, 328)
    car = ChartInput(forecast_of(name), METRIC)
    tried = ChartInput(car.forecast, METRIC, ghost(), "Potting bench 3600")
    closer = ChartInput(car.forecast, METRIC, ghost(), "Potting bench 3600", close_up=True)
    other = ChartInput(forecast_of("as drawn"), IMPERIAL, ghost(), "Potting bench 3600")
    before = None
    for shown in (car, tried, tried, car, closer, tried, other, tried):
        now, fresh = lay_out(shown, size, before), lay_out(shown, size)
        assert placed(now) == placed(fresh)
        assert now.leaders == fresh.leaders
        one, two = now.frames[0], fresh.frames[0]
        assert (one.grid, one.marks, now.strip) == (two.grid, two.marks, fresh.strip)
        assert (now.ring, now.ghost_ring, now.scale) == (fresh.ring, fresh.ghost_ring, fresh.scale)
        assert (now.ghost is None) == (shown.ghost is None)
        before = now


def test_the_base_holds_still_while_parts_are_tried() -> None:
    size = QSizeF(822, 328)
    forecast = forecast_of("as drawn")
    first = lay_out(ChartInput(forecast, METRIC, ghost(), "one"), size)
    again = lay_out(ChartInput(forecast, METRIC, ghost(), "another"), size, first)
    assert again.base is first.base
    assert again.now is first.now


# Labels -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CARS)
def test_labels_neither_collide_nor_leave_the_plot(name: str, keeper: themes.ThemeKeeper) -> None:
    for layout, case in checked_layouts(forecast_of(name), ghost(), SIZES, keeper):
        check_curves_are_free(layout, case)


def check_curves_are_free(layout: RoadLayout, case: str) -> None:
    scale, curves = layout.scale, (layout.now, layout.ghost)
    drawn = [(scale.x(curve[0]), scale.y(curve[1])) for curve in curves if curve is not None]
    check_free(drawn, plates(layout.labels, 0, 3), case)


@pytest.mark.parametrize("name", CARS)
def test_the_lift_label_says_what_was_forecast(name: str, keeper: themes.ThemeKeeper) -> None:
    prediction = forecast_of(name).prediction
    assert prediction is not None
    assert f"lift at {METRIC.number(prediction.lift_at)} m" in texts(laid(name).labels)
    # 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959). The way to the lift
    # and that to the stop add up to the road as it is shown: the larger fraction is rounded up.
    feet = [one / 0.3048 for one in (prediction.lift_at, prediction.stop_distance)]
    lift, stop = (int(one) for one in feet)
    short = round(sum(feet)) - lift - stop
    lift += short == 2 or (short == 1 and feet[0] - lift > feet[1] - stop)
    assert f"lift at {METRIC.number(lift)} ft" in texts(laid(name, IMPERIAL).labels)


def test_units_are_the_persons(keeper: themes.ThemeKeeper) -> None:
    prediction = forecast_of("as drawn").prediction
    assert prediction is not None
    metric, imperial = ({*texts(laid("as drawn", one, True).labels)} for one in (METRIC, IMPERIAL))
    assert {"speed, km/h", "0 m", "240 m", "road ends", "target 80"} <= metric
    # 80 km/h are 49.7 mph and 240 m are 787.4 ft: 1 mile = 1609.344 m exactly (1959 agreement).
    assert {"speed, mph", "0 ft", "787 ft", "road ends", "target 49.7"} <= imperial
    assert f"{prediction.road_speed * 3.6:.0f}" in metric
    assert f"{prediction.road_speed / 0.44704:.0f}" in imperial


def test_both_curves_are_named_with_their_speeds(keeper: themes.ThemeKeeper) -> None:
    said = texts(laid("as drawn", with_ghost=True).labels)
    other = ghost().prediction
    assert other is not None
    assert "the car now" in said
    assert "with Potting bench 3600" in said
    assert f"{other.road_speed * 3.6:.0f}" in said
    assert "with Potting bench 3600" not in texts(laid("as drawn").labels)


def test_a_long_name_is_cut_and_keeps_its_speed(keeper: themes.ThemeKeeper) -> None:
    shown = ChartInput(forecast_of("as drawn"), METRIC, ghost(), "wonderfully long name " * 8)
    layout = lay_out(shown, QSizeF(822, 328))
    name = next(label for label in layout.labels if label.words.text.startswith("with wonder"))
    assert name.words.text.endswith("…")
    assert name.words.width <= 0.46 * layout.scale.frame.width()


def test_a_target_far_above_is_named_and_does_not_flatten_the_curve(
    keeper: themes.ThemeKeeper,
) -> None:
    far, none = laid("far target"), laid("no target")
    assert far.target is None
    assert "target 900, far above this scale" in texts(far.labels)
    assert far.scale.y_max == none.scale.y_max
    assert not [text for text in texts(none.labels) if "target" in text]
    assert laid("as drawn").target == pytest.approx(laid("as drawn").scale.y(80.0))


def test_ticks_are_round() -> None:
    for span in (0.7, 3.0, 47.0, 140.0, 1500.0):
        for most in (2, 5, 8):
            step = round_step(span, most)
            mantissa = step / 10 ** np.floor(np.log10(step) + 1e-9)
            assert round(mantissa, 6) in (1.0, 2.0, 5.0)
            assert span / step <= most + 1e-9
    assert ticks(35, 100, 20) == [40.0, 60.0, 80.0, 100.0]
    assert [f"{v:.{decimals(0.2)}f}" for v in ticks(0, 0.6, 0.2)] == ["0.0", "0.2", "0.4", "0.6"]


def test_a_board_gives_the_nearest_free_place() -> None:
    board = LabelPlacer(QRectF(0, 0, 100, 60), 5.0)
    board.take_line(np.array([0.0, 100.0]), np.array([30.0, 30.0]))
    assert board.find(20, 10, QPointF(40, 10)) == QRectF(40, 10, 20, 10)
    moved = board.find(20, 10, QPointF(40, 26))
    assert moved is not None
    assert moved.bottom() <= 30 or moved.top() >= 30
    assert abs(moved.top() - 26) < 12
    assert board.find(20, 40, QPointF(0, 0)) is None


# The road under the curve --------------------------------------------------------------------


@pytest.mark.parametrize("name", CARS)
def test_stretches_cover_the_way_and_name_what_holds(name: str) -> None:
    prediction = forecast_of(name).prediction
    assert prediction is not None
    assert prediction.curve is not None
    pieces = stretches(prediction)
    assert pieces[0].start == 0.0
    assert pieces[-1].limit == BRAKING
    assert pieces[-1].start == prediction.lift_at
    assert pieces[-1].end == pytest.approx(prediction.lift_at + prediction.stop_distance)
    for one, two in pairwise(pieces):
        assert one.end == two.start
        assert one.limit != two.limit
    for piece in pieces[:-1]:
        middle = min((piece.start + piece.end) / 2, prediction.curve.distance[-1])
        at = int(np.searchsorted(prediction.curve.distance, middle, side="right")) - 1
        assert LIMIT_NAMES[int(prediction.curve.limit[at])] == piece.limit


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("driver", "held back by the driver’s 0.2 g"),
        ("grip", "held back by the tyres’ grip"),
        ("current", "held back by the controller’s 20 A"),
        # 4 C of 3.8 Ah are 15.2 A (burst current = C rating × capacity: common practice).
        ("pack", "by the pack’s 15 A"),
        ("long road", "by the pack’s voltage"),
        ("as drawn", "braking at 0.5 g"),
        ("grip", "braking as hard as the tyres hold"),
    ],
)
def test_the_limit_is_written_along_the_road(
    name: str, words: str, keeper: themes.ThemeKeeper
) -> None:
    wide = lay_out(ChartInput(forecast_of(name), METRIC), QSizeF(1600, 600))
    assert any(words in text for text in texts(wide.labels)), texts(wide.labels)


def test_limits_are_told_apart_without_colour(keeper: themes.ThemeKeeper) -> None:
    drawn = {}
    for limit in (*LIMIT_NAMES, BRAKING):
        image = QImage(120, 8, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        textures.paint_limit(painter, QRectF(0, 0, 120, 8), limit, themes.LIGHT)
        painter.end()
        grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
        drawn[limit] = np.array(grey.constBits(), np.uint8).reshape(8, -1)[:, :120]
    for one, two in combinations(drawn, 2):
        differing = np.abs(drawn[one].astype(int) - drawn[two].astype(int)) > 100
        assert differing.mean() > 0.1, f"{one} looks like {two}"


# The widget ----------------------------------------------------------------------------------


class Paints(QObject):
    """Counts repaints."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.count += event.type() == QEvent.Type.Paint
        return False


def settle(qapp: object) -> None:
    for _ in range(5):
        qapp.processEvents()


def test_one_forecast_is_one_repaint(plot: RoadChart, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    paints = Paints()
    plot.viewport().installEventFilter(paints)
    for i, name in enumerate(("driver", "short road", "grip"), start=1):
        plot.show_forecast(forecast_of(name), METRIC, ghost(), "Potting bench 3600")
        settle(qapp)
        assert paints.count == i
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    assert paints.count == 4


def test_the_curve_stands_where_the_axes_say(plot: RoadChart, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    layout, prediction = plot.layout_shown, forecast_of("as drawn").prediction
    assert layout is not None
    assert prediction is not None
    top = QPointF(prediction.lift_at, prediction.road_speed * 3.6)
    drawn = layout.frames[0].lines[0][0]
    seen = min((drawn.at(i) for i in range(drawn.size())), key=lambda point: point.y())
    assert seen.x() == pytest.approx(layout.scale.x(top.x()), abs=0.01)
    assert seen.y() == pytest.approx(layout.scale.y(top.y()), abs=0.01)
    ring = layout.ring
    assert ring is not None
    assert (seen - ring).manhattanLength() < 0.02
    # Ground left and right of the rise, the accent on it.
    image = plot.grab().toImage()
    at = QPointF(60.0, float(np.interp(60.0, *layout.now)))
    place = layout.scale.point(at.x(), at.y()).toPoint()
    assert image.pixelColor(place) == themes.LIGHT.accent


def test_the_band_reaches_from_its_slow_edge_to_its_fast_one(plot: RoadChart, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    band, layout = forecast_of("as drawn").band, plot.layout_shown
    assert band is not None
    assert layout is not None
    image = plot.grab().toImage()
    x = round(layout.scale.x(60.0))
    inked = [y for y in range(image.height()) if image.pixelColor(x, y) == themes.LIGHT.band]
    for y, speeds in ((min(inked), band.high), (max(inked), band.low)):
        expected = layout.scale.y(3.6 * float(np.interp(60.0, band.distance, speeds)))
        assert y == pytest.approx(expected, abs=4.0)


def test_the_curve_of_what_was_tried_goes_with_it(plot: RoadChart, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    alone = plot.grab().toImage()
    plot.show_forecast(forecast_of("as drawn"), METRIC, ghost(), "Potting bench 3600")
    settle(qapp)
    assert plot.grab().toImage() != alone
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    assert plot.grab().toImage() == alone


def test_it_speaks(plot: RoadChart) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC, ghost(), "Potting bench 3600")
    found = forecast_of("as drawn")
    assert found.prediction is not None
    assert found.band is not None
    said = plot.accessibleDescription()
    assert plot.accessibleName() == "Speed over the road"
    assert f"{found.prediction.road_speed * 3.6:.0f} km/h on this road of 240 m" in said
    assert f"lift at {found.prediction.lift_at:.0f} m" in said
    assert f"{found.band.p10 * 3.6:.0f} to {found.band.p90 * 3.6:.0f} km/h" in said
    assert "held back by the driver’s 0.45 g" in said
    assert "with Potting bench 3600" in said
    plot.show_forecast(found, IMPERIAL)
    assert f"{found.prediction.road_speed / 0.44704:.0f} mph" in plot.accessibleDescription()


def test_arrow_keys_read_the_curve(plot: RoadChart) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    prediction = forecast_of("as drawn").prediction
    assert prediction is not None
    assert prediction.trace is not None
    assert plot.reading is None
    QTest.keyClick(plot, Qt.Key.Key_Right)
    assert plot.reading is not None
    assert plot.reading.distance == pytest.approx(prediction.lift_at)
    assert plot.reading.speed == pytest.approx(prediction.road_speed, rel=1e-3)
    QTest.keyClick(plot, Qt.Key.Key_Home)
    QTest.keyClick(plot, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(plot, Qt.Key.Key_Right)
    QTest.keyClick(plot, Qt.Key.Key_Right)
    QTest.keyClick(plot, Qt.Key.Key_Left)
    read = plot.reading
    assert read is not None
    assert read.distance == pytest.approx(11.0)
    speed = float(np.interp(11.0, prediction.trace.distance, prediction.trace.speed))
    said = plot.accessibleDescription()
    assert said.startswith("at 11 m, after ")
    assert f"speed {speed * 3.6:.0f} km/h" in said
    assert "held back by the driver’s 0.45 g" in said
    QTest.keyClick(plot, Qt.Key.Key_End)
    assert "braking at 0.5 g" in plot.accessibleDescription()
    QTest.keyClick(plot, Qt.Key.Key_Escape)
    assert plot.reading is None
    assert "on this road" in plot.accessibleDescription()


def test_the_pointer_reads_too(plot: RoadChart, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    layout = plot.layout_shown
    assert layout is not None
    before = plot.grab().toImage()
    QTest.mouseMove(plot.viewport(), QPointF(layout.scale.x(50.0), 150.0).toPoint())
    settle(qapp)
    assert plot.reading is not None
    assert plot.reading.distance == pytest.approx(50.0, abs=0.4)
    assert plot.grab().toImage() != before


def test_a_pointer_that_leaves_takes_its_reading_along_and_a_key_s_reading_stays(
    plot: RoadChart, qapp
) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    whole = plot.accessibleDescription()
    QTest.mouseMove(plot.viewport(), QPoint(400, 150))
    settle(qapp)
    assert plot.accessibleDescription().startswith("at ")
    QApplication.sendEvent(plot, QEvent(QEvent.Type.Leave))
    assert plot.accessibleDescription() == whole
    QTest.keyClick(plot, Qt.Key.Key_Right)
    QApplication.sendEvent(plot, QEvent(QEvent.Type.Leave))
    assert plot.accessibleDescription().startswith("at ")


def test_the_turns_of_the_motor_are_read_to_the_hundred(plot: RoadChart) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    prediction = forecast_of("as drawn").prediction
    assert prediction is not None
    assert prediction.curve is not None
    assert prediction.trace is not None
    for metres in (10.0, 25.0, 45.0, 80.0):
        plot.read_at(metres)
        said = re.search(r"motor ([\d,]+) rpm", plot.accessibleDescription())
        assert said is not None
        speed = np.interp(metres, prediction.trace.distance, prediction.trace.speed)
        turning = np.interp(speed, prediction.curve.speed, prediction.curve.motor_speed)
        # 1 rpm is 2π / 60 rad/s.
        rpm = float(turning) * 60.0 / (2.0 * np.pi)
        assert float(said[1].replace(",", "")) == pytest.approx(rpm, abs=51.0)


@pytest.mark.parametrize("name", ["as drawn", "long road", "grip"])
def test_times_read_are_those_of_the_motion(name: str) -> None:
    prediction = forecast_of(name).prediction
    assert prediction is not None
    assert prediction.trace is not None
    pieces = stretches(prediction)
    end = prediction.lift_at + prediction.stop_distance
    # t = ∫ dx / v, from a metre after the start to a metre before the stop.
    xs = np.linspace(1.0, end - 1.0, 20001)
    speeds = np.interp(xs, prediction.trace.distance, prediction.trace.speed)
    expected = float(np.trapezoid(1.0 / speeds, xs))
    first, last = (reading_at(prediction, pieces, x).time for x in (1.0, end - 1.0))
    assert last - first == pytest.approx(expected, rel=0.01)
    times = [reading_at(prediction, pieces, x).time for x in np.linspace(0.0, end, 60)]
    assert all(two > one for one, two in pairwise(times))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda: a_build().without_part("pack"), ("No pack yet", "Choose one from the shelf")),
        (
            lambda: a_build().without_part("motor").without_part("pack"),
            ("No motor and no pack yet", "Choose them from the shelf"),
        ),
        (
            lambda: Build("Empty"),
            ("Not a whole car yet", "chassis, motor, controller, pack, pinion"),
        ),
        (lambda: a_build(conditions__road_m=0.0), ("There is no road",)),
        (lambda: a_build(conditions__driver_g=0.0), ("This car does not move",)),
    ],
)
def test_without_a_curve_it_says_why(
    change: Callable[[], Build], words: tuple[str, ...], plot: RoadChart, qapp
) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    plot.show_forecast(forecast(change()), METRIC)
    layout = plot.layout_shown
    assert layout is not None
    assert layout.now is None
    assert not layout.frames[0].lines
    for text in words:
        assert text in plot.accessibleDescription()
    QTest.keyClick(plot, Qt.Key.Key_Right)
    assert plot.reading is None
    # The sentence stands in the middle of the plot, inked.
    image = plot.grab().toImage()
    y0, y1 = 90, 180
    inked = sum(
        image.pixelColor(x, y) == themes.LIGHT.ink for x in range(250, 600) for y in range(y0, y1)
    )
    assert inked > 30


def test_it_follows_the_theme_at_once(plot: RoadChart, keeper: themes.ThemeKeeper, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    settle(qapp)
    assert plot.grab().toImage().pixelColor(3, 200) == themes.LIGHT.ground
    keeper.choose(themes.DARKNESS)
    settle(qapp)
    image = plot.grab().toImage()
    assert image.pixelColor(3, 200) == themes.DARK.ground
    layout = plot.layout_shown
    assert layout is not None
    place = layout.scale.point(60.0, float(np.interp(60.0, *layout.now))).toPoint()
    assert image.pixelColor(place) == themes.DARK.accent


def test_it_grows_with_the_text(plot: RoadChart, keeper: themes.ThemeKeeper) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    small = next(label for label in plot.layout_shown.labels if label.words.text == "speed, km/h")
    keeper.choose_text(200)
    large = next(label for label in plot.layout_shown.labels if label.words.text == "speed, km/h")
    assert large.words.width == pytest.approx(2 * small.words.width, rel=0.02)


def test_z_looks_closer_and_back(plot: RoadChart) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    assert plot.layout_shown.scale.y_min == 0.0
    QTest.keyClick(plot, Qt.Key.Key_Z)
    closer = plot.layout_shown.scale
    assert closer.y_min > 0.0
    prediction = forecast_of("as drawn").prediction
    assert closer.y_min < prediction.road_speed * 3.6 < closer.y_max
    plot.show_forecast(forecast_of("driver"), METRIC)
    assert plot.layout_shown.scale.y_min > 0.0
    plot.show_forecast(forecast_of("low target"), METRIC)
    assert "target 12, below this scale" in texts(plot.layout_shown.labels)
    QTest.keyClick(plot, Qt.Key.Key_Z)
    assert plot.layout_shown.scale.y_min == 0.0


def test_looked_at_closely_a_curve_ends_at_the_axis(plot: RoadChart) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC, ghost(), "Potting bench 3600")
    plot.look_closer(True)
    (frame,) = plot.layout_shown.frames
    inside = frame.scale.frame.adjusted(-1, -1, 1, 1)
    curves = [polygon for polygon, stroke in frame.lines if stroke in (NOW, GHOST)]
    assert len(curves) == 2
    for polygon in curves:
        assert all(inside.contains(polygon.at(i)) for i in range(polygon.size()))
        assert polygon.at(0).y() == pytest.approx(inside.bottom() - 1, abs=0.1)


def test_the_focus_shows(plot: RoadChart, qtbot, qapp) -> None:
    plot.show_forecast(forecast_of("as drawn"), METRIC)
    plot.activateWindow()
    plot.clearFocus()
    settle(qapp)
    without = plot.grab().toImage().pixelColor(400, 0)
    plot.setFocus()
    qtbot.waitUntil(plot.hasFocus)
    settle(qapp)
    assert without == themes.LIGHT.ground
    assert plot.grab().toImage().pixelColor(400, 0) == themes.LIGHT.accent
