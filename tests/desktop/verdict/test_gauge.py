"""The gauges: marks stand where the figures are, in words too, and without colour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QWidget

from builds import a_build
from pennyspeed.desktop.verdict.gauge import CapBar, SpeedGauge
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import MPH
from pennyspeed.services.prediction.forecast import Forecast, forecast

pytestmark = [
    pytest.mark.qt_log_ignore("does not support propagateSizeHints"),
    pytest.mark.usefixtures("keeper"),
]


@pytest.fixture(scope="module")
def car() -> Forecast:
    return forecast(a_build(target_kmh=100.0))


@pytest.fixture
def gauge(qtbot) -> SpeedGauge:
    made = SpeedGauge()
    qtbot.addWidget(made)
    made.resize(400, made.sizeHint().height())
    return made


@pytest.fixture
def bar(qtbot) -> CapBar:
    made = CapBar()
    qtbot.addWidget(made)
    made.resize(401, made.sizeHint().height())
    return made


def columns(widget: QWidget, colour: QColor, row: int) -> list[int]:
    image: QImage = widget.grab().toImage()
    return [x for x in range(image.width()) if image.pixelColor(x, row) == colour]


def test_without_a_car_there_is_no_axis_and_no_bar(
    gauge: SpeedGauge, bar: CapBar, car: Forecast
) -> None:
    def is_blank(widget: QWidget) -> bool:
        image = widget.grab().toImage()
        first = image.pixelColor(0, 0)
        places = ((x, y) for x in range(image.width()) for y in range(image.height()))
        return all(image.pixelColor(x, y) == first for x, y in places)

    assert is_blank(gauge), "before the first car"
    gauge.show_forecast(car, Measures())
    bar.show_costs(car.costs, Measures())
    assert not is_blank(gauge)
    assert not is_blank(bar)
    gauge.show_nothing()
    bar.show_nothing()
    assert is_blank(gauge)
    assert is_blank(bar)
    assert gauge.accessibleDescription() == "No speed yet."


def test_marks_stand_where_the_figures_are(gauge: SpeedGauge, car: Forecast) -> None:
    gauge.show_forecast(car, Measures())
    assert car.prediction is not None
    assert car.band is not None
    low, high = gauge._low, gauge._high

    def x(kmh: float) -> float:
        return 399 * (kmh - low) / (high - low)

    assert low <= car.band.p10 * 3.6 < car.band.p90 * 3.6 <= high
    now = columns(gauge, themes.LIGHT.accent, 10)
    assert np.mean(now) == pytest.approx(x(car.prediction.road_speed * 3.6), abs=1.5)
    band = columns(gauge, themes.LIGHT.band, 18)
    assert min(band) == pytest.approx(x(car.band.p10 * 3.6), abs=2)
    assert max(band) == pytest.approx(x(car.band.p90 * 3.6), abs=2)
    edges = columns(gauge, themes.LIGHT.band_edge, 18)
    assert edges == [min(band) - 1, max(band) + 1]
    target = columns(gauge, themes.LIGHT.ink, 1)
    assert np.mean(target) == pytest.approx(x(100.0), abs=1.5)


def test_figures_of_a_very_slow_car_differ(
    gauge: SpeedGauge, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[str] = []
    monkeypatch.setattr(themes.Words, "draw", lambda self, *_: drawn.append(self.text))
    gauge.show_forecast(forecast(a_build(parts__motor__kv_rpm_per_v=2)), Measures())
    gauge.grab()
    figures = [text for text in drawn if "target" not in text]
    assert len(figures) > 1
    assert len(set(figures)) == len(figures)


def test_it_says_the_same(gauge: SpeedGauge, car: Forecast) -> None:
    ghost = forecast(a_build(parts__motor__kv_rpm_per_v=3600))
    gauge.show_forecast(car, Measures(), ghost)
    said = gauge.accessibleDescription()
    assert car.prediction is not None
    assert car.band is not None
    assert ghost.prediction is not None
    assert said.startswith(f"{car.prediction.road_speed * 3.6:.0f} km/h")
    assert f"{car.band.p10 * 3.6:.0f} to {car.band.p90 * 3.6:.0f} km/h" in said
    assert "target 100 km/h" in said
    assert f"tried {ghost.prediction.road_speed * 3.6:.0f} km/h" in said
    gauge.show_forecast(car, Measures(speed_unit=MPH))
    # 1 mph = 0.44704 m/s exactly (international yard, 1959).
    mph = f"{car.prediction.road_speed / 0.44704:.0f} mph"
    assert gauge.accessibleDescription().startswith(mph)
    assert "target 62.1 mph" in gauge.accessibleDescription()
    assert "tried" not in gauge.accessibleDescription()


def test_what_is_tried_is_a_ring(gauge: SpeedGauge, car: Forecast) -> None:
    gauge.show_forecast(car, Measures())
    without = gauge.grab().toImage()
    gauge.show_forecast(car, Measures(), forecast(a_build(parts__motor__kv_rpm_per_v=3600)))
    assert gauge.grab().toImage() != without


def test_a_target_beyond_the_likely_range_stands_on_the_axis(
    gauge: SpeedGauge, car: Forecast
) -> None:
    assert car.prediction is not None
    now = 3.6 * car.prediction.road_speed
    for target in (0.6 * now, 1.4 * now):
        gauge.show_forecast(replace(car, build=replace(car.build, target_kmh=target)), Measures())
        dashes = columns(gauge, themes.LIGHT.ink, 1)
        mark = np.mean(columns(gauge, themes.LIGHT.accent, 10))
        assert dashes, target
        assert (np.mean(dashes) > mark) == (target > now)


def dark(widget: QWidget, row: int) -> list[int]:
    """Return where a row of pixels is inked as dark as the ring of what is tried."""
    return [int(x) for x in np.flatnonzero(grey(widget)[row] < 70)]


@pytest.mark.parametrize("kv", [2700, 3400])
def test_the_ring_stands_at_the_speed_of_what_is_tried(gauge: SpeedGauge, kv: int) -> None:
    car = forecast(a_build(target_kmh=80.0))
    tried = forecast(a_build(parts__motor__kv_rpm_per_v=kv))
    assert car.prediction is not None
    assert tried.prediction is not None
    now, ghost = (3.6 * one.prediction.road_speed for one in (car, tried))
    gauge.show_forecast(car, Measures(), tried)
    mark = np.mean(columns(gauge, themes.LIGHT.accent, 5))
    target = np.mean(columns(gauge, themes.LIGHT.ink, 1))
    ring = [x for x in dark(gauge, 15) if min(abs(x - mark), abs(x - target)) > 4]
    # Two marks of the axis say where any speed stands.
    expected = mark + (ghost - now) * (target - mark) / (80.0 - now)
    assert np.mean(ring) == pytest.approx(expected, abs=2.0)


def test_a_far_target_does_not_squeeze_the_band(gauge: SpeedGauge, car: Forecast) -> None:
    far = replace(car, build=replace(car.build, target_kmh=900.0))
    none = replace(car, build=replace(car.build, target_kmh=None))
    gauge.show_forecast(none, Measures())
    spans = gauge._low, gauge._high
    gauge.show_forecast(far, Measures())
    assert (gauge._low, gauge._high) == spans
    assert "target 900 km/h" in gauge.accessibleDescription()
    assert columns(gauge, themes.LIGHT.ink, 36), "the target is named at the axis' end"


def test_without_a_speed_it_says_so(gauge: SpeedGauge) -> None:
    gauge.show_forecast(forecast(a_build().without_part("pack")), Measures())
    assert gauge.accessibleDescription() == "No speed yet."
    assert not columns(gauge, themes.LIGHT.accent, 10)


def sums(
    spent: int, promised: int, planned: int, cap: int | None = 26000, currency: str = "EUR"
) -> Costs:
    def money(minor: int) -> Money:
        return Money(minor, currency)

    whole = spent + promised + planned
    return replace(
        forecast(a_build()).costs,
        counted=money(whole),
        spent=money(spent),
        promised=money(promised),
        planned=money(planned),
        cap=None if cap is None else money(cap),
        left=None if cap is None else money(cap - whole),
    )


def test_money_is_drawn_to_scale(bar: CapBar) -> None:
    bar.show_costs(sums(9640, 7490, 6010), Measures())
    solid = columns(bar, themes.LIGHT.ink2, 9)
    most = 1.07 * 26000
    spent = next(x for x in range(401) if x not in solid)
    assert spent == pytest.approx(400 * 9640 / most, abs=1.5)
    cap = columns(bar, themes.LIGHT.ink, 1)
    assert min(cap) == pytest.approx(400 * 26000 / most, abs=1.5)
    # The outline on top ends where the whole does.
    assert max(columns(bar, themes.LIGHT.ink2, 5)) == pytest.approx(400 * 23140 / most, abs=2)


def test_money_is_told_in_words(bar: CapBar) -> None:
    bar.show_costs(sums(9640, 7490, 6010), Measures(), sums(9640, 7490, 7000))
    said = bar.accessibleDescription()
    for text in ("spent 96.40", "promised 74.90", "planned 60.10", "together 231.40 EUR"):
        assert text in said
    assert "28.60 EUR left" in said
    assert "with the part tried 241.30 EUR" in said
    bar.show_costs(sums(9640, 7490, 10500), Measures(decimal=","))
    assert "16,30 EUR over the cap" in bar.accessibleDescription()
    bar.show_costs(sums(150, 0, 0, None, "JPY"), Measures())
    assert "together 150 JPY" in bar.accessibleDescription()
    assert "cap" not in bar.accessibleDescription()


def test_the_ring_stands_at_the_sum_with_what_is_tried(bar: CapBar) -> None:
    bar.show_costs(sums(9640, 7490, 6010, None), Measures(), sums(9640, 7490, 22870, None))
    assert np.mean(dark(bar, 12)) == pytest.approx(400 / 1.07, abs=2.0)


def grey(widget: QWidget) -> np.ndarray:
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    wide = image.bytesPerLine()
    return np.array(image.constBits(), np.uint8).reshape(-1, wide)[:, : image.width()].astype(int)


def test_past_the_cap_shows_without_colour(bar: CapBar) -> None:
    bar.show_costs(sums(30000, 0, 0), Measures())
    over = grey(bar)
    bar.show_costs(sums(30000, 0, 0, None), Measures())
    plain = grey(bar)
    x0, x1 = 400 * 26000 / (1.07 * 30000), 400 / 1.07
    past = slice(round(x0) + 4, round(x1) - 4)
    differing = np.abs(over[7:19, past] - plain[7:19, past]) > 60
    assert differing.mean() > 0.2
    before = slice(2, round(x0) - 4)
    assert not (np.abs(over[7:19, before] - plain[7:19, before]) > 60).any()


def test_spent_promised_and_planned_differ_without_colour(bar: CapBar) -> None:
    bar.show_costs(sums(8000, 8000, 8000, None), Measures())
    image = grey(bar)[8:18]
    third = 400 / 1.07 / 3
    pieces = [image[:, round(i * third) + 4 : round((i + 1) * third) - 4] for i in range(3)]
    spreads = [piece.std() for piece in pieces]
    assert spreads[0] < 1
    assert spreads[1] > 30
    assert spreads[2] < 1
    assert abs(pieces[0].mean() - pieces[2].mean()) > 60
