"""Every figure explains itself: 100 random bakeries, whose costs are reckoned a second time leaf by leaf
in exact fractions, and whose needs open into the orders that make them."""

from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest

import oracle
import oracle_cost
from harness import Client, enter, open_bakeries
from oracle_book import money, number, rounded
from pricework import figure, leaves, not_adding_up, unsound
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
