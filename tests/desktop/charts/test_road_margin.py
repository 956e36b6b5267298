"""The margin in the road chart: marker, throttle off, stop, reserve, and a late lift."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest
from PySide6.QtCore import QPoint, QRectF, QSizeF
from PySide6.QtGui import QImage, QPainter

from builds import a_build
from desktop.charts.road_layouts import checked_layouts
from labels import METRIC, check_free, plates, texts
from pennyspeed.desktop.charts import Canvas
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.layout import NOW_DOT, NOW_RING
from pennyspeed.desktop.charts.textures import paint_limit
from pennyspeed.desktop.charts.views.road import RoadChart
from pennyspeed.desktop.charts.views.road_layout import RoadLayout, lay_out
from pennyspeed.desktop.charts.views.road_margin import LATE, OFF, ROAD_END
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.prediction.limits import BRAKING, REACTION, RESERVE
from pennyspeed.services.prediction.margin import distances, late_rows

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")

CARS: dict[str, dict[str, float]] = {
    "careful": {"reaction_s": 0.7, "reserve_m": 10.0},
    "no reserve": {"reaction_s": 0.7, "reserve_m": 0.0},
    "no reaction": {"reaction_s": 0.0, "reserve_m": 10.0},
    "much reserve": {"reaction_s": 0.7, "reserve_m": 60.0},
    "slow thumb": {"reaction_s": 3.0, "reserve_m": 10.0},
    "slower than the run": {"reaction_s": 5.0, "reserve_m": 3.0, "road_m": 30.0},
    "weak brake": {"reaction_s": 0.7, "reserve_m": 10.0, "brake_g": 0.05},
}
SIZES = ((822, 328, 100), (822, 232, 100), (464, 300, 100), (1400, 610, 125), (830, 600, 200))


@cache
def forecast_of(name: str) -> Forecast:
    build = a_build()
    for key, value in CARS[name].items():
        build = build.with_condition(key, value)
    return forecast(build)


@cache
def ghost() -> Forecast:
    return forecast(a_build(parts__motor__kv_rpm_per_v=3600).with_careful_driver())


def laid(name: str, late: float | None = None) -> RoadLayout:
    one = forecast_of(name)
    rows = {row.late.seconds: row.late for row in late_rows(one, METRIC)}
    return lay_out(ChartInput(one, METRIC, late=rows.get(late)), QSizeF(822, 328))


@pytest.mark.usefixtures("keeper")
@pytest.mark.parametrize("name", CARS)
def test_labels_neither_collide_nor_leave_the_plot(name: str, keeper: themes.ThemeKeeper) -> None:
    for layout, case in checked_layouts(forecast_of(name), ghost(), SIZES, keeper):
        scale = layout.scale
        drawn = [
            (scale.x(curve[0]), scale.y(curve[1]))
            for curve in (layout.now, layout.ghost)
            if curve is not None
        ]
        check_free(drawn, plates(layout.labels, 0, 3), case)


@pytest.mark.usefixtures("keeper")
def test_marker_and_throttle_off_stand_on_the_curve_each_with_its_line_to_the_axis() -> None:
    layout, found = laid("careful"), forecast_of("careful").prediction
    assert found is not None
    scale, (frame,) = layout.scale, layout.frames
    assert layout.marker == scale.point(found.marker_at, found.marker_speed * 3.6)
    assert layout.ring == scale.point(found.lift_at, found.road_speed * 3.6)
    assert {style for _, style in frame.rings} == {NOW_RING, NOW_DOT}
    down = {round(x) for x, top, bottom, _ in frame.uprights if bottom == frame.axis and top > 40}
    assert {round(scale.x(found.marker_at)), round(scale.x(found.lift_at))} <= down
    assert layout.stops == [found.marker_at, found.lift_at]


@pytest.mark.usefixtures("keeper")
def test_every_figure_comes_from_one_list() -> None:
    planned = distances(forecast_of("careful"), METRIC)
    said = texts(laid("careful").labels)
    assert {
        "lift marker",
        f"at {planned.marker} m",
        "throttle off",
        f"at {planned.throttle_off} m, 0.7 s later",
        f"stops at {planned.stop} m",
        str(planned.marker),
        str(planned.throttle_off),
        "240 m",
        "road ends",
        "off the road",
    } <= set(said)


@pytest.mark.usefixtures("keeper")
def test_the_strip_goes_from_the_limits_over_the_reaction_to_the_reserve() -> None:
    layout = laid("much reserve")
    assert [limit for *_, limit in layout.strip[-3:]] == [REACTION, BRAKING, RESERVE]
    for (_, end, _), (start, *_) in zip(layout.strip, layout.strip[1:], strict=False):
        assert end == pytest.approx(start)
    assert {"reaction", "reserve"} <= set(texts(layout.labels))


@pytest.mark.usefixtures("keeper")
def test_a_short_piece_has_its_figure_only() -> None:
    said = texts(laid("careful").labels)
    assert "reserve" not in said
    assert "10" in said


@pytest.mark.usefixtures("keeper")
def test_without_reaction_or_reserve_piece_and_word_are_gone() -> None:
    quick, whole = laid("no reaction"), laid("no reserve")
    assert REACTION not in {limit for *_, limit in quick.strip}
    assert quick.marker is None
    assert not {"reaction", "lift marker", "throttle off"} & set(texts(quick.labels))
    assert RESERVE not in {limit for *_, limit in whole.strip}
    assert not [text for text in texts(whole.labels) if text.startswith("stops at")]


@pytest.mark.usefixtures("keeper")
def test_a_late_lift_is_dashed_on_the_road_and_plain_past_its_end() -> None:
    layout, late = laid("careful"), forecast_of("careful").prediction.late
    (frame,), scale = layout.frames, layout.scale
    lines = {stroke: polygon for polygon, stroke in frame.lines if stroke in (LATE, OFF)}
    assert set(lines) == {LATE, OFF}
    end = scale.x(240.0)
    assert all(lines[LATE].at(i).x() <= end + 0.01 for i in range(lines[LATE].size()))
    assert all(lines[OFF].at(i).x() >= end - 0.01 for i in range(lines[OFF].size()))
    last = lines[OFF].at(lines[OFF].size() - 1)
    assert (last.x(), last.y()) == pytest.approx((scale.x(late.stop_at), scale.y(0.0)))
    assert lines[OFF].at(0).y() == pytest.approx(scale.y(late.end_speed * 3.6), abs=0.2)
    assert scale.x_max > late.stop_at
    assert any(stroke == ROAD_END for *_, stroke in frame.uprights)
    row = late_rows(forecast_of("careful"), METRIC)[4]
    (sign,) = (label for label in layout.labels if label.sign is not None)
    assert sign.words.text == "half a second late"
    assert {row.outcome[0], row.outcome[1]} <= set(texts(layout.labels))


@pytest.mark.usefixtures("keeper")
def test_what_stays_on_the_road_is_drawn_only_where_it_is_asked_for() -> None:
    safe, asked = laid("much reserve"), laid("much reserve", late=0.2)
    assert safe.late is None
    assert safe.scale.x_max == 240.0
    assert not [stroke for _, stroke in safe.frames[0].lines if stroke == LATE]
    assert "0.2 s late" in texts(asked.labels)
    assert [stroke for _, stroke in asked.frames[0].lines if stroke == LATE]
    assert laid("careful", late=0.0).late is None


@pytest.mark.usefixtures("keeper")
def test_the_base_holds_still_while_parts_are_tried_beside_a_late_lift() -> None:
    one = forecast_of("careful")
    late = late_rows(one, METRIC)[2].late
    size = QSizeF(822, 328)
    first = lay_out(ChartInput(one, METRIC, late=late), size)
    tried = lay_out(ChartInput(one, METRIC, ghost(), "other", late=late), size, first)
    other = lay_out(ChartInput(one, METRIC), size, first)
    assert tried.base is first.base
    assert other.base is not first.base


def test_reaction_reserve_and_braking_differ_in_black_and_white(
    keeper: themes.ThemeKeeper,
) -> None:
    seen = []
    for limit in (REACTION, RESERVE, BRAKING):
        image = QImage(60, 8, QImage.Format.Format_RGB32)
        image.fill(themes.LIGHT.ground)
        painter = QPainter(image)
        paint_limit(painter, QRectF(0, 0, 60, 8), limit, themes.LIGHT)
        painter.end()
        grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
        seen.append(
            (grey.pixelColor(QPoint(30, 4)).value(), grey.pixelColor(QPoint(30, 0)).value())
        )
    assert len(set(seen)) == 3


def test_the_card_says_reaction(plot_of: Callable[..., Canvas]) -> None:
    plot, found = plot_of("road"), forecast_of("careful").prediction
    assert isinstance(plot, RoadChart)
    plot.show_forecast(forecast_of("careful"), METRIC)
    plot.read_at((found.marker_at + found.lift_at) / 2)
    assert "driver reaction" in plot.accessibleDescription()
    plot.read_at(found.lift_at + 5.0)
    assert "driver braking at 0.5 g" in plot.accessibleDescription()


def test_the_table_and_the_sentences_have_the_late_lift(plot_of: Callable[..., Canvas]) -> None:
    plot, one = plot_of("road"), forecast_of("careful")
    plot.show_forecast(one, METRIC)
    table = plot.table()
    speeds = dict(zip(table.heads, table.columns, strict=True))
    late = one.prediction.late
    assert speeds["distance [m]"][-1] == pytest.approx(late.stop_at)
    assert speeds["speed half a second late [km/h]"][-1] == pytest.approx(0.0, abs=1e-9)
    row = late_rows(one, METRIC)[4]
    assert row.phrase in plot.summary
    assert "reaction to" in plot.summary
    assert "reserve to 240 m" in plot.summary
