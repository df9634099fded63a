"""Tills that place orders as fast as they can and never give one up: whatever happens to a request,
it is sent again with its key until it is acknowledged."""

import http.client
import threading
import time
import uuid

DEADLINE_MS = 1500  # what the servers of these tests allow the database


class Till(threading.Thread):
    def __init__(self, client, date):
        super().__init__(daemon=True)
        self.client, self.date = client, date
        self.closing = threading.Event()
        self.acknowledged = {}  # key -> Location
        self.statuses = set()
        self.retries = 0
        self.failure = None

    def run(self):
        try:
            while not self.closing.is_set():
                self.place(uuid.uuid4().hex)
        except BaseException as failure:  # for the test to raise
            self.failure = failure

    def place(self, key):
        order = {"customer": "shop", "date": self.date, "note": key, "lines": [{"product": "bun", "pieces": 1}]}
        give_up = time.monotonic() + 60
        while True:
            try:
                answer = self.client.post("/orders", order, Idempotency_Key=key)
                self.statuses.add(answer.status)
                if answer.status == 201:
                    self.acknowledged[key] = answer.location
                    return
                assert answer.status == 503, f"a till would drop its order at {answer}"
            except (OSError, http.client.HTTPException):
                pass  # killed, or not up yet
            assert time.monotonic() < give_up, "nothing is acknowledged any more"
            self.retries += 1
            time.sleep(0.02)


class Tills:
    """Several at once, for the time of a with block."""

    def __init__(self, client, date, count=6):
        self.tills = [Till(client, date) for _ in range(count)]
        self.client, self.date = client, date

    def __enter__(self):
        for till in self.tills:
            till.start()
        return self

    def __exit__(self, *error):
        for till in self.tills:
            till.closing.set()
        for till in self.tills:
            till.join(90)
            assert not till.is_alive()
        for till in self.tills:
            if till.failure:
                raise till.failure

    @property
    def count(self):
        return sum(len(till.acknowledged) for till in self.tills)

    @property
    def statuses(self):
        return set().union(*[till.statuses for till in self.tills])

    @property
    def retries(self):
        return sum(till.retries for till in self.tills)

    def check(self):
        """Every acknowledged order is there exactly once, under the address that it was given."""
        told = {key: location for till in self.tills for key, location in till.acknowledged.items()}
        stored = self.client.list(f"/orders?date={self.date}&limit=1000")
        assert len(stored) == len(told) > 0
        assert {order["note"]: f"/api/v1/orders/{order['id']}" for order in stored} == told
        product, = self.client.get(f"/days/{self.date}/production")["products"]
        assert product["ordered"] == len(told)
