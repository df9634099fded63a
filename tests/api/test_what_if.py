"""What if: every kind of change against the same change of a real book, in a second database; and the
reverse question, answered by substituting its answer."""

import datetime
from decimal import Decimal

import pytest

from bakehouse import FORMULAS, PRODUCTS, TODAY, day
from harness import Client, Server, enter, everything, place
from oracle_book import number
from pricework import BUN, COUNTRY, LOAF, MONEY, PRICES, RATES, open_shop

CODES = ["baguette", "bun", "country-loaf", "seeded-loaf"]


def open_both(client):
    open_shop(client)
    place(client, "cafe", day(1), country_loaf=40, bun=60, baguette=30)
    place(client, "shop", day(1), country_loaf=5)
    place(client, "cafe", (TODAY - datetime.timedelta(days=3)).isoformat(), country_loaf=44, bun=48, baguette=33)


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_both(owner)


@pytest.fixture(scope="module")
def real(databases):
    """The owner of the same bakery in a second database, where everything is really changed."""
    server = Server(databases.fresh())
    client = Client(server, databases.tokens["owner"])
    open_both(client)
    yield client
    server.stop()


@pytest.fixture(params=[None, day(1)], ids=["typical", "of a day"])
def date(request):
    return request.param


def what_if(client, changes, **more):
    answer = client.post("/what-if", {"changes": changes, **{name: value for name, value in more.items() if value is not None}})
    assert answer.status == 200, answer
    return {item["product"]: item for item in answer["products"]}


def shown(client, code, date):
    return client.get(f"/products/{code}/price" + (f"?date={date}" if date else "")).body


def side(price, figures=None):
    figures = figures or price
    return {"cost_each": price["cost_each"], "price": figures["price"], "net_price": figures["net_price"], "margin_pct": figures["margin_pct"]}


# --- nothing changed ---


@pytest.mark.parametrize("changes", [[], [{"ingredient": "bread-flour", "pct": 0}, {"hand_hour": {"add": "0"}}, {"kwh": {"value": "0.31"}}, {"overhead": {"pct": 0}},
                                          {"product": "country-loaf", "dough_g": 920}, {"product": "country-loaf", "spare_pct": 2},
                                          {"formula": "country", "hydration_pct": 72}, {"product": "country-loaf", "target": {"margin_pct": 60}}]], ids=["none", "to what is"])
def test_with_nothing_changed_it_is_today_exactly(owner, date, changes):
    found = what_if(owner, changes, date=date)
    assert list(found) == ([code for code in CODES if code != "seeded-loaf"] if date else CODES)
    for code, item in found.items():
        assert item["today"] == item["then"] == side(shown(owner, code, date)) and Decimal(item["difference"]) == 0


# --- every change against a real one ---


def pack(code, price):
    path = f"/ingredients/{code}/prices/2020-01-01"
    return {path: {**PRICES[path], "price": price}}


def rates(**changes):
    return {"/rates/2020-01-01": {**RATES, **changes}}


def lines(body, *waters):
    """A formula with other percentages of its first line of water."""
    water = next(n for n, line in enumerate(body["lines"]) if line.get("ingredient") == "water")
    return {**body, "lines": [{**line, "pct": waters[0]} if n == water else line for n, line in enumerate(body["lines"])]}


LIGHTER = {**LOAF, "parts": [{"formula": "country", "g": 881.5}]}
CASES = {
    "flour +20 %": ([{"ingredient": "bread-flour", "pct": 20}], pack("bread-flour", "22.08")),
    "rye -100 %": ([{"ingredient": "rye-flour", "pct": -100}], pack("rye-flour", "0")),
    "milk by its price": ([{"ingredient": "milk", "price": "1.234567"}], pack("milk", "1.234567")),
    "bags 2.50 dearer": ([{"ingredient": "bag", "add": "2.50"}], pack("bag", "33.50")),
    "wage +1.20": ([{"hand_hour": {"add": "1.20"}}], rates(hand_hour="25.70")),
    "wage -10 %": ([{"hand_hour": {"pct": "-10"}}], rates(hand_hour="22.05")),
    "wage of 30": ([{"hand_hour": {"value": "30"}}], rates(hand_hour="30")),
    "tariff x 1.5": ([{"kwh": {"pct": 50}}], rates(kwh="0.465")),
    "tariff free": ([{"kwh": {"add": "-0.31"}}], rates(kwh="0")),
    "overhead": ([{"overhead": {"value": "5000"}}], rates(overhead_month="5000")),
    "overhead +1/3": ([{"overhead": {"pct": "33.3333"}}], rates(overhead_month="5599.9986")),
    "scaling weight": ([{"product": "country-loaf", "dough_g": 881.5}], {"/products/country-loaf": LIGHTER}),
    "hydration, total": ([{"formula": "country", "hydration_pct": 76.5}], {"/formulas/country": lines(COUNTRY, 76.5)}),
    "hydration, final, of a part": ([{"formula": "poolish", "hydration_pct": 110}], {"/formulas/poolish": lines(FORMULAS["/formulas/poolish"], 110)}),
    "spare": ([{"product": "baguette", "spare_pct": 12}], {"/products/baguette": {**PRODUCTS["/products/baguette"], "spare_pct": 12}}),
    "a target": ([{"product": "country-loaf", "target": {"margin_pct": 70}}], {"/products/country-loaf/pricing": {"tax_pct": 7, "target": {"margin_pct": 70}}}),
    "a target of all": ([{"target": {"markup_pct": 200}}], {f"/products/{code}/pricing": {**MONEY.get(f"/products/{code}/pricing", {}), "target": {"markup_pct": 200}} for code in CODES}),
    "all at once": ([{"ingredient": "bread-flour", "pct": 20}, {"hand_hour": {"add": "1.20"}}, {"kwh": {"pct": 50}}, {"overhead": {"value": "5000"}},
                     {"product": "country-loaf", "dough_g": 881.5}, {"formula": "country", "hydration_pct": 76.5}, {"product": "bun", "spare_pct": 3}],
                    {**pack("bread-flour", "22.08"), **rates(hand_hour="25.70", kwh="0.465", overhead_month="5000"), "/products/country-loaf": LIGHTER,
                     "/formulas/country": lines(COUNTRY, 76.5), "/products/bun": {**BUN, "spare_pct": 3}}),
    "one after the other": ([{"ingredient": "salt", "pct": 100}, {"ingredient": "salt", "add": "0.02"}, {"kwh": {"value": "1"}}, {"kwh": {"pct": -50}}],
                            {**pack("salt", "10.00"), **rates(kwh="0.5")}),
}
SHOWN_ONLY = {"code", "ingredient", "from", "product", "piece_g", "baked_g", "overall", "final", "allergens"}
TARGETS = {"a target": ["country-loaf"], "a target of all": CODES}


@pytest.mark.parametrize("case", CASES)
def test_a_change_comes_to_what_it_really_comes_to(owner, real, case, date):
    changes, facts = CASES[case]
    before = {path: real.get(path).body for path in facts}
    today = {code: shown(real, code, date) for code in CODES}
    enter(real, facts)
    then = {code: shown(real, code, date) for code in CODES}
    found = what_if(owner, changes, date=date)
    moved = 0
    for code, item in found.items():
        assert item["today"] == side(today[code])
        # A price that only its target proposes stays what it was: what it earns changes.
        stays = real.get(f"/products/{code}/price?price={today[code]['price']}" + (f"&date={date}" if date else "")).body if today[code]["price"] else then[code]
        changed = code in TARGETS.get(case, [])
        assert item["then"] == side(then[code], then[code]["proposed"] if changed else stays), code
        assert Decimal(item["difference"]) == Decimal(then[code]["cost_each"]) - Decimal(today[code]["cost_each"])
        moved += item["then"] != item["today"]
    assert moved > 0, "a change that changes nothing shows nothing"
    for path, body in before.items():
        enter(real, {path: {name: value for name, value in body.items() if name not in SHOWN_ONLY}})
    assert {code: shown(real, code, date) for code in CODES} == today


def test_nothing_is_stored(owner):
    before = everything(owner)
    for changes, _ in CASES.values():
        what_if(owner, changes)
    assert owner.post("/what-if/limit", {"product": "bun", "ingredient": "milk", "margin_pct": 10}).status == 200
    assert owner.post("/prices/preview", {"cost_each": "1", "price": "2"}).status == 200
    assert everything(owner) == before


def test_without_a_key_and_with_the_list_that_is_asked_for(owner):
    answer = owner.post("/what-if", {"changes": [], "list": "trade"}, Idempotency_Key=None)
    assert (answer.status, answer["list"], answer["typical"]) == (200, "trade", True)
    assert {item["product"]: item for item in answer["products"]}["country-loaf"]["today"]["price"] == "2.95"


def test_a_hole_stays_one(owner):
    owner.delete("/ingredients/sesame/prices/2020-01-01")
    found = what_if(owner, [{"ingredient": "milk", "pct": 10}])
    assert (found["bun"]["today"]["cost_each"], found["bun"]["then"]["cost_each"], found["bun"]["difference"], found["bun"]["then"]["margin_pct"]) == (None,) * 4
    assert found["bun"]["then"]["price"] == "1.40" and found["baguette"]["difference"] is not None
    answer = owner.post("/what-if", {"changes": [{"ingredient": "sesame", "pct": 10}]})
    assert (answer.status, answer.pointers) == (422, ["/changes/0"]), "nothing is ten per cent more than what is not known"
    answer = owner.post("/what-if/limit", {"product": "bun", "ingredient": "milk", "margin_pct": 10})
    assert answer.status == 409
    enter(owner, {"/ingredients/sesame/prices/2020-01-01": PRICES["/ingredients/sesame/prices/2020-01-01"]})


FAULTS = [({}, ["/changes"]), ({"changes": {}}, ["/changes"]), ({"changes": [5]}, ["/changes/0"]), ({"changes": [{}]}, ["/changes/0"]),
          ({"changes": [], "date": "2027-02-30"}, ["/date"]), ({"changes": [], "list": "gold"}, ["/list"]), ({"changes": [], "colour": 1}, ["/colour"]),
          ({"changes": [{"ingredient": "gold", "pct": 1}]}, ["/changes/0/ingredient"]), ({"changes": [{"ingredient": "salt"}]}, ["/changes/0"]),
          ({"changes": [{"ingredient": "salt", "pct": 1, "price": "1"}]}, ["/changes/0"]), ({"changes": [{"ingredient": "salt", "pct": -100.5}]}, ["/changes/0/pct"]),
          ({"changes": [{"ingredient": "salt", "price": "-1"}]}, ["/changes/0/price"]), ({"changes": [{"ingredient": "salt", "add": "-5"}]}, ["/changes/0"]),
          ({"changes": [{"hand_hour": {}}]}, ["/changes/0/hand_hour"]), ({"changes": [{"hand_hour": 30}]}, ["/changes/0/hand_hour"]),
          ({"changes": [{"kwh": {"add": "-0.32"}}]}, ["/changes/0"]), ({"changes": [{"kwh": {"value": "1", "pct": 1}}]}, ["/changes/0/kwh"]),
          ({"changes": [{"product": "bun"}]}, ["/changes/0"]), ({"changes": [{"product": "gold", "dough_g": 1}]}, ["/changes/0/product"]),
          ({"changes": [{"product": "bun", "dough_g": 0}]}, ["/changes/0/dough_g"]), ({"changes": [{"product": "bun", "dough_g": 90, "spare_pct": 1}]}, ["/changes/0"]),
          ({"changes": [{"product": "bun", "target": {"margin_pct": 100}}]}, ["/changes/0/target/margin_pct"]), ({"changes": [{"target": {}}]}, ["/changes/0/target"]),
          ({"changes": [{"formula": "country"}]}, ["/changes/0/hydration_pct"]), ({"changes": [{"formula": "bun", "hydration_pct": 70}]}, ["/changes/0"]),
          ({"changes": [{"formula": "country", "hydration_pct": 1}]}, ["/changes/0"]), ({"changes": [{"formula": "gold", "hydration_pct": 1}]}, ["/changes/0/formula"]),
          ({"changes": [{"ingredient": "salt", "pct": 1}] * 51}, ["/changes"]),
          ({"changes": [{"ingredient": "salt", "pct": 1}, {"kwh": {"pct": "x"}}, {"ingredient": "salt", "formula": "country", "pct": 1}, {"wage": 1}]},
           ["/changes/1/kwh/pct", "/changes/2/formula", "/changes/3", "/changes/3/wage"])]


@pytest.mark.parametrize("body, pointers", FAULTS)
def test_every_fault_is_told_at_its_place(owner, body, pointers):
    answer = owner.post("/what-if", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


# --- the other way round ---


def limit(client, **body):
    answer = client.post("/what-if/limit", body)
    assert answer.status == 200, answer
    return answer.body


@pytest.mark.parametrize("code, ingredient, margin", [("country-loaf", "bread-flour", 20), ("country-loaf", "bread-flour", "31.4159"), ("country-loaf", "bag", 5), ("country-loaf", "salt", 0),
                                                      ("bun", "milk", 33), ("bun", "sesame", 50), ("baguette", "yeast", 10), ("baguette", "water", "12.5")])
def test_at_the_limit_the_margin_holds_and_one_millionth_more_it_does_not(owner, real, code, ingredient, margin, date):
    when = {"date": date} if date else {}
    found = limit(owner, product=code, ingredient=ingredient, margin_pct=margin, **when)
    at = Decimal(found["price"])
    assert (found["margin_pct"], Decimal(found["now"])) == (Decimal(str(margin)), Decimal(PRICES[f"/ingredients/{ingredient}/prices/2020-01-01"]["price"]))
    assert {"pack_g", "pack_pieces"} & set(found) == ({"pack_pieces"} if ingredient == "bag" else {"pack_g"})
    assert found["pct"] == round((number(at) / number(found["now"]) - 1) * 1000000) / Decimal(10000)
    for price, holds in ((at, True), (at + Decimal("0.000001"), False)):
        then = what_if(owner, [{"ingredient": ingredient, "price": f"{price:f}"}], **when)[code]["then"]
        net = number(then["net_price"])
        assert ((net - number(then["cost_each"])) * 100 >= number(margin) * net) == holds, then
        path = f"/ingredients/{ingredient}/prices/2020-01-01"
        net_before = number(shown(owner, code, date)["net_price"])
        enter(real, {path: {**PRICES[path], "price": f"{price:f}"}})
        assert shown(real, code, date)["cost_each"] == then["cost_each"] and net == net_before
        enter(real, {path: PRICES[path]})


def test_the_limit_without_a_margin_is_of_the_target(owner):
    body = {"product": "country-loaf", "ingredient": "bread-flour"}
    assert limit(owner, **body) == limit(owner, **body, margin_pct=60)
    answer = owner.post("/what-if/limit", {"product": "bun", "ingredient": "milk"})
    assert (answer.status, answer.pointers) == (422, ["/margin_pct"]), "its target is no margin"


def test_where_there_is_no_limit_it_is_null(owner):
    for code, ingredient, margin in (("bun", "rye-flour", 10), ("country-loaf", "bread-flour", "99.9999")):
        found = limit(owner, product=code, ingredient=ingredient, margin_pct=margin)
        assert (found["price"], found["pct"]) == (None, None)
    assert owner.post("/what-if/limit", {"product": "seeded-loaf", "ingredient": "salt", "margin_pct": 1}).status == 409, "it has no price"


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/ingredient", "/product"]), ({"product": "gold", "ingredient": "gold"}, ["/ingredient", "/product"]),
    ({"product": "bun", "ingredient": "milk", "margin_pct": 100}, ["/margin_pct"]), ({"product": "bun", "ingredient": "milk", "margin_pct": -1}, ["/margin_pct"]),
    ({"product": "bun", "ingredient": "milk", "margin_pct": 1, "list": "gold"}, ["/list"]), ({"product": "bun", "ingredient": "milk", "margin_pct": 1, "date": "x", "pct": 1}, ["/date", "/pct"])])
def test_every_fault_of_the_reverse_question_is_told(owner, body, pointers):
    answer = owner.post("/what-if/limit", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
