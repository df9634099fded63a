"""Good bodies with something put wrong, the same for the same seed: the server answers every one with
success or a problem of the client's, and never takes what the published schema refuses."""

import copy
import json
import os
import random
import time

import pytest

import contract
from bakehouse import ALL, day, open_bakehouse
from clockwork import AT_WORK, STARTER, now, text
from harness import enter, place
from pricework import AT_PRICE, COUNTRY, LOAF, MONEY
from storework import broken, on, received

SECONDS = int(os.environ.get("MORROWLOAF_FUZZ_SECONDS", "8"))
SEED = int(os.environ.get("MORROWLOAF_FUZZ_SEED", "20270328"))
EXPECTED = {200, 201, 400, 404, 409, 412, 422}

NASTY = [None, True, False, 0, -1, 1, 1.5, 1e-7, 1e300, -1e300, 2 ** 31, 2 ** 53, 2 ** 63 - 1, -2 ** 63, "", " ", "x", "0", "1e5",
         "NaN", "2027-02-30", "9999-12-31", "0001-01-01", "24:00", "23:59", "salt", "no-such-code", "é" * 200, "a" * 64, "\t", "\n",
         "\u202e", "\U0001f35e", "\u0001", "'; DROP TABLE customer_order; --", "%s%n", "../../etc/passwd", [], {}, [None], [[]], {"": 0},
         [0] * 101, {"code": "x"}, "18.40", "100", "100.0000", "99.9999", "1000000", "piece", "flour", "total", "final", "packaging"]


def nodes(value, path=()):
    """Every place in a body."""
    yield path
    children = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, child in children:
        yield from nodes(child, path + (key,))


def mutate(rng, body):
    """One to three things put wrong."""
    body = copy.deepcopy(body)
    for _ in range(rng.choice([1, 1, 1, 2, 3])):
        path = rng.choice(list(nodes(body)))
        if not path:
            continue
        parent = body
        for key in path[:-1]:
            parent = parent[key]
        change = rng.randrange(5)
        if change == 0 and isinstance(parent, dict):
            del parent[path[-1]]
        elif change == 1 and isinstance(parent, dict):
            parent[rng.choice(["colour", "Name", "pct", "g", "a/b", "", "ingredient"])] = copy.deepcopy(rng.choice(NASTY))
        elif change == 2 and isinstance(parent, list):
            parent.insert(path[-1], copy.deepcopy(rng.choice(parent)))
        else:
            parent[path[-1]] = copy.deepcopy(rng.choice(NASTY))
    return body


def without_nulls(value):
    """null is the same as absent, as the document says in words."""
    if isinstance(value, dict):
        return {key: without_nulls(child) for key, child in value.items() if child is not None}
    return [without_nulls(child) for child in value] if isinstance(value, list) else value


@pytest.fixture(scope="module")
def targets(owner):
    open_bakehouse(owner)
    order = place(owner, "cafe", day(1), bun=5, country_loaf=2)
    body = {member: order[member] for member in ("customer", "date", "lines")}
    bodies = [("PUT", path, value) for path, value in ALL.items()] + [("POST", "/orders", body), ("PUT", order.location[7:], body)] * 4
    bodies += [("POST", "/formulas/preview", {**value, "code": "trial"}) for path, value in ALL.items() if path.startswith("/formulas")]
    return bodies + by_the_clock(owner) + of_prices(owner) + of_the_store(owner)


def by_the_clock(owner):
    """Settings with ovens and shifts, a starter that ripens, a bake; its log, temperatures, moves and questions."""
    owner.post("/starters/levain/log", {"kind": "begun", "g": 1000000})
    task = owner.get(f"/days/{day(1)}/timetable")["tasks"][0]
    warm = {"dough_c": 26, "flour_c": 21, "room_c": 22.5}
    stages = [{"stage": "mix", "minutes": 15, "uses": "mixer", "hands": 1}, {"stage": "retard", "minutes": 600, "uses": "cold", "most_minutes": 900, "at": "4 °C"},
              {"stage": "bake", "minutes": 45, "uses": "oven"}]
    bake = {"per_place": 14, "steps": [{"c": 250, "minutes": 10, "steam": True}, {"c": 225.5, "minutes": 28}]}
    puts = [("/bakery", AT_WORK), ("/starters/levain", STARTER), ("/formulas/country", {**ALL["/formulas/country"], "stages": stages}),
            ("/products/bun", {**ALL["/products/bun"], "bake": bake}), (f"/mixing-lists/{day(0)}/temperatures", {"room_c": 23, "tap_c": "14.5"}),
            (f"/days/{day(1)}/moves", {"moves": [{"task": task["id"], "begins_at": task["begins_at"]}]})]
    posts = [("/starters/levain/log", {"kind": "taken", "g": "0.001", "at": text(now())}), ("/starters/levain/log", {"kind": "weighed", "g": 900000}),
             ("/starters/levain/log", {"kind": "fed", "seed_g": 200, "flour_g": 300, "water_g": 300, "c": 25}), ("/starters/levain/log", {"kind": "reversed", "reverses": 1}),
             ("/starters/levain/log", {"kind": "chilled", "c": 4, "note": "Holidays"}), ("/dough-temperatures", {**warm, "formula": "country", "water_c": 18, "mixer": "spiral"}),
             ("/water-temperature", {**warm, "friction_c": 8, "tap_c": 14, "water_g": 12000}), ("/water-temperature", {"dough_f": 75, "flour_f": 65, "room_f": 65, "friction_f": 8}),
             (f"/days/{day(1)}/offers", {"product": "bun", "pieces": 40}), (f"/days/{day(1)}/timetable", {"moves": [{"task": task["id"], "begins_at": task["begins_at"]}]})]
    return [("PUT", path, body) for path, body in puts * 2] + [("POST", path, body) for path, body in posts]


def of_prices(owner):
    """Powers, labour, rates, lists and what is asked of them."""
    enter(owner, MONEY)
    questions = [("/prices/preview", {"cost_each": "1.2345", "ingredients_each": "0.5", "tax_pct": 7, "target": {"margin_pct": 60}, "list": "counter", "step": "0.05"}),
                 ("/prices/preview", {"cost_each": "100", "price": "125", "with_tax": False, "step": "1", "ending": "0.95"}),
                 ("/what-if", {"date": day(1), "list": "trade", "changes": CHANGES}), ("/what-if", {"changes": CHANGES}),
                 ("/what-if/limit", {"product": "country-loaf", "ingredient": "bread-flour", "margin_pct": "33.3", "date": day(1)})]
    puts = [("/bakery", AT_PRICE), ("/formulas/country", COUNTRY), ("/products/country-loaf", LOAF), *MONEY.items(),
            ("/customers/cafe", {**ALL["/customers/cafe"], "price_list": "trade"})]
    return [("PUT", path, body) for path, body in puts] + [("POST", path, body) for path, body in questions * 3]


def of_the_store(owner):
    """Goods in, lots, movements, batches, feeds and counts; there is so much in store that all of them can go on."""
    lots = {code: received(owner, code, 10 ** 9, date=-5, best_before=on(40), lot_mark="L 1", price="500") for code in ("bread-flour", "rye-flour", "salt")}
    flour, mixing = lots["bread-flour"], f"/mixing-lists/{on(0)}/batches"
    line = {"ingredient": "bread-flour", "g": 250000, "price": "184.00", "pack_g": 25000, "lot_mark": "L27", "best_before": on(200), "place": "loft", "c": 18, "damage": "Torn"}
    used = {"kind": "used", "ingredient": "bread-flour", "g": "0.001", "date": on(-1), "lot": flour, "place": "store", "reason": "Spilled"}
    posts = [("/goods-in", {"date": on(-2), "supplier": "mill", "delivery_note": "D 1", "note": "Early", "lines": [line, {"ingredient": "bag", "pieces": 100}]}),
             ("/movements", used), ("/movements", {**used, "kind": "counted", "g": 999000000}), ("/movements", {"kind": "reversed", "reverses": flour, "reason": "Twice"}),
             ("/movements", {"kind": "moved", "ingredient": "bread-flour", "g": 5, "lot": flour, "place": "store", "to": "hall"}),
             (mixing, {"formula": "country", "batch": 1, "at": text(now()), "lines": [{"ingredient": "bread-flour", "g": 5, "lot": flour}, {"starter": "levain", "g": "0.001"},
                                                                                  {"formula": "poolish", "g": 7}]}),
             (mixing, {"formula": "country", "batch": 1000}),
             ("/starters/levain/log", {"kind": "fed", "flour_g": 3, "water_g": 3, "lots": [{"ingredient": "bread-flour", "lot": flour}]}),
             ("/counts", {"date": on(0), "note": "Month", "lines": [{"ingredient": "rye-flour", "lot": lots["rye-flour"], "place": "store", "packs": 30, "g": 12500},
                                                                   {"ingredient": "salt", "g": 640}]})]
    puts = [(f"/lots/{flour}", {"lot_mark": "L 2", "best_before": on(50), "held": False, "note": "Good"}), (f"/lots/{flour}/price", {"price": "18.40"})]
    return [("POST", path, body) for path, body in posts * 2] + [("PUT", path, body) for path, body in puts]


CHANGES = [{"ingredient": "bread-flour", "pct": 20}, {"ingredient": "salt", "price": "6"}, {"hand_hour": {"add": "1.20"}}, {"kwh": {"pct": "50"}}, {"overhead": {"value": "5000"}},
           {"product": "country-loaf", "dough_g": 900}, {"formula": "country", "hydration_pct": 76}, {"product": "bun", "spare_pct": 3}, {"target": {"markup_pct": 150}}]


def test_no_body_is_answered_with_anything_but_success_or_a_problem_of_its_own(owner, server, targets):
    rng = random.Random(SEED)
    until = time.monotonic() + SECONDS
    answered = {}
    while time.monotonic() < until:
        method, path, body = rng.choice(targets)
        sent = mutate(rng, body)
        answer = owner.ask(method, path, json.dumps(sent))
        note = f"{method} {path} {json.dumps(sent)[:2000]}\n{answer}"
        assert answer.status in EXPECTED, note
        answered[answer.status] = answered.get(answer.status, 0) + 1
        if answer.status < 300:
            schema = contract.body_schema(method, contract.template_of(method, "/api/v1" + path))
            assert not contract.faults(schema, without_nulls(sent)), f"taken against the schema {schema}: {note}"
            owner.ask(method, path, body)  # as it was
    assert broken(server.conninfo) == []
    assert answered.get(422, 0) > 50 and answered.get(200, 0) + answered.get(201, 0) > 5, answered


def test_bytes_put_wrong_are_400_or_422(owner, targets):
    """What no JSON library would send: bytes dropped, doubled and changed."""
    rng = random.Random(SEED)
    text = json.dumps(next(body for method, path, body in targets if path == "/orders")).encode()
    until = time.monotonic() + SECONDS / 4
    while time.monotonic() < until:
        sent = bytearray(text)
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(len(sent))
            sent[at:at + rng.choice([0, 1, 1, 5])] = rng.choice([b"", b"\0", b"\xff", b'"', b"}", b"[", b"\\u0000", b"9" * 20, b",", bytes([rng.randrange(256)])])
        answer = owner.post("/orders", bytes(sent))
        assert answer.status in (201, 400, 422), f"{bytes(sent)!r}\n{answer}"
        if answer.status == 201:
            owner.delete(answer.location)
