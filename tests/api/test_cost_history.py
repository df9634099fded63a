"""What a piece cost over time: a point at every date of a change, with its reasons."""

import datetime
from decimal import Decimal

import pytest

from bakehouse import TODAY
from harness import enter
from pricework import PRICES, RATES, open_shop

BREAKS = {"breaks": [{"pieces": 1, "price": "1.55"}, {"pieces": 20, "price": "1.20"}]}
CHANGES = {"/ingredients/milk/prices/2025-02-01": {"pack_g": 1030, "price": "1.15"},
           "/ingredients/butter/prices/2025-02-01": {"pack_g": 250, "price": "1.99"},
           "/ingredients/rye-flour/prices/2025-03-01": {"pack_g": 25000, "price": "30"},  # not in a bun
           "/rates/2025-04-01": {**RATES, "kwh": "0.35"},
           "/price-lists/counter/prices/bun/2025-05-01": BREAKS,
           "/price-lists/trade/prices/bun/2025-06-01": BREAKS,  # another list
           "/price-lists/counter/prices/country-loaf/2025-06-15": BREAKS,  # another product
           "/ingredients/milk/prices/2025-07-01": {"pack_g": 1000, "price": "1.25"},
           "/ingredients/bag/prices/2025-08-01": {"pack_pieces": 500, "price": "20"}}


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_shop(owner)
    enter(owner, CHANGES)


def history(owner, query="from=2025-01-01&to=2025-12-31", code="bun"):
    answer = owner.get(f"/products/{code}/cost-history?{query}")
    assert answer.status == 200, answer
    return answer.body


def reasons(points):
    return {point["date"]: [because.get("ingredient") or because.get("list") or "rates" for because in point["because"]] for point in points}


def test_points_stand_where_something_changed_and_say_what(owner):
    found = history(owner)
    assert (found["product"], found["name"], found["list"]) == ("bun", "Sesame bun", "counter")
    assert reasons(found["points"]) == {"2025-01-01": [], "2025-02-01": ["butter", "milk"], "2025-04-01": ["rates"], "2025-05-01": ["counter"],
                                        "2025-07-01": ["milk"], "2025-08-01": ["bag"]}
    assert found["points"][1]["because"][1] == {"ingredient": "milk", "name": "Milk"} and found["points"][2]["because"] == [{"rates": True}]
    assert [point["price"] for point in found["points"]] == ["1.40"] * 3 + ["1.55"] * 3


def test_a_change_on_the_first_day_is_its_reason(owner):
    assert reasons(history(owner, "from=2025-02-01&to=2025-04-01")["points"]) == {"2025-02-01": ["butter", "milk"], "2025-04-01": ["rates"]}
    assert reasons(history(owner, "from=2025-02-02&to=2025-03-31")["points"]) == {"2025-02-02": []}
    assert reasons(history(owner, "from=2025-07-01&to=2025-07-01")["points"]) == {"2025-07-01": ["milk"]}


def test_each_point_is_what_the_prices_of_its_day_come_to(owner):
    """Every fact of the book set to what it was, one after the other: today's cost is the point's."""
    points = history(owner)["points"]
    undone = sorted((path for path in CHANGES if "bun" in path or "rates" in path or "milk" in path or "butter" in path or "bag" in path), key=lambda path: path[-10:], reverse=True)
    for point in reversed(points):
        for path in [path for path in undone if path[-10:] > point["date"]]:
            assert owner.delete(path).status == 204
            undone.remove(path)
        cost, price = owner.get("/products/bun/cost").body, owner.get("/products/bun/price").body
        assert (point["cost_each"], point["ingredients_each"]) == (cost["cost_each"], cost["ingredients_each"]), point["date"]
        assert (point["price"], point["margin_pct"]) == (price["price"], price["margin_pct"]), point["date"]
    assert len({point["cost_each"] for point in points}) == 5, "all but the one of its own price"
    enter(owner, CHANGES)


def test_a_price_that_was_not_there_yet_is_a_hole(owner):
    points = history(owner, "from=2019-12-01&to=2020-02-01")["points"]
    assert points[0]["date"] == "2019-12-01" and (points[0]["cost_each"], points[0]["ingredients_each"], points[0]["price"], points[0]["margin_pct"]) == (None,) * 4
    assert points[1]["date"] == "2020-01-01" and Decimal(points[1]["cost_each"]) > 0
    assert {"rates", "counter", "milk", "bread-flour", "bag"} < set(reasons(points)["2020-01-01"]) and "rye-flour" not in reasons(points)["2020-01-01"]
    owner.delete("/ingredients/sesame/prices/2020-01-01")
    point, = history(owner, "from=2025-07-02&to=2025-07-03")["points"]
    assert (point["cost_each"], point["price"], point["margin_pct"]) == (None, "1.55", None)
    enter(owner, {"/ingredients/sesame/prices/2020-01-01": PRICES["/ingredients/sesame/prices/2020-01-01"]})


def test_what_comes_by_a_preferment_or_a_starter_counts_too(owner):
    assert reasons(history(owner, code="country-loaf")["points"])["2025-03-01"] == ["rye-flour"]
    assert "2025-03-01" not in reasons(history(owner, code="baguette")["points"])


def test_a_year_until_today_unless_told(owner):
    points = history(owner, "")["points"]
    assert points[0]["date"] == (TODAY - datetime.timedelta(days=365)).isoformat()
    assert reasons(history(owner, "from=2025-01-01&to=2025-12-31&list=trade")["points"])["2025-06-01"] == ["trade"]


@pytest.mark.parametrize("query, status", [("from=2025-02-30", 422), ("to=x", 422), ("from=2025-02-02&to=2025-02-01", 422), ("list=gold", 422), ("from=1900-01-01&to=9999-12-31", 200)])
def test_the_query_is_checked(owner, query, status):
    assert owner.get(f"/products/bun/cost-history?{query}").status == status
    assert owner.get("/products/gold/cost-history").status == 404
