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
import random
import sys
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

LEVELS_MAX = 8


class Unsound(Exception):
    """A formula that may not be entered."""


# --- numbers ---


def number(value):
    """Any number of a body, exactly as it is written."""
    return Fraction(Decimal(str(value if value is not None else 0)))


def rounded(value, places):
    """Half to even, as Decimal. (round() of a Fraction is exact.)"""
    return Decimal(round(value * 10**places)).scaleb(-places)


def grams(value):
    return rounded(value, 3)


def money(value):
    return rounded(value, 6)


def percent(value):
    return rounded(value, 4)


def up(value):
    return -((-value.numerator) // value.denominator)


def half_up(value):
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


# --- formulas ---


def target(line):
    """What a line or part is of: ("ingredient" | "starter" | "formula", code)."""
    for kind in ("ingredient", "starter", "formula"):
        if line.get(kind) is not None:
            return kind, line[kind]
    raise Unsound("a line of nothing")


class Book:
    """A bakery with what has been worked out of it so far."""

    def __init__(self, bakery):
        self.bakery = bakery
        self.settings = bakery["bakery"]
        self.zone = ZoneInfo(self.settings["time_zone"])
        self.compositions = {}
        self.weights = {}
        self.planned = {}

    def name(self, kind, code):
        return self.bakery[kind + "s"][code]["name"]

    def kind_of(self, ingredient):
        return self.bakery["ingredients"][ingredient]["kind"]

    def is_flour(self, ingredient):
        return self.kind_of(ingredient) == "flour"

    def flour_in(self, composition):
        return sum(share for ingredient, share in composition.items() if self.is_flour(ingredient))

    # --- by weight ---

    def starter_composition(self, code):
        starter = self.bakery["starters"][code]
        wet = number(starter["hydration_pct"]) / 100
        shares = {}
        for flour in starter["flours"]:
            share = number(flour["pct"]) / 100 / (1 + wet)
            shares[flour["ingredient"]] = shares.get(flour["ingredient"], 0) + share
        if wet:
            water = starter.get("water") or "water"
            shares[water] = shares.get(water, 0) + wet / (1 + wet)
        return shares

    def composition(self, kind, code):
        """Shares by weight, down to ingredients."""
        if kind == "ingredient":
            return {code: Fraction(1)}
        if (kind, code) not in self.compositions:
            self.compositions[kind, code] = (self.starter_composition(code) if kind == "starter"
                                             else self.formula_composition(code))
        return self.compositions[kind, code]

    def formula_composition(self, code):
        shares = {}
        for line, weight in zip(self.bakery["formulas"][code]["lines"], self.line_weights(code)):
            for ingredient, share in self.composition(*target(line)).items():
                shares[ingredient] = shares.get(ingredient, 0) + weight * share
        return {ingredient: share for ingredient, share in shares.items() if share}

    def line_weights(self, code):
        """What one gram of dough takes of each line when the final mix is weighed."""
        if code not in self.weights:
            formula = self.bakery["formulas"][code]
            weights = (self.weights_final if formula["basis"] == "final" else self.weights_total)(formula)
            whole = sum(weights)
            self.weights[code] = [weight / whole for weight in weights]
        return self.weights[code]

    def flour_lines(self, formula):
        return [number(line["pct"]) for line in formula["lines"]
                if line.get("ingredient") is not None and self.is_flour(line["ingredient"])]

    def weights_final(self, formula):
        flours = self.flour_lines(formula)
        if flours and sum(flours) != 100:
            raise Unsound("flour")
        return [number(line["pct"]) for line in formula["lines"]]

    def weights_total(self, formula):
        """Per 100 of all flour: ingredient lines, less what the parts hold."""
        if sum(self.flour_lines(formula)) != 100:
            raise Unsound("flour")
        weights = []
        held = {}
        for line in formula["lines"]:
            kind, code = target(line)
            if kind == "ingredient":
                weights.append(number(line["pct"]))
                continue
            made_of = self.composition(kind, code)
            if line.get("flour_pct") is not None:
                weights.append(number(line["flour_pct"]) / self.flour_in(made_of))
            else:
                weights.append(number(line["pct"]))
            for ingredient, share in made_of.items():
                held[ingredient] = held.get(ingredient, 0) + weights[-1] * share
        return self.less_held(formula, weights, held)

    def less_held(self, formula, weights, held):
        for n, line in enumerate(formula["lines"]):
            ingredient = line.get("ingredient")
            if ingredient in held:
                taken = min(weights[n], held[ingredient])
                weights[n] -= taken
                held[ingredient] -= taken
        if any(held.values()):
            raise Unsound("more in the parts than in the lines")
        return weights

    def levels(self, code):
        parts = [line["formula"] for line in self.bakery["formulas"][code]["lines"] if line.get("formula") is not None]
        return 1 + max(map(self.levels, parts)) if parts else 0

    # --- what a gram of something uses, with the losses of whatever is mixed for it ---

    def kept(self, code):
        """What is left of a gram of dough after its handling loss."""
        return 1 - number(self.bakery["formulas"][code].get("handling_loss_pct")) / 100

    def explode(self, kind, code, amount, into):
        """Adds to `into` what must be weighed so that so much comes out, by (kind, code)."""
        if kind == "formula":
            mixed = amount / self.kept(code)
            for line, weight in zip(self.bakery["formulas"][code]["lines"], self.line_weights(code)):
                self.explode(*target(line), mixed * weight, into)
            return
        into[kind, code] = into.get((kind, code), 0) + amount
        if kind == "starter":
            for ingredient, share in self.composition(kind, code).items():
                self.explode("ingredient", ingredient, amount * share, into)

    def piece_uses(self, product, pieces):
        """What so many pieces of a product use."""
        uses = {}
        body = self.bakery["products"][product]
        for part in body["parts"]:
            self.explode(*target(part), pieces * number(part["g"]), uses)
        for pack in body.get("packaging") or []:
            key = "ingredient", pack["ingredient"]
            uses[key] = uses.get(key, 0) + pieces * number(pack["pieces"])
        return uses

    # --- time ---

    def instant(self, day, clock):
        """UTC of a time by the clock: skipped, with the offset before; twice, the first."""
        hour, minute = map(int, clock.split(":"))
        wall = datetime.datetime(day.year, day.month, day.day, hour, minute, tzinfo=self.zone, fold=0)
        return wall.astimezone(datetime.timezone.utc)

    def clock_text(self, at):
        return at.astimezone(self.zone).isoformat(timespec="seconds")

    def working_day(self, at):
        around = at.astimezone(self.zone).date()
        begun = [around + datetime.timedelta(days=n) for n in range(-3, 4)
                 if self.instant(around + datetime.timedelta(days=n), self.settings.get("day_starts_at") or "12:00") <= at]
        return max(begun)

    def minutes(self, code):
        return sum(stage["minutes"] for stage in self.bakery["formulas"][code].get("stages") or [])

    # --- orders ---

    def ready(self, customer, product, day):
        clock = (self.bakery["customers"][customer].get("ready_at") or self.bakery["products"][product].get("ready_at")
                 or self.settings.get("ready_at") or "06:30")
        return self.instant(day, clock)

    def ordered(self):
        """{bread day: {product: {ready: pieces}}}."""
        days = {}
        for order in self.bakery["orders"]:
            day = datetime.date.fromisoformat(order["date"])
            for line in order["lines"]:
                ready = self.ready(order["customer"], line["product"], day)
                clocks = days.setdefault(day, {}).setdefault(line["product"], {})
                clocks[ready] = clocks.get(ready, 0) + line["pieces"]
        return days

    def spare(self, product, ordered):
        return up(ordered * number(self.bakery["products"][product].get("spare_pct")) / 100)

    def baked(self):
        """The same as ordered(), the spare with the earliest."""
        days = self.ordered()
        for products in days.values():
            for product, clocks in products.items():
                spare = self.spare(product, sum(clocks.values()))
                clocks[min(clocks)] += spare
        return days

    # --- mixes ---

    def wanted(self, code):
        """All dough of a formula that must come out: (ready, grams, bread days)."""
        for day, products in self.baked().items():
            for product, clocks in products.items():
                for part in self.bakery["products"][product]["parts"]:
                    if part.get("formula") == code:
                        for ready, pieces in clocks.items():
                            yield ready, pieces * number(part["g"]), {(day, product, ready)}
        for user, formula in self.bakery["formulas"].items():
            if not any(line.get("formula") == code for line in formula["lines"]):
                continue
            for mix in self.mixes(user).values():
                for line, weight in zip(formula["lines"], self.line_weights(user)):
                    if line.get("formula") == code:
                        yield mix["begins"], mix["dough"] * weight, mix["for"]

    def mixes(self, code):
        """{mixing date: mix} of a formula; "for" are (bread day, product, ready)."""
        if code not in self.planned:
            mixes = {}
            for ready, amount, bread in self.wanted(code):
                begins = ready - datetime.timedelta(minutes=self.minutes(code))
                mix = mixes.setdefault(self.working_day(begins), {"begins": begins, "dough": Fraction(0), "for": set()})
                mix["begins"] = min(mix["begins"], begins)
                mix["dough"] += amount / self.kept(code)
                mix["for"] = mix["for"] | bread
            self.planned[code] = mixes
        return self.planned[code]

    def mixer(self, formula):
        mixers = self.settings.get("mixers") or []
        if formula.get("by_hand") or not mixers:
            return None
        named = [mixer for mixer in mixers if mixer["code"] == formula.get("mixer")]
        return named[0] if named else max(mixers, key=lambda mixer: number(mixer["max_g"]))

    def division(self, line, amount):
        small = number(self.settings.get("small_scale_g"))
        if small and amount < number(self.settings.get("small_below_g")):
            return small
        own = self.bakery["ingredients"][line["ingredient"]].get("scale_g") if line.get("ingredient") is not None else None
        scale = self.settings.get("scale_g")
        return number(own or (1 if scale is None else scale))

    def weigh(self, line, amount):
        division = self.division(line, amount)
        return half_up(amount / division) * division

    # --- money ---

    def price(self, ingredient, day):
        """Of a gram or a piece; None when there is no price yet."""
        prices = self.bakery["prices"].get(ingredient) or {}
        begun = [since for since in prices if since <= day.isoformat()]
        if not begun:
            return None
        body = prices[max(begun)]
        pack = body.get("pack_pieces" if self.bakery["ingredients"][ingredient]["unit"] == "piece" else "pack_g")
        return number(body["price"]) / number(pack) if pack is not None else None


# --- the answers ---


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


# --- random bakeries ---

ZONES = ["Europe/London", "America/New_York", "Europe/Berlin", "Australia/Sydney", "Asia/Tokyo"]
# Around clock changes of those zones, and a plain week.
FIRST_DAYS = ["2027-03-12", "2027-03-26", "2027-04-02", "2027-10-02", "2027-10-29", "2027-11-05", "2027-06-14"]


class Draw:
    """Everything by one generator; percentages are drawn in whole 1/10,000."""

    def __init__(self, seed):
        self.rng = random.Random(f"bakery {seed}")
        self.bakery = {"bakery": {}, "ingredients": {}, "prices": {}, "starters": {}, "formulas": {}, "products": {},
                       "customers": {}, "orders": []}

    def pct(self, low, high):
        """Half of them round, the others with all their decimals."""
        units = self.rng.randint(int(low * 10000), int(high * 10000))
        if self.rng.random() < 0.5:
            units = max(units // 10000, 1) * 10000
        return Decimal(units) / 10000

    def whole(self, count):
        """Percentages that sum to 100."""
        cuts = sorted(self.rng.sample(range(1, 1000000), count - 1))
        if self.rng.random() < 0.5:
            cuts = sorted({cut // 50000 * 50000 or 50000 for cut in cuts})
        return [Decimal(b - a) / 10000 for a, b in zip([0] + cuts, cuts + [1000000])]

    def clock(self):
        return f"{self.rng.randint(0, 23):02}:{self.rng.choice([0, 15, 30, 45, 59]):02}"

    def draw(self):
        self.settings()
        self.ingredients()
        for n in range(2):
            self.starter(f"levain-{n}")
        for level in range(4):
            for n in range(2):
                self.formula(f"dough-{level}-{n}", level)
        for n in range(4):
            self.product(f"bread-{n}")
        self.orders()
        return self.bakery

    def settings(self):
        rng = self.rng
        mixers = [{"code": f"mixer-{n}", "min_g": rng.choice([0, 1000, 4000]), "max_g": rng.choice([5000, 12000, 40000])}
                  for n in range(rng.choice([0, 1, 3]))]
        self.bakery["bakery"] = {
            "name": f"Bakery {rng.randint(1, 999)}", "currency": "EUR", "time_zone": rng.choice(ZONES),
            "ready_at": rng.choice(["06:30", "05:00", "00:30", "12:00"]), "day_starts_at": rng.choice(["12:00", "09:00", "00:00", "02:30"]),
            "mixers": mixers, "scale_g": rng.choice([1, 5, 10, Decimal("0.5")]), "small_scale_g": rng.choice([0, Decimal("0.1")]),
            "small_below_g": rng.choice([0, 100, 500])}

    def ingredients(self):
        kinds = {"wheat": "flour", "rye": "flour", "spelt": "flour", "water": "water", "salt": "salt", "yeast": "other",
                 "seeds": "other", "milk": "other", "oil": "other", "bag": "packaging", "label": "packaging"}
        for code, kind in kinds.items():
            body = {"name": code.title(), "kind": kind, "unit": "piece" if kind == "packaging" else "g",
                    "allergens": {"flour": ["gluten"]}.get(kind, [code] if code in ("milk", "seeds") else [])}
            if code == "milk":
                body["water_pct"] = Decimal("87.5")
            if self.rng.random() < 0.2 and kind != "packaging":
                body["scale_g"] = self.rng.choice([2, 25, Decimal("0.05")])
            self.bakery["ingredients"][code] = body
            self.price(code, body)

    def price(self, code, body):
        prices = self.bakery["prices"].setdefault(code, {})
        for since in self.rng.sample(["2026-01-01", "2027-03-28", "2027-11-06"], self.rng.choice([0, 1, 1, 2, 2, 2, 3])):
            pack = {"pack_pieces": self.rng.choice([1, 500, 1000])} if body["unit"] == "piece" else \
                {"pack_g": self.rng.choice([25000, 1000, 1030, 750])}
            prices[since] = {**pack, "price": f"{self.rng.randint(0, 4000) / 100:.2f}"}

    def starter(self, code):
        flours = self.rng.sample(["wheat", "rye", "spelt"], self.rng.randint(1, 3))
        shares = self.whole(len(flours))
        self.bakery["starters"][code] = {
            "name": code, "hydration_pct": self.pct(40, 150), "keep_g": self.rng.choice([0, 250, 500]),
            "flours": [{"ingredient": flour, "pct": pct} for flour, pct in zip(flours, shares)]}

    def parts(self, level, total):
        """Lines of starters and of formulas of lower levels, one of the level below among them."""
        codes = [("formula", f"dough-{level - 1}-{self.rng.randint(0, 1)}")] if level else []
        if level > 1 and self.rng.random() < 0.4:
            codes.append(("formula", f"dough-0-{self.rng.randint(0, 1)}"))
        if self.rng.random() < 0.6:
            codes.append(("starter", f"levain-{self.rng.randint(0, 1)}"))
        return [{kind: code, "flour_pct" if total and self.has_flour(kind, code) and self.rng.random() < 0.6 else "pct":
                 self.pct(1, 25 if total else 60)} for kind, code in codes]

    def has_flour(self, kind, code):
        book = Book(self.bakery)
        return book.flour_in(book.composition(kind, code)) > 0

    def lines(self, level, total):
        rng = self.rng
        if level == 0 and not total and rng.random() < 0.4:  # a soaker
            return [{"ingredient": code, "pct": self.pct(5, 120)} for code in ("seeds", "water", "salt")]
        flours = ["wheat", "rye", "spelt"] if total else rng.sample(["wheat", "rye", "spelt"], rng.randint(1, 3))
        lines = [{"ingredient": flour, "pct": pct} for flour, pct in zip(flours, self.whole(len(flours)))]
        for code, low, high in [("water", 45, 90), ("salt", 1, 4), ("yeast", 0.1, 2), ("seeds", 4, 30), ("milk", 2, 20), ("oil", 1, 6)]:
            if total or code == "water" or rng.random() < 0.4:
                lines.append({"ingredient": code, "pct": self.pct(low, high)})
        lines += self.parts(level, total)
        rng.shuffle(lines)
        return lines

    def formula(self, code, level):
        """Draws until it is sound: with basis total the parts may hold too much."""
        rng = self.rng
        for tries in range(400):
            total = rng.random() < 0.5
            body = {"name": code, "basis": "total" if total else "final", "lines": self.lines(level, total)}
            self.bakery["formulas"][code] = body
            try:
                Book(self.bakery).line_weights(code)
                break
            except Unsound:
                continue
        else:
            raise AssertionError(f"no sound formula {code}")
        body["handling_loss_pct"] = rng.choice([0, 0, self.pct(0.1, 5), 20])
        body["stages"] = [{"stage": f"stage {n}", "minutes": rng.choice([0, 15, 40, 180, 333, 720])} for n in range(rng.randint(0, 4))]
        mixers = self.bakery["bakery"]["mixers"]
        if rng.random() < 0.2:
            body["by_hand"] = True
        elif mixers and rng.random() < 0.3:
            body["mixer"] = rng.choice(mixers)["code"]

    def product(self, code):
        rng = self.rng
        doughs = rng.sample(list(self.bakery["formulas"]), rng.randint(1, 2))
        parts = [{"formula": dough, "g": rng.choice([50, 450, 900, Decimal("333.333"), Decimal("174.25")])} for dough in doughs]
        if rng.random() < 0.4:
            parts.append({"ingredient": "seeds", "g": rng.choice([5, Decimal("2.5")])})
        body = {"name": code, "parts": parts, "spare_pct": rng.choice([0, 5, Decimal("2.5"), Decimal("0.0001")]), "bake_loss_pct": 12,
                "packaging": [{"ingredient": bag, "pieces": rng.randint(1, 2)} for bag in rng.sample(["bag", "label"], rng.randint(0, 2))]}
        if rng.random() < 0.4:
            body["ready_at"] = self.clock()
        self.bakery["products"][code] = body

    def orders(self):
        rng = self.rng
        first = datetime.date.fromisoformat(rng.choice(FIRST_DAYS))
        for n in range(4):
            self.bakery["customers"][f"customer-{n}"] = {"name": f"Customer {n}", **({"ready_at": self.clock()} if n % 2 else {})}
        for _ in range(rng.randint(4, 12)):
            products = rng.sample(list(self.bakery["products"]), rng.randint(1, 4))
            self.bakery["orders"].append({
                "customer": f"customer-{rng.randint(0, 3)}", "date": (first + datetime.timedelta(days=rng.randint(0, 4))).isoformat(),
                "lines": [{"product": product, "pieces": rng.choice([1, 2, 12, 40, 73, 250])} for product in products]})


def random_bakery(seed):
    return Draw(seed).draw()


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
