"""ETag, If-Match and If-None-Match: nobody overwrites what they have not seen."""

import pytest

from bakehouse import ALL, day, open_bakehouse
from harness import place

PATHS = ["/bakery", "/ingredients/salt", "/ingredients/salt/prices/2020-01-01", "/suppliers/mill",
         "/starters/levain", "/formulas/country", "/products/bun", "/customers/cafe"]


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)
    place(owner, "cafe", day(1), bun=5)


@pytest.mark.parametrize("path", PATHS)
def test_put_answers_as_get_does(owner, path):
    put, got = owner.put(path, ALL[path]), owner.get(path)
    assert (put.status, put.text, put.etag) == (200, got.text, got.etag)


@pytest.mark.parametrize("path", PATHS)
def test_the_etag_guards_a_replace(owner, path):
    before = owner.get(path).etag
    changed = {**ALL[path], "price": "9.99"} if "prices" in path else {**ALL[path], "name": "Another name"}
    assert owner.put(path, changed, If_Match=before).status == 200
    now = owner.get(path).etag
    assert now != before
    assert owner.put(path, ALL[path], If_Match=before).status == 412, "somebody else was faster"
    assert owner.get(path).etag == now
    assert owner.put(path, ALL[path], If_Match="*").status == 200
    assert owner.put(path, ALL[path], If_Match='"nonsense"').status == 412


@pytest.mark.parametrize("path", PATHS)
def test_if_none_match_star_only_creates(owner, path):
    assert owner.put(path, ALL[path], If_None_Match="*").status == 412


def test_if_match_does_not_create(owner):
    for etag in ("*", '"1.00"'):
        assert owner.put("/customers/new", {"name": "New"}, If_Match=etag).status == 412
    assert owner.get("/customers/new").status == 404
    assert owner.put("/customers/new", {"name": "New"}, If_None_Match="*").status == 201
    assert owner.delete("/customers/new", If_Match='"1.00"').status == 412
    assert owner.delete("/customers/new", If_Match=owner.get("/customers/new").etag).status == 204


def test_the_precondition_is_told_before_the_faults(owner):
    assert owner.put("/customers/cafe", {"name": ""}, If_Match='"1.00"').status in (412, 422)
    assert owner.get("/customers/cafe")["name"] == ALL["/customers/cafe"]["name"]


@pytest.mark.parametrize("path", PATHS + ["", "/ingredients", "/orders", "/orders/1", "/formulas/country/revisions",
                                          f"/days/{day(1)}/production", f"/days/{day(1)}/needs", f"/days/{day(1)}/cost",
                                          f"/mixing-lists/{day(0)}", f"/mixing-lists/{day(0)}/prints", "/people", "/tokens"])
def test_a_get_of_what_one_has_is_304(owner, path):
    got = owner.get(path)
    again = owner.get(path, If_None_Match=got.etag)
    assert (again.status, again.text, again.etag) == (304, "", got.etag)
    assert owner.get(path, If_None_Match='"1.00", ' + got.etag).status == 304
    assert owner.get(path, If_None_Match="W/" + got.etag).status == 304
    assert owner.get(path, If_None_Match="*").status == 304
    assert owner.get(path, If_None_Match='"1.00"').status == 200


@pytest.mark.parametrize("path", [f"/days/{day(1)}/production", f"/days/{day(1)}/needs", f"/mixing-lists/{day(0)}",
                                  f"/orders?date={day(1)}"])
def test_an_order_changes_the_etag_of_what_follows_from_it(owner, path):
    before = owner.get(path).etag
    order = place(owner, "cafe", day(1), bun=1)
    assert owner.get(path, If_None_Match=before).status == 200
    assert owner.delete(order.location).status == 204
    assert owner.get(path).etag == before, "what is as it was has the same tag again"


def test_what_is_deleted_and_made_anew_has_another_etag(owner):
    first = owner.put("/customers/again", {"name": "Again"}).etag
    owner.delete("/customers/again")
    assert owner.put("/customers/again", {"name": "Again"}).etag != first
    assert owner.delete("/customers/again", If_Match=first).status == 412


def test_an_order_is_guarded_like_everything_else(counter):
    order = place(counter, "cafe", day(2), bun=5)
    body = {"customer": "cafe", "date": day(2), "lines": [{"product": "bun", "pieces": 6}]}
    assert counter.put(order.location, body, If_Match=order.etag).status == 200
    assert counter.put(order.location, body, If_Match=order.etag).status == 412
    assert counter.delete(order.location, If_Match=order.etag).status == 412
    assert counter.get(order.location)["lines"] == [{"product": "bun", "pieces": 6}]
    assert counter.delete(order.location, If_Match=counter.get(order.location).etag).status == 204
    assert counter.put(order.location, body).status == 404, "a PUT does not bring an order back"
