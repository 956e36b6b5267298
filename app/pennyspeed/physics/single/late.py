"""A driver who is late: where to decide, and what a lift later than planned does.

::

    v |              .--o==o             o  marker, reaction time before the lift
      |          .-'   :   |`.           o  the lift that is planned; its stop leaves the reserve
      |       .'       :   |  `  `.
      |    .'          :   |   `    `.   === full demand all the while, then the same braking
      |  .'            :   |    `     `.
      +-----------------------------'-|-'---- x
                                    end of the road
"""

from __future__ import annotations

import numpy as np

from pennyspeed.physics.braking import Braking
from pennyspeed.physics.results import LateLift, RoadTrace
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.single.run import Point, Run

_TRACE_LATE = np.linspace(0.0, 1.0, 24)
_TRACE_STOP = np.linspace(1.0, 0.0, 60)[1:]


def marker(run: Run, lift: Point) -> Point:
    """Where the driver decides, so that the throttle goes off at the lift; rest on a short run."""
    reaction = float(run.car.reaction)
    if reaction == 0.0:
        return lift
    return run.at_time(max(run.time_of(lift) - reaction, 0.0))


def late_lift(run: Run, lift: Point, stop: Braking, seconds: float) -> LateLift:
    """What comes of it when the throttle goes off later than planned [s], ≥ 0."""
    late = run.at_time(run.time_of(lift) + seconds)
    stop_at = late.distance + stop.distance(late.speed)
    left = float(run.car.road_length) - stop_at
    braking = late.speed * _TRACE_STOP
    places = lift.place + (late.place - lift.place) * _TRACE_LATE
    top = run.course.top_speed
    return LateLift(
        seconds=seconds,
        lift_at=late.distance,
        lift_speed=late.speed,
        stop_at=stop_at,
        road_left=left,
        end_speed=0.0 if left >= 0.0 else _speed_at_end(run, late, stop, -left),
        trace=RoadTrace(
            np.concatenate((run.distances(places), stop_at - stop.distances(braking))),
            np.concatenate((top - top * np.exp(-places), braking)),
        ),
    )


def _speed_at_end(run: Run, late: Point, stop: Braking, beyond: float) -> float:
    """Speed at the end of a road that the stop overruns by `beyond` [m]."""
    road = float(run.car.road_length)
    if late.distance >= road:
        return run.at_distance(road).speed
    most = stop.distance(late.speed) - beyond
    return bracketed_zero(
        lambda speed: stop.distance(speed) - beyond, 0.0, late.speed, -beyond, most, 1.0e-12
    )
