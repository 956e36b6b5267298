"""The terms of the trade, each explained once: a sentence, and the formula where there is one.

What a field of a part means stands with the field, in :mod:`pennyspeed.domain.kinds`; here stands
what belongs to no single part, and the formula behind a field that has one. To add a term, add it
to :data:`TERMS`.

The formulas are those of :mod:`pennyspeed.physics`, where their sources are named.
"""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.parts.fields import Field


@dataclass(frozen=True, slots=True)
class Term:
    """One term."""

    name: str
    meaning: str
    """One sentence without its full stop."""
    formula: str = ""
    """To follow a colon, in the words that a person knows; "" where there is none."""
    fields: tuple[str, ...] = ()
    """``kind.key`` of the fields of the term whose own help lacks the formula."""

    @property
    def sentence(self) -> str:
        """The meaning with its formula, as one sentence."""
        return f"{self.meaning}: {self.formula}." if self.formula else f"{self.meaning}."


TERMS: tuple[Term, ...] = (
    Term(
        "final drive ratio",
        "Turns of the motor for one turn of the wheels",
        "spur teeth / pinion teeth × internal ratio",
        ("pinion.teeth", "spur.teeth"),
    ),
    Term(
        "roll-out",
        "How far the car goes for one turn of the motor; more is faster, and hotter",
        "π × tyre diameter / final drive ratio",
    ),
    Term(
        "Kv",
        "How fast a motor turns for each volt, without load",
        "no-load rpm = Kv × voltage",
        ("motor.kv_rpm_per_v",),
    ),
    Term(
        "C rating",
        "The current that a pack bears, told by its capacity",
        "current in A = C rating × capacity in Ah",
    ),
    Term(
        "module",
        "The size of a gear's teeth; gears of different module do not mesh",
        "module in mm = pitch diameter in mm / teeth",
    ),
    Term(
        "mesh centre distance",
        "How far the motor shaft stands from the spur's centre when the teeth mesh",
        "module × (pinion teeth + spur teeth) / 2",
        ("chassis.mesh_max_mm",),
    ),
    Term(
        "electrical rpm",
        "How fast the controller has to switch the motor's windings",
        "motor rpm × magnet poles / 2",
    ),
    Term(
        "no-load current",
        "What the motor draws while it turns nothing, lost in bearings, iron and air",
        "current that pushes the car = current drawn − no-load current",
        ("motor.no_load_current_a",),
    ),
    Term(
        "winding resistance",
        "What the copper puts in the current's way; it turns current into heat",
        "heat in W = current² × resistance",
        ("motor.resistance_mohm",),
    ),
    Term(
        "winding inductance",
        "What keeps the current from changing windings at once, which costs voltage at speed",
        "voltage lost = 3 / π × magnet poles / 2 × motor speed × inductance / 2 × current",
        ("motor.inductance_uh",),
    ),
    Term(
        "voltage sag",
        "How much voltage the pack loses under load",
        "current × cell resistance × cells in series / cells in parallel",
        ("pack.cell_resistance_mohm",),
    ),
    Term(
        "drag area",
        "What the air has to be pushed aside for; less is faster",
        "drag coefficient × frontal area; the air's pull is ½ × air density × drag area × speed²",
        ("body.drag_coefficient", "body.frontal_area_cm2"),
    ),
    Term(
        "grip",
        "How hard the tyres can push along the road before they spin",
        "largest push = grip × load on the driven tyres",
        ("tyres.grip",),
    ),
    Term(
        "rolling resistance",
        "The pull of the tyres that bend as they roll",
        "rolling coefficient × weight on the tyres",
        ("tyres.rolling_coefficient",),
    ),
    Term(
        "drivetrain efficiency",
        "The share of the motor's power that reaches the wheels",
        "power at the wheels / power at the motor shaft",
    ),
    Term("mass", "All that moves, pack and extras included"),
    Term("motor on this road", "How fast the motor turns at the speed that this road allows"),
    Term(
        "runs from one pack",
        "How many runs up to the lift point a full pack gives with a fifth left in it",
        "four fifths of the capacity / charge that one run takes, rounded down",
    ),
    Term("peak motor current", "The largest current in the motor's leads on the way"),
    Term(
        "motor warms by",
        "How much one run warms the motor if nothing cools it",
        "heat from its losses / heat capacity",
        ("motor.heat_capacity_j_per_k",),
    ),
    Term(
        "speed on this road",
        "The highest speed of a run from which the car still stops before the road ends",
    ),
    Term("likely range", "Eight of ten cars built from such figures end up in here"),
    Term("chance of the target", "How many of 100 cars built from such figures reach the target"),
    Term("held back by", "What would have to give first for the car to go faster"),
    Term(
        "lift point", "Where the driver has to let go of the throttle to stop before the road ends"
    ),
    Term("marker", "Where the driver decides to lift, the reaction time before the lift point"),
    Term("reserve", "Road behind the stop that is not to be used"),
    Term("cap", "The most that all parts that count may cost together"),
)

_BY_NAME = {term.name.casefold(): term for term in TERMS}
_BY_FIELD = {place: term for term in TERMS for place in term.fields}


def term(name: str) -> Term | None:
    """Return the term of that name, in whatever case; None where there is none."""
    return _BY_NAME.get(name.casefold())


def explain(name: str) -> str:
    """Return the sentence that explains a term, with its formula; KeyError where there is none.

    >>> explain("Roll-out").split(": ")[1]
    'π × tyre diameter / final drive ratio.'
    """
    return _BY_NAME[name.casefold()].sentence


def field_help(kind_key: str, field: Field) -> str:
    """Return what a field means, with the formula of its trade term.

    >>> from pennyspeed.domain.kinds import BY_KEY
    >>> motor = BY_KEY["motor"]
    >>> field_help("motor", motor.field("kv_rpm_per_v"))
    'Turns per minute for one volt, without load. Kv: no-load rpm = Kv × voltage.'
    >>> field_help("motor", motor.field("can_mm"))
    'Outside diameter of the motor.'
    """
    found = _BY_FIELD.get(f"{kind_key}.{field.key}")
    if found is None:
        return field.help
    name = found.name[0].upper() + found.name[1:]
    return f"{field.help} {name}: {found.formula}."
