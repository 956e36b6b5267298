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
    """What comes of it when the throttle goes off later than planned, full demand until then."""

    seconds: float
    """Later than planned [s]."""
    lift_at: float
    """Where the throttle goes off [m]; that may lie beyond the road."""
    lift_speed: float
    """[m/s]"""
    stop_at: float
    """Where the car stands [m], as if the road went on."""
    road_left: float
    """Behind the stop [m], below 0 where the road ends before it."""
    end_speed: float
    """At the road's end [m/s]; 0 where the car stands before it."""
    trace: RoadTrace
    """From the lift that was planned over this one to the stop."""


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
    """The same of the rear axle."""
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
    """Highest speed that the road allows with braking and reserve [m/s]; 0 where none is left."""
    road_motor_speed: float = 0.0
    """Motor speed then [rad/s]."""
    lift_at: float = 0.0
    """Where the throttle is off at the latest [m]."""
    marker_at: float = 0.0
    """Where the driver decides, the reaction time before [m]; 0 where the run is shorter."""
    marker_speed: float = 0.0
    """[m/s] there."""
    late: LateLift | None = None
    """The throttle off half a second later than planned; None where no road is left to drive."""
    stop_distance: float = 0.0
    """From the lift point to rest [m]."""
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
    least_front_share: float | None = None
    """Least front-axle load under full demand up to the lift point, over its value at rest."""
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
