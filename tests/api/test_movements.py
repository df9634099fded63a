"""Movements: used, wasted, given back, counted, moved and undone, to the milligram, on the day that was
told; beside them a second book in which every balance is added up anew."""

import random

import pytest

from storework import G, Book, expect_faults, goods, left, lines_of, move, moved, new_ingredient, on, received, undone

pytestmark = pytest.mark.usefixtures("store")

MEMBERS = {"number", "kind", "date", "at", "by", "reason", "supplier", "starter", "log_entry", "reverses", "reversed_by", "batch", "lines"}


# --- one at a time ---


def test_what_is_answered_is_what_get_shows(baker, flour):
    lot = received(baker, flour, 1000, lot_mark="L")
    answer = moved(baker, "used", flour, "250.125", date=0, reason="For the wedding cake")
    assert set(answer.body) == MEMBERS and answer.location == f"/api/v1/movements/{answer['number']}"
    assert {name: answer[name] for name in MEMBERS - {"number", "at"}} == {
        "kind": "used", "date": on(0), "by": "t-baker", "reason": "For the wedding cake", "supplier": None, "starter": None, "log_entry": None,
        "reverses": None, "reversed_by": None, "batch": None,
        "lines": [{"ingredient": flour, "name": flour.capitalize(), "lot": lot, "lot_mark": "L", "place": "store", "g": G("-250.125")}]}
    shown = baker.get(answer.location)
    assert shown.body == answer.body and baker.get(answer.location, If_None_Match=shown.etag).status == 304


def test_today_is_the_default_day(baker, flour):
    received(baker, flour, 10, date=-1)
    assert moved(baker, "used", flour, 1)["date"] == on(0)


def test_the_oldest_best_before_goes_first(owner, flour):
    """Expired lots come last, those without a date after those that have one, then by number."""
    dates = {"late": on(30), "none": None, "soon": on(3), "expired": on(-1), "soon too": on(3), "long expired": on(-9)}
    lots = {name: received(owner, flour, 100, date=-20, **({"best_before": date} if date else {})) for name, date in dates.items()}
    names = {lot: name for lot, name in ((lot, name) for name, lot in lots.items())}
    answer = moved(owner, "used", flour, 550)
    assert [names[lot] for lot, _, _ in lines_of(answer)] == ["soon", "soon too", "late", "none", "long expired", "expired"]
    assert [g for _, _, g in lines_of(answer)] == [-100] * 5 + [-50]


def test_whether_it_is_expired_is_asked_of_the_day_of_the_movement(owner, flour):
    first, second = received(owner, flour, 100, date=-20, best_before=on(-5)), received(owner, flour, 100, date=-20, best_before=on(5))
    assert lines_of(moved(owner, "used", flour, 1, date=-10)) == [(first, "store", -1)]
    assert lines_of(moved(owner, "used", flour, 1, date=-4)) == [(second, "store", -1)]


def test_a_lot_and_a_place_can_be_chosen(owner, flour):
    first, second = received(owner, flour, 100), received(owner, flour, 100)
    assert lines_of(moved(owner, "used", flour, 10, lot=second)) == [(second, "store", -10)]
    moved(owner, "moved", flour, 50, lot=second, to="hall")
    assert lines_of(moved(owner, "used", flour, 10, place="hall")) == [(second, "hall", -10)]
    assert lines_of(moved(owner, "wasted", flour, 75, lot=second)) == [(second, "hall", -40), (second, "store", -35)]
    refused = move(owner, "used", flour, "105.001", place="store")
    assert (refused.status, refused.pointers) == (422, ["/g"]), refused
    assert left(owner, first) == 100


def test_moving_changes_the_place_and_nothing_else(owner, flour):
    lot = received(owner, flour, 100, place="hall")
    answer = moved(owner, "moved", flour, "25.5", lot=lot, to="attic")
    assert sorted(lines_of(answer)) == [(lot, "attic", G("25.5")), (lot, "hall", G("-25.5"))]
    assert left(owner, lot) == 100
    refused = move(owner, "moved", flour, 1, lot=lot, to="attic")
    assert (refused.status, refused.pointers) == (422, ["/place"]), "it stands in two places: from which?"
    assert move(owner, "moved", flour, 1, lot=lot, place="hall", to="hall").pointers == ["/to"]
    assert move(owner, "moved", flour, 26, lot=lot, place="attic", to="hall").pointers == ["/g"]
    moved(owner, "moved", flour, "25.5", lot=lot, place="attic", to="hall")
    assert owner.get(f"/lots/{lot}")["places"] == [{"place": "hall", "g": 100}]


def test_the_last_milligram_can_be_taken_and_no_more(owner, flour):
    received(owner, flour, "0.003")
    moved(owner, "used", flour, "0.002")
    refused = move(owner, "used", flour, "0.002")
    assert (refused.status, refused.pointers) == (422, ["/g"]) and "0.001 g" in refused.text and flour.capitalize() in refused.text
    moved(owner, "used", flour, "0.001")
    assert move(owner, "used", flour, "0.001").status == 422


def test_what_no_stock_is_kept_of_cannot_be_used(owner, flour):
    for kind in ("used", "wasted", "returned"):
        assert move(owner, kind, flour, 1).status == 422, kind


# --- counted ---


def test_a_count_sets_one_lot_in_one_place_right(owner, flour):
    lot = received(owner, flour, 100)
    moved(owner, "moved", flour, 40, lot=lot, to="hall")
    assert lines_of(moved(owner, "counted", flour, 30, lot=lot, place="hall")) == [(lot, "hall", -10)]
    assert lines_of(moved(owner, "counted", flour, 61, lot=lot, place="store")) == [(lot, "store", 1)]
    assert moved(owner, "counted", flour, 91, lot=lot)["lines"] == [], "a count that finds nothing wrong is a count as well"
    assert left(owner, lot) == 91


def test_a_count_of_everything_short_takes_the_oldest_first_and_over_adds_to_the_newest(owner, flour):
    first, second = received(owner, flour, 100), received(owner, flour, 100)
    assert lines_of(moved(owner, "counted", flour, 70)) == [(first, "store", -100), (second, "store", -30)]
    assert [(lot, g) for lot, _, g in lines_of(moved(owner, "counted", flour, "70.5"))] == [(second, G("0.5"))]
    assert sum(g for _, _, g in lines_of(moved(owner, "counted", flour, 0))) == G("-70.5")
    assert [(lot, g) for lot, _, g in lines_of(moved(owner, "counted", flour, 5))] == [(second, 5)]


def test_what_is_held_is_counted_too(owner, flour):
    lot = received(owner, flour, 100)
    owner.put(f"/lots/{lot}", {"held": True})
    assert lines_of(moved(owner, "counted", flour, 90)) == [(lot, "store", -10)]
    assert lines_of(moved(owner, "counted", flour, 95, lot=lot)) == [(lot, "store", 5)]


def test_the_first_count_of_an_ingredient_begins_its_book(owner, flour):
    owner.put(f"/ingredients/{flour}/prices/2020-01-01", {"pack_g": 1000, "price": "2"})
    answer = moved(owner, "counted", flour, 500, date=-2)
    lot, = {lot for lot, _, _ in lines_of(answer)}
    shown = owner.get(f"/lots/{lot}")
    assert (shown["price"], shown["received_on"], shown["supplier"]) == ("1.00", on(-2), None)
    assert moved(owner, "used", flour, 100)["lines"][0]["lot"] == lot


# --- on what day ---


def test_nothing_is_taken_on_a_day_on_which_it_was_not_there_yet(owner, flour):
    lot = received(owner, flour, 1000, date=-5)
    refused = move(owner, "used", flour, 1, date=-6)
    assert (refused.status, refused.pointers) == (422, ["/g"]), refused
    assert move(owner, "used", flour, 1, date=-6, lot=lot).pointers == ["/lot"]
    moved(owner, "used", flour, 1, date=-5)


def test_what_came_back_later_does_not_pay_for_what_is_taken_before(owner, flour):
    """1,000 g; 900 g of them used on day -8 and undone never; on day -3 a count finds 500 g more."""
    lot = received(owner, flour, 1000, date=-10)
    moved(owner, "used", flour, 900, date=-8)
    moved(owner, "counted", flour, 600, date=-3)
    refused = move(owner, "used", flour, 101, date=-5)
    assert refused.status == 422 and "100 g" in refused.text
    moved(owner, "used", flour, 100, date=-5)
    assert left(owner, lot) == 500


def test_what_is_taken_later_is_not_there_to_be_taken_before(owner, flour):
    lot = received(owner, flour, 1000, date=-10)
    moved(owner, "used", flour, 700, date=-1)
    refused = move(owner, "used", flour, 301, date=-9)
    assert refused.status == 422 and "300 g" in refused.text
    moved(owner, "used", flour, 300, date=-9)
    assert (left(owner, lot), move(owner, "used", flour, 1).status) == (0, 422)


def test_a_back_dated_taking_goes_to_the_next_lot_when_the_first_is_used_up_later(owner, flour):
    first, second = received(owner, flour, 100, date=-10, best_before=on(1)), received(owner, flour, 100, date=-9, best_before=on(2))
    moved(owner, "used", flour, 80, date=-1, lot=first)
    assert lines_of(moved(owner, "used", flour, 50, date=-8)) == [(first, "store", -20), (second, "store", -30)]


def test_a_delivery_of_tomorrow_is_not_there_today(owner, flour):
    received(owner, flour, 1000, date=1)
    assert move(owner, "used", flour, 1).status == 422
    moved(owner, "used", flour, 1, date=1)


def test_more_than_two_years_ahead_nothing_moves(owner, flour):
    received(owner, flour, 1000)
    refused = move(owner, "used", flour, 1, date=800)
    assert (refused.status, refused.pointers) == (422, ["/date"]) and "two years" in refused.text
    moved(owner, "used", flour, 1, date=700)


# --- undone ---


@pytest.mark.parametrize("kind, g, more", [("used", 30, {}), ("wasted", 30, {}), ("returned", 130, {}), ("counted", 7, {}), ("counted", 1000, {}), ("moved", 20, {"to": "hall"})])
def test_every_kind_can_be_undone(owner, flour, kind, g, more):
    lots = [received(owner, flour, 100, date=-3), received(owner, flour, 100, date=-3)]
    if kind == "moved":
        more = {**more, "lot": lots[0]}
    answer = moved(owner, kind, flour, g, date=-2, **more)
    back = undone(owner, answer["number"])
    assert (back["kind"], back["date"], back["reverses"], back["reason"]) == ("reversed", on(-2), answer["number"], None)
    assert sorted(lines_of(back)) == sorted((lot, place, -g) for lot, place, g in lines_of(answer))
    assert owner.get(answer.location)["reversed_by"] == back["number"]
    assert [left(owner, lot) for lot in lots] == [100, 100]
    again = undone(owner, answer["number"], 409)
    assert again.status == 409
    assert undone(owner, back["number"], 422).pointers == ["/reverses"], "a reversal is not reversed"


def test_what_was_told_is_undone_by_telling_it_again(owner, flour):
    """Without its number: the last of that ingredient, amount, day and lot."""
    first, second = received(owner, flour, 100, date=-3), received(owner, flour, 100, date=-3)
    early = moved(owner, "used", flour, 30, date=-2, lot=second)
    late = moved(owner, "wasted", flour, 30, date=-2)
    moved(owner, "used", flour, 31, date=-2)
    for more, undoes in (({"lot": second}, early), ({"reason": "Twice"}, late)):
        back = moved(owner, "reversed", flour, 30, date=-2, **more)
        assert (back["reverses"], back["date"], back["reason"]) == (undoes["number"], on(-2), more.get("reason"))
    assert [left(owner, lot) for lot in (first, second)] == [69, 100]
    moved(owner, "counted", flour, 139, date=-1)
    moved(owner, "moved", flour, 7, date=-1, lot=second, to="hall")
    for g, day, pointer in ((30, -2, "/g"), (31, -1, "/g"), (139, -1, "/g"), (7, -1, "/g"), (100, -3, "/g"), (31, 800, "/date"), (0, -2, "/g")):
        assert move(owner, "reversed", flour, g, date=day).pointers == [pointer], (g, day)
    assert move(owner, "reversed", flour, 31, date=-2, lot=second).pointers == ["/g"]
    assert move(owner, "reversed", flour, date=-2).pointers == ["/g"]
    assert move(owner, "reversed", flour, 31, date=-2, place="store").pointers == ["/place"]


def test_what_would_leave_less_than_nothing_cannot_be_undone(owner, flour):
    received(owner, flour, 100)
    found = moved(owner, "counted", flour, 200)
    moved(owner, "used", flour, 101)
    assert undone(owner, found["number"], 422).pointers == ["/reverses"]


def test_what_was_used_on_a_later_day_is_not_undone_on_an_earlier_one(owner, flour):
    """Nor when a count made good for it since."""
    lot = received(owner, flour, 100, date=-9)
    found = moved(owner, "counted", flour, 200, date=-8)
    moved(owner, "used", flour, 150, date=-7)
    moved(owner, "counted", flour, 500, date=-6)
    assert undone(owner, found["number"], 422).pointers == ["/reverses"]
    assert left(owner, lot) == 500


def test_what_was_used_on_the_same_day_is_not_undone_either(owner, flour):
    """Nor when a count of that day made good for it."""
    delivery = owner.post("/goods-in", goods({"ingredient": flour, "g": 100}))["number"]
    moved(owner, "used", flour, 50)
    moved(owner, "counted", flour, 100)
    assert undone(owner, delivery, 422).pointers == ["/reverses"]


def test_a_delivery_is_undone_once_all_that_was_used_of_it_is_undone(owner, flour):
    delivery = owner.post("/goods-in", goods({"ingredient": flour, "g": 100}, date=-3))["number"]
    use = moved(owner, "used", flour, 60, date=-2)["number"]
    assert undone(owner, delivery, 422).pointers == ["/reverses"]
    undone(owner, use)
    undone(owner, delivery)
    assert owner.get(f"/lots?ingredient={flour}")["items"][0]["left_g"] == 0


def test_what_came_twice_to_one_shelf_is_undone_together_or_not_at_all(owner, flour):
    """Twice 50 g by one count, of which 40 g were used before more was found: 60 g are not 100."""
    lot = received(owner, flour, 100, date=-4)
    moved(owner, "used", flour, 100, date=-3)
    count = owner.post("/counts", {"date": on(-2), "lines": [{"ingredient": flour, "g": 50}, {"ingredient": flour, "lot": lot, "place": "store", "g": 100}]})
    assert [line["difference_g"] for line in count["lines"]] == [50, 50]
    moved(owner, "used", flour, 40, date=-1)
    moved(owner, "counted", flour, 500, date=0)
    assert undone(owner, count["number"], 422).pointers == ["/reverses"]
    assert left(owner, lot) == 500


def test_there_is_nothing_of_that_number_to_undo(owner):
    refused = undone(owner, 999999, 422)
    assert refused.pointers == ["/reverses"]


def test_a_reversal_can_say_why(owner, flour):
    received(owner, flour, 100)
    answer = moved(owner, "used", flour, 1)
    back = owner.post("/movements", {"kind": "reversed", "reverses": answer["number"], "reason": "It was the rye"})
    assert (back.status, back["reason"]) == (201, "It was the rye")


# --- lists ---


def test_movements_newest_first_by_ingredient_lot_kind_and_day(owner, flour):
    lot, other = received(owner, flour, 100, date=-4), received(owner, flour, 100, date=-3)
    for kind, g, date, more in (("used", 10, -3, {}), ("wasted", 5, -2, {"lot": other}), ("used", 5, -2, {"lot": other}), ("moved", 5, -1, {"lot": lot, "to": "hall"})):
        moved(owner, kind, flour, g, date=date, **more)
    undone(owner, owner.get(f"/movements?ingredient={flour}&kind=wasted")["items"][0]["number"])
    every = owner.list(f"/movements?ingredient={flour}")
    assert [item["kind"] for item in every] == ["reversed", "moved", "used", "wasted", "used", "received", "received"]
    assert all(item == owner.get(f"/movements/{item['number']}").body for item in every)
    for query, found in (("kind=used", [2, 4]), ("kind=reversed", [0]), (f"lot={other}", [0, 2, 3, 5]), (f"lot={other}&kind=used", [2]), (f"from={on(-2)}", [0, 1, 2, 3]),
                         (f"to={on(-3)}", [4, 5, 6]), (f"from={on(-2)}&to={on(-2)}", [0, 2, 3])):
        for limit in (1, 2, 500):
            assert owner.list(f"/movements?ingredient={flour}&{query}&limit={limit}") == [every[n] for n in found], query
    assert owner.list("/movements?limit=7") == owner.list("/movements")
    for query in ("limit=0", "kind=eaten", "from=soon", "to=2027-02-30", "lot=x", "after=x"):
        assert owner.get(f"/movements?{query}").status == 422, query
    for text in ("0", "-1", "1.0", "one", "01", "99999999999999999999", "999999"):
        assert owner.get(f"/movements/{text}").status == 404, text


# --- once ---


def test_a_replay_repeats_the_movement_and_moves_nothing(baker, flour):
    lot = received(baker, flour, 100)
    body = {"kind": "used", "ingredient": flour, "g": 10}
    first = baker.post("/movements", body, Idempotency_Key=flour)
    again = baker.post("/movements", body, Idempotency_Key=flour)
    assert (first.status, again.status, again.location, again.text) == (201, 201, first.location, first.text)
    assert baker.post("/movements", {**body, "g": 11}, Idempotency_Key=flour).status == 422
    assert baker.post("/movements", body, Idempotency_Key=None).status == 400
    assert left(baker, lot) == 90
    refused = {"kind": "used", "ingredient": flour, "g": 1000}
    assert baker.post("/movements", refused, Idempotency_Key=flour + "-2").status == 422
    received(baker, flour, 1000)
    assert baker.post("/movements", refused, Idempotency_Key=flour + "-2").status == 201, "what was refused has not used its key up"


def test_nobody_but_bakers_moves(counter, baker, flour):
    received(baker, flour, 100)
    assert move(counter, "used", flour, 1).status == 403
    answer = moved(baker, "used", flour, 1)
    assert baker.put(answer.location, {"kind": "used"}).status == baker.delete(answer.location).status == 405, "it is neither changed nor deleted"


# --- what is refused ---

USED = {"kind": "used", "ingredient": "rye-flour", "g": 1}
MOVED = {**USED, "kind": "moved", "to": "hall"}
FAULTS = [
    ({}, ["/ingredient", "/kind"]), ({"kind": "eaten"}, ["/ingredient", "/kind"]), ({"kind": "received"}, ["/ingredient", "/kind"]), ({"kind": "mixed"}, ["/ingredient", "/kind"]), ({"kind": "fed"}, ["/ingredient", "/kind"]),
    ({"kind": 1}, ["/ingredient", "/kind"]), ({"kind": "used"}, ["/ingredient"]), ({**USED, "ingredient": "gold"}, ["/ingredient"]), ({**USED, "ingredient": "Rye"}, ["/ingredient"]),
    ({**USED, "g": None}, ["/g"]), ({**USED, "g": 0}, ["/g"]), ({**USED, "g": -1}, ["/g"]), ({**USED, "g": "0.0001"}, ["/g"]), ({**USED, "g": "much"}, ["/g"]),
    ({**USED, "g": "1" + "0" * 13}, ["/g"]), ({**USED, "g": 100001}, ["/g"]), ({**USED, "pieces": 1}, ["/pieces"]), ({**USED, "g": None, "pieces": 1}, ["/g", "/pieces"]),
    ({**USED, "ingredient": "bag"}, ["/g", "/pieces"]), ({**USED, "ingredient": "bag", "g": None, "pieces": 1}, ["/ingredient"]),
    ({**USED, "date": "2027-02-30"}, ["/date"]), ({**USED, "date": on(800)}, ["/date"]), ({**USED, "date": 5}, ["/date"]),
    ({**USED, "lot": 0}, ["/lot"]), ({**USED, "lot": "1"}, ["/lot"]), ({**USED, "lot": 999999}, ["/lot"]), ({**USED, "place": ""}, ["/place"]),
    ({**USED, "place": "x" * 61}, ["/place"]), ({**USED, "place": "nowhere"}, ["/g"]), ({**USED, "reason": ""}, ["/reason"]), ({**USED, "reason": "x" * 2001}, ["/reason"]),
    ({**USED, "to": "hall"}, ["/to"]), ({**USED, "reverses": 1}, ["/reverses"]), ({**USED, "number": 1}, ["/number"]), ({**USED, "price": "1"}, ["/price"]),
    ({"kind": "counted", "ingredient": "rye-flour", "g": -1}, ["/g"]), ({"kind": "counted", "ingredient": "rye-flour"}, ["/g"]),
    ({"kind": "counted", "ingredient": "rye-flour", "g": 1, "lot": 999999}, ["/lot"]),
    (MOVED, ["/lot"]), ({**MOVED, "lot": 999999}, ["/lot"]), ({**MOVED, "to": None, "lot": 1}, ["/to"]), ({**MOVED, "to": "x" * 61, "lot": 1}, ["/to"]),
    ({"kind": "reversed"}, ["/reverses"]), ({"kind": "reversed", "reverses": 0}, ["/reverses"]), ({"kind": "reversed", "reverses": "1"}, ["/reverses"]),
    ({"kind": "reversed", "reverses": 1.5}, ["/reverses"]), ({"kind": "reversed", "reverses": 1, "g": 5}, ["/g"]),
    ({"kind": "reversed", "reverses": 1, "date": on(0)}, ["/date"]), ({"kind": "reversed", "reverses": 1, "ingredient": "rye-flour"}, ["/ingredient"]),
    # All at once
    ({"kind": "used", "ingredient": "rye-flour", "g": -1, "date": "soon", "lot": 0, "reason": "", "colour": 1}, ["/colour", "/date", "/g", "/lot", "/reason"]),
]


@pytest.fixture(scope="class")
def begun(owner):
    received(owner, "rye-flour", 100000)
    received(owner, "bread-flour", 100000)


@pytest.mark.usefixtures("nothing_stored")
class TestRefused:
    @pytest.mark.parametrize("body, pointers", FAULTS)
    def test_what_is_refused_leaves_nothing_behind(self, owner, body, pointers):
        expect_faults(owner.post("/movements", body), pointers)

    def test_a_lot_of_another_ingredient_is_no_lot_of_this_one(self, owner):
        lot, = owner.get("/lots?ingredient=rye-flour")["items"]
        for kind in ("used", "wasted", "counted"):
            assert move(owner, kind, "bread-flour", 1, lot=lot["lot"]).pointers == ["/lot"], kind
        assert move(owner, "moved", "bread-flour", 1, lot=lot["lot"], to="hall").pointers == ["/lot"]


# --- a life of it, beside a second book ---


class Life:
    """Random deliveries, takings, counts, moves and reversals of a few ingredients on random days; whatever is
    answered must be what the second book says."""

    def __init__(self, client, ingredients, seed):
        self.client, self.ingredients, self.rng, self.book = client, ingredients, random.Random(seed), Book()
        self.days = 1 if seed % 2 else 12  # much on the same day, or much before what was there already
        self.places = ["store", "hall", "attic"]
        self.deliveries = {}  # of each lot
        self.statuses = []

    def grams(self, most=2000):
        return G(self.rng.randint(1, most * 1000)) / self.rng.choice([1, 10, 1000]) if self.rng.random() < 0.7 else G(self.rng.randint(1, most))

    def chosen(self, ingredient):
        """Sometimes a lot, sometimes a place, sometimes both."""
        lots = [number for number, about in self.book.lots.items() if about["ingredient"] == ingredient]
        lot = self.rng.choice(lots) if lots and self.rng.random() < 0.3 else None
        place = self.rng.choice(self.places) if self.rng.random() < 0.25 else None
        return {name: value for name, value in (("lot", lot), ("place", place)) if value is not None}

    def step(self):
        what = self.rng.choice(["receive", "receive", "take", "take", "take", "take", "count", "move", "hold", "undo"])
        getattr(self, what)(self.rng.choice(self.ingredients), self.rng.randint(-self.days, 1))

    def post(self, answer, expected):
        """Holds a movement against what was expected of it; None: that it is refused."""
        self.statuses.append(answer.status)
        if expected is None:
            assert answer.status == 422, answer
            return
        assert answer.status == 201, (answer, expected)
        assert sorted(lines_of(answer)) == sorted(expected), answer
        self.book.post(answer["number"], answer["date"], lines_of(answer))

    def receive(self, ingredient, n):
        best_before = on(self.rng.randint(-15, 15)) if self.rng.random() < 0.7 else None
        grams, place = self.grams(5000), self.rng.choice(self.places)
        answer = self.client.post("/goods-in", goods({"ingredient": ingredient, "g": str(grams), "place": place, **({"best_before": best_before} if best_before else {})}, date=n))
        assert answer.status == 201, answer
        lot = answer["lines"][0]["lot"]
        self.book.lot(lot, ingredient, on(n), best_before)
        self.deliveries[lot] = answer["number"]
        self.book.post(answer["number"], on(n), [(lot, place, grams)])

    def take(self, ingredient, n):
        kind, grams, chosen = self.rng.choice(["used", "wasted", "returned"]), self.grams(), self.chosen(ingredient)
        about = self.book.lots.get(chosen.get("lot"))
        expected = self.book.taken(ingredient, grams, on(n), held=kind != "used", **chosen)
        if about and (about["received_on"] > on(n) or (about["held"] and kind == "used")):
            expected = None
        self.post(move(self.client, kind, ingredient, grams, date=n, **chosen), expected)

    def count(self, ingredient, n):
        """Of one lot in one place, that it stands in: where what is over goes to is no question then."""
        shelves = self.book.shelves(ingredient)
        if not shelves:
            return
        shelf = self.rng.choice(shelves)
        there = self.book.balance(shelf, on(n))
        found = max(G(0), there + self.rng.choice([-1, 1, 0]) * self.grams(300))
        late = self.book.lots[shelf[0]]["received_on"] > on(n) or self.deliveries[shelf[0]] in self.book.undone
        short = there - found > self.book.available(shelf, on(n))
        lines = [(*shelf, found - there)] if found != there else []
        self.post(move(self.client, "counted", ingredient, found, date=n, lot=shelf[0], place=shelf[1]), None if late or short else lines)

    def move(self, ingredient, n):
        shelves = self.book.shelves(ingredient)
        if not shelves:
            return
        (lot, place), grams = self.rng.choice(shelves), self.grams(500)
        to = self.rng.choice([other for other in self.places if other != place])
        late = self.book.lots[lot]["received_on"] > on(n)
        enough = self.book.available((lot, place), on(n)) >= grams
        self.post(move(self.client, "moved", ingredient, grams, date=n, lot=lot, place=place, to=to), [(lot, place, -grams), (lot, to, grams)] if enough and not late else None)

    def hold(self, ingredient, n):
        lots = [number for number, about in self.book.lots.items() if about["ingredient"] == ingredient]
        if lots:
            about = self.book.lots[lot := self.rng.choice(lots)]
            about["held"] = not about["held"]
            assert self.client.put(f"/lots/{lot}", {"best_before": about["best_before"], "held": about["held"]}).status == 200

    def undo(self, ingredient, n):
        open_ones = [number for number in self.book.postings if number not in self.book.undone]
        if not open_ones:
            return
        number = self.rng.choice(open_ones)
        expected = self.book.reversal(number)
        answer = self.client.post("/movements", {"kind": "reversed", "reverses": number})
        self.post(answer, expected)
        if expected is not None:
            self.book.undo(number, answer["number"])

    def check(self):
        """Lot by lot and place by place."""
        for ingredient in self.ingredients:
            for item in self.client.list(f"/lots?ingredient={ingredient}"):
                there = {place: self.book.balance((lot, place), "9999-12-31") for lot, place in self.book.shelves(ingredient) if lot == item["lot"]}
                assert {place["place"]: place["g"] for place in item["places"]} == {place: g for place, g in there.items() if g}, item
                assert item["left_g"] == sum(there.values())


@pytest.mark.parametrize("seed", range(4))
def test_a_life_of_300_steps_is_that_of_the_second_book(owner, seed):
    life = Life(owner, [new_ingredient(owner) for _ in range(2)], seed)
    for n in range(300):
        life.step()
        if n % 100 == 99:
            life.check()
    assert life.statuses.count(201) > 60 and life.statuses.count(422) > 10, life.statuses
