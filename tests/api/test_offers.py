"""Can we take it? Every reason that can bind, with its figure and what is still possible, which is then
asked for and ordered; and until when each product can be ordered."""

import datetime

import pytest

from bakehouse import BAKERY, CUSTOMERS, FORMULAS, INGREDIENTS, PRODUCTS, day
from clockwork import DAY, HOUR, MINUTE, STARTER, ZONE, at_clock, instant, log, now, text
from harness import enter

PLAIN = {**BAKERY, "mixers": []}
FLOUR = [{"ingredient": "bread-flour", "pct": 100}, {"ingredient": "water", "pct": 60}]


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    enter(owner, {"/bakery": PLAIN, **INGREDIENTS, **CUSTOMERS})


def ready_in(hours):
    """An instant of a whole minute about so far ahead, that the wall clock shows once: (instant, bread day, clock)."""
    at = now().replace(second=0) + MINUTE + hours * HOUR
    while True:
        local = at.astimezone(ZONE)
        if at_clock(local.date(), f"{local:%H:%M}") == at and local.fold == 0:
            return at, local.date().isoformat(), f"{local:%H:%M}"
        at += HOUR


class House:
    """Doughs and breads of a test: a bread is one kilo of a dough of its own, wanted at an instant."""

    def __init__(self, owner, counter):
        self.owner, self.counter = owner, counter
        self.made, self.orders = [], []
        self.date = None

    def settings(self, **changes):
        enter(self.owner, {"/bakery": {**PLAIN, **changes}})

    def bread(self, code, stages, ready, lines=(), bake=None, **formula):
        at, self.date, clock = ready
        enter(self.owner, {f"/formulas/{code}": {"name": code.title(), "basis": "final", "lines": [*FLOUR, *lines], "stages": stages, **formula},
                           f"/products/{code}": {"name": code.title(), "ready_at": clock, "parts": [{"formula": code, "g": 1000}], "bake": bake}})
        self.made.append(code)
        return at

    def order(self, code, pieces):
        answer = self.owner.post("/orders", {"customer": "shop", "date": self.date, "lines": [{"product": code, "pieces": pieces}]})
        assert answer.status == 201, answer
        self.orders.append(answer.location)

    def ask(self, code, pieces):
        answer = self.counter.post(f"/days/{self.date}/offers", {"product": code, "pieces": pieces})
        assert answer.status == 200, answer
        assert {name: answer[name] for name in ("date", "product", "pieces")} == {"date": self.date, "product": code, "pieces": pieces}
        assert (answer["answer"] == "yes") == (answer["reason"] is None) == (answer["possible"] == pieces)
        return answer

    def last_order(self, code):
        shown = self.counter.get(f"/days/{self.date}/last-orders")
        assert shown.status == 200 and shown["date"] == self.date and abs(instant(shown["now"]) - now()) < MINUTE
        return next(item for item in shown["items"] if item["product"] == code)

    def close(self):
        for path in [*self.orders, *(f"/{kind}/{code}" for kind in ("products", "formulas") for code in reversed(self.made))]:
            assert self.owner.delete(path).status == 204, path
        self.settings()


@pytest.fixture
def house(owner, counter):
    built = House(owner, counter)
    yield built
    built.close()


def refused(house, code, pieces, reason, possible):
    """No, for that reason; what is said to be possible is, one more is not, and it can be ordered, after which nothing can."""
    answer = house.ask(code, pieces)
    assert (answer["answer"], answer["reason"]["code"], answer["possible"]) == ("no", reason, possible), answer
    assert len(answer["reason"]["text"]) > 10
    if possible:
        assert house.ask(code, possible)["answer"] == "yes"
        house.order(code, possible)
        assert house.ask(code, 1)["answer"] == "no", "all that was possible is taken"
        assert house.owner.delete(house.orders.pop()).status == 204
    assert house.ask(code, possible + 1)["reason"]["code"] == reason
    return answer["reason"]


# --- nothing binds ---


def test_a_day_far_ahead_can_be_taken(house):
    house.bread("loaf", [{"stage": "mix and proof", "minutes": 300}], ready_in(72))
    answer = house.ask("loaf", 40)
    assert answer.body == {"date": house.date, "product": "loaf", "name": "Loaf", "pieces": 40, "answer": "yes", "reason": None, "possible": 40, "possible_from": None}
    house.order("loaf", 40)
    assert house.ask("loaf", 1000)["answer"] == "yes"


def test_asking_stores_nothing(house, owner):
    house.bread("loaf", [{"stage": "mix", "minutes": 300}], ready_in(72))
    for _ in range(3):
        house.ask("loaf", 500)
    assert owner.get(f"/orders?date={house.date}")["items"] == [] and owner.get(f"/days/{house.date}/production")["products"] == []


def test_the_bakehouse_of_the_other_tests(owner, counter):
    """Mixers without ovens or shifts, and starters whose log nobody keeps: they bind nothing."""
    enter(owner, {"/bakery": BAKERY, **FORMULAS, **PRODUCTS})
    for product in ("bun", "country-loaf", "seeded-loaf", "baguette"):
        answer = counter.post(f"/days/{day(1)}/offers", {"product": product, "pieces": 60})
        assert answer["answer"] == "yes", answer
    small = counter.post(f"/days/{day(1)}/offers", {"product": "baguette", "pieces": 1})
    assert (small["answer"], small["reason"]["code"], small["reason"]["formula"]) == ("no", "batch-small", "baguette")
    for path in reversed([*FORMULAS, *PRODUCTS]):
        assert owner.delete(path).status == 204, path
    enter(owner, {"/bakery": PLAIN})


# --- each reason ---


def test_its_mix_has_begun(house):
    ready = ready_in(4)
    begun = ready[0] - 5 * HOUR
    house.bread("loaf", [{"stage": "mix", "minutes": 300}], ready)
    reason = refused(house, "loaf", 3, "mix-begun", 0)
    assert (reason["formula"], instant(reason["at"])) == ("loaf", begun)
    last = house.last_order("loaf")
    assert (instant(last["at"]), last["over"], last["because"], last["formula"], last["starter"]) == (begun, True, "mix", "loaf", None)


def test_the_mix_of_its_preferment_has_begun(house):
    ready = ready_in(6)
    house.bread("sponge", [{"stage": "ferment", "minutes": 600}], ready)
    house.bread("loaf", [{"stage": "mix", "minutes": 300}], ready, lines=[{"formula": "sponge", "pct": 40}])
    reason = refused(house, "loaf", 3, "mix-begun", 0)
    assert (reason["formula"], instant(reason["at"])) == ("sponge", ready[0] - 900 * MINUTE)
    last = house.last_order("loaf")
    assert (last["formula"], last["over"]) == ("sponge", True)


def test_the_mixer_is_full(house):
    """Ninety minutes from the mixer to the shelf, an hour in it for ten kilos, four hours left: three batches."""
    house.settings(mixers=[{"code": "spiral", "min_g": 0, "max_g": 10000}])
    house.bread("loaf", [{"stage": "mix", "minutes": 60, "uses": "mixer"}, {"stage": "rest", "minutes": 30}], ready_in(4))
    reason = refused(house, "loaf", 50, "mixer-full", 30)
    assert (reason["formula"], reason["mixer"]) == ("loaf", "spiral") and reason["short_minutes"] > 0
    house.order("loaf", 18)
    assert house.ask("loaf", 20)["possible"] == 12, "what is ordered already is mixed already"


def test_the_batch_is_too_small(house):
    house.settings(mixers=[{"code": "spiral", "min_g": 5000, "max_g": 60000}])
    house.bread("loaf", [{"stage": "mix", "minutes": 60}], ready_in(72))
    answer = house.ask("loaf", 2)
    reason = answer["reason"]
    assert (answer["answer"], answer["possible"], answer["possible_from"]) == ("no", 0, 5)
    assert (reason["code"], reason["formula"], reason["mixer"], reason["short_g"]) == ("batch-small", "loaf", "spiral", 3000)
    assert house.ask("loaf", 5)["answer"] == "yes" and house.ask("loaf", 4)["answer"] == "no"
    house.order("loaf", 5)
    assert house.ask("loaf", 1)["answer"] == "yes", "to a batch that is large enough"


def test_more_of_a_batch_that_becomes_two_small_ones(house):
    """61 kg are two batches of 30.5, under the least of 40: 60 can be taken, or 80."""
    house.settings(mixers=[{"code": "spiral", "min_g": 40000, "max_g": 60000}])
    house.bread("loaf", [{"stage": "mix", "minutes": 60}], ready_in(72))
    answer = house.ask("loaf", 61)
    assert (answer["reason"]["code"], answer["reason"]["short_g"], answer["possible"], answer["possible_from"]) == ("batch-small", 9500, 60, 80)
    assert house.ask("loaf", 60)["answer"] == house.ask("loaf", 80)["answer"] == "yes"


@pytest.fixture
def starter(owner):
    """A starter of its own: 1 kg, fed 1 : 2 : 2 so that it is ripe in so many minutes (negative: has been)."""
    def pot(ripe_in, **changes):
        starter.count = getattr(starter, "count", 0) + 1
        code = f"s{starter.count}"
        enter(owner, {f"/starters/{code}": {**STARTER, "name": code, **changes}})
        at = now() + ripe_in * MINUTE - 6 * HOUR
        log(owner, "begun", at, code, g=1000)
        log(owner, "fed", at, code, seed_g=200, flour_g=400, water_g=400)
        return code
    return pot


SOUR = [{"stage": "mix", "minutes": 60}]


def test_there_is_not_enough_starter(house, starter):
    """Ripe now, a kilo of it of which half is kept; in an hour each loaf wants 200 g."""
    code = starter(-10)
    at = house.bread("sour", SOUR, ready_in(2), lines=[{"starter": code, "pct": 40}], by_hand=True) - HOUR
    reason = refused(house, "sour", 10, "starter-short", 2)
    assert (reason["starter"], reason["formula"], reason["short_g"], instant(reason["at"])) == (code, "sour", 1500, at)


def test_no_feed_is_left_that_could_make_it_ripe_in_time(house, starter):
    code = starter(300)
    at = house.bread("sour", SOUR, ready_in(2), lines=[{"starter": code, "pct": 40}], by_hand=True) - HOUR
    reason = refused(house, "sour", 3, "starter-short", 0)
    assert (reason["starter"], reason["short_g"], instant(reason["at"])) == (code, 600, at)


def test_a_starter_that_can_still_be_fed_is_enough(house, starter, owner):
    code = starter(60)
    house.bread("sour", SOUR, ready_in(30), lines=[{"starter": code, "pct": 40}], by_hand=True)
    assert house.ask("sour", 80)["answer"] == "yes"
    house.order("sour", 80)
    assert owner.get(f"/starters/{code}/plan")["possible"] is True, "as its plan says"


def test_what_is_short_already_refuses_no_bread_that_takes_none_of_it(house, starter):
    code = starter(300)
    house.bread("sour", SOUR, ready_in(2), lines=[{"starter": code, "pct": 40}], by_hand=True)
    house.bread("white", SOUR, ready_in(2), by_hand=True)
    house.order("sour", 5)
    assert house.ask("sour", 1)["reason"]["code"] == "starter-short"
    assert house.ask("white", 10)["answer"] == "yes"


OVEN_STAGES = [{"stage": "mix", "minutes": 10, "uses": "mixer"}, {"stage": "proof", "minutes": 60}, {"stage": "bake", "minutes": 60, "uses": "oven"}]


def test_the_oven_is_full(house):
    """Ten loaves an hour, four hours left, of which the dough takes seventy minutes: two loads."""
    house.settings(mixers=[{"code": "spiral", "max_g": 500000}], ovens=[{"code": "stone"}])
    house.bread("loaf", OVEN_STAGES, ready_in(4), bake={"per_place": 10, "steps": [{"c": 230, "minutes": 60}]})
    reason = refused(house, "loaf", 45, "oven-full", 20)
    assert reason["oven"] == "stone" and reason["short_minutes"] > 0
    house.order("loaf", 9)
    assert house.ask("loaf", 30)["possible"] == 11


def test_the_oven_is_full_of_a_dough_with_a_preferment(house):
    """The oven and the dough that is baked are named, not the preferment that would have to begin too early."""
    ready = ready_in(8)
    house.settings(mixers=[{"code": "spiral", "max_g": 500000}], ovens=[{"code": "stone"}])
    house.bread("sponge", [{"stage": "mix", "minutes": 10}, {"stage": "ferment", "minutes": 230}], ready)
    house.bread("loaf", OVEN_STAGES, ready, lines=[{"formula": "sponge", "pct": 20}], bake={"per_place": 10, "steps": [{"c": 230, "minutes": 60}]})
    reason = refused(house, "loaf", 45, "oven-full", 20)
    assert (reason.get("oven"), reason.get("formula")) == ("stone", "loaf"), reason


def test_another_deck_takes_more(house):
    house.settings(mixers=[{"code": "spiral", "max_g": 500000}], ovens=[{"code": "stone", "decks": 3, "places": 2}])
    house.bread("loaf", OVEN_STAGES, ready_in(4), bake={"per_place": 10, "steps": [{"c": 230, "minutes": 60}]})
    refused(house, "loaf", 500, "oven-full", 120)


COLD_STAGES = [{"stage": "mix", "minutes": 10}, {"stage": "retard", "minutes": 600, "uses": "cold"}]


def test_the_cold_space_is_full(house):
    house.settings(cold_g=10000)
    house.bread("loaf", COLD_STAGES, ready_in(72), by_hand=True)
    refused(house, "loaf", 25, "cold-full", 10)
    house.order("loaf", 6)
    assert house.ask("loaf", 25)["possible"] == 4


SHAPE = [{"stage": "shape", "minutes": 30, "hands": 2}, {"stage": "proof", "minutes": 60}]


def test_hands_are_short(house):
    """Two pairs are there day and night. Each dough wants both for half an hour, which may be half an hour earlier or later: three
    of them fit into that hour and a half, the fourth is an hour of hands too many."""
    house.settings(shifts=[{"from": "00:00", "to": "00:00", "hands": 2}])
    ready = ready_in(72)
    for code in ("first", "second", "third", "fourth", "plain"):
        house.bread(code, SHAPE if code != "plain" else [{"stage": "rest", "minutes": 90}], ready, by_hand=True)
    for code in ("first", "second", "third"):
        assert house.ask(code, 30)["answer"] == "yes", code
        house.order(code, 30)
    assert house.ask("first", 30)["answer"] == "yes", "of the same dough no more hands are needed"
    reason = refused(house, "fourth", 3, "hands-short", 0)
    assert reason["short_minutes"] == 60
    house.order("fourth", 1)
    assert house.ask("plain", 5)["answer"] == "yes", "a night that is too short of hands refuses nothing that wants none"


def test_a_task_for_more_hands_than_are_ever_there(house):
    house.settings(shifts=[{"from": "00:00", "to": "00:00", "hands": 1}])
    house.bread("loaf", SHAPE, ready_in(72), by_hand=True)
    refused(house, "loaf", 2, "hands-short", 0)


def test_nobody_is_there(house):
    house.settings(shifts=[{"days": [(datetime.date.fromisoformat(ready_in(72)[1]) + 4 * DAY).isoweekday()], "from": "00:00", "to": "01:00"}])
    house.bread("loaf", SHAPE, ready_in(72), by_hand=True)
    assert house.ask("loaf", 1)["reason"]["code"] == "hands-short"


def test_the_first_reason_in_the_order_of_the_table_is_told(house, starter):
    """Begun, too small, of a starter that is short, and nobody there."""
    house.settings(mixers=[{"code": "spiral", "min_g": 50000, "max_g": 60000}], shifts=[{"from": "00:00", "to": "00:00", "hands": 1}])
    ready = ready_in(4)
    stages = [{"stage": "mix", "minutes": 300, "uses": "mixer", "hands": 2}]
    house.bread("loaf", stages, ready, lines=[{"starter": starter(300), "pct": 40}])
    assert house.ask("loaf", 1)["reason"]["code"] == "mix-begun"


# --- what may not be asked ---

FAULTS = [({}, ["/pieces", "/product"]), ({"product": "loaf"}, ["/pieces"]), ({"product": "none", "pieces": 1}, ["/product"]),
          ({"product": "loaf", "pieces": 0}, ["/pieces"]), ({"product": "loaf", "pieces": -1}, ["/pieces"]), ({"product": "loaf", "pieces": 1.5}, ["/pieces"]),
          ({"product": "loaf", "pieces": "5"}, ["/pieces"]), ({"product": "loaf", "pieces": 1000001}, ["/pieces"]), ({"product": 5, "pieces": 1}, ["/product"]),
          ({"product": "loaf", "pieces": 1, "customer": "shop"}, ["/customer"]), ([], [""])]


@pytest.mark.parametrize("body, pointers", FAULTS)
def test_what_may_not_be_asked(house, counter, body, pointers):
    house.bread("loaf", SOUR, ready_in(72))
    answer = counter.post(f"/days/{house.date}/offers", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


def test_days_that_are_none(counter):
    for path in ("/days/2027-02-30/offers", "/days/soon/offers"):
        assert counter.post(path, {"product": "loaf", "pieces": 1}).status == 422
    assert counter.get("/days/2027-02-30/last-orders").status == 422


def test_a_million_pieces_are_answered_in_time(house):
    import time
    house.settings(mixers=[{"code": "spiral", "max_g": 60000}], ovens=[{"code": "stone", "decks": 3}])
    house.bread("loaf", OVEN_STAGES, ready_in(30), bake={"per_place": 12, "steps": [{"c": 230, "minutes": 45}]})
    begin = time.perf_counter()
    answer = house.ask("loaf", 1000000)
    taken = time.perf_counter() - begin
    assert answer["answer"] == "no" and answer["possible"] > 100
    assert house.ask("loaf", answer["possible"])["answer"] == "yes"
    assert taken < 10, f"{taken:.1f} s, with sanitizers"


# --- the store ---


@pytest.fixture
def seeds(owner):
    """An ingredient of which there is a kilo in the store; each loaf of them takes 200 g."""
    seeds.count = getattr(seeds, "count", 0) + 1
    code = f"seeds-{seeds.count}"
    enter(owner, {"/suppliers/mill": {"name": "The mill"}, f"/ingredients/{code}": {"name": f"Seeds {seeds.count}", "kind": "other", "unit": "g"}})
    take_in(owner, code, 1000)
    return code


def take_in(owner, code, g, **more):
    answer = owner.post("/goods-in", {"date": now().astimezone(ZONE).date().isoformat(), "supplier": "mill", "lines": [{"ingredient": code, "g": g, **more}]})
    assert answer.status == 201, answer
    return answer["lines"][0]["lot"]


def seeded(house, code, hours=72):
    house.bread("seeded", SOUR, ready_in(hours), lines=[{"ingredient": code, "pct": 40}], by_hand=True)


def test_there_is_not_enough_in_the_store(house, seeds):
    seeded(house, seeds)
    reason = refused(house, "seeded", 8, "flour-short", 5)
    assert reason == {"code": "flour-short", "text": f"there is not enough: {seeds.replace('-', ' ').capitalize()}", "ingredient": seeds, "short_g": 600}
    house.order("seeded", 7)
    assert house.ask("seeded", 1)["reason"]["short_g"] == 200, "what is added, not what was short"
    assert house.ask("seeded", 1)["possible"] == 0


def test_the_last_gram_suffices(house, seeds, owner):
    seeded(house, seeds)
    take_in(owner, seeds, 199.999)
    assert (str(house.ask("seeded", 6)["reason"]["short_g"]), house.ask("seeded", 5)["answer"]) == ("0.001", "yes")
    take_in(owner, seeds, 0.001)
    assert (house.ask("seeded", 6)["answer"], house.ask("seeded", 7)["reason"]["short_g"]) == ("yes", 200)


def test_what_is_held_or_expired_is_not_there_and_what_is_not_kept_binds_nothing(house, seeds, owner):
    seeded(house, seeds)
    lot = take_in(owner, seeds, 1000)
    take_in(owner, seeds, 1000, best_before="2020-01-01")
    assert house.ask("seeded", 12)["possible"] == 10
    enter(owner, {f"/lots/{lot}": {"held": True}})
    assert house.ask("seeded", 12)["possible"] == 5
    enter(owner, {"/ingredients/unkept": {"name": "Unkept", "kind": "other", "unit": "g"}})
    house.bread("other", SOUR, ready_in(72), lines=[{"ingredient": "unkept", "pct": 40}], by_hand=True)
    assert house.ask("other", 1000)["answer"] == "yes"


def test_what_is_ordered_counts_from_its_day_on(house, seeds, owner):
    """Mixed in three days: what is due then is there, what is due a week later is not."""
    seeded(house, seeds, 96)
    days = {"in time": 1, "too late": 10}
    for due in days.values():
        date = (now().astimezone(ZONE) + due * DAY).date().isoformat()
        assert owner.post("/purchase-orders", {"supplier": "mill", "due": date, "lines": [{"ingredient": seeds, "g": 1000}]}).status == 201
    assert house.ask("seeded", 20)["possible"] == 10


def test_other_days_take_of_the_same_store(house, seeds):
    seeded(house, seeds, 96)
    house.order("seeded", 3)
    later, house.date = house.date, None
    house.bread("sooner", SOUR, ready_in(48), lines=[{"ingredient": seeds, "pct": 40}], by_hand=True)
    assert house.ask("sooner", 9)["possible"] == 5, "until its own night all is there"
    house.order("sooner", 1)
    house.date = later
    assert house.ask("seeded", 9)["possible"] == 1


def test_where_a_supply_was_entered_nothing_is_short_once_more_could_come(house, seeds, owner):
    seeded(house, seeds, 96)
    assert house.ask("seeded", 50)["possible"] == 5
    enter(owner, {f"/ingredients/{seeds}/supply": {"supplier": "mill"}})
    assert house.ask("seeded", 50)["answer"] == "yes", "ordered today it comes tomorrow"
    enter(owner, {"/suppliers/slow": {"name": "From overseas", "lead_days": 60}, f"/ingredients/{seeds}/supply": {"supplier": "slow"}})
    assert house.ask("seeded", 50)["possible"] == 5


# --- until when ---


def test_until_its_mix_begins(house):
    ready = ready_in(30)
    house.settings(mixers=[{"code": "spiral", "max_g": 10000}])
    house.bread("loaf", [{"stage": "mix", "minutes": 60, "uses": "mixer"}, {"stage": "rest", "minutes": 30}], ready)
    last = house.last_order("loaf")
    assert last == {"product": "loaf", "name": "Loaf", "at": text(ready[0] - 90 * MINUTE), "over": False, "because": "mix", "formula": "loaf", "starter": None}
    house.order("loaf", 35)
    begins = min(instant(task["begins_at"]) for task in house.owner.get(f"/days/{house.date}/timetable")["tasks"])
    assert instant(house.last_order("loaf")["at"]) == begins == ready[0] - 90 * MINUTE - 3 * HOUR, "as the timetable with today's orders has it"


def test_until_the_mix_of_its_preferment_begins(house):
    ready = ready_in(40)
    house.bread("sponge", [{"stage": "ferment", "minutes": 600}], ready)
    house.bread("loaf", SOUR, ready, lines=[{"formula": "sponge", "pct": 40}])
    last = house.last_order("loaf")
    assert (instant(last["at"]), last["formula"]) == (ready[0] - 660 * MINUTE, "sponge")
    assert instant(house.last_order("sponge")["at"]) == ready[0] - 600 * MINUTE


def test_until_the_last_feed_of_its_starter(house, starter, owner):
    """The feed before the mix makes just enough: whoever orders later finds none."""
    code = starter(60)
    house.bread("sour", SOUR, ready_in(30), lines=[{"starter": code, "pct": 40}], by_hand=True)
    house.order("sour", 80)
    plan = owner.get(f"/starters/{code}/plan")
    feed = plan["feeds"][plan["takes"][0]["from_feed"]]
    last = house.last_order("sour")
    assert (last["because"], last["starter"], last["formula"], last["over"]) == ("feed", code, None, False)
    assert abs(instant(last["at"]) - instant(feed["at"])) <= 15 * MINUTE, "a minute later another plan may be as good"


def test_what_is_made_of_no_dough_can_be_ordered_at_any_time(house, owner):
    house.bread("loaf", SOUR, ready_in(30))
    enter(owner, {"/products/flour": {"name": "Flour", "parts": [{"ingredient": "bread-flour", "g": 1000}]}})
    last = house.last_order("flour")
    assert {name: last[name] for name in ("at", "over", "because", "formula", "starter")} == {"at": None, "over": False, "because": None, "formula": None, "starter": None}
    assert house.ask("flour", 1000)["answer"] == "yes"
    assert owner.delete("/products/flour").status == 204


def test_when_it_is_over_nothing_is_offered_and_before_it_is(house):
    for hours, over in ((4, True), (6, False)):
        house.bread(f"loaf-{hours}", [{"stage": "mix", "minutes": 300}], ready_in(hours))
        assert house.last_order(f"loaf-{hours}")["over"] is over
        assert house.ask(f"loaf-{hours}", 1)["answer"] == ("no" if over else "yes")


def test_every_product_is_listed_once(house, owner, counter):
    for code in ("b", "a"):
        house.bread(code, SOUR, ready_in(30))
    listed = [item["product"] for item in counter.get(f"/days/{house.date}/last-orders")["items"]]
    assert listed == [item["code"] for item in owner.list("/products")]
