"""What the settings, starters, formulas and products know of the clock: it comes back as it was
entered, is unset where nothing was, and is refused at its place."""

from decimal import Decimal

import pytest

from bakehouse import BAKERY, FORMULAS, PRODUCTS
from clockwork import AT_WORK, STARTER, open_clock
from harness import enter, everything

LEVAIN = {**STARTER, "water": "water", "note": None}


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    open_clock(owner)
    enter(owner, FORMULAS | {"/starters/levain": STARTER})
    enter(owner, PRODUCTS)


def kept(client, path, body):
    """What an entered body is shown as, of the members that were entered."""
    put = client.put(path, body)
    assert put.status in (200, 201), put
    got = client.get(path)
    assert (put.text, put.etag) == (got.text, got.etag)
    return {member: got[member] for member in body}


# --- as it was entered ---


def test_ovens_shifts_and_warmth_of_the_bakery(owner):
    shown = kept(owner, "/bakery", AT_WORK)
    expected = {**AT_WORK, "flour_c": Decimal("20.5"),
                "mixers": [{"code": "spiral", "min_g": 5000, "max_g": 60000, "friction_c": 12, "power_w": 1500},
                           {"code": "planetary", "min_g": 500, "max_g": 12000, "friction_c": Decimal("17.5"), "power_w": None}],
                "shifts": [AT_WORK["shifts"][0], {"name": "Morning", "days": [1, 2, 3, 4, 5, 6, 7], "from": "04:00", "to": "12:00", "hands": 1}]}
    assert {name: shown[name] for name in expected if name not in BAKERY or name == "mixers"} == \
        {name: expected[name] for name in expected if name not in BAKERY or name == "mixers"}


def test_a_bakery_without_a_clock_has_its_defaults(owner):
    assert owner.put("/bakery", BAKERY).status == 200
    shown = owner.get("/bakery")
    assert {name: shown[name] for name in AT_WORK if name not in BAKERY} == {
        "ovens": [], "shifts": [], "cold_g": 0, "feed_from": None, "feed_to": None, "room_c": None, "flour_c": None, "tap_c": None, "preferment_c": None}
    assert [(mixer["friction_c"], mixer["power_w"]) for mixer in shown["mixers"]] == [(None, None)] * 2
    bare = {"ovens": [{"code": "stone"}], "shifts": [{"from": "20:00", "to": "04:00", "name": None, "days": None, "hands": None}]}
    assert owner.put("/bakery", {**BAKERY, **bare}).status == 200
    assert owner.get("/bakery")["ovens"] == [{"code": "stone", "decks": 1, "places": 1, "preheat_minutes": 0, "recovery_minutes": 0, "power_w": None}]
    assert owner.get("/bakery")["shifts"] == [{"name": None, "days": [1, 2, 3, 4, 5, 6, 7], "from": "20:00", "to": "04:00", "hands": 1}]


@pytest.mark.parametrize("changes", [
    {"ovens": [{"code": "b", "decks": 50, "places": 100, "preheat_minutes": 1440, "recovery_minutes": 1440, "power_w": 1000000}, {"code": "a", "decks": 1, "places": 1, "preheat_minutes": 0, "recovery_minutes": 0, "power_w": 1}]},
    {"shifts": [{"name": "Sundays", "days": [7], "from": "00:00", "to": "00:00", "hands": 99}]},
    {"shifts": [{"name": None, "days": [1, 3, 5], "from": "23:59", "to": "00:01", "hands": 1}]},
    {"room_c": 0, "flour_c": -40, "tap_c": 400, "preferment_c": Decimal("0.0001")}, {"cold_g": Decimal("0.001")}, {"feed_from": "22:00", "feed_to": "06:00"},
])
def test_the_widest_that_the_bakery_may_be(owner, changes):
    assert kept(owner, "/bakery", {**BAKERY, **changes}) | BAKERY == {**BAKERY, **changes}


def test_days_of_a_shift_may_come_in_any_order(owner):
    assert owner.put("/bakery", {**BAKERY, "shifts": [{"days": [7, 1], "from": "20:00", "to": "04:00"}]}).status == 200
    assert owner.get("/bakery")["shifts"][0]["days"] == [1, 7]


@pytest.mark.parametrize("changes", [
    {}, {"ripens": []}, {"stays_ripe_minutes": 0, "stands_c": 4, "pot_g": 20000, "feed_within_minutes": 1, "rest_feed_days": 1, "wake_feeds": 1},
    {"ripens": [{"seed": Decimal("0.0001"), "flour": 1000, "water": 1000, "c": 0, "minutes": 1}, {"seed": 1, "flour": Decimal("2.5"), "water": Decimal("2.525"), "c": 60, "minutes": 20160}]},
    {"hydration_pct": 0, "ripens": [{"seed": 1, "flour": 1, "water": 0, "c": 24, "minutes": 60}, {"seed": 1, "flour": 1, "water": Decimal("0.01"), "c": 24, "minutes": 60}]},
])
def test_how_a_starter_ripens(baker, changes):
    assert kept(baker, "/starters/trial", {**LEVAIN, **changes}) == {**LEVAIN, **changes}


def test_a_starter_without_a_clock_has_its_defaults(baker):
    bare = {name: LEVAIN[name] for name in ("name", "hydration_pct", "flours")}
    assert baker.put("/starters/bare", bare).status == 201
    shown = baker.get("/starters/bare")
    assert {name: shown[name] for name in ("ripens", "stays_ripe_minutes", "stands_c", "pot_g", "feed_within_minutes", "rest_feed_days", "wake_feeds")} == \
        {"ripens": [], "stays_ripe_minutes": 120, "stands_c": 24, "pot_g": 0, "feed_within_minutes": 1440, "rest_feed_days": 7, "wake_feeds": 2}


STAGES = [{"stage": "mix", "minutes": 15, "at": None, "hands": 1, "uses": "mixer", "most_minutes": None, "labour": {"per": "batch", "minutes": Decimal("12.3456")}},
          {"stage": "bulk", "minutes": 180, "at": "24 °C", "hands": 0, "uses": None, "most_minutes": 240, "labour": {"per": "mix", "minutes": 0}},
          {"stage": "retard", "minutes": 720, "at": "fridge", "hands": 0, "uses": "cold", "most_minutes": 720, "labour": {"per": "piece", "minutes": 20160}},
          {"stage": "bake", "minutes": 45, "at": None, "hands": 2, "uses": "oven", "most_minutes": None, "labour": {"per": "load", "minutes": Decimal("6.5")}},
          {"stage": "cool", "minutes": 60, "at": None, "hands": 0, "uses": None, "most_minutes": None, "labour": None}]


def test_what_stages_use(baker):
    body = {**FORMULAS["/formulas/country"], "stages": STAGES}
    assert kept(baker, "/formulas/country", body)["stages"] == STAGES
    assert baker.post("/formulas/preview", {**body, "code": "country"})["stages"] == STAGES
    assert baker.get("/formulas/country/revisions")["items"][0]["body"]["stages"] == STAGES
    bare = [{"stage": "mix", "minutes": 15}]
    assert baker.put("/formulas/country", {**body, "stages": bare}).status == 200
    assert baker.get("/formulas/country")["stages"] == [{"stage": "mix", "minutes": 15, "at": None, "hands": 0, "uses": None, "most_minutes": None, "labour": None}]


BAKES = [None, {"per_place": 14, "steps": [{"c": 250, "minutes": 10, "steam": True}, {"c": Decimal("225.5"), "minutes": 28, "steam": False}]},
         {"per_place": 1, "steps": [{"c": 0, "minutes": 1, "steam": False}]},
         {"per_place": 10000, "steps": [{"c": 400, "minutes": 1440, "steam": False}] * 20}]


@pytest.mark.parametrize("bake", BAKES)
def test_how_a_product_is_baked(baker, bake):
    body = {**PRODUCTS["/products/bun"], "bake": bake}
    assert kept(baker, "/products/bun", body)["bake"] == bake
    assert baker.get("/products/bun/revisions")["items"][0]["body"]["bake"] == bake
    assert next(item for item in baker.list("/products") if item["code"] == "bun")["bake"] == bake


@pytest.mark.parametrize("labour, unsold", [(0, 0), (Decimal("0.0001"), Decimal("99.9999")), (20160, Decimal("12.5")), (None, None)])
def test_what_a_product_takes_by_hand_and_what_comes_back(baker, labour, unsold):
    assert baker.put("/products/bun", {**PRODUCTS["/products/bun"], "labour_minutes": labour, "unsold_pct": unsold}).status == 200
    shown = baker.get("/products/bun")
    assert (shown["labour_minutes"], shown["unsold_pct"]) == (labour or 0, unsold or 0)


def test_steam_is_none_unless_said(baker):
    assert baker.put("/products/bun", {**PRODUCTS["/products/bun"], "bake": {"per_place": 14, "steps": [{"c": 250, "minutes": 10}]}}).status == 200
    assert baker.get("/products/bun")["bake"]["steps"] == [{"c": 250, "minutes": 10, "steam": False}]


def test_a_change_of_the_clock_is_a_change(owner):
    for path, body, changes in [("/bakery", BAKERY, {"ovens": [{"code": "stone", "decks": 2}]}), ("/starters/levain", STARTER, {"stands_c": 25}),
                                ("/products/bun", PRODUCTS["/products/bun"], {"bake": BAKES[1]}), ("/bakery", BAKERY, {"shifts": AT_WORK["shifts"]})]:
        owner.put(path, body)
        before = owner.get(path).etag
        assert owner.put(path, {**body, **changes}, If_Match=before).status == 200
        assert owner.put(path, body, If_Match=before).status == 412


# --- refused at its place ---


def oven(**changes):
    return "/bakery", {**BAKERY, "ovens": [{"code": "rack"}, {"code": "stone", **changes}]}


def shift(**changes):
    return "/bakery", {**BAKERY, "shifts": [{"from": "20:00", "to": "04:00", **changes}]}


def bakery_with(**changes):
    return "/bakery", {**BAKERY, **changes}


def starter(**changes):
    return "/starters/levain", {**STARTER, **changes}


def ripens(**changes):
    return "/starters/levain", {**STARTER, "ripens": [STARTER["ripens"][0], {"seed": 1, "flour": 2, "water": 2, "c": 24, "minutes": 360, **changes}]}


def stage(*more, **changes):
    return "/formulas/bun", {**FORMULAS["/formulas/bun"], "stages": [{"stage": "mix", "minutes": 15, **changes}, *more]}


def bake(**changes):
    return "/products/bun", {**PRODUCTS["/products/bun"], "bake": {"per_place": 14, "steps": [{"c": 250, "minutes": 10}], **changes}}


def of_product(**changes):
    return "/products/bun", {**PRODUCTS["/products/bun"], **changes}


def step(**changes):
    return bake(steps=[{"c": 250, "minutes": 10, **changes}])


OVEN = {"stage": "bake", "minutes": 40, "uses": "oven"}
FAULTS = [
    (oven(decks=0), "/ovens/1/decks"), (oven(decks=51), "/ovens/1/decks"), (oven(decks=1.5), "/ovens/1/decks"), (oven(places=0), "/ovens/1/places"),
    (oven(places=101), "/ovens/1/places"), (oven(preheat_minutes=-1), "/ovens/1/preheat_minutes"), (oven(preheat_minutes=1441), "/ovens/1/preheat_minutes"),
    (oven(recovery_minutes=1441), "/ovens/1/recovery_minutes"), (oven(code="rack"), "/ovens/1/code"), (oven(code="The rack"), "/ovens/1/code"),
    (oven(code=None), "/ovens/1/code"), (oven(colour="red"), "/ovens/1/colour"), (bakery_with(ovens={}), "/ovens"), (bakery_with(ovens=[5]), "/ovens/0"),
    (shift(days=[]), "/shifts/0/days"), (shift(days=[0]), "/shifts/0/days/0"), (shift(days=[1, 8]), "/shifts/0/days/1"), (shift(days=[1, 2, 1]), "/shifts/0/days/2"),
    (shift(days=["1"]), "/shifts/0/days/0"), (shift(days=1), "/shifts/0/days"), (shift(**{"from": "24:00"}), "/shifts/0/from"), (shift(to=None), "/shifts/0/to"),
    (shift(hands=0), "/shifts/0/hands"), (shift(hands=100), "/shifts/0/hands"), (shift(name=""), "/shifts/0/name"), (shift(role="baker"), "/shifts/0/role"),
    (bakery_with(cold_g=-1), "/cold_g"), (bakery_with(cold_g="0.0001"), "/cold_g"), (bakery_with(feed_from="06:00"), "/feed_to"), (bakery_with(feed_to="06:00"), "/feed_from"),
    (bakery_with(feed_from="6:00", feed_to="22:00"), "/feed_from"), (bakery_with(room_c=-41), "/room_c"), (bakery_with(flour_c="400.0001"), "/flour_c"),
    (bakery_with(tap_c="cold"), "/tap_c"), (bakery_with(preferment_c="20.00001"), "/preferment_c"),
    (bakery_with(mixers=[*BAKERY["mixers"][:1], {**BAKERY["mixers"][1], "friction_c": "warm"}]), "/mixers/1/friction_c"),
    (ripens(seed=0), "/ripens/1/seed"), (ripens(flour=0), "/ripens/1/flour"), (ripens(water=-1), "/ripens/1/water"), (ripens(seed="0.00001"), "/ripens/1/seed"),
    (ripens(c=-1), "/ripens/1/c"), (ripens(c=61), "/ripens/1/c"), (ripens(c=None), "/ripens/1/c"), (ripens(minutes=0), "/ripens/1/minutes"),
    (ripens(minutes=20161), "/ripens/1/minutes"), (ripens(minutes=60.5), "/ripens/1/minutes"), (ripens(water="2.0201"), "/ripens/1/water"),
    (ripens(water="1.9799"), "/ripens/1/water"), (ripens(water=1), "/ripens/1/water"), (ripens(colour="grey"), "/ripens/1/colour"),
    (starter(hydration_pct=50), "/ripens/0/water /ripens/1/water /ripens/2/water"), (starter(ripens={}), "/ripens"), (starter(stays_ripe_minutes=-1), "/stays_ripe_minutes"),
    (starter(stands_c=61), "/stands_c"), (starter(pot_g=-1), "/pot_g"), (starter(feed_within_minutes=0), "/feed_within_minutes"),
    (starter(rest_feed_days=0), "/rest_feed_days"), (starter(wake_feeds=0), "/wake_feeds"), (starter(wake_feeds="two"), "/wake_feeds"),
    (stage(uses="hearth"), "/stages/0/uses"), (stage(uses=1), "/stages/0/uses"), (stage(most_minutes=14), "/stages/0/most_minutes"),
    (stage(most_minutes=-1), "/stages/0/most_minutes"), (stage(most_minutes=20.5), "/stages/0/most_minutes"), (stage(OVEN, OVEN), "/stages/2/uses"),
    (bake(per_place=0), "/bake/per_place"), (bake(per_place=10001), "/bake/per_place"), (bake(per_place=None), "/bake/per_place"), (bake(steps=[]), "/bake/steps"),
    (bake(steps=[{"c": 250, "minutes": 1}] * 21), "/bake/steps"), (bake(steps=None), "/bake/steps"), (bake(colour="brown"), "/bake/colour"),
    (step(c=401), "/bake/steps/0/c"), (step(c=-1), "/bake/steps/0/c"), (step(c=None), "/bake/steps/0/c"), (step(minutes=0), "/bake/steps/0/minutes"),
    (step(minutes=1441), "/bake/steps/0/minutes"), (step(steam="yes"), "/bake/steps/0/steam"), (step(fan=True), "/bake/steps/0/fan"),
    (("/products/bun", {**PRODUCTS["/products/bun"], "bake": []}), "/bake"),
    (oven(power_w=0), "/ovens/1/power_w"), (oven(power_w=1000001), "/ovens/1/power_w"), (oven(power_w=2.5), "/ovens/1/power_w"),
    (bakery_with(mixers=[*BAKERY["mixers"][:1], {**BAKERY["mixers"][1], "power_w": "750"}]), "/mixers/1/power_w"),
    (stage(labour=5), "/stages/0/labour"), (stage(labour={}), "/stages/0/labour/minutes /stages/0/labour/per"),
    (stage(labour={"per": "hour", "minutes": 1}), "/stages/0/labour/per"), (stage(labour={"per": "mix", "minutes": -1}), "/stages/0/labour/minutes"),
    (stage(labour={"per": "mix", "minutes": "0.00001"}), "/stages/0/labour/minutes"), (stage(labour={"per": "mix", "minutes": 20160.5}), "/stages/0/labour/minutes"),
    (stage(labour={"per": "mix", "minutes": 1, "hands": 2}), "/stages/0/labour/hands"),
    (of_product(labour_minutes=-1), "/labour_minutes"), (of_product(labour_minutes=20160.5), "/labour_minutes"), (of_product(labour_minutes="0.00001"), "/labour_minutes"),
    (of_product(unsold_pct=100), "/unsold_pct"), (of_product(unsold_pct=-1), "/unsold_pct"), (of_product(labour_minutes="x", unsold_pct="x"), "/labour_minutes /unsold_pct"),
]


@pytest.fixture(scope="module")
def before(owner, bakery):
    enter(owner, {"/bakery": BAKERY, "/starters/levain": STARTER, "/formulas/bun": FORMULAS["/formulas/bun"], "/products/bun": PRODUCTS["/products/bun"]})
    return everything(owner)


@pytest.mark.parametrize("faulty, pointers", FAULTS)
def test_what_is_refused_and_where(owner, before, faulty, pointers):
    answer = owner.put(*faulty)
    assert (answer.status, sorted(set(answer.pointers))) == (422, pointers.split()), answer


def test_nothing_of_what_was_refused_was_stored(owner, before):
    assert everything(owner) == before


def test_an_oven_or_a_mixer_may_go_and_a_named_mixer_stays(owner, before):
    assert owner.put("/bakery", {**BAKERY, "ovens": [{"code": "stone"}]}).status == 200
    assert owner.put("/bakery", {**BAKERY, "ovens": []}).status == 200
    assert owner.put("/bakery", {**BAKERY, "mixers": []}).status == 409
