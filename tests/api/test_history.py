"""Formulas and products keep their revisions, prices their dates."""

from decimal import Decimal

import pytest

from bakehouse import FORMULAS, PRODUCTS, day, open_bakehouse
from harness import enter, place


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)


def test_revisions_tell_who_changed_what_and_when(owner, baker):
    path, body = "/formulas/bun", FORMULAS["/formulas/bun"]
    baker.put(path, {**body, "name": "Softer bun dough", "dough_c": 27.5})
    owner.put(path, {**body, "dough_c": 27.5})
    newest, middle, first = baker.get(path + "/revisions")["items"]
    assert [entry["by"] for entry in (newest, middle, first)] == ["t-owner", "t-baker", "t-owner"]
    assert newest["revision"] > middle["revision"] > first["revision"]
    assert newest["at"] >= middle["at"] >= first["at"]
    assert newest["changed"] == ["name"]
    assert sorted(middle["changed"]) == ["dough_c", "name"]
    assert (middle["body"]["name"], middle["body"]["dough_c"]) == ("Softer bun dough", Decimal("27.5"))
    assert (first["body"]["name"], newest["body"]["name"]) == (body["name"], body["name"])


def test_a_revision_holds_the_lines_as_they_were(owner):
    path, body = "/formulas/poolish", FORMULAS["/formulas/poolish"]
    wetter = [{"ingredient": "bread-flour", "pct": 100}, {"ingredient": "water", "pct": 120}, {"ingredient": "yeast", "pct": 0.1}]
    owner.put(path, {**body, "lines": wetter})
    newest, first = owner.get(path + "/revisions")["items"]
    assert newest["changed"] == ["lines"]
    assert [line["pct"] for line in newest["body"]["lines"]] == [100, 120, Decimal("0.1")]
    assert [line["pct"] for line in first["body"]["lines"]] == [100, 100, Decimal("0.2")]


def test_a_replace_that_changes_nothing_is_no_revision_of_its_own_or_says_so(owner):
    path = "/products/country-loaf"
    owner.put(path, PRODUCTS[path])
    for entry in owner.get(path + "/revisions")["items"][:-1]:
        assert entry["changed"] == []


def test_a_deletion_is_in_the_history_and_the_thing_can_come_back(owner, baker):
    path, body = "/products/trial", {"name": "Trial", "parts": [{"formula": "bun", "g": 50}]}
    baker.put(path, body)
    owner.delete(path)
    newest, first = baker.get(path + "/revisions")["items"]
    assert (newest["deleted"], newest["body"], newest["by"]) == (True, None, "t-owner")
    assert (first["deleted"], first["by"]) == (False, "t-baker")
    baker.put(path, {**body, "name": "Trial again"})
    assert [entry["deleted"] for entry in baker.get(path + "/revisions")["items"]] == [False, True, False]


def test_a_refused_change_leaves_no_revision(owner):
    path = "/products/seeded-loaf"
    before = owner.get(path + "/revisions").text
    assert owner.put(path, {**PRODUCTS[path], "spare_pct": -1}).status == 422
    assert owner.put(path, PRODUCTS[path], If_Match='"1.00"').status == 412
    assert owner.get(path + "/revisions").text == before


# --- prices ---


def salt_cost(owner, date):
    needs = owner.get(f"/days/{date}/needs")
    salt = next(item for item in needs["ingredients"] if item["ingredient"] == "salt")
    return salt["g"], salt["cost"], needs


def test_a_day_is_reckoned_at_the_prices_of_that_day(owner):
    enter(owner, {f"/ingredients/salt/prices/{day(12)}": {"pack_g": 10000, "price": "9.98"},
                  f"/ingredients/salt/prices/{day(14)}": {"pack_g": 10000, "price": "0"}})
    for n in (11, 12, 13, 14):
        place(owner, "cafe", day(n), bun=100)
    costs = [Decimal(salt_cost(owner, day(n))[1]) for n in (11, 12, 13, 14)]
    assert costs[1] == costs[2] > costs[0] > 0
    assert abs(costs[1] - 2 * costs[0]) <= Decimal("0.000001"), "the price doubled"
    assert costs[3] == 0, "a price of nothing is a price"


def test_before_its_first_price_an_ingredient_has_none(owner):
    """It is not worth zero: the day's cost is unknown and says what is missing."""
    past = "2019-12-31"
    enter(owner, {"/ingredients/salt/prices/2019-01-01": {"pack_g": 10000, "price": "4.00"}})
    place(owner, "cafe", past, bun=100)
    grams, cost, needs = salt_cost(owner, past)
    assert abs(Decimal(cost) - grams * 4 / 10000) <= Decimal("0.000001")
    assert needs["cost"] is None
    assert Decimal(needs["known_cost"]) == Decimal(cost)
    missing = {item["ingredient"] for item in needs["missing"]}
    assert missing == {"bread-flour", "milk", "butter", "yeast", "sesame", "bag"}
    day_cost = owner.get(f"/days/{past}/cost")
    product, = day_cost["products"]
    assert (day_cost["cost"], product["cost"], product["ingredients_each"]) == (None, None, None)
    assert set(product["missing"]) == {item["ingredient"] for item in day_cost["missing"]} == missing


def test_what_a_price_says_is_kept_digit_by_digit(owner):
    for price in ("0.000001", "18.4", "18.40", "123456789.123456"):
        enter(owner, {"/ingredients/milk/prices/2030-01-01": {"pack_g": 1030.001, "price": price}})
        kept = owner.get("/ingredients/milk/prices/2030-01-01")
        assert Decimal(kept["price"]) == Decimal(price)
        assert kept["pack_g"] == Decimal("1030.001")


def test_costs_are_for_owners_only(owner, baker):
    place(owner, "shop", day(20), bun=10, country_loaf=5)
    for_owner, for_baker = owner.get(f"/days/{day(20)}/needs").body, baker.get(f"/days/{day(20)}/needs").body
    assert {"cost", "known_cost", "missing"} <= set(for_owner) and for_owner["missing"] == []
    assert all("cost" in item for item in for_owner["ingredients"])
    assert not {"cost", "known_cost", "missing"} & set(for_baker)
    assert all("cost" not in item for item in for_baker["ingredients"])
    for item in for_owner["ingredients"]:
        del item["cost"]
    assert for_baker["ingredients"] == for_owner["ingredients"]
    assert "cost" not in baker.get(f"/days/{day(20)}/production").text


def test_the_sum_of_the_printed_parts_is_the_printed_total(owner):
    place(owner, "shop", day(21), bun=13, country_loaf=7, seeded_loaf=3, baguette=11)
    needs, cost = owner.get(f"/days/{day(21)}/needs"), owner.get(f"/days/{day(21)}/cost")
    assert sum(Decimal(item["cost"]) for item in needs["ingredients"]) == Decimal(needs["cost"]) == Decimal(needs["known_cost"])
    assert sum(Decimal(item["cost"]) for item in cost["products"]) == Decimal(cost["cost"])
    assert abs(Decimal(needs["cost"]) - Decimal(cost["cost"])) < Decimal("0.0001")
