"""What is measured around mixing: the night's temperatures, the water and ice of every batch, and the
friction that is learnt from how warm doughs came out."""

import statistics
from decimal import Decimal
from fractions import Fraction

import pytest

from bakehouse import CUSTOMERS, FORMULAS, INGREDIENTS, PRODUCTS, day
from clockwork import AT_WORK, STARTER, instant, now
from harness import enter, place

LATENT = Fraction(80)
DOUGH_C = {"country": 25, "seeded": 24, "baguette": "23.5", "bun": 27, "poolish": 21, "seed-soaker": None}
USUAL = {name: Fraction(str(AT_WORK[name])) for name in ("room_c", "flour_c", "tap_c", "preferment_c")}


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    enter(owner, {"/bakery": AT_WORK, **INGREDIENTS, **CUSTOMERS, "/starters/levain": STARTER})
    for path, body in FORMULAS.items():
        if path.startswith("/formulas/"):
            enter(owner, {path: {**body, "dough_c": DOUGH_C[path.split("/")[2]]}})
    enter(owner, PRODUCTS)


@pytest.fixture
def night(owner):
    """A mixing date with a mix of every dough: its date and the path of its list."""
    night.count = getattr(night, "count", 0) + 3
    order = place(owner, "shop", day(night.count + 1), bun=100, country_loaf=40, baguette=60, seeded_loaf=20)
    yield day(night.count), f"/mixing-lists/{day(night.count)}"
    owner.delete(order.location)


def mixes(client, path):
    return {mix["formula"]: mix for mix in client.get(path)["mixes"]}


def rounded(value, places):
    return Decimal(round(Fraction(value) * 10 ** places)).scaleb(-places)


def expected(mix, degrees, friction, with_preferment):
    """The water of a mix, reckoned by itself. degrees: room_c, flour_c, tap_c, preferment_c; None: unknown."""
    water = sum(line["weigh_g"] for line in mix["lines"] if line.get("ingredient") == "water")
    preferment = degrees["preferment_c"] if degrees["preferment_c"] is not None else degrees["room_c"]
    target = Fraction(mix["dough_c"]) * (4 if with_preferment else 3) - degrees["flour_c"] - degrees["room_c"] - Fraction(friction)
    target -= preferment if with_preferment else 0
    tap = degrees["tap_c"]
    share = None if tap is None else max(Fraction(0), min(Fraction(1), (tap - target) / (tap + LATENT)))
    ice = None if tap is None else rounded(Fraction(water) * share, 3)
    return {"missing": None, "water_c": rounded(target, 4), "friction_c": rounded(friction, 4), "factors": 4 if with_preferment else 3, "water_g": water,
            "ice_pct": None if tap is None else rounded(100 * share, 4), "ice_g": ice, "tap_g": None if tap is None else water - ice}


def shown(mix):
    return {name: value for name, value in mix["water"].items() if name != "warnings"}


PREFERMENT = {"country": True, "seeded": True, "baguette": True, "poolish": False}


def test_the_water_of_every_batch_by_the_usual_temperatures(baker, night):
    _, path = night
    listed = baker.get(path)
    assert listed["temperatures"] == {name: rounded(value, 4) for name, value in USUAL.items()} and listed["measured"] is False
    found = mixes(baker, path)
    assert {code for code, mix in found.items() if mix["water"] is None} == {"bun", "seed-soaker"}, "milk alone, and no dough temperature"
    for code, with_preferment in PREFERMENT.items():
        friction = Fraction(12) if found[code]["mixer"] == "spiral" else Fraction("17.5")
        assert shown(found[code]) == expected(found[code], USUAL, friction, with_preferment), code


def test_a_soaker_without_flour_is_no_preferment(owner, baker, night):
    plain = {**FORMULAS["/formulas/seeded"], "dough_c": 24, "lines": [line for line in FORMULAS["/formulas/seeded"]["lines"] if "starter" not in line]}
    enter(owner, {"/formulas/seeded": plain})
    mix = mixes(baker, night[1])["seeded"]
    assert shown(mix) == expected(mix, USUAL, 12, False)
    enter(owner, {"/formulas/seeded": {**FORMULAS["/formulas/seeded"], "dough_c": 24}})


MEASURED = [{"room_c": 28, "flour_c": "26.5", "tap_c": "17.25", "preferment_c": 27}, {"room_c": 31}, {"tap_c": 3}, {"preferment_c": "4.0001"},
            {"room_c": 5, "flour_c": 2, "preferment_c": 8}]


@pytest.mark.parametrize("measured", MEASURED)
def test_the_water_by_what_was_measured(baker, night, measured):
    date, path = night
    before = {code: mix["water"] for code, mix in mixes(baker, path).items()}
    answer = baker.put(path + "/temperatures", measured)
    assert answer.status == 201
    degrees = {**USUAL, **{name: Fraction(str(value)) for name, value in measured.items()}}
    assert baker.get(path)["temperatures"] == {name: rounded(value, 4) for name, value in degrees.items()}
    assert baker.get(path)["measured"] is True
    for code, mix in mixes(baker, path).items():
        if code in PREFERMENT:
            friction = Fraction(12) if mix["mixer"] == "spiral" else Fraction("17.5")
            assert shown(mix) == expected(mix, degrees, friction, PREFERMENT[code]), code
            told = {warning["code"] for warning in mix["water"]["warnings"]}
            assert ("too-hot" in told) == (mix["water"]["water_c"] > 40) and ("below-freezing" in told) == (mix["water"]["water_c"] < 0)
            assert mix["water"] != before[code] or set(measured) == {"tap_c"} or not PREFERMENT[code]


def test_the_nights_temperatures_are_kept_and_guarded(baker, counter, night):
    path = night[1] + "/temperatures"
    nothing = {"date": night[0], "room_c": None, "flour_c": None, "tap_c": None, "preferment_c": None}
    assert baker.get(path).body == nothing, "before anything is entered"
    assert baker.put(path, {"room_c": 20}, If_Match="*").status == 412
    first = baker.put(path, {"room_c": 20, "tap_c": None}, If_None_Match="*")
    assert (first.status, first.body) == (201, {**nothing, "room_c": 20})
    assert baker.get(path).body == first.body and baker.get(path, If_None_Match=first.etag).status == 304
    second = baker.put(path, {"flour_c": "20.1234"}, If_Match=first.etag)
    assert (second.status, second.body) == (200, {**nothing, "flour_c": Decimal("20.1234")}), "the whole is replaced"
    assert baker.put(path, {"room_c": 1}, If_Match=first.etag).status == 412
    assert baker.put(path, {"room_c": 1}, If_None_Match="*").status == 412
    assert baker.put(path, {}).body == nothing, "null is as usual"
    assert (counter.get(path).status, counter.put(path, {}).status) == (403, 403)


@pytest.mark.parametrize("body, pointers", [({"room_c": "warm"}, ["/room_c"]), ({"room_c": -41, "tap_c": 401}, ["/room_c", "/tap_c"]),
                                            ({"flour_c": "20.00001"}, ["/flour_c"]), ({"oven_c": 250}, ["/oven_c"]), ({"room_f": 70}, ["/room_f"]),
                                            ([], [""]), ({"preferment_c": True}, ["/preferment_c"])])
def test_temperatures_that_are_none(baker, night, body, pointers):
    before = baker.get(night[1] + "/temperatures").text
    answer = baker.put(night[1] + "/temperatures", body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert baker.get(night[1] + "/temperatures").text == before
    assert baker.put("/mixing-lists/2027-02-30/temperatures", {}).status == baker.get("/mixing-lists/today/temperatures").status == 422


def test_a_print_keeps_the_water_as_it_was(baker, night):
    path = night[1]
    baker.put(path + "/temperatures", {"room_c": 26, "tap_c": 16})
    listed = baker.get(path)
    printed = baker.post(path + "/prints")
    assert printed.status == 201
    for member in ("mixes", "temperatures", "measured"):
        assert printed[member] == listed[member], member
    baker.put(path + "/temperatures", {"room_c": 18, "tap_c": 6})
    assert baker.get(printed.location).text == printed.text
    assert mixes(baker, path)["country"]["water"] != listed["mixes"][0]["water"]
    assert baker.get(path)["changes"] == {"since": 1, "mixes": [], "products": []}


def test_what_is_not_known_is_named(owner, baker, night):
    enter(owner, {"/bakery": {**AT_WORK, "room_c": None, "flour_c": None, "tap_c": None, "preferment_c": None}})
    water = mixes(baker, night[1])["country"]["water"]
    assert "room" in water["missing"] and "flour" in water["missing"] and water["water_c"] is None and water["ice_g"] is None
    baker.put(night[1] + "/temperatures", {"room_c": 24, "flour_c": 21})
    mix = mixes(baker, night[1])["country"]
    degrees = {"room_c": Fraction(24), "flour_c": Fraction(21), "tap_c": None, "preferment_c": None}
    assert shown(mix) == expected(mix, degrees, 12, True), "the preferment is as warm as the room"
    without = [{**mixer, "friction_c": None} for mixer in AT_WORK["mixers"]]
    enter(owner, {"/bakery": {**AT_WORK, "mixers": without}})
    assert "mix" in mixes(baker, night[1])["country"]["water"]["missing"]
    enter(owner, {"/bakery": AT_WORK})


# --- friction ---


def dough_temperature(client, formula, friction, mixer=None, **changes):
    """A record whose friction comes out as told."""
    warm = {"water_c": 20, "flour_c": 21, "room_c": 22}
    body = {"formula": formula, "dough_c": str(rounded((Fraction(str(friction)) + 63) / 3, 4)), **warm, **changes}
    answer = client.post("/dough-temperatures", {**body, **({"mixer": mixer} if mixer else {})})
    assert answer.status == 201, answer
    return answer


def learnt(client, formula, mixer):
    return client.get(f"/dough-temperatures?formula={formula}&mixer={mixer}")["friction_c"]


def test_friction_is_learnt_from_what_came_out(baker, night):
    """The median of the last five of the dough in the mixer when there are three, else of the last five of any dough in it."""
    records = []

    def by_hand(formula, mixer):
        own = [friction for code, where, friction in reversed(records) if where == mixer and code == formula][:5]
        every = [friction for _, where, friction in reversed(records) if where == mixer][:5]
        return rounded(statistics.median(own if len(own) >= 3 else every), 4) if every else None

    assert (learnt(baker, "country", "spiral"), learnt(baker, "bun", "planetary")) == (12, Decimal("17.5")), "as the mixers' entries say"
    for formula, mixer, friction in [("country", None, "9"), ("baguette", None, "15.3"), ("country", "planetary", "30"), ("country", None, "10.2"),
                                     ("country", None, "8.1"), ("baguette", None, "14.1"), ("country", None, "9.9"), ("country", None, "60"),
                                     ("seeded", "spiral", "-3"), ("country", None, "9.6"), ("baguette", None, "13.2"), ("bun", None, "21")]:
        answer = dough_temperature(baker, formula, friction, mixer)
        assert (answer["friction_c"], answer["mixer"]) == (Decimal(friction), mixer or ("planetary" if formula == "bun" else "spiral"))
        records.append((formula, answer["mixer"], Fraction(friction)))
        for code in ("country", "baguette", "seeded", "bun"):
            for where in ("spiral", "planetary"):
                usual = {"spiral": 12, "planetary": Decimal("17.5")}[where]
                assert learnt(baker, code, where) == (by_hand(code, where) if by_hand(code, where) is not None else usual), (code, where)
    for code, mix in mixes(baker, night[1]).items():
        if code in PREFERMENT:
            assert shown(mix) == expected(mix, USUAL, by_hand(code, mix["mixer"]), PREFERMENT[code]), code


def test_published_friction(baker):
    """Dough 82, room 75, flour 65, water 65 degrees Fahrenheit: 41 of friction."""
    answer = baker.post("/dough-temperatures", {"formula": "bun", "dough_f": 82, "room_f": 75, "flour_f": 65, "water_f": 65})
    assert answer.status == 201
    assert answer["friction_c"] == rounded(Fraction(41 * 5, 9), 4), "a difference has no 32 in it"
    assert [answer[name] for name in ("dough_c", "room_c", "flour_c", "water_c", "preferment_c")] == \
        [rounded(Fraction((f - 32) * 5, 9), 4) for f in (82, 75, 65, 65)] + [None]


def test_with_a_preferment_there_are_four_factors(baker):
    answer = baker.post("/dough-temperatures", {"formula": "country", "dough_c": "25.5", "water_c": 17, "flour_c": 21, "room_c": 23, "preferment_c": 26})
    assert (answer["friction_c"], answer["preferment_c"], answer["entered_by"]) == (4 * Decimal("25.5") - 17 - 21 - 23 - 26, 26, "t-baker")


def test_records_are_listed_newest_first_and_filtered(baker):
    listed = baker.list("/dough-temperatures?limit=4")
    assert [record["number"] for record in listed] == sorted((record["number"] for record in listed), reverse=True) and len(listed) > 8
    assert listed == baker.get("/dough-temperatures")["items"] and baker.get("/dough-temperatures")["friction_c"] is None
    for query, fits in (("mixer=planetary", lambda record: record["mixer"] == "planetary"), ("formula=country", lambda record: record["formula"] == "country"),
                        ("mixer=spiral&formula=country", lambda record: (record["mixer"], record["formula"]) == ("spiral", "country"))):
        assert baker.list(f"/dough-temperatures?{query}&limit=2") == [record for record in listed if fits(record)] != []
    assert baker.get("/dough-temperatures?mixer=none")["items"] == []
    assert baker.get("/dough-temperatures?limit=0").status == baker.get("/dough-temperatures?after=x").status == 422


def test_a_record_is_made_once_and_at_its_time(baker, counter):
    body = {"formula": "country", "dough_c": 26, "water_c": 20, "flour_c": 21, "room_c": 22}
    before = len(baker.list("/dough-temperatures"))
    first = baker.post("/dough-temperatures", body, Idempotency_Key="dt-1")
    again = baker.post("/dough-temperatures", body, Idempotency_Key="dt-1")
    assert (again.status, again.text) == (201, first.text) and len(baker.list("/dough-temperatures")) == before + 1
    assert abs((instant(first["at"]) - now()).total_seconds()) < 60
    assert baker.post("/dough-temperatures", {**body, "at": "2026-07-01T01:30:00Z"})["at"] == "2026-07-01T02:30:00+01:00"
    assert baker.post("/dough-temperatures", body, Idempotency_Key=None).status == 400
    assert (counter.post("/dough-temperatures", body).status, counter.get("/dough-temperatures").status) == (403, 403)


GOOD = {"formula": "country", "dough_c": 26, "water_c": 20, "flour_c": 21, "room_c": 22}


@pytest.mark.parametrize("changes, pointers", [
    ({"formula": "none"}, ["/formula"]), ({"formula": None}, ["/formula"]), ({"mixer": "none"}, ["/mixer"]), ({"formula": "seed-soaker"}, ["/mixer"]),
    ({"dough_c": None}, ["/dough_c"]), ({"water_c": "cold"}, ["/water_c"]), ({"flour_c": "401"}, ["/flour_c"]), ({"room_c": "22.00001"}, ["/room_c"]),
    ({"preferment_f": 70}, ["/preferment_f"]), ({"at": "soon"}, ["/at"]), ({"colour": "brown"}, ["/colour"]), ({"friction_c": 12}, ["/friction_c"]),
    ({"number": 1}, ["/number"]), ({"room_f": 70, "room_c": None}, ["/room_c", "/room_f"]),
])
def test_records_that_are_refused(baker, changes, pointers):
    before = baker.get("/dough-temperatures").text
    answer = baker.post("/dough-temperatures", {**GOOD, **changes})
    assert answer.status == 422 and set(answer.pointers) >= set(pointers) - {"/room_c"} and set(answer.pointers) <= set(pointers), answer
    assert baker.get("/dough-temperatures").text == before


def test_a_record_is_neither_changed_nor_deleted(baker):
    for method in ("PUT", "DELETE"):
        assert baker.ask(method, "/dough-temperatures", b"{}").status == 405
