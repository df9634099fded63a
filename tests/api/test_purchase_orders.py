"""Purchase orders: what was ordered, what of it has come, and what is still awaited."""

from decimal import Decimal

import pytest

from harness import enter
from storework import goods, new_ingredient, on, undone

MILL = {"name": "The mill", "phone": "01632 960018", "email": "mill@mill.example", "address": "Mill Lane", "lead_days": 3}


@pytest.fixture(scope="module", autouse=True)
def mill(owner, store):
    enter(owner, {"/suppliers/mill": MILL})


def order(client, *lines, supplier="mill", **more):
    answer = client.post("/purchase-orders", {"supplier": supplier, "lines": list(lines), **more})
    assert answer.status == 201, answer
    return answer


def brought(client, number, *lines, **more):
    """A delivery that names the order; its number."""
    answer = client.post("/goods-in", goods(*lines, purchase_order=number, **more))
    assert answer.status == 201, answer
    return answer["number"]


def come(client, number):
    """state, and per line what was received and what is missing."""
    answer = client.get(f"/purchase-orders/{number}")
    return answer["state"], [tuple(line[f"{what}_{'g' if 'g' in line else 'pieces'}"] for what in ("received", "missing")) for line in answer["lines"]]


def test_an_order_comes_back_as_it_was_given(owner, baker, flour):
    bag = new_ingredient(owner, unit="piece", kind="packaging")
    enter(owner, {f"/ingredients/{flour}/supply": {"pack_g": 25000}})
    placed = order(baker, {"ingredient": flour, "packs": 12}, {"ingredient": "salt", "g": "12500.5"}, {"ingredient": bag, "pieces": 300}, note="By the gate")
    number = placed["number"]
    assert placed.location == f"/api/v1/purchase-orders/{number}"
    assert placed.body == {
        "number": number, "supplier": "mill", "supplier_name": "The mill", "phone": MILL["phone"], "email": MILL["email"], "address": MILL["address"],
        "date": on(0), "due": on(3), "closed": False, "state": "open", "entered_by": "t-baker", "note": "By the gate", "lines": [
            {"ingredient": flour, "name": flour.capitalize(), "g": 300000, "packs": 12, "pack_g": 25000, "received_g": 0, "missing_g": 300000},
            {"ingredient": "salt", "name": "Salt", "g": Decimal("12500.5"), "packs": None, "pack_g": 10000, "received_g": 0, "missing_g": Decimal("12500.5")},
            {"ingredient": bag, "name": bag.capitalize(), "pieces": 300, "packs": None, "pack_pieces": None, "received_pieces": 0, "missing_pieces": 300}]}
    got = baker.get(placed.location)
    assert (got.body, got.etag) == (placed.body, placed.etag) and baker.get(placed.location, If_None_Match=got.etag).status == 304


def test_what_it_costs_is_of_its_date_and_for_the_owner(owner, baker, flour):
    enter(owner, {f"/ingredients/{flour}/prices/{on(-30)}": {"pack_g": 25000, "price": "18.40"}, f"/ingredients/{flour}/prices/{on(-5)}": {"pack_g": 25000, "price": "20.00"}})
    unpriced = new_ingredient(owner)
    told = {date: order(owner, {"ingredient": flour, "g": 300001}, date=on(date)).body for date in (-31, -10, -5)}
    assert [(told[date]["cost"], told[date]["lines"][0]["cost"]) for date in (-31, -10, -5)] == [(None, None), ("220.800736", "220.800736"), ("240.0008", "240.0008")]
    both = order(owner, {"ingredient": flour, "packs": 1}, {"ingredient": unpriced, "g": 5})
    assert (both["cost"], [line["cost"] for line in both["lines"]]) == (None, ["20.00", None])
    seen = baker.get(both.location).body
    assert "cost" not in seen and all("cost" not in line for line in seen["lines"])
    assert {**seen, "cost": None, "lines": [{**line, "cost": cost} for line, cost in zip(seen["lines"], ("20.00", None))]} == both.body


def test_deliveries_that_name_it_fill_it_and_their_reversal_empties_it(owner, flour):
    rye = new_ingredient(owner)
    number = order(owner, {"ingredient": flour, "g": 1000}, {"ingredient": rye, "g": 500})["number"]
    other = order(owner, {"ingredient": flour, "g": 1000})["number"]
    first = brought(owner, number, {"ingredient": flour, "g": 400})
    assert come(owner, number) == ("part", [(400, 600), (0, 500)])
    second = brought(owner, number, {"ingredient": flour, "g": 350}, {"ingredient": flour, "g": 251}, {"ingredient": "salt", "g": 5}, {"ingredient": rye, "g": 500})
    assert come(owner, number) == ("complete", [(1001, 0), (500, 0)]), "more than was ordered; salt was not"
    assert come(owner, other) == ("open", [(0, 1000)]), "nothing was said of that one"
    brought(owner, None, {"ingredient": flour, "g": 70})
    undone(owner, first)
    assert come(owner, number) == ("part", [(601, 399), (500, 0)])
    undone(owner, second)
    assert come(owner, number) == ("open", [(0, 1000), (0, 500)])


def test_a_delivery_names_an_order_of_its_own_supplier(owner, flour):
    number = order(owner, {"ingredient": flour, "g": 1000})["number"]
    for wrong in (goods({"ingredient": flour, "g": 1}, supplier="carter", purchase_order=number), goods({"ingredient": flour, "g": 1}, purchase_order=10**9)):
        answer = owner.post("/goods-in", wrong)
        assert (answer.status, answer.pointers) == (422, ["/purchase_order"])
    assert come(owner, number) == ("open", [(0, 1000)])


def test_an_order_is_closed_put_off_and_opened_again(baker, flour):
    placed = order(baker, {"ingredient": flour, "g": 1000}, note="Soon")
    closed = baker.put(placed.location, {"closed": True, "note": "The mill has none"}, If_Match=placed.etag)
    assert closed.status == 200 and closed.body == {**placed.body, "closed": True, "state": "closed", "note": "The mill has none"}
    assert baker.put(placed.location, {"closed": False}, If_Match=placed.etag).status == 412
    brought(baker, placed["number"], {"ingredient": flour, "g": 10})
    assert come(baker, placed["number"]) == ("closed", [(10, 990)])
    opened = baker.put(placed.location, {"closed": False, "due": on(8)}, If_Match=baker.get(placed.location).etag)
    assert (opened["state"], opened["due"], opened["note"]) == ("part", on(8), None)
    assert baker.put(placed.location, {"closed": False})["due"] == on(8), "it stays as it is"
    assert baker.delete(placed.location).status == 405


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/closed"]), ({"closed": "yes"}, ["/closed"]), ({"closed": True, "due": on(-1)}, ["/due"]), ({"closed": True, "note": ""}, ["/note"]),
    ({"closed": True, "lines": []}, ["/lines"]), ({"due": "soon", "note": 1, "state": "open"}, ["/closed", "/due", "/note", "/state"])])
def test_every_fault_of_a_change_is_told_at_its_place(owner, flour, body, pointers):
    placed = order(owner, {"ingredient": flour, "g": 1})
    answer = owner.put(placed.location, body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.get(placed.location).body == placed.body


SALT = {"ingredient": "salt", "g": 1000}
GOOD = {"supplier": "mill", "lines": [SALT]}


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/lines", "/supplier"]), ({**GOOD, "supplier": "nobody"}, ["/supplier"]), ({**GOOD, "supplier": 5}, ["/supplier"]), ({**GOOD, "date": on(800)}, ["/date"]),
    ({**GOOD, "date": "2027-02-30"}, ["/date"]), ({**GOOD, "due": on(-1)}, ["/due"]), ({**GOOD, "date": on(5), "due": on(4)}, ["/due"]), ({**GOOD, "note": 5}, ["/note"]),
    ({**GOOD, "lines": []}, ["/lines"]), ({**GOOD, "lines": [SALT] * 101}, ["/lines"]), ({**GOOD, "lines": [SALT, SALT]}, ["/lines/1/ingredient"]),
    ({**GOOD, "lines": [5]}, ["/lines/0"]), ({**GOOD, "lines": [{"g": 5}]}, ["/lines/0/ingredient"]), ({**GOOD, "lines": [{"ingredient": "gold", "packs": 5}]}, ["/lines/0/ingredient"]),
    ({**GOOD, "lines": [{"ingredient": "salt"}]}, ["/lines/0/g"]), ({**GOOD, "lines": [{"ingredient": "salt", "g": 0}]}, ["/lines/0/g"]),
    ({**GOOD, "lines": [{"ingredient": "salt", "pieces": 5}]}, ["/lines/0/g", "/lines/0/pieces"]), ({**GOOD, "lines": [{"ingredient": "bag", "pieces": 1.5}]}, ["/lines/0/pieces"]),
    *[({**GOOD, "lines": [{"ingredient": "salt", "packs": packs}]}, ["/lines/0/packs"]) for packs in (0, -1, 1.5, 1000001, "2")],
    ({**GOOD, "lines": [{**SALT, "packs": 1}]}, ["/lines/0/packs"]), ({**GOOD, "lines": [{"ingredient": "bag", "packs": 1001}]}, ["/lines/0/packs"]),
    ({**GOOD, "lines": [{**SALT, "price": "1"}]}, ["/lines/0/price"]), ({**GOOD, "closed": False}, ["/closed"]), ([], [""]),
    ({"supplier": "nobody", "date": on(800), "lines": [{"ingredient": "gold"}, {"ingredient": "salt", "g": -1}, SALT], "state": "open"},
     ["/date", "/lines/0/ingredient", "/lines/1/g", "/lines/2/ingredient", "/state", "/supplier"])])
def test_every_fault_of_an_order_is_told_at_its_place_and_nothing_stored(owner, body, pointers):
    before = owner.list("/purchase-orders")
    answer = owner.post("/purchase-orders", body)
    got = sorted(answer.pointers)
    if "/lines" in pointers and len(body.get("lines", [])) == 101:
        got = sorted({pointer for pointer in got if not pointer.startswith("/lines/")})
    assert (answer.status, got) == (422, pointers), answer
    assert owner.list("/purchase-orders") == before


def test_packs_of_what_has_no_pack_cannot_be_told(owner, flour):
    answer = owner.post("/purchase-orders", {"supplier": "mill", "lines": [{"ingredient": flour, "packs": 1}]})
    assert (answer.status, answer.pointers) == (422, ["/lines/0/packs"]) and "give g" in answer.text


def test_an_order_is_given_once(owner, flour):
    body = {"supplier": "mill", "lines": [{"ingredient": flour, "g": 5}]}
    first, again = (owner.post("/purchase-orders", body, Idempotency_Key="order-once") for _ in range(2))
    assert (first.status, first.text, first.location) == (again.status, again.text, again.location)
    assert owner.post("/purchase-orders", {**body, "note": "x"}, Idempotency_Key="order-once").status == 422
    assert sum(line["ingredient"] == flour for item in owner.list("/purchase-orders") for line in item["lines"]) == 1


def test_orders_are_listed_newest_first_and_found(owner, flour):
    enter(owner, {"/suppliers/lister": {"name": "Lister"}})
    numbers = [order(owner, {"ingredient": flour, "g": 100}, supplier=supplier)["number"] for supplier in ("lister", "carter", "lister", "lister", "lister")]
    brought(owner, numbers[2], {"ingredient": flour, "g": 100}, supplier="lister")
    brought(owner, numbers[3], {"ingredient": flour, "g": 99}, supplier="lister")
    owner.put(f"/purchase-orders/{numbers[4]}", {"closed": True})
    found = owner.list("/purchase-orders?supplier=lister")
    assert [item["number"] for item in found] == [numbers[4], numbers[3], numbers[2], numbers[0]]
    assert found == [owner.get(f"/purchase-orders/{item['number']}").body for item in found]
    assert owner.list("/purchase-orders?supplier=lister&open=true") == [found[1], found[3]]
    assert owner.list("/purchase-orders?supplier=lister&open=false&limit=1") == found
    assert owner.get("/purchase-orders?open=perhaps").status == owner.get("/purchase-orders?limit=0").status == 422
    assert owner.get("/purchase-orders?supplier=nobody")["items"] == []
    for number in ("0", "01", "x", "999999999", "99999999999999999999"):
        assert owner.get(f"/purchase-orders/{number}").status == 404


def test_who_and_what_was_ordered_stays(owner, flour):
    enter(owner, {"/suppliers/once": {"name": "Once"}})
    number = order(owner, {"ingredient": flour, "g": 5}, supplier="once")["number"]
    for path in ("/suppliers/once", f"/ingredients/{flour}"):
        answer = owner.delete(path)
        assert answer.status == 409 and f"purchase order {number}" in answer.text


def test_the_counter_has_no_part_in_it(owner, counter, flour):
    number = order(owner, {"ingredient": flour, "g": 5})["number"]
    assert {counter.get("/purchase-orders").status, counter.get(f"/purchase-orders/{number}").status, counter.post("/purchase-orders", GOOD).status,
            counter.put(f"/purchase-orders/{number}", {"closed": True}).status, counter.get("/order-proposals").status,
            counter.get("/ingredients/salt/supply").status} == {403}
