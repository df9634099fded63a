"""A database that holds its connections but does not answer: the server's own deadline holds."""

import signal
import threading
import time

import pytest

from bakehouse import day
from tills import DEADLINE_MS, Tills

# A request may first wait for a worker whose own request runs into the deadline, and a sanitized
# server on a busy machine takes its time.
PATIENCE_S = 2 * DEADLINE_MS / 1000 + 2


@pytest.fixture
def frozen(cluster):
    """frozen(): stops every process of PostgreSQL; thawed again at the end, or by the result."""
    def thaw():
        cluster.signal(signal.SIGCONT)

    def freeze():
        cluster.signal(signal.SIGSTOP)
        return thaw

    yield freeze
    thaw()


def order(key):
    return {"customer": "shop", "date": day(1), "note": key, "lines": [{"product": "bun", "pieces": 1}]}


def timed(ask):
    begin = time.monotonic()
    answer = ask()
    return answer, time.monotonic() - begin


def test_reads_and_writes_are_503_within_the_deadline_and_work_again_after_it(owner, frozen):
    assert owner.get("/customers").status == 200
    thaw = frozen()
    for ask in (lambda: owner.get("/customers"), lambda: owner.post("/orders", order("k1"), Idempotency_Key="k1")):
        answer, seconds = timed(ask)
        assert answer.status == 503 and int(answer.headers["Retry-After"]) > 0
        assert seconds < PATIENCE_S
    thaw()
    assert owner.get("/customers").status == 200
    assert owner.post("/orders", order("k1"), Idempotency_Key="k1").status == 201
    assert [item["note"] for item in owner.list(f"/orders?date={day(1)}")] == ["k1"]


def test_many_at_once_are_all_answered_and_the_page_is_served_meanwhile(owner, frozen):
    thaw = frozen()
    results = []
    threads = [threading.Thread(target=lambda: results.append(timed(lambda: owner.get("/customers")))) for _ in range(8)]
    for thread in threads:
        thread.start()
    page, seconds = timed(lambda: owner.raw("GET", "/"))
    assert page.status == 200 and seconds < 1, "no handler blocks the thread that takes requests"
    for thread in threads:
        thread.join()
    assert {answer.status for answer, _ in results} == {503}
    assert max(seconds for _, seconds in results) < 8 / 2 * DEADLINE_MS / 1000 + 2, "two readers, eight requests"
    thaw()
    assert owner.get("/customers").status == 200


def test_orders_over_a_frozen_moment_are_stored_exactly_once(owner, frozen):
    with Tills(owner, day(2)) as tills:
        for _ in range(2):
            time.sleep(0.3)
            thaw = frozen()
            time.sleep(DEADLINE_MS / 1000 + 0.7)
            thaw()
        time.sleep(0.3)
    assert tills.statuses == {201, 503}
    tills.check()


def test_a_server_can_be_stopped_while_the_database_is_frozen(server, owner, frozen):
    thaw = frozen()
    asking = threading.Thread(target=lambda: owner.get("/customers"))
    asking.start()
    time.sleep(0.2)
    _, seconds = timed(lambda: server.process.send_signal(signal.SIGTERM) or server.process.wait(20))
    assert server.process.returncode == 0
    assert seconds < PATIENCE_S + 1
    asking.join()
    thaw()
    server.start()
