"""200 random bakeries, entered through the API and reckoned a second time in exact fractions: every
figure of every list agrees to its last printed digit, and in every mix the lines make up the dough.

All of them live side by side on one server and in one database, so none may see another's.
"""

from concurrent.futures import ThreadPoolExecutor

import pytest

import oracle
from harness import Client, enter, open_bakeries

SEEDS = range(200)
THREADS = 4
HALF_A_MILLIGRAM = oracle.Decimal("0.0005")


def things(bakery):
    """path -> body of everything but orders, in an order in which it can be entered."""
    paths = {"/bakery": bakery["bakery"]}
    paths.update({f"/ingredients/{code}": body for code, body in bakery["ingredients"].items()})
    paths.update({f"/ingredients/{code}/prices/{date}": body
                  for code, dates in bakery["prices"].items() for date, body in dates.items()})
    for kind in ("starters", "formulas", "products", "customers"):
        paths.update({f"/{kind}/{code}": body for code, body in bakery[kind].items()})
    return paths


def reckonings(bakery):
    """(path, what it must answer) of everything that follows from the bakery."""
    for code in bakery["formulas"]:
        yield f"/formulas/{code}", oracle.formula_view(bakery, code)
    for day in sorted({order["date"] for order in bakery["orders"]}):
        yield f"/days/{day}/production", oracle.production(bakery, day)
        yield f"/days/{day}/needs", oracle.needs(bakery, day)
        yield f"/days/{day}/cost", oracle.cost(bakery, day)
    for date in oracle.mixing_dates(bakery):
        yield f"/mixing-lists/{date}", oracle.mixing_list(bakery, date)


def not_conserved(mixing_list):
    """Mixes whose lines do not make up their dough, beyond the half milligram that each may be rounded by."""
    return [mix["formula"] for mix in mixing_list["mixes"]
            if abs(sum(line["exact_g"] for line in mix["lines"]) - mix["batch_g"]) > HALF_A_MILLIGRAM * (len(mix["lines"]) + 1)
            or abs(mix["batches"] * mix["batch_g"] - mix["dough_g"]) > HALF_A_MILLIGRAM * (mix["batches"] + 1)]


def check(client, bakery):
    enter(client, things(bakery))
    for order in bakery["orders"]:
        assert client.post("/orders", order).status == 201
    wrong = []
    for path, expected in reckonings(bakery):
        answer = client.get(path)
        assert answer.status == 200, answer
        wrong += [f"{path}{difference}" for difference in oracle.differences(expected, answer.body)]
        if "mixes" in answer.body:
            wrong += [f"{path}: the lines of {formula} are not its dough" for formula in not_conserved(answer.body)]
    return wrong


@pytest.fixture(scope="module")
def clients(server):
    return [Client(server, token) for token in open_bakeries(server.conninfo, len(SEEDS))]


def test_not_one_figure_is_off_by_its_last_digit(clients):
    with ThreadPoolExecutor(THREADS) as threads:
        results = list(threads.map(lambda seed: check(clients[seed], oracle.random_bakery(seed)), SEEDS))
    wrong = [f"bakery {seed}: {difference}" for seed, differences in zip(SEEDS, results) for difference in differences]
    assert not wrong, f"{len(wrong)} differences:\n" + "\n".join(wrong[:20])
