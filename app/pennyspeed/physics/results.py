"""What the physics answers, in SI: frozen values that explain themselves."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.physics.car import FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class PowerBooks:
    """Where the power goes at one speed or along a curve [W].

    The first is the sum of the others.
    """

    source: float | FloatArray
    """What the cells' open-circuit voltage gives, U·I_p."""
    pack: float | FloatArray
    controller: float | FloatArray
    winding: float | FloatArray
    no_load: float | FloatArray
    gears: float | FloatArray
    rolling: float | FloatArray
    drag: float | FloatArray
    grade: float | FloatArray
    acceleration: float | FloatArray


@dataclass(frozen=True, slots=True)
class Curve:
    """The run under power from rest to 99 % of the balance speed, second pass.

    Arrays of one length.
    """

    speed: FloatArray
    """[m/s], rising."""
    time: FloatArray
    distance: FloatArray
    current: FloatArray
    """Of the motor [A]."""
    pack_current: FloatArray
    motor_speed: FloatArray
    """[rad/s]"""
    force: FloatArray
    """At the wheel [N]."""
    resistance: FloatArray
    """Drag, rolling and grade together [N]."""
    limit: IntArray
    """Codes of :data:`pennyspeed.physics.car.LIMIT_NAMES`."""


@dataclass(frozen=True, slots=True)
class RoadTrace:
    """Speed over the road in hand: under power to the lift point, then braking to rest."""

    distance: FloatArray
    """[m], rising from 0 to the stop."""
    speed: FloatArray
    """[m/s]"""


@dataclass(frozen=True, slots=True)
class LateLift:
    """What a throttle that goes off later than planned does, under full demand until then."""

    late: float
    """[s]"""
    stop_at: float
    """Where the car stands still [m]."""
    road_left: float
    """Behind the stop [m]; below 0 where the car leaves the road."""
    end_speed: float
    """At the road's end [m/s]; 0 where it stops before."""
    trace: RoadTrace
    """From the lift point as planned to the stop."""


@dataclass(frozen=True, slots=True)
class AtTop:
    """The car at its top speed on an endless road, starting state."""

    motor_speed: float
    """[rad/s]"""
    current: float
    """Of the motor [A]."""
    pack_current: float
    power: float
    """What leaves the pack's terminals [W]."""
    limit: int
    front_load_share: float
    """Front-axle load over its value at rest."""
    rear_load_share: float
    books: PowerBooks


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """One car's answer. Speeds 0 and `None` elsewhere mean that it cannot move."""

    standstill_current: float
    """U/R at rest, starting state, before any limit [A]."""
    top_speed: float
    """[m/s]; 0 where the car cannot move at the starting state."""
    at_top: AtTop | None

    balance_speed: float = 0.0
    """Top speed in the state that the second pass holds [m/s]; 0 where it cannot move."""
    road_speed: float = 0.0
    """Highest speed that the road allows with braking and its reserve [m/s]."""
    road_motor_speed: float = 0.0
    """Of the motor at that speed [rad/s]."""
    marker_at: float = 0.0
    """Where the driver decides to lift, the reaction time before the lift point [m]."""
    lift_at: float = 0.0
    """Where the throttle must be off [m]."""
    stop_distance: float = 0.0
    """From the lift point to rest [m]."""
    late: LateLift | None = None
    """Half a second late; None where no road is left to drive."""
    least_front_share: float | None = None
    """Least front-axle load up to the lift point, over its value at rest."""
    least_deceleration: float | None = None
    """Least braking deceleration from the road speed down to rest, before the floor of
    `REST_MARGIN` [m/s^2]; None where the car does not move."""
    time_to_top: float | None = None
    """From rest to 99 % of the balance speed [s]."""
    peak_current: float | None = None
    """Largest motor current up to the lift point, changes of limit included [A]."""
    charge_used: float = 0.0
    """From the pack up to the lift point, second pass [A s]."""
    first_pass_charge: float
    """The same on the first pass [A s]."""
    motor_rise: float = 0.0
    """[K] up to the lift point, second pass."""
    lowest_cell_voltage: float | None = None
    """Under load, up to the lift point [V]."""
    asked_motor_current: float | None = None
    """Largest that voltage, grip and driver alone would ask for up to the lift speed [A]."""
    asked_pack_current: float | None = None
    held_state_of_charge: float
    """What the second pass holds throughout."""
    held_motor_temperature: float
    """[°C]"""
    pack_runs_flat: bool
    """The first pass needs more charge than the pack holds."""
    curve: Curve | None = None
    trace: RoadTrace | None = None


@dataclass(frozen=True, slots=True)
class BatchPrediction:
    """Many cars' answers; arrays of shape (n,), meanings as in :class:`Prediction`.

    All of them within 0.1 % of the single car's.
    """

    top_speed: FloatArray
    balance_speed: FloatArray
    road_speed: FloatArray
    lift_at: FloatArray
    stop_distance: FloatArray
    charge_used: FloatArray
    motor_rise: FloatArray
    held_state_of_charge: FloatArray
    held_motor_temperature: FloatArray
    general_path: FloatArray
    """True where the car left the fast path for the general one."""
