"""Lists of every kind, page by page."""

import pytest

from bakehouse import day, open_bakehouse
from harness import enter, place


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)
    enter(owner, {f"/customers/c{n}": {"name": f"Customer {n}"} for n in range(7)})
    enter(owner, {f"/suppliers/s{n}": {"name": f"Supplier {n}"} for n in range(7)})
    enter(owner, {f"/ingredients/salt/prices/2027-0{n}-01": {"pack_g": 1000, "price": "1"} for n in range(1, 8)})
    enter(owner, {f"/price-lists/list-{n}": {"name": f"List {n}"} for n in range(7)})
    enter(owner, {f"/price-lists/list-1/prices/bun/2027-0{n}-01": {"breaks": [{"pieces": 1, "price": "1"}]} for n in range(1, 8)})
    for n in range(7):
        place(owner, f"c{n % 2}", day(n % 3), bun=n + 1)


KINDS = ["ingredients", "ingredients/salt/prices", "suppliers", "starters", "formulas", "products", "customers", "orders",
         "formulas/country/revisions", "tokens", "price-lists", "price-lists/list-1/prices"]


def pages(client, path):
    while path:
        answer = client.get(path)
        assert answer.status == 200, answer
        yield answer["items"]
        path = answer["next"]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("limit", [1, 3, 1000])
def test_pages_make_up_the_whole_list(owner, kind, limit):
    whole = owner.get(f"/{kind}")
    assert whole["next"] is None
    cut = list(pages(owner, f"/{kind}?limit={limit}"))
    assert sum(cut, []) == whole["items"]
    assert all(len(page) <= limit for page in cut)
    assert all(len(page) == limit for page in cut[:-1])


@pytest.mark.parametrize("kind, member", [("ingredients", "code"), ("suppliers", "code"), ("starters", "code"), ("formulas", "code"),
                                          ("products", "code"), ("customers", "code"), ("orders", "id"), ("ingredients/salt/prices", "from"),
                                          ("price-lists", "code"), ("price-lists/list-1/prices", "from")])
def test_lists_are_in_order(owner, kind, member):
    keys = [item[member] for item in owner.get(f"/{kind}")["items"]]
    assert keys == sorted(keys) and len(keys) == len(set(keys)) > 0


def test_an_item_of_a_list_is_what_get_shows(owner):
    for kind in ("ingredients", "suppliers", "starters", "products", "customers"):
        for item in owner.get(f"/{kind}")["items"]:
            assert owner.get(f"/{kind}/{item['code']}").body == item
    for order in owner.get("/orders")["items"]:
        assert owner.get(f"/orders/{order['id']}").body == order
    for formula in owner.get("/formulas")["items"]:
        shown = owner.get(f"/formulas/{formula['code']}").body
        assert {member: shown[member] for member in formula} == formula
        assert set(shown) - set(formula) == {"overall", "final", "allergens"}


def test_orders_are_listed_by_day_and_by_customer(owner):
    every = owner.get("/orders")["items"]
    for date in (day(0), day(1), day(9)):
        assert owner.list(f"/orders?date={date}&limit=2") == [order for order in every if order["date"] == date]
    for customer in ("c0", "c1", "c6", "no-such-customer"):
        assert owner.list(f"/orders?customer={customer}&limit=2") == [order for order in every if order["customer"] == customer]
    assert owner.list(f"/orders?customer=c0&date={day(0)}&limit=1") == \
        [order for order in every if order["date"] == day(0) and order["customer"] == "c0"]


def test_a_page_begins_after_what_was_deleted_meanwhile(owner):
    """The cursor is a place, not a count."""
    first = owner.get("/customers?limit=3")
    last_seen = first["items"][-1]["code"]
    assert owner.delete(f"/customers/{last_seen}").status == 204
    assert owner.get(first["next"])["items"][0]["code"] > last_seen
    enter(owner, {f"/customers/{last_seen}": {"name": "Back"}})


def test_an_empty_list_is_a_list(owner):
    assert owner.get(f"/orders?date={day(50)}").body == {"items": [], "next": None}
    assert owner.get(f"/mixing-lists/{day(50)}/prints").body == {"items": [], "next": None}
    assert owner.get("/ingredients/water/prices").status == 200


def test_the_list_of_a_thing_that_is_not_there_is_404(owner):
    assert owner.get("/ingredients/gold/prices").status == 404
    assert owner.get("/formulas/gold/revisions").status == 404
    assert owner.get("/products/gold/revisions").status == 404
