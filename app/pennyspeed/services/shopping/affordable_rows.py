"""Rows of what could still be bought: each slot's best part within what is left of the cap."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures, say_chance
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.units import KMH
from pennyspeed.services.table_rows import Cell, ColumnHead, TableRow

if TYPE_CHECKING:
    from pennyspeed.services.shelf.next_change import Change

EMPTY = "Nothing in the catalogue makes the car quicker for what is left."


def heads(build: Build | None, measures: Measures) -> tuple[ColumnHead, ...]:
    """Return the columns, in the person's unit of speed and the build's currency."""
    speed = measures.speed_unit.symbol
    currency = "" if build is None else build.currency
    beside = "Against the build as it is; (in brackets) what does not count."
    return (
        ColumnHead("slot", "Where it goes in."),
        ColumnHead("part", "The part that brings most there.", grows=True),
        ColumnHead(f"more {speed}", "Against the car as it is, on this road.", True),
        ColumnHead(speed, "On this road, with it.", True),
        ColumnHead(f"more {currency}", beside, True),
        ColumnHead("then left", "Of the cap, with it.", True),
        ColumnHead("chance", "Of the target, with it.", True),
    )


def affordable_rows(changes: Sequence[Change], measures: Measures) -> list[TableRow]:
    return [TableRow(change.parts[0].kind_key, _cells(change, measures)) for change in changes]


def _cells(change: Change, measures: Measures) -> tuple[Cell, ...]:
    part, left = change.parts[0], costs(change.build).left
    shown = measures.shown(KMH.from_si(change.gain), KMH)
    texts = [measures.money(change.cost, False)] if change.cost.minor else []
    if change.beside_cap.minor:
        # As the slots write what does not count toward the cap.
        texts.append(f"({measures.money(change.beside_cap, False)})")
    chance = "–" if change.chance is None else say_chance(change.chance)
    return (
        Cell(BY_KEY[part.kind_key].label),
        Cell(part.name, tone="strong"),
        Cell(measures.signed(shown, 1), tone="strong"),
        Cell(measures.number(measures.shown(KMH.from_si(change.speed), KMH), 0)),
        Cell(" ".join(texts) or measures.money(change.cost, False)),
        Cell("–" if left is None else measures.money(left, False)),
        Cell(chance),
    )


def cap_note(build: Build, measures: Measures) -> str:
    """Return how much may be spent."""
    found = costs(build)
    left, out = found.left, f" {found.left_out}" if found.left_out else ""
    if left is None:
        return "no cap is set, so that every price is within it"
    if left.minor < 0:
        return f"{measures.money(-left)} over the cap{out}: only what saves that much will do"
    return f"{measures.money(left)} left of the cap{out}; each stands for itself"
