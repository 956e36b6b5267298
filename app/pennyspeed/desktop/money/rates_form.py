"""The form of exchange rates: what other currencies were worth on which day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money.money_fields import iso, plain, read_amount, read_currency
from pennyspeed.desktop.money.money_form import MoneyForm, field_row
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.topline.build_fields import read_day
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.days import say_day
from pennyspeed.domain.money.orders import Rate
from pennyspeed.services.money.line_changes import LineChange


class RatesForm(MoneyForm):
    """Every rate of the build, each to be typed anew or emptied, and one more."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._rates: tuple[Rate, ...] = ()

    def edit(self, build: Build, today: date | None = None) -> None:
        """Show the rates of a build, the one that is missing first."""
        self._rates = build.rates
        measures = self._session.bench.measures
        used = [line.currency for line in build.lines] + [one.currency for one in build.orders]
        known = {rate.currency for rate in build.rates}
        missing = [code for code in used if code not in ("", build.currency, *known)]
        such_as = "EUR" if build.currency == "USD" else "USD"
        worth = f"{build.currency} for one"
        rows: list[FormRow] = [
            field_row(
                f"rate {i}",
                f"{rate.currency} on {say_day(rate.on)}",
                f"{worth} {rate.currency}; empty it to take it away.",
                plain(rate.rate, measures),
            )
            for i, rate in enumerate(build.rates)
        ]
        rows += [
            field_row(
                "currency", "another currency", f"Three letters such as {such_as}.",
                missing[0] if missing else "", f"such as {such_as}",
            ),
            field_row("rate", "is worth", f"{worth} of it.", "", build.currency),
            field_row("on", "on the day", "Of that rate.", iso(today or date.today())),
            field_row("source", "as said by", "Where the rate is from.", "", "nobody noted"),
        ]  # fmt: skip
        about = f"what one unit of another currency is in {build.currency}"
        self.show_rows("Exchange rates", about, rows, can_remove=False, at="currency")

    def deed(self, build: Build) -> LineChange:
        measures, after, changed = self._session.bench.measures, build, []
        texts = {row.key: row.text.strip() for row in self.body.rows}
        for i, old in enumerate(self._rates):
            text, label = texts[f"rate {i}"], f"{old.currency} on {say_day(old.on)}"
            if not text:
                after = after.without_rate(old.currency, old.on)
                changed.append(old.currency)
            elif text != plain(old.rate, measures):
                rate = read_amount(text, label, measures)
                _check(rate > 0, label, text)
                after = after.with_rate(replace(old, rate=rate))
                changed.append(old.currency)
        if texts["rate"]:
            currency = read_currency(texts["currency"], build, "another currency")
            if not currency:
                raise BadInput(
                    "another currency", texts["currency"], "another one than the build's"
                )
            rate = read_amount(texts["rate"], "is worth", measures)
            _check(rate > 0, "is worth", texts["rate"])
            on = read_day(texts["on"], "on the day") or date.today()
            after = after.with_rate(Rate(currency, rate, on, texts["source"]))
            changed.append(currency)
        names = " and ".join(dict.fromkeys(changed)) or "nothing"
        return LineChange(after, f"rate of {names}", f"put back the rate of {names}")

    def remove(self) -> None:
        """Rates are taken away one by one: an empty row is none."""


def _check(is_fine: bool, place: str, text: str) -> None:
    if not is_fine:
        raise BadInput(place, text, "more than 0")
