"""Goods in: each line of a delivery becomes a lot, priced, placed and marked as it was told; and the
deliveries of which nothing was used can be undone."""

import pytest

from harness import enter
from storework import G, expect_faults, goods, left, move, moved, new_ingredient, on, received, undone

pytestmark = pytest.mark.usefixtures("store")

MEMBERS = {"number", "date", "at", "by", "supplier", "supplier_name", "delivery_note", "purchase_order", "note", "reversed_by", "lines"}


@pytest.fixture
def clips(owner):
    return new_ingredient(owner, unit="piece", kind="packaging")


def line(ingredient, g=1000, **more):
    return {"ingredient": ingredient, "g": g, **more}


def taken_in(client, *lines, **more):
    answer = client.post("/goods-in", goods(*lines, **more))
    assert answer.status == 201, answer
    return answer


def test_everything_that_was_told_is_kept(owner, baker, flour, clips):
    answer = taken_in(baker, {**line(flour, "250000.125"), "price": "184.001234", "pack_g": 25000, "lot_mark": "L 27/061", "best_before": on(200),
                              "place": "Loft, left", "c": "18.5", "damage": "One sack torn"},
                      {"ingredient": clips, "pieces": 1000, "price": "31", "pack_pieces": 250}, date=-3, delivery_note="D 1042", note="By the lane")
    assert set(answer.body) == MEMBERS and answer.location == f"/api/v1/goods-in/{answer['number']}"
    first, second = answer["lines"]
    assert "price" not in first, "bakers do not see what it cost"
    assert {name: answer[name] for name in ("date", "by", "supplier", "supplier_name", "delivery_note", "purchase_order", "note", "reversed_by")} == {
        "date": on(-3), "by": "t-baker", "supplier": "mill", "supplier_name": "The mill", "delivery_note": "D 1042", "purchase_order": None,
        "note": "By the lane", "reversed_by": None}
    assert first == {"lot": first["lot"], "ingredient": flour, "name": flour.capitalize(), "g": G("250000.125"), "pack_g": 25000, "lot_mark": "L 27/061",
                     "best_before": on(200), "place": "Loft, left", "c": G("18.5"), "damage": "One sack torn"}
    assert (second["pieces"], second["pack_pieces"], second["lot_mark"], second["best_before"], second["place"], second["c"]) == (1000, 250, None, None, "store", None)
    assert baker.get(answer.location).body == answer.body
    shown = owner.get(answer.location)
    assert [item["price"] for item in shown["lines"]] == ["184.001234", "31.00"]
    assert owner.get(answer.location, If_None_Match=shown.etag).status == 304


def test_every_line_is_a_lot_of_its_own(owner, flour):
    answer = taken_in(owner, line(flour, 1000, lot_mark="A"), line(flour, 2000, lot_mark="B"), line(flour, 3000, lot_mark="A"))
    lots = [owner.get(f"/lots/{item['lot']}") for item in answer["lines"]]
    assert [(lot["lot_mark"], lot["received_g"], lot["left_g"]) for lot in lots] == [("A", 1000, 1000), ("B", 2000, 2000), ("A", 3000, 3000)]
    assert {lot["delivery"] for lot in lots} == {answer["number"]}
    assert sorted(item["lot"] for item in answer["lines"]) == [item["lot"] for item in answer["lines"]], "numbered as they were told"


def test_a_movement_tells_of_it(baker, flour):
    answer = taken_in(baker, line(flour, 1000), line(flour, 500))
    shown = baker.get(f"/movements/{answer['number']}")
    assert (shown["kind"], shown["supplier"], shown["reversed_by"], shown["batch"]) == ("received", "mill", None, None)
    assert [(item["lot"], item["g"]) for item in shown["lines"]] == [(item["lot"], item["g"]) for item in answer["lines"]]


# --- the price of a line ---


@pytest.mark.parametrize("date, price", [(0, "7.36"), (-20, "10.00"), (-400, None)])
def test_a_line_without_a_price_is_priced_by_the_pack_price_of_the_day(owner, flour, date, price):
    """10,000 g of a pack of 25,000 g at 18.40; before that 25.00."""
    enter(owner, {f"/ingredients/{flour}/prices/{on(-10)}": {"pack_g": 25000, "price": "18.40"},
                  f"/ingredients/{flour}/prices/{on(-300)}": {"pack_g": 25000, "price": "25"}})
    item, = taken_in(owner, line(flour, 10000), date=date)["lines"]
    assert item["price"] == price == owner.get(f"/lots/{item['lot']}")["price"]


def test_what_was_paid_goes_before_the_pack_price(owner):
    assert taken_in(owner, line("bread-flour", 25000, price="0"))["lines"][0]["price"] == "0.00", "a present is worth nothing, which is known"
    assert taken_in(owner, line("bread-flour", 25000, price=None))["lines"][0]["price"] == "18.40"


def test_a_pack_price_that_gives_no_whole_millionth_is_rounded_half_to_even(owner, flour):
    enter(owner, {f"/ingredients/{flour}/prices/2020-01-01": {"pack_g": 2, "price": "0.000001"}})
    assert [taken_in(owner, line(flour, g))["lines"][0]["price"] for g in (1, 3, 5)] == ["0.00", "0.000002", "0.000002"]


def test_the_price_of_a_lot_is_put_right_by_the_owner_alone(owner, baker, flour):
    lot = received(baker, flour, 1000)
    assert owner.get(f"/lots/{lot}")["price"] is None
    assert baker.put(f"/lots/{lot}/price", {"price": "5"}).status == 403
    for price, shown in (("12.5", "12.50"), ("0.000001", "0.000001"), (None, None)):
        answer = owner.put(f"/lots/{lot}/price", {"price": price})
        assert (answer.status, answer["price"], owner.get(f"/lots/{lot}")["price"]) == (200, shown, shown)


# --- where it is put, and in which packs ---


def test_its_usual_place_and_pack_are_those_of_its_supply(owner, flour):
    enter(owner, {f"/ingredients/{flour}/prices/2020-01-01": {"pack_g": 12500, "price": "9"}})
    assert {name: taken_in(owner, line(flour))["lines"][0][name] for name in ("place", "pack_g")} == {"place": "store", "pack_g": 12500}
    enter(owner, {f"/ingredients/{flour}/supply": {"pack_g": 25000, "place": "silo"}})
    assert {name: taken_in(owner, line(flour))["lines"][0][name] for name in ("place", "pack_g")} == {"place": "silo", "pack_g": 25000}
    item, = taken_in(owner, line(flour, place="hall", pack_g=1000))["lines"]
    assert (item["place"], item["pack_g"]) == ("hall", 1000)


@pytest.mark.parametrize("member, written, kept", [("place", " silo  ", "silo"), ("lot_mark", "\u00a0L 7 ", "L 7")])
def test_blanks_around_what_was_typed_make_no_other_place_or_mark(owner, flour, member, written, kept):
    assert taken_in(owner, line(flour, **{member: written}))["lines"][0][member] == kept


def test_a_best_before_that_is_past_is_told_as_expired(baker, flour):
    lots = [received(baker, flour, 1000, best_before=on(n)) for n in (-1, 0, 1)] + [received(baker, flour, 1000)]
    assert [baker.get(f"/lots/{lot}")["expired"] for lot in lots] == [True, False, False, False]


# --- lists ---


def test_deliveries_newest_first_page_by_page(owner, flour):
    numbers = [taken_in(owner, line(flour), line(flour), supplier=supplier)["number"] for supplier in ("carter", "mill", "carter", "carter")]
    shown = owner.list("/goods-in")
    assert [item["number"] for item in shown] == sorted((item["number"] for item in shown), reverse=True)
    assert [item["number"] for item in shown if item["number"] in numbers] == numbers[::-1]
    assert all(item == owner.get(f"/goods-in/{item['number']}").body for item in shown[:3])
    for limit in (1, 2, 3):
        assert owner.list(f"/goods-in?limit={limit}") == shown
        assert owner.list(f"/goods-in?supplier=carter&limit={limit}") == [item for item in shown if item["supplier"] == "carter"]
    assert owner.get("/goods-in?supplier=nobody")["items"] == []
    for query in ("limit=0", "limit=1001", "after=x", "after=-1"):
        assert owner.get(f"/goods-in?{query}").status == 422, query


def test_there_is_no_delivery_of_that_number(owner, flour):
    number = moved(owner, "counted", flour, 100)["number"]
    for text in ("0", "-1", "1.0", "one", "01", "99999999999999999999", "999999", str(number)):
        assert owner.get(f"/goods-in/{text}").status == 404, text


# --- undoing ---


def test_a_delivery_of_which_nothing_was_used_can_be_undone(owner, baker, flour):
    answer = taken_in(baker, line(flour, 1000), line(flour, 500))
    back = undone(baker, answer["number"])
    assert (back["kind"], back["date"], back["reverses"], back["by"]) == ("reversed", answer["date"], answer["number"], "t-baker")
    assert [(item["lot"], item["g"]) for item in back["lines"]] == [(item["lot"], -item["g"]) for item in answer["lines"]]
    assert owner.get(answer.location)["reversed_by"] == back["number"]
    assert [left(owner, item["lot"]) for item in answer["lines"]] == [0, 0]
    assert undone(baker, answer["number"], 409).status == 409
    assert undone(baker, back["number"], 422).pointers == ["/reverses"]


def test_a_delivery_of_which_something_was_used_stays(owner, flour):
    answer = taken_in(owner, line(flour, 1000), line(flour, 500))
    use = moved(owner, "used", flour, "0.001")
    refused = undone(owner, answer["number"], 422)
    assert refused.pointers == ["/reverses"] and "used" in refused.text
    undone(owner, use["number"])
    assert left(owner, answer["lines"][0]["lot"]) == 1000


# --- once ---


def test_a_replay_repeats_the_delivery_and_takes_in_nothing(owner, flour):
    body = goods(line(flour))
    first = owner.post("/goods-in", body, Idempotency_Key=flour)
    again = owner.post("/goods-in", body, Idempotency_Key=flour)
    assert (first.status, again.status, again.location, again.text) == (201, 201, first.location, first.text)
    assert owner.post("/goods-in", goods(line(flour, 999)), Idempotency_Key=flour).status == 422
    assert owner.post("/movements", {"kind": "used", "ingredient": flour, "g": 1}, Idempotency_Key=flour).status == 422
    assert owner.post("/goods-in", body, Idempotency_Key=None).status == 400
    assert len(owner.list(f"/lots?ingredient={flour}")) == 1
    assert left(owner, first["lines"][0]["lot"]) == 1000


def test_who_may_do_what(counter, baker, owner, flour):
    answer = taken_in(baker, line(flour))
    for path in ("/goods-in", answer.location, "/lots", f"/lots/{answer['lines'][0]['lot']}", "/movements", f"/movements/{answer['number']}"):
        assert (counter.get(path).status, baker.get(path).status) == (403, 200), path
    assert counter.post("/goods-in", goods(line(flour))).status == 403


def test_a_supplier_and_an_ingredient_that_have_a_lot_stay(owner, flour):
    enter(owner, {"/suppliers/once": {"name": "Once"}})
    taken_in(owner, line(flour), supplier="once")
    for path in ("/suppliers/once", f"/ingredients/{flour}"):
        answer = owner.delete(path)
        assert answer.status == 409, path
    answer = owner.put(f"/ingredients/{flour}", {"name": "Other", "kind": "packaging", "unit": "piece"})
    assert (answer.status, answer.pointers) == (409, ["/unit"]), "its grams would be pieces"


# --- what is refused ---

GOOD = {"date": on(0), "supplier": "mill", "lines": [{"ingredient": "salt", "g": 1000}]}


def with_line(**more):
    return {**GOOD, "lines": [{**GOOD["lines"][0], **more}]}


FAULTS = [
    ({}, ["/date", "/lines", "/supplier"]), ({**GOOD, "date": None}, ["/date"]), ({**GOOD, "date": "2027-02-30"}, ["/date"]), ({**GOOD, "date": 5}, ["/date"]),
    ({**GOOD, "date": on(800)}, ["/date"]), ({**GOOD, "supplier": "nobody"}, ["/supplier"]), ({**GOOD, "supplier": "The mill"}, ["/supplier"]),
    ({**GOOD, "supplier": None}, ["/supplier"]), ({**GOOD, "lines": []}, ["/lines"]), ({**GOOD, "lines": {}}, ["/lines"]), ({**GOOD, "lines": [[]]}, ["/lines/0"]),
    ({**GOOD, "lines": GOOD["lines"] * 101}, ["/lines"]), ({**GOOD, "delivery_note": ""}, ["/delivery_note"]), ({**GOOD, "delivery_note": 5}, ["/delivery_note"]),
    ({**GOOD, "delivery_note": "x" * 201}, ["/delivery_note"]), ({**GOOD, "note": "x" * 2001}, ["/note"]), ({**GOOD, "purchase_order": 999999}, ["/purchase_order"]),
    ({**GOOD, "purchase_order": 0}, ["/purchase_order"]), ({**GOOD, "purchase_order": "1"}, ["/purchase_order"]), ({**GOOD, "number": 1}, ["/number"]),
    ({**GOOD, "by": "me"}, ["/by"]),
    ({**GOOD, "lines": [{}]}, ["/lines/0/ingredient"]), (with_line(ingredient="gold"), ["/lines/0/ingredient"]), (with_line(ingredient="Salt"), ["/lines/0/ingredient"]),
    (with_line(g=None), ["/lines/0/g"]), (with_line(g=0), ["/lines/0/g"]), (with_line(g=-1), ["/lines/0/g"]), (with_line(g="0.0001"), ["/lines/0/g"]),
    (with_line(g="much"), ["/lines/0/g"]), (with_line(g="1" + "0" * 13), ["/lines/0/g"]), (with_line(pieces=5), ["/lines/0/pieces"]),
    (with_line(g=None, pieces=5), ["/lines/0/g", "/lines/0/pieces"]),
    (with_line(ingredient="bag", g=5), ["/lines/0/g", "/lines/0/pieces"]), (with_line(ingredient="bag", g=None, pieces=0), ["/lines/0/pieces"]),
    (with_line(ingredient="bag", g=None, pieces=1.5), ["/lines/0/pieces"]), (with_line(ingredient="bag", g=None, pieces=1000001), ["/lines/0/pieces"]),
    (with_line(ingredient="bag", g=None, pieces=5, pack_g=5), ["/lines/0/pack_g"]),
    (with_line(pack_g=0), ["/lines/0/pack_g"]), (with_line(pack_g=-1), ["/lines/0/pack_g"]), (with_line(pack_pieces=5), ["/lines/0/pack_pieces"]),
    (with_line(price=1.5), ["/lines/0/price"]), (with_line(price="-1"), ["/lines/0/price"]), (with_line(price="1.0000001"), ["/lines/0/price"]),
    (with_line(price="a lot"), ["/lines/0/price"]), (with_line(price="10000000000"), ["/lines/0/price"]),
    (with_line(lot_mark=""), ["/lines/0/lot_mark"]), (with_line(lot_mark="   "), ["/lines/0/lot_mark"]), (with_line(lot_mark=5), ["/lines/0/lot_mark"]),
    (with_line(lot_mark="x" * 101), ["/lines/0/lot_mark"]), (with_line(lot_mark="a\nb"), ["/lines/0/lot_mark"]),
    (with_line(best_before="2027-02-30"), ["/lines/0/best_before"]), (with_line(best_before="soon"), ["/lines/0/best_before"]),
    (with_line(place=""), ["/lines/0/place"]), (with_line(place="x" * 61), ["/lines/0/place"]), (with_line(place="a\nb"), ["/lines/0/place"]),
    (with_line(c="hot"), ["/lines/0/c"]), (with_line(c=61), ["/lines/0/c"]), (with_line(c="18.00001"), ["/lines/0/c"]),
    (with_line(damage=""), ["/lines/0/damage"]), (with_line(damage="x" * 2001), ["/lines/0/damage"]), (with_line(colour="brown"), ["/lines/0/colour"]),
    (with_line(lot=1), ["/lines/0/lot"]),
    # All at once, and of the second line alone
    ({"date": on(800), "supplier": "nobody", "lines": [{"ingredient": "gold", "g": 5}, {"ingredient": "salt", "g": -1, "price": "-1", "c": 99}], "colour": 1},
     ["/colour", "/date", "/lines/0/ingredient", "/lines/1/c", "/lines/1/g", "/lines/1/price", "/supplier"]),
    ({**GOOD, "lines": [GOOD["lines"][0], {"ingredient": "salt"}]}, ["/lines/1/g"]),
]


@pytest.mark.usefixtures("nothing_stored")
class TestRefused:
    @pytest.mark.parametrize("body, pointers", FAULTS)
    def test_what_is_refused_leaves_nothing_behind(self, owner, body, pointers):
        expect_faults(owner.post("/goods-in", body), pointers)


def test_the_last_day_that_may_be_told_is_a_month_ahead(owner, flour):
    assert taken_in(owner, line(flour), date=30)["date"] == on(30)
    assert move(owner, "used", flour, 1).status == 422, "and until then it is not there"
