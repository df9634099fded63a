"""The trace, both ways: from a lot to whoever got any of it, from a bread day to whoever supplied what is in
it. A night worked by hand, the duties of the law, and a history at random against shares reckoned as
fractions beside the program."""

import collections
import csv
import os
import random
from fractions import Fraction

import pytest

from clockwork import log
from harness import enter, place, psql
from storework import G, goods, mixed, moved, new_ingredient, on, received, undone

HERE = os.path.dirname(os.path.abspath(__file__))
MICRO = Fraction(1, 10**6)

# Doughs are mixed on the evening before; nothing stands longer than that, so a preferment is on the same list.
STARTER = {"hydration_pct": 100, "flours": [{"ingredient": "wheat", "pct": 75}, {"ingredient": "rye", "pct": 25}]}
BOOK = {
    "/ingredients/wheat": {"name": "Wheat flour", "kind": "flour", "unit": "g"},
    "/ingredients/rye": {"name": "Dark rye", "kind": "flour", "unit": "g"},
    "/ingredients/sea-salt": {"name": "Sea salt", "kind": "salt", "unit": "g"},
    "/ingredients/poppy": {"name": "Poppy", "kind": "other", "unit": "g"},
    "/suppliers/upstream": {"name": "The upstream mill", "phone": "555 0300"},
    "/starters/mother": {"name": "Mother", **STARTER},
    "/starters/stray": {"name": "Stray", **STARTER},
    "/formulas/sponge": {"name": "Sponge", "basis": "final", "by_hand": True,
                         "lines": [{"ingredient": "wheat", "pct": 100}, {"ingredient": "water", "pct": 60}, {"starter": "mother", "pct": 20}]},
    "/formulas/field": {"name": "Field dough", "basis": "final", "by_hand": True,
                        "lines": [{"ingredient": "wheat", "pct": 100}, {"ingredient": "water", "pct": 60}, {"ingredient": "sea-salt", "pct": 2},
                                  {"formula": "sponge", "pct": 40}]},
    "/formulas/dark": {"name": "Dark dough", "basis": "final", "by_hand": True,
                       "lines": [{"ingredient": "rye", "pct": 100}, {"ingredient": "water", "pct": 70}, {"starter": "mother", "pct": 30}]},
    "/products/field-loaf": {"name": "Field loaf", "parts": [{"formula": "field", "g": 800}]},
    "/products/dark-loaf": {"name": "Dark loaf", "parts": [{"formula": "dark", "g": 900}]},
    "/products/twin": {"name": "Twin roll", "parts": [{"formula": "field", "g": 50}, {"formula": "dark", "g": 50}]},
    "/products/poppy-roll": {"name": "Poppy roll", "parts": [{"formula": "field", "g": 60}, {"ingredient": "poppy", "g": 3}]},
    "/customers/inn": {"name": "The inn", "phone": "555 0111", "address": "Bridge Street 1"},
    "/customers/school": {"name": "The school", "phone": "555 0122"},
}


@pytest.fixture(scope="module", autouse=True)
def book(owner, store):
    enter(owner, BOOK)


def forward(client, lot):
    answer = client.get(f"/lots/{lot}/trace")
    assert answer.status == 200, answer
    assert answer["balance"]["balanced"] is True, answer["balance"]
    return answer


def backward(client, date, product=None):
    answer = client.get(f"/days/{date}/trace" + (f"?product={product}" if product else ""))
    assert answer.status == 200, answer
    return answer


def lots_of(answer):
    return {lot["lot"]: lot for lot in answer["lots"]}


def batches_of(answer):
    return {(batch["formula"], batch["batch"]): batch for batch in answer["batches"]}


# --- one night, by hand ---


@pytest.fixture(scope="module")
def night(owner):
    """Lots A, B of wheat, C of rye. Mother: begun with 100 g, fed 75 g of A and 25 g of C with 100 g of water: 300 g.
    A sponge of 500 g B, 300 g water, 90 g mother (30 %: 22.5 g A, 7.5 g C, 30 g begun): 890 g.
    Field dough, two batches of 1000 g A, 600 g water, 20 g salt, 356 g sponge each (two fifths: 200 g B, 9 g A, 3 g C).
    Dark dough: 500 g C, 350 g water, 150 g mother (half of what was: 37.5 g A, 12.5 g C, 50 g begun)."""
    made = {"a": received(owner, "wheat", 25000, date=-60, lot_mark="A-1", best_before=on(300)), "b": None, "c": None}
    answer = owner.post("/goods-in", goods({"ingredient": "wheat", "g": 10000, "lot_mark": "B-2", "best_before": on(100)},
                                           {"ingredient": "rye", "g": 10000, "lot_mark": "C-3"}, date=-59, supplier="upstream", delivery_note="DN 77"))
    made["b"], made["c"] = (line["lot"] for line in answer["lines"])
    for customer, pieces in (("inn", {"field_loaf": 3, "twin": 20}), ("school", {"dark_loaf": 1, "field_loaf": 1}), ("inn", {"field_loaf": 2})):
        place(owner, customer, on(-49), **pieces)
    log(owner, "begun", starter="mother", g=100)
    log(owner, "fed", starter="mother", seed_g=100, flour_g=100, water_g=100, lots=[{"ingredient": "wheat", "lot": made["a"]}])
    lines = {"sponge": [{"ingredient": "wheat", "g": 500, "lot": made["b"]}, {"ingredient": "water", "g": 300}, {"starter": "mother", "g": 90}],
             "field": [{"ingredient": "wheat", "g": 1000, "lot": made["a"]}, {"ingredient": "water", "g": 600}, {"ingredient": "sea-salt", "g": 20},
                       {"formula": "sponge", "g": 356}],
             "dark": [{"ingredient": "rye", "g": 500}, {"ingredient": "water", "g": 350}, {"starter": "mother", "g": 150}]}
    for formula, n in (("sponge", 1), ("field", 1), ("field", 2), ("dark", 1)):
        made[formula, n] = mixed(owner, formula, n, lines[formula], date=-50)
    return made


def test_a_lot_is_followed_through_starter_and_preferment(owner, night):
    trace = forward(owner, night["a"])
    found = batches_of(trace)
    assert {key: (batch["g"], batch["via"]) for key, batch in found.items()} == {
        ("sponge", 1): (G("22.5"), ["starter:mother"]), ("field", 1): (1009, ["direct", "formula:sponge"]),
        ("field", 2): (1009, ["direct", "formula:sponge"]), ("dark", 1): (G("37.5"), ["starter:mother"])}
    assert found["field", 2]["date"] == on(-50) and found["field", 2]["movement"] == night["field", 2]["movement"]
    assert trace["feeds"] == [{"starter": "mother", "name": "Mother", "entry": 2, "at": trace["feeds"][0]["at"], "g": 75, "movement": trace["feeds"][0]["movement"]}]
    assert trace["starters"] == [{"starter": "mother", "name": "Mother", "fed_g": 75, "carried_g": 60, "discarded_g": 0, "still_in_g": 15}]
    assert trace["bread_days"] == [on(-49)]
    assert [product["product"] for product in trace["products"]] == ["dark-loaf", "field-loaf", "twin"]
    assert trace["lot"]["lot_mark"] == "A-1" and trace["lot"]["supplier_name"] == "The mill"
    balance = {name: G("0") for name in ("used_g", "wasted_g", "returned_g", "counted_g")}
    assert {name: value for name, value in trace["balance"].items() if name != "balanced"} == {
        **balance, "received_g": 25000, "mixed_g": 2000, "fed_g": 75, "left_g": 22925}
    assert trace["left_out"] == 0


def test_a_lot_in_a_preferment_alone(owner, night):
    trace = forward(owner, night["b"])
    assert {key: (batch["g"], batch["via"]) for key, batch in batches_of(trace).items()} == {
        ("sponge", 1): (500, ["direct"]), ("field", 1): (200, ["formula:sponge"]), ("field", 2): (200, ["formula:sponge"])}
    assert [product["product"] for product in trace["products"]] == ["field-loaf", "twin"]
    assert trace["starters"] == trace["feeds"] == []


def test_a_bread_day_leads_back_to_its_lots(owner, night):
    trace = backward(owner, on(-49))
    lots = lots_of(trace)
    assert {lot: (item["g"], item["via"]) for lot, item in lots.items()} == {
        night["a"]: (G("2055.5"), ["direct", "formula:sponge", "starter:mother"]), night["b"]: (400, ["formula:sponge"]),
        night["c"]: (G("518.5"), ["formula:sponge", "direct", "starter:mother"])}
    weight = Fraction(2 * 1976 + 1000)
    assert lots[night["a"]]["share_pct"] == round(Fraction("2055.5") / weight * 100, 4)
    assert lots[night["b"]]["share_pct"] == round(Fraction(400) / (2 * 1976) * 100, 4), "of the batches that hold it"
    assert [(batch["formula"], batch["batch"]) for batch in trace["batches"]] == [("dark", 1), ("field", 1), ("field", 2), ("sponge", 1)]
    sponge = batches_of(trace)["sponge", 1]
    assert [(line["name"], line["g"], [(part["lot"], part["g"]) for part in line["lots"]]) for line in sponge["lines"]] == [
        ("Wheat flour", 500, [(night["b"], 500)]), ("Water", 300, []), ("Mother", 90, [(night["a"], G("22.5")), (night["c"], G("7.5"))])]
    part = batches_of(trace)["field", 2]["lines"][3]
    assert (part["formula"], part["part_date"], {lot["lot"]: lot["g"] for lot in part["lots"]}) == (
        "sponge", on(-50), {night["a"]: 9, night["b"]: 200, night["c"]: 3})
    assert [(product["product"], [(batch["formula"], batch["batch"]) for batch in product["batches"]]) for product in trace["products"]] == [
        ("dark-loaf", [("dark", 1)]), ("field-loaf", [("field", 1), ("field", 2)]), ("twin", [("field", 1), ("field", 2), ("dark", 1)])]


def test_one_product_of_a_bread_day(owner, night):
    trace = backward(owner, on(-49), "dark-loaf")
    assert {lot: item["g"] for lot, item in lots_of(trace).items()} == {night["a"]: G("37.5"), night["c"]: G("512.5")}
    assert set(batches_of(trace)) == {("dark", 1)}


def test_what_the_book_cannot_tell_is_said(owner, night):
    gaps = backward(owner, on(-49))["gaps"]
    assert "40 g of Sea salt of which no stock was kept" in gaps
    assert "of 240 g of Mother 80 g came in before the book was kept" in gaps
    assert not any("Water" in gap for gap in gaps), "from the tap it has no lots"
    assert len(gaps) == 2, gaps


def test_customers_are_told_with_telephone_and_pieces(owner, night):
    inn, school = forward(owner, night["a"])["customers"]
    assert inn == {"customer": "inn", "name": "The inn", "phone": "555 0111", "address": "Bridge Street 1", "pieces": 25, "lines": [
        {"date": on(-49), "product": "field-loaf", "name": "Field loaf", "pieces": 5}, {"date": on(-49), "product": "twin", "name": "Twin roll", "pieces": 20}]}
    assert (school["customer"], school["address"], school["pieces"]) == ("school", None, 2)
    assert [customer["pieces"] for customer in forward(owner, night["b"])["customers"]] == [25, 1], "no dark bread"


# --- the law ---


def duties():
    with open(os.path.join(HERE, "..", "sources", "12_traceability.csv"), encoding="utf-8") as file:
        return {row["case"]: row for row in csv.DictReader(file)}


def test_every_duty_is_answered_by_a_test_that_names_it():
    told = " ".join(test.__doc__ for test in (test_one_step_back, test_one_step_forward, test_on_demand, test_lots_of_ingredients_meet_lots_of_bread, test_records_are_kept))
    assert {case for case in duties() if case not in told} == set()


def test_one_step_back(owner, night):
    """eu-178-back: any person who supplied an ingredient can be identified, and what came from whom and when."""
    assert duties()["eu-178-back"]["expected"] == "one step back"
    lot = lots_of(backward(owner, on(-49)))[night["c"]]
    assert {name: lot[name] for name in ("ingredient", "supplier", "supplier_name", "supplier_phone", "delivery_note", "lot_mark", "received_on")} == {
        "ingredient": "rye", "supplier": "upstream", "supplier_name": "The upstream mill", "supplier_phone": "555 0300", "delivery_note": "DN 77",
        "lot_mark": "C-3", "received_on": on(-59)}


def test_one_step_forward(owner, night):
    """eu-178-forward: the businesses supplied, and what, when and how much they got. eu-178-consumer: a café or shop
    that buys must be identified; whoever buys over the counter need not be, and bread that nobody ordered is told by
    its product and day."""
    assert duties()["eu-178-forward"]["expected"] == "one step forward" and "need not be identified" in duties()["eu-178-consumer"]["expected"]
    trace = forward(owner, night["c"])
    for customer in trace["customers"]:
        assert customer["name"] and customer["phone"]
        assert all(line["date"] in trace["bread_days"] and line["pieces"] > 0 and line["product"] for line in customer["lines"])
    assert {customer["customer"] for customer in trace["customers"]} == {"inn", "school"}


def test_on_demand(owner, baker, counter, night):
    """eu-178-demand and fsma-24h: all of it in one request, for a baker too, at any hour."""
    assert duties()["eu-178-demand"]["expected"] == "on demand" and duties()["fsma-24h"]["expected"] == "24 hours"
    for path in (f"/lots/{night['a']}/trace", f"/days/{on(-49)}/trace"):
        assert baker.get(path).body == owner.get(path).body
        assert counter.get(path).status == 403
        assert baker.get(path, If_None_Match=baker.get(path).etag).status == 304


def test_lots_of_ingredients_meet_lots_of_bread(owner, night):
    """eu-178-internal: not required, but it limits recalls: bread without any of the lot is not called back."""
    assert "limits recalls" in duties()["eu-178-internal"]["expected"]
    assert "dark-loaf" not in {line["product"] for customer in forward(owner, night["b"])["customers"] for line in customer["lines"]}


def test_records_are_kept(owner, night):
    """eu-178-since, fsma-date, fsma-bread, fsma-killstep: since when and for what records are asked for; here every
    ingredient has the same, bread flour as well as eggs, and no movement is ever deleted (records_test.sql)."""
    assert {"eu-178-since", "fsma-date", "fsma-bread", "fsma-killstep"} <= set(duties())
    assert owner.delete(f"/lots/{night['a']}").status == 405
    assert owner.delete("/ingredients/wheat").status == 409 and owner.delete("/suppliers/upstream").status == 409


# --- gaps, reversals, what there is none of ---


def test_what_there_is_none_of(owner):
    for text in ("999999", "0", "x", "07"):
        assert owner.get(f"/lots/{text}/trace").status == 404, text
    assert owner.get("/days/2027-02-30/trace").status == 422
    assert owner.get(f"/days/{on(0)}/trace?product=nothing").status == 422
    empty = backward(owner, on(-300))
    assert (empty["products"], empty["batches"], empty["lots"], empty["gaps"], empty["left_out"]) == ([], [], [], [], 0)


def test_a_lot_of_pieces(owner):
    clips = new_ingredient(owner, unit="piece", kind="packaging")
    lot = received(owner, clips, 500, pieces=True, date=-3)
    moved(owner, "used", clips, None, pieces=40)
    trace = forward(owner, lot)
    assert trace["balance"] == {"received_pieces": 500, "mixed_pieces": 0, "fed_pieces": 0, "used_pieces": 40, "wasted_pieces": 0, "returned_pieces": 0,
                                "counted_pieces": 0, "left_pieces": 460, "balanced": True}
    assert trace["batches"] == trace["customers"] == [] and trace["gaps"] == ["40 pieces were used otherwise than in batches and feeds"]


def test_every_kind_of_movement_is_in_the_balance(owner):
    flour = new_ingredient(owner)
    lot = received(owner, flour, 1000, date=-3)
    for kind, g in (("used", 100), ("wasted", 20), ("returned", 30), ("counted", 840)):
        moved(owner, kind, flour, g)
    undone(owner, moved(owner, "wasted", flour, 5)["number"])
    moved(owner, "moved", flour, 200, lot=lot, to="Loft")
    trace = forward(owner, lot)
    assert trace["balance"] == {"received_g": 1000, "mixed_g": 0, "fed_g": 0, "used_g": 100, "wasted_g": 20, "returned_g": 30, "counted_g": -10,
                                "left_g": 840, "balanced": True}
    assert trace["gaps"] == ["100 g were used otherwise than in batches and feeds", "10 g were missing when it was counted"]


def test_what_was_not_posted_is_a_gap_both_ways(owner, night):
    """Field dough with a sponge that nobody posted and a starter without a log; the wheat may be in both."""
    place(owner, "inn", on(-39), field_loaf=1, dark_loaf=1, poppy_roll=1)
    mixed(owner, "field", 1, [{"ingredient": "wheat", "g": 10, "lot": night["b"]}, {"formula": "sponge", "g": 12}, {"starter": "stray", "g": 7}], date=-40)
    gaps = backward(owner, on(-39))["gaps"]
    assert f"12 g of Sponge of {on(-40)} of which no batch was posted" in gaps and "7 g of Stray of which no log was kept" in gaps
    assert "no batch of Dark dough was posted for Dark loaf" in gaps
    assert "Poppy goes on Poppy roll without a batch: of which lots is not in the book" in gaps
    assert len(gaps) == 4, gaps
    gaps = forward(owner, night["a"])["gaps"]
    assert f"12 g of Sponge of {on(-40)} of which no batch was posted, which may hold some of this lot" in gaps
    assert "7 g of Stray of which no log was kept, which may hold some of this lot" in gaps
    poppy = received(owner, "poppy", 100, date=-41)
    assert forward(owner, poppy)["gaps"] == ["Poppy goes on products without a batch (Poppy roll): which of them had this lot is not in the book"]


def test_more_taken_than_was_posted(owner):
    """Two batches were mixed and one was posted: the takers share it, and no more is carried than went in."""
    lot = received(owner, "wheat", 400, date=-36, lot_mark="short")
    place(owner, "inn", on(-34), field_loaf=4)
    mixed(owner, "sponge", 1, [{"ingredient": "wheat", "g": 400, "lot": lot}, {"ingredient": "water", "g": 100}], date=-35)
    for n in (1, 2):
        mixed(owner, "field", n, [{"formula": "sponge", "g": 400}], date=-35)
    assert [batch["g"] for batch in forward(owner, lot)["batches"] if batch["formula"] == "field"] == [200, 200]
    gaps = backward(owner, on(-34))["gaps"]
    assert gaps == [f"of 800 g of Sponge of {on(-35)} that were taken only 500 g were posted as mixed"]


def test_what_leads_nowhere_is_said(owner):
    enter(owner, {"/starters/lone": {"name": "Lone", **STARTER}})
    lot = received(owner, "wheat", 1000, date=-33)
    log(owner, "begun", starter="lone", g=100)
    log(owner, "fed", starter="lone", seed_g=100, flour_g=100, water_g=100, lots=[{"ingredient": "wheat", "lot": lot}])
    log(owner, "taken", starter="lone", g=60)
    mixed(owner, "sponge", 1, [{"ingredient": "wheat", "g": 100, "lot": lot}], date=-33)
    trace = forward(owner, lot)
    assert trace["bread_days"] == trace["customers"] == []
    assert "15 g of it were taken with Lone for no batch" in trace["gaps"] and "1 batch of Sponge for no bread day in the book" in trace["gaps"]
    assert trace["starters"][0]["carried_g"] == 15


def test_a_batch_that_was_taken_back_holds_nothing(owner):
    lot = received(owner, "wheat", 1000, date=-31)
    place(owner, "inn", on(-29), field_loaf=1)
    sponge = mixed(owner, "sponge", 1, [{"ingredient": "wheat", "g": 100, "lot": lot}], date=-30)
    field = mixed(owner, "field", 1, [{"formula": "sponge", "g": 50}], date=-30)
    assert forward(owner, lot)["bread_days"] == [on(-29)] and set(lots_of(backward(owner, on(-29)))) == {lot}
    undone(owner, field["movement"])
    assert [batch["formula"] for batch in forward(owner, lot)["batches"]] == ["sponge"] and backward(owner, on(-29))["lots"] == []
    mixed(owner, "field", 1, [{"formula": "sponge", "g": 50}], date=-30)
    assert len(forward(owner, lot)["batches"]) == 2
    undone(owner, sponge["movement"])
    assert forward(owner, lot)["batches"] == [] and forward(owner, lot)["balance"]["mixed_g"] == 0
    assert f"50 g of Sponge of {on(-30)} of which no batch was posted" in backward(owner, on(-29))["gaps"]


def test_old_dough_day_after_day(owner):
    """Every dough takes half of its weight of the one before: more levels than any formula has."""
    lot = received(owner, "rye", 100, date=-200)
    days = range(-150, -130)
    enter(owner, {"/formulas/old": {"name": "Old dough", "basis": "final", "by_hand": True, "lines": [{"ingredient": "rye", "pct": 100}],
                                    "stages": [{"stage": "keep", "minutes": 1440}]},
                  "/products/old-loaf": {"name": "Old loaf", "parts": [{"formula": "old", "g": 100}]}})
    for n in days:
        place(owner, "inn", on(n + 2), old_loaf=1)
        lines = [{"ingredient": "rye", "g": 100, "lot": lot}] if n == days[0] else [{"ingredient": "water", "g": 50}, {"formula": "old", "g": 50}]
        mixed(owner, "old", 1, lines, date=n)
    trace = forward(owner, lot)
    assert [batch["g"] for batch in trace["batches"]] == [round(G(100) / 2**n, 6) for n in range(20)]
    for n in days:
        assert set(lots_of(backward(owner, on(n + 2)))) == {lot}, n


def test_a_long_log_is_followed_as_far_as_it_takes(owner, server):
    """A feed, 1,300 takings of a tenth of a gram, and a batch that takes a tenth of the 170 g that are left."""
    enter(owner, {"/starters/deep": {"name": "Deep", **STARTER}})
    lot = received(owner, "wheat", 1000, date=-29)
    log(owner, "begun", starter="deep", g=100)
    log(owner, "fed", starter="deep", seed_g=100, flour_g=100, water_g=100, lots=[{"ingredient": "wheat", "lot": lot}])
    psql(server.conninfo, """INSERT INTO morrowloaf.starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
                             SELECT 1, 'deep', 2 + n, 'taken', now(), 'test', -100, 300000 - n * 100 FROM generate_series(1, 1300) n""")
    place(owner, "inn", on(-27), dark_loaf=1)
    mixed(owner, "dark", 1, [{"starter": "deep", "g": 17}], date=-28)
    trace = forward(owner, lot)
    assert [(batch["date"], batch["g"]) for batch in trace["batches"]] == [(on(-28), G("4.25"))]
    assert trace["starters"][0] == {"starter": "deep", "name": "Deep", "fed_g": 75, "carried_g": G("36.75"), "discarded_g": 0, "still_in_g": G("38.25")}
    assert "32.5 g of it were taken with Deep for no batch" in trace["gaps"]
    assert lots_of(backward(owner, on(-27)))[lot]["g"] == G("4.25")


# --- at random ---


class Shares:
    """What every batch holds of every lot, in fractions, told from what the program says was entered."""

    def __init__(self, client, batches, starter):
        self.batches = {(item["date"], item["formula"], item["batch"]): item for item in batches}
        self.took = self.pot(client, starter)
        self.held = {}

    @staticmethod
    def pot(client, starter):
        """{entry: {lot: grams}} of every taking."""
        entries = list(reversed(client.list(f"/starters/{starter}/log?limit=1000")))
        counting = [entry for entry in entries if entry["kind"] != "reversed" and entry["reversed_by"] is None]
        inside, on_hand, took = collections.Counter(), Fraction(0), {}
        for entry in counting:
            out = Fraction(0)
            if entry["kind"] in ("taken", "discarded"):
                out = -Fraction(entry["delta_g"]) / on_hand
            if entry["kind"] == "fed":
                out = Fraction(entry["discard_g"]) / on_hand
            took[entry["number"]] = {lot: grams * out for lot, grams in inside.items()}
            for lot in inside:
                inside[lot] *= 1 - out
            if entry["movement"]:
                for line in client.get(f"/movements/{entry['movement']}")["lines"]:
                    inside[line["lot"]] -= Fraction(line["g"])
            on_hand += Fraction(entry["delta_g"])
        return took

    def of_pool(self, formula, date):
        made = [key for key in self.batches if key[:2] == (date, formula)]
        taken = sum(Fraction(line["g"]) for item in self.batches.values() for line in item["lines"]
                    if line.get("formula") == formula and line["part_date"] == date)
        whole = max(sum(Fraction(self.batches[key]["dough_g"]) for key in made), taken)
        inside = sum((self.of(key) for key in made), collections.Counter())
        return {lot: grams / whole for lot, grams in inside.items()}

    def of(self, key):
        if key not in self.held:
            held = collections.Counter()
            for line in self.batches[key]["lines"]:
                for part in line["lots"]:
                    held[part["lot"]] += Fraction(part["g"])
                if line.get("log_entry"):
                    held.update(self.took[line["log_entry"]])
                if "formula" in line:
                    held.update({lot: grams * Fraction(line["g"]) for lot, grams in self.of_pool(line["formula"], line["part_date"]).items()})
            self.held[key] = held
        return self.held[key]


def live(owner, dice, days):
    """Deliveries, feeds, batches, mistakes; what each batch was mixed for comes from orders."""
    enter(owner, {"/starters/mother": {**BOOK["/starters/mother"]}})
    count = collections.Counter()
    for n in days:
        for customer in ("inn", "school"):
            place(owner, customer, on(n + 1), field_loaf=dice.randint(1, 9), dark_loaf=dice.randint(1, 9), twin=dice.randint(1, 9))
        for flour in ("wheat", "rye"):
            if n == days[0] or dice.random() < 0.5:
                received(owner, flour, 20000 if n == days[0] else dice.randint(2, 9) * 1000, date=n, best_before=on(n + dice.randint(30, 90)))
                count["lots"] += 1
        on_hand = owner.get("/starters/mother/log?limit=1")["on_hand_g"]
        fed = log(owner, "fed", starter="mother", seed_g=str(min(on_hand, dice.randint(20, 400))), flour_g=400, water_g=400)
        if dice.random() < 0.2:
            log(owner, "reversed", starter="mother", reverses=fed["number"])
            log(owner, "fed", starter="mother", seed_g=str(min(on_hand, 50)), flour_g=300, water_g=300)
            count["undone"] += 1
        for formula, numbers in (("sponge", 2), ("field", 3), ("dark", 2)):
            for number in range(1, dice.randint(0 if formula == "sponge" else 1, numbers) + 1):
                lines = {"sponge": [{"ingredient": "wheat", "g": 300}, {"ingredient": "water", "g": 180}, {"starter": "mother", "g": dice.randint(5, 60)}],
                         "field": [{"ingredient": "wheat", "g": 700}, {"ingredient": "water", "g": 400}, {"formula": "sponge", "g": dice.randint(50, 400)}],
                         "dark": [{"ingredient": "rye", "g": 500}, {"ingredient": "water", "g": 350}, {"starter": "mother", "g": dice.randint(5, 60)}]}
                made = mixed(owner, formula, number, lines[formula], date=n)
                count["batches"] += 1
                if dice.random() < 0.15:
                    undone(owner, made["movement"])
                    count["undone"] += 1
    return count


def test_both_ways_agree_on_a_history_at_random(owner):
    days = range(-25, -5)
    count = live(owner, random.Random(12), days)
    assert count["batches"] > 80 and count["undone"] > 8 and count["lots"] > 15
    lots = [lot["lot"] for lot in owner.list("/lots") if lot["ingredient"] in ("wheat", "rye")]
    mixing_dates = [on(n) for n in (-50, -40, -35, -30, *days)]
    batches = [item for date in mixing_dates for item in owner.list(f"/mixing-lists/{date}/batches")]
    shares = Shares(owner, batches, "mother")
    back = {on(n + 1): backward(owner, on(n + 1)) for n in days}
    compared = 0
    for lot in lots:
        ahead = forward(owner, lot)
        expected = {key: held for key in shares.batches if (held := shares.of(key).get(lot, Fraction(0))) >= MICRO}
        found = {(batch["date"], batch["formula"], batch["batch"]): Fraction(batch["g"]) for batch in ahead["batches"] if batch["date"] in mixing_dates}
        assert set(found) == set(expected), lot
        assert all(abs(found[key] - expected[key]) <= MICRO / 2 + Fraction(1, 10**9) for key in found)
        compared += len(found)
        for starter in ahead["starters"]:
            assert starter["fed_g"] == starter["carried_g"] + starter["discarded_g"] + starter["still_in_g"]
        for date, trace in back.items():
            assert (date in ahead["bread_days"]) == (lot in lots_of(trace)), (lot, date)
            if lot in lots_of(trace):
                meant = sum(held for key, held in expected.items() if any(goal["date"] == date for goal in shares.batches[key]["for"]))
                assert abs(Fraction(lots_of(trace)[lot]["g"]) - meant) <= MICRO / 2 + Fraction(1, 10**9)
    assert compared > 200, compared
