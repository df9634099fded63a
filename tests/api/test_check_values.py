"""Published check values reproduced through HTTP: a formula and a product are entered, pieces
ordered, and the mixing list must weigh what the books print."""

import csv
import os
import re
from decimal import Decimal

import pytest

from bakehouse import BAKERY, day
from harness import ROOT, enter, place

SOURCES = os.path.join(ROOT, "tests", "sources")


def rows(name):
    with open(os.path.join(SOURCES, name), newline="") as text:
        return list(csv.DictReader(text))


KINDS = {"flour": "flour", "water": "water", "salt": "salt"}


def percentages(**lines):
    return {name.replace("_", " "): Decimal(pct) for name, pct in lines.items()}


BAGUETTE = percentages(flour="100", water="67", salt="2", yeast="1")
PIZZA = percentages(flour="100", salt="1.75", instant_yeast="0.375", oil="1", water="58")
LEHMANN = percentages(flour="100", salt="1.75", sugar="2", instant_yeast="0.375", water="58")
LEAN = percentages(flour="100", water="66.6667", salt="2.0833", yeast="1.4881")
HAMELMAN = percentages(flour="100", water="65", salt="1.9")
CAKE = percentages(flour="100", everything_else="277.5")

# How much dough each case asks for, and what one of its units is here in grams: ounces and pounds
# are entered as 1000 g, so that a printed digit stays a digit.
CASES = {
    "bp-73-baguettes": (BAGUETTE, 73, Decimal(390), {"g": 1}),
    "bp-pmq-weights-to-percent": (PIZZA, 1, Decimal("1031200"), {"%": 6400}),
    "bp-pmq-rescale-50lb": (PIZZA, 1, Decimal("1289000"), {"oz": 1000, "lb": 16000}),
    "bp-lehmann-total-pct": (LEHMANN, 1, Decimal("64850"), {"lb": 1000, "oz": Decimal("62.5"), "%": 400}),
    "bp-gisslen-new-yield": (CAKE, 1, Decimal(3000), {"g": 1, "oz": Decimal("31.25")}),
    "bp-lean-dough-mixed-units": (LEAN, 1, Decimal("143000"), {"%": 840}),
    "bp-hamelman-750": (HAMELMAN, 1, Decimal(750), {"g": 1}),
}
TOTALS = {"total dough", "total formula percentage"}


def tolerance(row):
    """The tolerance in the row's unit; where it names two units, the row's."""
    if row["tolerance"] == "exact":
        return Decimal("0.0000005")
    for part in row["tolerance"].split(";"):
        found = re.match(r"\s*([\d.]+)\s*(\w*)", part)
        if found.group(2) in ("", row["unit"]):
            return Decimal(found.group(1))
    raise AssertionError(f"no tolerance for {row}")


@pytest.fixture(scope="module", autouse=True)
def bakery(owner):
    enter(owner, {"/bakery": {**BAKERY, "mixers": []}, "/customers/shop": {"name": "Shop"}})
    names = {name for lines, *_ in CASES.values() for name in lines}
    enter(owner, {f"/ingredients/{name.replace(' ', '-')}":
                  {"name": name, "kind": KINDS.get(name, "other"), "unit": "g"} for name in names})


def mixed(owner, number, case):
    """The grams of every line as the mixing list has them, for the dough that the case asks for."""
    lines, pieces, grams, _ = CASES[case]
    enter(owner, {
        f"/formulas/{case}": {"name": case, "basis": "final", "lines": [
            {"ingredient": name.replace(" ", "-"), "pct": pct} for name, pct in lines.items()]},
        f"/products/{case}": {"name": case, "parts": [{"formula": case, "g": grams}]}})
    place(owner, "shop", day(number), **{case: pieces})
    mixes = owner.get(f"/mixing-lists/{day(number - 1)}")["mixes"]
    mix = next(mix for mix in mixes if mix["formula"] == case)
    weights = {line["name"]: line["exact_g"] for line in mix["lines"]}
    weights["total dough"] = weights["total formula percentage"] = mix["dough_g"]
    return weights


@pytest.mark.parametrize("number, case", list(enumerate(CASES)))
def test_bakers_percentage(owner, number, case):
    weights = mixed(owner, number, case)
    checked = 0
    for row in rows("01_bakers_percentage.csv"):
        if row["case"] != case:
            continue
        checked += 1
        unit = Decimal(CASES[case][3][row["unit"]])
        # Gisslen's two units are two yields, 96 oz and 3000 g, of the same dough.
        off = abs(weights[row["item"]] / unit - Decimal(row["expected"]))
        assert off <= tolerance(row), f"{row['item']}: {weights[row['item']] / unit} {row['unit']}"
    assert checked > 0


def test_no_published_row_is_passed_over():
    assert {row["case"] for row in rows("01_bakers_percentage.csv")} == set(CASES)


@pytest.mark.parametrize("row", rows("04_dough_needed.csv"), ids=lambda row: row["case"])
def test_dough_needed_for_a_baked_weight(owner, row):
    """As a bake loss the piece comes out of the oven at the baked weight; as a handling loss of the
    dough the production list asks for the published dough."""
    loss = Decimal(row["loss_fraction"]) * 100
    enter(owner, {
        "/formulas/lean": {"name": "Lean", "basis": "final", "handling_loss_pct": loss,
                           "lines": [{"ingredient": "flour", "pct": 100}, {"ingredient": "water", "pct": 60}]},
        "/products/" + row["case"]: {"name": "Baked", "bake_loss_pct": loss,
                                     "parts": [{"formula": "lean", "g": row["expected_dough_g"]}]},
        "/products/from-" + row["case"]: {"name": "Raw", "parts": [{"formula": "lean", "g": row["baked_g"]}]}})
    assert abs(owner.get("/products/" + row["case"])["baked_g"] - Decimal(row["baked_g"])) <= Decimal("0.01")
    order = place(owner, "shop", day(40), **{"from-" + row["case"]: 1})
    dough, = owner.get(f"/days/{day(40)}/production")["doughs"]
    assert abs(dough["g"] - Decimal(row["expected_dough_g"])) <= Decimal("0.01")
    assert owner.delete(order.location).status == 204


# What the rows on bake loss say of a piece: dough, loss in percent, and the baked weight. The two
# rows on loaves of the United Kingdom are from memory, so they guide only.
PIECES = [
    ("gisslen-range", "555.556", "10", 500), ("gisslen-range", "574.713", "13", 500),
    ("gisslen-allowance", "550", "9.0909", 500), ("gisslen-allowance", "565", "11.5044", 500),
    ("rye", "1120", "10.7143", 1000),
    ("uk-400-dough", "460", "13.0435", 400), ("uk-400-dough", "465", "13.9785", 400),
    ("uk-800-dough", "900", "11.1111", 800), ("uk-800-dough", "920", "13.0435", 800),
]


@pytest.mark.parametrize("case, dough, loss, baked", PIECES)
def test_bake_loss(owner, case, dough, loss, baked):
    row = next(row for row in rows("04_bake_loss_ranges.csv") if row["case"] == case)
    enter(owner, {"/products/loaf": {"name": row["quantity"], "bake_loss_pct": loss,
                                     "parts": [{"ingredient": "flour", "g": dough}]}})
    assert abs(owner.get("/products/loaf")["baked_g"] - baked) <= Decimal("0.01")
    low, high = Decimal(row["low"]), Decimal(row["high"])
    figure = {"gisslen-range": Decimal(loss), "gisslen-allowance": Decimal(dough) - 500,
              "rye": Decimal(dough) - 1000}.get(case, Decimal(dough))
    assert low <= figure <= high
