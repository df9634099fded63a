"""Formulas: both percentage forms, what is worked out from them, and how deep they nest."""

from decimal import Decimal

import pytest

from bakehouse import BAKERY, INGREDIENTS, day, open_bakehouse
from harness import enter, place

FOUR_DECIMALS = Decimal("0.0002")  # what storing each of a few percentages at four decimals may cost


@pytest.fixture(scope="module", autouse=True)
def bakehouse(owner):
    open_bakehouse(owner)
    enter(owner, {"/starters/stiff": {"name": "Stiff", "hydration_pct": 60,
                                      "flours": [{"ingredient": "bread-flour", "pct": 100}]}})


def lines(**pcts):
    return [{"ingredient": code.replace("_", "-"), "pct": pct} for code, pct in pcts.items()]


def overall(answer):
    return {line["ingredient"]: line["pct"] for line in answer["overall"]["lines"]}


def final(answer):
    return [line["pct"] for line in answer["final"]["lines"]]


# One dough in its two forms: 50 % of a levain at 100 % hydration (4/5 wheat, 1/5 rye) brings 25 of
# flour and 25 of water to 100 of flour in the final mix.
AS_FINAL = {"name": "Dough", "basis": "final", "lines": lines(bread_flour=100, water=60, salt=2.5)
            + [{"starter": "levain", "pct": 50}]}
AS_TOTAL = {"name": "Dough", "basis": "total", "lines": lines(bread_flour=96, rye_flour=4, water=68, salt=2)
            + [{"starter": "levain", "flour_pct": 20}]}


def test_both_forms_of_one_dough_show_the_same(baker):
    enter(baker, {"/formulas/as-final": AS_FINAL, "/formulas/as-total": AS_TOTAL})
    one, other = baker.get("/formulas/as-final"), baker.get("/formulas/as-total")
    assert overall(one) == overall(other) == {"bread-flour": 96, "rye-flour": 4, "water": 68, "salt": 2}
    for shown in (one, other):
        assert {figure: shown["overall"][figure] for figure in ("hydration_pct", "salt_pct", "prefermented_flour_pct")} == \
            {"hydration_pct": 68, "salt_pct": 2, "prefermented_flour_pct": 20}
    assert final(one) == [100, 60, Decimal("2.5"), 50]
    assert final(other) == [100, 0, 60, Decimal("2.5"), 50]
    assert other["lines"] == AS_TOTAL["lines"], "stored as it was entered"


def test_both_forms_of_one_dough_weigh_the_same(owner):
    enter(owner, {"/formulas/as-final": AS_FINAL, "/formulas/as-total": AS_TOTAL,
                  "/products/one": {"name": "One", "parts": [{"formula": "as-final", "g": 777}]},
                  "/products/other": {"name": "Other", "parts": [{"formula": "as-total", "g": 777}]}})
    place(owner, "shop", day(1), one=13, other=13)
    weights = {mix["formula"]: {line["name"]: line["exact_g"] for line in mix["lines"] if line["exact_g"]}
               for mix in owner.get(f"/mixing-lists/{day(0)}")["mixes"]}
    assert weights["as-final"] == weights["as-total"]


ROUND_TRIPS = {
    "country": lines(bread_flour=90, rye_flour=10, water=72, salt=2) + [{"starter": "levain", "flour_pct": 15}],
    "stiff": lines(bread_flour=100, water=64.5, salt=1.9, yeast=0.7) + [{"starter": "stiff", "flour_pct": 33.3333}],
    "poolish": lines(bread_flour=100, water=75, salt=2.1, yeast=0.4) + [{"formula": "poolish", "flour_pct": 40}],
    "two": lines(bread_flour=80, rye_flour=20, water=81, salt=2.2, sunflower=12, yeast=0.5)
    + [{"starter": "levain", "flour_pct": 7.7}, {"formula": "seed-soaker", "pct": 20.2}, {"formula": "poolish", "flour_pct": 11}],
}


@pytest.mark.parametrize("name", ROUND_TRIPS)
def test_total_to_final_and_back(owner, name):
    """The final mix as the server shows it, entered as a formula of its own, is the same dough."""
    total = {"name": "Total", "basis": "total", "lines": ROUND_TRIPS[name]}
    enter(owner, {"/formulas/there": total})
    there = owner.get("/formulas/there")
    mixed = [{key: value for key, value in line.items() if key != "name"} for line in there["final"]["lines"] if line["pct"]]
    enter(owner, {"/formulas/back": {"name": "Final", "basis": "final", "lines": mixed}})
    back = owner.get("/formulas/back")
    assert overall(back).keys() == overall(there).keys()
    for code, pct in overall(there).items():
        assert abs(overall(back)[code] - pct) <= FOUR_DECIMALS, code
    for figure in ("hydration_pct", "salt_pct", "prefermented_flour_pct"):
        assert abs(back["overall"][figure] - there["overall"][figure]) <= FOUR_DECIMALS
    enter(owner, {"/products/there": {"name": "There", "parts": [{"formula": "there", "g": 1000}]},
                  "/products/back": {"name": "Back", "parts": [{"formula": "back", "g": 1000}]}})
    order = place(owner, "shop", day(9), there=10, back=10)
    mixes = {mix["formula"]: [line["exact_g"] for line in mix["lines"] if line["exact_g"]]
             for mix in owner.get(f"/mixing-lists/{day(8)}")["mixes"]}
    for one, other in zip(mixes["there"], mixes["back"], strict=True):
        assert abs(one - other) <= Decimal("0.02"), "of 10 kg: two in a million"
    owner.delete(order.location)


def test_a_preview_shows_what_get_will_show_and_stores_nothing(baker):
    body = {"name": "Trial", "basis": "total", "lines": ROUND_TRIPS["two"], "note": "Not yet"}
    preview = baker.post("/formulas/preview", {**body, "code": "trial"})
    assert preview.status == 200 and baker.get("/formulas/trial").status == 404
    enter(baker, {"/formulas/trial": body})
    assert baker.get("/formulas/trial").body == preview.body
    assert baker.delete("/formulas/trial").status == 204


def test_a_formula_without_flour_has_no_hydration(baker):
    shown = baker.get("/formulas/seed-soaker")
    assert [shown["overall"][figure] for figure in ("hydration_pct", "salt_pct", "prefermented_flour_pct")] == [None] * 3
    assert final(shown) == [100, 100, 2]


def test_water_in_other_ingredients_counts_as_water(baker):
    # 62 of milk at 87.5 % and 15 of butter at 16 %
    assert baker.get("/formulas/bun")["overall"]["hydration_pct"] == Decimal("56.65")


def test_allergens_come_through_every_part(baker):
    assert baker.get("/formulas/bun")["allergens"] == ["gluten", "milk"]
    assert baker.get("/formulas/seed-soaker")["allergens"] == []
    assert baker.get("/formulas/seeded")["allergens"] == ["gluten"]


def test_unset_members_are_null_or_empty(baker):
    enter(baker, {"/formulas/bare": {"name": "Bare", "basis": "final", "lines": lines(bread_flour=100), "note": None,
                                     "mixer": None, "stages": None, "dough_c": None, "by_hand": None, "handling_loss_pct": None}})
    shown = baker.get("/formulas/bare")
    assert [shown[member] for member in ("handling_loss_pct", "dough_c", "mixer", "by_hand", "stages", "note")] == \
        [0, None, None, False, [], None]


def test_numbers_may_be_decimal_strings_and_come_back_as_numbers(baker):
    enter(baker, {"/formulas/texts": {"name": "T", "basis": "final", "dough_c": "-1.5", "handling_loss_pct": "2.50", "lines": [
        {"ingredient": "bread-flour", "pct": "100.0000"}, {"ingredient": "salt", "pct": "0.0001"}, {"ingredient": "water", "pct": 6e1}]}})
    shown = baker.get("/formulas/texts")
    assert [line["pct"] for line in shown["lines"]] == [100, Decimal("0.0001"), 60]
    assert (shown["dough_c"], shown["handling_loss_pct"]) == (Decimal("-1.5"), Decimal("2.5"))
    assert '"0.0001"' not in shown.text and "e-" not in shown.text


def nest(owner, levels):
    """A dough with that many levels of preferment below it, each a third of the one above."""
    enter(owner, {"/formulas/level-0": {"name": "0", "basis": "final", "lines": lines(bread_flour=100, water=50)}})
    for level in range(1, levels + 1):
        yield owner.put(f"/formulas/level-{level}", {"name": str(level), "basis": "final", "lines":
                        lines(bread_flour=100) + [{"formula": f"level-{level - 1}", "pct": 50}]})


def test_preferments_nest_eight_levels_deep_and_stay_exact(owner):
    assert [answer.status for answer in nest(owner, 8)] == [201] * 8
    ninth = owner.put("/formulas/level-9", {"name": "9", "basis": "final",
                                            "lines": lines(bread_flour=100) + [{"formula": "level-8", "pct": 1}]})
    assert (ninth.status, ninth.pointers) == (422, ["/lines/1/formula"])
    enter(owner, {"/products/deep": {"name": "Deep", "parts": [{"formula": "level-8", "g": 1000}]}})
    order = place(owner, "shop", day(5), deep=6561)
    doughs = {mix["formula"]: mix["dough_g"] for mix in owner.get(f"/mixing-lists/{day(4)}")["mixes"]}
    assert doughs == {f"level-{level}": 1000 * 3 ** level for level in range(9)}, "a third each time, to the milligram"
    needs = {item["ingredient"]: item["g"] for item in owner.get(f"/days/{day(5)}/needs")["ingredients"]}
    assert needs["water"] == Decimal("333.333") and needs["bread-flour"] == Decimal("6560666.667")
    owner.delete(order.location)
    nested_below = owner.put("/formulas/level-0", {"name": "0", "basis": "final",
                                                   "lines": lines(bread_flour=100) + [{"formula": "poolish", "pct": 1}]})
    assert nested_below.status == 409 and "level-8" in nested_below.text, "nor may anything grow from below"


# --- batches and scales, at their edges ---


def batch(owner, n, bakery, formulas, **pieces):
    enter(owner, {"/bakery": {**BAKERY, **bakery}, **formulas})
    order = place(owner, "shop", day(n), **pieces)
    mixes = {mix["formula"]: mix for mix in owner.get(f"/mixing-lists/{day(n - 1)}")["mixes"]}
    owner.delete(order.location)
    return mixes


def thirds(pct):
    return {"/formulas/sponge": {"name": "Sponge", "basis": "final", "lines": lines(bread_flour=100, water=50)},
            "/formulas/main": {"name": "Main", "basis": "final", "by_hand": True,
                               "lines": lines(bread_flour=100) + [{"formula": "sponge", "pct": pct}]},
            "/products/main": {"name": "Main", "parts": [{"formula": "main", "g": 1000}]}}


MIXERS = [{"code": "spiral", "min_g": 5000, "max_g": 20000}, {"code": "planetary", "min_g": 0, "max_g": 10000}]


def test_a_preferment_that_just_fills_the_mixer_is_one_batch(owner):
    """Two thirds of 30 kg, one third of 60 kg: 20 kg, and not a hair more."""
    for pct, pieces in ((200, 30), (50, 60)):
        sponge = batch(owner, 20, {"mixers": MIXERS}, thirds(pct), main=pieces)["sponge"]
        assert (sponge["dough_g"], sponge["batches"], sponge["mixer"]) == (20000, 1, "spiral")


def test_more_than_the_mixer_takes_is_divided_evenly(owner):
    loaf = {"/products/roll": {"name": "Roll", "parts": [{"formula": "sponge", "g": 1}]}}
    for grams, batches, each in ((20000, 1, 20000), (20001, 2, Decimal("10000.5")), (60000, 3, 20000), (60001, 4, Decimal("15000.25"))):
        mix = batch(owner, 21, {"mixers": MIXERS}, {**thirds(50), **loaf}, roll=grams)["sponge"]
        assert (mix["batches"], mix["batch_g"]) == (batches, each)


def test_less_than_the_mixer_takes_is_marked(owner):
    loaf = {"/products/roll": {"name": "Roll", "parts": [{"formula": "sponge", "g": 1}]}}
    for grams, under in ((4999, True), (5000, False)):
        assert batch(owner, 22, {"mixers": MIXERS}, {**thirds(50), **loaf}, roll=grams)["sponge"]["under_minimum"] is under


def test_without_mixers_or_by_hand_it_is_one_batch(owner):
    mixes = batch(owner, 23, {"mixers": MIXERS}, thirds(50), main=600)
    assert (mixes["main"]["batches"], mixes["main"]["mixer"], mixes["main"]["by_hand"]) == (1, None, True)
    for code in ("baguette", "bun"):  # they name a mixer
        owner.delete(f"/products/{code}")
        owner.delete(f"/formulas/{code}")
    mixes = batch(owner, 24, {"mixers": []}, thirds(50), main=600)
    assert (mixes["sponge"]["batches"], mixes["sponge"]["mixer"], mixes["sponge"]["under_minimum"]) == (1, None, False)


@pytest.mark.parametrize("grams, scales, weighed", [
    (3750, {"scale_g": 5, "small_below_g": 0}, 1250), (7.5, {"scale_g": 5, "small_below_g": 0}, 5),
    (7.497, {"scale_g": 5, "small_below_g": 0}, 0), (22.5, {"scale_g": 5, "small_below_g": 0}, 10),
    (22.5, {"scale_g": 5, "small_scale_g": 1, "small_below_g": 7.5}, 10),
    (22.5, {"scale_g": 5, "small_scale_g": 1, "small_below_g": 7.501}, 8),
    (3, {"scale_g": 5, "small_scale_g": 0.1, "small_below_g": 100}, 1),
    (22.5, {"scale_g": 5, "small_scale_g": 0, "small_below_g": 100}, 10),
])
def test_a_third_of_it_is_weighed_at_the_nearest_division_halves_up(owner, grams, scales, weighed):
    mix = batch(owner, 25, {"mixers": [], **scales},
                {"/formulas/sponge": {"name": "Sponge", "basis": "final", "lines": lines(bread_flour=100, water=50)},
                 "/products/bit": {"name": "Bit", "parts": [{"formula": "sponge", "g": grams}]}}, bit=1)["sponge"]
    water = mix["lines"][1]
    assert (water["exact_g"], water["weigh_g"], water["total_g"]) == (round(Decimal(str(grams)) / 3, 3), weighed, weighed)


def test_an_ingredient_may_have_a_scale_of_its_own(owner):
    enter(owner, {"/ingredients/yeast": {**INGREDIENTS["/ingredients/yeast"], "scale_g": 25}})
    mix = batch(owner, 26, {"mixers": [], "scale_g": 1, "small_below_g": 0},
                {"/formulas/sponge": {"name": "Sponge", "basis": "final", "lines": lines(bread_flour=100, yeast=1)},
                 "/products/bit": {"name": "Bit", "parts": [{"formula": "sponge", "g": 10100}]}}, bit=1)["sponge"]
    assert [line["weigh_g"] for line in mix["lines"]] == [10000, 100]


def test_starter_to_have_ready_is_what_is_weighed_and_what_is_kept(owner):
    enter(owner, {"/bakery": {**BAKERY, "mixers": [{"code": "spiral", "max_g": 10000}]}})
    order = place(owner, "shop", day(27), country_loaf=25)
    shown = owner.get(f"/mixing-lists/{day(26)}")
    mix = next(mix for mix in shown["mixes"] if mix["formula"] == "country")
    line = next(line for line in mix["lines"] if line.get("starter") == "levain")
    assert mix["batches"] == 3 and line["total_g"] == 3 * line["weigh_g"] and line["weigh_g"] % 5 == 0
    starter, = shown["starters"]
    assert (starter["starter"], starter["g"], starter["keep_g"], starter["total_g"]) == ("levain", line["total_g"], 500, line["total_g"] + 500)
    owner.delete(order.location)
