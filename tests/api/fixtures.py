"""One server and one empty, migrated database a module; for tests/api and tests/fuzz."""

import os

import pytest

import harness


@pytest.fixture(scope="session")
def databases():
    made = harness.Databases(os.environ.get("MORROWLOAF_TEST_CONNINFO"))
    yield made
    made.drop()


@pytest.fixture(scope="module")
def server(databases):
    running = harness.Server(databases.fresh())
    yield running
    running.stop()


@pytest.fixture(scope="module")
def ask(server, databases):
    """ask(role): a client with a token of that role; ask(None): one without."""
    clients = {role: harness.Client(server, token) for role, token in databases.tokens.items()}
    clients[None] = harness.Client(server)
    return clients.__getitem__


@pytest.fixture(scope="module")
def owner(ask):
    return ask("owner")


@pytest.fixture(scope="module")
def baker(ask):
    return ask("baker")


@pytest.fixture(scope="module")
def counter(ask):
    return ask("counter")
