"""Two servers on one database are of one mind, and a restart between any two requests loses nothing."""


import pytest

from bakehouse import ALL, FORMULAS, day, open_bakehouse
from harness import Client, Server, at_once, everything, place


@pytest.fixture(scope="module")
def pair(server, databases):
    """The owner at each of two servers."""
    other = Server(server.conninfo)
    yield Client(server, databases.tokens["owner"]), Client(other, databases.tokens["owner"])
    other.stop()


@pytest.fixture(scope="module", autouse=True)
def bakehouse(pair):
    open_bakehouse(pair[0])


SEEN = ["/formulas/country", f"/days/{day(1)}/production", f"/days/{day(1)}/needs", f"/days/{day(1)}/cost",
        f"/mixing-lists/{day(0)}", "/ingredients/salt/prices", "/customers", "/bakery", f"/orders?date={day(1)}"]


def test_what_one_is_told_the_other_knows_at_once(pair):
    one, other = pair
    changes = [lambda: place(one, "cafe", day(1), bun=20, country_loaf=5),
               lambda: one.put("/formulas/country", {**FORMULAS["/formulas/country"], "handling_loss_pct": 4}),
               lambda: other.put("/ingredients/salt/prices/2026-01-01", {"pack_g": 1000, "price": "7"}),
               lambda: other.put("/bakery", {**ALL["/bakery"], "ready_at": "08:00"}),
               lambda: place(other, "shop", day(1), baguette=9),
               lambda: one.put("/starters/levain", {**ALL["/starters/levain"], "keep_g": 750}),
               lambda: one.put("/customers/cafe", {"name": "Café", "ready_at": "04:00"}),
               lambda: one.put("/ingredients/yeast", {**ALL["/ingredients/yeast"], "scale_g": 1})]
    for change in changes:
        for path in SEEN:  # so that both have it in memory, if they keep anything
            assert one.get(path).text == other.get(path).text
        change()
        for path in SEEN:
            assert (one.get(path).text, one.get(path).etag) == (other.get(path).text, other.get(path).etag), path


def test_an_etag_of_one_holds_at_the_other(pair):
    one, other = pair
    etag = one.get("/customers/shop").etag
    assert other.get("/customers/shop", If_None_Match=etag).status == 304
    assert other.put("/customers/shop", {"name": "Shop"}, If_Match=etag).status == 200
    assert one.put("/customers/shop", {"name": "Shop!"}, If_Match=etag).status == 412


def test_a_session_of_one_holds_at_the_other(pair):
    one, other = pair
    one.put("/people/anna", {"role": "baker", "password": "a long enough password"})
    signed = Client(one.server).post("/sessions", {"name": "anna", "password": "a long enough password"})
    cookie = {"Cookie": signed.headers["Set-Cookie"].split(";")[0]}
    assert Client(other.server).get("/sessions/current", **cookie)["name"] == "anna"
    assert Client(other.server).delete("/sessions/current", **cookie).status == 204
    assert Client(one.server).get("/sessions/current", **cookie).status == 401


def test_one_key_at_both_at_once_is_one_order(pair):
    body = {"customer": "cafe", "date": day(3), "lines": [{"product": "bun", "pieces": 5}]}
    for n in range(10):
        answers = at_once([lambda client=client: client.post("/orders", body, Idempotency_Key=f"both-{n}")
                            for client in pair * 2])
        assert {(answer.status, answer.text) for answer in answers} == {(201, answers[0].text)}
    assert len(pair[0].list(f"/orders?date={day(3)}")) == 10


def test_of_two_who_replace_the_same_one_wins(pair):
    for n in range(10):
        etag = pair[0].get("/customers/shop").etag
        answers = at_once([lambda client=client, who=who: client.put("/customers/shop", {"name": f"{n} by {who}"}, If_Match=etag)
                            for who, client in enumerate(pair)])
        assert sorted(answer.status for answer in answers) == [200, 412]
        winner = [answer.status for answer in answers].index(200)
        assert pair[0].get("/customers/shop")["name"] == f"{n} by {winner}"


def test_what_is_used_at_one_is_not_deleted_at_the_other(pair):
    """However close the two come: either the order finds no customer, or the customer stays."""
    for n in range(10):
        pair[0].put(f"/customers/c{n}", {"name": "Passing"})
        order = {"customer": f"c{n}", "date": day(4), "lines": [{"product": "bun", "pieces": 5}]}
        placed, deleted = at_once([lambda: pair[0].post("/orders", order), lambda: pair[1].delete(f"/customers/c{n}")])
        assert (placed.status, deleted.status) in ((201, 409), (422, 204)), (placed, deleted)


def test_two_changes_that_are_sound_alone_do_not_make_a_circle_together(pair):
    one, other = pair
    plain = {"name": "Half", "basis": "final", "lines": [{"ingredient": "bread-flour", "pct": 100}]}
    for _ in range(10):
        for code in ("left", "right"):
            one.put(f"/formulas/{code}", plain)
        with_part = [{**plain, "lines": plain["lines"] + [{"formula": code, "pct": 10}]} for code in ("right", "left")]
        answers = at_once([lambda: one.put("/formulas/left", with_part[0]), lambda: other.put("/formulas/right", with_part[1])])
        assert sorted(answer.status for answer in answers) == [200, 422], answers
        assert one.get("/formulas/left").status == one.get("/formulas/right").status == 200


def test_prints_made_at_both_at_once_have_their_own_numbers(pair):
    place(pair[0], "cafe", day(31), bun=5)
    answers = at_once([lambda client=client: client.post(f"/mixing-lists/{day(30)}/prints") for client in pair * 3])
    assert sorted(answer["number"] for answer in answers) == [1, 2, 3, 4, 5, 6]
    assert {answer["number"]: answer["replaces"] for answer in answers} == {1: None, 2: 1, 3: 2, 4: 3, 5: 4, 6: 5}


def scenario(client):
    """A day's work, one request a step."""
    yield from (lambda path=path, body=body: client.put(path, body) for path, body in ALL.items())
    order = {"customer": "cafe", "date": day(1), "lines": [{"product": "bun", "pieces": 50}, {"product": "country-loaf", "pieces": 8}]}
    yield lambda: client.post("/orders", order, Idempotency_Key="order-1")
    yield lambda: client.post("/orders", order, Idempotency_Key="order-1")
    yield lambda: client.post("/orders", {**order, "customer": "shop"}, Idempotency_Key="order-2")
    yield lambda: client.post(f"/mixing-lists/{day(0)}/prints", {}, Idempotency_Key="print-1")
    yield lambda: client.put("/formulas/bun", {**FORMULAS["/formulas/bun"], "dough_c": 26})
    yield lambda: client.delete("/products/baguette")


def told(client):
    """All that can be asked, without what differs from run to run."""
    dump = everything(client)
    for order in dump["orders"]:
        del order["placed_at"]
    for path in (f"/days/{day(1)}/production", f"/days/{day(1)}/needs", f"/days/{day(1)}/cost"):
        dump[path] = client.get(path).body
    dump["print"] = client.get(f"/mixing-lists/{day(0)}/prints/1")["mixes"]
    dump["revisions"] = [(entry["changed"], entry["by"]) for entry in client.get("/formulas/bun/revisions")["items"]]
    return dump


def test_a_restart_between_any_two_requests_loses_nothing(databases):
    results = []
    for restarting in (False, True):
        server = Server(databases.fresh())
        client = Client(server, databases.tokens["owner"])
        statuses = []
        for step in scenario(client):
            statuses.append(step().status)
            if restarting:
                server.restart()
        results.append((statuses, told(client)))
        server.stop()
    assert results[0] == results[1]
