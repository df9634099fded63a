"""The printed mixing list is a record: numbered, frozen, and the list says what changed since."""

import datetime

import pytest

from bakehouse import FORMULAS, TODAY, day, open_bakehouse
from harness import place



@pytest.fixture
def night(owner):
    """A night with orders for the next day: its path, and the orders. Nothing is printed yet."""
    night.count = getattr(night, "count", 0) + 5
    n = night.count
    orders = {"cafe": place(owner, "cafe", day(n + 1), bun=20, country_loaf=10),
              "shop": place(owner, "shop", day(n + 1), country_loaf=15)}
    return f"/mixing-lists/{day(n)}", day(n + 1), orders


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)


def reorder(client, order, date, **pieces):
    lines = [{"product": code.replace("_", "-"), "pieces": n} for code, n in pieces.items()]
    answer = client.put(order.location, {"customer": order["customer"], "date": date, "lines": lines})
    assert answer.status == 200, answer


def test_nothing_printed_nothing_changed(baker, night):
    shown = baker.get(night[0])
    assert (shown["last_print"], shown["changes"]) == (None, None)


def test_a_print_is_the_list_as_it_stands(baker, night):
    path, _, _ = night
    shown = baker.get(path)
    printed = baker.post(path + "/prints", {})
    assert printed.status == 201 and printed.location == f"/api/v1{path}/prints/1"
    assert (printed["number"], printed["replaces"], printed["printed_by"]) == (1, None, "t-baker")
    for member in ("date", "mixes", "starters", "pieces"):
        assert printed[member] == shown[member]
    assert baker.get(printed.location).body == printed.body
    now = baker.get(path)
    assert now["last_print"] == {member: printed[member] for member in ("number", "printed_at", "printed_by", "replaces")}
    assert now["changes"] == {"since": 1, "mixes": [], "products": []}


def test_a_print_stays_as_it_was_whatever_happens(owner, baker, night):
    path, date, orders = night
    printed = baker.post(path + "/prints")
    reorder(baker, orders["cafe"], date, bun=50)
    owner.delete(orders["shop"].location)
    owner.put("/formulas/bun", {**FORMULAS["/formulas/bun"], "name": "Renamed"})
    again = baker.get(printed.location)
    assert (again.text, again.etag) == (printed.text, baker.get(printed.location).etag)
    owner.put("/formulas/bun", FORMULAS["/formulas/bun"])


def test_the_list_says_what_has_changed_since_the_print(baker, night):
    path, date, orders = night
    printed = baker.post(path + "/prints")
    before = {mix["formula"]: mix["dough_g"] for mix in printed["mixes"]}
    reorder(baker, orders["cafe"], date, bun=26, baguette=8)
    shown = baker.get(path)
    now = {mix["formula"]: mix["dough_g"] for mix in shown["mixes"]}
    changed = {(item["date"], item["product"]): (item["before"], item["now"]) for item in shown["changes"]["products"]}
    # 25 loaves and 2 % spare were 26; 15 and 1 spare are 16.
    assert changed == {(date, "baguette"): (0, 8), (date, "bun"): (20, 26), (date, "country-loaf"): (26, 16)}
    mixes = {item["formula"]: (item["before_g"], item["now_g"]) for item in shown["changes"]["mixes"]}
    assert mixes == {code: (before.get(code, 0), now.get(code, 0)) for code in before.keys() | now.keys()
                     if before.get(code, 0) != now.get(code, 0)}
    assert {"bun", "country", "baguette"} <= set(mixes)


def test_what_is_gone_is_a_change_to_nothing(baker, night):
    path, date, orders = night
    baker.post(path + "/prints")
    for order in orders.values():
        baker.delete(order.location)
    changes = baker.get(path)["changes"]
    assert {(item["product"], item["now"]) for item in changes["products"]} == {("bun", 0), ("country-loaf", 0)}
    assert all(item["now_g"] == 0 < item["before_g"] for item in changes["mixes"]) and changes["mixes"]


def test_a_changed_formula_is_a_change_of_the_list(owner, baker, night):
    path, _, _ = night
    baker.post(path + "/prints")
    owner.put("/formulas/country", {**FORMULAS["/formulas/country"], "handling_loss_pct": 5})
    changes = baker.get(path)["changes"]
    assert [item["formula"] for item in changes["mixes"]] == ["country"] and changes["products"] == []
    owner.put("/formulas/country", FORMULAS["/formulas/country"])
    assert baker.get(path)["changes"] == {"since": 1, "mixes": [], "products": []}


def test_a_new_print_says_which_it_replaces(owner, baker, night):
    path, date, orders = night
    baker.post(path + "/prints")
    reorder(baker, orders["cafe"], date, bun=21)
    second = owner.post(path + "/prints")
    assert (second["number"], second["replaces"], second["printed_by"]) == (2, 1, "t-owner")
    assert baker.get(path)["changes"] == {"since": 2, "mixes": [], "products": []}
    third = baker.post(path + "/prints")
    assert (third["number"], third["replaces"]) == (3, 2)
    listed = baker.get(path + "/prints")["items"]
    assert [(item["number"], item["replaces"]) for item in listed] == [(1, None), (2, 1), (3, 2)]
    assert baker.get(path + "/prints/4").status == 404


def test_each_night_counts_its_own_prints(baker, owner):
    for n in (101, 102):
        place(owner, "cafe", day(n), bun=5)
        assert baker.post(f"/mixing-lists/{day(n - 1)}/prints")["number"] == 1


def test_the_past_is_shown_from_its_print(owner, baker):
    """Formulas change; what was printed for a past night is shown again as it was."""
    long_ago = TODAY - datetime.timedelta(days=30)
    bread_day, path = long_ago.isoformat(), f"/mixing-lists/{long_ago - datetime.timedelta(days=1)}"
    order = place(owner, "shop", bread_day, bun=40)
    printed = baker.post(path + "/prints")
    owner.put("/formulas/bun", {**FORMULAS["/formulas/bun"], "handling_loss_pct": 10})
    owner.delete(order.location)
    shown = baker.get(path)
    for member in ("date", "mixes", "starters", "pieces"):
        assert shown[member] == printed[member]
    assert shown["last_print"]["number"] == 1
    owner.put("/formulas/bun", FORMULAS["/formulas/bun"])


def test_a_past_night_that_was_never_printed_is_reckoned(owner, baker):
    long_ago = TODAY - datetime.timedelta(days=60)
    place(owner, "shop", long_ago.isoformat(), bun=40)
    shown = baker.get(f"/mixing-lists/{long_ago - datetime.timedelta(days=1)}")
    assert [mix["formula"] for mix in shown["mixes"]] == ["bun"] and shown["last_print"] is None
