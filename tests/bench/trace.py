#!/usr/bin/python3
"""How fast a trace is: lots that went into 400 mixes, and bread days, in three years of history. Not part of
the usual run.

    tests/bench/trace.py [--requests 200] [--lines 1600000]

MORROWLOAF names the binary (build it without sanitizers), MORROWLOAF_TEST_CONNINFO a PostgreSQL as for the
tests; without it a private one is made. The history goes straight into the tables: every night two batches of
poolish and one of each of 20 doughs, half of which take poolish and half levain, from weekly lots; the levain
is fed twice a day. One lot went into 400 mixes scattered over all three years, another into all mixes and feeds
of 20 nights in a row.
"""

import argparse
import http.client
import os
import sys
import time
import uuid

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "api"))

import harness  # noqa: E402
from bakehouse import open_bakehouse  # noqa: E402

PRODUCTS, CUSTOMERS, LINES_OF_AN_ORDER, DAYS, DOUGHS = 120, 200, 12, 1095, 20
FIRST = f"(current_date - {DAYS})"
SCATTERED, DENSE, DENSE_FROM, DENSE_DAYS = 5000, 5001, 700, 20

BATCHES = f"""
    CREATE TEMPORARY TABLE made AS
    SELECT k * 100 + 10 + i AS posting, k, {FIRST} + k AS day, 'd' || i AS formula, i, 24000000 AS mg,
           CASE WHEN k BETWEEN {DENSE_FROM} AND {DENSE_FROM + DENSE_DAYS - 1} THEN {DENSE}
                WHEN i = k % {DOUGHS} AND k * 408 / {DAYS} <> (k - 1) * 408 / {DAYS} THEN {SCATTERED} ELSE 1 + k / 7 END AS lot
      FROM generate_series(0, {DAYS - 1}) k, generate_series(0, {DOUGHS - 1}) i
    UNION ALL
    SELECT k * 100 + 1 + i, k, {FIRST} + k, 'poolish', i, 10100000, CASE WHEN k BETWEEN {DENSE_FROM} AND {DENSE_FROM + DENSE_DAYS - 1} THEN {DENSE} ELSE 1 + k / 7 END
      FROM generate_series(0, {DAYS - 1}) k, generate_series(0, 1) i;"""

STOCK = f"""
    INSERT INTO stock (bakery_id, ingredient) VALUES (1, 'bread-flour'), (1, 'rye-flour'), (1, 'salt');
    INSERT INTO posting (bakery_id, number, kind, date, by, supplier, delivery_note)
    SELECT 1, 1000000 + lot, 'received', day, 'bench', 'mill', 'DN ' || lot
      FROM (SELECT 1 + w AS lot, {FIRST} + w * 7 AS day FROM generate_series(0, {DAYS // 7}) w
            UNION ALL SELECT 1001 + w, {FIRST} + w * 7 FROM generate_series(0, {DAYS // 7}) w
            UNION ALL SELECT 2001 + w, {FIRST} + w * 30 FROM generate_series(0, {DAYS // 30}) w
            UNION ALL SELECT {SCATTERED}, {FIRST} UNION ALL SELECT {DENSE}, {FIRST} + {DENSE_FROM}) lots;
    INSERT INTO lot (bakery_id, number, ingredient, posting, supplier, received_on, received, lot_mark)
    SELECT 1, number - 1000000, CASE WHEN number < 1001000 OR number >= 1005000 THEN 'bread-flour' WHEN number < 1002000 THEN 'rye-flour' ELSE 'salt' END,
           number, 'mill', date, 100000000000, 'M' || number FROM posting WHERE kind = 'received';
    INSERT INTO lot_place (bakery_id, lot, place, ingredient, amount) SELECT 1, number, 'store', ingredient, 0 FROM lot;"""

LOG = f"""
    INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
    VALUES (1, 'levain', 1, 'begun', {FIRST}, 'bench', 1000000, 1000000);
    INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg, seed_mg, flour_mg, water_mg)
    SELECT 1, 'levain', k * 14 + 2 + f * 13, 'fed', {FIRST} + k + f * interval '12 hours', 'bench',
           CASE WHEN f = 1 THEN 2200000 WHEN k = 0 THEN 3400000 ELSE 0 END, 4400000, 400000, 2000000, 2000000
      FROM generate_series(0, {DAYS - 1}) k, generate_series(0, 1) f;
    INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
    SELECT 1, 'levain', k * 14 + 3 + t, 'taken', {FIRST} + k + interval '6 hours', 'bench', CASE WHEN t < 2 THEN -100000 ELSE -200000 END,
           CASE WHEN t < 2 THEN 4300000 - t * 100000 ELSE 4200000 - (t - 1) * 200000 END
      FROM generate_series(0, {DAYS - 1}) k, generate_series(0, 11) t;"""

MOVES = f"""
    INSERT INTO posting (bakery_id, number, kind, date, by) SELECT 1, posting, 'mixed', day, 'bench' FROM made;
    INSERT INTO posting (bakery_id, number, kind, date, by, starter, log_entry)
    SELECT 1, k * 100 + 50 + f, 'fed', {FIRST} + k, 'bench', 'levain', k * 14 + 2 + f * 13
      FROM generate_series(0, {DAYS - 1}) k, generate_series(0, 1) f;
    INSERT INTO mixed_batch (bakery_id, posting, mixing_date, formula, batch, attempt, mixed_at, dough_mg)
    SELECT 1, posting, day, formula, CASE formula WHEN 'poolish' THEN i + 1 ELSE 1 END, 1, day + interval '20 hours', mg FROM made ORDER BY posting;
    INSERT INTO mixed_batch_line (bakery_id, posting, position, ingredient, starter, part, mg, log_entry, part_mixing_date)
    SELECT 1, posting, position, ingredient, starter, part, l.mg, log_entry, part_day FROM made, LATERAL (VALUES
        (1, 'bread-flour', NULL, NULL, CASE formula WHEN 'poolish' THEN 5000000 ELSE 12000000 END, NULL, NULL::date),
        (2, 'water', NULL, NULL, CASE formula WHEN 'poolish' THEN 5000000 ELSE 8000000 END, NULL, NULL),
        (3, 'rye-flour', NULL, NULL, CASE formula WHEN 'poolish' THEN 0 ELSE 2000000 END, NULL, NULL),
        (4, 'salt', NULL, NULL, CASE formula WHEN 'poolish' THEN 0 ELSE 300000 END, NULL, NULL),
        (5, NULL, CASE WHEN formula = 'poolish' OR i % 2 = 1 THEN 'levain' END, CASE WHEN formula <> 'poolish' AND i % 2 = 0 THEN 'poolish' END,
         CASE WHEN formula = 'poolish' THEN 100000 WHEN i % 2 = 1 THEN 200000 ELSE 1700000 END,
         CASE WHEN formula = 'poolish' THEN k * 14 + 3 + i WHEN i % 2 = 1 THEN k * 14 + 5 + i / 2 END,
         CASE WHEN formula <> 'poolish' AND i % 2 = 0 THEN day END)) AS l (position, ingredient, starter, part, mg, log_entry, part_day)
     WHERE l.mg > 0 ORDER BY posting, position;
    INSERT INTO mixed_batch_for (bakery_id, posting, bread_day, product)
    SELECT 1, posting, day + 1, 'p' || (i + {DOUGHS} * p) FROM made, generate_series(0, {PRODUCTS // DOUGHS - 1}) p WHERE formula <> 'poolish';
    INSERT INTO movement (bakery_id, posting, kind, date, ingredient, lot, place, delta)
    SELECT 1, number, 'received', date, (SELECT l.ingredient FROM lot l WHERE l.posting = p.number), number - 1000000, 'store', 100000000000 FROM posting p WHERE kind = 'received';
    INSERT INTO movement (bakery_id, posting, kind, date, ingredient, lot, place, delta)
    SELECT 1, posting, 'mixed', day, l.ingredient, CASE l.ingredient WHEN 'bread-flour' THEN lot WHEN 'rye-flour' THEN 1001 + k / 7 ELSE 2001 + k / 30 END, 'store', -l.mg
      FROM made JOIN mixed_batch_line l USING (posting) WHERE l.ingredient <> 'water' ORDER BY posting, position;
    INSERT INTO movement (bakery_id, posting, kind, date, ingredient, lot, place, delta)
    SELECT 1, number, 'fed', date, flour, CASE WHEN flour = 'rye-flour' THEN 1001 + k / 7
           WHEN k BETWEEN {DENSE_FROM} AND {DENSE_FROM + DENSE_DAYS - 1} THEN {DENSE} ELSE 1 + k / 7 END, 'store', -mg
      FROM (SELECT *, (log_entry - 2) / 14 AS k FROM posting WHERE kind = 'fed') p, (VALUES ('bread-flour', 1600000), ('rye-flour', 400000)) AS f (flour, mg);
    UPDATE lot_place p SET amount = (SELECT sum(delta) FROM movement m WHERE m.lot = p.lot);
    UPDATE stock s SET amount = (SELECT sum(amount) FROM lot_place p WHERE p.ingredient = s.ingredient);"""


def orders(lines):
    return f"""
    WITH placed AS (
        INSERT INTO customer_order (bakery_id, customer, bread_day, placed_by)
        SELECT 1, 'c' || (n + 4 * (n / {DAYS})) % {CUSTOMERS}, {FIRST} + 1 + n % {DAYS}, 'bench' FROM generate_series(1, {lines // LINES_OF_AN_ORDER}) n
        RETURNING order_id, customer, bread_day)
    INSERT INTO order_line (bakery_id, order_id, position, bread_day, customer, product, pieces)
    SELECT 1, order_id, k, bread_day, customer, 'p' || (order_id * 7 + k * 11) % {PRODUCTS}, 1 + (order_id + k) % 40
    FROM placed, generate_series(0, {LINES_OF_AN_ORDER - 1}) k;"""


def fill(conninfo, lines):
    begin = "SET search_path = morrowloaf; SELECT set_config('morrowloaf.bakery_id', '1', false);"
    harness.psql(conninfo, begin + BATCHES + STOCK + LOG + MOVES + orders(lines))
    harness.psql(conninfo, "VACUUM ANALYZE")


def enter_book(client):
    open_bakehouse(client)
    flour = [{"ingredient": "bread-flour", "pct": 85}, {"ingredient": "rye-flour", "pct": 15}, {"ingredient": "water", "pct": 60}, {"ingredient": "salt", "pct": 2}]
    harness.enter(client, {f"/formulas/d{n}": {"name": f"Dough {n}", "basis": "final",
                                               "lines": flour + [{"starter": "levain", "pct": 2} if n % 2 else {"formula": "poolish", "pct": 12}]}
                           for n in range(DOUGHS)})
    harness.enter(client, {f"/products/p{n}": {"name": f"Product {n}", "parts": [{"formula": f"d{n % DOUGHS}", "g": 500 + n}]} for n in range(PRODUCTS)})
    harness.enter(client, {f"/customers/c{n}": {"name": f"Customer {n}", "phone": f"555 {n:04}"} for n in range(CUSTOMERS)})


def measure(connection, token, name, paths, requests):
    taken, size = [], 0
    for n in range(requests):
        begin = time.perf_counter()
        connection.request("GET", paths[n % len(paths)], headers={"Authorization": f"Bearer {token}"})
        answer = connection.getresponse()
        size = len(answer.read())
        taken.append((time.perf_counter() - begin) * 1000)
        assert answer.status == 200, answer.status
    taken.sort()
    print(f"{name:<44}{taken[len(taken) // 2]:>10.1f}{taken[int(len(taken) * 0.99)]:>10.1f}{taken[-1]:>10.1f}{size / 1000:>10.0f}")


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--requests", type=int, default=200)
    options.add_argument("--lines", type=int, default=1600000)
    options.add_argument("--keep", action="store_true", help="leave the database, and say its name")
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
        client = harness.Client(server, token, checked=False)
        enter_book(client)
        begin = time.monotonic()
        fill(conninfo, chosen.lines)
        print(f"{chosen.lines} order lines and {DAYS} nights entered in {time.monotonic() - begin:.0f} s")
        client.forget()  # the server has long hung up
        days = [harness.psql(conninfo, f"SELECT {FIRST} + {1 + n * 17 % DAYS}") for n in range(50)]
        for lot in (SCATTERED, DENSE):
            trace = client.get(f"/lots/{lot}/trace")
            lines = sum(len(customer["lines"]) for customer in trace["customers"])
            print(f"lot {lot}: balanced {trace['balance']['balanced']}, in {len(trace['batches'])} batches, {len(trace['feeds'])} feeds,"
                  f" {len(trace['bread_days'])} bread days, {len(trace['customers'])} customers, {lines} lines, gaps {trace['gaps']}")
        print(f"\n{'':<44}{'median ms':>10}{'p99 ms':>10}{'worst ms':>10}{'kB':>10}")
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
        measure(connection, token, "lot in 400 mixes scattered over 3 years", [f"/api/v1/lots/{SCATTERED}/trace"], chosen.requests)
        measure(connection, token, "lot in all mixes of 20 nights", [f"/api/v1/lots/{DENSE}/trace"], chosen.requests)
        measure(connection, token, "a week's lot of flour", [f"/api/v1/lots/{n}/trace" for n in range(1, 150)], chosen.requests)
        measure(connection, token, "bread days", [f"/api/v1/days/{day}/trace" for day in days], chosen.requests)
        measure(connection, token, "one product of bread days", [f"/api/v1/days/{day}/trace?product=p7" for day in days], chosen.requests)
        server.stop()
    finally:
        if chosen.keep:
            print(conninfo)
        else:
            harness.psql(maintenance, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        if cluster:
            cluster.stop()


if __name__ == "__main__":
    main()
