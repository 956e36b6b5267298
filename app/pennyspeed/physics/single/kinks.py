"""Speeds at which a formula changes, where they have a closed form.

A grid point on each keeps every panel of the run smooth::

    F |----driver----.
      |               `-.  grip           o  kinks that depend on the air and the road alone:
      |    voltage       o-.                 they are linear in s = (v+w)|v+w|
      |  ----.___           `-.           x  kinks of motor, pack and controller: values of the
      |          `---x--.____  `-.           back-EMF E, and with tyre growth E -> v is a quadratic
      +----------------------`------ v

What is left, electrics meeting grip or driver, is searched for in
:mod:`pennyspeed.physics.single.top_speed`.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from pennyspeed.physics.car import Car
from pennyspeed.physics.electrics import (
    UNBOUNDED_POWER,
    Electrics,
    full_throttle_current,
    full_throttle_emfs,
    full_throttle_pack_current,
)
from pennyspeed.physics.elementwise import is_zero
from pennyspeed.physics.road import lift_road_force, resistances, tyre_road_force, weight_on_road
from pennyspeed.physics.roots import bracketed_zero

_SEARCHED = 1.0e-12
_OPEN_END = 50.0
"""How far the last, open stretch of road speeds is sampled [m/s]; only its slope matters."""


def growth_cap_speed(car: Car) -> float:
    """Speed from which the tyre grows no further [m/s]; infinite where it does not grow.

    >>> from types import SimpleNamespace
    >>> growth_cap_speed(SimpleNamespace(growth=0.01, growth_speed=20.0, growth_max=0.04))
    40.0
    """
    if car.growth <= 0.0:
        return math.inf
    return float(car.growth_speed * math.sqrt(car.growth_max / car.growth))


def speeds_of_emf(car: Car, emf: float) -> list[float]:
    """Speeds at which the back-EMF has a given value [m/s]; more than one if tyres double in size.

    E = v G/(k_v r(v)): below the growth cap a quadratic in v, above it a straight line.
    """
    if emf <= 0.0:
        return []
    cap = growth_cap_speed(car)
    rest_radius = 0.5 * car.tyre_diameter
    reach = emf * rest_radius * car.kv / car.gear_ratio
    if cap == math.inf:
        return [float(reach)]
    found = []
    curl = car.growth / (car.growth_speed * car.growth_speed)
    root = 1.0 - 4.0 * curl * reach * reach
    if root >= 0.0:
        root = math.sqrt(root)
        first = 2.0 * reach / (1.0 + root)
        second = (1.0 + root) / (2.0 * curl * reach)
        found = [float(one) for one in (first, second) if one <= cap]
    capped = float(reach * (1.0 + car.growth_max))
    if capped >= cap:
        found.append(capped)
    return found


def emf_kinks(car: Car, state: Electrics) -> list[float]:
    """Values of the back-EMF at which the electric limits change [V]; some may be out of reach.

    Freewheeling (I_v = 0); voltage, current and pack alone at the no-load current, where the gears'
    loss changes sides; voltage ↔ current; voltage ↔ pack (twice with a weak pack, R_p > R_m + R_c);
    current ↔ pack.
    """
    if not is_zero(state.reactance):
        return _emf_kinks_with_reactance(car, state)
    # plain floats by contract of the single car
    full, whole, pack = float(state.voltage), float(state.whole), float(state.pack)
    limit, burst = float(car.current_limit), float(car.pack_current_limit)
    still, rise = _no_load_line(car)

    found = [full, (full - still * whole) / (1.0 + rise * whole), full - whole * limit]
    found += _kinks_below_full_throttle(car, state)
    if state.bound_power < UNBOUNDED_POWER:
        found.append(full - whole * burst)
        if pack > 0.0:
            found.append(full - whole * (full / pack - burst))
    return found


def _kinks_below_full_throttle(car: Car, state: Electrics) -> list[float]:
    """Current and pack at the no-load current, and current ↔ pack [V]."""
    behind, bound, limit = state.behind_pack, state.bound_power, car.current_limit
    still, rise = _no_load_line(car)
    found = [float(limit - still) / rise] if rise > 0.0 else []
    if bound < UNBOUNDED_POWER:
        # (R_m+R_c) I_0² + E I_0 = P with I_0 = still + rise E
        square = behind * rise * rise + rise
        line = 2.0 * behind * still * rise + still
        rest = behind * still * still - bound
        if line > 0.0 or square > 0.0:
            root = math.sqrt(max(line * line - 4.0 * square * rest, 0.0))
            found.append(float(-2.0 * rest / (line + root)))
        if limit > 0.0:
            found.append(float(bound / limit - behind * limit))
    return found


def _no_load_line(car: Car) -> tuple[float, float]:
    """I_0 at rest [A], and its rise with the back-EMF [A/V]."""
    still = float(car.no_load_current * (1.0 - car.loss_speed_share))
    return still, float(car.no_load_current * car.loss_speed_share / car.no_load_voltage)


def _emf_kinks_with_reactance(car: Car, state: Electrics) -> list[float]:
    """The same where the winding has inductance: what has no closed form there is searched for."""
    full, bound = float(state.voltage), float(state.bound_power)
    still, rise = _no_load_line(car)
    found = [full, *map(float, full_throttle_emfs(state, car.current_limit))]

    def full_throttle(emf: float) -> tuple[float, float]:
        motor = full_throttle_current(state, emf)
        return float(motor), float(full_throttle_pack_current(state, emf, motor))

    def fall_to(current: Callable[[float], float]) -> None:
        at_rest = current(0.0)
        if at_rest > 0.0:
            found.append(bracketed_zero(current, 0.0, full, at_rest, current(full), _SEARCHED))

    fall_to(lambda emf: full_throttle(emf)[0] - still - rise * emf)
    if bound < UNBOUNDED_POWER:
        burst = float(car.pack_current_limit)
        fall_to(lambda emf: full_throttle(emf)[1] - burst)
        if state.pack > 0.0:
            # the larger root of the same power
            other = full / float(state.pack) - burst
            fall_to(lambda emf: full_throttle(emf)[1] - other)
    return found + _kinks_below_full_throttle(car, state)


def electric_kinks(car: Car, state: Electrics) -> list[float]:
    """Speeds of :func:`emf_kinks` and of the growth cap [m/s], unsorted."""
    found = [speed for emf in emf_kinks(car, state) for speed in speeds_of_emf(car, emf)]
    cap = growth_cap_speed(car)
    if 0.0 < cap < math.inf:
        found.append(cap)
    return found


def air_kinks(car: Car) -> list[float]:
    """Speeds at which the air changes its formula [m/s]: -w, and where lift takes all weight."""
    wind = float(car.head_wind)
    found = [-wind] if wind < 0.0 else []
    lift = -0.5 * car.air_density * car.frontal_area * (car.downforce_front + car.downforce_rear)
    if lift > 0.0:
        square = weight_on_road(car) / lift
        found.append(float(math.sqrt(square) - wind))
    return sorted(one for one in found if one > 0.0)


def road_kinks(car: Car) -> list[float]:
    """Speeds at which the grip changes, meets the driver or the resistances [m/s], unsorted.

    Between the :func:`air_kinks` every one of these road forces is linear in s = (v+w)|v+w|: tyre
    grip, wheel lift, resistances, and m a_drv + F_res, what the driver allows (motor and growth
    cancel when grip and driver are compared as accelerations). Their crossings are exact.
    """
    wind = float(car.head_wind)
    weight = weight_on_road(car)
    asked = car.mass * car.driver_acceleration

    def lines(speed: float) -> tuple[float, tuple[float, ...]]:
        air, rolling, resistance = resistances(car, weight, speed)
        tyre = tyre_road_force(car, weight, air, rolling)
        lift = lift_road_force(car, weight, air, rolling)
        relative = speed + wind
        gaps = (
            tyre - lift,
            tyre, lift,
            tyre - resistance - asked, lift - resistance - asked,
            tyre - resistance, lift - resistance,
            resistance + asked,
        )  # fmt: skip
        return relative * abs(relative), tuple(map(float, gaps))

    found = air_kinks(car)
    stations = [0.0, *found]
    stations.append(stations[-1] + _OPEN_END)
    last = len(stations) - 2
    here = lines(stations[0])
    for number in range(last + 1):
        there = lines(stations[number + 1])
        for low, high in zip(here[1], there[1], strict=True):
            if low == high or (number < last and (low > 0.0) == (high > 0.0)):
                continue
            share = low / (low - high)
            square = here[0] + share * (there[0] - here[0])
            speed = math.copysign(math.sqrt(abs(square)), square) - wind
            if speed > stations[number]:
                found.append(speed)
        here = there
    return found
