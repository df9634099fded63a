"""static/openapi.yaml is what the server does: the same routes and roles, and every operation
answers in the form that it promises (which the harness holds every answer of every test to)."""

import re

import jsonschema

import contract
from bakehouse import ALL, TODAY, day, open_bakehouse
from harness import Client, place


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
    walk_through_access(owner, Client(server))
    owner.delete(order.location)
    for path in reversed(ALL):
        if path != "/bakery":
            assert owner.delete(path).status == 204, path
    answered = {operation for operation, status in contract.seen if status < 300}
    assert {operation["operationId"] for operation in contract.operations().values()} - answered == set()


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
