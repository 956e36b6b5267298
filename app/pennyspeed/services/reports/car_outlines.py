"""Shape of the car from above: every part as an outline in millimetres, from the build's figures.

The front axle stands at x = 0 and the front points left; y grows to the right-hand side of the car.
Wheelbase, tyres, motor, pack, its bay and the gears are to scale. Gears are laid flat, so that
their mesh shows. What no figure gives (track, plate, body, electronics) is in usual proportion to
the wheelbase.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from pennyspeed.domain.builds import Build
from pennyspeed.services.reports.part_room import number_of, size_of

USUAL_WHEELBASE = 260.0
TRACK_SHARE = 0.76
"""Outside width over wheelbase: common practice, no source."""
TYRE_WIDTH_SHARE = 0.42


class Look(Enum):
    """How an outline is painted."""

    BODY = "body"
    PLATE = "plate"
    SOLID = "solid"
    PACK = "pack"
    BAY = "bay"
    BOX = "box"
    AXLE = "axle"
    EXCESS = "excess"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its corner and size, its corners rounded by a radius."""

    x: float
    y: float
    long: float
    wide: float
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle by its centre."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline of straight lines."""

    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points (x, y), and along curves to (control x, control y, x, y)."""

    points: tuple[tuple[float, ...], ...]


Shape: TypeAlias = Box | Circle | Polygon | Curve


@dataclass(frozen=True, slots=True)
class Outline:
    """One piece of the drawing, back to front in the list.

    Attributes
    ----------
    slot : str
        The slot it belongs to.
    there : bool
        False where the slot is empty; the outline is then a usual size.
    """

    slot: str
    look: Look
    shapes: tuple[Shape, ...]
    there: bool = True


def outlines(build: Build) -> list[Outline]:
    """Return the drawing of a build."""
    return _Car(build).outlines


class _Car:
    def __init__(self, build: Build) -> None:
        self.build = build
        self.outlines: list[Outline] = []
        self.base = number_of(build.part("chassis"), "wheelbase_mm") or USUAL_WHEELBASE
        self.half = self.base * TRACK_SHARE / 2
        self.unit = self.base / USUAL_WHEELBASE
        """Grows what has no figure with the car."""
        self.tyre = number_of(build.part("tyres"), "diameter_mm") or 64.0 * self.unit
        self.tyre_width = self.tyre * TYRE_WIDTH_SHARE
        self.inside = self.half - self.tyre_width - 4 * self.unit
        self._body()
        self._plate()
        self._axles_and_tyres()
        self._pack()
        self._drive()
        self._electronics()

    def _add(self, slot: str, look: Look, *shapes: Shape) -> None:
        there = slot == "extras" or self.build.part(slot) is not None
        self.outlines.append(Outline(slot, look, shapes, there))

    def _body(self) -> None:
        front, rear = -0.3 * self.base, 1.38 * self.base
        side = self.half + 6 * self.unit
        nose, tail = front + 0.32 * self.base, rear - 0.25 * self.base
        points = (
            (rear, -side * 0.94),
            (rear, side * 0.94),
            (rear - 0.1 * self.base, side, tail, side),
            (nose, side),
            (front, side * 0.95, front, side * 0.45),
            (front, -side * 0.45),
            (front, -side * 0.95, nose, -side),
            (tail, -side),
            (rear - 0.1 * self.base, -side, rear, -side * 0.94),
        )
        self._add("body", Look.BODY, Curve(points))

    def _plate(self) -> None:
        base, wide, nose, tail = self.base, self.inside, 0.42 * self.inside, 0.62 * self.inside
        half = (
            (-0.16 * base, nose),
            (-0.06 * base, nose),
            (0.07 * base, wide),
            (0.72 * base, wide),
            (0.86 * base, tail),
            (1.22 * base, tail),
        )
        points = [(x, -y) for x, y in half] + [(x, y) for x, y in reversed(half)]
        self._add("chassis", Look.PLATE, Polygon(tuple(points)))

    def _axles_and_tyres(self) -> None:
        axle = 4 * self.unit
        for x in (0.0, self.base):
            self._add("chassis", Look.AXLE, Box(x - axle / 2, -self.half, axle, 2 * self.half))
        tyres = [
            Box(x - self.tyre / 2, y, self.tyre, self.tyre_width, 0.09 * self.tyre)
            for x in (0.0, self.base)
            for y in (-self.half, self.half - self.tyre_width)
        ]
        self._add("tyres", Look.SOLID, *tyres)

    def _pack(self) -> None:
        """The pack starts at the front of its bay; what is too much sticks out behind, outwards."""
        x, y = 0.13 * self.base, 0.05 * self.inside
        size, bay = (
            size_of(self.build.part("pack"), "size_mm"),
            size_of(self.build.part("chassis"), "pack_bay_mm"),
        )
        usual = bay or (138.0 * self.unit, 46.0 * self.unit, 28.0)
        long, wide, _ = size or usual
        self._add("pack", Look.PACK, Box(x, y, long, wide, 3 * self.unit))
        if bay is None:
            return
        self._add("chassis", Look.BAY, Box(x, y, bay[0], bay[1]))
        if size is None:
            return
        if long > bay[0]:
            self._add("pack", Look.EXCESS, Box(x + bay[0], y, long - bay[0], wide))
        if wide > bay[1]:
            self._add("pack", Look.EXCESS, Box(x, y + bay[1], long, wide - bay[1]))

    def _drive(self) -> None:
        """The spur at the driven end, the pinion meshing, the motor before it."""
        chassis, motor = self.build.part("chassis"), self.build.part("motor")
        module = (
            number_of(self.build.part("spur"), "module_mm")
            or number_of(self.build.part("pinion"), "module_mm")
            or 0.8
        )
        spur = (number_of(self.build.part("spur"), "teeth") or 54.0) * module / 2
        pinion = (number_of(self.build.part("pinion"), "teeth") or 24.0) * module / 2
        can = number_of(motor, "can_mm") or 36.0 * self.unit
        long = number_of(motor, "length_mm") or 52.0 * self.unit
        y = -0.05 * self.inside - max(can / 2, min(spur, 0.5 * self.inside))
        ratio = number_of(chassis, "internal_ratio") or 1.0
        # Without further gears the spur sits on the axle, otherwise on a shaft before it.
        spur_x = self.base if ratio <= 1.0 else self.base - spur - 6 * self.unit
        pinion_x = spur_x - spur - pinion
        end = pinion_x - pinion - 4 * self.unit
        shaft = 2.5 * self.unit
        self._add("motor", Look.AXLE, Box(end, y - shaft, pinion_x - end, 2 * shaft))
        self._add("motor", Look.SOLID, Box(end - long, y - can / 2, long, can, 4 * self.unit))
        for slot, x, radius in (("spur", spur_x, spur), ("pinion", pinion_x, pinion)):
            self._add(slot, Look.BOX, Circle(x, y, radius), Circle(x, y, 3 * self.unit))
        room, longest = (
            number_of(chassis, "motor_can_mm"),
            number_of(chassis, "motor_length_max_mm"),
        )
        if motor is not None and room is not None and can > room:
            much = (can - room) / 2
            for edge in (y - can / 2, y + can / 2 - much):
                self._add("motor", Look.EXCESS, Box(end - long, edge, long, much))
        if motor is not None and longest is not None and long > longest:
            much = long - longest
            self._add("motor", Look.EXCESS, Box(end - long, y - can / 2, much, can))
        self.motor_front = end - long

    def _electronics(self) -> None:
        left, gap = 0.13 * self.base, 5 * self.unit
        right = self.motor_front - gap
        long, wide = 36 * self.unit, 34 * self.unit
        top = -0.92 * self.inside
        self._add("controller", Look.BOX, Box(left, top, long, wide, 3 * self.unit))
        side = 17 * self.unit
        x, y = left + long + gap, top
        for _ in self.build.extras:
            if x + side > right:
                x, y = left + long + gap, y + side + gap
                if x + side > right or y + side > 0:
                    break
            self._add("extras", Look.BOX, Box(x, y, side, side, 2 * self.unit))
            x += side + gap
