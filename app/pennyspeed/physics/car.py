"""The car as the physics sees it: plain SI figures, for one car or for many at once.

Every figure is a number or an array of shape ``(n,)``; arrays broadcast, and a figure that does not
vary over a batch stays a number, which is also the fastest way to pass it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.floating]
IntArray: TypeAlias = NDArray[np.integer]
Floats: TypeAlias = float | FloatArray
Ints: TypeAlias = int | IntArray

COPPER_COEFFICIENT = 0.00393
"""Rise of copper's resistance per kelvin at 20 °C [1/K] (IEC 60028)."""

COPPER_REFERENCE_C = 20.0
"""Temperature at which a winding's resistance is given [°C] (IEC 60028)."""

NO_LIMIT = 1.0e6
"""Stands for a rating that is not known [A]: finite, so single precision never meets inf · 0."""

REAR, FRONT, ALL = 0, 1, 2
"""Codes of the driven axles."""

VOLTAGE, CURRENT, PACK, GRIP, DRIVER = range(5)
"""Codes of the limits, in the order in which ties are settled."""

LIMIT_NAMES = ("voltage", "current", "pack", "grip", "driver")
"""What each limit code is called; ``LIMIT_NAMES[code]``."""

REST_MARGIN = 0.05
"""Least deceleration that counts as being able to stop [m/s^2]."""


@dataclass(frozen=True, slots=True)
class Car:
    """One car, or a batch of cars, with the road and the weather it runs in. SI throughout.

    Surface factors are already in `grip` and `rolling`; a controller rating and a motor rating are
    already one `current_limit`; the cells are already one pack (`open_circuit_v` stays per cell, in
    the table of :mod:`pennyspeed.physics.pack`).
    """

    # Chassis and masses
    mass: Floats
    """Everything that moves [kg], > 0."""
    wheelbase: Floats
    """[m]"""
    cg_height: Floats
    """Height of the centre of gravity [m]."""
    front_share: Floats
    """Share of the weight on the front axle at rest, in (0, 1)."""
    driven: Ints
    """`REAR`, `FRONT` or `ALL`."""
    gear_ratio: Floats
    """Final drive ratio: motor turns for one turn of the wheel."""
    drivetrain_efficiency: Floats
    """In (0, 1]."""

    # Motor
    kv: Floats
    """Speed constant [rad/s per V]."""
    motor_resistance: Floats
    """Winding resistance at 20 °C [ohm]."""
    no_load_current: Floats
    """Measured at `no_load_voltage` [A]."""
    no_load_voltage: Floats
    """[V]"""
    loss_speed_share: Floats
    """Share of the no-load current that grows with speed, in [0, 1]."""
    rotor_inertia: Floats
    """[kg m^2]"""
    heat_capacity: Floats
    """[J/K]; infinite where neither it nor the motor's mass is known: the motor then stays as warm
    as it started."""

    # Electrics
    controller_resistance: Floats
    """[ohm]"""
    current_limit: Floats
    """Smaller of controller burst and motor peak rating [A]; `NO_LIMIT` if not known."""
    cells_series: Floats
    """Cells in series."""
    pack_resistance: Floats
    """All cells together at 20 °C [ohm]."""
    capacity: Floats
    """Charge of the full pack [A s]."""
    pack_current_limit: Floats
    """Burst C rating times capacity [A]; `NO_LIMIT` if not known."""

    # Tyres
    tyre_diameter: Floats
    """At rest [m]."""
    growth: Floats
    """Growth of the diameter at `growth_speed`, as a share."""
    growth_speed: Floats
    """[m/s]"""
    growth_max: Floats
    """Largest growth, as a share."""
    grip: Floats
    """Coefficient between tyre and this road."""
    rolling: Floats
    """Rolling resistance coefficient on this road."""
    wheel_inertia: Floats
    """All four together [kg m^2]."""

    # Body
    drag_coefficient: Floats
    frontal_area: Floats
    """[m^2]"""
    downforce_front: Floats
    """Downforce coefficient on the same area; + presses down."""
    downforce_rear: Floats

    # Road, weather, state
    air_density: Floats
    """[kg/m^3]"""
    head_wind: Floats
    """[m/s]; + slows the car."""
    slope: Floats
    """Angle of the road [rad]; + uphill."""
    state_of_charge: Floats
    """At the start, in [0, 1]."""
    motor_temperature: Floats
    """At the start [°C]."""
    road_length: Floats
    """[m], >= 0."""
    brake_deceleration: Floats
    """What the driver's brake reaches [m/s^2], >= 0."""
    driver_acceleration: Floats
    """What the driver allows [m/s^2], >= 0."""

    # Neutral unless given
    pole_pairs: Floats = 2.0
    inductance: Floats = 0.0
    """Of the motor's winding, between two leads [H]; 0 leaves its reactance out."""
    pack_temperature: Floats = 20.0
    """[°C]; `pack_resistance` is that at 20 °C."""
    reaction: Floats = 0.0
    """How late the thumb is, under full demand all the while [s], >= 0."""
    reserve: Floats = 0.0
    """Road that stays unused behind the stop [m], >= 0."""
