"""Words for a book: its sums against the cap, what does not count, and what it would be."""

from __future__ import annotations

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.money.money import Money
from pennyspeed.services.money.bar_segments import WouldBe
from pennyspeed.services.money.money_words import NOT_COUNTED
from pennyspeed.services.money.status_circles import sums_by_circle


def left_text(found: Book, measures: Measures) -> str:
    """Return what is left of the cap, or by how much it is passed; "" without a cap."""
    if found.left is None:
        return ""
    text = f"{measures.money(found.left, False)} left"
    if found.left.minor < 0:
        text = f"{measures.money(-found.left, False)} over the cap"
    return f"{text} {found.left_out}".rstrip()


def would_be_text(would_be: WouldBe, measures: Measures) -> str:
    """Return the sum that would be, and what it would leave of the cap."""
    found = would_be.book
    text = f"{would_be.name} {measures.money(found.counted, False)}"
    left = left_text(found, measures).replace(" the cap", "") or found.left_out
    return f"{text}, {left}" if left else text


def uncounted_text(found: Book, measures: Measures) -> str:
    """Return what does not count toward the cap, by how sure it is; "" for nothing."""
    sums = found.sums.uncounted
    amounts = {"spent": sums.spent, "promised": sums.promised, "planned": sums.planned}
    told = [
        f"{word} {measures.money(found.money(amount), False)}"
        for word, amount in amounts.items()
        if amount
    ]
    return f"{NOT_COUNTED} {measures.money(found.uncounted)}: {', '.join(told)}" if told else ""


def sums_with_uncounted(found: Book, measures: Measures) -> list[tuple[str, str, str]]:
    """Return circle, word and amount of each sum, and of what does not count where there is any."""
    sums = sums_by_circle(found, measures)
    if found.uncounted.minor or any(not entry.counts for entry in found.entries):
        sums.append(("", NOT_COUNTED, measures.money(found.uncounted, False)))
    return sums


def sums_sentence(found: Book, measures: Measures) -> str:
    """Return every sum, all of it together, and what has no price."""
    told = [f"{word} {amount}" for _, word, amount in sums_with_uncounted(found, measures)]
    told.append(f"together {measures.money(found.counted)} {found.left_out}".rstrip())
    if found.unpriced:
        told.append(f"of unknown cost: {', '.join(found.unpriced)}")
    return "; ".join(told)


def cap_sentence(found: Book, measures: Measures, *others: str) -> str:
    """Return the sums against the cap, then what else is to be said."""
    texts = [f"{word} {amount}" for _, word, amount in sums_by_circle(found, measures)]
    texts.append(f"together {measures.money(found.counted)}")
    if found.cap is not None:
        texts += [f"cap {measures.money(found.cap)}", left_text(found, measures)]
    texts += filter(None, others)
    if found.unpriced:
        texts.append(f"without a price: {', '.join(found.unpriced)}")
    return "; ".join(texts) + "."


def costs_sentence(costs: Costs, measures: Measures, tried: Money | None) -> str:
    """Return the sums against the cap, and the whole with the part that is tried."""
    texts = [f"{word} {amount}" for _, word, amount in sums_by_circle(costs, measures)]
    texts.append(f"together {measures.money(costs.counted)}")
    if costs.cap is not None and costs.left is not None:
        texts.append(f"cap {measures.money(costs.cap)}")
        is_over = costs.left.minor < 0
        over = f"{measures.money(-costs.left)} over the cap"
        texts.append(over if is_over else f"{measures.money(costs.left)} left")
    if costs.left_out:
        texts[-1] += f" {costs.left_out}"
    if tried is not None:
        texts.append(f"with the part tried {measures.money(tried)}")
    return "; ".join(texts) + "."
