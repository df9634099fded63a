"""What is in use stays, and whoever wants to delete it is told by what it is used."""

import pytest

from bakehouse import BAKERY, FORMULAS, PRODUCTS, day, open_bakehouse
from harness import enter, everything, place


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)
    place(owner, "cafe", day(1), bun=5)


IN_USE = [
    ("/ingredients/bread-flour", ["levain", "poolish", "country", "baguette"]),
    ("/ingredients/water", ["levain", "poolish"]),
    ("/ingredients/sesame", ["bun"]),
    ("/ingredients/bag", ["country-loaf", "bun"]),
    ("/starters/levain", ["country", "seeded"]),
    ("/formulas/poolish", ["baguette"]),
    ("/formulas/bun", ["bun"]),
    ("/products/bun", ["1"]),
    ("/customers/cafe", ["1"]),
    ("/suppliers/mill", ["bread-flour"]),
]


@pytest.mark.parametrize("path, users", IN_USE)
def test_deleting_what_is_in_use_is_409_and_names_the_users(owner, path, users):
    before = everything(owner)
    answer = owner.delete(path)
    assert answer.status == 409
    for user in users:
        assert user in answer.text
    assert everything(owner) == before


def test_users_beyond_counting_do_not_flood_the_answer(owner):
    for _ in range(60):
        place(owner, "shop", day(2), bun=5)
    answer = owner.delete("/customers/shop")
    assert answer.status == 409 and len(answer.text) < 4000


def test_what_is_no_longer_used_can_go(owner):
    enter(owner, {"/ingredients/caraway": {"name": "Caraway", "kind": "other", "unit": "g"},
                  "/ingredients/caraway/prices/2027-01-01": {"pack_g": 100, "price": "1"},
                  "/products/roll": {"name": "Roll", "parts": [{"formula": "bun", "g": 60}, {"ingredient": "caraway", "g": 1}]}})
    order = place(owner, "cafe", day(3), roll=5)
    for path in ("/products/roll", "/ingredients/caraway"):
        assert owner.delete(path).status == 409
    for path in (order.location, "/products/roll", "/ingredients/caraway"):
        assert owner.delete(path).status == 204
        assert owner.get(path).status == 404
        assert owner.delete(path).status == 404
    assert owner.get("/ingredients/caraway/prices").status == 404


def test_a_mixer_that_a_formula_names_stays(owner):
    without = {**BAKERY, "mixers": BAKERY["mixers"][:1]}
    answer = owner.put("/bakery", without)
    assert answer.status == 409 and "bun" in answer.text
    assert owner.get("/bakery")["mixers"] == [{**mixer, "friction_c": None, "power_w": None} for mixer in BAKERY["mixers"]]


def test_a_change_that_would_break_another_formula_is_409_and_names_it(owner):
    """The seeded dough takes its salt and seeds out of its own lines: a saltier soaker would leave
    less than none."""
    salty = {**FORMULAS["/formulas/seed-soaker"], "lines": [{"ingredient": "sunflower", "pct": 60},
                                                            {"ingredient": "salt", "pct": 40}]}
    before = owner.get("/formulas/seed-soaker").text
    answer = owner.put("/formulas/seed-soaker", salty)
    assert answer.status == 409 and "seeded" in answer.text, answer
    assert owner.get("/formulas/seed-soaker").text == before


def test_a_starter_that_would_drown_a_dough_is_409(owner):
    wet = {**FORMULAS["/starters/levain"], "hydration_pct": 600}
    answer = owner.put("/starters/levain", wet)
    assert answer.status == 409 and "country" in answer.text, answer
    assert owner.get("/starters/levain")["hydration_pct"] == 100


@pytest.mark.parametrize("path, body", [
    ("/ingredients/water", {"name": "Water", "kind": "other", "unit": "g"}),
    ("/ingredients/rye-flour", {"name": "Rye", "kind": "other", "unit": "g"}),
    ("/ingredients/salt", {"name": "Salt", "kind": "salt", "unit": "piece"}),
    ("/ingredients/bag", {"name": "Bag", "kind": "packaging", "unit": "g"}),
])
def test_an_ingredient_does_not_change_into_what_its_users_cannot_take(owner, path, body):
    before = owner.get(path).text
    assert owner.put(path, body).status == 409
    assert owner.get(path).text == before


def test_a_product_in_an_order_can_be_changed(owner):
    heavier = {**PRODUCTS["/products/bun"], "parts": [{"formula": "bun", "g": 95}]}
    assert owner.put("/products/bun", heavier).status == 200
    dough, = owner.get(f"/days/{day(1)}/production")["doughs"]
    assert dough["g"] == 5 * 95
