"""Several tablets at once, at two servers: whatever races for the last grams, balances are exact, nothing is
below zero, what may happen once happens once, and nobody waits in a circle.

MORROWLOAF_STRESS_SECONDS sets for how long eight of them do whatever they like.
"""

import collections
import os
import random
import threading
import time

import pytest

from clockwork import STARTER, log
from harness import Client, Server, at_once, enter, psql
from storework import G, batch, broken, deadlocks, goods, left, mixed, move, new_ingredient, on, received, undone, unnoticed

pytestmark = pytest.mark.usefixtures("store")

SECONDS = float(os.environ.get("MORROWLOAF_STRESS_SECONDS", "4"))
SEED = 20270330


@pytest.fixture(scope="module")
def other(server):
    """Another server on the same database."""
    running = Server(server.conninfo)
    yield running
    running.stop()


@pytest.fixture(scope="module")
def tablets(server, other, databases):
    """A baker at each of the two."""
    return [Client(running, databases.tokens["baker"]) for running in (server, other)]


@pytest.fixture(autouse=True)
def sound(server):
    yield
    assert broken(server.conninfo) == []


def statuses(answers):
    return dict(collections.Counter(answer.status for answer in answers))


# --- the last grams ---


def test_two_tablets_race_for_the_last_grams_and_one_wins(tablets, owner, flour):
    for n in range(10):
        lot = received(owner, flour, 1000)
        answers = at_once([lambda tablet=tablet, k=k: batch(tablet, "country", 2 * n + k + 1, [{"ingredient": flour, "g": 600}]) for k, tablet in enumerate(tablets)])
        assert statuses(answers) == {201: 1, 422: 1}, answers
        loser = next(answer for answer in answers if answer.status == 422)
        assert loser.pointers == ["/lines/0/g"] and "400 g" in loser.text
        assert left(owner, lot) == 400
        move(owner, "wasted", flour, 400)


def test_fifty_at_once_race_for_the_last_grams(tablets, owner, flour):
    lots = [received(owner, flour, g, best_before=on(9 - n)) for n, g in enumerate((700, 630, 400))]
    answers = at_once([lambda n=n: batch(tablets[n % 2], "seeded", n + 1, [{"ingredient": flour, "g": 100}]) for n in range(50)])
    assert statuses(answers) == {201: 17, 422: 33}
    assert {tuple(answer.pointers) for answer in answers if answer.status == 422} == {("/lines/0/g",)}
    assert [left(owner, lot) for lot in lots] == [30, 0, 0]
    taken = [part for answer in answers if answer.status == 201 for line in answer["lines"] for part in line["lots"]]
    assert sum(part["g"] for part in taken) == 1700


# --- once ---


def test_the_same_batch_from_two_tablets_is_mixed_once(tablets, owner, flour):
    lot, starter = received(owner, flour, 100000), "twice"
    enter(owner, {f"/starters/{starter}": {**STARTER, "name": "Twice"}})
    log(owner, "begun", starter=starter, g=10000)
    lines = [{"ingredient": flour, "g": 100}, {"starter": starter, "g": 10}]
    for n in range(1, 11):
        answers = at_once([lambda tablet=tablet: batch(tablet, "baguette", n, lines) for tablet in tablets])
        assert statuses(answers) == {201: 1, 409: 1}, answers
        loser = next(answer for answer in answers if answer.status == 409)
        assert loser.pointers == ["/batch"], loser
        assert (left(owner, lot), owner.get(f"/starters/{starter}/log")["on_hand_g"]) == (100000 - 100 * n, 10000 - 10 * n)


def test_the_same_batch_from_fifty_tablets_is_mixed_once(tablets, owner, flour):
    lot = received(owner, flour, 1000)
    answers = at_once([lambda n=n: batch(tablets[n % 2], "bun", 1, [{"ingredient": flour, "g": 300}]) for n in range(50)])
    assert statuses(answers) == {201: 1, 409: 49}
    assert left(owner, lot) == 700


def test_one_key_at_both_servers_at_once_is_one_batch(tablets, owner, flour):
    lot = received(owner, flour, 1000)
    body = {"formula": "bun", "batch": 2, "lines": [{"ingredient": flour, "g": 300}]}
    answers = at_once([lambda tablet=tablet: tablet.post(f"/mixing-lists/{on(0)}/batches", body, Idempotency_Key=flour) for tablet in tablets * 4])
    assert {(answer.status, answer.text) for answer in answers} == {(201, answers[0].text)}
    assert left(owner, lot) == 700


def test_what_many_undo_is_undone_once(tablets, owner, flour):
    lot = received(owner, flour, 1000)
    for n in range(3, 8):
        number = mixed(owner, "bun", n, [{"ingredient": flour, "g": 300}])["movement"]
        answers = at_once([lambda tablet=tablet: tablet.post("/movements", {"kind": "reversed", "reverses": number}) for tablet in tablets * 4])
        assert statuses(answers) == {201: 1, 409: 7}, answers
        assert left(owner, lot) == 1000


def test_a_batch_that_is_undone_and_posted_anew_by_many_stands_once(tablets, owner, flour):
    lot = received(owner, flour, 1000)
    lines = [{"ingredient": flour, "g": 300}]
    for _ in range(5):
        number = mixed(owner, "bun", 9, lines)["movement"]
        answers = at_once([lambda: undone(tablets[0], number)] + [lambda k=k: batch(tablets[k % 2], "bun", 9, lines) for k in range(6)])
        assert answers[0].status == 201 and set(statuses(answers[1:])) <= {201, 409} and statuses(answers[1:]).get(201, 0) <= 1, answers
        stands = owner.get(f"/mixing-lists/{on(0)}/batches/bun/9")
        assert left(owner, lot) == 1000 - 300 * (stands.status == 200)
        if stands.status == 200:
            undone(owner, stands["movement"])


def test_a_delivery_is_used_or_undone_and_never_both(tablets, owner, flour):
    for _ in range(10):
        answer = owner.post("/goods-in", goods({"ingredient": flour, "g": 100}))
        used, back = at_once([lambda: move(tablets[0], "used", flour, 100), lambda: tablets[1].post("/movements", {"kind": "reversed", "reverses": answer["number"]})])
        assert (used.status, back.status) in ((201, 422), (422, 201)), (used, back)
        assert left(owner, answer["lines"][0]["lot"]) == 0


def test_two_counts_at_once_leave_what_one_of_them_found(tablets, owner, flour):
    lot = received(owner, flour, 1000)
    for n in range(1, 11):
        answers = at_once([lambda tablet=tablet, g=g: tablet.post("/counts", {"lines": [{"ingredient": flour, "lot": lot, "g": g}]})
                           for tablet, g in zip(tablets, (1000 + n, 1000 - n))])
        assert statuses(answers) == {201: 2} and left(owner, lot) in (1000 + n, 1000 - n)
        assert {answer["lines"][0]["expected_g"] for answer in answers} & {1000 + n, 1000 - n}, "the later one saw the earlier one"
        owner.post("/counts", {"lines": [{"ingredient": flour, "lot": lot, "g": 1000}]})


def test_a_book_that_two_begin_at_once_is_begun_once(tablets, owner):
    for _ in range(5):
        codes = [new_ingredient(owner) for _ in range(3)]
        lines = [{"ingredient": code, "g": 100} for code in codes]
        answers = at_once([lambda: tablets[0].post("/goods-in", goods(*lines)), lambda: tablets[1].post("/goods-in", goods(*lines[::-1])),
                           lambda: tablets[0].post("/counts", {"lines": lines}), lambda: tablets[1].post("/counts", {"lines": lines[::-1]})])
        assert statuses(answers) == {201: 4}, answers
        assert all(sum(item["left_g"] for item in owner.list(f"/lots?ingredient={code}")) in (100, 200, 300) for code in codes)


# --- nobody waits in a circle ---


class Bench:
    """Three flours, clips, two starters and a formula, to be moved by many at once."""

    def __init__(self, owner, name, days):
        self.flours = [new_ingredient(owner) for _ in range(3)]
        self.clips = new_ingredient(owner, unit="piece", kind="packaging")
        self.starters = [f"{name}-{n}" for n in range(2)]
        self.formula, self.days = f"{name}-dough", days
        blends = (self.flours[:2], self.flours[1:])
        enter(owner, {f"/starters/{code}": {**STARTER, "name": code, "flours": [{"ingredient": flour, "pct": 50} for flour in blend]} for code, blend in zip(self.starters, blends)})
        enter(owner, {f"/formulas/{self.formula}": {"name": name, "basis": "final", "lines": [{"ingredient": self.flours[0], "pct": 100}]}})
        for code in self.starters:
            log(owner, "begun", starter=code, g=100000)
        for code in self.flours:
            for n in range(3):
                received(owner, code, 20000, date=-days, best_before=on(n * 3 - 1), price="31.37")
        received(owner, self.clips, 5000, date=-days, pieces=True, price="17")


class Hand(threading.Thread):
    """Somebody who does whatever can be done, and hears 201, 409 or 422."""

    def __init__(self, client, bench, seed, ends):
        super().__init__(daemon=True)
        self.client, self.bench, self.rng, self.ends = client, bench, random.Random(f"{SEED} {seed}"), ends
        self.heard, self.numbers, self.batches, self.failure = collections.Counter(), [], [], None

    def run(self):
        try:
            while time.monotonic() < self.ends:
                what = self.rng.choice(["receive", "mix", "mix", "mix", "mix", "feed", "use", "waste", "count", "shift", "undo", "undo_feed"])
                answer = getattr(self, what)()
                assert answer.status in (201, 409, 422), (what, answer)
                self.heard[what, answer.status] += 1
                if answer.status == 201:
                    self.numbers.append(answer.body.get("movement") or answer["number"]) if what not in ("feed", "undo_feed") else None
        except BaseException as failure:  # for the test to raise
            self.failure = failure

    def grams(self, most):
        return str(G(self.rng.randint(1, most * 1000)) / 1000)

    def any_flour(self):
        return self.rng.choice(self.bench.flours)

    def any_day(self):
        return -self.rng.randint(0, self.bench.days)

    def receive(self):
        lines = [{"ingredient": code, "g": self.grams(9000), "price": self.grams(50), "best_before": on(self.rng.randint(-3, 9)), "place": self.rng.choice("abc")}
                 for code in self.rng.sample(self.bench.flours, self.rng.randint(1, 3))]
        return self.client.post("/goods-in", goods(*lines, date=self.any_day()))

    def mix(self):
        things = [{"ingredient": code, "g": self.grams(400)} for code in self.bench.flours * 2] + [{"starter": code, "g": self.grams(100)} for code in self.bench.starters]
        answer = batch(self.client, self.bench.formula, self.rng.randint(1, 300), self.rng.sample(things, self.rng.randint(2, 8)))
        if answer.status == 201:
            self.batches.append(answer["movement"])
        return answer

    def feed(self):
        g = self.grams(300)
        return self.client.post(f"/starters/{self.rng.choice(self.bench.starters)}/log", {"kind": "fed", "flour_g": g, "water_g": g})

    def undo_feed(self):
        path = f"/starters/{self.rng.choice(self.bench.starters)}/log"
        entries = [entry["number"] for entry in self.client.get(path + "?limit=20")["items"] if entry["kind"] == "fed" and not entry["reversed_by"]]
        return self.client.post(path, {"kind": "reversed", "reverses": self.rng.choice(entries or [1])})

    def use(self):
        if self.rng.random() < 0.3:
            return self.client.post("/movements", {"kind": "used", "ingredient": self.bench.clips, "pieces": self.rng.randint(1, 50), "date": on(self.any_day())})
        return move(self.client, "used", self.any_flour(), self.grams(300), date=self.any_day())

    def waste(self):
        return move(self.client, self.rng.choice(["wasted", "returned"]), self.any_flour(), self.grams(200), date=self.any_day())

    def count(self):
        lines = [{"ingredient": code, "g": self.grams(60000)} for code in self.rng.sample(self.bench.flours, self.rng.randint(1, 3))]
        if self.rng.random() < 0.2:
            lines.append({"ingredient": self.bench.clips, "pieces": self.rng.randint(0, 5000)})
        return self.client.post("/counts", {"lines": lines})

    def shift(self):
        code = self.any_flour()
        lots = self.client.get(f"/lots?ingredient={code}&left=true&limit=10")["items"]
        shelves = [(lot["lot"], place["place"], place["g"]) for lot in lots for place in lot["places"]]
        if not shelves:
            return self.receive()
        lot, place, g = self.rng.choice(shelves)
        return move(self.client, "moved", code, g, lot=lot, place=place, to=self.rng.choice([to for to in "abcd" if to != place]))

    def undo(self):
        number = self.rng.choice(self.numbers[-20:]) if self.numbers else 1
        return self.client.post("/movements", {"kind": "reversed", "reverses": number})


def busy(clients, bench, seconds, seed=0):
    """Lets one hand a client work for some seconds; the hands."""
    ends = time.monotonic() + seconds
    hands = [Hand(client, bench, f"{seed} {n}", ends) for n, client in enumerate(clients)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    for hand in hands:
        if hand.failure:
            raise hand.failure
    return hands


@pytest.fixture(scope="module")
def stressed(tablets, owner, server):
    """What eight hands left behind, and what they heard."""
    bench = Bench(owner, "stress", days=5)
    before = int(psql(server.conninfo, "SELECT count(*) FROM morrowloaf.posting WHERE kind <> 'fed'"))
    hands = busy(tablets * 4, bench, SECONDS)
    owner.forget()  # a connection that was silent for a minute is closed
    return bench, hands, before


def test_eight_who_do_what_they_like_leave_the_book_exact(stressed, owner, server):
    """What must hold is looked at after every test of this file."""
    bench, hands, _ = stressed
    heard = sum((hand.heard for hand in hands), collections.Counter())
    for what in ("receive", "mix", "feed", "use", "waste", "count", "shift", "undo"):
        assert heard[what, 201] > 0, heard
    for code in bench.flours:
        assert sum(item["left_g"] for item in owner.list(f"/lots?ingredient={code}")) * 1000 == int(
            psql(server.conninfo, f"SELECT amount FROM morrowloaf.stock WHERE ingredient = '{code}'"))


def test_whatever_was_acknowledged_is_there_once(stressed, server):
    _, hands, before = stressed
    told = sorted(number for hand in hands for number in hand.numbers)
    assert len(set(told)) == len(told)
    fed = "SELECT number FROM morrowloaf.posting WHERE kind = 'fed'"
    stored = psql(server.conninfo, f"SELECT number FROM morrowloaf.posting WHERE kind <> 'fed' AND (reverses IS NULL OR reverses NOT IN ({fed})) ORDER BY number").split()
    assert [int(number) for number in stored][-len(told):] == told
    assert len(stored) - len(told) <= before


def test_each_rule_of_the_book_would_be_seen_to_be_broken(stressed, server):
    assert unnoticed(server.conninfo) == []


def flows(item, member):
    """opening + received + counted - used - wasted - returned, of g, pieces, fifo or average; None: not known."""
    parts = [item[name][member] for name in ("opening", "received", "counted", "used", "wasted", "returned")]
    if None in parts:
        return None
    opening, came, found, *went = (G(part) for part in parts)
    return opening + came + found - sum(went)


def test_what_came_less_what_went_is_what_is_there_to_the_last_digit(stressed, owner):
    if not any(item["path"] == "/api/v1/stock-values" for item in owner.get("")["items"]):
        pytest.skip("values are not told yet")
    bench, _, _ = stressed
    slices = [(on(-5), on(-3)), (on(-2), on(-2)), (on(-1), on(0)), (on(-5), on(0))]
    told = [{item["ingredient"]: item for item in owner.get(f"/stock-values?from={begin}&to={end}")["items"] if item["ingredient"] in (*bench.flours, bench.clips)}
            for begin, end in slices]
    for items in told:
        assert set(items) == {*bench.flours, bench.clips}
        for item in items.values():
            for member in ("pieces" if "pieces" in item["opening"] else "g", "fifo", "average"):
                closing = item["closing"][member]
                assert closing is not None and flows(item, member) == G(closing), (member, item)
    for code in told[0]:
        assert told[0][code]["closing"] == told[1][code]["opening"] and told[1][code]["closing"] == told[2][code]["opening"]
        assert (told[3][code]["opening"], told[3][code]["closing"]) == (told[0][code]["opening"], told[2][code]["closing"])


def test_none_of_all_this_was_a_deadlock(server, other):
    """Nor one that was tried again in silence."""
    deadlocks(other)
    assert deadlocks(server) == 0
