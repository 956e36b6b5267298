"""Baskets: landed cost in whole minor units, what is refused and why, and what is saved."""

from __future__ import annotations

import random
from collections.abc import Hashable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.domain.builds import Build, Line
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import STALE_AFTER_DAYS, Supplier
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.baskets import Basket, basket
from pennyspeed.services.money.bids import NO_OFFER, SOLD_OUT, TOO_LATE, Want
from pennyspeed.services.money.shopping import basket_of, wants_of, with_basket

D = Decimal
TODAY = date(2027, 3, 1)


def price(amount: str, supplier: str, currency: str = "EUR", **more: object) -> Price:
    return Price(Money.of(amount, currency), TODAY, supplier, **more)  # type: ignore[arg-type]


def a_basket(
    offers: dict[Hashable, Sequence[Price]],
    suppliers: Sequence[Supplier] = (),
    wanted: Sequence[Want] | None = None,
    rates: Sequence[Rate] = (),
    currency: str = "EUR",
    arrive_by: date | None = None,
    leads: Leads | None = None,
) -> Basket:
    wants = [Want(key) for key in offers] if wanted is None else wanted
    return basket(wants, offers, suppliers, rates, currency, TODAY, arrive_by, leads)


SEED = Supplier("Seed box", postage=D("4.90"), free_from=D(50))
SHED = Supplier("Shed", postage=D("3.50"))


@pytest.mark.parametrize("in_stock", [1, 2])
def test_each_cheapest_takes_no_more_than_is_in_stock_but_all_of_it(in_stock: int) -> None:
    screws = [price("2", "Shed", in_stock=in_stock), price("3", "Seed box")]
    found = a_basket({"screws": screws}, [SEED, SHED], [Want("screws"), Want("screws")])
    # both from Shed: 4 + 3.50
    assert found.each_cheapest == (Money(750, "EUR") if in_stock == 2 else None)


def test_postage_is_paid_once_for_what_comes_together() -> None:
    found = a_basket(
        {
            "motor": [price("30", "Seed box"), price("29", "Shed")],
            "pinion": [price("6", "Seed box"), price("9.50", "Shed")],
        },
        [SEED, SHED],
    )
    # both from Seed box: 36 + 4.90; both from Shed: 38.50 + 3.50; each where cheapest: 35 + 8.40
    assert found.total == Money(4090, "EUR")
    assert [parcel.supplier for parcel in found.parcels] == ["Seed box"]
    assert found.each_cheapest == Money(4340, "EUR")
    assert found.saving == Money(250, "EUR")


def test_goods_duty_and_postage_are_told_apart_and_add_up() -> None:
    far = Supplier("Far", currency="USD", postage=D(12), duty_percent=D("19.5"))
    found = a_basket(
        {"motor": [price("40", "Far", "USD")]},
        [far],
        rates=[Rate("USD", D("0.925"), TODAY)],
        wanted=[Want("motor", D(2))],
    )
    # 80 USD = 74.00; 19.5 % of that 14.43; postage 12 USD = 11.10
    assert (str(found.goods), str(found.duty), str(found.postage)) == ("74.00", "14.43", "11.10")
    assert found.total == found.goods + found.duty + found.postage == Money(9953, "EUR")


@pytest.mark.parametrize(
    ("currency", "total"),
    [("EUR", 1485), ("JPY", 15), ("KWD", 14850)],  # ISO 4217: 2, 0, 3 digits
)
def test_every_currency_has_its_own_minor_unit(currency: str, total: int) -> None:
    found = a_basket({"x": [price("14.85", "Shed", currency)]}, currency=currency)
    assert found.total == Money(total, currency)


def test_free_postage_is_measured_in_the_supplier_s_currency() -> None:
    def sent(free_from: str) -> int:
        shop = Supplier("Far", currency="USD", postage=D(10), free_from=D(free_from))
        found = a_basket(
            {"x": [price("49.99", "Far", "USD")]}, [shop], rates=[Rate("USD", D("0.9"), TODAY)]
        )
        return found.postage.minor

    assert (sent("49.99"), sent("50.00")) == (0, 900)


def test_a_price_in_another_currency_counts_toward_free_postage_at_the_rates() -> None:
    def sent(amount: str) -> int:
        shop = Supplier("Far", currency="USD", postage=D(10), free_from=D(50))
        rates = [Rate("USD", D("0.8"), TODAY), Rate("GBP", D("1.2"), TODAY)]
        return a_basket({"x": [price(amount, "Far", "GBP")]}, [shop], rates=rates).postage.minor

    # 33.33 GBP are 39.996 EUR or 49.995 USD, which is 50.00; a penny less is 49.98
    assert (sent("33.33"), sent("33.32")) == (0, 800)


def test_what_is_refused_says_why() -> None:
    day = TODAY + timedelta(days=10)
    found = a_basket(
        {
            "nobody": [],
            "dollars": [price("5", "Shed", "USD")],
            "gone": [price("5", "Shed", in_stock=1)],
            "slow": [price("5", "Shed", lead_days=11)],
            "fine": [price("5", "Shed", lead_days=10, in_stock=2)],
        },
        [SHED],
        wanted=[Want(key, D(2)) for key in ("nobody", "dollars", "gone", "slow", "fine")],
        arrive_by=day,
    )
    reasons = [choice.why for choice in found.choices]
    assert reasons == [NO_OFFER, "no rate for USD", SOLD_OUT, TOO_LATE, ""]
    assert [choice.want.key for choice in found.unmet] == ["nobody", "dollars", "gone", "slow"]
    assert found.total == Money(1350, "EUR")


def test_what_past_orders_took_is_what_is_reckoned_with() -> None:
    offers: dict[Hashable, Sequence[Price]] = {"x": [price("5", "Shed"), price("9", "Seed box")]}
    shops = [replace(SHED, lead_days=3), replace(SEED, lead_days=3)]
    came = [("Shed", TODAY - timedelta(days=30), TODAY - timedelta(days=10))]
    day = TODAY + timedelta(days=7)
    in_time = a_basket(offers, shops, arrive_by=day)
    assert in_time.choices[0].price == offers["x"][0]
    learned = a_basket(offers, shops, arrive_by=day, leads=Leads.of(came, shops))
    assert learned.choices[0].price == offers["x"][1]


def test_two_lines_of_one_thing_share_the_stock() -> None:
    offers: dict[Hashable, Sequence[Price]] = {
        "tyre": [price("5", "Shed", in_stock=3), price("9", "Seed box")]
    }
    found = a_basket(offers, wanted=[Want("tyre", D(2)), Want("tyre", D("1.5"))])
    # three and a half do not fit: the dearer shop takes the smaller want
    assert [str(choice.goods) for choice in found.choices] == ["10.00", "13.50"]
    assert found.each_cheapest is None
    short = a_basket({"tyre": offers["tyre"][:1]}, wanted=[Want("tyre", D(2)), Want("tyre", D(2))])
    assert sorted(choice.why for choice in short.choices) == ["", SOLD_OUT]


def test_a_line_is_not_split_over_two_suppliers() -> None:
    found = a_basket(
        {"tyre": [price("5", "Shed", in_stock=2), price("5", "Seed box", in_stock=2)]},
        wanted=[Want("tyre", D(4))],
    )
    assert found.choices[0].why == SOLD_OUT


def test_an_old_price_is_taken_and_marked() -> None:
    old = Price(Money(500, "EUR"), TODAY - timedelta(days=STALE_AFTER_DAYS + 1), "Shed")
    edge = replace(old, on=TODAY - timedelta(days=STALE_AFTER_DAYS))
    found = a_basket({"old": [old], "edge": [edge]}, [SHED])
    assert [choice.want.key for choice in found.choices if choice.is_stale] == ["old"]


def test_the_newest_price_of_a_supplier_holds() -> None:
    before = Price(Money(100, "EUR"), TODAY - timedelta(days=1), "Shed")
    assert a_basket({"x": [price("5", "Shed"), before]}).total == Money(500, "EUR")


def test_a_supplier_nobody_described_sends_for_nothing_and_is_marked() -> None:
    found = a_basket({"x": [price("5", "Attic")]}, [SHED])
    assert [(parcel.supplier, parcel.is_known) for parcel in found.parcels] == [("Attic", False)]


def test_the_saving_is_against_what_the_lines_say_now() -> None:
    offers: dict[Hashable, Sequence[Price]] = {"x": [price("5", "Shed"), price("9", "Seed box")]}
    found = a_basket(offers, [SHED, SEED], wanted=[Want("x", now="Seed box")])
    # 9 + 4.90 against 5 + 3.50
    assert (found.as_now, found.saving_now) == (Money(1390, "EUR"), Money(540, "EUR"))
    assert a_basket(offers, wanted=[Want("x", now="Attic")]).saving_now is None
    assert a_basket(offers, wanted=[Want("x")]).saving_now is None


def test_nothing_wanted_costs_nothing() -> None:
    found = a_basket({})
    assert (found.total, found.choices, found.parcels) == (Money(0, "EUR"), (), ())


names = st.sampled_from(["Attic", "Cellar", "Seed box", "Shed"])
shops = st.lists(
    st.builds(
        Supplier,
        names,
        postage=st.decimals(0, 20, places=2),
        free_from=st.none() | st.decimals(0, 200, places=2),
        duty_percent=st.sampled_from([D(0), D("2.5"), D(19)]),
    ),
    unique_by=lambda one: one.name,
    max_size=4,
)
markets = st.dictionaries(
    st.integers(0, 4),
    st.lists(st.tuples(st.decimals(0, 100, places=2).map(str), names), max_size=4).map(
        lambda rows: [price(amount, name) for amount, name in rows]
    ),
    max_size=5,
)
quantities = st.integers(1, 5).map(D)


@settings(max_examples=60, deadline=None)
@given(markets, shops, st.lists(quantities, min_size=5, max_size=5), st.randoms())
def test_the_order_of_what_is_given_does_not_change_the_total(
    offers: dict[Hashable, Sequence[Price]],
    suppliers: list[Supplier],
    many: list[Decimal],
    draw: random.Random,
) -> None:
    wants = [Want(key, many[i]) for i, key in enumerate(offers)]
    found = a_basket(offers, suppliers, wants)
    assert found.total == found.goods + found.duty + found.postage
    assert found.saving is not None
    assert found.saving.minor >= 0

    def shuffled(things: Sequence[object]) -> list[object]:
        return draw.sample(list(things), len(things))

    # of two prices of one day the later one given holds, so that only whole offers change places
    newest = {key: {one.supplier: one for one in prices} for key, prices in offers.items()}
    turned = a_basket(
        {key: shuffled(list(newest[key].values())) for key in shuffled(list(offers))},  # type: ignore[misc]
        shuffled(suppliers),  # type: ignore[arg-type]
        shuffled(wants),  # type: ignore[arg-type]
    )
    assert turned.total == found.total
    assert {choice.want.key for choice in turned.unmet} == {c.want.key for c in found.unmet}


@settings(max_examples=60, deadline=None)
@given(markets, shops, st.integers(1, 500))
def test_who_is_dearer_in_everything_is_never_chosen(
    offers: dict[Hashable, Sequence[Price]], suppliers: list[Supplier], more: int
) -> None:
    found = a_basket(offers, suppliers)
    for other in {one.supplier for prices in offers.values() for one in prices}:
        own = next((shop for shop in suppliers if shop.name == other), Supplier(other))
        worse = replace(own, name="Worse", postage=own.postage + 1, free_from=None)
        dearer = {
            key: [
                *prices,
                *(
                    replace(one, amount=one.amount + Money(more, "EUR"), supplier="Worse")
                    for one in prices
                    if one.supplier == other
                ),
            ]
            for key, prices in offers.items()
        }
        again = a_basket(dearer, [*suppliers, worse])
        assert again.total == found.total
        assert "Worse" not in [parcel.supplier for parcel in again.parcels]


def planned(build: Build, *lines: Line) -> Build:
    return replace(build, lines=lines)


def test_what_is_planned_is_wanted_and_nothing_else() -> None:
    build = planned(
        a_build(),
        Line("motor", "Greenhouse 3100", D(2), D("64.50"), supplier="Shed"),
        Line("", "screws", D(3), D("0.335"), supplier="Attic"),
        Line("", "paint"),
        Line("pack", "Three by 3800", unit_price=D(41), status=Status.OWNED),
        Line("spur", "66 teeth", unit_price=D(8), fitted=False),
    )
    motor = replace(build.parts["motor"], id=7)
    build = replace(build, parts={**build.parts, "motor": motor})
    wants, offers = wants_of(build, TODAY, {7: [price("60", "Seed box")], 9: [price("1", "Shed")]})
    assert [(want.index, want.quantity, want.now) for want in wants] == [
        (0, D(2), "Shed"),
        (1, D(1), "Attic"),
        (2, D(1), ""),
    ]
    # the line's own price joins the catalogue's, and three screws at 0.335 are 1.01
    assert [str(one.amount) for one in offers[7]] == ["60.00", "64.50"]
    found = a_basket(offers, [SHED, SEED], wanted=wants)
    assert [choice.why for choice in found.choices] == ["", "", NO_OFFER]
    assert found.goods == Money(12101, "EUR")
    assert found.total == Money(12101, "EUR")  # free from 50 at Seed box


def test_a_build_takes_its_basket_over() -> None:
    order = Order("A-17", "Seed box")
    build = replace(
        planned(
            a_build(),
            Line("motor", "Greenhouse 3100", unit_price=D(70), order="A-17"),
            Line("pack", "Three by 3800", unit_price=D(41), supplier="Shed", order="ask Sam"),
        ),
        orders=(order,),
        rates=(Rate("USD", D("0.5"), TODAY),),
        event_date=TODAY + timedelta(days=9),
    )
    ids = {"motor": 7, "pack": 8}
    parts = {slot: replace(part, id=ids.get(slot)) for slot, part in build.parts.items()}
    build = replace(build, parts=parts)
    offers = {
        7: [price("90", "Far", "USD"), price("70", "Seed box"), price("1", "Slow", lead_days=10)],
        8: [price("41", "Shed")],
    }
    found = basket_of(build, offers, [SHED], TODAY)
    assert (found.total, found.as_now) == (Money(8950, "EUR"), Money(11450, "EUR"))
    taken = with_basket(build, found)
    motor, pack = taken.lines
    assert (motor.supplier, motor.unit_price, motor.currency) == ("Far", D(90), "USD")
    assert motor.order == ""
    assert pack == build.lines[1]
    # the book comes to the goods of the basket, and the next basket has nothing to change
    assert book(taken).counted + book(taken).uncounted == found.goods
    again = basket_of(taken, offers, [SHED], TODAY)
    assert again.saving_now == Money(0, "EUR")
    assert with_basket(taken, again) == taken
