"""The timetable of a bread day and the run sheet of a working day, against a second look of our own:
all of it is there, in order, on the machines there are; and what moves by hand break is told."""

import datetime
import random

import pytest

import timekeeper
from bakehouse import CUSTOMERS, INGREDIENTS, PRODUCTS, FORMULAS, day
from clockwork import AT_WORK, HOUR, MINUTE, STARTER, dated, instant, text
from harness import enter, place
from timekeeper import hands_short, span, violations

BREAKS = ("order", "mixer", "deck", "late")


def lines(*more):
    return [{"ingredient": "bread-flour", "pct": 100}, {"ingredient": "water", "pct": 62}, {"ingredient": "salt", "pct": 2}, *more]


def baked(name, formula, g, per_place, *steps, **more):
    return {"name": name, "parts": [{"formula": formula, "g": g}], **more,
            "bake": {"per_place": per_place, "steps": [{"c": c, "minutes": minutes, "steam": n == 0} for n, (c, minutes) in enumerate(steps)]}}


STAGES = [{"stage": "mix", "minutes": 15, "uses": "mixer", "hands": 1}, {"stage": "bulk", "minutes": 120, "most_minutes": 210},
          {"stage": "shape", "minutes": 30, "hands": 2}, {"stage": "retard", "minutes": 480, "uses": "cold", "most_minutes": 900, "at": "fridge"},
          {"stage": "bake", "minutes": 45, "uses": "oven", "hands": 1}, {"stage": "cool", "minutes": 60}, {"stage": "pack", "minutes": 10, "hands": 1}]
HOUSE = {
    "bakery": {**AT_WORK, "cold_g": 0},
    "formulas": {
        "sponge": {"name": "Sponge", "basis": "final", "lines": lines(), "stages": [{"stage": "mix", "minutes": 10}, {"stage": "ferment", "minutes": 300, "most_minutes": 600}]},
        "soaker": {"name": "Soaker", "basis": "final", "by_hand": True, "lines": [{"ingredient": "sunflower", "pct": 100}, {"ingredient": "water", "pct": 100}],
                   "stages": [{"stage": "soak", "minutes": 200, "most_minutes": 1200, "hands": 1}]},
        "white": {"name": "White", "basis": "final", "lines": lines(), "stages": STAGES},
        "seeded": {"name": "Seeded", "basis": "final", "mixer": "planetary", "lines": lines({"formula": "soaker", "pct": 30}, {"formula": "sponge", "pct": 40}),
                   "stages": [{"stage": "mix", "minutes": 20, "uses": "mixer"}, {"stage": "proof", "minutes": 90, "most_minutes": 300},
                              {"stage": "bake", "minutes": 40, "uses": "oven"}, {"stage": "cool", "minutes": 45}]},
        "roll": {"name": "Roll", "basis": "final", "lines": lines(), "stages": [{"stage": "mix", "minutes": 12}, {"stage": "prove", "minutes": 100}]}},
    "products": {
        "loaf": baked("Loaf", "white", 900, 12, (250, 10), (225, 35)),
        "batard": baked("Batard", "white", 500, 20, (245, 35)),
        "seeded-tin": baked("Seeded tin", "seeded", 800, 10, (230, 15), (210, 30), ready_at="05:45"),
        "roll": {"name": "Roll", "parts": [{"formula": "roll", "g": 80}]}}}


def things(house):
    return {"/bakery": house["bakery"], **{f"/formulas/{code}": body for code, body in house["formulas"].items()},
            **{f"/products/{code}": body for code, body in house["products"].items()}}


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    enter(owner, {"/bakery": HOUSE["bakery"], **INGREDIENTS, **CUSTOMERS, **things(HOUSE)})


@pytest.fixture
def bread_day(owner):
    """bread_day(**pieces): a day of its own with that order of the shop."""
    orders = []

    def order(customer="shop", date=None, **pieces):
        bread_day.count = getattr(bread_day, "count", 0) + 4
        date = date or day(bread_day.count)
        orders.append(place(owner, customer, date, **pieces))
        return date

    yield order
    for placed in orders:
        owner.delete(placed.location)


def mixes_for(client, date):
    """Every mix of the mixing lists that is for the bread day."""
    found = []
    for back in range(4):
        night = (dated(date) - datetime.timedelta(days=back)).isoformat()
        found += [{**mix, "mixing_date": night} for mix in client.get(f"/mixing-lists/{night}")["mixes"] if date in mix["for"]]
    return found


def told(shown, kinds=BREAKS):
    return {(one["kind"], frozenset(filter(None, (one["task"], one["other"])))) for one in shown["breaks"] if one["kind"] in kinds}


def verify(client, house, date):
    """A timetable that nobody moved, looked at a second time."""
    answer = client.get(f"/days/{date}/timetable")
    assert answer.status == 200, answer
    timekeeper.whole(house, date, answer, client.get(f"/days/{date}/production"), mixes_for(client, date))
    assert violations(house, answer["tasks"]) == told(answer)
    assert timekeeper.waiting(house, answer["tasks"]) == {("waits", one["task"]) for one in answer["breaks"] if one["kind"] == "waits"}
    cold = house["bakery"].get("cold_g")
    assert not cold or timekeeper.fullest_cold(answer["tasks"]) <= cold or "cold" in {one["kind"] for one in answer["breaks"]}
    assert [(instant(row["from"]), instant(row["to"]), row["needed"], row["there"]) for row in answer["hands"]] == hands_short(house, answer["tasks"])
    return answer


# --- all of it, and in order ---


def test_a_night_of_everything(baker, bread_day):
    date = bread_day(loaf=75, batard=50, seeded_tin=25, roll=200)
    shown = verify(baker, HOUSE, date)
    assert shown["breaks"] == [] and shown["moves"] == 0
    assert {task["kind"] for task in shown["tasks"]} == {"mix", "stage", "preheat", "load", "cool"}
    assert baker.get(f"/days/{date}/timetable").text == baker.get(f"/days/{date}/timetable").text


def test_a_load_has_its_instructions(baker, bread_day):
    shown = verify(baker, HOUSE, bread_day(loaf=12))
    load, = [task for task in shown["tasks"] if task["kind"] == "load"]
    assert (load["items"], load["dough_g"]) == ([{"product": "loaf", "name": "Loaf", "pieces": 12}], 12 * 900)
    assert load["steps"] == [{"c": 250, "minutes": 10, "steam": True}, {"c": 225, "minutes": 35, "steam": False}]
    assert load["oven"] in ("stone", "rack") and load["stage"] == "bake" and load["formula"] == "white" and load["name"] == "White"
    packed = max(shown["tasks"], key=lambda task: instant(task["ends_at"]))
    assert (packed["kind"], packed["stage"], packed["ends_at"], packed["ready_at"]) == ("cool", "pack", packed["ready_at"], load["ready_at"])


def test_customers_who_want_it_earlier_have_it_earlier(owner, baker, bread_day):
    date = bread_day(loaf=30)
    early = place(owner, "cafe", date, loaf=5)  # ready at 05:30
    shown = verify(baker, HOUSE, date)
    ready = {}
    for load in (task for task in shown["tasks"] if task["kind"] == "load"):
        ready[load["ready_at"][11:16]] = ready.get(load["ready_at"][11:16], 0) + sum(item["pieces"] for item in load["items"])
    assert ready == {"05:30": 12, "06:30": 23}, "the deck of the five is filled with seven that are wanted an hour later"
    owner.delete(early.location)


def test_a_day_without_orders_is_an_empty_timetable(baker):
    shown = baker.get(f"/days/{day(900)}/timetable")
    assert shown.body == {"date": day(900), "begins_at": None, "ends_at": None, "minutes": 0, "at_least_minutes": 0, "tasks": [], "hands": [], "breaks": [], "moves": 0}
    assert baker.get(f"/days/{day(900)}/moves").body == {"date": day(900), "moves": []}
    assert baker.get(f"/working-days/{day(899)}/run-sheet")["tasks"] == []


def test_a_dough_without_an_oven_stage_ends_with_its_stages(baker, bread_day):
    """Doughs as they were entered before anybody spoke of ovens."""
    shown = verify(baker, HOUSE, bread_day(roll=100))
    assert [(task["kind"], task["stage"], task["uses"]) for task in shown["tasks"]] == [("mix", "mix", "mixer"), ("stage", "prove", None)]
    assert shown["tasks"][-1]["ends_at"] == shown["tasks"][-1]["ready_at"]


def test_who_may_see_it(counter, baker, bread_day):
    date = bread_day(roll=1)
    for path in (f"/days/{date}/timetable", f"/days/{date}/moves", f"/working-days/{date}/run-sheet"):
        assert (counter.get(path).status, baker.get(path).status) == (403, 200)
    for path in ("/days/2027-02-30/timetable", "/days/today/moves", "/working-days/2027-13-01/run-sheet"):
        assert baker.get(path).status == 422


def drawn(rng):
    """A house of other machines and other doughs."""
    bakery = {**AT_WORK, "day_starts_at": rng.choice(["12:00", "09:00"]), "cold_g": rng.choice([0, 0, 60000]),
              "ovens": [{"code": f"oven-{n}", "decks": rng.randint(1, 4), "places": rng.choice([1, 1, 6]), "preheat_minutes": rng.choice([0, 45]),
                         "recovery_minutes": rng.choice([0, 12])} for n in range(rng.randint(1, 2))],
              "shifts": [{"from": "18:00", "to": "02:30", "hands": rng.randint(1, 3)}, {"from": "02:00", "to": "10:00", "days": [1, 2, 3, 4, 5, 6], "hands": 2}][:rng.randint(0, 2)]}
    formulas = {"sponge": HOUSE["formulas"]["sponge"], "soaker": HOUSE["formulas"]["soaker"]}
    products = {}
    for n in range(rng.randint(1, 4)):
        stages = [{"stage": "mix", "minutes": rng.choice([8, 15, 25]), "uses": "mixer", "hands": rng.randint(0, 1)},
                  {"stage": "bulk", "minutes": rng.choice([60, 150]), "most_minutes": rng.choice([240, 600])}, {"stage": "shape", "minutes": rng.choice([10, 30]), "hands": rng.randint(1, 2)}]
        if rng.random() < 0.4:
            stages.append({"stage": "retard", "minutes": rng.choice([300, 600]), "uses": "cold", "most_minutes": 1200})
        stages += [{"stage": "bake", "minutes": 40, "uses": "oven", "hands": 1}, {"stage": "cool", "minutes": rng.choice([0, 40])}][:rng.randint(1, 2)]
        parts = [{"formula": code, "pct": 20} for code in ("sponge", "soaker") if rng.random() < 0.4]
        formulas[f"dough-{n}"] = {"name": f"Dough {n}", "basis": "final", "lines": lines(*parts), "stages": stages, "mixer": rng.choice(["spiral", "planetary", None])}
        for k in range(rng.randint(1, 2)):
            products[f"bread-{n}-{k}"] = baked(f"Bread {n} {k}", f"dough-{n}", rng.choice([400, 850]), rng.choice([8, 12, 20]), (240, rng.choice([20, 35])), (215, 15),
                                               ready_at=rng.choice([None, "05:00", "07:15", "11:00"]))
    return {"bakery": bakery, "formulas": formulas, "products": products}


@pytest.mark.parametrize("seed", range(24))
def test_random_days(owner, bread_day, seed):
    rng = random.Random(f"timetable {seed}")
    house = drawn(rng)
    enter(owner, things(house))
    date = bread_day(**{code.replace("-", "_"): rng.choice([3, 20, 60, 150]) for code in house["products"]})
    shown = verify(owner, house, date)
    assert not {"order", "mixer", "deck", "gone"} & {one["kind"] for one in shown["breaks"]}, "nothing is put where something else is"
    same_in_run_sheets(owner, house, [date])


@pytest.fixture(scope="module", autouse=True)
def as_it_was(owner):
    yield
    enter(owner, things(HOUSE))


# --- the working day ---


def bare(task):
    return {name: value for name, value in task.items() if name != "after"}


def same_in_run_sheets(client, house, dates):
    """Run sheets of all working days around show the same tasks at the same times, each where it is done."""
    timed = {task["id"]: task for date in dates for task in client.get(f"/days/{date}/timetable")["tasks"]}
    seen = {}
    for back in range(-3, 3):
        working_day = (dated(dates[0]) + datetime.timedelta(days=back)).isoformat()
        sheet = client.get(f"/working-days/{working_day}/run-sheet")
        begins, ends = instant(sheet["from"]), instant(sheet["to"])
        assert sheet["from"][:16] == f"{working_day}T{house['bakery']['day_starts_at']}"
        for task in sheet["tasks"]:
            if task["id"] in timed:
                assert bare(task) == bare(timed[task["id"]])
                seen.setdefault(task["id"], []).append(working_day)
            assert span(task)[0] < ends and span(task)[1] >= begins
    assert set(seen) == set(timed), "everything is done in some working day"


def test_the_run_sheet_shows_the_same_at_the_same_times(owner, bread_day):
    enter(owner, things(HOUSE))
    date = bread_day(loaf=75, seeded_tin=25, roll=40)
    following = (dated(date) + datetime.timedelta(days=1)).isoformat()
    bread_day(date=following, loaf=40, batard=40, roll=1)
    same_in_run_sheets(owner, HOUSE, [date, following])
    for one in (date, following):
        verify_alone(owner, one)


def verify_alone(client, date):
    shown = client.get(f"/days/{date}/timetable")
    timekeeper.whole(HOUSE, date, shown, client.get(f"/days/{date}/production"), mixes_for(client, date))
    assert shown["breaks"] == []


def test_neighbouring_days_share_the_machines(owner, bread_day):
    """Both nights put together break nothing: what the day before has taken is taken."""
    enter(owner, things(HOUSE))
    late = {**HOUSE["products"]["loaf"], "ready_at": "11:30"}
    enter(owner, {"/products/loaf": late})
    date = bread_day(loaf=100, batard=30)
    following = (dated(date) + datetime.timedelta(days=1)).isoformat()
    bread_day(date=following, loaf=60, seeded_tin=40)
    together = {task["id"]: task for one in (date, following) for task in owner.get(f"/days/{one}/timetable")["tasks"]}
    assert violations(HOUSE, list(together.values())) == set()
    same_in_run_sheets(owner, HOUSE, [date, following])
    enter(owner, {"/products/loaf": HOUSE["products"]["loaf"]})


def test_one_mix_for_two_bread_days(owner, bread_day):
    """Wanted at 11:30 and at 06:30 of the next day, mixed twenty hours before: one night, one mix, shown with both days."""
    long = [{"stage": "mix", "minutes": 15, "uses": "mixer", "hands": 1}, {"stage": "retard", "minutes": 1080, "uses": "cold"},
            {"stage": "bake", "minutes": 45, "uses": "oven", "hands": 1}, {"stage": "cool", "minutes": 60}]
    house = {**HOUSE, "formulas": {**HOUSE["formulas"], "white": {**HOUSE["formulas"]["white"], "stages": long}},
             "products": {**HOUSE["products"], "loaf": {**HOUSE["products"]["loaf"], "ready_at": "11:30"}, "batard": {**HOUSE["products"]["batard"], "ready_at": "06:30"}}}
    enter(owner, things(house))
    date = bread_day(loaf=12)
    following = (dated(date) + datetime.timedelta(days=1)).isoformat()
    bread_day(date=following, batard=20)
    mix, = [mix for mix in mixes_for(owner, date) if mix["formula"] == "white"]
    assert mix["for"] == [date, following] and mix["mixing_date"] == (dated(date) - datetime.timedelta(days=1)).isoformat()
    tables = {one: owner.get(f"/days/{one}/timetable") for one in (date, following)}
    for one, shown in tables.items():
        assert sum(item["pieces"] for load in of_kind(shown, "load") if load["for"] == [one] for item in load["items"]) == {date: 12, following: 20}[one]
    shared = [{task["id"]: bare(task) for task in shown["tasks"]} for shown in tables.values()]
    for name in shared[0].keys() & shared[1].keys():
        assert shared[0][name] == shared[1][name], "the same whichever day is asked for"
    together = {name: task for shown in tables.values() for name, task in ((task["id"], task) for task in shown["tasks"])}
    timekeeper.batches(house, mix, list(together.values()))
    assert violations(house, list(together.values())) == set()
    same_in_run_sheets(owner, house, [date, following])
    enter(owner, things(HOUSE))


# --- clock changes ---


@pytest.mark.parametrize("date, wall", [("2027-03-28", 13), ("2027-10-31", 11), ("2027-06-13", 12)])
def test_a_twelve_hour_proof_is_twelve_hours(owner, bread_day, date, wall):
    night = [{"stage": "mix", "minutes": 15, "uses": "mixer"}, {"stage": "proof", "minutes": 720, "uses": "cold"},
             {"stage": "bake", "minutes": 45, "uses": "oven"}, {"stage": "cool", "minutes": 30}]
    enter(owner, {"/formulas/white": {**HOUSE["formulas"]["white"], "stages": night}})
    bread_day(date=date, loaf=10)
    house = {**HOUSE, "formulas": {**HOUSE["formulas"], "white": {**HOUSE["formulas"]["white"], "stages": night}}}
    shown = verify(owner, house, date)
    proof, = [task for task in shown["tasks"] if task["stage"] == "proof"]
    assert span(proof)[1] - span(proof)[0] == 12 * HOUR and proof["minutes"] == 720
    clocks = [datetime.datetime.fromisoformat(proof[name][:19]) for name in ("begins_at", "ends_at")]
    assert clocks[1] - clocks[0] == wall * HOUR, "by the clock on the wall"
    enter(owner, {"/formulas/white": HOUSE["formulas"]["white"]})


# --- moved by hand ---


@pytest.fixture
def moved(owner, baker, bread_day):
    """A day of its own, as it was worked out; move({id: minutes later}) gives it as it is then."""
    enter(owner, things(HOUSE))
    date = bread_day(loaf=75, batard=50, seeded_tin=12)
    path = f"/days/{date}/moves"
    first = verify(owner, HOUSE, date)
    times = {task["id"]: instant(task["begins_at"]) for task in first["tasks"]}

    def move(later, **headers):
        body = {"moves": [{"task": name, "begins_at": text(times[name] + minutes * MINUTE)} for name, minutes in later.items()]}
        answer = baker.put(path, body, **headers)
        assert answer.status in (200, 201), answer
        return baker.get(f"/days/{date}/timetable")

    move.first, move.path, move.date = first, path, date
    yield move
    baker.put(path, {"moves": []})


def of_kind(shown, kind):
    return [task for task in shown["tasks"] if task["kind"] == kind]


def only_moved(first, shown, later):
    """The moved tasks begin when they were told to, with their length; all others as before."""
    for before, after in zip(sorted(first["tasks"], key=lambda task: task["id"]), sorted(shown["tasks"], key=lambda task: task["id"]), strict=True):
        shift = later.get(before["id"], 0) * MINUTE
        assert after["id"] == before["id"] and after["moved"] == (before["id"] in later)
        assert span(after) == tuple(at + shift for at in span(before))


def test_what_is_moved_begins_when_it_was_told_to_and_breaks_are_told(moved):
    one, two = of_kind(moved.first, "mix")[:2]
    load = of_kind(moved.first, "load")[0]
    packing = max(moved.first["tasks"], key=lambda task: span(task))
    cases = [{one["id"]: -60}, {one["id"]: 45}, {load["id"]: -30}, {load["id"]: 600}, {packing["id"]: 3}, {task["id"]: -1440 for task in moved.first["tasks"]}]
    kinds = set()
    for later in cases:
        shown = moved(later)
        only_moved(moved.first, shown, later)
        assert shown["moves"] == len(later)
        assert told(shown) == violations(HOUSE, shown["tasks"]), later
        kinds |= {one["kind"] for one in shown["breaks"]}
        for one_break in shown["breaks"]:
            assert one_break["text"] and one_break["minutes"] >= 0
    assert {"order", "late"} <= kinds
    assert moved({task["id"]: -1440 for task in moved.first["tasks"]})["breaks"] == [], "all of it a day earlier breaks nothing"


def test_two_batches_in_one_mixer_and_two_loads_in_one_deck_are_told(moved):
    mixes = [task for task in of_kind(moved.first, "mix") if task["mixer"] == "spiral"]
    one, other = mixes[0], mixes[1]
    shift = (span(other)[0] - span(one)[0]) // MINUTE
    shown = moved({one["id"]: shift + 5})
    assert ("mixer", frozenset((one["id"], other["id"]))) in told(shown) and told(shown) == violations(HOUSE, shown["tasks"])
    by_deck = {}
    for load in of_kind(moved.first, "load"):
        by_deck.setdefault((load["oven"], load["deck"]), []).append(load)
    one, other = next(loads for loads in by_deck.values() if len(loads) > 1)[:2]
    shift = (span(other)[0] - span(one)[1]) // MINUTE
    shown = moved({one["id"]: shift - 5})
    broken = next(one_break for one_break in shown["breaks"] if one_break["kind"] == "deck")
    assert {broken["task"], broken["other"]} == {one["id"], other["id"]} and broken["minutes"] == 5, "recovery takes ten"
    assert told(shown) == violations(HOUSE, shown["tasks"])


def test_waiting_longer_than_it_may_is_told(moved):
    """An hour more than `most_minutes` lets it."""
    retard = next(task for task in moved.first["tasks"] if task["stage"] == "retard")
    chain = {task["id"]: -(900 - 480) - 60 for task in moved.first["tasks"] if task["batch"] == retard["batch"] and task["formula"] == "white" and task["kind"] in ("mix", "stage")}
    shown = moved(chain)
    waits = [one for one in shown["breaks"] if one["kind"] == "waits"]
    assert [one["task"] for one in waits] == [retard["id"]] and waits[0]["minutes"] >= 60


def test_more_dough_in_the_cold_than_it_holds_is_told(owner, bread_day):
    enter(owner, things({**HOUSE, "bakery": {**HOUSE["bakery"], "cold_g": 50000}}))
    date = bread_day(loaf=100)
    shown = owner.get(f"/days/{date}/timetable")
    assert timekeeper.fullest_cold(shown["tasks"]) <= 50000 or "cold" in {one["kind"] for one in shown["breaks"]}
    chilled = [task for task in shown["tasks"] if task["uses"] == "cold"]
    assert len(chilled) == 2
    moves = [{"task": task["id"], "begins_at": chilled[0]["begins_at"]} for task in chilled]
    tried = owner.post(f"/days/{date}/timetable", {"moves": moves})
    assert "cold" in {one["kind"] for one in tried["breaks"]} and timekeeper.fullest_cold(tried["tasks"]) > 50000
    enter(owner, {"/bakery": HOUSE["bakery"]})


def test_a_move_of_what_is_no_longer_there_is_told(owner, moved):
    load = of_kind(moved.first, "load")[-1]
    last = max((task for task in of_kind(moved.first, "load") if task["items"][0]["product"] == "loaf"), key=lambda task: int(task["id"].rsplit(":", 1)[1]))
    moved({last["id"]: -5, load["id"]: -5})
    order, = owner.get(f"/orders?date={moved.date}")["items"]
    body = {"customer": "shop", "date": moved.date, "lines": [{"product": "loaf", "pieces": 1}]}
    assert owner.put(f"/orders/{order['id']}", body).status == 200
    shown = owner.get(f"/days/{moved.date}/timetable")
    gone = [one for one in shown["breaks"] if one["kind"] == "gone"]
    assert last["id"] in {one["task"] for one in gone} and shown["moves"] == 2
    assert all(one["other"] is None for one in gone)


def test_moves_in_the_run_sheet(owner, moved):
    one = of_kind(moved.first, "mix")[0]
    moved({one["id"]: -90})
    same_in_run_sheets(owner, HOUSE, [moved.date])


def test_moves_can_be_tried_before_they_are_kept(baker, moved):
    one = of_kind(moved.first, "mix")[0]
    body = {"moves": [{"task": one["id"], "begins_at": text(span(one)[0] - 30 * MINUTE)}]}
    tried = baker.post(f"/days/{moved.date}/timetable", body)
    assert tried.status == 200 and baker.get(moved.path)["moves"] == [] and baker.get(f"/days/{moved.date}/timetable").text == moved.first.text
    assert baker.put(moved.path, body).status in (200, 201)
    assert baker.get(f"/days/{moved.date}/timetable").body == tried.body
    assert baker.post(f"/days/{moved.date}/timetable", {"moves": []})["tasks"] == moved.first["tasks"]


def test_moves_are_kept_guarded_and_taken_back(baker, moved):
    assert baker.get(moved.path).body == {"date": moved.date, "moves": []}
    assert baker.put(moved.path, {"moves": []}, If_Match="*").status == 412
    one, two = moved.first["tasks"][:2]
    body = {"moves": [{"task": task["id"], "begins_at": text(span(task)[0] - MINUTE)} for task in (two, one)]}
    first = baker.put(moved.path, body, If_None_Match="*")
    assert first.status == 201 and first.body == baker.get(moved.path).body
    assert sorted(first["moves"], key=lambda move: move["task"]) == sorted(body["moves"], key=lambda move: move["task"])
    assert baker.put(moved.path, {"moves": []}, If_Match='"1.00"').status == 412
    assert baker.get(moved.path, If_None_Match=first.etag).status == 304
    assert baker.put(moved.path, {"moves": []}, If_Match=first.etag).status == 200
    assert baker.get(f"/days/{moved.date}/timetable").text == moved.first.text, "as it was worked out"


FAULTS = [
    ({}, ["/moves"]), ({"moves": {}}, ["/moves"]), ([], [""]), ({"moves": [], "colour": 1}, ["/colour"]),
    ({"moves": [{"task": "none", "begins_at": "2027-01-01T00:00:00Z"}]}, ["/moves/0/task"]),
    ({"moves": ["GOOD", {"task": "none", "begins_at": "2027-01-01T00:00:00Z"}]}, ["/moves/1/task"]),
    ({"moves": ["GOOD", "GOOD"]}, ["/moves/1/task"]), ({"moves": [{"task": "GOOD"}]}, ["/moves/0/begins_at"]),
    ({"moves": [{"task": "GOOD", "begins_at": "soon"}]}, ["/moves/0/begins_at"]), ({"moves": [{"begins_at": "2027-01-01T00:00:00Z"}]}, ["/moves/0/task"]),
    ({"moves": [{"task": "GOOD", "begins_at": "2027-01-01T00:00:00Z", "ends_at": "x"}]}, ["/moves/0/ends_at"]),
    ({"moves": [{"task": 5, "begins_at": 5}]}, ["/moves/0/begins_at", "/moves/0/task"]), ({"moves": [7]}, ["/moves/0"]),
]


@pytest.mark.parametrize("body, pointers", FAULTS)
def test_moves_that_are_none(baker, moved, body, pointers):
    task = moved.first["tasks"][0]
    good = {"task": task["id"], "begins_at": task["begins_at"]}

    def filled(value):
        if isinstance(value, list):
            return [good if item == "GOOD" else filled(item) for item in value]
        return {name: task["id"] if item == "GOOD" else filled(item) for name, item in value.items()} if isinstance(value, dict) else value

    for ask, path in ((baker.put, moved.path), (baker.post, f"/days/{moved.date}/timetable")):
        answer = ask(path, filled(body))
        assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert baker.get(moved.path)["moves"] == []


# --- what fits nowhere ---


def test_without_an_oven_in_the_settings_baking_is_a_stage_like_others(owner, bread_day):
    enter(owner, {"/bakery": {**HOUSE["bakery"], "ovens": []}})
    date = bread_day(loaf=100)
    shown = owner.get(f"/days/{date}/timetable")
    loads = of_kind(shown, "load")
    assert shown["breaks"] == [] and {(load["oven"], load["deck"]) for load in loads} == {(None, None)}
    assert sum(item["pieces"] for load in loads for item in load["items"]) == 100
    enter(owner, {"/bakery": HOUSE["bakery"]})


def test_a_batch_that_does_not_fit_into_the_cold_is_told(owner, bread_day):
    enter(owner, {"/bakery": {**HOUSE["bakery"], "cold_g": 1000}})
    shown = owner.get(f"/days/{bread_day(loaf=30)}/timetable")
    retard, = [task for task in shown["tasks"] if task["uses"] == "cold"]
    assert [(one["kind"], one["task"]) for one in shown["breaks"]] == [("cold", retard["id"])]
    enter(owner, {"/bakery": HOUSE["bakery"]})


def test_more_than_can_be_baked_in_time_is_told_or_begins_earlier(owner, bread_day):
    enter(owner, things({**HOUSE, "bakery": {**HOUSE["bakery"], "ovens": [{"code": "small", "decks": 1, "recovery_minutes": 20}]}}))
    date = bread_day(loaf=180)
    house = {**HOUSE, "bakery": {**HOUSE["bakery"], "ovens": [{"code": "small", "decks": 1, "recovery_minutes": 20}]}}
    verify(owner, house, date)
    assert len(of_kind(owner.get(f"/days/{date}/timetable"), "load")) == 15
    enter(owner, {"/bakery": HOUSE["bakery"]})


def test_a_day_of_sixty_loads_is_quick(owner, bread_day):
    import statistics
    import time
    date = bread_day(loaf=12 * 40, batard=20 * 20)
    taken = []
    for _ in range(5):
        begin = time.perf_counter()
        shown = owner.get(f"/days/{date}/timetable")
        taken.append(time.perf_counter() - begin)
    assert len(of_kind(shown, "load")) >= 20
    assert statistics.median(taken) < 1, f"{statistics.median(taken) * 1000:.0f} ms, with sanitizers"


# --- the bakehouse of the other tests, which knows nothing of ovens ---


def test_doughs_of_before_have_a_timetable(owner, bread_day):
    bare_house = {"bakery": {**AT_WORK, "ovens": [], "shifts": []}, "formulas": {path.split("/")[2]: body for path, body in FORMULAS.items() if "formulas" in path},
                  "products": {path.split("/")[2]: body for path, body in PRODUCTS.items()}}
    enter(owner, {"/bakery": bare_house["bakery"], "/starters/levain": STARTER, **things({**bare_house, "bakery": bare_house["bakery"]})})
    verify(owner, bare_house, bread_day(bun=50, country_loaf=30, baguette=40, seeded_loaf=12))
