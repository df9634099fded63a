"""Power cuts while the log of a starter is written: every acknowledged entry is there once, and what is
on hand is exact."""

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

SEED = 20270329
BEGUN = 1000000


class Scale(threading.Thread):
    """Somebody who logs takings and discards as fast as they can, and never gives an entry up."""

    def __init__(self, client, path, number):
        super().__init__(daemon=True)
        self.client, self.path, self.rng = client, path, random.Random(number)
        self.closing = threading.Event()
        self.acknowledged = {}  # key -> (number, grams)
        self.statuses, self.retries, self.failure = set(), 0, None

    def run(self):
        try:
            while not self.closing.is_set():
                self.enter(uuid.uuid4().hex)
        except BaseException as failure:  # for the test to raise
            self.failure = failure

    def enter(self, key):
        grams = Decimal(self.rng.randint(1, 5000)) / 1000
        entry = {"kind": self.rng.choice(["taken", "discarded"]), "g": str(grams), "note": key}
        give_up = time.monotonic() + 60
        while True:
            try:
                answer = self.client.post(self.path, entry, Idempotency_Key=key)
                self.statuses.add(answer.status)
                if answer.status == 201:
                    self.acknowledged[key] = (answer["number"], grams)
                    return
                assert answer.status == 503, f"an entry would be dropped at {answer}"
            except (OSError, http.client.HTTPException):
                pass  # killed, or not up yet
            assert time.monotonic() < give_up, "nothing is acknowledged any more"
            self.retries += 1
            time.sleep(0.02)


class Scales:
    """Several at once, for the time of a with block."""

    def __init__(self, client, starter, count=4):
        enter(client, {f"/starters/{starter}": {**STARTER, "name": starter}})
        self.client, self.path = client, f"/starters/{starter}/log"
        assert client.post(self.path, {"kind": "begun", "g": BEGUN}).status == 201
        self.scales = [Scale(client, self.path, f"{SEED} {n}") for n in range(count)]

    def __enter__(self):
        for scale in self.scales:
            scale.start()
        return self

    def __exit__(self, *error):
        for scale in self.scales:
            scale.closing.set()
        for scale in self.scales:
            scale.join(90)
            assert not scale.is_alive()
        for scale in self.scales:
            if scale.failure:
                raise scale.failure

    def check(self):
        """Each acknowledged entry once, under the number that it was told; numbers without gaps; the balance exact."""
        told = {key: entry for scale in self.scales for key, entry in scale.acknowledged.items()}
        stored = list(reversed(self.client.list(self.path + "?limit=1000")))
        assert [entry["number"] for entry in stored] == list(range(1, len(stored) + 1))
        assert {entry["note"]: (entry["number"], -entry["delta_g"]) for entry in stored[1:]} == told and len(stored) == len(told) + 1 > 1
        on_hand = Decimal(0)
        for entry in stored:
            on_hand += entry["delta_g"]
            assert entry["on_hand_g"] == on_hand
        assert on_hand == BEGUN - sum(grams for _, grams in told.values()) == self.client.get(self.path)["on_hand_g"]

    @property
    def statuses(self):
        return set().union(*[scale.statuses for scale in self.scales])

    @property
    def retries(self):
        return sum(scale.retries for scale in self.scales)


def test_killing_the_server_loses_no_entry(server, owner):
    rng = random.Random(SEED)
    with Scales(owner, "by-the-server") as scales:
        for _ in range(6):
            time.sleep(rng.uniform(0.05, 0.5))
            server.kill()
            server.start()
        time.sleep(0.3)
    assert scales.retries > 0, "some entry was under way"
    scales.check()


def test_killing_the_database_loses_no_entry(cluster, owner):
    rng = random.Random(SEED)
    with Scales(owner, "by-the-database") as scales:
        for _ in range(3):
            time.sleep(rng.uniform(0.2, 0.5))
            cluster.signal(signal.SIGKILL)
            time.sleep(0.2)
            cluster.start()
        time.sleep(0.5)
    assert scales.statuses == {201, 503}
    scales.check()


@pytest.mark.parametrize("kind", ["fed", "weighed", "reversed"])
def test_an_entry_that_was_under_way_is_there_or_not_and_the_replay_settles_it(server, owner, kind):
    """Killed at once after it was sent: sent again with its key it is entered once, whatever had become of it."""
    starter = f"settled-{kind}"
    enter(owner, {f"/starters/{starter}": {**STARTER, "name": starter}})
    path = f"/starters/{starter}/log"
    assert owner.post(path, {"kind": "begun", "g": 1000}).status == owner.post(path, {"kind": "taken", "g": 100}).status == 201
    body = {"fed": {"kind": "fed", "seed_g": 100, "flour_g": 200, "water_g": 200}, "weighed": {"kind": "weighed", "g": 890},
            "reversed": {"kind": "reversed", "reverses": 2}}[kind]
    after = {"fed": 500, "weighed": 890, "reversed": 1000}[kind]
    for n in range(4):
        def send():
            try:
                owner.post(path, body, Idempotency_Key=starter)
            except (OSError, http.client.HTTPException):
                pass
        sending = threading.Thread(target=send)
        sending.start()
        time.sleep(0.002 * n)
        server.kill()
        sending.join()
        server.start()
    owner.forget()
    answer = owner.post(path, body, Idempotency_Key=starter)
    assert (answer.status, answer["number"], answer["on_hand_g"]) == (201, 3, after)
    assert owner.get(path)["on_hand_g"] == after and len(owner.list(path)) == 3
