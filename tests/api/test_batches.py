"""Batches that were mixed: each takes what was weighed, once, from the lots that were chosen or are oldest,
and from the pots of its starters; undone, it gives all of it back. And feeds, which take flour too."""

import pytest

from clockwork import DAY, HOUR, STARTER, instant, log, now, text
from harness import enter, place
from storework import G, batch, expect_faults, left, lines_of, mixed, move, moved, new_ingredient, on, received, undone

TONIGHT, TOMORROW = on(0), on(1)
MEMBERS = {"date", "formula", "name", "batch", "movement", "mixed_at", "posted_at", "posted_by", "dough_g", "lines", "for"}
KEPT = ("bread-flour", "rye-flour", "salt", "yeast")


@pytest.fixture(scope="module", autouse=True)
def orders(owner, store):
    """Orders for tomorrow, whose doughs are mixed tonight; flours, salt and yeast in store, no water."""
    place(owner, "cafe", TOMORROW, country_loaf=40, baguette=30)
    for code in KEPT:
        received(owner, code, 1000000, date=-5)


@pytest.fixture
def formula(owner, flour):
    """The code of a formula of that flour, which is on no list."""
    code = f"dough-of-{flour}"
    enter(owner, {f"/formulas/{code}": {"name": code, "basis": "final", "lines": [{"ingredient": flour, "pct": 100}, {"ingredient": "water", "pct": 60}]}})
    return code


@pytest.fixture
def starter(owner, flour):
    """A starter that is fed with it and with rye, four to one, and has been begun."""
    code = f"pot-of-{flour}"
    enter(owner, {f"/starters/{code}": {**STARTER, "name": code.capitalize(), "flours": [{"ingredient": flour, "pct": 80}, {"ingredient": "rye-flour", "pct": 20}]}})
    log(owner, "begun", starter=code, g=1000)
    return code


def mix_of(client, formula):
    return next(mix for mix in client.get(f"/mixing-lists/{TONIGHT}")["mixes"] if mix["formula"] == formula)


def what(line):
    return next((kind, line[kind]) for kind in ("ingredient", "starter", "formula") if kind in line)


# --- as on the list ---


def test_a_batch_of_the_list_takes_what_the_list_weighs(owner, baker):
    mix = mix_of(owner, "country")
    before = {code: owner.get(f"/lots?ingredient={code}")["items"][-1]["left_g"] for code in KEPT}
    answer = mixed(baker, "country", 1)
    assert set(answer.body) == MEMBERS and answer.location == f"/api/v1/mixing-lists/{TONIGHT}/batches/country/1"
    assert [(what(line), line["g"]) for line in answer["lines"]] == [(what(line), line["weigh_g"]) for line in mix["lines"]]
    assert answer["dough_g"] == sum(line["weigh_g"] for line in mix["lines"])
    assert (answer["date"], answer["formula"], answer["name"], answer["batch"], answer["posted_by"]) == (TONIGHT, "country", "Country dough", 1, "t-baker")
    assert answer["for"] == [{"date": TOMORROW, "product": "country-loaf", "name": "Country loaf"}]
    assert abs((instant(answer["mixed_at"]) - now()).total_seconds()) < 60
    for line in answer["lines"]:
        kept = line.get("ingredient") in KEPT
        assert (sum(part["g"] for part in line["lots"]) == line["g"]) if kept else line["lots"] == [], line
        if kept:
            assert owner.get(f"/lots?ingredient={line['ingredient']}")["items"][-1]["left_g"] == before[line["ingredient"]] - line["g"]
    assert next(line for line in answer["lines"] if "starter" in line)["log_entry"] is None, "its log is not kept"
    assert baker.get(answer.location).body == answer.body
    movement = baker.get(f"/movements/{answer['movement']}")
    assert (movement["kind"], movement["date"], movement["batch"]) == ("mixed", TONIGHT, {"date": TONIGHT, "formula": "country", "batch": 1})
    assert -sum(line["g"] for line in movement["lines"]) == sum(part["g"] for line in answer["lines"] for part in line["lots"])


def test_a_preferment_in_a_batch_names_the_list_that_it_stood_on(owner):
    answer = mixed(owner, "baguette", 1)
    line = next(line for line in answer["lines"] if "formula" in line)
    assert (line["formula"], line["name"], line["part_date"], line["lots"]) == ("poolish", "Poolish", mix_of(owner, "poolish") and TONIGHT, [])
    preferment = mixed(owner, "poolish", 1)
    assert preferment["for"] in ([], [{"date": TOMORROW, "product": "baguette", "name": "Baguette"}])


def test_batches_of_a_night_are_listed_and_those_undone_are_left_out(owner, formula, flour):
    received(owner, flour, 1000)
    for n in (2, 1, 3):
        mixed(owner, formula, n, [{"ingredient": flour, "g": 10}])
    undone(owner, owner.get(f"/mixing-lists/{TONIGHT}/batches/{formula}/2")["movement"])
    shown = [item for item in owner.list(f"/mixing-lists/{TONIGHT}/batches") if item["formula"] == formula]
    assert [item["batch"] for item in shown] == [1, 3]
    assert all(item == owner.get(f"/mixing-lists/{TONIGHT}/batches/{formula}/{item['batch']}").body for item in shown)
    assert owner.get(f"/mixing-lists/{TONIGHT}/batches/{formula}/2").status == 404
    assert owner.get(f"/mixing-lists/{on(-300)}/batches")["items"] == []
    for key in ("country/2", "country/0", "country/x", "country/1.0", "none/1"):
        assert owner.get(f"/mixing-lists/{TONIGHT}/batches/{key}").status == 404, key
    assert owner.get("/mixing-lists/2027-02-30/batches").status == owner.get("/mixing-lists/2027-02-30/batches/country/1").status == 422


# --- as it was weighed ---


def test_lots_are_chosen_or_the_oldest_goes_first(owner, formula, flour):
    first, second, third = (received(owner, flour, 100, best_before=on(n), lot_mark=f"M{n}") for n in (5, 6, 7))
    answer = mixed(owner, formula, 1, [{"ingredient": flour, "g": "30.5", "lot": third}, {"ingredient": flour, "g": 150}, {"ingredient": "water", "g": 0}])
    assert [[(part["lot"], part["g"]) for part in line["lots"]] for line in answer["lines"]] == [[(third, G("30.5"))], [(first, 100), (second, 50)], []]
    assert answer["lines"][1]["lots"][0] == {"lot": first, "lot_mark": "M5", "best_before": on(5), "expired": False, "g": 100}
    assert [left(owner, lot) for lot in (first, second, third)] == [0, 50, G("69.5")]
    assert answer["dough_g"] == G("180.5")


def test_two_lines_of_one_lot_are_told_apart(owner, formula, flour):
    lot = received(owner, flour, 100)
    answer = mixed(owner, formula, 1, [{"ingredient": flour, "g": 10, "lot": lot}, {"ingredient": flour, "g": 20, "lot": lot}, {"ingredient": flour, "g": 30}])
    assert [line["g"] for line in answer["lines"]] == [10, 20, 30]
    assert sum(part["g"] for line in answer["lines"] for part in line["lots"]) == 60 == 100 - left(owner, lot)
    assert all(sum(part["g"] for part in line["lots"]) == line["g"] for line in answer["lines"])


def test_it_is_taken_on_the_mixing_date(owner, formula, flour):
    received(owner, flour, 100, date=-3)
    assert owner.get(f"/movements/{mixed(owner, formula, 1, [{'ingredient': flour, 'g': 10}], date=-2)['movement']}")["date"] == on(-2)
    refused = batch(owner, formula, 2, [{"ingredient": flour, "g": 10}], date=-4)
    assert (refused.status, refused.pointers) == (422, ["/lines/0/g"]), "it was not there yet"
    assert batch(owner, formula, 2, [{"ingredient": flour, "g": 10}], date=800).status == 422


def test_when_it_was_mixed_can_be_told(owner, formula, flour):
    received(owner, flour, 100)
    at = now().replace(minute=0, second=0)
    assert instant(mixed(owner, formula, 1, [{"ingredient": flour, "g": 1}], at=at.isoformat())["mixed_at"]) == at


def test_what_was_mixed_is_past(owner, formula, flour):
    received(owner, flour, 100)
    refused = batch(owner, formula, 1, [{"ingredient": flour, "g": 1}], at=(now() + HOUR).isoformat())
    assert (refused.status, refused.pointers) == (422, ["/at"]), refused


def test_the_most_that_can_be_weighed_in_is_added_up(owner, formula):
    answer = mixed(owner, formula, 1000, [{"ingredient": "water", "g": 10 ** 12}] * 100)
    assert answer["dough_g"] == 10 ** 14 and sum(line["g"] for line in answer["lines"]) == 10 ** 14


# --- starters ---


def test_a_batch_takes_from_the_pot_and_the_log_says_so(owner, formula, starter, flour):
    received(owner, flour, 100)
    answer = mixed(owner, formula, 7, [{"ingredient": flour, "g": 10}, {"starter": starter, "g": "250.5"}])
    entry = owner.get(f"/starters/{starter}/log")["items"][0]
    assert (entry["kind"], entry["delta_g"], entry["on_hand_g"], entry["number"]) == ("taken", G("-250.5"), G("749.5"), answer["lines"][1]["log_entry"])
    assert entry["note"] == f"Batch 7 of {formula}"
    assert (entry["batch"], entry["movement"]) == ({"date": TONIGHT, "formula": formula, "batch": 7}, None)


def test_a_taking_of_a_batch_is_not_undone_alone(owner, formula, starter, flour):
    received(owner, flour, 100)
    answer = mixed(owner, formula, 1, [{"starter": starter, "g": 250}, {"ingredient": flour, "g": 1}])
    number = answer["lines"][0]["log_entry"]
    refused = owner.post(f"/starters/{starter}/log", {"kind": "reversed", "reverses": number})
    assert (refused.status, refused.pointers) == (422, ["/reverses"])
    undone(owner, answer["movement"])
    shown = owner.get(f"/starters/{starter}/log")
    assert (shown["on_hand_g"], shown["items"][0]["kind"], shown["items"][0]["reverses"]) == (1000, "reversed", number)


def test_a_batch_that_is_entered_late_takes_after_what_was_logged_since(owner, formula, starter, flour):
    """A tablet that was out of reach for an hour posts what was mixed then."""
    received(owner, flour, 100)
    answer = mixed(owner, formula, 1, [{"starter": starter, "g": 250}], at=(now() - HOUR).isoformat())
    entry = owner.get(f"/starters/{starter}/log")["items"][0]
    assert (entry["number"], entry["on_hand_g"], instant(answer["mixed_at"]) < instant(entry["at"])) == (2, 750, True)


def test_more_than_is_in_the_pot_is_a_fault_of_that_line(owner, formula, starter, flour):
    received(owner, flour, 100)
    before = owner.get(f"/starters/{starter}/log").text
    refused = batch(owner, formula, 1, [{"ingredient": flour, "g": 10}, {"starter": starter, "g": "1000.001"}])
    assert (refused.status, refused.pointers) == (422, ["/lines/1/g"]), refused
    assert owner.get(f"/starters/{starter}/log").text == before and owner.list(f"/movements?ingredient={flour}&kind=mixed") == []


def test_all_that_is_short_is_told_at_once(owner, formula, starter, flour):
    received(owner, flour, 100)
    enter(owner, {f"/starters/other-{flour}": {**STARTER, "name": "Other"}})
    log(owner, "begun", starter=f"other-{flour}", g=50)
    refused = batch(owner, formula, 1, [{"starter": starter, "g": 1001}, {"ingredient": flour, "g": 101}, {"starter": f"other-{flour}", "g": 51}])
    assert (refused.status, sorted(refused.pointers)) == (422, ["/lines/0/g", "/lines/1/g", "/lines/2/g"]), refused


def test_two_lines_of_one_pot_share_what_is_in_it(owner, formula, starter, flour):
    received(owner, flour, 100)
    assert batch(owner, formula, 1, [{"starter": starter, "g": 600}, {"starter": starter, "g": 600}]).pointers == ["/lines/1/g"]
    mixed(owner, formula, 1, [{"starter": starter, "g": 600}, {"starter": starter, "g": 400}])
    assert owner.get(f"/starters/{starter}/log")["on_hand_g"] == 0


# --- once ---


def test_a_batch_is_posted_once_and_anew_when_it_was_undone(owner, baker, formula, starter, flour):
    lot, lines = received(owner, flour, 1000), [{"ingredient": flour, "g": 400}, {"starter": starter, "g": 100}]
    first = mixed(baker, formula, 1, lines)
    refused = batch(owner, formula, 1, lines)
    assert (refused.status, refused.pointers) == (409, ["/batch"]) and "t-baker" in refused.text
    assert left(owner, lot) == 600
    undone(baker, first["movement"])
    assert (left(owner, lot), owner.get(f"/starters/{starter}/log")["on_hand_g"]) == (1000, 1000)
    second = mixed(owner, formula, 1, [{"ingredient": flour, "g": 500}])
    assert second["movement"] != first["movement"] and owner.get(first.location).body == second.body
    assert undone(owner, first["movement"], 409).status == 409
    undone(owner, second["movement"])
    mixed(owner, formula, 1, lines)
    assert (left(owner, lot), owner.get(f"/starters/{starter}/log")["on_hand_g"]) == (600, 900)


def test_the_same_batch_number_of_another_night_or_formula_is_another_batch(owner, formula, flour):
    received(owner, flour, 100, date=-3)
    other = formula + "-too"
    enter(owner, {f"/formulas/{other}": {"name": other, "basis": "final", "lines": [{"ingredient": flour, "pct": 100}]}})
    for code, date in ((formula, 0), (formula, -1), (other, 0)):
        mixed(owner, code, 1, [{"ingredient": flour, "g": 1}], date=date)


def test_a_replay_repeats_the_batch_and_takes_nothing(owner, formula, flour):
    lot, path = received(owner, flour, 100), f"/mixing-lists/{TONIGHT}/batches"
    body = {"formula": formula, "batch": 1, "lines": [{"ingredient": flour, "g": 10}]}
    first = owner.post(path, body, Idempotency_Key=flour)
    again = owner.post(path, body, Idempotency_Key=flour)
    assert (first.status, again.status, again.location, again.text) == (201, 201, first.location, first.text)
    assert owner.post(path, {**body, "batch": 2}, Idempotency_Key=flour).status == 422
    assert owner.post(path, body, Idempotency_Key=None).status == 400
    undone(owner, first["movement"])
    assert owner.post(path, body, Idempotency_Key=flour).text == first.text, "also when it was undone since"
    assert left(owner, lot) == 100


def test_nobody_but_bakers_mixes(counter, baker, formula, flour):
    received(baker, flour, 100)
    assert batch(counter, formula, 1, [{"ingredient": flour, "g": 1}]).status == 403
    answer = mixed(baker, formula, 1, [{"ingredient": flour, "g": 1}])
    assert counter.get(answer.location).status == counter.get(f"/mixing-lists/{TONIGHT}/batches").status == 403


def test_what_was_mixed_stays(owner, formula, flour):
    received(owner, flour, 100)
    mixed(owner, formula, 1, [{"ingredient": flour, "g": 1}])
    refused = owner.delete(f"/formulas/{formula}")
    assert refused.status == 409 and "batch" in refused.text


# --- too little, and other faults ---


def test_too_little_is_told_at_each_line_and_nothing_is_taken(owner, formula, flour):
    other = new_ingredient(owner)
    lots = [received(owner, code, 100) for code in (flour, other)]
    refused = batch(owner, formula, 1, [{"ingredient": flour, "g": 60}, {"ingredient": other, "g": 101}, {"ingredient": flour, "g": 41}])
    assert (refused.status, sorted(refused.pointers)) == (422, ["/lines/1/g", "/lines/2/g"]), refused
    assert "100 g" in refused.text and "40 g" in refused.text
    assert [left(owner, lot) for lot in lots] == [100, 100]
    refused = batch(owner, formula, 1, [{"ingredient": flour, "g": 1, "lot": lots[1]}, {"ingredient": other, "g": 1, "lot": 999999}])
    assert (refused.status, sorted(refused.pointers)) == (422, ["/lines/0/lot", "/lines/1/lot"]), refused
    owner.put(f"/lots/{lots[0]}", {"held": True})
    assert batch(owner, formula, 1, [{"ingredient": flour, "g": 1, "lot": lots[0]}]).pointers == ["/lines/0/lot"]


def test_without_lines_the_sentence_names_what_there_is_too_little_of(owner):
    place(owner, "cafe", on(2), baguette=30)
    lots = [item["lot"] for item in owner.list("/lots?ingredient=yeast&left=true")]
    for lot in lots:
        owner.put(f"/lots/{lot}", {"held": True})
    refused = batch(owner, "baguette", 1, date=1)
    assert (refused.status, refused.pointers) == (422, [""]) and "Yeast" in refused.text, refused
    for lot in lots:
        owner.put(f"/lots/{lot}", {})
    mixed(owner, "baguette", 1, date=1)


FLOUR = {"ingredient": "bread-flour", "g": 1}
GOOD = {"formula": "country", "batch": 99, "lines": [FLOUR]}


def with_line(**more):
    return {**GOOD, "lines": [FLOUR, {**FLOUR, **more}]}


FAULTS = [
    ({}, ["/batch", "/formula"]), ({**GOOD, "formula": "none"}, ["/formula"]), ({**GOOD, "formula": "Country"}, ["/formula"]), ({**GOOD, "formula": 5}, ["/formula"]),
    ({**GOOD, "batch": 0}, ["/batch"]), ({**GOOD, "batch": 1001}, ["/batch"]), ({**GOOD, "batch": "1"}, ["/batch"]), ({**GOOD, "batch": 1.5}, ["/batch"]),
    ({**GOOD, "at": "soon"}, ["/at"]), ({**GOOD, "at": on(0)}, ["/at"]), ({**GOOD, "lines": []}, ["/lines"]), ({**GOOD, "lines": [FLOUR] * 101}, ["/lines"]),
    ({**GOOD, "lines": {}}, ["/lines"]), ({**GOOD, "lines": [[]]}, ["/lines/0"]), ({**GOOD, "colour": 1}, ["/colour"]), ({**GOOD, "dough_g": 1}, ["/dough_g"]),
    ({**GOOD, "lines": [{"g": 1}]}, ["/lines/0"]), (with_line(starter="levain"), ["/lines/1"]), (with_line(formula="poolish", ingredient=None, starter="levain"), ["/lines/1"]),
    (with_line(ingredient="gold"), ["/lines/1/ingredient"]), (with_line(ingredient=None, starter="none"), ["/lines/1/starter"]),
    (with_line(ingredient=None, formula="none"), ["/lines/1/formula"]), (with_line(ingredient="bag"), ["/lines/1/ingredient"]),
    (with_line(g=None), ["/lines/1/g"]), (with_line(g=-1), ["/lines/1/g"]), (with_line(g="0.0001"), ["/lines/1/g"]), (with_line(g="much"), ["/lines/1/g"]),
    (with_line(g="1" + "0" * 13), ["/lines/1/g"]), (with_line(lot=0), ["/lines/1/lot"]), (with_line(lot="1"), ["/lines/1/lot"]), (with_line(lot=999999), ["/lines/1/lot"]),
    (with_line(ingredient=None, starter="levain", lot=1), ["/lines/1/lot"]), (with_line(ingredient=None, formula="poolish", lot=1), ["/lines/1/lot"]),
    (with_line(pct=5), ["/lines/1/pct"]), (with_line(pieces=5), ["/lines/1/pieces"]),
    ({"formula": "none", "batch": 0, "at": "soon", "lines": [{"ingredient": "gold", "g": -1}], "x": 1}, ["/at", "/batch", "/formula", "/lines/0/g", "/lines/0/ingredient", "/x"]),
    ({"formula": "bun", "batch": 1}, ["/formula"]), ({"formula": "country", "batch": 500}, ["/batch"]),
]


@pytest.mark.usefixtures("nothing_stored")
class TestRefused:
    @pytest.mark.parametrize("body, pointers", FAULTS)
    def test_what_is_refused_leaves_nothing_behind(self, owner, body, pointers):
        expect_faults(owner.post(f"/mixing-lists/{TONIGHT}/batches", body), pointers)

    def test_a_mixing_date_out_of_the_calendar_or_too_far_ahead(self, owner):
        for date in ("2027-02-30", "today", on(800)):
            assert owner.post(f"/mixing-lists/{date}/batches", GOOD).status == 422, date


# --- feeds ---


def fed(client, starter, flour_g, **more):
    return client.post(f"/starters/{starter}/log", {"kind": "fed", "flour_g": str(flour_g), "water_g": str(flour_g), **more})


@pytest.mark.parametrize("flour_g", [G(100), G("333.333"), G("0.003"), G("0.001")])
def test_a_feed_takes_its_flours_by_the_blend(owner, starter, flour, flour_g):
    received(owner, flour, 1000)
    answer = fed(owner, starter, flour_g)
    assert answer.status == 201, answer
    movement = owner.get(f"/movements/{answer['movement']}")
    assert (movement["kind"], movement["starter"], movement["log_entry"], movement["date"]) == ("fed", starter, answer["number"], on(0))
    took = {line["ingredient"]: -line["g"] for line in movement["lines"]}
    assert sum(took.values()) == flour_g, "to the milligram"
    assert abs(took.get(flour, 0) - flour_g * 4 / 5) < G("0.001") and abs(took.get("rye-flour", 0) - flour_g / 5) < G("0.001")


def test_a_feed_that_is_undone_gives_its_flour_back(owner, starter, flour):
    lot = received(owner, flour, 1000)
    answer = fed(owner, starter, 100)
    assert left(owner, lot) == 920
    refused = undone(owner, answer["movement"], 422)
    assert refused.pointers == ["/reverses"] and "starter" in refused.text
    back = owner.post(f"/starters/{starter}/log", {"kind": "reversed", "reverses": answer["number"]})
    assert back.status == 201, back
    assert left(owner, lot) == 1000
    movement = owner.get(f"/movements/{answer['movement']}")
    assert owner.get(f"/movements/{movement['reversed_by']}")["reverses"] == answer["movement"]


def test_the_lots_of_a_feed_can_be_chosen(owner, starter, flour):
    first, second = received(owner, flour, 1000), received(owner, flour, 1000)
    answer = fed(owner, starter, 100, lots=[{"ingredient": flour, "lot": second}])
    assert answer.status == 201 and (second, "store", -80) in lines_of(owner.get(f"/movements/{answer['movement']}"))
    assert left(owner, first) == 1000
    for lots, pointers in (([{"ingredient": flour, "lot": 999999}], ["/lots/0/lot"]), ([{"ingredient": "salt", "lot": first}], ["/lots/0/ingredient"]),
                           ([{"ingredient": "gold", "lot": first}], ["/lots/0/ingredient"]), ([{"lot": first}], ["/lots/0/ingredient"]), ([{"ingredient": flour}], ["/lots/0/lot"]),
                           ([{"ingredient": flour, "lot": first}] * 2, ["/lots/1/ingredient"]), ({}, ["/lots"]), ([5], ["/lots/0"]),
                           ([{"ingredient": flour, "lot": first, "g": 5}], ["/lots/0/g"])):
        refused = fed(owner, starter, 100, lots=lots)
        assert (refused.status, sorted(refused.pointers)) == (422, pointers), (lots, refused)
    refused = owner.post(f"/starters/{starter}/log", {"kind": "taken", "g": 1, "lots": []})
    assert (refused.status, refused.pointers) == (422, ["/lots"])


def test_a_lot_can_be_chosen_of_which_a_feed_is_too_small_to_take_any(owner, starter, flour):
    received(owner, flour, 1000)
    rye = owner.get("/lots?ingredient=rye-flour")["items"][0]["lot"]
    answer = fed(owner, starter, "0.001", lots=[{"ingredient": "rye-flour", "lot": rye}])
    assert answer.status == 201, answer
    assert [line["ingredient"] for line in owner.get(f"/movements/{answer['movement']}")["lines"]] == [flour]


def test_a_feed_of_more_flour_than_there_is_is_refused_whole(owner, starter, flour):
    received(owner, flour, 79)
    before = owner.get(f"/starters/{starter}/log").text
    refused = fed(owner, starter, 100)
    assert (refused.status, refused.pointers) == (422, ["/flour_g"]) and "79 g" in refused.text
    assert owner.get(f"/starters/{starter}/log").text == before


def test_a_feed_of_an_earlier_day_takes_what_was_there_then(owner, flour):
    code = f"pot-of-{flour}"
    enter(owner, {f"/starters/{code}": {**STARTER, "name": code, "flours": [{"ingredient": flour, "pct": 100}]}})
    log(owner, "begun", now() - 5 * DAY, starter=code, g=100)
    received(owner, flour, 1000, date=-1)
    refused = fed(owner, code, 100, at=text(now() - 3 * DAY))
    assert (refused.status, refused.pointers) == (422, ["/flour_g"]), refused
    answer = fed(owner, code, 100, at=text(now()))
    assert owner.get(f"/movements/{answer['movement']}")["date"] == on(0)


def test_a_feed_of_flours_that_no_stock_is_kept_of_takes_nothing(owner, flour):
    enter(owner, {f"/starters/wild-{flour}": {**STARTER, "name": "Wild", "flours": [{"ingredient": flour, "pct": 100}]}})
    log(owner, "begun", starter=f"wild-{flour}", g=100)
    assert fed(owner, f"wild-{flour}", 100)["movement"] is None


def test_an_entry_of_another_kind_has_neither_movement_nor_batch(owner, starter):
    entry = log(owner, "taken", starter=starter, g=1)
    assert (entry["movement"], entry["batch"]) == (None, None)
    assert move(owner, "used", "water", 1).status == 422 and moved(owner, "counted", "salt", 900000)["kind"] == "counted"
