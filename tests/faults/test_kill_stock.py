"""Power cuts while batches are posted: every acknowledged one is there once with all that it took, from the
store and from the pot, and nothing is half taken."""

import http.client
import random
import signal
import threading
import time
import uuid
from decimal import Decimal

import pytest

from clockwork import STARTER
from harness import enter
from storework import broken, goods, on

SEED = 20270331
STORED, BEGUN = 1000000, 100000


@pytest.fixture(autouse=True)
def sound(bakery, cluster):
    yield
    assert broken(bakery[0]) == []


class Tablet(threading.Thread):
    """Somebody who posts one batch after the other and never gives one up."""

    def __init__(self, client, bench, number):
        super().__init__(daemon=True)
        self.client, self.bench, self.formula, self.rng = client, bench, bench.formulas[number], random.Random(f"{SEED} {number}")
        self.closing = threading.Event()
        self.acknowledged = {}  # number of the batch -> (movement, lines)
        self.statuses, self.retries, self.failure = set(), 0, None

    def run(self):
        try:
            for number in range(1, 1001):
                if self.closing.is_set():
                    return
                self.mix(number, uuid.uuid4().hex)
        except BaseException as failure:  # for the test to raise
            self.failure = failure

    def mix(self, number, key):
        weighed = {thing: Decimal(self.rng.randint(1, 100000)) / 1000 for thing in self.rng.sample(self.bench.things, 3)}
        lines = [{"starter" if thing == self.bench.starter else "ingredient": thing, "g": str(g)} for thing, g in weighed.items()]
        give_up = time.monotonic() + 60
        while True:
            try:
                answer = self.client.post(f"/mixing-lists/{on(0)}/batches", {"formula": self.formula, "batch": number, "lines": lines}, Idempotency_Key=key)
                self.statuses.add(answer.status)
                if answer.status == 201:
                    self.acknowledged[number] = (answer["movement"], weighed)
                    return
                assert answer.status == 503, f"a batch would be dropped at {answer}"
            except (OSError, http.client.HTTPException):
                pass  # killed, or not up yet
            assert time.monotonic() < give_up, "nothing is acknowledged any more"
            self.retries += 1
            time.sleep(0.02)


class Bench:
    """Three flours, a starter and a formula for each of several tablets, for the time of a with block."""

    def __init__(self, client, name, count=4):
        self.client, self.starter = client, f"{name}-pot"
        self.flours, self.formulas = [f"{name}-{n}" for n in "abc"], [f"{name}-{n}" for n in range(count)]
        self.things = [*self.flours, self.starter]
        enter(client, {f"/ingredients/{code}": {"name": code, "kind": "flour", "unit": "g"} for code in self.flours})
        enter(client, {f"/starters/{self.starter}": {**STARTER, "name": name, "flours": [{"ingredient": self.flours[0], "pct": 100}]}})
        enter(client, {f"/formulas/{code}": {"name": code, "basis": "final", "lines": [{"ingredient": self.flours[0], "pct": 100}]} for code in self.formulas})
        assert client.post(f"/starters/{self.starter}/log", {"kind": "begun", "g": BEGUN}).status == 201
        assert client.post("/goods-in", goods(*[{"ingredient": code, "g": STORED} for code in self.flours])).status == 201
        self.tablets = [Tablet(client, self, n) for n in range(count)]

    def __enter__(self):
        for tablet in self.tablets:
            tablet.start()
        return self

    def __exit__(self, *error):
        for tablet in self.tablets:
            tablet.closing.set()
        for tablet in self.tablets:
            tablet.join(90)
            assert not tablet.is_alive()
        for tablet in self.tablets:
            if tablet.failure:
                raise tablet.failure

    @property
    def statuses(self):
        return set().union(*[tablet.statuses for tablet in self.tablets])

    @property
    def retries(self):
        return sum(tablet.retries for tablet in self.tablets)

    def check(self):
        """Each acknowledged batch once, under the number that it was told, as it was weighed; and what is left of everything."""
        told = {(tablet.formula, number): batch for tablet in self.tablets for number, batch in tablet.acknowledged.items()}
        stored = [item for item in self.client.list(f"/mixing-lists/{on(0)}/batches") if item["formula"] in self.formulas]
        assert len(stored) == len(told) > 0
        assert {(item["formula"], item["batch"]): (item["movement"], {line.get("ingredient") or line["starter"]: line["g"] for line in item["lines"]}) for item in stored} == told
        for item in stored:
            moved = self.client.get(f"/movements/{item['movement']}")
            assert -sum(line["g"] for line in moved["lines"]) == sum(part["g"] for line in item["lines"] for part in line["lots"])
            assert all(line["log_entry"] if "starter" in line else sum(part["g"] for part in line["lots"]) == line["g"] for line in item["lines"])
        for code in self.flours:
            lot, = self.client.get(f"/lots?ingredient={code}")["items"]
            assert lot["left_g"] == STORED - sum(weighed.get(code, 0) for _, weighed in told.values())
        log = self.client.list(f"/starters/{self.starter}/log")
        taken = [weighed[self.starter] for _, weighed in told.values() if self.starter in weighed]
        assert sorted(-entry["delta_g"] for entry in log if entry["kind"] == "taken") == sorted(taken)
        assert log[0]["on_hand_g"] == BEGUN - sum(taken)


def test_killing_the_server_takes_nothing_by_half(server, owner):
    rng = random.Random(SEED)
    with Bench(owner, "by-the-server") as bench:
        for _ in range(4):
            time.sleep(rng.uniform(0.05, 0.4))
            server.kill()
            server.start()
        time.sleep(0.3)
    assert bench.retries > 0, "some batch was under way"
    bench.check()


def test_killing_the_database_takes_nothing_by_half(cluster, owner):
    rng = random.Random(SEED)
    with Bench(owner, "by-the-database") as bench:
        for _ in range(2):
            time.sleep(rng.uniform(0.2, 0.5))
            cluster.signal(signal.SIGKILL)
            time.sleep(0.2)
            cluster.start()
        time.sleep(0.5)
    assert bench.statuses == {201, 503}
    bench.check()


@pytest.mark.parametrize("kind", ["goods-in", "batch", "undo", "count", "feed"])
def test_what_was_under_way_is_there_or_not_and_the_replay_settles_it(server, owner, kind):
    """Killed at once after it was sent: sent again with its key it happens once, whatever had become of it."""
    bench = Bench(owner, f"settled-{kind}", count=1)
    flour, mixing = bench.flours[0], f"/mixing-lists/{on(0)}/batches"
    first = owner.post(mixing, {"formula": bench.formulas[0], "batch": 1, "lines": [{"ingredient": flour, "g": 1000}, {"starter": bench.starter, "g": 50}]})
    path, body, stored, in_pot = {
        "goods-in": ("/goods-in", goods({"ingredient": flour, "g": 500}), STORED - 500, BEGUN - 50),
        "batch": (mixing, {"formula": bench.formulas[0], "batch": 2, "lines": [{"ingredient": flour, "g": 300}, {"starter": bench.starter, "g": 7}]}, STORED - 1300, BEGUN - 57),
        "undo": ("/movements", {"kind": "reversed", "reverses": first["movement"]}, STORED, BEGUN),
        "count": ("/counts", {"lines": [{"ingredient": flour, "g": 5000}]}, 5000, BEGUN - 50),
        "feed": (f"/starters/{bench.starter}/log", {"kind": "fed", "flour_g": 100, "water_g": 100}, STORED - 1100, BEGUN + 150)}[kind]
    for n in range(3):
        def send():
            try:
                owner.post(path, body, Idempotency_Key=kind)
            except (OSError, http.client.HTTPException):
                pass
        sending = threading.Thread(target=send)
        sending.start()
        time.sleep(0.004 * n)
        server.kill()
        sending.join()
        server.start()
    owner.forget()
    assert owner.post(path, body, Idempotency_Key=kind).status == 201
    assert sum(lot["left_g"] for lot in owner.list(f"/lots?ingredient={flour}")) == stored
    assert owner.get(f"/starters/{bench.starter}/log")["on_hand_g"] == in_pot
