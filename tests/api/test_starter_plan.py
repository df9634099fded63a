"""The feeding plan of a starter, against a simulation of the pot of our own: never less than nothing,
every taking ripe and enough, the mother kept, the hours and the pot's size too; and what is told when
it cannot be done is tried out."""

import datetime
import random
from decimal import Decimal
from fractions import Fraction

import pytest

from clockwork import AT_WORK, DAY, HOUR, MINUTE, STARTER, ZONE, at_clock, dated, instant, log, now, open_clock, text
from harness import enter

STEP = 5  # grams: the bakery's scale
PER_LOAF = 200  # grams of starter in a loaf
FREE = {"feed_from": None, "feed_to": None}


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    open_clock(owner, **FREE)


class House:
    """A starter with loaves that take of it. Doughs are mixed by hand, so that a mix is one batch."""

    def __init__(self, owner, code, **changes):
        self.owner, self.code = owner, code
        self.body = {**STARTER, "name": code, **changes}
        self.plan_path = f"/starters/{code}/plan"
        self.orders = []
        self.count = 0
        self.ready = at_clock((now() + 3 * DAY).astimezone(ZONE).date(), "12:00")
        enter(owner, {f"/starters/{code}": self.body})

    def change(self, **changes):
        self.body = {**self.body, **changes}
        enter(self.owner, {f"/starters/{self.code}": self.body})

    def mix_at(self, at, loaves, dough=None):
        """Orders bread whose mix begins at that instant (of a whole minute); gives its dough's code."""
        if dough is None:
            self.count += 1
            dough = f"{self.code}-{self.count}"
        lines = [{"ingredient": "bread-flour", "pct": 100}, {"ingredient": "water", "pct": 60}, {"starter": self.code, "pct": 40}]
        minutes = (self.ready - at) // MINUTE
        assert at + minutes * MINUTE == self.ready
        enter(self.owner, {f"/formulas/{dough}": {"name": dough, "basis": "final", "by_hand": True, "lines": lines,
                                                  "stages": [{"stage": "all of it", "minutes": minutes}]},
                           f"/products/{dough}": {"name": dough, "ready_at": "12:00", "parts": [{"formula": dough, "g": 1000}]}})
        answer = self.owner.post("/orders", {"customer": "shop", "date": self.ready.astimezone(ZONE).date().isoformat(),
                                             "lines": [{"product": dough, "pieces": loaves}]})
        assert answer.status == 201, answer
        self.orders.append((answer.location, dough))
        return dough

    def forget(self):
        for location, dough in self.orders:
            for path in (location, f"/products/{dough}", f"/formulas/{dough}"):
                self.owner.delete(path)
        self.orders = []

    def fed(self, at, on_hand=1000):
        """Begun and fed 1 : 2 : 2 at a time, so that it is ripe from six hours later for three."""
        log(self.owner, "begun", at, self.code, g=on_hand)
        log(self.owner, "fed", at, self.code, seed_g=on_hand / 5, flour_g=on_hand * 2 / 5, water_g=on_hand * 2 / 5)
        return self

    def plan(self):
        answer = self.owner.get(self.plan_path)
        assert answer.status == 200, answer
        return answer


@pytest.fixture
def house(owner):
    """house(**changes): a starter of its own."""
    made = []

    def build(**changes):
        house.count = getattr(house, "count", 0) + 1
        made.append(House(owner, f"s{house.count}", **changes))
        return made[-1]

    yield build
    for one in made:
        one.forget()
    enter(owner, {"/bakery": {**AT_WORK, **FREE}})


def minute(at):
    """The next whole one."""
    return at.replace(second=0) + MINUTE


# --- the simulation ---


def in_proportion(feed):
    """Whether seed, flour and water are multiples of the ratio, each rounded up to a division of the scale."""
    low, high = Fraction(0), None
    for part in ("seed", "flour", "water"):
        share, weight = Fraction(feed["ratio"][part]), Fraction(feed[part + "_g"])
        if share == 0:
            if weight:
                return False
            continue
        low = max(low, (weight - STEP) / share)
        high = weight / share if high is None else min(high, weight / share)
    return low < high


def can_feed(settings, at):
    clock = at.astimezone(ZONE).strftime("%H:%M")
    begins, ends = settings.get("feed_from"), settings.get("feed_to")
    if begins is None:
        return True
    return begins <= clock <= ends if begins < ends else clock >= begins or clock <= ends


def check_feed(feed, previous, starter, settings, minutes_of):
    """One feed, after `previous`: the pot as {"at", "ripe_from", "starves", "on_hand", "any_time"}."""
    at = instant(feed["at"])
    assert at.astimezone(ZONE).minute % 15 == 0 and at.second == 0 and can_feed(settings, at)
    assert at >= previous["at"]
    assert previous["any_time"] or at >= previous["ripe_from"], "fed again before it is ripe"
    assert previous["starves"] is None or at <= previous["starves"] or previous["any_time"], "it starved"
    assert feed["before_g"] == previous["on_hand"] >= feed["seed_g"] > 0
    assert feed["before_g"] >= starter["keep_g"]
    assert feed["discard_g"] == feed["before_g"] - feed["seed_g"]
    assert all(feed[member] % STEP == 0 for member in ("seed_g", "flour_g", "water_g")) and in_proportion(feed)
    assert sum(flour["g"] for flour in feed["flours"]) == feed["flour_g"]
    assert feed["after_g"] == feed["seed_g"] + feed["flour_g"] + feed["water_g"] >= starter["keep_g"]
    assert not starter["pot_g"] or feed["after_g"] <= starter["pot_g"], "it runs over"
    ripe_from = at + minutes_of(feed["ratio"]) * MINUTE
    ripe_until = ripe_from + starter["stays_ripe_minutes"] * MINUTE
    assert (instant(feed["ripe_from"]), instant(feed["ripe_until"])) == (ripe_from, ripe_until)
    return {"at": at, "ripe_from": ripe_from, "ripe_until": ripe_until, "on_hand": feed["after_g"], "any_time": False,
            "starves": max(ripe_until, at + starter["feed_within_minutes"] * MINUTE)}


def check_take(take, pot, starter, index, feeds_to_wake):
    at = instant(take["at"])
    assert (0 if index is None else index + 1) >= feeds_to_wake, "taken before it is awake"
    assert pot["ripe_from"] is not None and pot["ripe_from"] <= at <= pot["ripe_until"], "taken while it is not ripe"
    pot["on_hand"] -= take["g"]
    assert take["left_g"] == pot["on_hand"] >= starter["keep_g"], "the mother is spent"


def first_pot(shown):
    state = shown["now"]
    ripe = state["ripe_from"] is not None
    feed_by = instant(state["feed_by"]) if state["feed_by"] else None
    late = feed_by is not None and feed_by <= instant(state["at"])
    return {"at": instant(state["at"]), "ripe_from": instant(state["ripe_from"]) if ripe else None, "on_hand": state["on_hand_g"],
            "ripe_until": instant(state["ripe_until"]) if ripe else None, "starves": feed_by, "any_time": not ripe or late}


def simulate(shown, starter, settings, minutes_of):
    """Walks through a plan that is said to be possible."""
    pot, waste = first_pot(shown), Decimal(0)
    takes = list(shown["takes"])
    for index in [None, *range(len(shown["feeds"]))]:
        if index is not None:
            feed = shown["feeds"][index]
            pot = check_feed(feed, pot, starter, settings, minutes_of)
            waste += feed["discard_g"]
        while takes and takes[0]["from_feed"] == index:
            check_take(takes.pop(0), pot, starter, index, shown["now"]["feeds_to_wake"])
    assert takes == [], "something is taken from no feed"
    assert pot["starves"] is None or pot["starves"] >= instant(shown["until"]), "it starves before the end"
    assert shown["left_g"] == pot["on_hand"] and shown["waste_g"] == waste + pot["on_hand"] - starter["keep_g"]


def verify(owner, house, settings=FREE):
    """A plan, held against the simulation and against the mixing lists."""
    shown = house.plan()

    def minutes_of(ratio):
        return owner.get(f"/starters/{house.code}/ripening?seed={ratio['seed']}&flour={ratio['flour']}&water={ratio['water']}")["minutes"]

    if shown["possible"]:
        simulate(shown, house.body, settings, minutes_of)
        assert (shown["impossible"], shown["short"]) == (None, None)
    assert [(take["at"], take["formula"], take["mixing_date"], take["g"]) for take in shown["takes"]] == taken_by_the_lists(owner, house, shown)
    return shown


def taken_by_the_lists(owner, house, shown):
    """What the mixing lists of the coming nights take."""
    first = dated(owner.get("/days/next")["working_day"])
    found = []
    for night in range(3):
        date = (first + datetime.timedelta(days=night)).isoformat()
        for mix in owner.get(f"/mixing-lists/{date}")["mixes"]:
            grams = sum(line["total_g"] for line in mix["lines"] if line.get("starter") == house.code)
            if grams and instant(mix["begins_at"]) >= instant(shown["now"]["at"]):
                found.append((mix["begins_at"], mix["formula"], date, grams))
    return sorted(found, key=lambda take: (instant(take[0]), take[1]))


# --- plans that can be made ---


def test_one_mix_tomorrow(owner, house):
    one = house().fed(now() - 5 * HOUR)
    dough = one.mix_at(minute(now() + 20 * HOUR), 40)
    shown = verify(owner, one)
    assert shown["possible"] and len(shown["feeds"]) >= 1
    take, = shown["takes"]
    assert (take["formula"], take["g"], take["from_feed"] is not None) == (dough, 40 * PER_LOAF, True)
    assert take["left_g"] >= 500


def test_what_is_ripe_already_and_enough_needs_no_feed_before_it(owner, house):
    one = house().fed(now() - 6 * HOUR - 10 * MINUTE, 3000)
    one.mix_at(minute(now() + HOUR), 5)
    shown = verify(owner, one)
    assert shown["possible"] and shown["takes"][0]["from_feed"] is None
    assert shown["takes"][0]["left_g"] == 2000
    assert all(instant(feed["at"]) > instant(shown["takes"][0]["at"]) for feed in shown["feeds"])


def test_nothing_to_take_is_a_plan_that_keeps_it_alive(owner, house):
    one = house().fed(now() - 5 * HOUR)
    shown = verify(owner, one)
    assert shown["possible"] and shown["takes"] == [] and shown["feeds"]
    assert instant(shown["until"]) > now() + DAY


def test_several_mixes_at_several_hours(owner, house):
    one = house().fed(now() - 5 * HOUR)
    for hours, loaves in ((14, 3), (20, 40), (21.5, 10), (30, 60), (36, 1)):
        one.mix_at(minute(now() + hours * HOUR), loaves)
    shown = verify(owner, one)
    assert shown["possible"] and len(shown["takes"]) == 5


def next_clocks(after, *clocks):
    """The next three instants at which the wall clock shows one of these."""
    days = [(after + n * DAY).astimezone(ZONE).date() for n in range(3)]
    return sorted(at for day in days for at in (at_clock(day, clock) for clock in clocks) if at >= after)[:3]


def test_nobody_feeds_while_everybody_sleeps(owner, house):
    """Mixes at 20:00 and 07:30 leave an hour of the evening in which the feed for the morning can be given, whatever time it is now."""
    settings = {"feed_from": "06:00", "feed_to": "22:00"}
    enter(owner, {"/bakery": {**AT_WORK, **settings}})
    one = house().fed(now() - 5 * HOUR)
    for at, loaves in zip(next_clocks(now() + 14 * HOUR, "20:00", "07:30"), (12, 30, 12)):
        one.mix_at(at, loaves)
    shown = verify(owner, one, settings)
    assert shown["possible"], shown
    settings = {"feed_from": "21:00", "feed_to": "07:00"}
    enter(owner, {"/bakery": {**AT_WORK, **settings}})
    verify(owner, one, settings)


def test_after_the_cold_it_is_woken_before_anything_is_taken(owner, house):
    one = house().fed(now() - 3 * DAY)
    log(owner, "chilled", now() - 2 * DAY, one.code, c=4)
    one.mix_at(minute(now() + 30 * HOUR), 10)
    shown = verify(owner, one)
    state = shown["now"]
    assert (state["state"], state["feeds_to_wake"], state["ripe_from"]) == ("asleep", 2, None)
    assert abs(instant(state["asleep_since"]) - (now() - 2 * DAY)) < MINUTE
    assert instant(state["feed_by"]) == instant(state["fed_at"]) + 7 * DAY, "every few days while it rests"
    assert shown["possible"] and shown["takes"][0]["from_feed"] >= 1
    log(owner, "woken", None, one.code)
    assert one.plan()["now"]["feeds_to_wake"] == 2 and one.plan()["now"]["state"] == "work"
    log(owner, "fed", None, one.code, seed_g=200, flour_g=400, water_g=400)
    assert one.plan()["now"]["feeds_to_wake"] == 1
    verify(owner, one)


def test_the_pots_size_is_kept(owner, house):
    one = house(pot_g=4000).fed(now() - 5 * HOUR)
    one.mix_at(minute(now() + 20 * HOUR), 17)
    shown = verify(owner, one)
    assert shown["possible"] and max(feed["after_g"] for feed in shown["feeds"]) <= 4000


SEEDS = range(24)


@pytest.fixture(scope="module")
def outcomes():
    return []


@pytest.mark.parametrize("seed", SEEDS)
def test_random_houses(owner, house, outcomes, seed):
    rng = random.Random(seed)
    settings = rng.choice([FREE, {"feed_from": "05:00", "feed_to": "23:00"}])
    enter(owner, {"/bakery": {**AT_WORK, **settings}})
    ripens = rng.sample(STARTER["ripens"], rng.randint(1, 3)) + [{"seed": 1, "flour": Decimal("3.3333"), "water": Decimal("3.3333"), "c": 26, "minutes": 450}]
    one = house(keep_g=rng.choice([0, 200, 500]), stays_ripe_minutes=rng.choice([90, 180, 300]), pot_g=rng.choice([0, 30000]), ripens=ripens)
    one.fed(now() - rng.randint(10, 600) * MINUTE, rng.choice([500, 1500]))
    if rng.random() < 0.25:
        log(owner, "chilled", None, one.code)
    for _ in range(rng.randint(1, 5)):
        one.mix_at(minute(now() + rng.randint(9 * 60, 40 * 60) * MINUTE), rng.choice([1, 5, 12, 40, 90]))
    shown = verify(owner, one, settings)
    outcomes.append(shown["possible"])
    if not shown["possible"]:
        assert shown["short"] or shown["impossible"]
        if shown["short"]:
            tried_out(owner, one, shown, settings)


def test_most_random_houses_can_be_served(outcomes):
    assert sum(outcomes) >= len(SEEDS) / 3, "else nothing was shown"


# --- plans that cannot be made ---


def tried_out(owner, one, shown, settings=FREE):
    """What is said to be the nearest that can is asked for, and can; a step more cannot."""
    short = shown["short"]
    assert short["most_g"] < short["wanted_g"]
    index = next(n for n, take in enumerate(shown["takes"]) if (take["at"], take["formula"]) == (short["at"], short["formula"]))
    assert shown["takes"][index]["g"] == short["wanted_g"]
    assert all(take["left_g"] is None for take in shown["takes"][index:]) and all(take["left_g"] is not None for take in shown["takes"][:index])
    location, dough = next(order for order in one.orders if order[1] == short["formula"])
    for later, _ in list(one.orders):
        if instant(taken_at(shown, dict(one.orders)[later])) > instant(short["at"]):
            owner.delete(later)
    if short["most_g"] >= PER_LOAF:
        reorder(owner, location, dough, int(short["most_g"] // PER_LOAF))
        assert verify(owner, one, settings)["possible"], "so much could be had"
    if short["later"] is not None:
        owner.delete(location)
        one.orders.remove((location, dough))
        moved = one.mix_at(instant(short["later"]), int(short["wanted_g"] // PER_LOAF), dough)
        shown = verify(owner, one, settings)
        assert shown["possible"], f"{moved} could be mixed at {short['later']}"


def taken_at(shown, dough):
    return next(take["at"] for take in shown["takes"] if take["formula"] == dough)


def reorder(owner, location, dough, loaves):
    order = owner.get(location)
    body = {"customer": order["customer"], "date": order["date"], "lines": [{"product": dough, "pieces": loaves}]}
    assert owner.put(location, body).status == 200


def test_too_much_in_an_hour_says_how_much_could_be_had_and_when_all_of_it(owner, house):
    """17 kg in an hour, of a pot that holds one."""
    one = house().fed(now() - 6 * HOUR - 10 * MINUTE, 1000)
    dough = one.mix_at(minute(now() + HOUR), 85)
    shown = verify(owner, one)
    assert shown["possible"] is False and shown["impossible"] is None
    short = shown["short"]
    assert (short["formula"], short["name"], short["wanted_g"], short["most_g"]) == (dough, dough, 17000, 500)
    assert now() + 8 * HOUR < instant(short["later"]) < now() + 26 * HOUR
    tried_out(owner, one, shown)


def test_what_is_not_ripe_in_time_is_told(owner, house):
    one = house().fed(now() - HOUR, 2000)
    one.mix_at(minute(now() + 2 * HOUR), 1)
    short = verify(owner, one)["short"]
    assert (short["wanted_g"], short["most_g"]) == (200, 0)
    assert instant(short["later"]) >= now() + 4 * HOUR
    tried_out(owner, one, one.plan())


def test_more_than_the_pot_holds_is_told(owner, house):
    one = house(pot_g=3000).fed(now() - 5 * HOUR)
    one.mix_at(minute(now() + 20 * HOUR), 14)
    shown = verify(owner, one)
    assert shown["possible"] is False
    assert (shown["short"]["wanted_g"], shown["short"]["most_g"]) == (2800, 2500)


@pytest.mark.parametrize("changes, state, words", [
    ({}, "none", "log"), ({"ripens": []}, "work", "ripen"), ({"stands_c": 4}, "work", "cold"), ({"stands_c": 45}, "work", "warm")])
def test_what_cannot_be_planned_at_all_says_why(owner, house, changes, state, words):
    one = house(**changes)
    if state == "work":
        one.fed(now() - 5 * HOUR)
    one.mix_at(minute(now() + 20 * HOUR), 5)
    shown = verify(owner, one)
    assert (shown["possible"], shown["feeds"], shown["short"], shown["now"]["state"]) == (False, [], None, state)
    assert words in shown["impossible"]
    assert [take["left_g"] for take in shown["takes"]] == [None]


def test_an_empty_pot_says_so(owner, house):
    one = house().fed(now() - 5 * HOUR)
    log(owner, "discarded", None, one.code, g=1000)
    shown = one.plan()
    assert shown["possible"] is False and "empty" in shown["impossible"] and shown["now"]["on_hand_g"] == 0


# --- what is there now ---


def test_when_it_is_ripe_and_when_it_must_be_fed(owner, house):
    one = house()
    at = now() - 2 * HOUR
    one.fed(at, 1000)
    state = one.plan()["now"]
    assert (state["on_hand_g"], state["state"], state["asleep_since"], state["feeds_to_wake"]) == (1000, "work", None, 0)
    assert (instant(state["fed_at"]), instant(state["ripe_from"]), instant(state["ripe_until"])) == (at, at + 6 * HOUR, at + 9 * HOUR)
    assert instant(state["feed_by"]) == at + DAY
    assert state["estimate"] == {"minutes": 360, "corrected": False, "off_minutes": 0, "off_pct": 0, "logged": 0}
    log(owner, "ripe", None, one.code)
    seen = one.plan()["now"]
    assert abs(instant(seen["ripe_from"]) - now()) < MINUTE, "what its baker sees wins"
    one.change(feed_within_minutes=60, stays_ripe_minutes=30)
    assert instant(one.plan()["now"]["feed_by"]) == instant(seen["ripe_from"]) + 30 * MINUTE


def test_a_starter_of_which_nothing_is_known(owner, house):
    state = house().plan()["now"]
    assert {name: state[name] for name in state if name != "at"} == {
        "on_hand_g": 0, "state": "none", "asleep_since": None, "fed_at": None, "ripe_from": None, "ripe_until": None, "feed_by": None, "feeds_to_wake": 0,
        "estimate": None}


def test_without_settings_there_is_no_plan(databases):
    from harness import Client, Server
    server = Server(databases.fresh())
    owner = Client(server, databases.tokens["owner"])
    assert owner.get("/starters/levain/plan").status == 409
    assert owner.get("/starters/levain/log").status == 409
    assert owner.post("/starters/levain/log", {"kind": "begun", "g": 1}).status in (404, 409)
    server.stop()
