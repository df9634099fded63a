"""Lots: what is left of each and where, how they are marked, found and set apart."""

import pytest

from harness import Client, enter, open_bakeries
from storework import G, STORE, goods, left, move, moved, new_ingredient, nothing_stored_in, on, received, undone

pytestmark = pytest.mark.usefixtures("store")

MEMBERS = {"lot", "ingredient", "name", "unit", "supplier", "supplier_name", "received_on", "delivery", "delivery_note", "lot_mark", "best_before",
           "expired", "c", "damage", "held", "note", "places"}
GRAMS, PIECES = ({f"{stem}_{unit}" for stem in ("received", "left", "pack")} for unit in ("g", "pieces"))


def test_all_that_is_known_of_a_lot(owner, baker, flour):
    answer = baker.post("/goods-in", goods({"ingredient": flour, "g": 1000, "lot_mark": "M", "best_before": on(-1), "price": "3", "pack_g": 250, "c": 4,
                                            "damage": "Wet"}, date=-5, delivery_note="D 1"))
    lot = answer["lines"][0]["lot"]
    shown = baker.get(f"/lots/{lot}")
    assert set(shown.body) == MEMBERS | GRAMS and set(owner.get(f"/lots/{lot}").body) == MEMBERS | GRAMS | {"price"}
    assert shown.body == {"lot": lot, "ingredient": flour, "name": flour.capitalize(), "unit": "g", "supplier": "mill", "supplier_name": "The mill",
                          "received_on": on(-5), "delivery": answer["number"], "delivery_note": "D 1", "lot_mark": "M", "best_before": on(-1), "expired": True,
                          "c": 4, "damage": "Wet", "held": False, "note": None, "received_g": 1000, "left_g": 1000, "pack_g": 250,
                          "places": [{"place": "store", "g": 1000}]}
    assert baker.get(f"/lots/{lot}", If_None_Match=shown.etag).status == 304


def test_pieces_are_told_as_pieces(owner):
    clips = new_ingredient(owner, unit="piece", kind="packaging")
    lot = received(owner, clips, 12, pieces=True)
    owner.post("/movements", {"kind": "wasted", "ingredient": clips, "pieces": 5})
    shown = owner.get(f"/lots/{lot}")
    assert set(shown.body) == MEMBERS | PIECES | {"price"}
    assert (shown["unit"], shown["received_pieces"], shown["left_pieces"], shown["places"]) == ("piece", 12, 7, [{"place": "store", "pieces": 7}])


def test_what_is_left_and_where_follows_every_movement(owner, flour):
    lot = received(owner, flour, "1000.5", place="hall")
    etags = [owner.get(f"/lots/{lot}").etag]
    moved(owner, "moved", flour, 400, lot=lot, to="attic")
    moved(owner, "used", flour, "100.25", lot=lot, place="attic")
    assert owner.get(f"/lots/{lot}")["places"] == [{"place": "attic", "g": G("299.75")}, {"place": "hall", "g": G("600.5")}]
    etags.append(owner.get(f"/lots/{lot}").etag)
    moved(owner, "wasted", flour, "299.75", lot=lot, place="attic")
    shown = owner.get(f"/lots/{lot}")
    assert (shown["places"], shown["left_g"]) == ([{"place": "hall", "g": G("600.5")}], G("600.5"))
    assert len({*etags, shown.etag}) == 3, "what is cached is never taken for the present"


def test_the_four_that_can_be_changed_are_replaced(owner, baker, flour):
    lot = received(owner, flour, 1000, lot_mark="L", best_before=on(9))
    shown = baker.get(f"/lots/{lot}")
    answer = baker.put(f"/lots/{lot}", {"lot_mark": "M", "best_before": on(8), "held": True, "note": "The mill called"}, If_Match=shown.etag)
    assert (answer.status, answer["lot_mark"], answer["best_before"], answer["held"], answer["note"]) == (200, "M", on(8), True, "The mill called")
    assert baker.get(f"/lots/{lot}").body == answer.body
    assert baker.put(f"/lots/{lot}", {}, If_Match=shown.etag).status == 412
    answer = baker.put(f"/lots/{lot}", {}, If_Match=answer.etag)
    assert (answer["lot_mark"], answer["best_before"], answer["held"], answer["note"]) == (None, None, False, None)
    assert baker.put(f"/lots/{lot}", {}, If_None_Match="*").status == 412


@pytest.mark.parametrize("body, pointers", [
    ({"held": "yes"}, ["/held"]), ({"held": 1}, ["/held"]), ({"lot_mark": ""}, ["/lot_mark"]), ({"lot_mark": "x" * 101}, ["/lot_mark"]),
    ({"best_before": "soon"}, ["/best_before"]), ({"best_before": "2027-02-30"}, ["/best_before"]), ({"note": ""}, ["/note"]), ({"note": "x" * 2001}, ["/note"]),
    ({"left_g": 5}, ["/left_g"]), ({"supplier": "mill"}, ["/supplier"]), ({"price": "1"}, ["/price"]),
    ({"held": 5, "best_before": 5, "colour": 5}, ["/best_before", "/colour", "/held"])])
def test_what_a_lot_cannot_be_told(owner, flour, body, pointers):
    lot = received(owner, flour, 1)
    before = owner.get(f"/lots/{lot}").text
    answer = owner.put(f"/lots/{lot}", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.get(f"/lots/{lot}").text == before


@pytest.mark.parametrize("body, pointers", [({}, ["/price"]), ({"price": 5}, ["/price"]), ({"price": "-1"}, ["/price"]), ({"price": "0.0000001"}, ["/price"]),
                                            ({"price": "x"}, ["/price"]), ({"price": "1", "held": True}, ["/held"])])
def test_what_a_lot_cannot_have_cost(owner, flour, body, pointers):
    lot = received(owner, flour, 1, price="2")
    answer = owner.put(f"/lots/{lot}/price", body)
    if body == {} and answer.status == 200:  # null and absent are the same
        assert answer["price"] is None
        return
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.get(f"/lots/{lot}")["price"] == "2.00"


def test_there_is_no_lot_of_that_number(owner):
    for text in ("0", "-1", "1.0", "one", "01", "99999999999999999999", "999999"):
        assert owner.get(f"/lots/{text}").status == owner.put(f"/lots/{text}", {}).status == owner.put(f"/lots/{text}/price", {"price": "1"}).status == 404, text


# --- set apart ---


def test_nothing_is_used_of_a_lot_that_is_held(owner, flour):
    first, second = received(owner, flour, 1000, best_before=on(5)), received(owner, flour, 500, best_before=on(50))
    owner.put(f"/lots/{first}", {"best_before": on(5), "held": True})
    assert moved(owner, "used", flour, 400)["lines"][0]["lot"] == second
    refused = move(owner, "used", flour, 200)
    assert (refused.status, refused.pointers) == (422, ["/g"]) and "100 g" in refused.text
    assert move(owner, "used", flour, 1, lot=first).pointers == ["/lot"]
    for kind in ("wasted", "returned"):
        assert moved(owner, kind, flour, 100, lot=first)["lines"][0]["lot"] == first
    assert moved(owner, "wasted", flour, 10)["lines"][0]["lot"] == first, "thrown away is what is oldest, held or not"
    owner.put(f"/lots/{first}", {"best_before": on(5)})
    assert moved(owner, "used", flour, 200)["lines"][0]["lot"] == first
    assert (left(owner, first), left(owner, second)) == (590, 100)


def test_a_new_best_before_changes_the_order_of_taking(owner, flour):
    first, second = received(owner, flour, 100, best_before=on(5)), received(owner, flour, 100, best_before=on(6))
    owner.put(f"/lots/{first}", {"best_before": on(7)})
    assert moved(owner, "used", flour, 1)["lines"][0]["lot"] == second


# --- lists ---


def test_lots_are_found_by_ingredient_supplier_mark_and_whether_any_is_left(owner, flour):
    enter(owner, {"/suppliers/carter": {"name": "The carter"}})
    lots = {}
    for n, (supplier, mark) in enumerate([("mill", "A&B"), ("carter", "A&B"), ("mill", "C"), ("carter", None)]):
        lots[n] = owner.post("/goods-in", goods({"ingredient": flour, "g": 100, **({"lot_mark": mark} if mark else {})}, supplier=supplier))["lines"][0]["lot"]
    moved(owner, "used", flour, 100, lot=lots[1])
    every = owner.list(f"/lots?ingredient={flour}")
    assert [item["lot"] for item in every] == [lots[n] for n in (3, 2, 1, 0)]
    assert all(item == owner.get(f"/lots/{item['lot']}").body for item in every)
    for query, found in (("left=true", [3, 2, 0]), ("supplier=carter", [3, 1]), ("supplier=carter&left=true", [3]), ("lot_mark=A%26B", [1, 0]),
                         ("lot_mark=a%26b", []), ("lot_mark=C&supplier=carter", []), ("left=false", [3, 2, 1, 0])):
        for limit in (1, 500):
            assert [item["lot"] for item in owner.list(f"/lots?ingredient={flour}&{query}&limit={limit}")] == [lots[n] for n in found], query
    assert owner.get("/lots?ingredient=gold")["items"] == []
    for query in ("limit=0", "limit=1001", "after=x", "left=maybe"):
        assert owner.get(f"/lots?{query}").status == 422, query


def test_what_was_there_when_the_book_was_begun_is_a_lot_without_supplier(owner, flour):
    begun = moved(owner, "counted", flour, 750)
    lot, = owner.get(f"/lots?ingredient={flour}")["items"]
    assert (lot["supplier"], lot["supplier_name"], lot["delivery"], lot["received_on"], lot["received_g"]) == (None, None, begun["number"], on(0), 750)
    assert [item["lot"] for item in begun["lines"]] == [lot["lot"]]


def test_another_bakery_neither_sees_nor_moves_it(owner, server, flour):
    other = Client(server, open_bakeries(server.conninfo, 1)[0])
    enter(other, STORE)
    lot = received(owner, flour, 1000)
    delivery = owner.get(f"/lots/{lot}")["delivery"]
    for path in (f"/lots/{lot}", f"/goods-in/{delivery}", f"/movements/{delivery}"):
        assert other.get(path).status == 404, path
    assert other.put(f"/lots/{lot}", {"held": True}).status == other.put(f"/lots/{lot}/price", {"price": "1"}).status == 404
    assert other.list("/lots") == other.list("/movements") == other.list("/goods-in") == []
    received(other, "bread-flour", 100)
    for kind in ("used", "wasted", "counted"):
        assert move(other, kind, "bread-flour", 1, lot=lot).pointers == ["/lot"], kind
    assert undone(other, delivery, 422).pointers == ["/reverses"]
    assert left(owner, lot) == 1000


def test_more_than_the_book_can_hold_is_told(owner, flour):
    lines = [{"ingredient": flour, "g": 10 ** 12}] * 100
    assert owner.post("/goods-in", goods(*lines)).status == 201
    refused = owner.post("/goods-in", goods(*lines))
    assert refused.status == 422 and "more than the book can hold" in refused.text


def test_a_refused_change_leaves_nothing_behind(owner, server, flour):
    lot = received(owner, flour, 1)
    with nothing_stored_in(server.conninfo):
        owner.put(f"/lots/{lot}", {"held": 5})
        owner.put(f"/lots/{lot}/price", {"price": 5})
        undone(owner, 999999, 422)
