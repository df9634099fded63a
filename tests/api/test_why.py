"""Every figure explains itself: 100 random bakeries, whose costs are reckoned a second time leaf by leaf
in exact fractions, and whose needs open into the orders that make them."""

import re
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from fractions import Fraction

import pytest

import oracle
import oracle_cost
from bakehouse import day
from harness import Client, enter, open_bakeries, place
from oracle_book import grams, money, number, rounded
from pricework import figure, leaves, not_adding_up, open_shop, unsound
from test_oracle import things

SEEDS = range(100)
THREADS = 4


def priced(bakery):
    """path -> body of everything but orders."""
    paths = things(bakery)
    paths.update({f"/rates/{since}": body for since, body in bakery["rates"].items()})
    paths.update({f"/products/{code}/pricing": body for code, body in bakery["pricing"].items()})
    return paths


def differences_of_cost(piece, cost):
    """Leaf by leaf: the cost of each, rounded by itself; what is left out; minutes; what a kilogram costs."""
    expected = piece.leaves()
    wrong = []
    for kind in oracle_cost.KINDS:
        mine = sorted(money(leaf) if leaf is not None else Decimal(-1) for leaf in expected.get(kind, []))
        theirs = sorted(Decimal(-1) if leaf["missing"] else figure(leaf) for line in cost["lines"] if line["what"] == kind for leaf in leaves(line))
        if mine != theirs:
            wrong.append(f"{kind}: {mine}, {theirs}")
    if cost["left_out"] != piece.left_out():
        wrong.append(f"left out: {cost['left_out']}")
    minutes = rounded(piece.minutes(), 4)
    if cost["labour_minutes_each"] != minutes:
        wrong.append(f"minutes: {minutes}, {cost['labour_minutes_each']}")
    if cost["cost_each"] is not None:
        a_gram = number(cost["cost_each"]) / number(cost["baked_g"])
        if (Decimal(cost["cost_per_kg"]), Decimal(cost["cost_per_100g"])) != (money(1000 * a_gram), money(100 * a_gram)):
            wrong.append(f"a kilogram: {cost['cost_per_kg']}")
    return wrong


def needs_that_do_not_open(client, day):
    needs = client.get(f"/days/{day}/needs").body
    wrong = []
    for need in needs["ingredients"]:
        answer = client.get(f"/days/{day}/needs?why={need['ingredient']}").body
        unit = "g" if "g" in need else "pieces"
        whole = {answer[unit], answer["why"]["value"], sum(figure(leaf) for leaf in leaves(answer["why"]))}
        if whole != {need[unit]}:
            wrong.append(f"{day} {need['ingredient']}: {need[unit]}, {whole}")
        wrong += [f"{day} {fault}" for fault in unsound(answer["why"])]
        wrong += [f"{day} {leaf['what']} is no order" for leaf in leaves(answer["why"])
                  if not leaf["where"].startswith("/api/v1/orders/") and leaf["what"] != "spare"]
    return wrong


def check(client, bakery):
    enter(client, priced(bakery))
    for order in bakery["orders"]:
        assert client.post("/orders", order).status == 201
    wrong, figures, shares = [], 0, oracle_cost.Shares(bakery)
    days = sorted({order["date"] for order in bakery["orders"]})
    for code in bakery["products"]:
        ordered = [day for day in days if code in shares.ordered[oracle.day_of(day)]]
        for query in [""] + [f"date={day}&" for day in ordered[:2]]:
            cost = client.get(f"/products/{code}/cost?{query}why=1")
            assert cost.status == 200, cost
            wrong += [f"{code} {query}{fault}" for fault in not_adding_up(cost.body)]
            plain = client.get(f"/products/{code}/cost?{query}").body
            if {**cost.body, "lines": [{name: line[name] for name in ("what", "cost", "known")} for line in cost["lines"]]} != plain:
                wrong.append(f"{code} {query} is another without why")
            if query:
                wrong += [f"{code} {query}{fault}" for fault in differences_of_cost(oracle_cost.Piece(shares, query[5:15], code), cost.body)]
                figures += sum(len(leaves(line)) for line in cost["lines"])
    return wrong + needs_that_do_not_open(client, days[0]), figures


@pytest.fixture(scope="module")
def clients(server):
    return [Client(server, token) for token in open_bakeries(server.conninfo, len(SEEDS))]


def test_leaves_sum_to_the_figure_and_are_the_facts_that_they_should_be(clients):
    bakeries = [oracle_cost.with_costs(oracle.random_bakery(seed), seed) for seed in SEEDS]
    with ThreadPoolExecutor(THREADS) as threads:
        results = list(threads.map(lambda seed: check(clients[seed], bakeries[seed]), SEEDS))
    wrong = [f"bakery {seed}: {fault}" for seed, (faults, _) in zip(SEEDS, results) for fault in faults]
    assert not wrong, f"{len(wrong)} differences:\n" + "\n".join(wrong[:20])
    assert sum(figures for _, figures in results) > 50000


# --- needs, in a bakery that can be followed by eye ---


@pytest.fixture(scope="module")
def orders(owner):
    """20 loaves of the café and 5 of the shop, with one in spare; 12 buns in two bags each."""
    open_shop(owner)
    cafe, shop = place(owner, "cafe", day(1), country_loaf=20), place(owner, "shop", day(1), country_loaf=5, bun=12)
    return {"Café at the bridge": cafe.location, "Corner shop": shop.location}


def test_a_need_opens_into_lines_and_orders(baker, orders):
    """Rye comes into the dough by its own line and by the starter, and 1.5 % stay behind in handling."""
    answer = baker.get(f"/days/{day(1)}/needs?why=rye-flour").body
    assert answer["g"] == answer["why"]["value"] == grams(26 * Fraction(920 * 10, 174) / Fraction("0.985"))
    assert (answer["date"], answer["ingredient"], answer["name"], "pieces" in answer) == (day(1), "rye-flour", "Rye flour", False)
    assert answer["why"]["where"] == f"/api/v1/days/{day(1)}/needs"
    loaf, = answer["why"]["children"]
    assert (loaf["what"], loaf["quantity"], loaf["unit"]) == ("Country loaf", 26, "piece")
    dough, = loaf["children"]
    assert dough["what"].startswith("Country dough") and "1.5 %" in dough["what"] and dough["where"] == "/api/v1/formulas/country"
    assert [line["what"] for line in dough["children"]] == ["Rye flour, in Country dough", "Levain, in Country dough"]
    for line, share in zip(dough["children"], (Fraction(10) - 3, Fraction(3))):  # 15 % of the flour is in the starter, a fifth of it rye
        for end, pieces in zip(line["children"], (20, 5, 1)):
            assert end["quantity"] == pieces and abs(end["value"] - grams(pieces * Fraction(920, 174) / Fraction("0.985") * share)) <= Decimal("0.001")
        assert [end["where"] for end in line["children"]] == [orders["Café at the bridge"], orders["Corner shop"], "/api/v1/products/country-loaf"]
        assert [end["what"] for end in line["children"]] == ["Café at the bridge", "Corner shop", "spare"]
    assert not unsound(answer["why"])


def test_a_need_by_the_piece(baker, orders):
    answer = baker.get(f"/days/{day(1)}/needs?why=bag").body
    assert answer["pieces"] == answer["why"]["value"] == 24 + 26 and "g" not in answer
    assert {child["what"]: child["value"] for child in answer["why"]["children"]} == {"Country loaf": 26, "Sesame bun": 24}
    assert sorted(leaf["value"] for leaf in leaves(answer["why"])) == [1, 5, 20, 24]


def test_what_is_not_needed_has_no_tree(baker, orders):
    answer = baker.get(f"/days/{day(1)}/needs?why=sunflower").body
    assert (answer["g"], answer["why"]["value"], answer["why"]["children"]) == (0, 0, [])


def test_the_baker_sees_grams_and_no_money(baker, counter, orders):
    answer = baker.get(f"/days/{day(1)}/needs?why=water")
    assert not {"cost", "price", "rate", "micros"} & set(re.findall(r'"(\w+)":', answer.text))
    assert counter.get(f"/days/{day(1)}/needs?why=water").status == 403
    assert baker.get(f"/days/{day(1)}/needs?why=gold").status == 422
    assert baker.get("/products/bun/cost?why=1").status == 403
