"""The command line: what it answers, what it refuses, and the demo bakery."""

import subprocess

import pytest

import harness
from harness import Client, Server, program


@pytest.fixture
def conninfo(databases):
    return databases.fresh()


def run(conninfo, *words, stdin="", **more):
    return subprocess.run([harness.binary(), *words], env=harness.environment(conninfo, **more), input=stdin,
                          capture_output=True, text=True, timeout=120)


def test_help_and_version(conninfo):
    assert "migrate" in program(conninfo, "--help")
    assert program(conninfo, "--version").startswith("morrowloaf ")


@pytest.mark.parametrize("words", [[], ["bake"], ["serve", "now"], ["migrate", "up"], ["demo", "--force"], ["token"],
                                   ["token", "add"], ["token", "add", "x"], ["token", "add", "x", "--role"],
                                   ["token", "add", "x", "--role", "king"], ["token", "add", "x", "y", "--role", "owner"],
                                   ["user", "add", "a/b", "--role", "owner"], ["user", "add", "--yes", "--role", "owner"],
                                   ["user", "remove", "x"]])
def test_wrong_use_is_code_2_and_says_how(conninfo, words):
    done = run(conninfo, *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert "morrowloaf" in done.stderr


@pytest.mark.parametrize("name,value", [("MORROWLOAF_LISTEN", "8480"), ("MORROWLOAF_READERS", "0"),
                                        ("MORROWLOAF_BAKERY", "first"), ("MORROWLOAF_DB", "")])
def test_wrong_settings_are_refused_by_name(conninfo, name, value):
    done = run(conninfo, "serve", **{name: value})
    assert done.returncode == 2 and name in done.stderr


def test_a_token_stands_alone_on_the_last_line_and_its_name_is_taken(conninfo):
    token = program(conninfo, "token", "add", "till", "--role=counter").splitlines()[-1]
    again = run(conninfo, "token", "add", "till", "--role", "counter")
    assert (again.returncode, again.stdout) == (1, "") and "another token" in again.stderr
    server = Server(conninfo)
    assert Client(server, token).get("/sessions/current")["role"] == "counter"
    server.stop()


@pytest.mark.parametrize("password,fault", [("", "standard input"), ("short\n", "at least 10"), ("ä" * 9 + "\n", "at least 10"),
                                            ("x" * 201 + "\n", "at most 200"), ("x" * 5000, "at most 200")])
def test_passwords_that_will_not_do(conninfo, password, fault):
    done = run(conninfo, "user", "add", "mara", "--role", "baker", stdin=password)
    assert done.returncode == 1 and fault in done.stderr
    assert program(conninfo, "user", "list") == ""


@pytest.mark.parametrize("password", ["ten letter", "ü" * 200, 'quotes " and \\ backslashes'])
def test_people_sign_in_with_the_password_they_gave(conninfo, password):
    assert run(conninfo, "user", "add", "mara", "--role", "baker", stdin=password + "\nanother line\n").returncode == 0
    assert program(conninfo, "user", "list") == "mara baker\n"
    server = Server(conninfo)
    assert Client(server).post("/sessions", {"name": "mara", "password": password}).status == 201
    server.stop()


def test_the_last_owner_stays_one(conninfo):
    run(conninfo, "user", "add", "mara", "--role", "owner", stdin="a long enough word")
    done = run(conninfo, "user", "add", "mara", "--role", "baker", stdin="a long enough word")
    assert done.returncode == 1 and "owner" in done.stderr


def test_the_demo_is_whole_and_can_be_broken_off(conninfo):
    program(conninfo, "demo")
    token = program(conninfo, "token", "add", "any", "--role", "owner").splitlines()[-1]
    server = Server(conninfo)
    client = Client(server, token)
    orders = client.list("/orders?limit=1000")
    assert len(orders) > 150 and len(client.list("/products")) >= 15 and len(client.list("/customers")) >= 25
    day = client.get("/days/next")["date"]
    assert client.get(f"/days/{day}/cost")["missing"] == []
    mixes = client.get(f"/mixing-lists/{client.get('/days/next')['working_day']}")["mixes"]
    assert mixes and not any(mix["under_minimum"] for mix in mixes)

    # As if it had been killed before its last request: the next time it is completed, and nothing comes twice.
    assert client.delete("/ingredients/pot/prices/2024-01-08").status == 204
    program(conninfo, "demo")
    assert client.get("/ingredients/pot/prices/2024-01-08").status == 200
    assert client.list("/orders?limit=1000") == orders

    # Once whole it leaves alone what was changed since.
    assert client.put("/customers/rowing-club", {"name": "Renamed"}).status == 200
    program(conninfo, "demo")
    assert client.get("/customers/rowing-club")["name"] == "Renamed"
    server.stop()


def test_the_demo_is_not_for_a_bakery_in_use(conninfo):
    token = program(conninfo, "token", "add", "any", "--role", "owner").splitlines()[-1]
    server = Server(conninfo)
    client = Client(server, token)
    assert client.put("/bakery", {"name": "Mine", "currency": "EUR", "time_zone": "Europe/Berlin"}).status == 201
    done = run(conninfo, "demo")
    assert done.returncode == 1 and "settings already" in done.stderr
    assert client.list("/ingredients") == [] and client.get("/bakery")["name"] == "Mine"
    server.stop()
