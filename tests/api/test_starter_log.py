"""The log of a starter: what is on hand after every entry, to the milligram; nothing is ever changed,
and a mistake is undone by an entry of its own."""

import random
import statistics
import time
from decimal import Decimal

import pytest

from clockwork import DAY, HOUR, MINUTE, STARTER, Pot, instant, log, now, open_clock, text
from harness import at_once, enter, psql

G = Decimal
MEMBERS = {"number", "kind", "at", "entered_at", "entered_by", "delta_g", "on_hand_g", "seed_g", "flour_g", "water_g", "discard_g", "c",
           "reverses", "reversed_by", "note", "movement", "batch"}


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    open_clock(owner)


@pytest.fixture
def starter(owner):
    """The path of a starter that nothing was logged of yet."""
    starter.count = getattr(starter, "count", 0) + 1
    code = f"s{starter.count}"
    enter(owner, {f"/starters/{code}": {**STARTER, "name": code}})
    return code


@pytest.fixture
def write(baker, starter):
    """write(kind, at, ...): enters it, and holds the answer against the ledger beside it."""
    pot = Pot()

    def entering(kind, at, **more):
        sent = {name: str(value) if isinstance(value, Decimal) else value for name, value in more.items()}
        answer = log(baker, kind, at, starter, **sent)
        expected = pot.enter(kind, at, **more)
        assert {name: answer[name] for name in expected} == expected
        return answer

    entering.pot, entering.path, entering.code = pot, f"/starters/{starter}/log", starter
    return entering


def whole(client, path):
    """The log from its first entry on."""
    return list(reversed(client.list(path + "?limit=1000")))


BEGIN = now() - 30 * DAY


def a_week(write):
    """Every kind of entry, an hour between them."""
    at = (BEGIN + n * HOUR for n in range(100))
    write("begun", next(at), g=G(500), note="From a friend")
    write("fed", next(at), flour_g=G("250.5"), water_g=G("250.5"))
    write("ripe", next(at))
    write("taken", next(at), g=G("400.001"))
    write("fed", next(at), seed_g=G("0.001"), flour_g=G(300), water_g=G(302), c=G("26.5"), note="Warm today")
    write("discarded", next(at), g=G(2))
    write("weighed", next(at), g=G("593.25"))
    write("chilled", next(at), c=G(4))
    write("fed", next(at), seed_g=G(100), flour_g=G(100), water_g=G(100))
    write("woken", next(at))
    write("begun", next(at), g=G("99.999"))
    write("weighed", next(at), g=G(0))
    write("weighed", next(at), g=G(1000))
    write("chilled", next(at))
    return write


def test_every_kind_and_what_is_on_hand_after_it(write, baker):
    a_week(write)
    shown = whole(baker, write.path)
    assert [{name: entry[name] for name in expected} for entry, expected in zip(shown, write.pot.entries, strict=True)] == write.pot.entries
    assert all(set(entry) == MEMBERS and entry["entered_by"] == "t-baker" for entry in shown)
    assert baker.get(write.path)["on_hand_g"] == 1000


def test_what_is_answered_is_what_get_shows(write, baker):
    answer = write("begun", BEGIN, g=G(100))
    assert answer.location == f"/api/v1{write.path}/1"
    assert baker.get(answer.location).body == answer.body == baker.get(write.path)["items"][0]
    entered = instant(answer["entered_at"])
    assert abs(now() - entered) < 2 * MINUTE
    assert baker.get(answer.location, If_None_Match=baker.get(answer.location).etag).status == 304


def test_an_empty_log_is_a_log(baker, starter):
    assert baker.get(f"/starters/{starter}/log").body == {"items": [], "next": None, "on_hand_g": 0}
    for number in ("1", "0", "-1", "1.0", "one", "99999999999999999999"):
        assert baker.get(f"/starters/{starter}/log/{number}").status == 404, number


def test_pages_of_the_log(write, baker):
    a_week(write)
    newest_first = baker.list(write.path)
    assert [entry["number"] for entry in newest_first] == list(range(14, 0, -1))
    for limit in (1, 3, 14, 15, 1000):
        assert baker.list(f"{write.path}?limit={limit}") == newest_first
    assert [entry["number"] for entry in baker.get(write.path + "?after=5&limit=2")["items"]] == [4, 3]
    assert baker.get(write.path + "?after=1")["items"] == []
    for query in ("limit=0", "limit=1001", "after=x", "after=-1"):
        assert baker.get(f"{write.path}?{query}").status == 422, query


def test_now_is_the_default_time(write, baker):
    write("begun", now() - MINUTE, g=G(10))
    before, entry, after = now(), log(baker, "taken", starter=write.code, g=5), now()
    assert before <= instant(entry["at"]) <= after


def test_an_instant_is_told_in_any_offset_and_kept_in_the_bakerys(baker, starter):
    answer = baker.post(f"/starters/{starter}/log", {"kind": "begun", "g": 5, "at": "2026-07-01T12:00:00Z"})
    assert answer["at"] == "2026-07-01T13:00:00+01:00"
    answer = baker.post(f"/starters/{starter}/log", {"kind": "taken", "g": 1, "at": "2026-07-01T09:00:01-03:00"})
    assert answer["at"] == "2026-07-01T13:00:01+01:00"


# --- undoing ---


def test_a_mistake_is_undone_by_an_entry_of_its_own(write, baker):
    write("begun", BEGIN, g=G(1000))
    write("taken", BEGIN + HOUR, g=G("250.125"))
    write("fed", BEGIN + 2 * HOUR, seed_g=G(200), flour_g=G(400), water_g=G(400))
    write("reversed", BEGIN + 3 * HOUR, reverses=2, note="It was the other pot")
    shown = whole(baker, write.path)
    assert [entry["reversed_by"] for entry in shown] == [None, 4, None, None]
    assert [entry["on_hand_g"] for entry in shown] == [1000, G("749.875"), 1000, G("1250.125")]
    assert baker.get(f"{write.path}/2")["kind"] == "taken", "it is not erased"


@pytest.mark.parametrize("kind, more, on_hand", [
    ("begun", {"g": G(50)}, 1000), ("fed", {"seed_g": G(100), "flour_g": G(100), "water_g": G(100)}, 1000), ("taken", {"g": G(900)}, 1000),
    ("discarded", {"g": G(1000)}, 1000), ("weighed", {"g": G(7)}, 1000), ("chilled", {}, 1000), ("ripe", {}, 1000)])
def test_every_kind_can_be_undone(write, kind, more, on_hand):
    write("begun", BEGIN, g=G(400))
    write("fed", BEGIN, flour_g=G(300), water_g=G(300))
    write(kind, BEGIN + HOUR, **more)
    write("reversed", BEGIN + 2 * HOUR, reverses=3)
    assert write.pot.on_hand == on_hand


def test_undoing_a_chilling_leaves_it_at_work(write, baker):
    write("begun", BEGIN, g=G(400))
    write("chilled", BEGIN)
    write("reversed", BEGIN, reverses=2)
    write("chilled", BEGIN)
    write("woken", BEGIN)
    write("reversed", BEGIN, reverses=5)
    assert baker.get(f"/starters/{write.code}/plan")["now"]["state"] == "asleep"


REVERSALS = [(99, "no such entry"), (3, "undone already"), (4, "a reversal"), (1, "less than nothing would be left"), (6, "itself")]


@pytest.mark.parametrize("number", [number for number, _ in REVERSALS], ids=[why for _, why in REVERSALS])
def test_what_cannot_be_undone(write, baker, number):
    write("begun", BEGIN, g=G(100))
    write("begun", BEGIN, g=G(10))
    write("taken", BEGIN, g=G(50))
    write("reversed", BEGIN, reverses=3)
    write("taken", BEGIN, g=G(50))
    answer = baker.post(write.path, {"kind": "reversed", "reverses": number})
    assert (answer.status, answer.pointers) == (422, ["/reverses"]), answer
    assert len(whole(baker, write.path)) == 5


# --- what is refused ---

STATES = {"empty": [], "begun": [("begun", {"g": G(1000)})], "fed": [("begun", {"g": G(500)}), ("fed", {"flour_g": G(250), "water_g": G(250)})],
          "asleep": [("begun", {"g": G(1000)}), ("chilled", {})], "used up": [("begun", {"g": G(1000)}), ("taken", {"g": G(1000)})]}
FEED = {"kind": "fed", "flour_g": 100, "water_g": 100}
FAULTS = [
    ("empty", {"kind": "taken", "g": 1}, ["/kind"]), ("empty", FEED, ["/kind"]), ("empty", {"kind": "weighed", "g": 1}, ["/kind"]),
    ("empty", {"kind": "chilled"}, ["/kind"]), ("empty", {"kind": "woken"}, ["/kind"]), ("empty", {"kind": "ripe"}, ["/kind"]),
    ("empty", {"kind": "discarded", "g": 1}, ["/kind"]),
    ("begun", {"kind": "ripe"}, ["/kind"]), ("begun", {"kind": "woken"}, ["/kind"]), ("asleep", {"kind": "chilled"}, ["/kind"]),
    ("begun", {}, ["/kind"]), ("begun", {"kind": None}, ["/kind"]), ("begun", {"kind": "eaten"}, ["/kind"]), ("begun", {"kind": 1}, ["/kind"]),
    ("begun", {"kind": "taken"}, ["/g"]), ("begun", {"kind": "taken", "g": 0}, ["/g"]), ("begun", {"kind": "taken", "g": -1}, ["/g"]),
    ("begun", {"kind": "taken", "g": "1000.001"}, ["/g"]), ("begun", {"kind": "discarded", "g": 1001}, ["/g"]),
    ("begun", {"kind": "taken", "g": "0.0001"}, ["/g"]), ("begun", {"kind": "taken", "g": "much"}, ["/g"]),
    ("begun", {"kind": "begun", "g": 0}, ["/g"]), ("begun", {"kind": "begun", "g": "1" + "0" * 13}, ["/g"]),
    ("begun", {"kind": "weighed", "g": -1}, ["/g"]), ("begun", {"kind": "weighed"}, ["/g"]),
    ("begun", {**FEED, "seed_g": "1000.001"}, ["/seed_g"]), ("begun", {**FEED, "seed_g": -1}, ["/seed_g"]), ("begun", {**FEED, "seed_g": 0}, ["/seed_g"]),
    ("begun", {"kind": "fed", "flour_g": 100}, ["/water_g"]), ("begun", {"kind": "fed", "water_g": 100}, ["/flour_g"]),
    ("begun", {**FEED, "flour_g": 0, "water_g": 0}, ["/flour_g"]), ("begun", {**FEED, "water_g": -1}, ["/water_g"]),
    ("begun", {**FEED, "flour_g": 1000, "water_g": "1010.001"}, ["/water_g"]),
    ("begun", {**FEED, "flour_g": 1000, "water_g": "989.999"}, ["/water_g"]),
    ("begun", {**FEED, "water_g": "105.001"}, ["/water_g"]), ("begun", {**FEED, "water_g": "94.999"}, ["/water_g"]),
    ("begun", {**FEED, "water_g": 60}, ["/water_g"]), ("begun", {**FEED, "c": 61}, ["/c"]), ("begun", {**FEED, "c": "24.00001"}, ["/c"]),
    ("used up", FEED, ["/seed_g"]), ("used up", {"kind": "taken", "g": 1}, ["/g"]),
    ("begun", {"kind": "reversed"}, ["/reverses"]), ("begun", {"kind": "reversed", "reverses": 0}, ["/reverses"]),
    ("begun", {"kind": "reversed", "reverses": 1.5}, ["/reverses"]), ("begun", {"kind": "reversed", "reverses": "1"}, ["/reverses"]),
    # Members that the kind has no use for
    ("begun", {"kind": "taken", "g": 1, "flour_g": 1}, ["/flour_g"]), ("begun", {**FEED, "g": 1}, ["/g"]), ("begun", {"kind": "chilled", "g": 1}, ["/g"]),
    ("asleep", {"kind": "woken", "c": 20}, ["/c"]), ("fed", {"kind": "ripe", "seed_g": 5}, ["/seed_g"]),
    ("begun", {"kind": "begun", "g": 1, "c": 20}, ["/c"]), ("begun", {"kind": "taken", "g": 1, "reverses": 1}, ["/reverses"]),
    ("begun", {"kind": "reversed", "reverses": 1, "g": 1}, ["/g"]), ("begun", {"kind": "taken", "g": 1, "colour": "brown"}, ["/colour"]),
    ("begun", {"kind": "taken", "g": 1, "number": 7}, ["/number"]), ("begun", {"kind": "taken", "g": 1, "entered_by": "me"}, ["/entered_by"]),
    # Time
    ("begun", {"kind": "taken", "g": 1, "at": "soon"}, ["/at"]), ("begun", {"kind": "taken", "g": 1, "at": 5}, ["/at"]),
    ("begun", {"kind": "taken", "g": 1, "at": "2027-02-30T10:00:00Z"}, ["/at"]), ("begun", {"kind": "taken", "g": 1, "at": "2026-07-01"}, ["/at"]),
    ("begun", {"kind": "taken", "g": 1, "at": "2026-07-01T10:00:00"}, ["/at"]), ("begun", {"kind": "taken", "g": 1, "at": "9999-12-31T23:59:59Z"}, ["/at"]),
    ("begun", {"kind": "taken", "g": 1, "at": text(BEGIN - MINUTE)}, ["/at"]), ("begun", {"kind": "taken", "g": 1, "note": "x" * 2001}, ["/note"]),
    # All at once
    ("begun", {**FEED, "seed_g": -1, "c": 99, "at": "soon", "colour": "brown"}, ["/at", "/c", "/colour", "/seed_g"]),
    ("begun", {"kind": "taken", "g": 5000, "at": text(BEGIN - MINUTE)}, ["/at", "/g"]),
]


@pytest.mark.parametrize("state, body, pointers", FAULTS)
def test_what_is_refused_and_leaves_nothing_behind(write, baker, state, body, pointers):
    for kind, more in STATES[state]:
        write(kind, BEGIN, **more)
    before = baker.get(write.path).text
    answer = baker.post(write.path, body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert baker.get(write.path).text == before


def test_the_hydration_of_a_feed_may_be_a_point_off(write):
    write("begun", BEGIN, g=G(1000))
    write("fed", BEGIN, flour_g=G(1000), water_g=G(1010))
    write("fed", BEGIN, flour_g=G(1000), water_g=G(990))


def test_what_the_scale_cannot_tell_is_no_fault(write):
    """Its divisions are 5 g."""
    write("begun", BEGIN, g=G(1000))
    write("fed", BEGIN, flour_g=G(100), water_g=G(105))
    write("fed", BEGIN, flour_g=G(100), water_g=G(95))


def test_times_never_go_back_and_are_hardly_ahead(write, baker):
    write("begun", BEGIN, g=G(1000))
    write("taken", BEGIN, g=G(1))  # within the same second is as well
    write("taken", BEGIN + HOUR, g=G(1))
    answer = baker.post(write.path, {"kind": "taken", "g": 1, "at": text(BEGIN + HOUR - MINUTE)})
    assert (answer.status, answer.pointers) == (422, ["/at"])
    answer = baker.post(write.path, {"kind": "taken", "g": 1, "at": text(now() + 6 * MINUTE)})
    assert (answer.status, answer.pointers) == (422, ["/at"])
    write("taken", now() + 4 * MINUTE, g=G(1))
    assert log(baker, "taken", starter=write.code, g=1)["on_hand_g"] == 996, "what is entered without a time comes after the last, whatever its time"


def test_there_is_no_log_of_what_is_no_starter(baker):
    for path in ("/starters/none/log", "/starters/none/log/1", "/starters/none/plan", "/starters/none/raising",
                 "/starters/none/ripening?seed=1&flour=1&water=1&c=24"):
        assert baker.get(path).status == 404, path
    assert baker.post("/starters/none/log", {"kind": "begun", "g": 1}).status == 404
    assert baker.post("/starters/None/log", {"kind": "begun", "g": 1}).status in (404, 422)


def test_nobody_but_bakers_writes_it(counter, owner, write):
    write("begun", BEGIN, g=G(10))
    assert counter.post(write.path, {"kind": "taken", "g": 1}).status == 403
    assert counter.get(write.path).status == 403
    assert owner.post(write.path, {"kind": "taken", "g": 1})["entered_by"] == "t-owner"


def test_an_entry_is_neither_changed_nor_deleted(write, baker):
    write("begun", BEGIN, g=G(10))
    assert baker.put(write.path + "/1", {"kind": "begun", "g": 11}).status == 405
    assert baker.delete(write.path + "/1").status == 405


def test_a_starter_with_a_log_is_not_deleted_and_says_why(write, owner):
    write("begun", BEGIN, g=G(10))
    answer = owner.delete(f"/starters/{write.code}")
    assert answer.status == 409 and "log" in answer.text
    assert owner.get(f"/starters/{write.code}").status == 200


# --- once, and side by side ---


def test_a_replay_repeats_the_entry_and_enters_nothing(write, baker):
    write("begun", BEGIN, g=G(100))
    body = {"kind": "taken", "g": 10}
    first = baker.post(write.path, body, Idempotency_Key=f"{write.code}-1")
    again = baker.post(write.path, body, Idempotency_Key=f"{write.code}-1")
    assert (again.status, again.location, again.text) == (201, first.location, first.text)
    assert baker.post(write.path, {**body, "g": 11}, Idempotency_Key=f"{write.code}-1").status == 422
    assert baker.get(write.path)["on_hand_g"] == 90
    assert baker.post(write.path, body, Idempotency_Key=None).status == 400


def chain(client, path):
    """The log, of which every entry must follow from the one before it."""
    shown, on_hand = whole(client, path), Decimal(0)
    for number, entry in enumerate(shown, 1):
        on_hand += entry["delta_g"]
        assert (entry["number"], entry["on_hand_g"]) == (number, on_hand) and on_hand >= 0
    assert [entry["at"] for entry in shown] == sorted((entry["at"] for entry in shown), key=instant)
    return shown


def test_two_who_write_at_once_both_are_heard(write, baker, owner):
    """For some seconds, so that a second begins between what one of them says and the other."""
    write("begun", BEGIN, g=G(100000))
    ends = time.monotonic() + 2.5
    sent = []

    def take(client, g):
        while time.monotonic() < ends:
            answer = client.post(write.path, {"kind": "taken", "g": g})
            assert answer.status == 201, answer
            sent.append(g)
        return True

    assert at_once([lambda client=client, g=g: take(client, g) for client in (baker, owner) for g in (1, 2)]) == [True] * 4
    shown = chain(baker, write.path)
    assert len(shown) == len(sent) + 1 and shown[-1]["on_hand_g"] == 100000 - sum(sent)


def test_the_last_grams_are_taken_once(write, baker):
    write("begun", BEGIN, g=G(100))
    answers = at_once([lambda: baker.post(write.path, {"kind": "taken", "g": 15})] * 12)
    assert sorted(answer.status for answer in answers) == [201] * 6 + [422] * 6
    assert {tuple(answer.pointers) for answer in answers if answer.status == 422} == {("/g",)}
    assert chain(baker, write.path)[-1]["on_hand_g"] == 10


def test_an_entry_is_undone_once_however_many_try(write, baker):
    write("begun", BEGIN, g=G(100))
    write("taken", BEGIN, g=G(30))
    answers = at_once([lambda: baker.post(write.path, {"kind": "reversed", "reverses": 2})] * 6)
    assert sorted(answer.status for answer in answers) == [201] + [422] * 5
    assert chain(baker, write.path)[-1]["on_hand_g"] == 100


# --- two years of it ---

ENTRIES, STORED = 3000, 2400  # so many of them stand in the book already
STEP = 350 * MINUTE  # three or four a day


def since_begun(pot):
    """Kinds of the entries since the starter was last begun."""
    kinds = [entry["kind"] for entry in pot.entries]
    return kinds[len(kinds) - kinds[::-1].index("begun"):]


def drawn(rng, pot):
    """The next entry of a life: (kind, more)."""
    on_hand = pot.on_hand
    if not pot.entries or on_hand < 50:
        return "begun", {"g": G(rng.randint(200000, 900000)) / 1000}
    kind = rng.choice(["fed", "fed", "fed", "taken", "taken", "discarded", "weighed", "ripe", "reversed", "cold"])
    share = G(rng.randint(1, 1000)) / 1000
    if kind == "fed":
        seed, flour = (on_hand * share).quantize(G("0.001")) or G("0.001"), G(rng.randint(100000, 800000)) / 1000
        return "fed", {"seed_g": seed, "flour_g": flour, "water_g": flour, "c": rng.choice([None, G("26.5")])}
    if kind in ("taken", "discarded"):
        return kind, {"g": (on_hand * share).quantize(G("0.001")) or G("0.001")}
    if kind == "weighed":
        return "weighed", {"g": (on_hand * (G("0.98") + share / 50)).quantize(G("0.001"))}
    if kind == "ripe" and "fed" in since_begun(pot):
        return "ripe", {}
    last = pot.entries[-1]
    if kind == "reversed" and last["kind"] in ("taken", "discarded", "weighed") and on_hand >= last["delta_g"]:
        return "reversed", {"reverses": last["number"]}
    return ("woken", {}) if pot.asleep else ("chilled", {})


def seconds(client, path):
    """The middle of nine."""
    taken = []
    for _ in range(9):
        begin = time.perf_counter()
        answer = client.get(path)
        taken.append(time.perf_counter() - begin)
        assert answer.status == 200, answer
    return statistics.median(taken)


def stored(server, entries):
    """Puts entries of the ledger into the book."""
    def sql(value):
        return "NULL" if value is None else str(int(value * 1000)) if isinstance(value, Decimal) else str(value) if isinstance(value, int) else f"'{value}'"

    rows = ", ".join("(1, 'old', " + ", ".join([*(sql(entry[name]) for name in ("number", "kind", "at")), "'t-baker'",
                     *(sql(entry[name]) for name in ("delta_g", "on_hand_g", "seed_g", "flour_g", "water_g")),
                     sql(entry["c"] and entry["c"] * 10), sql(entry["reverses"])]) + ")" for entry in entries)
    psql(server.conninfo, "INSERT INTO morrowloaf.starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg, seed_mg, flour_mg, "
                          f"water_mg, c, reverses) VALUES {rows}")


@pytest.fixture(scope="module")
def life(server, baker, owner):
    """Two years of entries; what was answered at a tenth of it and in the end."""
    enter(owner, {"/starters/old": {**STARTER, "name": "Old"}})
    rng, pot, begin = random.Random(3000), Pot(), now() - ENTRIES * STEP
    paths = ["/starters/old/log?limit=50", f"/starters/old/log?limit=50&after={ENTRIES // 20}", "/starters/old/plan"]
    measured = {}
    for n in range(ENTRIES):
        kind, more = drawn(rng, pot)
        at = begin + n * STEP
        pot.enter(kind, at, **more)
        if ENTRIES // 10 <= n < ENTRIES // 10 + STORED:
            if n + 1 == ENTRIES // 10 + STORED:
                for first in range(0, STORED, 400):
                    stored(server, pot.entries[n + 1 - STORED + first:][:400])
            continue
        log(baker, kind, at, "old", **{name: str(value) if isinstance(value, Decimal) else value for name, value in more.items()})
        if n + 1 in (ENTRIES // 10, ENTRIES):
            measured[n + 1] = {path: seconds(baker, path) for path in paths}
    return pot, measured


def test_after_3000_entries_the_balance_is_exact(life, baker):
    pot, _ = life
    shown = chain(baker, "/starters/old/log")
    assert [{name: entry[name] for name in expected} for entry, expected in zip(shown, pot.entries, strict=True)] == pot.entries
    assert baker.get("/starters/old/log?limit=1")["on_hand_g"] == pot.on_hand == baker.get("/starters/old/plan")["now"]["on_hand_g"]


def test_after_3000_entries_it_is_as_quick_as_after_300(life):
    _, measured = life
    for path, early in measured[ENTRIES // 10].items():
        late = measured[ENTRIES][path]
        assert late <= 1.5 * early + 0.01, f"{path}: {early * 1000:.1f} ms became {late * 1000:.1f} ms"
        assert late < 0.25, f"{path}: {late * 1000:.1f} ms"
