"""What the tests of the clock share: instants, a bakery with ovens, shifts and temperatures, and a
second reckoning of a starter's pot. Invented; never a check of figures by itself."""

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from bakehouse import BAKERY, CUSTOMERS, INGREDIENTS
from harness import enter

UTC = datetime.timezone.utc
ZONE = ZoneInfo(BAKERY["time_zone"])
MINUTE, HOUR, DAY = (datetime.timedelta(**{unit: 1}) for unit in ("minutes", "hours", "days"))


def now():
    """As the server tells it: whole seconds."""
    return datetime.datetime.now(UTC).replace(microsecond=0)


def instant(text):
    return datetime.datetime.fromisoformat(text)


def text(at, zone=ZONE):
    """An instant as the program writes it."""
    return at.astimezone(zone).isoformat(timespec="seconds")


def at_clock(day, clock, zone=ZONE):
    """The instant of a time by the clock."""
    return datetime.datetime.combine(day, datetime.time.fromisoformat(clock), zone).astimezone(UTC)


def dated(value):
    return value if isinstance(value, datetime.date) else datetime.date.fromisoformat(value)


# A bakery whose doughs can be mixed, kept cold, baked and timed.
AT_WORK = {**BAKERY,
           "mixers": [{"code": "spiral", "min_g": 5000, "max_g": 60000, "friction_c": 12, "power_w": 1500},
                      {"code": "planetary", "min_g": 500, "max_g": 12000, "friction_c": "17.5", "power_w": None}],
           "ovens": [{"code": "stone", "decks": 3, "places": 1, "preheat_minutes": 60, "recovery_minutes": 10, "power_w": 2800},
                     {"code": "rack", "decks": 1, "places": 8, "preheat_minutes": 30, "recovery_minutes": 5, "power_w": None}],
           "shifts": [{"name": "Night", "days": [1, 2, 3, 4, 5, 6, 7], "from": "20:00", "to": "04:00", "hands": 2},
                      {"name": "Morning", "from": "04:00", "to": "12:00"}],
           "cold_g": 200000, "feed_from": "06:00", "feed_to": "22:00",
           "room_c": 22, "flour_c": "20.5", "tap_c": 14, "preferment_c": 24}

STARTER = {"name": "Levain", "hydration_pct": 100, "keep_g": 500,
           "flours": [{"ingredient": "bread-flour", "pct": 80}, {"ingredient": "rye-flour", "pct": 20}],
           "ripens": [{"seed": 1, "flour": 1, "water": 1, "c": 24, "minutes": 240},
                      {"seed": 1, "flour": 2, "water": 2, "c": 24, "minutes": 360},
                      {"seed": 1, "flour": 5, "water": 5, "c": 24, "minutes": 600}],
           "stays_ripe_minutes": 180, "stands_c": 24, "pot_g": 0, "feed_within_minutes": 1440, "rest_feed_days": 7, "wake_feeds": 2}


def open_clock(owner, **settings):
    """Settings, ingredients, customers and one starter; formulas and products are the tests'."""
    enter(owner, {"/bakery": {**AT_WORK, **settings}, **INGREDIENTS, **CUSTOMERS, "/starters/levain": STARTER})


def log(client, kind, at=None, starter="levain", **more):
    """One entry of a starter's log; it must be taken."""
    when = {} if at is None else {"at": text(at)}
    answer = client.post(f"/starters/{starter}/log", {"kind": kind, **when, **more})
    assert answer.status == 201, answer
    return answer


class Pot:
    """A ledger of one pot, kept beside the program's."""

    def __init__(self, stands_c=Decimal(24)):
        self.entries = []
        self.stands_c = stands_c

    @property
    def on_hand(self):
        return self.entries[-1]["on_hand_g"] if self.entries else Decimal(0)

    @property
    def asleep(self):
        """Whether the last chilling or waking that counts was a chilling."""
        moved = [entry["kind"] for entry in self.entries if entry["kind"] in ("chilled", "woken", "begun") and not entry["reversed_by"]]
        return bool(moved) and moved[-1] == "chilled"

    def delta(self, kind, g=None, seed_g=None, flour_g=None, water_g=None, reverses=None):
        if kind == "fed":
            return (self.on_hand if seed_g is None else seed_g) + flour_g + water_g - self.on_hand
        if kind == "reversed":
            return -self.entries[reverses - 1]["delta_g"]
        return {"begun": g, "taken": g and -g, "discarded": g and -g, "weighed": (g or 0) - self.on_hand}.get(kind, Decimal(0))

    def enter(self, kind, at, c=None, note=None, **weights):
        """The entry as the program must tell it, without who and when it was entered."""
        delta, before = self.delta(kind, **weights), self.on_hand
        fed = kind == "fed"
        c = self.stands_c if fed and c is None and not self.asleep else c
        seed = (before if weights.get("seed_g") is None else weights["seed_g"]) if fed else None
        entry = {"number": len(self.entries) + 1, "kind": kind, "at": text(at), "delta_g": delta, "on_hand_g": before + delta,
                 "seed_g": seed, "flour_g": weights["flour_g"] if fed else None, "water_g": weights["water_g"] if fed else None,
                 "discard_g": before - seed if fed else None, "c": c, "reverses": weights.get("reverses"), "reversed_by": None, "note": note}
        assert entry["on_hand_g"] >= 0
        if kind == "reversed":
            self.entries[weights["reverses"] - 1]["reversed_by"] = entry["number"]
        self.entries.append(entry)
        return entry
