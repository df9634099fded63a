"""static/openapi.yaml is what the server does: the same routes and roles, and every operation
answers in the form that it promises (which the harness holds every answer of every test to)."""

import re

import jsonschema

import contract
from bakehouse import ALL, TODAY, day, open_bakehouse
from harness import Client, enter, place
from pricework import AT_PRICE, MONEY


def refs(node):
    if isinstance(node, dict):
        if isinstance(node.get("$ref"), str):
            yield node["$ref"]
        for value in node.values():
            yield from refs(value)
    elif isinstance(node, list):
        for value in node:
            yield from refs(value)


def test_the_document_holds_together():
    for ref in refs(contract.document()):
        contract.resolve({"$ref": ref})
    for name, schema in contract.document()["components"]["schemas"].items():
        jsonschema.Draft202012Validator.check_schema(schema)
    ids = [operation["operationId"] for operation in contract.operations().values()]
    assert len(ids) == len(set(ids))


def test_every_parameter_of_a_path_is_described():
    for path, item in contract.document()["paths"].items():
        described = {contract.resolve(parameter)["name"] for parameter in item.get("parameters", [])}
        assert described == set(re.findall(r"\{(\w+)\}", path)), path


def test_the_routes_and_roles_are_those_of_the_server(owner):
    served = {(item["method"], item["path"]): item["role"] for item in owner.get("")["items"]}
    described = {where: operation["x-role"] for where, operation in contract.operations().items()}
    assert described == served


def test_every_operation_answers_as_described(owner, baker, server):
    """One walk through all of it; asking twice and deleting what was made."""
    contract.seen.clear()
    open_bakehouse(owner)
    for path, body in ALL.items():
        assert owner.put(path, body).status == 200 and owner.get(path).status == 200
        assert owner.get(path, If_None_Match=owner.get(path).etag).status == 304
    order = place(owner, "cafe", day(1), bun=50, country_loaf=20, baguette=30, seeded_loaf=4)
    owner.put(order.location, {"customer": "shop", "date": day(1), "note": "Back door", "lines": [
        {"product": code, "pieces": 20} for code in ("bun", "country-loaf", "baguette", "seeded-loaf")]})
    for path in ("", "/sessions/current", "/ingredients", "/ingredients/salt/prices", "/suppliers", "/starters", "/formulas",
                 "/formulas/country/revisions", "/products", "/products/bun/revisions", "/customers", "/orders", order.location,
                 f"/orders?date={day(1)}&customer=shop", f"/days/{day(1)}/production", f"/days/{day(1)}/needs",
                 f"/days/{day(1)}/cost", f"/days/{TODAY}/production", "/days/next", f"/mixing-lists/{day(0)}"):
        assert owner.get(path).status == 200, path
    owner.post("/formulas/preview", {**ALL["/formulas/country"], "code": "trial"})
    printed = baker.post(f"/mixing-lists/{day(0)}/prints", {})
    for path in (printed.location, f"/mixing-lists/{day(0)}/prints", f"/mixing-lists/{day(0)}"):
        assert baker.get(path).status == 200
    walk_by_the_clock(owner, baker)
    walk_through_prices(owner)
    walk_through_ordering(baker)
    walk_through_the_store(owner)
    for path in ("/starters/spare",):  # of which nothing is logged
        assert (owner.put(path, ALL["/starters/levain"]).status, owner.delete(path).status) == (201, 204)
    walk_through_access(owner, Client(server))
    owner.delete(order.location)
    for path in reversed(ALL):
        if path != "/bakery":
            # What has a log stays, and what a starter that stays is made of.
            assert owner.delete(path).status == (409 if path in LOGGED else 204), path
    answered = {operation for operation, status in contract.seen if status < 300}
    assert {operation["operationId"] for operation in contract.operations().values()} - answered == set()


LOGGED = {"/starters/levain", "/ingredients/bread-flour", "/ingredients/rye-flour", "/ingredients/water"}


def walk_by_the_clock(owner, baker):
    """At work, asleep, fed and reversed; and all that follows from the hour."""
    begun = baker.post("/starters/levain/log", {"kind": "begun", "g": 1000})
    for entry in ({"kind": "fed", "seed_g": 500, "flour_g": 500, "water_g": 500}, {"kind": "taken", "g": 100}, {"kind": "discarded", "g": 5},
                  {"kind": "weighed", "g": 1400}, {"kind": "ripe"}, {"kind": "chilled"}, {"kind": "woken"}, {"kind": "reversed", "reverses": 3}):
        assert baker.post("/starters/levain/log", entry).status == 201, entry
    assert baker.post("/dough-temperatures", {"formula": "country", "dough_c": 26, "water_c": 18, "flour_c": 21, "room_c": 23}).status == 201
    for path, body in ((f"/mixing-lists/{day(0)}/temperatures", {"room_c": 23}), (f"/days/{day(1)}/moves", {"moves": []})):
        assert (owner.put(path, body).status, owner.put(path, body).status) == (201, 200), path
    for path in (begun.location, "/starters/levain/log", "/starters/levain/plan", "/starters/levain/raising", "/starters/levain/ripening",
                 f"/mixing-lists/{day(0)}/temperatures", "/dough-temperatures", "/dough-temperatures?mixer=spiral&formula=country",
                 f"/days/{day(1)}/timetable", f"/days/{day(1)}/moves", f"/days/{day(1)}/last-orders", f"/working-days/{day(0)}/run-sheet"):
        answer = baker.get(path)
        assert answer.status == 200, path
        if "plan" not in path and "last-orders" not in path and "raising" not in path:  # which tell what time it is
            assert baker.get(path, If_None_Match=answer.etag).status == 304, path
    for path, body in (("/water-temperature", {"dough_f": 75, "flour_f": 65, "room_f": 65, "friction_f": 8}),
                       (f"/days/{day(1)}/offers", {"product": "bun", "pieces": 1}), (f"/days/{day(1)}/timetable", {"moves": []})):
        assert baker.post(path, body).status == 200, path


def walk_through_prices(owner):
    """Everything entered, asked for and deleted again."""
    enter(owner, {"/bakery": AT_PRICE})
    for path, body in MONEY.items():
        assert (owner.put(path, body).status, owner.put(path, body).status) == (201, 200), path
    for path in ("/rates", "/rates/2020-01-01", "/price-lists", "/price-lists/trade", "/price-lists/counter/prices", "/products/bun/pricing",
                 "/price-lists/counter/prices/bun/2020-01-01", f"/products/bun/cost?date={day(1)}", "/products/bun/cost", "/products/country-loaf/cost?why=1",
                 "/products/bun/price", "/products/bun/price?price=2&pieces=20&list=trade", "/products/bun/cost-history?from=2019-12-31", "/margins", "/stock-values",
                 f"/margins?date={day(1)}", f"/days/{day(1)}/needs?why=water"):
        answer = owner.get(path)
        assert answer.status == 200, path
        assert owner.get(path, If_None_Match=answer.etag).status == 304, path
    for path, body in (("/prices/preview", {"cost_each": "1", "price": "2"}), ("/what-if", {"changes": [{"ingredient": "water", "pct": 10}]}),
                       ("/what-if/limit", {"product": "bun", "ingredient": "milk", "margin_pct": 0})):
        assert owner.post(path, body).status == 200, path
    for path in reversed(MONEY):
        assert path.endswith("/pricing") or owner.delete(path).status == 204, path


def test_the_examples_fit_their_schemas():
    shown = {name: schema.get("examples", []) for name, schema in contract.document()["components"]["schemas"].items()}
    assert sum(map(len, shown.values())) >= 10
    for name, examples in shown.items():
        for example in examples:
            assert not contract.faults(name, example), name


def walk_through_ordering(baker):
    enter(baker, {"/suppliers/weir": {"name": "Weir Mill"}, "/ingredients/semolina": {"name": "Semolina", "kind": "flour", "unit": "g"}})
    path = "/ingredients/semolina/supply"
    assert baker.get(path).status == 200
    assert [baker.put(path, {"supplier": "weir", "pack_g": 5000}).status for _ in range(2)] == [201, 200] and baker.delete(path).status == 204
    assert baker.get("/order-proposals").status == 200
    placed = baker.post("/purchase-orders", {"supplier": "weir", "lines": [{"ingredient": "semolina", "g": 5000}]})
    assert placed.status == 201 and baker.get("/purchase-orders").status == baker.get(placed.location).status == 200
    assert baker.put(placed.location, {"closed": True}).status == 200


def walk_through_the_store(owner):
    """Of things of its own, which stay."""
    tonight = owner.get("/sessions/current")["today"]
    enter(owner, {"/suppliers/weir": {"name": "Weir Mill"}, "/ingredients/spelt": {"name": "Spelt", "kind": "flour", "unit": "g"},
                  "/formulas/spelt": {"name": "Spelt dough", "basis": "final", "lines": [{"ingredient": "spelt", "pct": 100}]}})
    came = owner.post("/goods-in", {"date": tonight, "supplier": "weir", "lines": [{"ingredient": "spelt", "g": 50000, "pack_g": 25000}]})
    lot = came["lines"][0]["lot"]
    used = owner.post("/movements", {"kind": "used", "ingredient": "spelt", "g": 5})
    mixed = owner.post(f"/mixing-lists/{tonight}/batches", {"formula": "spelt", "batch": 1, "lines": [{"ingredient": "spelt", "g": 500, "lot": lot}]})
    counted = owner.post("/counts", {"lines": [{"ingredient": "spelt", "lot": lot, "packs": 1, "g": 24000}]})
    assert {answer.status for answer in (came, used, mixed, counted)} == {201}
    for path in (came.location, used.location, mixed.location, counted.location, f"/lots/{lot}", "/goods-in", "/lots", "/movements", "/counts", "/count-sheet",
                 f"/mixing-lists/{tonight}/batches", f"/lots/{lot}/trace", f"/days/{tonight}/trace", "/stock", "/stock/spelt", f"/stock-use?from={tonight}"):
        answer = owner.get(path)
        assert answer.status == 200, path
        assert owner.get(path, If_None_Match=answer.etag).status == 304, path
    assert owner.put(f"/lots/{lot}", {"lot_mark": "S"}).status == owner.put(f"/lots/{lot}/price", {"price": "45"}).status == 200


def walk_through_access(owner, visitor):
    owner.put("/people/anna", {"role": "baker", "password": "a long enough password"})
    assert owner.get("/people").status == owner.get("/people/anna").status == 200
    signed = visitor.post("/sessions", {"name": "anna", "password": "a long enough password"})
    cookie = signed.headers["Set-Cookie"].split(";")[0]
    assert cookie.split("=")[0] == contract.document()["components"]["securitySchemes"]["session"]["name"]
    visitor.delete("/sessions/current", Cookie=cookie)
    owner.delete("/people/anna")
    owner.post("/tokens", {"name": "till", "role": "counter"})
    assert owner.get("/tokens").status == 200
    owner.delete("/tokens/till")
