"""What the shelf's answers say, cell by cell."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pennyspeed.domain.checks import BY_CODE, CHECKS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import CHANCE, CHANGE, CHECK, GAIN, LEFT, SPEED
from pennyspeed.services.shelf.stock import NOT_KNOWN, Stock

if TYPE_CHECKING:
    from pennyspeed.desktop.shelf.shelf_answers import Answers

NOW = "now"
NO_FIGURE = "–"


def percent(chance: float) -> str:
    """Return a chance in percent; never a certainty that the draws do not carry.

    >>> percent(0.124), percent(0.0), percent(1.0)
    ('12', '<1', '>99')
    """
    if chance < 0.005:
        return "<1"
    return ">99" if chance > 0.995 else f"{100 * chance:.0f}"


def speed_shown(measures: Measures, speed: float) -> float:
    """Return a speed [m/s] in the unit in which it is shown."""
    return measures.shown(KMH.from_si(speed), KMH)


def _whole(answers: Answers, speed: float) -> float:
    """Return a speed [m/s] as a row and the verdict show it."""
    question = answers.question
    return question.measures.speed_beside(KMH.from_si(speed), question.build.target_kmh)


@dataclass(frozen=True)
class Texts:
    """The words of a stock's rows beside a build.

    Attributes
    ----------
    inside : Counter
        Which rows are in the build, and how often.
    currency : str
        Of the build.
    rates : tuple of Rate
        The build's.
    """

    stock: Stock
    inside: Counter[int]
    currency: str
    rates: tuple[Rate, ...] = ()

    def of_answer(self, answers: Answers, key: str, i: int) -> str:
        """Return what the car would do with a row, in words."""
        measures = self.stock.measures
        if key == CHECK:
            check = answers.checks.get(i)
            if check is not None:
                return BY_CODE[check.code].brief(check, measures)
            return CHECKS[int(answers.concern.check[i])].in_general(answers.level(i))
        speed = float(answers.speed[i])
        if speed != speed:
            return NO_FIGURE
        if key == SPEED:
            return measures.number(_whole(answers, speed))
        if key == GAIN:
            if i in self.inside and not self.stock.kind.many:
                return NOW
            if answers.now != answers.now:
                return NO_FIGURE
            # Of the figures as they stand there, or 134 − 118 might read 15.
            return measures.signed(_whole(answers, speed) - _whole(answers, answers.now))
        if not answers.has_band[i]:
            return ""
        if key == CHANCE:
            return percent(float(answers.chance[i]))
        low, high = (speed_shown(measures, float(v[i])) for v in (answers.p10, answers.p90))
        return f"{measures.number(low)} to {measures.number(high)}"

    def of_price(self, i: int) -> str:
        """Return a row's price."""
        minor = self.stock.prices(self.currency, self.rates)[i]
        measures = self.stock.measures
        if minor == minor:
            return measures.money(Money(int(minor), self.currency), currency=False)
        price = self.stock.parts_at(i)[0].price
        if self.stock.names > 1 or price is None:
            return NOT_KNOWN
        return measures.money(price.amount)

    def of_money(self, answers: Answers, key: str, i: int) -> str:
        """Return what a row changes in cost, or what it leaves of the cap."""
        found, measures = answers.found, self.stock.measures
        count = self.inside.get(i, 0)
        if key == CHANGE and count:
            if not self.stock.kind.many:
                return NOW
            return "in" if count == 1 else f"{count} in"
        price = self.stock.prices(self.currency, self.rates)[i]
        if price != price and self.stock.kind.counts and not count:
            return NOT_KNOWN
        minor = found.cost_change[i] if key == CHANGE else None
        if key == LEFT:
            minor = None if found.left is None else found.left[i]
        if minor is None:
            return NOT_KNOWN
        text = measures.money(found.money(int(minor)), currency=False)
        return f"+{text}" if key == CHANGE and minor > 0 else text
