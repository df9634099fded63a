"""How warm the water must be, through HTTP: published cases in both units, the ice that replaces part
of the water, and whatever may not be asked."""

import csv
import os
from decimal import Decimal
from fractions import Fraction

import pytest

from harness import ROOT

SOURCES = os.path.join(ROOT, "tests", "sources")
LATENT = Fraction(80)  # degrees Celsius that a melting gram of ice takes off a gram of water


def rows(name):
    with open(os.path.join(SOURCES, name), newline="") as text:
        return {row["case"]: row for row in csv.DictReader(text)}


DDT, BALANCE, TABLE = rows("02_ddt.csv"), rows("02_ice_balance.csv"), rows("02_ice_table.csv")


def rounded(value, places):
    """Half to even, as the program does it."""
    return Decimal(round(Fraction(value) * 10 ** places)).scaleb(-places)


def plain(value):
    """A number as it can be sent exactly: a decimal string."""
    return f"{rounded(value, 4):f}"


def body(unit, water_g=None, **degrees):
    sent = {f"{name}_{unit}": plain(value) for name, value in degrees.items() if value is not None}
    return {**sent, **({"water_g": plain(water_g)} if water_g is not None else {})}


def other(unit, **degrees):
    """The same in the other scale; friction converts as a difference."""
    to = {"f": lambda f, zero: (f - zero) * Fraction(5, 9), "c": lambda c, zero: c * Fraction(9, 5) + zero}[unit]
    return {name: None if value is None else to(Fraction(value), 0 if name == "friction" else 32) for name, value in degrees.items()}


@pytest.fixture
def ask_water(counter):
    def ask(unit, **asked):
        answer = counter.post("/water-temperature", body(unit, **asked))
        assert answer.status == 200, answer
        assert set(answer.body) == {f"water_{unit}", "factors", "ice_pct", "ice_g", "tap_g", "warnings"}
        return answer
    return ask


def codes(answer):
    return [warning["code"] for warning in answer["warnings"]]


# --- published cases ---

CASES = [case for case, row in DDT.items() if row["ddt"]]


def degrees_of(row):
    given = {"dough": row["ddt"], "flour": row["flour"], "room": row["room"], "friction": row["friction"], "preferment": row["preferment"]}
    return {name: Fraction(value) for name, value in given.items() if value}


@pytest.mark.parametrize("case", CASES)
def test_published_water_temperatures(ask_water, case):
    row = DDT[case]
    unit = row["unit"].lower()
    tolerance = Decimal(0) if row["tolerance"] == "exact" else Decimal(row["tolerance"])
    answer = ask_water(unit, **degrees_of(row))
    assert abs(answer[f"water_{unit}"] - Decimal(row["expected_water"])) <= tolerance
    assert answer["factors"] == int(row["factors"])


@pytest.mark.parametrize("case", CASES)
def test_published_water_temperatures_in_the_other_unit(ask_water, case):
    row = DDT[case]
    unit, there = row["unit"].lower(), {"f": "c", "c": "f"}[row["unit"].lower()]
    answer = ask_water(there, **other(unit, **degrees_of(row)))
    expected = other(unit, water=Fraction(row["expected_water"]))["water"]
    assert abs(Fraction(answer[f"water_{there}"]) - expected) <= Fraction(1, 50)


def test_no_published_row_is_passed_over():
    assert set(DDT) == {*CASES, "ddt-friction"}, "which is a case of dough temperatures"
    assert set(BALANCE) == {"ice-balance-40kg", "ice-balance-10kg", "ice-trap-addon"}


def wanting(target, **more):
    """Figures for which the water comes out at a temperature."""
    return {"dough": Fraction(target) + 10, "flour": Fraction(target) + 10, "room": Fraction(target) + 5, "friction": 15, **more}


@pytest.mark.parametrize("case", ["ice-balance-40kg", "ice-balance-10kg"])
@pytest.mark.parametrize("unit", ["c", "f"])
def test_published_ice_balances(ask_water, case, unit):
    row = BALANCE[case]
    water, tap, target = (Fraction(row[name]) for name in ("total_water_kg", "tap_C", "target_C"))
    asked = wanting(target, tap=tap)
    answer = ask_water(unit, water_g=1000 * water, **(asked if unit == "c" else other("c", **asked)))
    for member, column in (("ice_g", "ice_kg_L79.7"), ("tap_g", "tap_water_kg")):
        expected = 1000 * Decimal(row[column])
        assert abs(answer[member] - expected) <= expected * Decimal("0.005"), column
    assert answer["ice_g"] == rounded(1000 * water * (tap - target) / (tap + LATENT), 3), "to the milligram, in both units"


def test_the_ice_replaces_part_of_the_water(ask_water):
    """The printed trap adds it on top, and so does not balance."""
    row = BALANCE["ice-trap-addon"]
    water, tap, target = (Fraction(row[name]) for name in ("total_water_kg", "tap_C", "target_C"))
    trap = 1000 * Decimal(row["ice_kg_L79.7"].split()[0])
    answer = ask_water("c", water_g=1000 * water, **wanting(target, tap=tap))
    assert answer["ice_g"] + answer["tap_g"] == 1000 * water
    assert trap - answer["ice_g"] > 350
    melts, cools = Fraction(answer["ice_g"]) * (LATENT + target), Fraction(answer["tap_g"]) * (tap - target)
    assert abs(melts - cools) < 1, "what the ice takes up is what the tap water gives off"


@pytest.mark.parametrize("case", TABLE)
def test_the_published_ice_table(ask_water, case):
    row = TABLE[case]
    tap, target = Fraction(row["tap_F"]), Fraction(row["calculated_water_F"])
    answer = ask_water("f", water_g=1000, **wanting(target, tap=tap))
    assert answer["water_f"] == target
    printed = Decimal(row["expected_printed_lb_ice_per_lb_water"])
    assert abs(answer["ice_g"] / 1000 - printed) <= Decimal("0.0065")
    assert abs(answer["ice_pct"] / 100 - printed) <= Decimal("0.0065")
    assert ("below-freezing" in codes(answer)) == (target < 32), "answered all the same"


# --- figures of our own, reckoned a second time ---

FIGURES = [
    ("c", dict(dough=26, flour=22, room=23, friction=12), 21, 3),
    ("c", dict(dough=26, flour=22, room=23, friction=12, preferment=25), 22, 4),
    ("c", dict(dough="25.5", flour="21.25", room="24.1234", friction="7.8901"), "23.2365", 3),
    ("f", dict(dough=78, flour=70, room=72, friction=24, preferment=74), 72, 4),
    ("f", dict(dough="78.1", flour="70.2", room="72.3", friction="-3.4567"), "95.2567", 3),
    ("c", dict(dough=25, flour=30, room=32, friction=20, preferment=30), -12, 4),
    ("c", dict(dough=0, flour=0, room=0, friction=0, preferment=0), 0, 4),
]


@pytest.mark.parametrize("unit, figures, water, factors", FIGURES)
def test_the_factors(ask_water, unit, figures, water, factors):
    figures = {name: Fraction(value) for name, value in figures.items()}
    answer = ask_water(unit, **figures)
    assert (answer[f"water_{unit}"], answer["factors"]) == (Decimal(water), factors)
    assert (answer["ice_pct"], answer["ice_g"], answer["tap_g"]) == (None, None, None), "the tap was not told"
    with_tap = ask_water(unit, tap=Fraction(water) + 5, **figures)
    assert with_tap["ice_pct"] > 0 and (with_tap["ice_g"], with_tap["tap_g"]) == (None, None), "nor how much water"
    warmer = ask_water(unit, tap=Fraction(water) - 5, water_g="1234.567", **figures)
    assert (warmer["ice_pct"], warmer["ice_g"], warmer["tap_g"]) == (0, 0, Decimal("1234.567")), "no ice to warm it up"


@pytest.mark.parametrize("tap, target, water", [(20, 10, 40000), ("14.5", "3.25", "11111.111"), (25, -10, 1), (18, 4, "0.001"), (30, "-39.9", 10 ** 9)])
def test_the_ice_to_the_milligram(ask_water, tap, target, water):
    tap, target, water = Fraction(tap), Fraction(target), Fraction(water)
    share = (tap - target) / (tap + LATENT)
    for unit in ("c", "f"):
        asked = wanting(target, tap=tap)
        answer = ask_water(unit, water_g=water, **(asked if unit == "c" else other("c", **asked)))
        assert answer["ice_pct"] == rounded(100 * share, 4)
        assert answer["ice_g"] == rounded(water * share, 3)
        assert answer["ice_g"] + answer["tap_g"] == rounded(water, 3)


@pytest.mark.parametrize("unit, target, told", [
    ("c", 40, []), ("c", "40.0001", ["too-hot"]), ("f", 104, []), ("f", "104.0001", ["too-hot"]),
    ("c", 0, []), ("c", "-0.0001", ["below-freezing"]), ("f", 32, []), ("f", "31.9999", ["below-freezing"]),
])
def test_the_edges_of_what_is_warned_of(ask_water, unit, target, told):
    answer = ask_water(unit, tap=Fraction(target) + 1, **wanting(target))
    assert codes(answer) == told
    assert all(len(warning["text"]) > 10 for warning in answer["warnings"])


def test_cold_water_without_a_measured_tap_is_warned_of(ask_water):
    assert "no-tap" in codes(ask_water("c", **wanting(5))) and "no-tap" in codes(ask_water("f", **wanting(41)))
    assert "no-tap" not in codes(ask_water("c", **wanting(30))) + codes(ask_water("c", tap=15, **wanting(5)))


def test_more_ice_than_water_is_warned_of(ask_water):
    """Flour that is colder than anything: even ice alone would be too warm."""
    answer = ask_water("c", tap=20, water_g=1000, dough=-30, flour=10, room=10, friction=10)
    assert answer["water_c"] == -120 and {"all-ice", "below-freezing"} <= set(codes(answer))
    assert answer["ice_g"] == 1000 and answer["tap_g"] == 0, "never more ice than water"


# --- what may not be asked ---

GOOD = {"dough_c": 26, "flour_c": 22, "room_c": 23, "friction_c": 12}
ALL = {**GOOD, "preferment_c": 25, "tap_c": 14, "water_g": 1000}


@pytest.mark.parametrize("member", ["flour", "room", "friction", "preferment", "tap"])
def test_one_of_the_other_unit_is_422_at_its_place(counter, member):
    mixed = {name: value for name, value in ALL.items() if name != f"{member}_c"} | {f"{member}_f": 50}
    answer = counter.post("/water-temperature", mixed)
    assert answer.status == 422 and f"/{member}_f" in answer.pointers, answer
    turned = {name.replace("_c", "_f"): value for name, value in ALL.items() if name != f"{member}_c"} | {f"{member}_c": 20}
    answer = counter.post("/water-temperature", turned)
    assert answer.status == 422 and f"/{member}_c" in answer.pointers, answer


def test_several_of_the_other_unit_are_all_told(counter):
    answer = counter.post("/water-temperature", {"dough_c": 26, "flour_f": 70, "room_c": 23, "friction_f": 9, "tap_f": 50})
    assert answer.status == 422 and {"/flour_f", "/friction_f", "/tap_f"} <= set(answer.pointers), answer


def test_the_same_in_both_units_is_422(counter):
    answer = counter.post("/water-temperature", {**ALL, "tap_f": 57})
    assert (answer.status, answer.pointers) == (422, ["/tap_f"]), answer


FAULTS = [
    ({}, {"/dough_c", "/flour_c", "/room_c", "/friction_c"}),
    ({**GOOD, "dough_c": None}, {"/dough_c"}), ({**GOOD, "dough_c": "warm"}, {"/dough_c"}), ({**GOOD, "room_c": "23.00001"}, {"/room_c"}),
    ({**GOOD, "flour_c": True}, {"/flour_c"}), ({**GOOD, "room_c": 401}, {"/room_c"}), ({**GOOD, "room_c": "-100.0001"}, {"/room_c"}),
    ({**GOOD, "dough_c": 1e300}, {"/dough_c"}), ({**GOOD, "friction_c": "9" * 30}, {"/friction_c"}), ({**GOOD, "friction_c": "100.0001"}, {"/friction_c"}),
    ({"dough_f": 78, "flour_f": 70, "room_f": 752.1, "friction_f": 9}, {"/room_f"}),
    ({"dough_f": 78, "flour_f": -148.1, "room_f": 70, "friction_f": 9}, {"/flour_f"}),
    ({"dough_f": 78, "flour_f": 70, "room_f": 70, "friction_f": "-180.1"}, {"/friction_f"}),
    ({**GOOD, "water_g": -1}, {"/water_g"}), ({**GOOD, "water_g": "0.0001"}, {"/water_g"}), ({**GOOD, "water_g": "1" + "0" * 20}, {"/water_g"}),
    ({**GOOD, "tap_c": [14]}, {"/tap_c"}), ({**GOOD, "salt_c": 20}, {"/salt_c"}), ({**GOOD, "dough_k": 299}, {"/dough_k"}),
    ([GOOD], {""}), ("26", {""}),
]


@pytest.mark.parametrize("asked, pointers", FAULTS)
def test_what_may_not_be_asked(counter, asked, pointers):
    answer = counter.post("/water-temperature", asked if isinstance(asked, (dict, list)) else f'"{asked}"')
    assert (answer.status, set(answer.pointers)) == (422, pointers), answer


def test_the_widest_that_may_be_asked(counter, ask_water):
    assert ask_water("c", dough=400, flour=-100, room=-100, friction=-100, preferment=-100)["water_c"] == 2000
    assert ask_water("f", dough=752, flour=-148, room=-148, friction=-180)["water_f"] == 2732
    answer = counter.post("/water-temperature", {**ALL, "water_g": "1000000000000"})
    assert answer.status == 200 and answer["ice_g"] + answer["tap_g"] == 10 ** 12


def test_no_bakery_is_needed_and_no_key(counter):
    assert counter.get("/bakery").status == 404
    assert counter.post("/water-temperature", GOOD, Idempotency_Key="any").status == 200
    assert counter.post("/water-temperature", b"{").status == 400
    assert counter.post("/water-temperature", b"{}", Content_Type="text/plain").status == 415
