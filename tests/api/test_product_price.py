"""What a piece sells for: margin, markup and share of ingredients, tax, price endings, breaks, break-even."""

import re
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

import pytest

from bakehouse import BAKERY, TODAY, day
from harness import Client, enter, open_bakeries, place
from oracle_book import money, number, percent
from pricework import figure, leaves, open_shop, unsound
from test_product_cost import case


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_shop(owner)
    place(owner, "cafe", day(1), country_loaf=40, bun=60, baguette=30)


def preview(client, **body):
    answer = client.post("/prices/preview", body)
    assert answer.status == 200, answer
    return answer.body


# --- published cases ---


def test_markup_and_margin_of_one_price(owner):
    row = case("markup-margin")
    cost, price = re.match(r"cost (\d+), price (\d+)", row["given"]).groups()
    shown = preview(owner, cost_each=cost, price=price, with_tax=False)
    assert row["expected"] == f"markup {shown['markup_pct']:.0f} %; margin {shown['margin_pct']:.0f} %"
    for target in ({"markup_pct": 25}, {"margin_pct": 20}):
        back = preview(owner, cost_each=cost, target=target, with_tax=False)
        assert (Decimal(back["price"]), back["markup_pct"], back["margin_pct"]) == (Decimal(price), 25, 20)


def test_price_from_the_share_of_ingredients(owner):
    row = case("price-from-foodcost")
    cost, share = re.match(r"ingredient cost ([\d.]+), target food cost (\d+) %", row["given"]).groups()
    shown = preview(owner, cost_each="1.80", ingredients_each=cost, target={"ingredient_share_pct": int(share)}, with_tax=False)
    assert f"price {shown['price']}" == row["expected"]
    assert (shown["ingredient_share_pct"], shown["margin_pct"], shown["markup_pct"]) == (30, Decimal("43.75"), Decimal("77.7778"))


# --- money ---

# Of a currency with 0, 2 and 3 decimals by ISO 4217: a price in its smallest unit, and with an ending.
CURRENCIES = [("JPY", "123.4", {}, "309"), ("JPY", "123.4", {"step": "10"}, "310"), ("JPY", "123.4", {"step": "100", "ending": "98"}, "398"),
              ("EUR", "1.2341", {}, "3.09"), ("EUR", "1.2341", {"step": "0.05"}, "3.10"), ("EUR", "1.2341", {"step": "1", "ending": "0.95"}, "3.95"),
              ("EUR", "1.18", {"step": "1.00", "ending": "0.95"}, "2.95"), ("KWD", "0.12345", {}, "0.309"), ("KWD", "0.12345", {"step": "0.005"}, "0.310"),
              ("KWD", "0.12345", {"step": "0.250"}, "0.500"), ("EUR", "0", {}, "0.01"), ("EUR", "0.4", {}, "1.00")]


@pytest.fixture(scope="module")
def abroad(server):
    clients = {currency: Client(server, token) for currency, token in zip(("JPY", "EUR", "KWD"), open_bakeries(server.conninfo, 3))}
    for currency, client in clients.items():
        enter(client, {"/bakery": {**BAKERY, "currency": currency}, "/ingredients/flour": {"name": "Flour", "kind": "flour", "unit": "g"},
                       "/ingredients/flour/prices/2020-01-01": {"pack_g": 30000, "price": "37"},
                       "/products/loaf": {"name": "Loaf", "parts": [{"ingredient": "flour", "g": 1000}]}})
    return clients


@pytest.mark.parametrize("currency, cost, how, price", CURRENCIES)
def test_prices_stand_on_the_smallest_unit_of_the_currency_or_on_their_ending(abroad, currency, cost, how, price):
    """A margin of 60 % asks for 2.5 times the cost, rounded up to the list."""
    client = abroad[currency]
    shown = preview(client, cost_each=cost, target={"margin_pct": 60}, **how)
    assert shown["price"] == price and (Decimal(cost) == 0 or shown["margin_pct"] >= 60)
    enter(client, {"/price-lists/till": {"name": "Till", **how}})
    assert preview(client, cost_each=cost, target={"margin_pct": 60}, list="till") == shown
    assert client.delete("/price-lists/till").status == 204


@pytest.mark.parametrize("currency, places", [("JPY", 0), ("EUR", 2), ("KWD", 3)])
def test_costs_are_finer_than_the_smallest_unit(abroad, currency, places):
    enter(abroad[currency], {"/products/loaf/pricing": {"target": {"markup_pct": 0}}})
    cost, price = (abroad[currency].get(f"/products/loaf/{what}").body for what in ("cost", "price"))
    assert cost["cost_each"] == price["cost_each"] == "1.233333"
    assert price["list"] is None and price["with_tax"] and not price["set"]
    step = Decimal(1).scaleb(-places)
    assert Decimal(price["price"]) == Decimal("1.233333").quantize(step, ROUND_CEILING) and -Decimal(price["price"]).as_tuple().exponent == places


def test_tax_is_taken_out_exactly(owner):
    shown = preview(owner, cost_each="1.00", price="4.20", tax_pct=7, list="counter")
    net = money(Fraction("4.20") * 100 / 107)
    assert (Decimal(shown["net_price"]), shown["tax_pct"], shown["price"]) == (net, 7, "4.20")
    assert shown["margin_pct"] == percent((number(net) - 1) / number(net) * 100) and shown["markup_pct"] == percent((number(net) - 1) * 100)
    assert preview(owner, cost_each="1.00", price="4.20", tax_pct=7, list="trade")["net_price"] == "4.20", "told without tax"
    for tax in (0, 5.5, 19, 1000):
        for target in ({"margin_pct": 33.3333}, {"markup_pct": 150}, {"ingredient_share_pct": 12.5}):
            for body in ({"step": "0.000001"}, {"step": "0.05"}):
                shown = preview(owner, cost_each="0.987654", ingredients_each="0.345678", tax_pct=tax, target=target, list="counter", **body)
                least = {"margin_pct": Fraction("0.987654") / (1 - Fraction("0.333333")), "markup_pct": Fraction("0.987654") * Fraction(5, 2),
                         "ingredient_share_pct": Fraction("0.345678") * 8}[list(target)[0]]
                lower = Fraction(shown["price"]) - Fraction(body["step"])
                assert number(shown["net_price"]) >= least, "meets its target"
                assert number(money(lower / (1 + number(tax) / 100))) < least, "and the next lower price does not"


PREVIEWS = [({}, ["", "/cost_each"]), ({"cost_each": "1"}, [""]), ({"cost_each": "1", "price": "2", "target": {"margin_pct": 1}}, [""]),
            ({"cost_each": 1, "price": "2"}, ["/cost_each"]), ({"cost_each": "-1", "price": "2"}, ["/cost_each"]), ({"cost_each": "1", "price": "0"}, ["/price"]),
            ({"cost_each": "1", "target": {"margin_pct": 100}}, ["/target/margin_pct"]), ({"cost_each": "1", "target": {}}, ["", "/target"]),
            ({"cost_each": "1", "price": "2", "list": "gold"}, ["/list"]), ({"cost_each": "1", "price": "2", "ending": "0.95"}, ["/ending"]),
            ({"cost_each": "1", "price": "2", "step": "0.05", "ending": "0.95"}, ["/ending"]),
            ({"cost_each": "1", "price": "2", "tax_pct": -1, "ingredients_each": "x", "colour": 1}, ["/colour", "/ingredients_each", "/tax_pct"])]


@pytest.mark.parametrize("body, pointers", PREVIEWS)
def test_every_fault_of_a_preview_is_told(abroad, body, pointers):
    answer = abroad["EUR"].post("/prices/preview", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


# --- a product's price ---


def check_figures(shown, cost, ingredients):
    net = number(shown["net_price"])
    assert shown["margin_pct"] == percent((net - cost) / net * 100) and shown["markup_pct"] == percent((net - cost) / cost * 100)
    assert shown["ingredient_share_pct"] == percent(ingredients / net * 100)


@pytest.mark.parametrize("query", ["", f"date={day(1)}&"])
@pytest.mark.parametrize("code", ["country-loaf", "bun", "baguette"])
def test_the_price_in_force_or_the_proposed_one_with_what_it_earns(owner, query, code):
    price, cost = (owner.get(f"/products/{code}/{what}?{query}").body for what in ("price", "cost"))
    assert (price["cost_each"], price["ingredients_each"], price["date"]) == (cost["cost_each"], cost["ingredients_each"], cost["date"])
    each, ingredients = number(cost["cost_each"]), number(cost["ingredients_each"])
    assert (price["list"], price["with_tax"]) == ("counter", True), "the first by its code"
    assert price["set"] == (code != "baguette") and price["typical_pieces"] == cost["ordered"] and price["change"] is None
    for shown in [price, price["proposed"], *price["breaks"]]:
        check_figures(shown, each, ingredients)
    again = preview(owner, cost_each=cost["cost_each"], ingredients_each=cost["ingredients_each"], tax_pct=price["tax_pct"], target=price["target"], list="counter")
    assert {**again} == {**price["proposed"], "tax_pct": price["tax_pct"]}
    (kind, wanted), = price["target"].items()
    assert price["under_target"] == (price[kind] > wanted if kind == "ingredient_share_pct" else price[kind] < wanted)
    if not price["set"]:
        assert {name: price[name] for name in price["proposed"]} == price["proposed"] and price["breaks"] == []


@pytest.mark.parametrize("code", ["country-loaf", "bun", "baguette"])
@pytest.mark.parametrize("asked", ["", "&price=0.01"])
def test_why_a_price_opens_down_to_stored_facts(owner, code, asked):
    price, cost = owner.get(f"/products/{code}/price?why=1{asked}").body, owner.get(f"/products/{code}/cost?why=1").body
    why = price["why"]
    assert why["value"] == price["price"] and not unsound(why)
    assert sum(figure(leaf) for leaf in leaves(why)) == Decimal(price["price"])
    costs, earned, *tax = why["children"]
    assert figure(costs) == Decimal(cost["cost_each"]) and len(leaves(costs)) == sum(len(leaves(line)) for line in cost["lines"])
    assert figure(earned) == Decimal(price["net_price"]) - figure(costs) and (figure(earned) < 0 or not asked)
    assert sum(figure(part) for part in tax) == Decimal(price["price"]) - Decimal(price["net_price"])
    assert "why" not in owner.get(f"/products/{code}/price").body


def test_why_of_a_price_whose_cost_has_a_hole_is_not_told(owner):
    assert owner.get("/products/country-loaf/price?why=1&date=2019-12-31")["why"] is None


def test_a_larger_order_has_its_break(owner):
    prices = {pieces: owner.get(f"/products/country-loaf/price?pieces={pieces}")["price"] for pieces in (1, 19, 20, 1000000)}
    assert prices == {1: "4.20", 19: "4.20", 20: "3.80", 1000000: "3.80"}
    assert [(each["pieces"], each["price"]) for each in owner.get("/products/country-loaf/price")["breaks"]] == [(1, "4.20"), (20, "3.80")]


def test_each_list_has_its_price_and_each_day(owner):
    assert owner.get("/products/country-loaf/price?list=trade")["net_price"] == "2.95"
    path = f"/price-lists/trade/prices/country-loaf/{day(30)}"
    enter(owner, {path: {"breaks": [{"pieces": 1, "price": "3.95"}]}})
    found = [owner.get(f"/products/country-loaf/price?list=trade&date={day(n)}")["price"] for n in (29, 30, 31)]
    assert found == ["2.95", "3.95", "3.95"] and owner.get("/products/country-loaf/price?list=trade")["date"] == TODAY.isoformat()
    owner.delete(path)
    before = owner.get("/products/country-loaf/price?date=2019-12-31").body
    assert (before["set"], before["price"], before["cost_each"]) == (False, None, None), "neither price nor pack price was there yet"


def test_what_another_price_needs_in_volume_and_from_how_many_pieces_it_pays(owner):
    """Of a loaf's cost so much stays with fewer pieces: labour of mixes, batches and loads, heating, overhead, and what comes back of these."""
    cost = owner.get(f"/products/country-loaf/cost?date={day(1)}&why=1").body
    trees = {line["what"]: line for line in cost["lines"]}
    stays = [leaf for leaf in leaves(trees["labour"]) if "minutes a piece" not in leaf["what"] and leaf["what"] != "for each piece"]
    stays += [leaf for leaf in leaves(trees["energy"]) if leaf["what"].startswith("heating")] + leaves(trees["overhead"])
    fixed = sum(number(leaf["value"]) for leaf in stays)
    fixed += number(money(fixed * Fraction(4, 96)))
    variable = number(cost["cost_each"]) - fixed
    old = owner.get(f"/products/country-loaf/price?date={day(1)}").body
    for asked in ("4.20", "3.50", "5.00", "9.99", "1.00"):
        price = owner.get(f"/products/country-loaf/price?date={day(1)}&price={asked}").body
        net = number(price["net_price"])
        assert Decimal(price["price"]) == Decimal(asked) and price["set"] and price["proposed"] == old["proposed"]
        check_figures(price, number(cost["cost_each"]), number(cost["ingredients_each"]))
        pays = None if net <= variable else -(-fixed * 40 // (net - variable))
        assert price["break_even_pieces"] == pays
        if asked == "4.20":
            assert price["change"] is None
        else:
            volume = (number(old["net_price"]) - variable) / (net - variable) - 1 if net > variable else None
            assert price["change"] == {"volume_pct": None if volume is None else percent(volume * 100)}


@pytest.mark.parametrize("query, status", [("list=gold", 422), ("pieces=0", 422), ("pieces=1.5", 422), ("pieces=1000001", 422), ("price=0", 422), ("price=x", 422),
                                           ("price=1.0000001", 422), ("price=-1", 422), ("date=2027-02-30", 422), ("price=0.000001", 200), ("price=1000000000", 200)])
def test_the_query_is_checked(owner, query, status):
    assert owner.get(f"/products/country-loaf/price?{query}").status == status
    assert owner.get("/products/gold/price").status == 404
