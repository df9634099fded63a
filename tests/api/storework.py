"""What the tests of the flour store share: a bakery of our own invention that takes in, mixes and counts;
a second book of its lots, kept beside the program's; and what must hold in the database whatever was
done. Never a check of figures by itself."""

import contextlib
import datetime
import itertools
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from bakehouse import ALL, BAKERY
from harness import enter, psql

G = Decimal
TODAY = datetime.datetime.now(ZoneInfo(BAKERY["time_zone"])).date()
CARTER = {"name": "The carter", "note": "Round the back"}
STORE = {**ALL, "/suppliers/carter": CARTER}
NUMBERS = itertools.count(1)


def on(n):
    """The date n days from today."""
    return (TODAY + datetime.timedelta(days=n)).isoformat()


@pytest.fixture(scope="module")
def store(owner, server):
    """The bakery, with a book that hangs together in the end."""
    enter(owner, STORE)
    yield
    assert broken(server.conninfo) == []


@pytest.fixture
def flour(owner):
    return new_ingredient(owner)


def new_ingredient(owner, unit="g", kind="flour", **more):
    """The code of an ingredient that nothing has happened to."""
    code = f"goods-{next(NUMBERS)}"
    enter(owner, {f"/ingredients/{code}": {"name": code.capitalize(), "kind": kind, "unit": unit, **more}})
    return code


def goods(*lines, date=0, supplier="mill", **more):
    """The body of a delivery; date in days from today."""
    return {"date": on(date) if isinstance(date, int) else date, "supplier": supplier, "lines": list(lines), **more}


def received(client, ingredient, g, date=0, **more):
    """One lot, taken in; its number."""
    unit = {"pieces": g} if more.pop("pieces", False) else {"g": str(g)}
    answer = client.post("/goods-in", goods({"ingredient": ingredient, **unit, **more}, date=date))
    assert answer.status == 201, answer
    return answer["lines"][0]["lot"]


def move(client, kind, ingredient=None, g=None, date=None, **more):
    """A movement, whatever becomes of it."""
    body = {"kind": kind, **({"ingredient": ingredient} if ingredient else {}), **({} if g is None else {"g": str(g)}), **more}
    return client.post("/movements", body if date is None else {**body, "date": on(date)})


def moved(client, *words, **more):
    """One that must be taken."""
    answer = move(client, *words, **more)
    assert answer.status == 201, answer
    return answer


def undone(client, number, status=201):
    answer = client.post("/movements", {"kind": "reversed", "reverses": number})
    assert answer.status == status, answer
    return answer


def lines_of(answer):
    """(lot, place, what came or went) of a movement."""
    return [(line["lot"], line["place"], line["g"] if "g" in line else line["pieces"]) for line in answer["lines"]]


def left(client, lot):
    answer = client.get(f"/lots/{lot}")
    return answer["left_g"] if "left_g" in answer.body else answer["left_pieces"]


def batch(client, formula, number, lines=None, date=0, **more):
    """A batch, whatever becomes of it."""
    body = {"formula": formula, "batch": number, **({} if lines is None else {"lines": lines}), **more}
    return client.post(f"/mixing-lists/{on(date)}/batches", body)


def mixed(client, *words, **more):
    answer = batch(client, *words, **more)
    assert answer.status == 201, answer
    return answer


# --- a second book ---


class Book:
    """Lots and what was moved of them, in the plainest way: every balance is added up anew."""

    def __init__(self):
        self.lots = {}    # number -> {ingredient, received_on, best_before, held}
        self.moves = []   # (date, sequence, lot, place, delta)
        self.postings = {}  # number -> (date, moves, how many movements there were then)
        self.undone = set()
        self.gone = set()  # sequences of what was undone and of what undid it

    def lot(self, number, ingredient, received_on, best_before=None, held=False):
        self.lots[number] = {"ingredient": ingredient, "received_on": received_on, "best_before": best_before, "held": held}

    def post(self, number, date, lines):
        self.postings[number] = (date, lines, len(self.moves) + len(lines))
        self.moves += [(date, len(self.moves) + n, *line) for n, line in enumerate(lines)]

    def undo(self, number, reversal):
        self.undone |= {number, reversal}
        for posting in (number, reversal):
            _, lines, after = self.postings[posting]
            self.gone.update(range(after - len(lines), after))

    def shelves(self, ingredient):
        return sorted({(lot, place) for _, _, lot, place, _ in self.moves if self.lots[lot]["ingredient"] == ingredient})

    def balance(self, shelf, date):
        return sum(delta for day, _, lot, place, delta in self.moves if (lot, place) == shelf and day <= date)

    def available(self, shelf, date, after=None):
        """At the end of the day (or on it, after so many movements), so that at no later moment less than nothing is there;
        what was undone is as if it had never been."""
        running, least = Decimal(0), None
        for day, sequence, lot, place, delta in sorted(self.moves):
            if (lot, place) != shelf or sequence in self.gone:
                continue
            if (day > date or (day == date and after is not None and sequence >= after)) and (least is None or running < least):
                least = running
            running += delta
        return running if least is None else min(running, least)

    def taken(self, ingredient, amount, date, lot=None, place=None, held=False):
        """What is taken from which shelf; None: there is too little."""
        def order(shelf):
            best_before = self.lots[shelf[0]]["best_before"]
            return (best_before is not None and best_before < date, best_before is None, best_before or "", shelf)

        lines = []
        for shelf in sorted(self.shelves(ingredient), key=order):
            about = self.lots[shelf[0]]
            if (lot not in (None, shelf[0]) or place not in (None, shelf[1]) or (about["held"] and not held) or about["received_on"] > date):
                continue
            part = min(amount, self.available(shelf, date))
            if part > 0:
                lines.append((*shelf, -part))
                amount -= part
        return None if amount > 0 else lines

    def reversal(self, number):
        """What undoes a posting; None: it cannot be undone, for that would leave less than nothing some day."""
        date, lines, after = self.postings[number]
        lines = [(lot, place, -delta) for lot, place, delta in lines]
        need = {}
        for lot, place, delta in lines:
            need[lot, place] = need.get((lot, place), 0) + delta
        return lines if all(delta >= 0 or self.available(shelf, date, after) >= -delta for shelf, delta in need.items()) else None


# --- what always holds ---

# Each selects what breaks its sentence.
RULES = {
    "a shelf holds the sum of its movements":
        """SELECT lot, place, amount, moved FROM lot_place p FULL JOIN (SELECT bakery_id, lot, place, sum(delta) AS moved FROM movement GROUP BY 1, 2, 3) m
           USING (bakery_id, lot, place) WHERE coalesce(amount, -1) <> coalesce(moved, 0)""",
    "the stock of an ingredient is the sum of its movements":
        """SELECT ingredient, amount, moved FROM stock FULL JOIN (SELECT bakery_id, ingredient, sum(delta) AS moved FROM movement GROUP BY 1, 2) m
           USING (bakery_id, ingredient) WHERE coalesce(amount, -1) <> coalesce(moved, 0)""",
    "a movement is of its lot's ingredient":
        """SELECT m.number FROM movement m JOIN lot l ON l.number = m.lot AND l.bakery_id = m.bakery_id
             JOIN lot_place p ON p.lot = m.lot AND p.place = m.place AND p.bakery_id = m.bakery_id
            WHERE m.ingredient <> l.ingredient OR m.ingredient <> p.ingredient""",
    "at no moment of the history is there less than nothing, as if what was undone had never been":
        """SELECT * FROM (SELECT number, lot, place, date, sum(delta) OVER (PARTITION BY bakery_id, lot, place ORDER BY date, number) AS there FROM movement m
            WHERE reverses IS NULL AND NOT EXISTS (SELECT FROM movement r WHERE r.bakery_id = m.bakery_id AND r.reverses = m.number)) m WHERE there < 0""",
    "nothing is moved of a lot before it came in":
        "SELECT m.number FROM movement m JOIN lot l ON l.number = m.lot AND l.bakery_id = m.bakery_id WHERE m.date < l.received_on",
    "a lot came in as it says":
        """SELECT l.number, received, came FROM lot l LEFT JOIN (SELECT bakery_id, lot, posting, sum(delta) AS came FROM movement WHERE delta > 0 GROUP BY 1, 2, 3) m
               ON m.bakery_id = l.bakery_id AND m.lot = l.number AND m.posting = l.posting WHERE came IS DISTINCT FROM received""",
    "a movement has kind and date of its posting, or of what is undone":
        """SELECT m.number FROM movement m JOIN posting p ON p.number = m.posting AND p.bakery_id = m.bakery_id
             LEFT JOIN posting u ON u.number = p.reverses AND u.bakery_id = p.bakery_id
            WHERE m.kind <> coalesce(u.kind, p.kind) OR m.date <> p.date OR p.date <> coalesce(u.date, p.date)""",
    "what is undone is undone whole, movement by movement":
        """SELECT u.number, m.number FROM posting r JOIN posting u ON u.number = r.reverses AND u.bakery_id = r.bakery_id
             JOIN movement m ON m.posting = u.number AND m.bakery_id = u.bakery_id
             LEFT JOIN movement b ON b.reverses = m.number AND b.bakery_id = m.bakery_id
            WHERE (b.posting, b.lot, b.place, b.delta) IS DISTINCT FROM (r.number, m.lot, m.place, -m.delta)""",
    "a reversal moves nothing else":
        """SELECT m.number FROM movement m JOIN posting p ON p.number = m.posting AND p.bakery_id = m.bakery_id
            WHERE (m.reverses IS NOT NULL) <> (p.reverses IS NOT NULL)""",
    "what was moved to another place is neither more nor less":
        "SELECT posting, lot FROM movement WHERE kind = 'moved' GROUP BY bakery_id, posting, lot HAVING sum(delta) <> 0",
    "a batch stands once":
        """SELECT mixing_date, formula, batch FROM mixed_batch b WHERE NOT EXISTS (SELECT FROM posting p WHERE p.reverses = b.posting AND p.bakery_id = b.bakery_id)
            GROUP BY bakery_id, mixing_date, formula, batch HAVING count(*) > 1""",
    "attempts of a batch are numbered, and only the last one may stand":
        """SELECT mixing_date, formula, batch FROM (SELECT b.*, p.number AS undone, row_number() OVER w AS n, lead(attempt) OVER w AS next FROM mixed_batch b
             LEFT JOIN posting p ON p.reverses = b.posting AND p.bakery_id = b.bakery_id
           WINDOW w AS (PARTITION BY b.bakery_id, mixing_date, formula, batch ORDER BY attempt)) a
            WHERE attempt <> n OR (next IS NOT NULL AND undone IS NULL)""",
    "a batch took what was weighed of what stock is kept of":
        """SELECT w.posting, w.ingredient, w.mg, t.mg FROM (SELECT bakery_id, posting, ingredient, sum(mg) AS mg FROM mixed_batch_line
                WHERE ingredient IS NOT NULL GROUP BY 1, 2, 3) w
             FULL JOIN (SELECT m.bakery_id, m.posting, ingredient, -sum(delta) AS mg FROM movement m JOIN posting p ON p.number = m.posting
                            AND p.bakery_id = m.bakery_id AND p.kind = 'mixed' GROUP BY 1, 2, 3) t USING (bakery_id, posting, ingredient)
            WHERE coalesce(w.mg, 0) <> coalesce(t.mg, 0) AND EXISTS (SELECT FROM movement m WHERE m.bakery_id = w.bakery_id
                  AND m.ingredient = w.ingredient AND m.posting < w.posting)""",
    "a batch's taking is in the log, and undone there with the batch":
        """SELECT b.posting, l.starter, l.log_entry FROM mixed_batch b JOIN mixed_batch_line l USING (bakery_id, posting)
             LEFT JOIN starter_log s ON s.bakery_id = l.bakery_id AND s.starter = l.starter AND s.number = l.log_entry
             LEFT JOIN starter_log u ON u.bakery_id = s.bakery_id AND u.starter = s.starter AND u.reverses = s.number
             LEFT JOIN posting r ON r.bakery_id = b.bakery_id AND r.reverses = b.posting
            WHERE l.log_entry IS NOT NULL AND ((s.kind, s.delta_mg) IS DISTINCT FROM ('taken', -l.mg) OR (u.number IS NULL) <> (r.number IS NULL))""",
    "a log follows from entry to entry, and its pot never holds less than nothing":
        """SELECT starter, number FROM (SELECT *, row_number() OVER w AS n, sum(delta_mg) OVER w AS sum FROM starter_log WINDOW w AS
           (PARTITION BY bakery_id, starter ORDER BY number)) s WHERE number <> n OR on_hand_mg <> sum OR on_hand_mg < 0""",
    "a feed that took flour took its flour, and gave it back when it was undone":
        """SELECT p.number FROM posting p JOIN starter_log s ON s.bakery_id = p.bakery_id AND s.starter = p.starter AND s.number = p.log_entry
             LEFT JOIN starter_log u ON u.bakery_id = s.bakery_id AND u.starter = s.starter AND u.reverses = s.number
             LEFT JOIN posting r ON r.bakery_id = p.bakery_id AND r.reverses = p.number
            WHERE p.kind = 'fed' AND (s.kind <> 'fed' OR (u.number IS NULL) <> (r.number IS NULL)
               OR s.flour_mg < (SELECT -sum(delta) FROM movement m WHERE m.bakery_id = p.bakery_id AND m.posting = p.number))""",
    "a count sets the book right":
        """SELECT c.posting, c.ingredient FROM (SELECT bakery_id, posting, ingredient, sum(counted - expected) AS found FROM count_line GROUP BY 1, 2, 3) c
             LEFT JOIN (SELECT bakery_id, posting, ingredient, sum(delta) AS moved FROM movement GROUP BY 1, 2, 3) m USING (bakery_id, posting, ingredient)
            WHERE found <> coalesce(moved, 0)""",
}


# For each of them a change that breaks it, of a book in which everything has happened at least once.
BREAKING = {
    "a shelf holds the sum of its movements": "UPDATE lot_place SET amount = amount + 1",
    "the stock of an ingredient is the sum of its movements": "UPDATE stock SET amount = amount + 1",
    "a movement is of its lot's ingredient": "UPDATE lot SET ingredient = 'salt'",
    "at no moment of the history is there less than nothing, as if what was undone had never been": "UPDATE movement SET date = date + 40 WHERE kind = 'received' AND reverses IS NULL",
    "nothing is moved of a lot before it came in": "UPDATE lot SET received_on = received_on + 1",
    "a lot came in as it says": "UPDATE lot SET received = received + 1",
    "a movement has kind and date of its posting, or of what is undone": "UPDATE movement SET kind = 'moved' WHERE kind = 'mixed'",
    "what is undone is undone whole, movement by movement": "DELETE FROM movement WHERE number = (SELECT max(number) FROM movement WHERE reverses IS NOT NULL)",
    "a reversal moves nothing else": "UPDATE movement SET reverses = NULL",
    "what was moved to another place is neither more nor less": "UPDATE movement SET delta = delta + 1 WHERE kind = 'moved' AND delta > 0",
    "a batch stands once": "INSERT INTO mixed_batch SELECT b.bakery_id, -b.posting, mixing_date, formula, batch, attempt + 1000, mixed_at, dough_mg FROM mixed_batch b",
    "attempts of a batch are numbered, and only the last one may stand": "UPDATE mixed_batch SET attempt = attempt + 1000",
    "a batch took what was weighed of what stock is kept of": "UPDATE mixed_batch_line SET mg = mg + 1 WHERE ingredient IS NOT NULL",
    "a batch's taking is in the log, and undone there with the batch": "UPDATE starter_log SET delta_mg = delta_mg - 1 WHERE kind = 'taken'",
    "a log follows from entry to entry, and its pot never holds less than nothing": "UPDATE starter_log SET on_hand_mg = on_hand_mg + 1 WHERE number = 2",
    "a feed that took flour took its flour, and gave it back when it was undone": "UPDATE starter_log SET reverses = -number WHERE kind = 'reversed'",
    "a count sets the book right": "UPDATE count_line SET counted = counted + 1",
}


def unnoticed(conninfo):
    """The sentences that are held to be true although they were broken. Changes nothing."""
    return psql(conninfo, "; ".join(
        f"BEGIN; SET LOCAL search_path = morrowloaf; SET LOCAL session_replication_role = replica; {BREAKING[words]}; "
        f"SELECT $r${words}$r$ WHERE NOT EXISTS (SELECT FROM ({rule}) r); ROLLBACK" for words, rule in RULES.items())).splitlines()


def broken(conninfo):
    """The sentences that do not hold, each with what breaks it."""
    union = " UNION ALL ".join(f"SELECT $r${words}$r$ || ': ' || row_to_json(r)::text FROM ({rule}) r" for words, rule in RULES.items())
    return psql(conninfo, "SET search_path = morrowloaf; " + union).splitlines()


def deadlocks(server):
    """How many there were in its database, ever; also those that were tried again. The server is
    restarted, for its connections tell the count when they end."""
    server.restart()
    return int(psql(server.conninfo, "SELECT deadlocks FROM pg_stat_database WHERE datname = current_database()"))


@pytest.fixture(scope="class")
def begun():
    """What a class stores before nothing more is stored."""


@pytest.fixture(scope="class")
def nothing_stored(server, begun):
    with nothing_stored_in(server.conninfo):
        yield


def expect_faults(answer, pointers):
    assert (answer.status, sorted(answer.pointers)) == (422, sorted(pointers)), answer


@contextlib.contextmanager
def nothing_stored_in(conninfo):
    before = row_counts(conninfo)
    yield
    assert row_counts(conninfo) == before


def row_counts(conninfo):
    """How many rows there are in every table, but for what keys were used."""
    tables = psql(conninfo, "SELECT tablename FROM pg_tables WHERE schemaname = 'morrowloaf' AND tablename <> 'idempotency' ORDER BY 1").split()
    return psql(conninfo, " UNION ALL ".join(f"SELECT '{name}', count(*) FROM morrowloaf.{name}" for name in tables))
