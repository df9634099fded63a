"""What to order: against sums done here from what was used, ordered and is on the way."""

import datetime
import math
import statistics
from decimal import Decimal

import pytest

from harness import enter, place
from storework import STORE, TODAY, goods, new_ingredient, on

# Days begin at midnight, so that the tests know which day it is whenever they run.
BAKERY = {**STORE["/bakery"], "time_zone": "UTC", "day_starts_at": "00:00"}
PATH = "/order-proposals"


@pytest.fixture(scope="module", autouse=True)
def store(owner):
    enter(owner, {**STORE, "/bakery": BAKERY})


def weekday(n):
    return (TODAY + datetime.timedelta(days=n)).isoweekday()


def supplied(owner, code, lead, order_days, g=25000, price="20.00", minimum=None, **more):
    """A flour of a supplier of its own."""
    flour = new_ingredient(owner)
    enter(owner, {f"/suppliers/{code}": {"name": code.capitalize(), "phone": "555 0102", "lead_days": lead, "order_days": order_days, "minimum_order": minimum},
                  f"/ingredients/{flour}/supply": {"supplier": code, "pack_g": g, **more}})
    if price:
        enter(owner, {f"/ingredients/{flour}/prices/2020-01-01": {"pack_g": g, "price": price}})
    return flour


def used_daily(owner, flour, grams, left):
    """A delivery long ago, what was used of it on the days before today (the last one yesterday), and what is then left."""
    assert owner.post("/goods-in", goods({"ingredient": flour, "g": sum(grams) + left}, date=-len(grams) - 1)).status == 201
    for n, g in enumerate(grams):
        answer = owner.post("/movements", {"kind": "used", "ingredient": flour, "g": g, "date": on(n - len(grams))})
        assert answer.status == 201, answer


def proposed(client, flour, query=""):
    """The proposal of its supplier, and the line of the flour; None: nothing is proposed of it."""
    answer = client.get(PATH + query)
    assert answer.status == 200, answer
    for proposal in answer["suppliers"]:
        for line in proposal["lines"]:
            if line["ingredient"] == flour:
                return proposal, line
    return None, None


def days_of(lead, order_days, first=0):
    """order_on, due_on and next_due, in days from today."""
    given = [n for n in range(first, first + 15) if weekday(n) in order_days][:2]
    return given[0], given[0] + lead, given[1] + lead


@pytest.mark.parametrize("lead, order_days, first", [(1, list(range(1, 8)), 0), (0, [weekday(0)], 0), (2, [weekday(3)], 0), (4, [weekday(1), weekday(5)], 0), (2, [weekday(-1), weekday(2)], 3)])
def test_it_lasts_until_the_delivery_after_the_next(owner, lead, order_days, first):
    flour = supplied(owner, f"steady-{lead}-{first}-{len(order_days)}", lead, order_days)
    used_daily(owner, flour, [7000] * 28, 3000)
    order_on, due, after = days_of(lead, order_days, first)
    proposal, line = proposed(owner, flour, f"?on={on(first)}" if first else "")
    assert (proposal["order_on"], proposal["due_on"], proposal["next_due"]) == (on(order_on), on(due), on(after))
    need = 7000 * after - 3000
    packs = math.ceil(need / 25000)
    assert line == {"ingredient": flour, "name": flour.capitalize(), "unit": "g", "position_g": 3000, "expected_g": 7000 * after, "safety_g": 0, "reorder_point_g": 7000 * due,
                    "lacking_g": need, "packs": packs, "pack_g": 25000, "g": 25000 * packs, "runs_out": on(0), "cost": f"{20 * packs}.00"}
    # Nothing more is proposed once that is ordered, and one pack less is not enough.
    order = owner.post("/purchase-orders", {"supplier": proposal["supplier"], "date": on(order_on), "lines": [{"ingredient": flour, "packs": packs}]})
    assert order["due"] == on(due)
    assert proposed(owner, flour, f"?on={on(first)}") == (None, None)
    owner.put(order.location, {"closed": True})
    assert owner.post("/purchase-orders", {"supplier": proposal["supplier"], "date": on(order_on), "lines": [{"ingredient": flour, "g": 25000 * packs - 25000 + 1}]}).status == 201
    assert proposed(owner, flour, f"?on={on(first)}")[1]["packs"] == (1 if need > 25000 * packs - 25000 + 1 else None)


@pytest.mark.parametrize("level", [50, 80, 95, 99.9])
def test_how_safe_it_is_follows_the_spread_of_its_use(owner, level):
    flour = supplied(owner, f"spread-{int(level)}", 3, [weekday(0), weekday(4)], service_pct=level)
    # Every other week one and a half kilos more or less: of 28 days seven means are taken off.
    used_daily(owner, flour, [5500 if n // 7 % 2 else 8500 for n in range(28)], 0)
    deviation = math.sqrt(28 * 1500 ** 2 / 21)
    z = statistics.NormalDist().inv_cdf(level / 100)
    _, line = proposed(owner, flour)
    _, due, after = days_of(3, [weekday(0), weekday(4)])
    assert abs(float(line["safety_g"]) - z * deviation * math.sqrt(after)) < 0.01
    assert abs(float(line["reorder_point_g"]) - 7000 * due - z * deviation * math.sqrt(due)) < 0.01
    assert line["lacking_g"] == line["expected_g"] + line["safety_g"] and line["packs"] == math.ceil(line["lacking_g"] / 25000)


def test_what_is_on_the_way_counts_when_it_comes_in_time(owner):
    flour = supplied(owner, "timely", 2, [weekday(0), weekday(3)])  # due in 2, then in 5 days
    used_daily(owner, flour, [7000] * 28, 0)
    assert proposed(owner, flour)[1]["lacking_g"] == 35000
    for due, counts in ((-1, True), (4, True), (5, False)):
        order = owner.post("/purchase-orders", {"supplier": "timely", "date": on(-3), "due": on(due), "lines": [{"ingredient": flour, "g": 10000}]})
        line = proposed(owner, flour)[1]
        assert (line["position_g"], line["lacking_g"]) == ((10000, 25000) if counts else (0, 35000)), due
        owner.put(order.location, {"closed": True})
    order = owner.post("/purchase-orders", {"supplier": "timely", "lines": [{"ingredient": flour, "g": 20000}]})["number"]
    assert owner.post("/goods-in", goods({"ingredient": flour, "g": 15000}, supplier="timely", purchase_order=order)).status == 201
    assert proposed(owner, flour)[1]["position_g"] == 20000, "what came of it and what is missing"


def test_what_is_held_or_expired_does_not_help(owner):
    flour = supplied(owner, "held", 1, list(range(1, 8)))
    used_daily(owner, flour, [7000] * 28, 0)
    assert owner.post("/goods-in", goods({"ingredient": flour, "g": 50000, "best_before": on(-1)})).status == 201
    lot = owner.post("/goods-in", goods({"ingredient": flour, "g": 50000}))["lines"][0]["lot"]
    assert proposed(owner, flour) == (None, None)
    assert owner.put(f"/lots/{lot}", {"held": True}).status == 200
    assert proposed(owner, flour)[1]["position_g"] == 0


def test_orders_ask_for_more_than_is_usual(owner):
    """Bags of bread that is ordered; nothing of them was ever used."""
    enter(owner, {"/suppliers/bags": {"name": "Bags", "lead_days": 5, "order_days": [weekday(0), weekday(1)]}, "/ingredients/bag/supply": {"supplier": "bags", "pack_pieces": 20}})
    assert owner.post("/goods-in", goods({"ingredient": "bag", "pieces": 7})).status == 201
    assert proposed(owner, "bag") == (None, None)
    placed = place(owner, "cafe", on(3), country_loaf=30)
    place(owner, "cafe", on(30), country_loaf=500)  # comes after the delivery after the next
    _, line = proposed(owner, "bag")
    bags = next(item["pieces"] for item in owner.get(f"/days/{on(3)}/needs")["ingredients"] if item["ingredient"] == "bag")
    assert (line["unit"], line["position_pieces"], line["expected_pieces"], line["lacking_pieces"]) == ("piece", 7, bags, bags - 7)
    assert (line["packs"], line["pack_pieces"], line["pieces"], line["cost"]) == (2, 20, 40, "1.24"), "at 31.00 a thousand"
    assert owner.delete(placed.location).status == 204 and proposed(owner, "bag") == (None, None)


def test_what_it_costs_and_how_much_it_is_under_the_least_order_is_for_the_owner(owner, baker):
    flour = supplied(owner, "least", 1, list(range(1, 8)), price="18.40", minimum="100.00")
    used_daily(owner, flour, [7000] * 28, 0)
    proposal, line = proposed(owner, flour)
    assert (line["cost"], proposal["cost"], proposal["under_minimum_by"], proposal["minimum_order"]) == ("18.40", "18.40", "81.60", "100.00")
    seen, told = proposed(baker, flour)
    assert {**seen, "cost": "18.40", "under_minimum_by": "81.60", "lines": [{**told, "cost": "18.40"}]} == proposal
    assert "cost" not in seen and "cost" not in told and seen["minimum_order"] == "100.00"
    enter(owner, {"/suppliers/least": {"name": "Least", "minimum_order": "18.40"}})
    assert proposed(owner, flour)[0]["under_minimum_by"] is None
    rye = supplied(owner, "least", 1, list(range(1, 8)), price=None, minimum="100.00")
    used_daily(owner, rye, [100] * 21, 0)
    proposal, line = proposed(owner, rye)
    assert (len(proposal["lines"]), line["cost"], proposal["cost"], proposal["under_minimum_by"]) == (2, None, None, None)


def test_what_nobody_is_known_to_sell_stands_last(owner):
    flour = new_ingredient(owner)
    used_daily(owner, flour, [1000] * 21, 500)
    proposal, line = proposed(owner, flour)
    assert owner.get(PATH)["suppliers"][-1] == proposal
    assert {name: proposal[name] for name in ("supplier", "name", "phone", "email", "minimum_order", "order_on", "due_on", "next_due")} == {
        "supplier": None, "name": None, "phone": None, "email": None, "minimum_order": None, "order_on": on(0), "due_on": on(1), "next_due": on(2)}
    assert (line["lacking_g"], line["packs"], line["pack_g"], line["g"], line["cost"]) == (1500, None, None, 1500, None)
    codes = [item["supplier"] for item in owner.get(PATH)["suppliers"][:-1]]
    assert codes == sorted(codes) and None not in codes


def test_a_long_way_goes_by_the_usual_week(owner):
    flour = supplied(owner, "overseas", 60, [weekday(0)])
    used_daily(owner, flour, [7000] * 28, 0)
    assert proposed(owner, flour)[1]["expected_g"] == 7000 * 67


@pytest.mark.parametrize("query", ["?on=tomorrow", "?on=2027-02-30", f"?on={on(-1)}", f"?on={on(32)}", "?on="])
def test_a_day_that_nobody_can_order_on(owner, query):
    answer = owner.get(PATH + query)
    assert (answer.status, answer.pointers) == (422, [""])


def test_it_is_as_fresh_as_what_it_follows_from(owner):
    got = owner.get(PATH)
    assert got["on"] == on(0) and owner.get(PATH, If_None_Match=got.etag).status == 304
    flour = supplied(owner, "fresh", 1, list(range(1, 8)))
    used_daily(owner, flour, [Decimal(10)] * 21, 0)
    assert owner.get(PATH, If_None_Match=got.etag).status == 200
