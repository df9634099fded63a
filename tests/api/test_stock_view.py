"""What is left of each ingredient, what of it is free, and until when it lasts; what was used week by week."""

import datetime
from decimal import Decimal

import pytest

from harness import enter, place
from storework import G, mixed, moved, new_ingredient, on, received, undone

pytestmark = pytest.mark.usefixtures("store")

OUTLOOK = ("usable", "held", "expired", "spoken_for", "free", "on_order", "usual_week")
ISO = datetime.date.fromisoformat
AHEAD, BACK = 42, 28


@pytest.fixture(scope="module")
def today(owner):
    """The working day, which may be the day before the date: later(n) is a working day."""
    start = ISO(owner.get("/days/next")["working_day"])
    return lambda n=0: (start + datetime.timedelta(days=n)).isoformat()


@pytest.fixture
def bread(owner, flour):
    """A loaf of a dough of its own, half of it the flour; mixed on the evening before, twelve kilos at a time at most."""
    code = f"loaf-of-{flour}"
    enter(owner, {f"/formulas/{code}": {"name": code, "basis": "final", "mixer": "planetary", "lines": [{"ingredient": flour, "pct": 100}, {"ingredient": "water", "pct": 100}],
                                        "stages": [{"stage": "all", "minutes": 300}]},
                  f"/products/{code}": {"name": code, "parts": [{"formula": code, "g": 1000}]}})
    return code


def item(client, code, query=""):
    found = [one for one in client.get(f"/stock{query}")["items"] if one["ingredient"] == code]
    assert len(found) <= 1
    return found[0] if found else None


def figures(shown, *stems):
    return tuple(shown[f"{stem}_g" if stem else "g"] for stem in stems)


# --- what there is ---


def test_what_is_not_kept_is_not_told(owner, flour):
    assert item(owner, flour) is None
    for code, words in ((flour, "no stock is kept"), ("no-such", "no ingredient")):
        answer = owner.get(f"/stock/{code}")
        assert answer.status == 404 and words in answer["errors"][0]["detail"]
    assert owner.get("/stock?on=today").status == 422


def test_all_that_there_is(owner, baker, flour, today):
    received(owner, flour, 5000, best_before=on(30), price="10.00")
    soon = received(owner, flour, 3000, best_before=on(14), lot_mark="M 14", price="9.00")
    received(owner, flour, 700, best_before=on(-1), price="1.00")
    held = received(owner, flour, 40, best_before=on(-1), price="0.10")
    enter(owner, {f"/lots/{held}": {"best_before": on(-1), "held": True}})
    shown = item(baker, flour)
    assert shown == {"ingredient": flour, "name": flour.capitalize(), "kind": "flour", "unit": "g", "g": 8740, "usable_g": 8000, "held_g": 40, "expired_g": 700,
                     "next_best_before": on(14), "spoken_for_g": 0, "free_g": 8000, "on_order_g": 0, "usual_week_g": None, "cover_days": None, "runs_out": None}
    whole = owner.get("/stock")
    shown = item(owner, flour)
    assert (shown["fifo_value"], shown["average_value"], whole["on"], whole["as_of_today"]) == ("20.10", "20.10", today(), True)
    one = owner.get(f"/stock/{flour}")
    assert {name: one[name] for name in shown} == shown
    assert one["supply"] == {"supplier": None, "pack_g": None, "place": "store"}
    assert [(lot["left_g"], lot["expired"], lot["soon"], lot["held"]) for lot in one["lots"]] == [
        (3000, False, True, False), (5000, False, False, False), (700, True, False, False), (40, True, False, True)], "in the order in which they are taken"
    assert one["lots"][0] == {"lot": soon, "lot_mark": "M 14", "supplier_name": "The mill", "received_on": on(0), "best_before": on(14), "expired": False, "soon": True,
                              "held": False, "left_g": 3000, "places": [{"place": "store", "g": 3000}]}
    assert owner.get(f"/stock/{flour}", If_None_Match=one.etag).status == 304


def test_what_is_counted_is_told_in_pieces(owner):
    bag = new_ingredient(owner, unit="piece", kind="packaging")
    received(owner, bag, 500, pieces=True)
    shown = item(owner, bag)
    assert (shown["pieces"], shown["free_pieces"], shown["usual_week_pieces"], "g" in shown) == (500, 500, None, False)
    assert owner.get(f"/stock/{bag}")["course"][-1]["left_pieces"] == 500


def test_a_price_that_is_not_known_makes_no_total(owner, flour):
    received(owner, flour, 1000)
    shown, whole = item(owner, flour), owner.get("/stock")
    assert shown["fifo_value"] is shown["average_value"] is whole["fifo_value"] is None
    moved(owner, "wasted", flour, 1000)
    assert item(owner, flour)["fifo_value"] == "0.00"


# --- what is spoken for, and how long it lasts ---


def course_of(client, code, start):
    """The course, after what must hold of any: no day is missing, and each follows from the one before."""
    one = client.get(f"/stock/{code}")
    course = one["course"]
    assert [day["date"] for day in course] == [start(n) for n in range(-BACK, AHEAD)]
    assert [day["expected"] for day in course] == [False] * BACK + [True] * AHEAD
    for n, day in enumerate(course[1:], 1):
        before = one["usable_g"] if n == BACK else course[n - 1]["left_g"]
        assert day["left_g"] == before + day["in_g"] - day["out_g"] + day["lacking_g"], day
        assert day["lacking_g"] == 0 or (day["expected"] and day["left_g"] == 0)
    short = [day["date"] for day in course if day["lacking_g"]]
    assert one["runs_out"] == (short[0] if short else None)
    assert one["cover_days"] == ((ISO(short[0]) - ISO(start())).days if short else None)
    return one.body


def test_printed_lists_speak_for_what_they_weigh_until_it_is_mixed(owner, baker, flour, bread, today):
    received(owner, flour, 10000)
    place(owner, "shop", today(2), **{bread: 30})
    assert figures(item(owner, flour), "spoken_for", "free") == (0, 10000), "nothing is printed"
    assert owner.post(f"/mixing-lists/{today(1)}/prints").status == 201
    mix = next(mix for mix in owner.get(f"/mixing-lists/{today(1)}")["mixes"] if mix["formula"] == bread)
    line = mix["lines"][0]
    assert mix["batches"] == 3 and line["ingredient"] == flour and line["total_g"] == 15000
    assert figures(item(owner, flour), "", "spoken_for", "free") == (10000, 15000, -5000)
    batch = mixed(baker, bread, 2, date=(ISO(today(1)) - ISO(on(0))).days)
    assert figures(item(owner, flour), "", "spoken_for", "free") == (5000, 10000, -5000)
    place(owner, "shop", today(2), **{bread: 1})
    assert item(owner, flour)["spoken_for_g"] == 10000, "what is printed is printed"
    one = course_of(owner, flour, today)
    tomorrow = one["course"][BACK + 1]
    again = next(mix for mix in owner.get(f"/mixing-lists/{today(1)}")["mixes"] if mix["formula"] == bread)
    assert tomorrow["out_g"] == 2 * again["lines"][0]["weigh_g"], "two of three batches, as the orders are now"
    undone(owner, batch["movement"])
    assert figures(item(owner, flour), "", "spoken_for") == (10000, 15000)
    owner.post(f"/mixing-lists/{today(1)}/prints")
    assert item(owner, flour)["spoken_for_g"] == again["lines"][0]["total_g"], "the last print counts"


def test_orders_tell_when_it_runs_out_and_deliveries_put_it_off(owner, flour, bread, today):
    received(owner, flour, 10000)
    for n, loaves in ((1, 8), (4, 10), (6, 4), (20, 30)):
        place(owner, "shop", today(n), **{bread: loaves})
    one = course_of(owner, flour, today)
    assert (one["runs_out"], one["cover_days"], one["usual_week_g"]) == (today(5), 5, None)
    assert [(n, day["out_g"], day["left_g"], day["lacking_g"]) for n, day in enumerate(one["course"][BACK:]) if day["out_g"]] == [
        (0, 4000, 6000, 0), (3, 5000, 1000, 0), (5, 2000, 0, 1000), (19, 15000, 0, 15000)]
    ordered = owner.post("/purchase-orders", {"supplier": "mill", "date": on(0), "due": today(5), "lines": [{"ingredient": flour, "g": 12000}]})
    one = course_of(owner, flour, today)
    assert (one["on_order_g"], one["runs_out"], one["course"][BACK + 5]["delivered_g"]) == (12000, today(19), 12000)
    assert one["course"][BACK + 19]["lacking_g"] == 4000
    answer = owner.put(f"/purchase-orders/{ordered['number']}", {"closed": True})
    assert answer.status == 200 and item(owner, flour)["on_order_g"] == 0 and item(owner, flour)["runs_out"] == today(5)


def test_flour_of_starters_is_what_is_not_in_the_pot(owner, today):
    rye = new_ingredient(owner)
    received(owner, rye, 1000)
    code = f"sour-of-{rye}"
    enter(owner, {f"/starters/{code}": {"name": code, "hydration_pct": 100, "keep_g": 0, "flours": [{"ingredient": rye, "pct": 100}]},
                  f"/formulas/{code}": {"name": code, "basis": "final", "by_hand": True, "lines": [{"ingredient": "rye-flour", "pct": 100}, {"starter": code, "pct": 100}],
                                        "stages": [{"stage": "all", "minutes": 300}]},
                  f"/products/{code}": {"name": code, "parts": [{"formula": code, "g": 1000}]}})
    place(owner, "shop", today(2), **{code: 2})
    assert course_of(owner, rye, today)["course"][BACK + 1]["out_g"] == 500, "half of a kilo of starter"
    assert owner.post(f"/starters/{code}/log", {"kind": "begun", "g": 400}).status == 201
    assert course_of(owner, rye, today)["course"][BACK + 1]["out_g"] == 300


def test_packaging_and_what_is_strewn_on_top_are_planned_too(owner, today):
    bag, sesame = new_ingredient(owner, unit="piece", kind="packaging"), new_ingredient(owner, kind="other")
    received(owner, bag, 30, pieces=True)
    received(owner, sesame, 1000)
    code = f"bun-in-{bag}"
    enter(owner, {f"/products/{code}": {"name": code, "ready_at": "06:00", "parts": [{"formula": "bun", "g": 90}, {"ingredient": sesame, "g": 2.5}], "packaging": [{"ingredient": bag, "pieces": 2}]}})
    place(owner, "shop", today(2), **{code: 20})
    assert owner.get(f"/stock/{bag}")["runs_out"] == today(1)
    assert [day["out_g"] for day in owner.get(f"/stock/{sesame}")["course"][BACK:BACK + 3]] == [0, 50, 0]


# --- what is usual ---


def test_the_usual_week_is_learnt_from_what_was_used(owner, flour, today):
    """Three weeks of 400 g a day and 100 more on Saturdays; today's is not in it."""
    received(owner, flour, 20000, date=-40)
    back = (ISO(on(0)) - ISO(today())).days
    for n in range(1, 22):
        day = ISO(today(-n))
        moved(owner, "used", flour, 500 if day.isoweekday() == 6 else 400, date=-n - back)
    one = course_of(owner, flour, today)
    assert one["usual_week_g"] == 2900 and one["g"] == 20000 - 3 * 2900
    expected = [500 if ISO(day["date"]).isoweekday() == 6 else 400 for day in one["course"][BACK:]]
    assert [day["out_g"] for day in one["course"][BACK:]] == expected
    left, n = 11300, 0
    while left >= expected[n]:
        left, n = left - expected[n], n + 1
    assert one["runs_out"] == today(n) and one["cover_days"] == n
    moved(owner, "used", flour, 150, date=-back)
    assert course_of(owner, flour, today)["course"][BACK]["out_g"] == expected[0] - 150, "of today the rest"
    thrown = moved(owner, "wasted", flour, 5000, date=-1 - back)
    assert item(owner, flour)["usual_week_g"] == 2900, "what is thrown away is not usual"
    undone(owner, thrown["number"])


# --- the past ---


def test_a_past_day_is_as_the_book_has_it(owner, baker, flour, today):
    back = (ISO(on(0)) - ISO(today())).days
    lot = received(owner, flour, 9000, date=-20, price="18.00")
    book = [(-20, 9000), (-15, -1000), (-15, -500), (-9, -2000), (-3, 250)]
    moved(owner, "used", flour, 1000, date=-15)
    moved(owner, "wasted", flour, 500, date=-15)
    moved(owner, "used", flour, 2000, date=-9)
    moved(owner, "moved", flour, lot=lot, g=100, place="store", to="attic", date=-8)
    moved(owner, "counted", flour, 5750, date=-3)
    wrong = moved(owner, "wasted", flour, 5000, date=-2)
    undone(owner, wrong["number"])
    assert item(owner, flour, f"?on={on(-21)}") is None, "there was no lot yet"
    for n in (-20, -16, -15, -10, -9, -4, -3, -2):
        expected = sum(g for day, g in book if day <= n)
        shown = owner.get(f"/stock?on={on(n)}")
        assert (shown["on"], shown["as_of_today"]) == (on(n), False)
        shown = item(owner, flour, f"?on={on(n)}")
        assert shown["g"] == expected and Decimal(shown["fifo_value"]) == Decimal(expected) * 18 / 9000
        assert all(shown[f"{stem}_g"] is None for stem in OUTLOOK) and shown["runs_out"] is shown["cover_days"] is shown["next_best_before"] is None
    assert "fifo_value" not in item(baker, flour, f"?on={on(-5)}")
    assert item(owner, flour, f"?on={today()}")["g"] == 5750
    course = course_of(owner, flour, today)["course"]
    by_day = {day["date"]: day for day in course}
    assert figures(by_day[on(-20)], "in", "out", "delivered", "left") == (9000, 0, 9000, 9000)
    assert figures(by_day[on(-15)], "in", "out", "left") == (0, 1500, 7500)
    assert figures(by_day[on(-8)], "in", "out", "left") == (0, 0, 5500), "moved to another place"
    assert figures(by_day[on(-3)], "in", "delivered", "left") == (250, 0, 5750)
    assert figures(by_day[on(-2 - back)], "out", "left")[1] in (5750, 750) and by_day[on(-20)]["lacking_g"] == 0


def test_a_day_ahead_is_as_the_book_has_it_by_then(owner, flour, bread, today):
    """A delivery dated ahead, what will have expired, and a batch of a list that is dated ahead."""
    received(owner, flour, 10000, price="10.00", date=-1)
    received(owner, flour, 4000, date=3, price="8.00", best_before=on(5))
    moved(owner, "used", flour, 1000, date=4)
    worth = {0: (10000, "10.00"), 2: (10000, "10.00"), 3: (14000, "18.00"), 4: (13000, "17.00"), 60: (13000, "17.00")}
    for n, expected in worth.items():
        shown = item(owner, flour, f"?on={on(n)}")
        assert expected == (shown["g"], shown["fifo_value"]), n
        assert shown["usable_g"] == shown["free_g"] == (10000 if n > 5 else shown["g"]) and shown["expired_g"] == (3000 if n > 5 else 0), n
    whole = owner.get(f"/stock?on={on(4)}")
    assert (whole["on"], whole["as_of_today"], item(owner, flour)["g"]) == (on(4), True, 13000), "now it is all that was entered"
    place(owner, "shop", today(2), **{bread: 30})
    assert owner.post(f"/mixing-lists/{today(1)}/prints").status == 201
    mixed(owner, bread, 2, date=(ISO(today(1)) - ISO(on(0))).days)
    for query, expected in ((f"?on={today()}", (10000, 15000, -5000)), (f"?on={today(1)}", (5000, 10000, -5000)), ("", (8000, 10000, -2000))):
        assert figures(item(owner, flour, query), "", "spoken_for", "free") == expected, query


# --- what was used, and what should have been ---


def weeks_of(client, code, query=""):
    return [one for one in client.get(f"/stock-use{query}")["items"] if one["ingredient"] == code]


def test_use_is_held_against_what_the_formulas_asked_for(owner, flour, bread, today):
    """Last week: 60 loaves, of which 30 kg were asked for; 32 kg were used, a sack was torn, a count found 250 g."""
    monday = ISO(today()) - datetime.timedelta(days=ISO(today()).isoweekday() - 1 + 7)
    ago = (monday - ISO(on(0))).days
    received(owner, flour, 100000, date=ago - 30)
    for n, loaves in ((0, 1000), (1, 25), (7, 35), (8, 2000)):
        place(owner, "shop", (monday + datetime.timedelta(days=n)).isoformat(), **{bread: loaves})
    moved(owner, "used", flour, 12000, date=ago)
    moved(owner, "used", flour, 20000, date=ago + 6)
    moved(owner, "wasted", flour, 600, date=ago + 2)
    moved(owner, "counted", flour, 100000 - 32600 + 250, date=ago + 6)
    moved(owner, "used", flour, 7, date=ago - 1)
    week = weeks_of(owner, flour, f"?from={(monday + datetime.timedelta(days=3)).isoformat()}&weeks=1")
    number = monday.isocalendar()
    assert week == [{"week": f"{number.year}-W{number.week:02}", "from": monday.isoformat(), "to": (monday + datetime.timedelta(days=6)).isoformat(), "ingredient": flour,
                     "name": flour.capitalize(), "theory_g": 30000, "posted_g": 32000, "wasted_g": 600, "counted_g": 250, "actual_g": 32350, "over_g": 2350,
                     "over_pct": G("7.8333")}]
    four = weeks_of(owner, flour)
    assert four[-1] == week[0] and [one["posted_g"] for one in four] == [7, 32000] and four[0]["theory_g"] == 500000
    exact = 0
    for n in range(7):
        mixes = owner.get(f"/mixing-lists/{(monday + datetime.timedelta(days=n)).isoformat()}")["mixes"]
        exact += sum(mix["batches"] * line["exact_g"] for mix in mixes for line in mix["lines"] if line.get("ingredient") == flour)
    assert exact == week[0]["theory_g"], "the sum of the lists of the week"


def test_weeks_that_cannot_be(owner):
    for query in ("?weeks=0", "?weeks=54", "?weeks=two", "?from=yesterday", "?from=9999-12-31&weeks=2", "?from=2026-02-30"):
        answer = owner.get(f"/stock-use{query}")
        assert answer.status == 422, query
    both = owner.get("/stock-use?weeks=x&from=x")
    assert len(both["errors"]) == 2
    assert owner.get("/stock-use?from=1950-01-01&weeks=53")["items"] == []
