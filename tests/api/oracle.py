"""A second reckoning of a bakery, in exact fractions, to hold the program's answers against.

Written from the rules of the trade as the documentation tells them, not from the program: formulas
are exploded recursively, piece by piece, and nothing is rounded before it is printed.

A bakery is the plain bodies of the API, with numbers as int, float, Decimal or decimal text:
    {"bakery": body, "ingredients": {code: body}, "prices": {code: {from: body}},
     "starters": {code: body}, "formulas": {code: body}, "products": {code: body},
     "customers": {code: body}, "orders": [body]}

    random_bakery(seed)         the same sound bakery for the same seed: three levels of preferment,
                                both bases, starters with blends, losses, soakers, several mixers,
                                customers with a ready_at of their own, spare, missing prices;
                                its parts stand in an order in which they can be entered
    mixing_dates(bakery)        every date on which anything is mixed for its orders
    production(bakery, date)    what GET /days/{date}/production answers
    needs(bakery, date)         ... /days/{date}/needs, as the owner sees it
    cost(bakery, date)          ... /days/{date}/cost
    mixing_list(bakery, date)   ... /mixing-lists/{date}, without last_print and changes
    formula_view(bakery, code)  overall, final and allergens of GET /formulas/{code}
    differences(mine, answer)   what an answer has otherwise: a list of "path: mine, theirs"; members
                                that mine does not have are passed over; numbers are compared as
                                numbers, also where one side is decimal text

Amounts come as Decimal, rounded half to even at 0.001 g and at 0.000001 of the currency; dates and
instants as text. A formula against the rules raises Unsound.

Run by itself it prints all lists of a random bakery: python3 oracle.py SEED
"""

import datetime
import json
import sys
from decimal import Decimal

from oracle_book import Book, grams, money, number, percent, target, up
from oracle_draw import random_bakery


def day_of(date):
    return date if isinstance(date, datetime.date) else datetime.date.fromisoformat(date)


def production(bakery, date):
    book, day = Book(bakery), day_of(date)
    products = []
    doughs = {}
    for product, clocks in sorted(book.ordered().get(day, {}).items()):
        ordered = sum(clocks.values())
        spare = book.spare(product, ordered)
        products.append({"product": product, "name": book.name("product", product), "ordered": ordered,
                         "spare": spare, "pieces": ordered + spare})
    for product, clocks in book.baked().get(day, {}).items():
        for part in bakery["products"][product]["parts"]:
            for ready, pieces in clocks.items():
                if part.get("formula") is not None:
                    code = part["formula"]
                    begins = ready - datetime.timedelta(minutes=book.minutes(code))
                    key = code, book.working_day(begins)
                    doughs[key] = doughs.get(key, 0) + pieces * number(part["g"]) / book.kept(code)
    return {"date": day.isoformat(), "products": products,
            "doughs": [{"formula": code, "name": book.name("formula", code), "g": grams(amount),
                        "mixing_date": mixed.isoformat()} for (code, mixed), amount in sorted(doughs.items())]}


def _summed(costs):
    """cost and known_cost of printed costs, of which some may be None."""
    known = sum((cost for cost in costs if cost is not None), Decimal(0))
    return {"cost": None if None in costs else known, "known_cost": known}


def _missing(book, codes):
    return [{"ingredient": code, "name": book.name("ingredient", code)} for code in sorted(codes)]


def needs(bakery, date):
    book, day = Book(bakery), day_of(date)
    uses = {}
    for product, clocks in book.baked().get(day, {}).items():
        for key, amount in book.piece_uses(product, sum(clocks.values())).items():
            uses[key] = uses.get(key, 0) + amount
    ingredients, starters, missing = [], [], []
    for (kind, code), amount in sorted(uses.items()):
        if kind == "starter":
            starters.append({"starter": code, "name": book.name("starter", code), "g": grams(amount)})
            continue
        price = book.price(code, day)
        if price is None:
            missing.append(code)
        body = bakery["ingredients"][code]
        counted = {"pieces": int(amount)} if body["unit"] == "piece" else {"g": grams(amount)}
        ingredients.append({"ingredient": code, "name": body["name"], "kind": body["kind"], **counted,
                            "cost": None if price is None else money(amount * price)})
    return {"date": day.isoformat(), "ingredients": ingredients, "starters": starters,
            **_summed([row["cost"] for row in ingredients]), "missing": _missing(book, missing)}


def cost(bakery, date):
    book, day = Book(bakery), day_of(date)
    products, missing = [], set()
    for product, clocks in sorted(book.baked().get(day, {}).items()):
        pieces = sum(clocks.values())
        one = {code: amount for (kind, code), amount in book.piece_uses(product, 1).items() if kind == "ingredient"}
        prices = {code: book.price(code, day) for code in one}
        unknown = sorted(code for code, price in prices.items() if price is None)
        missing.update(unknown)
        each = None if unknown else sum(amount * prices[code] for code, amount in one.items())
        products.append({"product": product, "name": book.name("product", product), "pieces": pieces,
                         "cost": None if unknown else money(pieces * each),
                         "ingredients_each": None if unknown else money(each), "missing": unknown})
    return {"date": day.isoformat(), **_summed([row["cost"] for row in products]), "missing": _missing(book, missing),
            "products": products}


def _final_pct(book, code):
    """Per line: of the flour weighed into the final mix."""
    formula, weights = book.bakery["formulas"][code], book.line_weights(code)
    if formula["basis"] == "final":
        return [percent(number(line["pct"])) for line in formula["lines"]]
    flour = sum(weight for line, weight in zip(formula["lines"], weights)
                if line.get("ingredient") is not None and book.is_flour(line["ingredient"]))
    flour = flour or book.flour_in(book.composition("formula", code))
    return [percent(100 * weight / flour) for weight in weights]


def _allergens(book, code):
    return sorted({allergen for ingredient in book.composition("formula", code)
                   for allergen in book.bakery["ingredients"][ingredient].get("allergens") or []})


def _mix(book, code, mix):
    formula = book.bakery["formulas"][code]
    mixer = book.mixer(formula)
    batches = max(1, up(mix["dough"] / number(mixer["max_g"]))) if mixer else 1
    batch = mix["dough"] / batches
    lines = []
    for line, weight, pct in zip(formula["lines"], book.line_weights(code), _final_pct(book, code)):
        kind, of = target(line)
        weigh = book.weigh(line, batch * weight)
        lines.append({kind: of, "name": book.name(kind, of), "pct": pct, "exact_g": grams(batch * weight),
                      "weigh_g": grams(weigh), "total_g": grams(batches * weigh)})
    steps, at = [], mix["begins"]
    for stage in formula.get("stages") or []:
        ends = at + datetime.timedelta(minutes=stage["minutes"])
        steps.append({"stage": stage["stage"], "begins_at": book.clock_text(at), "ends_at": book.clock_text(ends),
                      "minutes": stage["minutes"]})
        at = ends
    return {"formula": code, "name": formula["name"], "for": sorted({day.isoformat() for day, _, _ in mix["for"]}),
            "begins_at": book.clock_text(mix["begins"]), "dough_g": grams(mix["dough"]), "batches": batches,
            "batch_g": grams(batch), "mixer": mixer["code"] if mixer else None,
            "under_minimum": bool(mixer) and batch < number(mixer.get("min_g")), "by_hand": bool(formula.get("by_hand")),
            "lines": lines, "steps": steps, "allergens": _allergens(book, code)}


def mixing_list(bakery, date):
    book, day = Book(bakery), day_of(date)
    found = [(mixes[day]["begins"], code, mixes[day]) for code, mixes in ((code, book.mixes(code)) for code in bakery["formulas"])
             if day in mixes]
    found.sort(key=lambda item: item[:2])
    mixes = [_mix(book, code, mix) for _, code, mix in found]
    taken = {}
    for mix in mixes:
        for line in mix["lines"]:
            if "starter" in line:
                taken[line["starter"]] = taken.get(line["starter"], 0) + line["total_g"]
    starters = [{"starter": code, "name": book.name("starter", code), "g": amount,
                 "keep_g": grams(number(bakery["starters"][code].get("keep_g"))),
                 "total_g": amount + grams(number(bakery["starters"][code].get("keep_g")))}
                for code, amount in sorted(taken.items())]
    pieces = {}
    for bread, product, ready in set().union(*(mix["for"] for _, _, mix in found)):
        pieces[bread, product] = pieces.get((bread, product), 0) + book.baked()[bread][product][ready]
    return {"date": day.isoformat(), "mixes": mixes, "starters": starters,
            "pieces": [{"date": bread.isoformat(), "product": product, "name": book.name("product", product), "pieces": count}
                       for (bread, product), count in sorted(pieces.items())]}


def mixing_dates(bakery):
    book = Book(bakery)
    return sorted({day.isoformat() for code in bakery["formulas"] for day in book.mixes(code)})


def formula_view(bakery, code):
    book = Book(bakery)
    formula = bakery["formulas"][code]
    shares = book.composition("formula", code)
    flour = book.flour_in(shares)
    base = flour or 100 / sum(number(line["pct"]) for line in formula["lines"])
    order = []

    def walk(kind, of):
        if kind == "ingredient":
            order.append(of)
        elif kind == "starter":
            order.extend([row["ingredient"] for row in bakery["starters"][of]["flours"]])
            order.append(bakery["starters"][of].get("water") or "water")
        else:
            for line in bakery["formulas"][of]["lines"]:
                walk(*target(line))

    walk("formula", code)
    water = sum(share * {"water": 1, "other": number(bakery["ingredients"][of].get("water_pct")) / 100}.get(book.kind_of(of), 0)
                for of, share in shares.items())
    salt = sum(share for of, share in shares.items() if book.kind_of(of) == "salt")
    final = sum(weight for line, weight in zip(formula["lines"], book.line_weights(code))
                if line.get("ingredient") is not None and book.is_flour(line["ingredient"]))
    figures = {"hydration_pct": water, "salt_pct": salt, "prefermented_flour_pct": flour - final}
    return {"overall": {**{name: percent(100 * value / flour) if flour else None for name, value in figures.items()},
                        "lines": [{"ingredient": of, "name": book.name("ingredient", of), "pct": percent(100 * shares[of] / base)}
                                  for of in dict.fromkeys(order) if of in shares]},
            "final": {"lines": [{target(line)[0]: target(line)[1], "name": book.name(*target(line)), "pct": pct}
                                for line, pct in zip(formula["lines"], _final_pct(book, code))]},
            "allergens": _allergens(book, code)}


# --- comparing ---


def _numeric(value):
    if isinstance(value, bool) or value is None:
        return None
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return None


def differences(mine, answer, path=""):
    if isinstance(mine, dict) and isinstance(answer, dict):
        return [found for name in mine
                for found in (differences(mine[name], answer[name], f"{path}/{name}") if name in answer
                              else [f"{path}/{name}: {mine[name]}, absent"])]
    if isinstance(mine, list) and isinstance(answer, list):
        if len(mine) != len(answer):
            return [f"{path}: {len(mine)} items, {len(answer)}"]
        return [found for n, (a, b) in enumerate(zip(mine, answer)) for found in differences(a, b, f"{path}/{n}")]
    if mine == answer and isinstance(mine, bool) == isinstance(answer, bool):
        return []
    a, b = _numeric(mine), _numeric(answer)
    return [] if a is not None and a == b else [f"{path}: {mine}, {answer}"]


# --- by itself ---


def _plain(value):
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    raise TypeError(type(value))


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: python3 oracle.py SEED")
    bakery = random_bakery(sys.argv[1])
    days = sorted({order["date"] for order in bakery["orders"]})
    answers = {"bakery": bakery,
               "production": [production(bakery, day) for day in days],
               "needs": [needs(bakery, day) for day in days],
               "cost": [cost(bakery, day) for day in days],
               "mixing_lists": [mixing_list(bakery, day) for day in mixing_dates(bakery)]}
    print(json.dumps(answers, indent=1, default=_plain))


if __name__ == "__main__":
    main()
