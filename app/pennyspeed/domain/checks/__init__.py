"""Checks: what stops the car, what to watch, and what is not known.

A check is one class that says everything of it: what it compares, for one car and for thousands
alike, its sentence and advice, the slots it concerns and the few words of a row. It stops or warns
where its limit is passed, says 'unknown' where a figure that it needs was never given, and never
calls that fine.
"""

from pennyspeed.domain.checks import currents, fit, limits, plan, ratings, road
from pennyspeed.domain.checks.check import Check
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.checks.outcome import SIGN_WORDS, Level, Outcome

CHECKS: tuple[Check, ...] = (
    fit.CellsOverController(),
    fit.GearModule(),
    fit.PinionBore(),
    fit.MeshDistance(),
    fit.MotorCan(),
    fit.MotorLength(),
    fit.PackBay(),
    ratings.ElectricalRpm(),
    fit.Connector(),
    road.CannotMove(),
    road.CannotStop(),
    ratings.MotorRpm(),
    ratings.TyreSpeed(),
    ratings.FreeSpin(),
    currents.CurrentController(),
    currents.CurrentMotor(),
    currents.CurrentPack(),
    limits.PackVoltage(),
    limits.MotorTemperature(),
    road.FrontLoad(),
    road.RearLoad(),
    road.Wheelie(),
    road.RoadShort(),
    road.Target(),
    road.Margin(),
    limits.PackFlat(),
    plan.Masses(),
    plan.Cap(),
    plan.Late(),
)
"""Every check, in the order in which answers list them: first what stops, then what to watch.

To add one:

1. write its class in the module of its subject (`fit`, `ratings`, `currents`, `limits`, `road`,
   `plan`), or in a new one: a `Limit` where one value is held against one limit, else a `Check`;
2. list it here;
3. test it fine, failing and not known in ``tests/domain/checks/test_checks.py``.
"""

BY_CODE = {check.code: check for check in CHECKS}
"""Every check by its code, in the order of `CHECKS`."""


def checked(facts: Facts) -> tuple[Outcome, ...]:
    """Return the outcome of every check, in the order of `CHECKS`."""
    return tuple(check.outcome(facts) for check in CHECKS)


__all__ = ["BY_CODE", "CHECKS", "SIGN_WORDS", "Check", "Facts", "Level", "Outcome", "checked"]
