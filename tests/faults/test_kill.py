"""Power cuts: the server or the database is killed at random moments while orders come in."""

import os
import random
import signal
import subprocess
import time

import pytest

from bakehouse import day
from harness import psql
from tills import Tills

SEED = 20270328


def test_killing_the_server_loses_no_acknowledged_order(server, owner):
    rng = random.Random(SEED)
    with Tills(owner, day(1)) as tills:
        for _ in range(8):
            time.sleep(rng.uniform(0.05, 0.5))
            server.kill()
            server.start()
        time.sleep(0.3)
    assert tills.retries > 0, "some request was under way"
    tills.check()


def test_stopping_the_server_finishes_what_is_under_way(server, owner):
    """SIGTERM ends it cleanly (restart() insists on that) even when it is busy."""
    with Tills(owner, day(2)) as tills:
        for _ in range(4):
            time.sleep(0.2)
            server.restart()
        time.sleep(0.2)
    tills.check()


def test_killing_a_connection_of_the_database_is_hardly_noticed(cluster, owner):
    """PostgreSQL restarts all of its connections when one is killed."""
    rng = random.Random(SEED)
    with Tills(owner, day(3)) as tills:
        for _ in range(3):
            time.sleep(rng.uniform(0.2, 0.5))
            backends = patiently(cluster, "SELECT pid FROM pg_stat_activity WHERE datname = 'bakery'").split()
            os.kill(int(rng.choice(backends)), signal.SIGKILL)
        time.sleep(0.5)
    assert tills.statuses <= {201, 503}
    tills.check()


def test_ending_every_connection_from_outside_is_hardly_noticed(cluster, owner):
    with Tills(owner, day(4)) as tills:
        for _ in range(3):
            time.sleep(0.3)
            psql(cluster.conninfo, "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'bakery'")
        time.sleep(0.3)
    assert tills.statuses <= {201, 503}
    tills.check()


def test_killing_the_database_loses_no_acknowledged_order(cluster, owner):
    rng = random.Random(SEED)
    with Tills(owner, day(5)) as tills:
        for _ in range(3):
            time.sleep(rng.uniform(0.2, 0.5))
            cluster.signal(signal.SIGKILL)
            time.sleep(0.2)
            cluster.start()
        time.sleep(0.5)
    assert tills.statuses == {201, 503}
    tills.check()


@pytest.fixture
def database_down(cluster):
    cluster.signal(signal.SIGKILL)
    yield
    cluster.start()


def test_while_the_database_is_down_everything_of_the_api_is_503(owner, database_down):
    for path in ("/orders", f"/days/{day(5)}/production"):
        answer = owner.get(path)
        assert answer.status == 503 and int(answer.headers["Retry-After"]) > 0
    assert owner.raw("GET", "/").status == 200, "the page itself needs no database"


def test_when_the_database_is_back_so_are_the_answers(owner):
    assert owner.get("/orders").status == 200


def patiently(cluster, sql):
    """What the database says, however long it is busy with coming back."""
    for _ in range(200):
        done = subprocess.run(["psql", "-X", "-q", "-A", "-t", "-d", cluster.conninfo, "-c", sql],
                              capture_output=True, text=True)
        if done.returncode == 0 and done.stdout.strip():
            return done.stdout
        time.sleep(0.05)
    raise AssertionError("PostgreSQL does not come back: " + done.stderr)
