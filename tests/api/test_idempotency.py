"""Idempotency-Key: what is sent twice happens once."""

import threading

import pytest

from bakehouse import day, open_bakehouse
from harness import place


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)


def order(date, pieces=5, **more):
    return {"customer": "cafe", "date": date, "lines": [{"product": "bun", "pieces": pieces}], **more}


def test_a_replay_repeats_status_location_and_body(counter):
    first = counter.post("/orders", order(day(1)), Idempotency_Key="k1")
    again = counter.post("/orders", order(day(1)), Idempotency_Key="k1")
    assert first.status == 201
    assert (again.status, again.location, again.text) == (201, first.location, first.text)
    assert len(counter.list(f"/orders?date={day(1)}")) == 1


def test_a_replay_repeats_the_answer_even_when_the_order_was_changed_since(counter):
    first = counter.post("/orders", order(day(2)), Idempotency_Key="k2")
    counter.put(first.location, order(day(2), 9))
    assert counter.post("/orders", order(day(2)), Idempotency_Key="k2").text == first.text
    counter.delete(first.location)
    assert counter.post("/orders", order(day(2)), Idempotency_Key="k2").text == first.text
    assert counter.list(f"/orders?date={day(2)}") == []


def test_the_same_key_with_another_body_is_422(counter):
    assert counter.post("/orders", order(day(3)), Idempotency_Key="k3").status == 201
    assert counter.post("/orders", order(day(3), 6), Idempotency_Key="k3").status == 422
    assert len(counter.list(f"/orders?date={day(3)}")) == 1


def test_the_same_key_for_another_resource_is_422(owner):
    assert owner.post("/orders", order(day(4)), Idempotency_Key="k4").status == 201
    assert owner.post("/tokens", {"name": "till", "role": "counter"}, Idempotency_Key="k4").status == 422
    assert owner.post(f"/mixing-lists/{day(4)}/prints", order(day(4)), Idempotency_Key="k4").status == 422


def test_a_refused_request_does_not_use_its_key_up(counter):
    assert counter.post("/orders", order(day(5), 0), Idempotency_Key="k5").status == 422
    assert counter.post("/orders", order(day(5)), Idempotency_Key="k5").status == 201


def test_another_key_is_another_order(counter):
    for key in ("k6", "k7"):
        counter.post("/orders", order(day(6)), Idempotency_Key=key)
    assert len(counter.list(f"/orders?date={day(6)}")) == 2
    product, = counter.get(f"/days/{day(6)}/production")["products"]
    assert product["ordered"] == 10


def test_a_key_may_be_quoted_and_have_255_characters(counter):
    for key in ('"quoted"', "k" * 255, "!~"):
        assert counter.post("/orders", order(day(7)), Idempotency_Key=key).status == 201


def test_many_at_once_with_one_key_are_one_order(counter):
    answers = []
    gate = threading.Barrier(8)

    def send():
        gate.wait()
        answers.append(counter.post("/orders", order(day(8)), Idempotency_Key="k8"))

    threads = [threading.Thread(target=send) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {(answer.status, answer.location, answer.text) for answer in answers} == \
        {(201, answers[0].location, answers[0].text)}
    assert len(counter.list(f"/orders?date={day(8)}")) == 1


def test_a_new_token_is_shown_once(owner, ask, server):
    from harness import Client
    first = owner.post("/tokens", {"name": "oven", "role": "baker"}, Idempotency_Key="k9")
    again = owner.post("/tokens", {"name": "oven", "role": "baker"}, Idempotency_Key="k9")
    assert (first.status, again.status) == (201, 201)
    assert again["token"] is None
    assert Client(server, first["token"]).get("/sessions/current")["role"] == "baker"


def test_a_print_is_made_once(baker):
    place(baker, "cafe", day(10), bun=5)
    first = baker.post(f"/mixing-lists/{day(9)}/prints", {}, Idempotency_Key="k10")
    again = baker.post(f"/mixing-lists/{day(9)}/prints", {}, Idempotency_Key="k10")
    assert (again.status, again.location, again.text) == (201, first.location, first.text)
    assert len(baker.list(f"/mixing-lists/{day(9)}/prints")) == 1


def test_what_stores_nothing_needs_no_key(baker):
    body = {"code": "trial", "name": "Trial", "basis": "final", "lines": [{"ingredient": "bread-flour", "pct": 100}]}
    assert baker.post("/formulas/preview", body).status == 200
    assert baker.get("/formulas/trial").status == 404
