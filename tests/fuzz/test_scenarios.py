"""Random days at the counter: whatever is ordered, changed, cancelled and sent twice, the
production list is the sum of the orders that stand."""

import itertools
import math
import os

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from bakehouse import day, open_bakehouse

EXAMPLES = max(4, int(os.environ.get("MORROWLOAF_FUZZ_SECONDS", "8")))
SPARE = {"bun": 0, "country-loaf": 2, "seeded-loaf": 3, "baguette": 0}  # percent
LINES = st.lists(st.tuples(st.sampled_from(sorted(SPARE)), st.integers(1, 400)), min_size=1, max_size=4)
CUSTOMER = st.sampled_from(["cafe", "shop"])
KEYS = (f"scenario-{n}" for n in itertools.count())


def body(customer, date, lines):
    return {"customer": customer, "date": date, "lines": [{"product": product, "pieces": pieces} for product, pieces in lines]}


def machine(client, days):
    class Counter(RuleBasedStateMachine):
        @initialize()
        def another_day(self):
            self.date = day(next(days))
            self.standing = {}  # Location -> lines
            self.sent = []      # (key, body, answer)

        @rule(customer=CUSTOMER, lines=LINES)
        def order(self, customer, lines):
            key, sent = next(KEYS), body(customer, self.date, lines)
            answer = client.post("/orders", sent, Idempotency_Key=key)
            assert answer.status == 201, answer
            self.standing[answer.location] = lines
            self.sent.append((key, sent, answer.text))

        @rule(which=st.integers(0, 99))
        def send_again(self, which):
            if self.sent:
                key, sent, first = self.sent[which % len(self.sent)]
                assert client.post("/orders", sent, Idempotency_Key=key).text == first

        @rule(which=st.integers(0, 99), customer=CUSTOMER, lines=LINES)
        def change(self, which, customer, lines):
            if self.standing:
                location = sorted(self.standing)[which % len(self.standing)]
                assert client.put(location, body(customer, self.date, lines)).status == 200
                self.standing[location] = lines

        @rule(which=st.integers(0, 99))
        def cancel(self, which):
            if self.standing:
                location = sorted(self.standing)[which % len(self.standing)]
                assert client.delete(location).status == 204
                del self.standing[location]

        @rule(which=st.integers(0, 99), pieces=st.sampled_from([0, -1, 1000001]))
        def blunder(self, which, pieces):
            wrong = body("cafe", self.date, [("bun", pieces)])
            assert client.post("/orders", wrong).status == 422
            if self.standing:
                assert client.put(sorted(self.standing)[which % len(self.standing)], wrong).status == 422

        @invariant()
        def the_list_is_the_sum_of_the_orders(self):
            expected = {}
            for product, pieces in itertools.chain.from_iterable(self.standing.values()):
                expected[product] = expected.get(product, 0) + pieces
            shown = client.get(f"/days/{self.date}/production")["products"]
            assert {item["product"]: item["ordered"] for item in shown} == expected
            for item in shown:
                assert item["spare"] == math.ceil(item["ordered"] * SPARE[item["product"]] / 100)
                assert item["pieces"] == item["ordered"] + item["spare"]

    return Counter


def test_the_production_list_is_the_sum_of_the_orders_that_stand(owner):
    open_bakehouse(owner)
    run_state_machine_as_test(machine(owner, itertools.count(1)), settings=settings(
        max_examples=EXAMPLES, stateful_step_count=15, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck)))
