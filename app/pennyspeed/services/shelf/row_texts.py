"""What the shelf says: its answers cell by cell, its order, and why it has no rows."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE, CHECKS
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.measures import NOT_KNOWN, Measures, percent
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import (
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    PRICE,
    SPEED,
)
from pennyspeed.services.shelf.answers import Answers
from pennyspeed.services.shelf.stock import Column, Stock
from pennyspeed.services.shelf.stocks import GOES_WITH, Pairs, most_beside

NOW = "now"
NO_FIGURE = "–"


def speed_shown(measures: Measures, speed: float) -> float:
    """Return a speed [m/s] in the unit in which it is shown."""
    return measures.shown(KMH.from_si(speed), KMH)


def _whole(answers: Answers, speed: float) -> float:
    """Return a speed [m/s] as a row and the verdict show it."""
    question = answers.question
    return question.measures.speed_beside(KMH.from_si(speed), question.build.target_kmh)


@dataclass(frozen=True)
class RowTexts:
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
        counts = answers.question.build.counts(self.stock.kind.key)
        if price != price and counts and not count:
            return NOT_KNOWN
        amounts = found.cost_change if key == CHANGE else found.left
        if amounts is None:
            return NOT_KNOWN
        minor = int(amounts[i])
        text = measures.money(found.money(minor), currency=False)
        return f"+{text}" if key == CHANGE and minor > 0 else text


def title_words(stock: Stock, build: Build | None = None) -> str:
    """Return the heading over the rows of a stock, and whether their prices count in a build."""
    title = stock.kind.plural
    if isinstance(stock, Pairs):
        title = f"{title} with {stock.other.kind.plural}"
    counts = stock.kind.counts if build is None else build.counts(stock.kind.key)
    return f"{title[0].upper()}{title[1:]} that could go in{'' if counts else ', not counted'}"


def count_words(shown: int, total: int, order: str) -> tuple[str, str]:
    """Return how many rows are there and their order, and the same in short."""
    count = f"{shown:,}" if shown == total else f"{shown:,} of {total:,}"
    return f"{count} on the shelf, {order}", count


def fitting_words(unfit: int, hidden: bool) -> str:
    """Return what the switch of what does not fit would do; "" where it would do nothing."""
    if not unfit and not hidden:
        return ""
    verb, do = "show" if hidden else "hide", "does" if unfit == 1 else "do"
    return f"{verb} {unfit:,} that {do} not fit"


def pairing_words(kind: Kind, paired: bool) -> str:
    """Return what the switch of pairs would do; "" where the kind has none."""
    if kind.key not in GOES_WITH:
        return ""
    other = BY_KEY[GOES_WITH[kind.key]]
    return f"{kind.plural} alone" if paired else f"with every {other.label}"


def order_words(column: Column, descending: bool) -> str:
    """Say in which order rows stand that a column sorts."""
    words = {
        SPEED: ("slowest first", "fastest first"),
        PRICE: ("cheapest first", "dearest first"),
        CHANCE: ("least likely first", "likeliest first"),
        "name": ("by name", "by name, last first"),
    }
    if column.key in words:
        return words[column.key][descending]
    return f"by {column.title}, largest first" if descending else f"by {column.title}"


def empty_words(stock: Stock, ones: int, total: int, typed: str) -> tuple[str, str, bool]:
    """Return why no row is there, what would help, and whether the demo parts would.

    `ones` counts the parts of the stock's kind on the shelf before they were paired, `total` the
    rows before `typed` narrowed them.
    """
    kind = stock.kind
    if total and typed:
        title = f"No {kind.label} on the shelf has “{typed}” in it"
        return title, f"Escape shows all {total:,} again.", False
    if total:
        title = f"None of {total:,} {kind.plural} fits"
        return title, "Ctrl+G shows them, each with its reason.", False
    if isinstance(stock, Pairs) and ones:
        other, others = stock.other.kind, len(stock.other)
        if not others:
            title = f"No {other.plural} on the shelf yet"
            return title, f"Ctrl+T shows the {kind.plural} alone.", False
        title = f"{ones:,} {kind.plural} with {others:,} {other.plural}"
        most = most_beside(others)
        return title, f"Type to narrow them to {most:,} {kind.plural} or fewer.", False
    help = "Write one down with Ctrl+Shift+N, or bring a file in with Ctrl+O."
    return f"No {kind.plural} on the shelf yet", help, True
