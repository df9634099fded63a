"""People, sessions and tokens."""

import pytest

from harness import Client, program, psql

PASSWORD = "a long enough password"


@pytest.fixture
def person(owner):
    """person(name, role): somebody who may sign in."""
    made = []

    def add(name, role):
        assert owner.put(f"/people/{name}", {"role": role, "password": PASSWORD}).status == 201
        made.append(name)

    yield add
    for name in made:
        owner.delete(f"/people/{name}")


@pytest.fixture
def visitor(server):
    return Client(server)


def sign_in(client, name, password=PASSWORD, **headers):
    answer = client.post("/sessions", {"name": name, "password": password}, **headers)
    if answer.status == 201:
        return answer, {"Cookie": answer.headers["Set-Cookie"].split(";")[0]}
    return answer, {}


def test_signing_in_gives_a_session(person, visitor):
    person("anna", "baker")
    answer, cookie = sign_in(visitor, "anna")
    assert (answer.status, answer.body) == (201, {"name": "anna", "role": "baker"})
    current = visitor.get("/sessions/current", **cookie)
    assert (current["name"], current["role"]) == ("anna", "baker")
    assert visitor.get("/formulas", **cookie).status == 200
    assert visitor.get("/people", **cookie).status == 403


def test_the_cookie_is_kept_from_scripts_and_other_sites(person, visitor):
    person("anna", "baker")
    attributes = sign_in(visitor, "anna")[0].headers["Set-Cookie"].lower()
    assert "httponly" in attributes and "path=/" in attributes
    assert "samesite=lax" in attributes or "samesite=strict" in attributes


@pytest.mark.parametrize("name, password", [("anna", "a wrong password"), ("nobody", PASSWORD), ("Anna", PASSWORD),
                                            ("anna", PASSWORD + " ")])
def test_a_wrong_name_or_password_is_401_and_does_not_say_which(person, visitor, name, password):
    person("anna", "baker")
    answer, _ = sign_in(visitor, name, password)
    assert answer.status == 401
    assert answer["detail"] == sign_in(visitor, "anna", "another wrong one")[0]["detail"]


def test_too_many_failures_are_429_even_with_the_right_password(person, visitor):
    person("ben", "counter")
    statuses = [sign_in(visitor, "ben", "wrong password %d" % n)[0].status for n in range(12)]
    assert statuses[0] == 401 and statuses[-1] == 429
    answer, _ = sign_in(visitor, "ben")
    assert answer.status == 429
    assert int(answer.headers["Retry-After"]) > 0


def test_signing_out_ends_the_session(person, visitor):
    person("anna", "baker")
    _, cookie = sign_in(visitor, "anna")
    answer = visitor.delete("/sessions/current", **cookie)
    assert answer.status == 204
    assert "max-age=0" in answer.headers["Set-Cookie"].lower() or "1970" in answer.headers["Set-Cookie"]
    assert visitor.get("/sessions/current", **cookie).status == 401


def test_whoever_may_no_longer_sign_in_is_out_at_once(owner, person, visitor):
    person("anna", "baker")
    _, cookie = sign_in(visitor, "anna")
    assert owner.delete("/people/anna").status == 204
    assert visitor.get("/sessions/current", **cookie).status == 401
    assert sign_in(visitor, "anna")[0].status == 401


def test_a_change_of_role_holds_at_once(owner, person, visitor):
    person("anna", "baker")
    _, cookie = sign_in(visitor, "anna")
    assert visitor.get("/formulas", **cookie).status == 200
    assert owner.put("/people/anna", {"role": "counter"}).status == 200
    assert visitor.get("/formulas", **cookie).status in (401, 403)


def test_the_only_owner_stays_an_owner(owner, person):
    """Somebody must be able to let others in."""
    person("olga", "owner")
    assert owner.put("/people/olga", {"role": "counter"}).status == 409
    assert owner.delete("/people/olga").status == 409
    person("otto", "owner")
    assert owner.put("/people/olga", {"role": "counter"}).status == 200


def test_a_new_password_replaces_the_old_one(owner, person, visitor):
    person("anna", "baker")
    assert owner.put("/people/anna", {"role": "baker", "password": "quite another one"}).status == 200
    assert sign_in(visitor, "anna")[0].status == 401
    assert sign_in(visitor, "anna", "quite another one")[0].status == 201


def test_a_password_is_shown_to_nobody(owner, person):
    person("anna", "baker")
    for path in ("/people/anna", "/people"):
        assert "password" not in owner.get(path).text and "argon2" not in owner.get(path).text


@pytest.mark.parametrize("method, path, body", [
    ("PUT", "/customers/new", {"name": "New"}), ("DELETE", "/customers/new", None), ("DELETE", "/sessions/current", None),
    ("POST", "/orders", {})])
def test_another_sites_page_changes_nothing_with_our_cookie(person, visitor, method, path, body):
    person("anna", "baker")
    _, cookie = sign_in(visitor, "anna")
    for origin in ("https://elsewhere.example", "null", f"https://127.0.0.1.elsewhere.example:{visitor.server.port}"):
        assert visitor.ask(method, path, body, Origin=origin, **cookie).status == 403
    assert visitor.get("/customers/new", **cookie).status == 404


def test_our_own_page_may_change_things_and_other_sites_may_look(person, visitor):
    person("anna", "baker")
    own = f"http://127.0.0.1:{visitor.server.port}"
    _, cookie = sign_in(visitor, "anna", Origin=own)
    assert visitor.put("/customers/new", {"name": "New"}, Origin=own, **cookie).status == 201
    assert visitor.get("/customers/new", Origin="https://elsewhere.example", **cookie).status == 200
    assert "Access-Control-Allow-Origin" not in visitor.get("/customers", Origin="https://elsewhere.example", **cookie).headers
    assert visitor.delete("/customers/new", Origin=own, **cookie).status == 204


def test_a_program_with_a_token_has_no_origin_to_mind(owner):
    assert owner.put("/customers/new", {"name": "New"}, Origin="https://elsewhere.example").status == 201
    assert owner.delete("/customers/new").status == 204


def test_a_session_tells_whose_bakery_it_is(owner, person):
    assert owner.get("/sessions/current").body == {"name": "t-owner", "role": "owner", "bakery": None, "currency": None,
                                                   "time_zone": None, "today": None, "working_day": None}


def test_tokens_are_added_listed_and_withdrawn(owner, server):
    token = owner.post("/tokens", {"name": "till", "role": "counter"})["token"]
    till = Client(server, token)
    assert till.get("/sessions/current")["role"] == "counter"
    assert {"t-owner", "t-baker", "t-counter", "till"} == {item["name"] for item in owner.list("/tokens")}
    assert token not in owner.get("/tokens").text
    assert owner.post("/tokens", {"name": "till", "role": "counter"}).status == 409
    assert owner.delete("/tokens/till").status == 204
    assert till.get("/sessions/current").status == 401
    assert owner.delete("/tokens/till").status == 404


def test_the_command_line_adds_tokens_and_people_while_it_serves(server, visitor):
    token = program(server.conninfo, "token", "add", "press", "--role", "baker").strip().splitlines()[-1]
    assert Client(server, token).get("/sessions/current")["role"] == "baker"
    program(server.conninfo, "token", "add", "press", "--role", "king", status=2)
    program(server.conninfo, "user", "add", "paula", "--role", "baker", typed=PASSWORD + "\n")
    assert sign_in(visitor, "paula")[0]["role"] == "baker"
    program(server.conninfo, "user", "add", "pip", "--role", "baker", typed="short\n", status=1)
    assert sign_in(visitor, "pip", "short")[0].status == 401


def test_no_secret_is_ever_logged(server, databases, person, visitor):
    person("anna", "baker")
    answer, cookie = sign_in(visitor, "anna")
    sign_in(visitor, "anna", "wrong but typed")
    said = server.words()
    for secret in [PASSWORD, "wrong but typed", cookie["Cookie"].split("=", 1)[1], *databases.tokens.values()]:
        assert secret not in said


def test_what_has_expired_is_cleared_away_when_somebody_signs_in(server, person, visitor):
    """Idempotency-Keys after 30 days, and sessions that have ended; what is younger stays."""
    person("anna", "baker")
    psql(server.conninfo, """
        SELECT set_config('morrowloaf.bakery_id', '1', false);
        INSERT INTO morrowloaf.idempotency (bakery_id, key, digest, created_at)
            VALUES (1, 'old', 'x', now() - interval '31 days'), (1, 'young', 'x', now() - interval '29 days');
        INSERT INTO morrowloaf.web_session (bakery_id, digest, person, expires_at)
            VALUES (1, 'ended', 'anna', now() - interval '1 second'), (1, 'open', 'anna', now() + interval '1 day')""")
    sign_in(visitor, "anna")
    kept = psql(server.conninfo, """
        SELECT key FROM morrowloaf.idempotency WHERE key IN ('old', 'young')
        UNION SELECT digest FROM morrowloaf.web_session WHERE digest IN ('ended', 'open') ORDER BY 1""")
    assert kept.split() == ["open", "young"]
