"""What one piece costs: published cases, one loaf reckoned by hand, and what is not known."""

import datetime
import re
from decimal import Decimal
from fractions import Fraction

import pytest

from bakehouse import BAKERY, TODAY, day
from harness import Client, enter, open_bakeries, place
from oracle_book import money
from pricework import AT_PRICE, LOAF, PRICES, leaves, not_adding_up, open_shop
from test_check_values import rows


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_shop(owner)


@pytest.fixture(scope="module")
def others(server):
    """Owners of two more bakeries."""
    return [Client(server, token) for token in open_bakeries(server.conninfo, 2)]


@pytest.fixture(scope="module")
def trials(others):
    """A bakery of its own for published cases."""
    client = others[0]
    enter(client, {"/bakery": BAKERY, "/ingredients/flour": {"name": "Flour", "kind": "flour", "unit": "g"},
                   "/ingredients/water": {"name": "Water", "kind": "water", "unit": "g"},
                   "/ingredients/water/prices/2020-01-01": {"pack_g": 1, "price": "0"}})
    return client


def line(cost, kind):
    return next((Decimal(each["cost"]) for each in cost["lines"] if each["what"] == kind), None)


# --- published cases ---


def case(name):
    return next(row for row in rows("08_costing_inventory.csv") if row["case"] == name)


def test_portion_costs(trials):
    """Eggs by the piece, bacon by weight: the book rounds the egg first, we do not."""
    enter(trials, {"/ingredients/egg": {"name": "Egg", "kind": "packaging", "unit": "piece"},
                   "/ingredients/egg/prices/2020-01-01": {"pack_pieces": 12, "price": "2.00"},
                   "/ingredients/bacon": {"name": "Bacon", "kind": "other", "unit": "g"},
                   "/ingredients/bacon/prices/2020-01-01": {"pack_g": 500, "price": "3.75"},
                   "/products/plate": {"name": "Plate", "parts": [{"ingredient": "bacon", "g": 500 * 4 / 20}], "packaging": [{"ingredient": "egg", "pieces": 2}]}})
    cost = trials.get("/products/plate/cost").body
    eggs, bacon = case("cost-eggs"), case("cost-bacon")
    assert eggs["given"] == "eggs 2.00 a dozen, portion 2 eggs" and bacon["given"] == "500 g pack 3.75, 20 rashers, portion 4"
    book, exact = re.match(r"([\d.]+) .*/ ([\d.]+) exact", eggs["expected"]).groups()
    assert abs(line(cost, "packaging") - Decimal(exact)) < Decimal("0.00005") and abs(line(cost, "packaging") - Decimal(book)) <= Decimal(eggs["tolerance"])
    portion, plate = re.match(r"([\d.]+); plate bacon\+eggs ([\d.]+)", bacon["expected"]).groups()
    assert line(cost, "ingredients") == Decimal(portion) and abs(Decimal(cost["cost_each"]) - Decimal(plate)) <= Decimal("0.01")


@pytest.mark.parametrize("name, bought, usable, price, expected", [("yield-carrots", "1000", "800", "1.00", None), ("yield-striploin", "5200", "4600", "11.95", "13.51")])
def test_yield(trials, name, bought, usable, price, expected):
    """What is cut away as a loss on the way: the usable kilogram costs the bought one over the yield."""
    row = case(name)
    enter(trials, {"/ingredients/bought": {"name": name, "kind": "other", "unit": "g"},
                   "/ingredients/bought/prices/2020-01-01": {"pack_g": 1000, "price": price},
                   "/products/usable": {"name": name, "parts": [{"ingredient": "bought", "g": bought}], "bake_loss_pct": round(100 - 100 * float(usable) / float(bought), 4)}})
    cost = trials.get("/products/usable/cost").body
    share = Fraction(usable) / Fraction(bought)
    assert re.search(r"yield ([\d.]+) %", row["expected"]).group(1) == f"{float(100 * share):.4g}"
    assert abs(Decimal(cost["cost_per_kg"]) - money(Fraction(price) / share)) < Decimal("0.0001")
    if expected:
        assert expected in row["expected"] and abs(Decimal(cost["cost_per_kg"]) - Decimal(expected)) <= Decimal(row["tolerance"])


@pytest.mark.parametrize("row", rows("04_dough_needed.csv"), ids=lambda row: row["case"])
def test_a_baked_kilogram_costs_the_dough_that_it_needs(trials, row):
    enter(trials, {"/ingredients/flour/prices/2020-01-01": {"pack_g": 1000, "price": "1.00"},
                   "/products/baked": {"name": "Baked", "bake_loss_pct": Decimal(row["loss_fraction"]) * 100,
                                       "parts": [{"ingredient": "flour", "g": row["expected_dough_g"]}]}})
    cost = trials.get("/products/baked/cost").body
    assert abs(cost["baked_g"] - Decimal(row["baked_g"])) <= Decimal("0.01")
    assert Decimal(cost["cost_each"]) == money(Fraction(row["expected_dough_g"]) / 1000)
    assert abs(Decimal(cost["cost_per_kg"]) - money(Fraction(row["expected_dough_g"]) / Fraction(row["baked_g"]))) < Decimal("0.0001")
    assert abs(Decimal(cost["cost_per_100g"]) * 10 - Decimal(cost["cost_per_kg"])) < Decimal("0.00001")


# --- one loaf by hand ---


def test_a_loaf_reckoned_by_hand(owner):
    """40 loaves and nothing else: 41 with spare, 41 x 920 g / 0.985 in one batch, four loads of twelve."""
    place(owner, "cafe", day(20), country_loaf=40)
    cost = owner.get(f"/products/country-loaf/cost?date={day(20)}&why=1").body
    assert (cost["ordered"], cost["pieces"], cost["typical"], cost["left_out"], cost["missing"]) == (40, 41, False, [], [])
    hand = Fraction("24.50") / 60
    minutes = Fraction("12.5") + 4 + 41 * Fraction("0.75") + 4 * Fraction("6.5") + 41 * Fraction("0.5")
    assert cost["labour_minutes_each"] == Decimal(round(minutes / 40 * 10000)) / 10000
    flour, rye, water, salt = (Fraction(PRICES[f"/ingredients/{code}/prices/2020-01-01"]["price"]) / PRICES[f"/ingredients/{code}/prices/2020-01-01"]["pack_g"]
                               for code in ("bread-flour", "rye-flour", "water", "salt"))
    dough = Fraction(920, 174) * (90 * flour + 10 * rye + 72 * water + 2 * salt)
    watts = Fraction("0.31") / 60000
    expected = {"ingredients": dough, "handling": dough * (1 / Fraction("0.985") - 1), "spare": dough / Fraction("0.985") / 40,
                "packaging": Fraction("0.031") * Fraction(41, 40), "labour": minutes * hand / 40,
                "energy": (1500 * 15 + 2800 * 38 * 4 + 2800 * 60 * 3) * watts / 40,
                "delivery": Fraction(18, 240), "overhead": Fraction(4200, 21000) * minutes / 40}
    expected["unsold"] = sum(expected.values()) * Fraction(4, 96)
    found = {each["what"]: Decimal(each["cost"]) for each in cost["lines"]}
    assert list(found) == ["ingredients", "handling", "spare", "packaging", "labour", "energy", "delivery", "overhead", "unsold"]
    off = {kind: found[kind] - money(expected[kind]) for kind in expected}
    assert max(map(abs, off.values())) <= Decimal("0.000005"), off
    assert not not_adding_up(cost)
    bag = next(leaf for each in cost["lines"] if each["what"] == "packaging" for leaf in leaves(each))
    assert bag == {"what": "Paper bag", "value": "0.031", "missing": False, "quantity": 1, "unit": "piece", "children": [],
                   "rate": {"price": "31.00", "per": 1000, "unit": "piece", "from": "2020-01-01"}, "where": "/api/v1/ingredients/bag/prices/2020-01-01"}
    for each in cost["lines"]:
        for leaf in leaves(each):
            assert owner.get(leaf["where"]).status == 200, leaf


def test_what_two_products_share_is_shared(owner):
    """Preheating by minutes in the decks, a dough by weight: together they bear what is spent once."""
    enter(owner, {"/products/half-loaf": {**LOAF, "name": "Half loaf", "parts": [{"formula": "country", "g": 460}], "spare_pct": 0, "unsold_pct": 0},
                  "/products/whole-loaf": {**LOAF, "name": "Whole loaf", "spare_pct": 0, "unsold_pct": 0}})
    place(owner, "cafe", day(21), half_loaf=24, whole_loaf=12)
    costs = {code: owner.get(f"/products/{code}/cost?date={day(21)}&why=1").body for code in ("half-loaf", "whole-loaf")}
    total = sum(line(cost, "energy") * cost["ordered"] for cost in costs.values())
    spent = (1500 * 15 + 2800 * 38 * 3 + 2800 * 60 * 3) * Fraction("0.31") / 60000
    assert abs(total - money(spent)) < Decimal("0.0001")
    minutes = sum(cost["labour_minutes_each"] * cost["ordered"] for cost in costs.values())
    assert abs(minutes - (Decimal("16.5") + 36 * Decimal("1.25") + 3 * Decimal("6.5"))) < Decimal("0.01")
    half = next(leaf for each in costs["half-loaf"]["lines"] if each["what"] == "labour" for leaf in leaves(each) if leaf["what"].startswith("mix:"))
    assert abs(half["quantity"] * 24 - Decimal("6.25")) < Decimal("0.01"), "half of the dough"


# --- what is not known ---


def test_kinds_without_a_rate_are_left_out_and_named(owner):
    for rates, left in (({}, ["labour", "energy", "delivery", "overhead"]), ({"kwh": "0.31", "hand_hour": "20"}, ["delivery", "overhead"]),
                        ({"round": "18", "round_pieces": 240}, ["labour", "energy", "overhead"])):
        enter(owner, {f"/rates/{day(22)}": rates})
        cost = owner.get(f"/products/country-loaf/cost?date={day(22)}").body
        assert cost["left_out"] == left and cost["cost_each"] is not None and not {each["what"] for each in cost["lines"]} & set(left)
        assert cost["labour_minutes_each"] > 0
    owner.delete(f"/rates/{day(22)}")


def hole(owner, code, *names, query=""):
    """A cost with these holes: named, nowhere a plain number, and what is known still told."""
    cost = owner.get(f"/products/{code}/cost?why=1{query}").body
    assert [fact["what"] for fact in cost["missing"]] == list(names), cost["missing"]
    assert {cost[member] for member in ("cost_each", "cost_per_kg", "cost_per_100g", "ingredients_each")} == {None}
    assert Decimal(cost["known_cost"]) > 0 and not not_adding_up(cost)
    for each in cost["lines"]:
        assert (each["cost"] is None) == any(leaf["missing"] for leaf in leaves(each)), each["what"]
    assert cost["lines"][-1]["what"] != "unsold" or cost["lines"][-1]["cost"] is None, "of a cost that is not known it is not known either"
    price = owner.get(f"/products/{code}/price?{query}").body
    assert (price["cost_each"], price["margin_pct"], price["markup_pct"], price["proposed"], price["break_even_pieces"]) == (None,) * 5
    assert all((each["margin_pct"], each["markup_pct"], each["ingredient_share_pct"]) == (None,) * 3 and each["net_price"] for each in price["breaks"])
    return cost


def test_a_pack_price_that_is_missing_is_a_hole(owner):
    owner.delete("/ingredients/salt/prices/2020-01-01")
    cost = hole(owner, "country-loaf", "price of Salt")
    assert cost["missing"][0]["where"] == "/api/v1/ingredients/salt/prices"
    assert line_is_known(cost, "packaging") and line_is_known(cost, "labour") and not line_is_known(cost, "ingredients")
    price = owner.get("/products/country-loaf/price").body
    assert (price["set"], price["price"], price["net_price"]) == (True, "4.20", "3.925234")
    enter(owner, {"/ingredients/salt/prices/2020-01-01": PRICES["/ingredients/salt/prices/2020-01-01"]})
    assert owner.get("/products/country-loaf/cost")["missing"] == []


def line_is_known(cost, kind):
    return next(each["cost"] for each in cost["lines"] if each["what"] == kind) is not None


def test_a_power_that_is_missing_is_a_hole_where_there_is_a_tariff(owner):
    def without(*kinds):
        return {**AT_PRICE, **{kind: [{name: value for name, value in each.items() if name != "power_w"} for each in AT_PRICE[kind]] for kind in kinds}}
    for kinds, names in ((["mixers"], ["power of the mixer spiral"]), (["ovens"], ["power of the oven stone"]),
                         (["mixers", "ovens"], ["power of the mixer spiral", "power of the oven stone"])):
        enter(owner, {"/bakery": without(*kinds)})
        cost = owner.get("/products/country-loaf/cost?why=1").body
        assert [fact["what"] for fact in cost["missing"]] == names and {fact["where"] for fact in cost["missing"]} == {"/api/v1/bakery"}
        assert (cost["cost_each"], line_is_known(cost, "energy"), line_is_known(cost, "labour")) == (None, False, True)
        assert all(not fault.startswith("ingr") for fault in not_adding_up(cost))
    enter(owner, {f"/rates/{day(22)}": {"hand_hour": "20"}})
    assert owner.get(f"/products/country-loaf/cost?date={day(22)}")["missing"] == [], "no tariff, no hole"
    owner.delete(f"/rates/{day(22)}")
    enter(owner, {"/bakery": AT_PRICE})


def test_a_bake_of_unknown_capacity_is_a_hole(owner):
    enter(owner, {"/products/country-loaf": {name: value for name, value in LOAF.items() if name != "bake"}})
    cost = owner.get("/products/country-loaf/cost").body
    assert cost["missing"] == [{"what": "pieces of Country loaf on one place of the oven", "where": "/api/v1/products/country-loaf"}]
    enter(owner, {"/products/country-loaf": LOAF})


# --- typical days, and days without orders ---


def test_without_orders_a_load_is_costed(owner):
    cost = owner.get(f"/products/country-loaf/cost?date={day(60)}").body
    assert (cost["ordered"], cost["pieces"], cost["typical"]) == (12, 13, False)
    cost = owner.get("/products/baguette/cost").body
    assert (cost["ordered"], cost["typical"], cost["date"]) == (1, True, TODAY.isoformat())


def test_a_typical_day_is_the_mean_of_the_days_with_orders(owner):
    """Of four weeks: 10 and 13 pieces on two days are 12, halves up; older days do not count."""
    for back, pieces in ((3, 4), (3, 6), (9, 13), (40, 999)):
        place(owner, "cafe", (TODAY - datetime.timedelta(days=back)).isoformat(), seeded_loaf=pieces)
    assert owner.get("/products/seeded-loaf/cost")["ordered"] == 12
    assert owner.get("/products/seeded-loaf/price")["typical_pieces"] == 12


def test_what_is_thrown_away_of_a_starter_is_borne_by_what_is_taken(owner, baker):
    """1000 g begun, 300 g taken, 100 g thrown away: a third on top of what the loaf takes."""
    before = owner.get("/products/country-loaf/cost?why=1").body
    for entry in ({"kind": "begun", "g": 1000}, {"kind": "taken", "g": 300}, {"kind": "discarded", "g": 100}):
        assert baker.post("/starters/levain/log", entry).status == 201
    cost = owner.get("/products/country-loaf/cost?why=1").body
    assert not not_adding_up(cost) and line(before, "starter") is None
    flour, rye, water = (Fraction(PRICES[f"/ingredients/{code}/prices/2020-01-01"]["price"]) / PRICES[f"/ingredients/{code}/prices/2020-01-01"]["pack_g"]
                         for code in ("bread-flour", "rye-flour", "water"))
    a_gram = (Fraction(8, 10) * flour + Fraction(2, 10) * rye + water) / 2
    taken = Fraction(920 * 30, 174) / Fraction("0.985") * Fraction(cost["pieces"], cost["ordered"])
    assert abs(line(cost, "starter") - money(taken / 3 * a_gram)) < Decimal("0.000003")
    assert Decimal(cost["ingredients_each"]) - Decimal(before["ingredients_each"]) == line(cost, "starter")


@pytest.mark.parametrize("query, status", [("date=2027-02-30", 422), ("date=tomorrow", 422), ("date=", 422), ("why=", 200)])
def test_the_query_is_checked(owner, query, status):
    assert owner.get(f"/products/country-loaf/cost?{query}").status == status
    assert owner.get(f"/products/gold/cost?{query}").status in (404, status if status > 200 else 404)


def test_before_there_is_a_bakery_nothing_is_costed(others):
    client = others[1]
    assert client.get("/products/bun/cost").status == client.get("/margins").status == 409
    assert client.post("/what-if", {"changes": []}).status == 409
