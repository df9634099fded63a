"""Counting: the sheet, sacks and part-sacks as they were found, and a book that is right afterwards."""

import pytest

from harness import enter
from storework import G, expect_faults, left, moved, new_ingredient, on, received, undone

pytestmark = pytest.mark.usefixtures("store")

MEMBERS = {"number", "date", "at", "by", "note", "reversed_by", "lines"}


def counted(client, *lines, **more):
    answer = client.post("/counts", {"lines": list(lines), **more})
    assert answer.status == 201, answer
    return answer


# --- the sheet ---


def sheet(client, *codes, query=""):
    return [item for item in client.get(f"/count-sheet{query}")["items"] if item["ingredient"] in codes]


def test_the_sheet_names_every_lot_that_is_left_place_by_place(owner, baker, flour):
    late, soon = received(owner, flour, 100, best_before=on(9), place="a hall", pack_g=25, lot_mark="L"), received(owner, flour, 50, best_before=on(-1), place="a hall")
    empty = received(owner, flour, 10, place="a hall")
    moved(owner, "moved", flour, 30, lot=late, to="b loft")
    moved(owner, "used", flour, 10, lot=empty)
    answer = baker.get("/count-sheet")
    assert answer["date"] == on(0) and baker.get("/count-sheet", If_None_Match=answer.etag).status == 304
    items = sheet(baker, flour)
    assert [(item["place"], item["lot"], item["expected_g"]) for item in items] == [("a hall", late, 70), ("a hall", soon, 50), ("b loft", late, 30)], "expired ones last"
    assert items[0] == {"ingredient": flour, "name": flour.capitalize(), "unit": "g", "lot": late, "lot_mark": "L", "supplier_name": "The mill", "best_before": on(9),
                        "expired": False, "held": False, "place": "a hall", "pack_g": 25, "expected_g": 70}
    assert {"a hall", "b loft"} <= set(answer["places"]) and answer["places"] == sorted(set(answer["places"]))
    assert [item["place"] for item in sheet(baker, flour, query="?place=b%20loft")] == ["b loft"]
    places = [item["place"] for item in answer["items"] if item["place"] is not None]
    assert places == sorted(places)


def test_what_no_stock_is_kept_of_stands_at_the_end(owner, flour):
    items = owner.get("/count-sheet")["items"]
    first = next(n for n, item in enumerate(items) if item["lot"] is None)
    assert all(item["lot"] is None and item["place"] is None and item.get("expected_g", item.get("expected_pieces")) == 0 for item in items[first:])
    assert flour in [item["ingredient"] for item in items[first:]]
    clips = new_ingredient(owner, unit="piece", kind="packaging")
    item, = sheet(owner, clips)
    assert (item["unit"], item["expected_pieces"], item["pack_pieces"]) == ("piece", 0, None)
    received(owner, flour, 1)
    assert [item["place"] for item in sheet(owner, flour)] == ["store"]


# --- what was found ---


def test_sacks_and_what_is_open_of_one_are_added(owner, flour):
    lot = received(owner, flour, 100000, pack_g=25000, price="50")
    answer = counted(owner, {"ingredient": flour, "lot": lot, "packs": 3, "g": "12500.5"}, note="End of the month")
    assert set(answer.body) == MEMBERS | {"difference_value", "unvalued"} and answer.location == f"/api/v1/counts/{answer['number']}"
    line, = answer["lines"]
    assert (line["expected_g"], line["counted_g"], line["difference_g"]) == (100000, G("87500.5"), G("-12499.5"))
    assert (line["difference_value"], answer["difference_value"], answer["unvalued"]) == ("-6.24975", "-6.24975", 0)
    assert (answer["note"], answer["date"], answer["by"], left(owner, lot)) == ("End of the month", on(0), "t-owner", G("87500.5"))
    assert owner.get(answer.location).body == answer.body
    assert counted(owner, {"ingredient": flour, "lot": lot, "packs": 2})["lines"][0]["counted_g"] == 50000
    assert counted(owner, {"ingredient": flour, "lot": lot, "packs": 0})["lines"][0]["counted_g"] == 0


def test_bakers_count_without_seeing_what_it_costs(baker, owner, flour):
    received(owner, flour, 100, price="50")
    answer = counted(baker, {"ingredient": flour, "g": 10})
    assert set(answer.body) == MEMBERS and "difference_value" not in answer["lines"][0]
    assert owner.get(answer.location)["difference_value"] == "-45.00"


def test_the_pack_is_the_lots_own_or_the_usual_one(owner, flour):
    enter(owner, {f"/ingredients/{flour}/prices/2020-01-01": {"pack_g": 12500, "price": "9"}})
    lot, other = received(owner, flour, 25000, pack_g=5000), received(owner, flour, 25000)
    assert [counted(owner, {"ingredient": flour, "lot": number, "packs": 2})["lines"][0]["counted_g"] for number in (lot, other)] == [10000, 25000]
    assert counted(owner, {"ingredient": flour, "packs": 2})["lines"][0]["counted_g"] == 25000


def test_a_pack_that_is_not_known_is_told(owner, flour):
    refused = owner.post("/counts", {"lines": [{"ingredient": flour, "g": 1}, {"ingredient": flour, "packs": 1}]})
    assert (refused.status, refused.pointers) == (422, ["/lines/1/packs"]), refused


def test_a_lot_here_and_there_in_the_same_place_is_one_line(owner, flour):
    """A sack by the door and an open one by the mixer."""
    lot = received(owner, flour, 1000)
    answer = counted(owner, {"ingredient": flour, "lot": lot, "place": "store", "g": 600}, {"ingredient": flour, "lot": lot, "place": "store", "g": 390})
    line, = answer["lines"]
    assert (line["expected_g"], line["counted_g"], line["difference_g"]) == (1000, 990, -10)
    assert left(owner, lot) == 990


def test_places_are_counted_each_by_itself(owner, flour):
    lot = received(owner, flour, 1000)
    moved(owner, "moved", flour, 300, lot=lot, to="hall")
    answer = counted(owner, {"ingredient": flour, "lot": lot, "place": "hall", "g": 310}, {"ingredient": flour, "lot": lot, "place": "store", "g": 690},
                     {"ingredient": flour, "lot": lot, "place": "attic", "g": 5})
    assert [(line["place"], line["expected_g"], line["difference_g"]) for line in answer["lines"]] == [("hall", 300, 10), ("store", 700, -10), ("attic", 0, 5)]
    assert owner.get(f"/lots/{lot}")["places"] == [{"place": "attic", "g": 5}, {"place": "hall", "g": 310}, {"place": "store", "g": 690}]


def test_a_count_without_a_difference_is_a_count(owner, flour):
    lot = received(owner, flour, 1000)
    answer = counted(owner, {"ingredient": flour, "lot": lot, "g": 1000})
    assert answer["lines"][0]["difference_g"] == 0 and answer["number"] in [item["number"] for item in owner.list("/counts")]


def test_each_line_sees_what_those_before_it_changed(owner, flour):
    answer = counted(owner, {"ingredient": flour, "g": 500}, {"ingredient": flour, "place": "store", "g": 300})
    assert [(line["expected_g"], line["counted_g"], line["difference_g"]) for line in answer["lines"]] == [(0, 500, 500), (500, 300, -200)]
    lot, = owner.get(f"/lots?ingredient={flour}")["items"]
    assert (lot["left_g"], lot["supplier"]) == (300, None)


def test_a_difference_of_unknown_value_is_told_and_not_worth_nothing(owner, flour):
    lots = [received(owner, flour, 1000), received(owner, flour, 1000, price="10")]
    answer = counted(owner, *[{"ingredient": flour, "lot": lot, "g": 900} for lot in lots])
    assert [line["difference_value"] for line in answer["lines"]] == [None, "-1.00"]
    assert (answer["difference_value"], answer["unvalued"]) == (None, 1)


def test_a_count_of_an_earlier_day_expects_what_was_there_then(owner, flour):
    lot = received(owner, flour, 1000, date=-5)
    moved(owner, "used", flour, 400, date=-1)
    answer = counted(owner, {"ingredient": flour, "lot": lot, "g": 950}, date=on(-3))
    assert (answer["lines"][0]["expected_g"], answer["lines"][0]["difference_g"], left(owner, lot)) == (1000, -50, 550)
    refused = owner.post("/counts", {"date": on(-3), "lines": [{"ingredient": flour, "lot": lot, "g": 399}]})
    assert (refused.status, refused.pointers) == (422, ["/lines/0/g"]), "more was used since than would have been there"


def test_what_is_found_on_an_earlier_day_is_of_a_lot_that_was_there_then(owner, flour):
    old = received(owner, flour, 1000, date=-5)
    new = received(owner, flour, 1000, date=-1)
    answer = counted(owner, {"ingredient": flour, "g": 1100}, date=on(-3))
    assert answer["lines"][0]["expected_g"] == 1000
    assert (left(owner, old), left(owner, new)) == (1100, 1000)


def test_what_is_found_before_the_first_delivery_is_a_lot_without_supplier(owner, flour):
    new = received(owner, flour, 1000, date=-1)
    counted(owner, {"ingredient": flour, "g": 100}, date=on(-3))
    begun, = [item for item in owner.list(f"/lots?ingredient={flour}") if item["lot"] != new]
    assert (begun["supplier"], begun["received_on"], begun["left_g"]) == (None, on(-3), 100)


def test_what_is_found_is_not_of_a_delivery_that_was_undone(owner, flour):
    old = received(owner, flour, 100, date=-2)
    wrong = received(owner, flour, 100, date=-1)
    undone(owner, owner.get(f"/lots/{wrong}")["delivery"])
    counted(owner, {"ingredient": flour, "g": 130})
    assert (left(owner, old), left(owner, wrong)) == (130, 0)


def test_a_count_can_be_undone(owner, flour):
    lot = received(owner, flour, 1000)
    answer = counted(owner, {"ingredient": flour, "lot": lot, "g": 990})
    back = undone(owner, answer["number"])
    assert left(owner, lot) == 1000 and undone(owner, answer["number"], 409).status == 409
    assert owner.get(answer.location).body == {**answer.body, "reversed_by": back["number"]}, "it is not erased"


def test_counts_newest_first(owner, flour):
    received(owner, flour, 100)
    numbers = [counted(owner, {"ingredient": flour, "g": g})["number"] for g in (90, 80, 70)]
    shown = owner.list("/counts")
    assert [item["number"] for item in shown][:3] == numbers[::-1]
    assert owner.list("/counts?limit=2") == shown and shown[0] == owner.get(f"/counts/{numbers[-1]}").body
    delivery = owner.get("/goods-in?limit=1")["items"][0]["number"]
    for text in ("0", "-1", "1.0", "one", "99999999999999999999", "999999", str(delivery)):
        assert owner.get(f"/counts/{text}").status == 404, text
    assert owner.get("/counts?limit=0").status == 422


def test_a_replay_repeats_the_count(owner, flour):
    lot = received(owner, flour, 100)
    body = {"lines": [{"ingredient": flour, "lot": lot, "g": 90}]}
    first = owner.post("/counts", body, Idempotency_Key=flour)
    moved(owner, "used", flour, 10)
    again = owner.post("/counts", body, Idempotency_Key=flour)
    assert (first.status, again.status, again.text) == (201, 201, first.text)
    assert owner.post("/counts", {**body, "note": "x"}, Idempotency_Key=flour).status == 422
    assert owner.post("/counts", body, Idempotency_Key=None).status == 400
    assert left(owner, lot) == 80


def test_nobody_but_bakers_counts(counter, flour):
    for method, path, body in (("GET", "/count-sheet", None), ("GET", "/counts", None), ("POST", "/counts", {"lines": [{"ingredient": flour, "g": 1}]})):
        assert counter.ask(method, path, body).status == 403


def test_500_lines_are_counted_in_a_moment(owner, flour):
    lots = [received(owner, flour, 10) for _ in range(5)]
    lines = [{"ingredient": flour, "lot": lots[n % 5], "place": f"p{n}", "g": 1} for n in range(500)]
    answer = counted(owner, *lines)
    assert len(answer["lines"]) == 500 and sum(left(owner, lot) for lot in lots) == 550


# --- what is refused ---

LINE = {"ingredient": "rye-flour", "g": 1}
FAULTS = [
    ({}, ["/lines"]), ({"lines": []}, ["/lines"]), ({"lines": {}}, ["/lines"]), ({"lines": [5]}, ["/lines/0"]), ({"lines": [LINE] * 501}, ["/lines"]),
    ({"lines": [LINE], "date": "2027-02-30"}, ["/date"]), ({"lines": [LINE], "date": on(800)}, ["/date"]), ({"lines": [LINE], "note": ""}, ["/note"]),
    ({"lines": [LINE], "note": "x" * 2001}, ["/note"]), ({"lines": [LINE], "by": "me"}, ["/by"]),
    *[({"lines": [LINE, {**LINE, **more}]}, pointers) for more, pointers in (
        ({"ingredient": None}, ["/lines/1/ingredient"]), ({"ingredient": "gold"}, ["/lines/1/ingredient"]), ({"g": None}, ["/lines/1/g"]), ({"g": -1}, ["/lines/1/g"]),
        ({"g": "0.0001"}, ["/lines/1/g"]), ({"g": "1" + "0" * 13}, ["/lines/1/g"]), ({"pieces": 1}, ["/lines/1/pieces"]),
        ({"ingredient": "bag"}, ["/lines/1/g", "/lines/1/pieces"]), ({"packs": -1}, ["/lines/1/packs"]), ({"packs": 1.5}, ["/lines/1/packs"]), ({"packs": "1"}, ["/lines/1/packs"]),
        ({"lot": 0}, ["/lines/1/lot"]), ({"lot": "1"}, ["/lines/1/lot"]), ({"lot": 999999}, ["/lines/1/lot"]), ({"place": ""}, ["/lines/1/place"]),
        ({"place": "x" * 61}, ["/lines/1/place"]), ({"place": "a\nb"}, ["/lines/1/place"]), ({"expected_g": 1}, ["/lines/1/expected_g"]))],
    ({"date": "soon", "note": 5, "lines": [{"ingredient": "gold", "g": -1}, {"ingredient": "rye-flour", "g": -1, "lot": 0}], "x": 1},
     ["/date", "/lines/0/ingredient", "/lines/1/g", "/lines/1/lot", "/note", "/x"]),
]


@pytest.fixture(scope="class")
def begun(owner):
    received(owner, "rye-flour", 1000)


@pytest.mark.usefixtures("nothing_stored")
class TestRefused:
    @pytest.mark.parametrize("body, pointers", FAULTS)
    def test_what_is_refused_leaves_nothing_behind(self, owner, body, pointers):
        expect_faults(owner.post("/counts", body), pointers)

    def test_a_lot_of_another_ingredient_is_no_lot_of_this_one(self, owner):
        lot = owner.get("/lots?ingredient=rye-flour")["items"][0]["lot"]
        refused = owner.post("/counts", {"lines": [LINE, {"ingredient": "bread-flour", "lot": lot, "g": 1}]})
        assert (refused.status, refused.pointers) == (422, ["/lines/1/lot"]), refused

    def test_more_than_the_book_can_hold(self, owner):
        most = 10 ** 12
        refused = owner.post("/counts", {"lines": [{"ingredient": "rye-flour", "place": f"p{n}", "g": most} for n in range(200)]})
        assert refused.status == 422, refused
