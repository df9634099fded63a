"""Price lists, the dated prices in them, and what a product's price is worked out from."""

import pytest

from bakehouse import CUSTOMERS
from harness import enter, everything
from pricework import COUNTER, TRADE, open_shop


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_shop(owner)


@pytest.fixture
def nothing_stored(owner):
    before = everything(owner)
    yield
    assert everything(owner) == before


# --- lists ---


@pytest.mark.parametrize("body, shown", [
    ({"name": "Fair"}, {"with_tax": True, "step": None, "ending": None, "note": None}),
    (COUNTER, {"step": "0.05", "ending": "0.00", "note": None}),
    (TRADE, {}),
    ({"name": "Fair", "with_tax": None, "step": "0.000001", "ending": None}, {"with_tax": True, "step": "0.000001", "ending": "0.00", "note": None})])
def test_a_list_comes_back_as_it_was_entered(owner, counter, body, shown):
    created = owner.put("/price-lists/fair", body)
    assert (created.status, created.body) == (201, {"code": "fair", **body, **shown})
    assert counter.get("/price-lists/fair").body == created.body
    assert [item["code"] for item in counter.get("/price-lists")["items"]] == ["counter", "fair", "trade"]
    assert owner.put("/price-lists/fair", body).status == 200
    assert owner.delete("/price-lists/fair").status == 204 and owner.get("/price-lists/fair").status == 404


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/name"]), ({"name": ""}, ["/name"]), ({"name": "x", "step": "0"}, ["/step"]), ({"name": "x", "step": 0.05}, ["/step"]),
    ({"name": "x", "step": "0.05", "ending": "0.05"}, ["/ending"]), ({"name": "x", "ending": "0.05"}, ["/ending"]),
    ({"name": "x", "ending": "-0.01", "step": "1"}, ["/ending"]), ({"name": "x", "with_tax": "yes"}, ["/with_tax"]),
    ({"name": "x", "currency": "EUR"}, ["/currency"]), ({"name": 5, "step": "x", "note": ""}, ["/name", "/note", "/step"])])
def test_every_fault_of_a_list_is_told(owner, nothing_stored, body, pointers):
    answer = owner.put("/price-lists/x", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


def test_a_list_that_is_used_stays(owner):
    enter(owner, {"/customers/cafe": {**CUSTOMERS["/customers/cafe"], "price_list": "trade"}})
    assert owner.get("/customers/cafe")["price_list"] == "trade"
    refused = owner.delete("/price-lists/trade")
    assert refused.status == 409 and "cafe" in refused.text and "country-loaf" in refused.text
    enter(owner, {"/customers/cafe": CUSTOMERS["/customers/cafe"]})
    assert owner.get("/customers/cafe")["price_list"] is None
    assert owner.delete("/price-lists/trade").status == 409, "a price is in it"
    answer = owner.put("/customers/cafe", {**CUSTOMERS["/customers/cafe"], "price_list": "gold"})
    assert (answer.status, answer.pointers) == (422, ["/price_list"])


# --- prices in them ---

BREAKS = {"breaks": [{"pieces": 1, "price": "3.45"}, {"pieces": 20, "price": "3.10"}]}


def test_a_price_comes_back_as_it_was_entered(owner, counter):
    path = "/price-lists/trade/prices/bun/2027-01-01"
    created = owner.put(path, BREAKS)
    assert (created.status, created.body) == (201, {"list": "trade", "product": "bun", "from": "2027-01-01", **BREAKS})
    assert counter.get(path).body == created.body and owner.put(path, BREAKS).status == 200
    assert owner.put(path, {"breaks": [{"pieces": 1, "price": "4"}]})["breaks"] == [{"pieces": 1, "price": "4.00"}]
    assert owner.put(path, BREAKS, If_Match=created.etag).status == 412 and owner.delete(path, If_Match=created.etag).status == 412
    assert owner.delete(path).status == 204
    assert {owner.get(path).status, owner.delete(path).status} == {404}


@pytest.mark.parametrize("body, pointers", [
    ({}, ["/breaks"]), ({"breaks": []}, ["/breaks"]), ({"breaks": {}}, ["/breaks"]), ({"breaks": [3]}, ["/breaks/0"]),
    ({"breaks": [{"pieces": 2, "price": "1"}]}, ["/breaks/0/pieces"]),
    ({"breaks": [{"pieces": 1, "price": "1"}, {"pieces": 1, "price": "1"}]}, ["/breaks/1/pieces"]),
    ({"breaks": [{"pieces": 1, "price": "0"}]}, ["/breaks/0/price"]), ({"breaks": [{"pieces": 1, "price": 3.45}]}, ["/breaks/0/price"]),
    ({"breaks": [{"pieces": 1, "price": "3.4500001"}]}, ["/breaks/0/price"]),
    ({"breaks": [{"pieces": n, "price": "1"} for n in range(1, 22)]}, ["/breaks"]),
    ({"breaks": [{"pieces": 1}, {"pieces": 1000001, "price": "x"}, {"price": "1", "tax": 1}], "from": "2027-01-01"},
     ["/breaks/0/price", "/breaks/1/pieces", "/breaks/1/price", "/breaks/2/pieces", "/breaks/2/tax", "/from"])])
def test_every_fault_of_a_price_is_told(owner, nothing_stored, body, pointers):
    answer = owner.put("/price-lists/trade/prices/bun/2027-01-01", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


@pytest.mark.parametrize("path, status", [("gold/prices/bun/2027-01-01", 404), ("trade/prices/gold/2027-01-01", 404), ("trade/prices/bun/2027-02-30", 422)])
def test_a_price_is_of_a_list_a_product_and_a_day(owner, nothing_stored, path, status):
    assert owner.put(f"/price-lists/{path}", BREAKS).status == status
    assert owner.get("/price-lists/gold/prices").status == 404


@pytest.mark.parametrize("limit", [1, 2, 1000])
def test_pages_of_prices_make_up_the_whole_by_product_and_date(owner, limit):
    """Codes that begin alike among them: bun and bun-2."""
    enter(owner, {f"/products/{code}": {"name": code, "parts": [{"formula": "bun", "g": 90}]} for code in ("bun-2", "bun0", "bu")})
    wanted = [(code, date) for code in ("bu", "bun", "bun-2", "bun0") for date in ("2027-01-01", "2027-06-01")]
    enter(owner, {"/price-lists/pages": {"name": "Pages"}, **{f"/price-lists/pages/prices/{code}/{date}": BREAKS for code, date in reversed(wanted)}})
    path, found = f"/price-lists/pages/prices?limit={limit}", []
    while path:
        page = owner.get(path)
        assert len(page["items"]) <= limit
        found += [(item["product"], item["from"]) for item in page["items"]]
        path = page["next"]
    assert found == wanted
    assert [item["from"] for item in owner.list("/price-lists/pages/prices?product=bun-2&limit=1")] == ["2027-01-01", "2027-06-01"]


def test_prices_go_with_their_product(owner):
    enter(owner, {"/products/gone": {"name": "Gone", "parts": [{"formula": "bun", "g": 90}]}, "/products/gone/pricing": {"tax_pct": 7},
                  "/price-lists/trade/prices/gone/2027-01-01": BREAKS})
    assert owner.delete("/products/gone").status == 204
    assert owner.get("/price-lists/trade/prices?product=gone")["items"] == [] and owner.get("/products/gone/pricing").status == 404


# --- what a price is worked out from ---


def test_pricing_comes_back_as_it_was_entered(owner):
    path = "/products/seeded-loaf/pricing"
    assert owner.get(path).body == {"product": "seeded-loaf", "tax_pct": 0, "target": None}
    etag = owner.get(path).etag
    assert owner.get(path, If_None_Match=etag).status == 304
    for n, target in enumerate(({"margin_pct": 62.5}, {"markup_pct": 180}, {"ingredient_share_pct": 100}, None)):
        entered = owner.put(path, {"tax_pct": 7, "target": target})
        assert entered.status == (200 if n else 201)
        assert owner.get(path).body == entered.body == {"product": "seeded-loaf", "tax_pct": 7, "target": target}
    assert owner.put(path, {}, If_Match=etag).status == 412
    assert owner.put(path, {}).body == {"product": "seeded-loaf", "tax_pct": 0, "target": None}


@pytest.mark.parametrize("body, pointers", [
    ({"tax_pct": -1}, ["/tax_pct"]), ({"tax_pct": 1000.1}, ["/tax_pct"]), ({"tax_pct": "7.00001"}, ["/tax_pct"]), ({"target": 60}, ["/target"]),
    ({"target": {}}, ["/target"]), ({"target": {"margin_pct": 60, "markup_pct": 150}}, ["/target"]), ({"target": {"profit_pct": 1}}, ["/target", "/target/profit_pct"]),
    ({"target": {"margin_pct": 100}}, ["/target/margin_pct"]), ({"target": {"margin_pct": -1}}, ["/target/margin_pct"]),
    ({"target": {"ingredient_share_pct": 0}}, ["/target/ingredient_share_pct"]), ({"target": {"ingredient_share_pct": 100.0001}}, ["/target/ingredient_share_pct"]),
    ({"tax_pct": "x", "target": {"markup_pct": "x"}, "price": "1"}, ["/price", "/target/markup_pct", "/tax_pct"])])
def test_every_fault_of_pricing_is_told(owner, nothing_stored, body, pointers):
    answer = owner.put("/products/bun/pricing", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer


# --- who ---


def test_the_counter_sees_prices_and_neither_costs_nor_targets(owner, counter, baker, nothing_stored):
    for client in (counter, baker):
        for path in ("/price-lists", "/price-lists/counter", "/price-lists/counter/prices", "/price-lists/counter/prices/bun/2020-01-01"):
            assert client.get(path).status == 200, path
        for path in ("/products/bun/pricing", "/products/bun/cost", "/products/bun/price", "/products/bun/cost-history", "/margins", "/rates"):
            assert client.get(path).status == 403, path
        for path, body in (("/price-lists/x", COUNTER), ("/price-lists/counter/prices/bun/2027-01-01", BREAKS), ("/products/bun/pricing", {})):
            assert client.put(path, body).status == 403, path
        assert client.delete("/price-lists/counter/prices/bun/2020-01-01").status == 403
        for path in ("/what-if", "/what-if/limit", "/prices/preview"):
            assert client.post(path, {}).status == 403, path
        shown = client.get("/products/bun").text + client.get("/customers").text + client.get("/price-lists/counter/prices").text
        assert "cost" not in shown and "target" not in shown and "margin" not in shown
