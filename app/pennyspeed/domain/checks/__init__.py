"""Checks: what stops the car, what to watch, and what is not known.

A check is a function of the :class:`~pennyspeed.domain.checks.facts.Facts`. It stops or warns where
its limit is passed, says 'unknown' where a figure that it needs was never given, and never calls
that fine.

To add one:

1. write its rule in `rules`: what is compared, for one car and for thousands alike;
2. write the function of the same name in the module of its subject (`fit`, `limits`, `road`,
   `plan`): one plain sentence that says by how much, and what would help;
3. list it in `CHECKS`;
4. test it fine, failing and not known in ``tests/domain/test_checks.py``.
"""

from pennyspeed.domain.checks import fit, limits, plan, road, rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Checker, Facts

CHECKS: tuple[Checker, ...] = (
    fit.cells_over_controller,
    fit.gear_module,
    fit.pinion_bore,
    fit.mesh_distance,
    fit.motor_can,
    fit.motor_length,
    fit.pack_bay,
    limits.electrical_rpm,
    fit.connector,
    road.cannot_move,
    road.cannot_stop,
    limits.motor_rpm,
    limits.tyre_speed,
    limits.current_controller,
    limits.current_motor,
    limits.current_pack,
    limits.pack_voltage,
    limits.motor_temperature,
    road.front_load,
    road.road_short,
    limits.pack_flat,
    plan.masses,
    plan.cap,
    plan.late,
)
"""Every check, in the order in which answers list them: first what stops, then what to watch."""


RULES: dict[str, rules.Rule] = {
    check.__name__.replace("_", "-"): getattr(rules, check.__name__) for check in CHECKS
}
"""The rule of every check by its code, in the order of `CHECKS`."""


def checked(facts: Facts) -> tuple[Check, ...]:
    """Return the outcome of every check, in the order of `CHECKS`."""
    return tuple(check(facts) for check in CHECKS)


__all__ = ["CHECKS", "RULES", "Check", "Checker", "Facts", "Level", "checked"]
