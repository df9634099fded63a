"""Suppliers: how they are reached, when they take orders and deliver. Supplies: where an ingredient is
ordered, in which packs, how safe its stock must be, where it stands."""

import pytest

from harness import enter
from storework import new_ingredient, on

pytestmark = pytest.mark.usefixtures("store")

EMPTY = {"phone": None, "email": None, "address": None, "lead_days": 1, "order_days": [1, 2, 3, 4, 5, 6, 7], "minimum_order": None, "note": None}
WEIR = {"name": "Weir Mill", "phone": "01632 960017", "email": "orders@weir.example", "address": "1 Weir Lane\nWrenwater", "lead_days": 2,
        "order_days": [1, 4], "minimum_order": "120.5", "note": "Ring before ten"}


# --- suppliers ---


@pytest.mark.parametrize("body, shown", [
    ({}, {}), (WEIR, {**WEIR, "minimum_order": "120.50"}), ({"lead_days": 0, "order_days": [7]}, {"lead_days": 0, "order_days": [7]}),
    ({"lead_days": 365, "order_days": [7, 1, 3]}, {"lead_days": 365, "order_days": [1, 3, 7]}), ({"minimum_order": "0"}, {}),
    ({name: None for name in EMPTY}, {}), ({"minimum_order": "0.000001"}, {"minimum_order": "0.000001"})])
def test_a_supplier_comes_back_as_it_was_entered(baker, body, shown):
    path = "/suppliers/weir"
    created = baker.put(path, {"name": "Weir Mill", **body})
    assert created.status == 201 and created.body == {"code": "weir", "name": "Weir Mill", **EMPTY, **shown}
    got = baker.get(path)
    assert (got.body, got.etag) == (created.body, created.etag) and created.body in baker.list("/suppliers")
    assert baker.put(path, {"name": "Weir Mill", **body}).etag == created.etag, "nothing changed"
    assert baker.delete(path).status == 204


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/name"]), ({"name": "x", "phone": 1}, ["/phone"]), ({"name": "x", "phone": "5" * 61}, ["/phone"]), ({"name": "x", "address": "a" * 501}, ["/address"]),
    *[({"name": "x", "email": email}, ["/email"]) for email in ("mill", "@mill", "mill@", "a@b@c", "a b@c", "", "a@b\n", "a" * 250 + "@b.cd")],
    *[({"name": "x", "lead_days": days}, ["/lead_days"]) for days in (-1, 366, 1.5, "1")],
    *[({"name": "x", "order_days": days}, ["/order_days"]) for days in ([], 3, [1, 2, 3, 4, 5, 6, 7, 1])],
    ({"name": "x", "order_days": [1, 0]}, ["/order_days/1"]), ({"name": "x", "order_days": [8]}, ["/order_days/0"]), ({"name": "x", "order_days": [2, 2]}, ["/order_days/1"]),
    *[({"name": "x", "minimum_order": money}, ["/minimum_order"]) for money in (5, "-1", "1.0000001", "x")],
    ({"name": "x", "fax": "1"}, ["/fax"]), ([], [""]),
    ({"email": "x", "lead_days": 400, "order_days": [], "minimum_order": 1, "vat": 1}, ["/email", "/lead_days", "/minimum_order", "/name", "/order_days", "/vat"])])
def test_every_fault_of_a_supplier_is_told_at_its_place(owner, body, pointers):
    before = owner.list("/suppliers")
    answer = owner.put("/suppliers/weir", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.list("/suppliers") == before


# --- supplies ---


def supply(flour, **more):
    """As it is in force without any entry or price."""
    return {"supplier": None, "pack_g": None, "service_pct": 95, "place": "store", **more}


def test_nothing_entered_goes_by_the_pack_price_in_force(owner, baker, flour):
    path = f"/ingredients/{flour}/supply"
    got = baker.get(path)
    assert got.body == {"ingredient": flour, "entered": False, **supply(flour, place=None), "in_force": supply(flour)}
    assert got.etag.startswith('"0.') and baker.get(path, If_None_Match=got.etag).status == 304
    enter(owner, {f"/ingredients/{flour}/prices/{on(-9)}": {"pack_g": 25000, "price": "20", "supplier": "mill"},
                  f"/ingredients/{flour}/prices/{on(9)}": {"pack_g": 10000, "price": "9", "supplier": "carter"}})
    assert baker.get(path)["in_force"] == supply(flour, supplier="mill", pack_g=25000)
    enter(owner, {f"/ingredients/{flour}/prices/{on(-1)}": {"pack_g": 16000, "price": "15"}})
    got = baker.get(path)
    assert (got["supplier"], got["pack_g"], got["entered"]) == (None, 16000, False), "the newer price names nobody"


def test_what_is_entered_goes_before_the_pack_price(owner, baker, flour):
    path = f"/ingredients/{flour}/supply"
    enter(owner, {f"/ingredients/{flour}/prices/{on(-9)}": {"pack_g": 25000, "price": "20", "supplier": "mill"}})
    entered = {"supplier": "carter", "pack_g": "12500.5", "service_pct": 99.9999, "place": "dry store"}
    created = baker.put(path, entered)
    assert created.status == 201
    told = {"supplier": "carter", "pack_g": created["pack_g"], "service_pct": created["service_pct"], "place": "dry store"}
    assert created.body == {"ingredient": flour, "entered": True, **told, "in_force": told}
    assert (str(told["pack_g"]), str(told["service_pct"])) == ("12500.5", "99.9999")
    got = baker.get(path)
    assert (got.body, got.etag) == (created.body, created.etag)
    again = baker.put(path, {"service_pct": "50"}, If_Match=created.etag)
    assert again.status == 200 and again.etag != created.etag
    assert again.body == {"ingredient": flour, "entered": True, **supply(flour, service_pct=50, place=None), "in_force": supply(flour, supplier="mill", pack_g=25000, service_pct=50)}
    assert baker.put(path, entered, If_Match=created.etag).status == 412 and baker.put(path, entered, If_None_Match="*").status == 412
    assert baker.delete(path, If_Match=created.etag).status == 412
    assert baker.delete(path).status == 204 and baker.delete(path).status == 404
    assert baker.get(path)["entered"] is False and baker.put(path, entered, If_Match="*").status == 412


def test_what_is_counted_comes_in_packs_of_pieces(owner):
    bag = new_ingredient(owner, unit="piece", kind="packaging")
    path = f"/ingredients/{bag}/supply"
    assert owner.put(path, {"pack_pieces": 500})["in_force"] == {"supplier": None, "pack_pieces": 500, "service_pct": 95, "place": "store"}
    assert owner.put(path, {"pack_g": 500}).pointers == ["/pack_g"] and owner.put(path, {"pack_pieces": 0.5}).pointers == ["/pack_pieces"]


@pytest.mark.parametrize("body, pointers", [
    ({"supplier": "nobody"}, ["/supplier"]), ({"supplier": "The mill"}, ["/supplier"]), ({"pack_g": 0}, ["/pack_g"]), ({"pack_g": "0.0001"}, ["/pack_g"]),
    ({"pack_pieces": 5}, ["/pack_pieces"]),
    *[({"service_pct": level}, ["/service_pct"]) for level in (49.9999, 35.3, 100, 0, "95.00001", "most")],
    *[({"place": place}, ["/place"]) for place in ("", " ", 5, "p" * 61, "a\nb")], ({"entered": True}, ["/entered"]), ([], [""]),
    ({"supplier": "nobody", "pack_g": -1, "service_pct": 40, "place": "", "ingredient": "salt"}, ["/ingredient", "/pack_g", "/place", "/service_pct", "/supplier"])])
def test_every_fault_of_a_supply_is_told_at_its_place(owner, body, pointers):
    answer = owner.put("/ingredients/salt/supply", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.get("/ingredients/salt/supply")["entered"] is False


def test_a_supply_is_of_an_ingredient_that_is_there(owner):
    for status in (owner.get("/ingredients/gold/supply").status, owner.put("/ingredients/gold/supply", {}).status, owner.delete("/ingredients/gold/supply").status):
        assert status == 404


def test_who_supplies_something_stays_and_an_ingredient_takes_its_supply_along(owner, flour):
    enter(owner, {"/suppliers/once": {"name": "Once"}, f"/ingredients/{flour}/supply": {"supplier": "once"}})
    answer = owner.delete("/suppliers/once")
    assert answer.status == 409 and f"supply of {flour}" in answer.text
    assert owner.delete(f"/ingredients/{flour}").status == 204 and owner.delete("/suppliers/once").status == 204
