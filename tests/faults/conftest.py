"""A PostgreSQL of its own for each module, which its tests may kill and freeze, with its usual
promises about durability; the server is killed and restarted on top of it."""

import os
import sys

import pytest

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "..", "api"))

import harness  # noqa: E402
from bakehouse import open_bakehouse  # noqa: E402
from tills import DEADLINE_MS  # noqa: E402


@pytest.fixture(scope="module")
def cluster():
    made = harness.Cluster()
    yield made
    made.signal(harness.signal.SIGCONT)
    made.stop()


@pytest.fixture(scope="module")
def bakery(cluster):
    """Conninfo of a database with a bakery in it, and its owner's token."""
    harness.psql(cluster.conninfo, "CREATE DATABASE bakery")
    conninfo = f"{cluster.conninfo} dbname=bakery"
    harness.program(conninfo, "migrate")
    token = harness.program(conninfo, "token", "add", "till", "--role", "owner").strip().splitlines()[-1]
    first = harness.Server(conninfo)
    open_bakehouse(harness.Client(first, token))
    first.stop()
    return conninfo, token


@pytest.fixture
def server(bakery):
    running = harness.Server(bakery[0], MORROWLOAF_DEADLINE_MS=str(DEADLINE_MS))
    yield running
    running.stop()


@pytest.fixture
def owner(server, bakery):
    return harness.Client(server, bakery[1])
