"""1,500 orders of 12 lines for one day: each list answers in one go, and its cost grows no faster
than the lines."""

import statistics
import threading
import time

import pytest

from bakehouse import FORMULAS, day, open_bakehouse
from harness import enter, place

QUARTER, WHOLE, LINES = 375, 1500, 12
DATE = day(1)
PATHS = [f"/days/{DATE}/production", f"/days/{DATE}/needs", f"/days/{DATE}/cost", f"/mixing-lists/{day(0)}"]
PRODUCTS = [f"p{n}" for n in range(60)]
CUSTOMERS = [f"c{n}" for n in range(100)]
THREADS = 4


def lines_of(n):
    return [{"product": PRODUCTS[(n * 7 + k * 5) % len(PRODUCTS)], "pieces": 1 + (n + k) % 40} for k in range(LINES)]


def order_many(client, first, last):
    def send(start):
        for n in range(start, last, THREADS):
            answer = client.post("/orders", {"customer": CUSTOMERS[n % len(CUSTOMERS)], "date": DATE, "lines": lines_of(n)})
            assert answer.status == 201, answer
            sent.append(n)

    sent = []
    threads = [threading.Thread(target=send, args=(first + k,)) for k in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(sent) == last - first


def seconds(client, path):
    """The middle of seven."""
    taken = []
    for _ in range(7):
        begin = time.perf_counter()
        assert client.get(path).status == 200
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken)


@pytest.fixture(scope="module")
def grown(owner):
    """What each path took with a quarter of the orders, and with all."""
    open_bakehouse(owner)
    codes = [path.split("/")[2] for path in FORMULAS if path.startswith("/formulas")]
    enter(owner, {f"/products/{code}": {"name": code, "parts": [{"formula": codes[n % len(codes)], "g": 50 + n}]}
                  for n, code in enumerate(PRODUCTS)})
    enter(owner, {f"/customers/{code}": {"name": code} for code in CUSTOMERS})
    order_many(owner, 0, QUARTER)
    quarter = {path: seconds(owner, path) for path in PATHS}
    order_many(owner, QUARTER, WHOLE)
    return quarter, {path: seconds(owner, path) for path in PATHS}


@pytest.mark.parametrize("path", PATHS)
def test_four_times_the_lines_cost_at_most_four_times_as_much(grown, path):
    quarter, whole = grown[0][path], grown[1][path]
    assert whole <= 4 * quarter * 1.25 + 0.01, f"{quarter * 1000:.1f} ms became {whole * 1000:.1f} ms"


def test_every_piece_of_every_line_is_counted(grown, owner):
    expected = {}
    for n in range(WHOLE):
        for line in lines_of(n):
            expected[line["product"]] = expected.get(line["product"], 0) + line["pieces"]
    shown = {item["product"]: item["ordered"] for item in owner.get(PATHS[0])["products"]}
    assert shown == expected
    assert len(owner.list(f"/orders?date={DATE}")) == WHOLE


def test_one_hundred_lines_of_one_product_add_up_in_one_order(grown, owner):
    answer = owner.post("/orders", {"customer": "c0", "date": day(3), "lines": [{"product": "p0", "pieces": 2}] * 100})
    assert answer.status == 201
    product, = owner.get(f"/days/{day(3)}/production")["products"]
    assert product["ordered"] == 200


def test_a_day_too_heavy_to_be_reckoned_is_refused_not_wrapped(grown, owner):
    """Orders are small enough when they are placed; then somebody gives the product a weight of 10^12 g."""
    def giant(g):
        enter(owner, {"/products/giant": {"name": "Giant", "parts": [{"formula": "country", "g": g}]}})

    giant(1000)
    order = place(owner, "c0", day(5), giant=1000000)
    giant(10 ** 12)
    for path in (f"/days/{day(5)}/production", f"/days/{day(5)}/needs", f"/days/{day(5)}/cost", f"/mixing-lists/{day(4)}"):
        assert owner.get(path).status == 422, path
    giant(1000)
    dough, = owner.get(f"/days/{day(5)}/production")["doughs"]
    assert dough["g"] > 10 ** 9
    owner.delete(order.location)
