"""The currency of a build: changed as one step, while every line keeps its amount and currency."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal, localcontext

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.book import PRECISION
from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate, rate_of

_RATE_STEP = Decimal("1e-9")
"""Rates are kept to nine decimals."""


class OtherCurrency(BadInput):
    """A cap was typed in another currency, and the build's amounts need a rate to follow it."""

    def __init__(self, place: str, value: str, cap: Money, home: str) -> None:
        super().__init__(place, value, f"an amount in {home}; the build's currency can be changed")
        self.cap = cap


def needs_rate(build: Build) -> bool:
    """Tell whether something beside the cap is worth nothing in a new currency without a rate."""
    lines = any(
        build.unit_price(line)[0] is not None and _currency_of(build, line) == build.currency
        for line in build.lines
    )
    orders = any(one.costs and not one.currency for one in build.orders)
    return lines or orders or bool(build.rates)


def missing_rates(build: Build, code: str) -> tuple[str, ...]:
    """Return the currencies of lines and orders of which no rate is known, without `code`."""
    used = [
        *(line.currency for line in build.lines if line.rate is None),
        *(one.currency for one in build.orders if one.rate is None),
    ]
    known = {"", code, build.currency, *(rate.currency for rate in build.rates)}
    return tuple(dict.fromkeys(one for one in used if one not in known))


def known_rate(build: Build, code: str) -> Decimal | None:
    """Return what one unit of the build's currency is in another one, as its rates have it."""
    found = rate_of(build.rates, code)
    return None if found is None else _kept(1 / found.rate)


def with_currency(
    build: Build, code: str, rate: Rate | None = None, cap: Money | None = None
) -> Build:
    """Return the build with its sums in another currency.

    Lines and orders keep their amounts, each in the currency that it had; the cap and the rates of
    other currencies are converted. A part that is made keeps what its recipe comes to now.

    Parameters
    ----------
    rate : Rate, optional
        Of the present currency, in the new one; needed where :func:`needs_rate` says so.
    cap : Money, optional
        In the new currency, in place of the converted one.
    """
    if code == build.currency:
        return build if cap is None else replace(build, cap=cap)
    worth = None if rate is None else rate.rate
    if cap is None and build.cap is not None and worth is not None:
        with localcontext(prec=PRECISION):
            cap = Money.of(build.cap.amount * worth, code)
    rates = [_converted(one, build.currency, worth) for one in build.rates if one.currency != code]
    after = replace(
        build,
        currency=code,
        cap=cap,
        lines=tuple(_line_after(build, line, code, worth) for line in build.lines),
        orders=tuple(_order_after(build, order, code, worth) for order in build.orders),
        rates=tuple(rates),
    )
    return after if rate is None or not needs_rate(build) else after.with_rate(rate)


def _currency_of(build: Build, line: Line) -> str:
    return build.unit_price(line)[1] or build.currency


def _line_after(build: Build, line: Line, code: str, worth: Decimal | None) -> Line:
    price, currency = build.unit_price(line)
    if price is None and line.refund is None and not line.currency:
        return line
    own = "" if currency == code else currency
    rate, on = (line.rate, line.rate_on) if own not in ("", build.currency) else (None, None)
    return replace(
        line, unit_price=price, currency=own, rate=_times(rate, worth), rate_on=on if rate else None
    )


def _order_after(build: Build, order: Order, code: str, worth: Decimal | None) -> Order:
    if not order.costs and not order.currency:
        return order
    currency = order.currency or build.currency
    own = "" if currency == code else currency
    rate, on = (order.rate, order.rate_on) if own not in ("", build.currency) else (None, None)
    return replace(order, currency=own, rate=_times(rate, worth), rate_on=on if rate else None)


def _converted(rate: Rate, through: str, worth: Decimal | None) -> Rate:
    return replace(rate, rate=_times(rate.rate, worth) or rate.rate, source=f"by way of {through}")


def _times(rate: Decimal | None, worth: Decimal | None) -> Decimal | None:
    return rate if rate is None or worth is None else _kept(rate * worth)


def _kept(rate: Decimal) -> Decimal:
    with localcontext(prec=PRECISION):
        return max(rate.quantize(_RATE_STEP), _RATE_STEP).normalize()
