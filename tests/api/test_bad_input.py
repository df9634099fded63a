"""Bad input: each with its status and the JSON pointer of every fault, and nothing stored."""

import json

import pytest

from bakehouse import day, open_bakehouse
from harness import enter, everything, place

DAY = day(1)


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)
    enter(owner, {"/products/brick": {"name": "Brick", "parts": [{"formula": "bun", "g": 100000}]}})
    place(owner, "cafe", DAY, bun=12)


@pytest.fixture
def nothing_stored(owner):
    before = everything(owner)
    yield
    assert everything(owner) == before


pytestmark = pytest.mark.usefixtures("nothing_stored")


def order(**changes):
    body = {"customer": "cafe", "date": DAY, "lines": [{"product": "bun", "pieces": 5}]}
    return {**body, **changes}


def pieces(value):
    return order(lines=[{"product": "bun", "pieces": value}])


def formula(*lines, **changes):
    return {"name": "Trial", "basis": "final", "lines": list(lines), **changes}


def product(**changes):
    return {"name": "Trial", "parts": [{"formula": "bun", "g": 90}], **changes}


def starter(**changes):
    return {"name": "Trial", "hydration_pct": 100, "flours": [{"ingredient": "bread-flour", "pct": 100}],
            **changes}


def ingredient(**changes):
    return {"name": "Trial", "kind": "other", "unit": "g", **changes}


def bakery(**changes):
    return {"name": "Mill Lane", "currency": "EUR", "time_zone": "Europe/London",
            "mixers": [{"code": "spiral", "min_g": 0, "max_g": 60000},
                       {"code": "planetary", "min_g": 0, "max_g": 12000}], **changes}


FLOUR = {"ingredient": "bread-flour", "pct": 100}
WATER = {"ingredient": "water", "pct": 60}
ORDER_TEXT = json.dumps(order())


def described(cases):
    return [pytest.param(*case[1:], id=case[0]) for case in cases]


# --- what the JSON parser itself refuses ---

UNREADABLE = {
    "empty": b"", "not JSON": b"two rolls", "cut short": ORDER_TEXT[:-1].encode(),
    "something after it": ORDER_TEXT.encode() + b" x", "trailing comma": ORDER_TEXT[:-1].encode() + b",}",
    "single quotes": ORDER_TEXT.replace('"', "'").encode(),
    "member twice": ORDER_TEXT.replace('"customer"', '"date": "2027-01-01", "customer"').encode(),
    "member of a line twice": ORDER_TEXT.replace('"pieces"', '"pieces": 1, "pieces"').encode(),
    "2^63": ORDER_TEXT.replace(": 5", ": 9223372036854775808").encode(),
    "-2^63 - 1": ORDER_TEXT.replace(": 5", ": -9223372036854775809").encode(),
    "1e400": ORDER_TEXT.replace(": 5", ": 1e400").encode(),
    "NaN": ORDER_TEXT.replace(": 5", ": NaN").encode(),
    "Infinity": ORDER_TEXT.replace(": 5", ": Infinity").encode(),
    "leading zero": ORDER_TEXT.replace(": 5", ": 05").encode(),
    "escaped NUL": ORDER_TEXT.replace("cafe", "ca\\u0000fe").encode(),
    "raw NUL": ORDER_TEXT.replace("cafe", "ca\0fe").encode(),
    "NUL after the end": ORDER_TEXT.encode() + b"\0",
    "invalid UTF-8": ORDER_TEXT.replace("cafe", "caf").encode().replace(b"caf", b"caf\xe9"),
    "overlong UTF-8": ORDER_TEXT.encode().replace(b"cafe", b"ca\xc0\xaffe"),
    "a surrogate in UTF-8": ORDER_TEXT.encode().replace(b"cafe", b"ca\xed\xa0\x80fe"),
    "half a surrogate pair": ORDER_TEXT.replace("cafe", "ca\\ud800fe").encode(),
    "UTF-16": ORDER_TEXT.encode("utf-16"),
    "deep nesting": b"[" * 20000 + b"]" * 20000,
}


@pytest.mark.parametrize("text", UNREADABLE.values(), ids=UNREADABLE.keys())
def test_a_body_that_is_not_json_is_400(counter, text):
    answer = counter.post("/orders", text)
    assert (answer.status, answer.pointers) == (400, [""]), answer
    if text not in (b"",):
        assert "line" in answer["errors"][0]["detail"], "says where"


# --- what stands in the wrong place or form ---

ORDERS = described([
    ("a list", [order()], [""]),
    ("a text", '"order"', [""]),
    ("unknown member", order(colour="brown"), ["/colour"]),
    ("unknown member whose name needs escaping", order(**{"a/b~c": 1}), ["/a~1b~0c"]),
    ("unknown member of a line", order(lines=[{"product": "bun", "pieces": 5, "price": 1}]), ["/lines/0/price"]),
    ("no date", {"customer": "cafe", "lines": [{"product": "bun", "pieces": 5}]}, ["/date"]),
    ("null for a date", order(date=None), ["/date"]),
    ("nothing at all", {}, ["/customer", "/date", "/lines"]),
    ("every member wrong", {"customer": 7, "date": "soon", "lines": [{"product": "bun", "pieces": 0}, {}]},
     ["/customer", "/date", "/lines/0/pieces", "/lines/1/pieces", "/lines/1/product"]),
    ("customer is a number", order(customer=5), ["/customer"]),
    ("customer is no code", order(customer="The Café"), ["/customer"]),
    ("customer unknown", order(customer="nobody"), ["/customer"]),
    ("product unknown, in the second line", order(lines=[{"product": "bun", "pieces": 5},
                                                         {"product": "cloud", "pieces": 5}]), ["/lines/1/product"]),
    ("two products unknown", order(lines=[{"product": "cloud", "pieces": 5}, {"product": "mist", "pieces": 1}]),
     ["/lines/0/product", "/lines/1/product"]),
    ("customer and product unknown", order(customer="nobody", lines=[{"product": "cloud", "pieces": 5}]),
     ["/customer", "/lines/0/product"]),
    ("lines are an object", order(lines={}), ["/lines"]),
    ("a line is a number", order(lines=[5]), ["/lines/0"]),
    ("no lines", order(lines=[]), ["/lines"]),
    ("no pieces", pieces(0), ["/lines/0/pieces"]),
    ("negative pieces", pieces(-1), ["/lines/0/pieces"]),
    ("fractional pieces", pieces(1.5), ["/lines/0/pieces"]),
    ("pieces as text", pieces("5"), ["/lines/0/pieces"]),
    ("pieces as true", pieces(True), ["/lines/0/pieces"]),
    ("a million pieces and one", pieces(1000001), ["/lines/0/pieces"]),
    ("pieces beyond 32 bits", pieces(5000000000), ["/lines/0/pieces"]),
    ("pieces of 2^63 - 1", pieces(2 ** 63 - 1), ["/lines/0/pieces"]),
    ("pieces of 1e300", pieces(1e300), ["/lines/0/pieces"]),
    ("the 30th of February", order(date="2027-02-30"), ["/date"]),
    ("the 29th of February in a common year", order(date="2027-02-29"), ["/date"]),
    ("month 13", order(date="2027-13-01"), ["/date"]),
    ("a date before the calendar", order(date="1899-12-31"), ["/date"]),
    ("a date in words", order(date="tomorrow"), ["/date"]),
    ("infinity for a date", order(date="infinity"), ["/date"]),
    ("a date with a time", order(date=DAY + "T10:00"), ["/date"]),
    ("a date without zeros", order(date="2027-1-2"), ["/date"]),
    ("a date as a number", order(date=20270102), ["/date"]),
    ("a note of control characters", order(note="\u0007"), ["/note"]),
    ("a note of 2001 characters", order(note="x" * 2001), ["/note"]),
])


@pytest.mark.parametrize("body, pointers", ORDERS)
def test_a_faulty_order_is_422(counter, body, pointers):
    answer = counter.post("/orders", body)
    assert (answer.status, sorted(answer.pointers)) == (422, sorted(pointers)), answer


def test_a_change_of_an_order_is_held_to_the_same(counter):
    path = f"/orders/{counter.get(f'/orders?date={DAY}')['items'][0]['id']}"
    answer = counter.put(path, pieces(-5))
    assert (answer.status, answer.pointers) == (422, ["/lines/0/pieces"])
    assert counter.put(path, b'{"customer": ').status == 400


FORMULAS = described([
    ("flours sum to 99.9", formula({"ingredient": "bread-flour", "pct": 89.9}, {"ingredient": "rye-flour", "pct": 10}, WATER), ["/lines"]),
    ("flours sum to 100.0001", formula({"ingredient": "bread-flour", "pct": 100.0001}, WATER), ["/lines"]),
    ("total: flours sum to 99.9", formula({"ingredient": "bread-flour", "pct": 99.9}, WATER, basis="total"), ["/lines"]),
    ("no lines", formula(), ["/lines"]),
    ("no basis", {"name": "Trial", "lines": [FLOUR]}, ["/basis"]),
    ("a basis that is none", formula(FLOUR, basis="half"), ["/basis"]),
    ("an unknown ingredient", formula(FLOUR, {"ingredient": "gold", "pct": 1}), ["/lines/1/ingredient"]),
    ("an unknown starter", formula(FLOUR, {"starter": "gold", "pct": 1}), ["/lines/1/starter"]),
    ("an unknown formula", formula(FLOUR, {"formula": "gold", "pct": 1}), ["/lines/1/formula"]),
    ("an unknown mixer", formula(FLOUR, mixer="gold"), ["/mixer"]),
    ("by hand and in a mixer", formula(FLOUR, mixer="spiral", by_hand=True), ["/mixer"]),
    ("a line of nothing", formula(FLOUR, {"pct": 1}), ["/lines/1"]),
    ("a line of two things", formula(FLOUR, {"ingredient": "salt", "starter": "levain", "pct": 1}), ["/lines/1"]),
    ("a line without percentage", formula(FLOUR, {"ingredient": "salt"}), ["/lines/1"]),
    ("both percentages", formula(FLOUR, WATER, {"starter": "levain", "pct": 1, "flour_pct": 1}, basis="total"), ["/lines/2"]),
    ("flour_pct with basis final", formula(FLOUR, WATER, {"starter": "levain", "flour_pct": 10}), ["/lines/2"]),
    ("flour_pct of an ingredient", formula(FLOUR, {"ingredient": "water", "flour_pct": 10}, basis="total"), ["/lines/1"]),
    ("flour_pct of a soaker without flour", formula(FLOUR, WATER, {"ingredient": "sunflower", "pct": 10}, {"ingredient": "salt", "pct": 2},
                                                    {"formula": "seed-soaker", "flour_pct": 10}, basis="total"), ["/lines/4/flour_pct"]),
    ("nought percent", formula(FLOUR, {"ingredient": "salt", "pct": 0}), ["/lines/1/pct"]),
    ("less than nought percent", formula(FLOUR, {"ingredient": "salt", "pct": -2}), ["/lines/1/pct"]),
    ("a percentage in words", formula(FLOUR, {"ingredient": "salt", "pct": "two"}), ["/lines/1/pct"]),
    ("a percentage of NaN as text", formula(FLOUR, {"ingredient": "salt", "pct": "NaN"}), ["/lines/1/pct"]),
    ("five decimals", formula(FLOUR, {"ingredient": "salt", "pct": "2.00001"}), ["/lines/1/pct"]),
    ("a percentage out of range", formula(FLOUR, {"ingredient": "salt", "pct": "99999999999999999999"}), ["/lines/1/pct"]),
    ("paper bags in a dough", formula(FLOUR, {"ingredient": "bag", "pct": 1}), ["/lines/1"]),
    ("all of it is lost", formula(FLOUR, handling_loss_pct=100), ["/handling_loss_pct"]),
    ("a negative loss", formula(FLOUR, handling_loss_pct=-1), ["/handling_loss_pct"]),
    ("a stage that takes less than no time", formula(FLOUR, stages=[{"stage": "mix", "minutes": -1}]), ["/stages/0/minutes"]),
    ("half a minute", formula(FLOUR, stages=[{"stage": "mix", "minutes": 0.5}]), ["/stages/0/minutes"]),
    ("a hundred hands", formula(FLOUR, stages=[{"stage": "mix", "minutes": 1, "hands": 100}]), ["/stages/0/hands"]),
    ("a part with an ingredient that has no line", formula(FLOUR, {"starter": "levain", "flour_pct": 10}, {"ingredient": "salt", "pct": 2}, basis="total"), ["/lines/1"]),
])


@pytest.mark.parametrize("body, pointers", FORMULAS)
def test_a_faulty_formula_is_422(baker, body, pointers):
    answer = baker.put("/formulas/trial", body)
    assert (answer.status, sorted(set(answer.pointers))) == (422, pointers), answer
    preview = baker.post("/formulas/preview", {**body, "code": "trial"})
    assert (preview.status, preview["errors"]) == (422, answer["errors"]), "the preview says the same"


def test_a_line_that_would_go_below_zero_is_named(baker):
    """Basis total: the levain alone brings 30 g of water, and 6 of rye, for 100 g of flour."""
    lines = [{"ingredient": "bread-flour", "pct": 95}, {"ingredient": "rye-flour", "pct": 5},
             {"ingredient": "water", "pct": 29.9}, {"starter": "levain", "flour_pct": 30}]
    answer = baker.put("/formulas/trial", formula(*lines, basis="total"))
    assert (answer.status, sorted(answer.pointers)) == (422, ["/lines/1", "/lines/2"]), answer


@pytest.mark.parametrize("code, part", [("poolish", "poolish"), ("poolish", "baguette")])
def test_a_formula_may_not_contain_itself(baker, code, part):
    answer = baker.put("/formulas/" + code, formula(FLOUR, WATER, {"formula": part, "pct": 5}))
    assert (answer.status, answer.pointers) == (422, ["/lines/2/formula"]), answer


PRODUCTS = described([
    ("no parts", product(parts=[]), ["/parts"]),
    ("parts missing", {"name": "Trial"}, ["/parts"]),
    ("an unknown formula", product(parts=[{"formula": "gold", "g": 5}]), ["/parts/0/formula"]),
    ("an unknown ingredient", product(parts=[{"ingredient": "gold", "g": 5}]), ["/parts/0/ingredient"]),
    ("a part of nothing", product(parts=[{"g": 5}]), ["/parts/0"]),
    ("a part of two things", product(parts=[{"formula": "bun", "ingredient": "salt", "g": 5}]), ["/parts/0"]),
    ("zero grams", product(parts=[{"formula": "bun", "g": 0}]), ["/parts/0/g"]),
    ("negative grams", product(parts=[{"formula": "bun", "g": -90}]), ["/parts/0/g"]),
    ("a tenth of a milligram", product(parts=[{"formula": "bun", "g": 90.0001}]), ["/parts/0/g"]),
    ("grams out of range", product(parts=[{"formula": "bun", "g": "1" + "0" * 30}]), ["/parts/0/g"]),
    ("grams as text with an exponent", product(parts=[{"formula": "bun", "g": "9e1"}]), ["/parts/0/g"]),
    ("baked away", product(bake_loss_pct=100), ["/bake_loss_pct"]),
    ("less than no spare", product(spare_pct=-1), ["/spare_pct"]),
    ("an unknown bag", product(packaging=[{"ingredient": "gold", "pieces": 1}]), ["/packaging/0/ingredient"]),
    ("no pieces of a bag", product(packaging=[{"ingredient": "bag", "pieces": 0}]), ["/packaging/0/pieces"]),
    ("25 o'clock", product(ready_at="25:00"), ["/ready_at"]),
    ("24:00", product(ready_at="24:00"), ["/ready_at"]),
    ("a clock time with seconds", product(ready_at="06:30:00"), ["/ready_at"]),
])


@pytest.mark.parametrize("body, pointers", PRODUCTS)
def test_a_faulty_product_is_422(baker, body, pointers):
    answer = baker.put("/products/trial", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


OTHERS = described([
    ("ingredient without kind and unit", "/ingredients/trial", {"name": "Trial"}, ["/kind", "/unit"]),
    ("ingredient of an unknown kind", "/ingredients/trial", ingredient(kind="fruit"), ["/kind"]),
    ("ingredient in stones", "/ingredients/trial", ingredient(unit="stone"), ["/unit"]),
    ("ingredient of more water than all", "/ingredients/trial", ingredient(water_pct=100.1), ["/water_pct"]),
    ("allergens as text", "/ingredients/trial", ingredient(allergens="milk"), ["/allergens"]),
    ("an allergen that is a number", "/ingredients/trial", ingredient(allergens=["milk", 5]), ["/allergens/1"]),
    ("an empty name", "/ingredients/trial", ingredient(name=""), ["/name"]),
    ("a name of spaces", "/ingredients/trial", ingredient(name="   "), ["/name"]),
    ("a name of two lines", "/ingredients/trial", ingredient(name="a\nb"), ["/name"]),
    ("a name of 201 characters", "/ingredients/trial", ingredient(name="é" * 201), ["/name"]),
    ("starter's flours sum to 99", "/starters/trial", starter(flours=[{"ingredient": "bread-flour", "pct": 99}]), ["/flours"]),
    ("starter without flours", "/starters/trial", starter(flours=[]), ["/flours"]),
    ("starter of unknown flour", "/starters/trial", starter(flours=[{"ingredient": "gold", "pct": 100}]), ["/flours/0/ingredient"]),
    ("starter with unknown water", "/starters/trial", starter(water="gold"), ["/water"]),
    ("starter of negative hydration", "/starters/trial", starter(hydration_pct=-1), ["/hydration_pct"]),
    ("price without pack", "/ingredients/salt/prices/2027-01-01", {"price": "1"}, ["/pack_g"]),
    ("price of a pack of nothing", "/ingredients/salt/prices/2027-01-01", {"price": "1", "pack_g": 0}, ["/pack_g"]),
    ("price of salt by the piece", "/ingredients/salt/prices/2027-01-01", {"price": "1", "pack_pieces": 5}, ["/pack_g", "/pack_pieces"]),
    ("price of bags by weight", "/ingredients/bag/prices/2027-01-01", {"price": "1", "pack_g": 5}, ["/pack_g", "/pack_pieces"]),
    ("price as a number", "/ingredients/salt/prices/2027-01-01", {"price": 1.5, "pack_g": 5}, ["/price"]),
    ("negative price", "/ingredients/salt/prices/2027-01-01", {"price": "-1", "pack_g": 5}, ["/price"]),
    ("seven decimals of money", "/ingredients/salt/prices/2027-01-01", {"price": "1.0000001", "pack_g": 5}, ["/price"]),
    ("money in words", "/ingredients/salt/prices/2027-01-01", {"price": "a lot", "pack_g": 5}, ["/price"]),
    ("money with a comma", "/ingredients/salt/prices/2027-01-01", {"price": "1,50", "pack_g": 5}, ["/price"]),
    ("unknown supplier", "/ingredients/salt/prices/2027-01-01", {"price": "1", "pack_g": 5, "supplier": "gold"}, ["/supplier"]),
    ("customer without name", "/customers/trial", {}, ["/name"]),
    ("customer who wants it at noonish", "/customers/trial", {"name": "T", "ready_at": "noonish"}, ["/ready_at"]),
    ("unknown time zone", "/bakery", bakery(time_zone="Europe/Atlantis"), ["/time_zone"]),
    ("time zone out of its folder", "/bakery", bakery(time_zone="../../etc/passwd"), ["/time_zone"]),
    ("currency in small letters", "/bakery", bakery(currency="eur"), ["/currency"]),
    ("currency of four letters", "/bakery", bakery(currency="EURO"), ["/currency"]),
    ("a scale of nothing", "/bakery", bakery(scale_g=0), ["/scale_g"]),
    ("two mixers of one code", "/bakery", bakery(mixers=[{"code": "spiral", "max_g": 1}, {"code": "spiral", "max_g": 2}]), ["/mixers/1/code"]),
    ("person who would be king", "/people/trial", {"role": "king", "password": "0123456789"}, ["/role"]),
    ("new person without password", "/people/trial", {"role": "baker"}, ["/password"]),
    ("password of nine characters", "/people/trial", {"role": "baker", "password": "012345678"}, ["/password"]),
    ("password of 201 characters", "/people/trial", {"role": "baker", "password": "x" * 201}, ["/password"]),
])


@pytest.mark.parametrize("path, body, pointers", OTHERS)
def test_any_other_faulty_body_is_422(owner, path, body, pointers):
    answer = owner.put(path, body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


@pytest.mark.parametrize("body, pointers", [({}, ["/name", "/role"]), ({"name": "x", "role": "king"}, ["/role"])])
def test_a_faulty_token_is_422(owner, body, pointers):
    answer = owner.post("/tokens", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


# --- too much of it ---


def test_pieces_times_grams_out_of_range_is_422(owner):
    """What one order alone would overflow is refused at its pieces; the largest product that can be
    stored is found by asking."""
    for exponent in range(18, 3, -1):
        answer = owner.put("/products/giant", product(parts=[{"formula": "bun", "g": str(10 ** exponent)}]))
        if answer.status in (200, 201):
            break
        assert answer.pointers == ["/parts/0/g"], answer
    else:
        raise AssertionError("no weight is small enough")
    order_answer = owner.post("/orders", {"customer": "cafe", "date": day(3), "lines": [
        {"product": "bun", "pieces": 1}, {"product": "giant", "pieces": 1000000}]})
    if order_answer.status == 201:  # then the day can be reckoned, too
        assert owner.get(f"/days/{day(3)}/production").status == 200
        assert owner.get(f"/days/{day(3)}/needs").status == 200
        assert owner.delete(order_answer.location).status == 204
    else:
        assert (order_answer.status, order_answer.pointers) == (422, ["/lines/1/pieces"]), order_answer
    assert owner.delete("/products/giant").status == 204


@pytest.mark.parametrize("path", ["/bakery", "/ingredients/salt", "/ingredients/salt/prices/2027-01-01", "/suppliers/mill",
                                  "/starters/levain", "/customers/cafe", "/people/anna"])
def test_65_kilobytes_on_a_small_route_are_413(owner, path):
    assert owner.put(path, b'{"name": "' + b"x" * 65000 + b'"}').status == 413


@pytest.mark.parametrize("path", ["/formulas/country", "/products/bun", "/orders/1"])
def test_a_large_route_takes_64_kilobytes_and_no_more(owner, path):
    assert owner.put(path, b" " * 64001).status == 413
    assert owner.put(path, b" " * 64000).status == 400


@pytest.mark.parametrize("method, path, status", [
    ("GET", "/days/2027-02-30/production", 422), ("GET", "/days/today/needs", 422),
    ("GET", "/days/99999-01-01/cost", 422), ("GET", "/mixing-lists/2027-00-01", 422),
    ("POST", "/mixing-lists/2027-02-30/prints", 422),
    ("PUT", "/ingredients/salt/prices/2027-02-30", 422), ("GET", "/orders?date=2027-02-30", 422),
    ("GET", "/orders?limit=0", 422), ("GET", "/orders?limit=1001", 422), ("GET", "/orders?limit=many", 422),
    ("GET", "/orders/0", 404), ("GET", "/orders/-1", 404), ("GET", "/orders/1.5", 404),
    ("GET", "/orders/99999999999999999999", 404), ("GET", "/orders/one", 404),
    ("GET", "/ingredients/Salt", 404), ("GET", "/ingredients/-salt", 404), ("GET", "/ingredients/" + "s" * 64, 404),
    ("GET", "/mixing-lists/2027-01-01/prints/0", 404), ("GET", "/mixing-lists/2027-01-01/prints/99999999999999999999", 404),
    ("PUT", "/ingredients/Salt", 422), ("PUT", "/ingredients/s_lt", 422),
    ("GET", "/orders/1.0", 404), ("GET", "/orders/1e0", 404), ("GET", "/orders/01", 404),
])
def test_a_path_that_names_nothing(owner, method, path, status):
    body = ingredient() if method == "PUT" else None
    if "prices" in path:
        body = {"price": "1", "pack_g": 1000}
    answer = owner.ask(method, path, body)
    assert answer.status == status, answer
