#!/usr/bin/python3
"""How fast the server is here: orders, production and mixing lists a second. Not part of the usual run.

    tests/bench/bench.py [--seconds 10] [--connections 8] [--lines 1600000]

MORROWLOAF names the binary (build it without sanitizers), MORROWLOAF_TEST_CONNINFO a PostgreSQL as
for the tests; without it a private one is made, with its usual promises about durability. --lines
first fills the book with that many order lines over a year, straight into the tables.

The load comes from processes of Python, so on few cores part of what is measured is the client.
"""

import argparse
import http.client
import json
import multiprocessing
import os
import sys
import time
import uuid

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "api"))

import harness  # noqa: E402
from bakehouse import FORMULAS, day, open_bakehouse  # noqa: E402

PRODUCTS, CUSTOMERS, LINES_OF_AN_ORDER, DAYS = 120, 200, 12, 365


def fill(conninfo, lines):
    """Orders of a year, by SQL: the server would take minutes for it."""
    orders = lines // LINES_OF_AN_ORDER
    harness.psql(conninfo, f"""
        SET search_path = morrowloaf;
        SELECT set_config('morrowloaf.bakery_id', '1', false);
        WITH placed AS (
            INSERT INTO customer_order (bakery_id, customer, bread_day, placed_by)
            SELECT 1, 'c' || n % {CUSTOMERS}, date '{day(0)}' + n % {DAYS}, 'bench' FROM generate_series(1, {orders}) n
            RETURNING order_id, customer, bread_day)
        INSERT INTO order_line (bakery_id, order_id, position, bread_day, customer, product, pieces)
        SELECT 1, order_id, k, bread_day, customer, 'p' || (order_id * 7 + k * 11) % {PRODUCTS}, 1 + (order_id + k) % 40
        FROM placed, generate_series(0, {LINES_OF_AN_ORDER - 1}) k;""")
    harness.psql(conninfo, "VACUUM ANALYZE")


def enter_book(client):
    open_bakehouse(client)
    codes = [path.split("/")[2] for path in FORMULAS if path.startswith("/formulas")]
    harness.enter(client, {f"/products/p{n}": {"name": f"Product {n}", "parts": [{"formula": codes[n % len(codes)], "g": 50 + n}]}
                           for n in range(PRODUCTS)})
    harness.enter(client, {f"/customers/c{n}": {"name": f"Customer {n}"} for n in range(CUSTOMERS)})


def send(port, token, kind, seconds, results):
    """One connection, one request after the other."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    headers = {"Authorization": f"Bearer {token}"}
    etag, taken, count = None, [], 0
    until = time.perf_counter() + seconds
    while time.perf_counter() < until:
        count += 1
        method, path, body, more = request(kind, count, etag)
        begin = time.perf_counter()
        connection.request(method, path, body=body, headers={**headers, **more})
        answer = connection.getresponse()
        answer.read()
        taken.append(time.perf_counter() - begin)
        etag = answer.getheader("ETag")
        if answer.status not in (200, 201, 304):
            raise SystemExit(f"{method} {path}: {answer.status}")
    results.put(taken)


def request(kind, count, etag):
    if kind == "orders":
        lines = [{"product": f"p{(count * 7 + k * 11) % PRODUCTS}", "pieces": 1 + k} for k in range(LINES_OF_AN_ORDER)]
        body = json.dumps({"customer": f"c{count % CUSTOMERS}", "date": day(count % DAYS), "lines": lines})
        return "POST", "/api/v1/orders", body, {"Content-Type": "application/json", "Idempotency-Key": uuid.uuid4().hex}
    path = {"production": f"/api/v1/days/{day(count % DAYS)}/production", "needs": f"/api/v1/days/{day(count % DAYS)}/needs",
            "mixing list": f"/api/v1/mixing-lists/{day(count % DAYS)}", "production, 304": f"/api/v1/days/{day(1)}/production"}[kind]
    return "GET", path, None, {"If-None-Match": etag} if kind.endswith("304") and etag else {}


def measure(server, token, kind, connections, seconds):
    results = multiprocessing.Queue()
    senders = [multiprocessing.Process(target=send, args=(server.port, token, kind, seconds, results)) for _ in range(connections)]
    for sender in senders:
        sender.start()
    taken = sorted(sum((results.get(timeout=seconds + 120) for _ in senders), []))
    for sender in senders:
        sender.join()
    at = [taken[min(len(taken) - 1, int(len(taken) * share))] * 1000 for share in (0.5, 0.99)]
    print(f"{kind:<18}{len(taken) / seconds:>10.0f}{at[0]:>12.2f}{at[1]:>12.2f}{taken[-1] * 1000:>12.2f}")


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--seconds", type=float, default=10)
    options.add_argument("--connections", type=int, default=8)
    options.add_argument("--lines", type=int, default=0)
    chosen = options.parse_args()
    cluster = None if os.environ.get("MORROWLOAF_TEST_CONNINFO") else harness.Cluster()
    maintenance = os.environ.get("MORROWLOAF_TEST_CONNINFO") or cluster.conninfo
    name = f"morrowloaf_bench_{uuid.uuid4().hex[:8]}"
    harness.psql(maintenance, f"CREATE DATABASE {name}")
    conninfo = f"{maintenance} dbname={name}"
    try:
        harness.program(conninfo, "migrate")
        token = harness.program(conninfo, "token", "add", "bench", "--role", "owner").strip().splitlines()[-1]
        server = harness.Server(conninfo)
        enter_book(harness.Client(server, token, checked=False))
        if chosen.lines:
            begin = time.monotonic()
            fill(conninfo, chosen.lines)
            print(f"{chosen.lines} order lines entered in {time.monotonic() - begin:.0f} s")
        print(f"{chosen.connections} connections, {chosen.seconds:g} s each\n")
        print(f"{'':<18}{'a second':>10}{'median ms':>12}{'p99 ms':>12}{'worst ms':>12}")
        for kind in ("orders", "production", "needs", "mixing list", "production, 304"):
            measure(server, token, kind, chosen.connections, chosen.seconds)
        server.stop()
    finally:
        harness.psql(maintenance, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        if cluster:
            cluster.stop()


if __name__ == "__main__":
    main()
