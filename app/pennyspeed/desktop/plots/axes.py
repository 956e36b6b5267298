"""Axes: the way from figures to pixels."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF

from pennyspeed.physics.car import FloatArray


@dataclass(frozen=True, slots=True)
class Scale:
    """Where figures stand: `frame` in pixels, its edges in the units shown."""

    frame: QRectF
    x_max: float
    y_min: float
    y_max: float

    @property
    def x_pixels(self) -> float:
        """Pixels for one unit of distance."""
        return self.frame.width() / self.x_max

    @property
    def y_pixels(self) -> float:
        """Pixels for one unit of speed."""
        return self.frame.height() / (self.y_max - self.y_min)

    def x(self, distance: float) -> float:
        """Return the pixel of a distance."""
        return self.frame.left() + distance * self.x_pixels

    def y(self, speed: float) -> float:
        """Return the pixel of a speed."""
        return self.frame.bottom() - (speed - self.y_min) * self.y_pixels

    def xs(self, distance: FloatArray) -> FloatArray:
        """Return the pixels of distances."""
        return self.frame.left() + distance * self.x_pixels

    def ys(self, speed: FloatArray) -> FloatArray:
        """Return the pixels of speeds."""
        return self.frame.bottom() - (speed - self.y_min) * self.y_pixels

    def distance(self, x: float) -> float:
        """Return the distance under a pixel."""
        return (x - self.frame.left()) / self.x_pixels
