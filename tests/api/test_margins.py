"""What every product earns: those that fell under their target since a month before come first."""

import datetime

import pytest

from bakehouse import BAKERY, INGREDIENTS, TODAY, day
from harness import enter, place

LATELY = (TODAY - datetime.timedelta(days=10)).isoformat()
LONG_AGO = "2020-01-01"
NAMES = ["at-target", "fell-a", "fell-b", "hole", "no-target", "rose", "share-fell", "under", "unpriced"]


def price(code, value, since=LONG_AGO):
    return {f"/price-lists/till/prices/{code}/{since}": {"breaks": [{"pieces": 1, "price": value}]}}


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    """100 g of flour, whose price doubled ten days ago: 0.10 and 0.20 a piece; the seeds have no price."""
    targets = {code: {"margin_pct": 60} for code in NAMES if code != "no-target"} | {"share-fell": {"ingredient_share_pct": 30}}
    products = {f"/products/{code}": {"name": code.title(), "parts": [{"ingredient": "sunflower" if code == "hole" else "bread-flour", "g": 100}]} for code in NAMES}
    enter(owner, {"/bakery": BAKERY, "/ingredients/bread-flour": INGREDIENTS["/ingredients/bread-flour"], "/ingredients/sunflower": INGREDIENTS["/ingredients/sunflower"],
                  f"/ingredients/bread-flour/prices/{LONG_AGO}": {"pack_g": 1000, "price": "1.00"},
                  f"/ingredients/bread-flour/prices/{LATELY}": {"pack_g": 1000, "price": "2.00"},
                  "/price-lists/till": {"name": "Till"}, **products, **{f"/products/{code}/pricing": {"target": target} for code, target in targets.items()},
                  **price("at-target", "0.50"), **price("fell-a", "0.49"), **price("fell-b", "0.40"), **price("hole", "1.00"), **price("no-target", "0.21"),
                  **price("rose", "0.20"), **price("rose", "0.60", LATELY), **price("share-fell", "0.50"), **price("under", "0.24")})
    enter(owner, {f"/products/{code}": {**products[f"/products/{code}"], "packaging": []} for code in NAMES})


def margins(owner, query=""):
    answer = owner.get(f"/margins{query}")
    assert answer.status == 200, answer
    return answer.body


def test_those_that_fell_come_first_then_the_others_under_target_then_the_rest(owner):
    found = margins(owner)
    assert (found["date"], found["month_before"], found["list"]) == (TODAY.isoformat(), (TODAY - datetime.timedelta(days=30)).isoformat(), "till")
    assert [item["product"] for item in found["items"]] == ["fell-a", "fell-b", "share-fell", "under", "at-target", "hole", "no-target", "rose", "unpriced"]
    assert [item["product"] for item in found["items"] if item["fell"]] == ["fell-a", "fell-b", "share-fell"]
    assert [item["product"] for item in found["items"] if item["under_target"]] == ["fell-a", "fell-b", "share-fell", "under"]


def test_each_with_what_it_earns_now_and_earned_then(owner):
    items = {item["product"]: item for item in margins(owner)["items"]}
    earned = {code: (item["cost_each"], item["price"], item["margin_pct"], item["margin_before_pct"]) for code, item in items.items()}
    assert earned["at-target"] == ("0.20", "0.50", 60, 80) and earned["fell-b"] == ("0.20", "0.40", 50, 75) and earned["rose"][2:] == (items["rose"]["margin_pct"], 50)
    assert earned["hole"] == (None, "1.00", None, None) and items["hole"]["missing"] == 1 and items["under"]["missing"] == 0
    assert earned["unpriced"] == ("0.20", None, None, None) and items["no-target"]["target"] is None and items["share-fell"]["target"] == {"ingredient_share_pct": 30}
    for code, item in items.items():
        shown = owner.get(f"/products/{code}/price").body
        assert (item["cost_each"], item["target"]) == (shown["cost_each"], shown["target"])
        if shown["set"]:
            assert (item["price"], item["margin_pct"], item["under_target"]) == (shown["price"], shown["margin_pct"], shown["under_target"])


def test_of_a_day_its_own_products(owner):
    enter(owner, {"/customers/shop": {"name": "Shop"}})
    place(owner, "shop", day(1), rose=3, under=5)
    found = margins(owner, f"?date={day(1)}")
    assert [item["product"] for item in found["items"]] == ["under", "rose"]
    assert not any(item["fell"] for item in found["items"]), "the price doubled more than a month before that day"


def test_of_a_list_its_own_prices(owner):
    enter(owner, {"/price-lists/trade": {"name": "Trade", "with_tax": False}, "/price-lists/trade/prices/under/2020-01-01": {"breaks": [{"pieces": 1, "price": "5"}]}})
    items = {item["product"]: item for item in margins(owner, "?list=trade")["items"]}
    assert (items["under"]["price"], items["under"]["under_target"]) == ("5.00", False) and items["fell-a"]["price"] is None
    assert not any(item["under_target"] for item in items.values())


@pytest.mark.parametrize("query", ["?list=gold", "?date=2027-02-30"])
def test_the_query_is_checked(owner, query):
    assert owner.get(f"/margins{query}").status == 422
