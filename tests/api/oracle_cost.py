"""What a piece costs, reckoned a second time in exact fractions: the part of oracle.py that costs and
prices are held against. Written from the rules as the documentation tells them, not from the program.

    with_costs(bakery, seed)       the bakery of oracle_draw with powers, ovens, labour, bakes, rates and
                                   targets of its own: the same for the same seed
    Shares(bakery)                 who has how much of every mix; for many pieces
    Piece(shares, date, product)   one ordered piece on a bread day
        .leaves()                  {kind: [exact cost of a leaf, None where a fact is missing]}, without
                                   the kinds that are left out or have nothing
        .left_out()                kinds that have no rate
        .minutes()                 labour

A leaf is one fact and what it costs. The program rounds every leaf by itself, half to even at a
millionth, and sums: so every printed leaf is one of these, and the figure their sum.
"""

import datetime
import functools
import random
from decimal import Decimal
from fractions import Fraction

from oracle_book import Book, money, number, target, up

KINDS = ("ingredients", "handling", "spare", "starter", "packaging", "labour", "energy", "delivery", "overhead", "unsold")


# --- drawing ---


def with_costs(bakery, seed):
    rng = random.Random(f"costs {seed}")
    settings = bakery["bakery"]
    for mixer in settings["mixers"]:
        if rng.random() < 0.8:
            mixer["power_w"] = rng.choice([750, 1500, 4000])
    settings["ovens"] = [{"code": f"oven-{n}", "decks": rng.randint(1, 4), "places": rng.choice([1, 1, 6]), "preheat_minutes": rng.choice([0, 45, 60]),
                          **({"power_w": rng.choice([2800, 3333])} if rng.random() < 0.85 else {})} for n in range(rng.choice([0, 1, 1, 2]))]
    for formula in bakery["formulas"].values():
        draw_stages(rng, formula)
    for product in bakery["products"].values():
        product["labour_minutes"] = rng.choice([0, Decimal("0.75"), Decimal("1.3333")])
        product["unsold_pct"] = rng.choice([0, 0, 4, Decimal("12.5")])
        if rng.random() < 0.7:
            product["bake"] = {"per_place": rng.choice([1, 7, 24]), "steps": [{"c": 250, "minutes": rng.choice([10, 17])}, {"c": 220, "minutes": 28}][:rng.randint(1, 2)]}
    rates = {}
    if rng.random() < 0.8:
        rates["hand_hour"] = rng.choice(["24.50", "19.876543"])
    if rng.random() < 0.8:
        rates["kwh"] = rng.choice(["0.31", "0.287654"])
    if rng.random() < 0.7:
        rates.update(overhead_month="4200.10", overhead_base=rng.choice([21000, 9999]), overhead_by=rng.choice(["minutes", "pieces"]))
    if rng.random() < 0.7:
        rates.update(round="18", round_pieces=rng.choice([240, 7]))
    bakery["rates"] = {"2026-01-01": {"hand_hour": "1", "kwh": "1"}, rng.choice(["2026-01-02", "2027-03-01"]): rates}
    bakery["pricing"] = {code: {"tax_pct": rng.choice([0, 7, Decimal("5.5")]), "target": {rng.choice(["margin_pct", "markup_pct", "ingredient_share_pct"]): rng.randint(20, 70)}}
                         for code in bakery["products"] if rng.random() < 0.9}
    return bakery


def draw_stages(rng, formula):
    oven = rng.randrange(4)
    for n, stage in enumerate(formula["stages"]):
        stage["hands"] = rng.choice([0, 0, 1, 2])
        if rng.random() < 0.5:
            stage["labour"] = {"per": rng.choice(["mix", "batch", "piece", "load"]), "minutes": rng.choice([0, 5, Decimal("0.3333")])}
        if n == oven:
            stage["uses"] = "oven"
        elif rng.random() < 0.3 and not formula.get("by_hand"):
            stage["uses"] = "mixer"


# --- who has how much of a mix ---


class Shares:
    """Of every mix: what must come out of it, and for whom."""

    def __init__(self, bakery):
        self.book = Book(bakery)
        self.ordered, self.baked = self.book.ordered(), self.book.baked()
        self.done = {}

    def of(self, code):
        """{mixing date: {"asked": grams, "for": {(bread day, product): grams}}}, before its own handling loss."""
        if code not in self.done:
            mixes = self.done[code] = {}
            for ready, uses in self.wanted(code):
                begins = ready - datetime.timedelta(minutes=self.book.minutes(code))
                mix = mixes.setdefault(self.book.working_day(begins), {"asked": Fraction(0), "for": {}})
                mix["asked"] += sum(uses.values())
                for who, amount in uses.items():
                    mix["for"][who] = mix["for"].get(who, 0) + amount
        return self.done[code]

    def wanted(self, code):
        book = self.book
        for day, products in self.baked.items():
            for product, clocks in products.items():
                for part in book.bakery["products"][product]["parts"]:
                    if part.get("formula") == code:
                        for ready, pieces in clocks.items():
                            yield ready, {(day, product): pieces * number(part["g"])}
        for user, formula in book.bakery["formulas"].items():
            for line, weight in zip(formula["lines"], book.line_weights(user)):
                if line.get("formula") != code:
                    continue
                for date, mix in self.of(user).items():
                    planned = book.mixes(user)[date]
                    taken = planned["dough"] * weight
                    yield planned["begins"], {who: taken * amount / mix["asked"] for who, amount in mix["for"].items()}


# --- one product of a day ---


class Piece:
    def __init__(self, shares, date, product):
        self.shares, self.book = shares, shares.book
        bakery = self.book.bakery
        self.day = datetime.date.fromisoformat(date)
        self.code = product
        self.body = bakery["products"][product]
        self.made = {code: (sum(clocks.values()), sum(shares.baked[self.day][code].values()))
                     for code, clocks in shares.ordered[self.day].items()}
        self.ordered, self.pieces = self.made[product]
        begun = [since for since in bakery["rates"] if since <= date]
        self.rates = bakery["rates"][max(begun)] if begun else {}

    # -- goods --

    def leaf(self, ingredient, amount):
        price = self.book.price(ingredient, self.day)
        return None if price is None else amount * price

    def goods(self, kind, code, amount):
        """Leaves of so much of something, nothing lost in it."""
        if amount == 0:
            return
        if kind == "ingredient":
            yield self.leaf(code, amount)
        elif kind == "starter":
            for ingredient, share in self.book.starter_composition(code).items():
                yield self.leaf(ingredient, amount * share)
        else:
            for line, weight in zip(self.book.bakery["formulas"][code]["lines"], self.book.line_weights(code)):
                yield from self.goods(*target(line), amount * weight)

    def parts(self, share):
        for part in self.body["parts"]:
            yield from self.goods(*target(part), number(part["g"]) * share)

    def lost(self):
        """{formula: grams that one piece leaves behind in its mix}: of every dough what is mixed and does not come out."""
        lost = {}

        def walk(code, amount):
            mixed = amount / self.book.kept(code)
            lost[code] = lost.get(code, 0) + mixed - amount
            for line, weight in zip(self.book.bakery["formulas"][code]["lines"], self.book.line_weights(code)):
                if line.get("formula") is not None and weight:
                    walk(line["formula"], mixed * weight)

        for part in self.body["parts"]:
            if part.get("formula") is not None:
                walk(part["formula"], number(part["g"]))
        return lost

    def rests(self, share):
        for code, amount in self.lost().items():
            for line, weight in zip(self.book.bakery["formulas"][code]["lines"], self.book.line_weights(code)):
                yield from self.goods(*target(line), amount * share * weight)

    def ingredients(self):
        yield from self.parts(1)

    def handling(self):
        yield from self.rests(1)

    def spare(self):
        share = Fraction(self.pieces - self.ordered, self.ordered)
        yield from self.parts(share)
        yield from self.rests(share)

    def starter(self):
        return iter(())  # nothing is logged, so nothing was thrown away

    def packaging(self):
        for share in (Fraction(1), Fraction(self.pieces - self.ordered, self.ordered)):
            for pack in self.body.get("packaging") or []:
                if share:
                    yield self.leaf(pack["ingredient"], number(pack["pieces"]) * share)

    # -- loads --

    def oven(self):
        ovens = self.book.settings.get("ovens") or []
        return max(ovens, key=lambda oven: oven.get("places", 1)) if ovens else None

    def oven_stage(self, formula):
        """The stages from here on are counted by load."""
        stages = formula["stages"]
        return next((n for n, stage in enumerate(stages) if stage.get("uses") == "oven"), len(stages))

    def baked_formula(self, product):
        """What is made of two doughs is baked by the stages of the heavier."""
        formulas = self.book.bakery["formulas"]
        baked = [part for part in self.book.bakery["products"][product]["parts"] if part.get("formula") is not None
                 and self.oven_stage(formulas[part["formula"]]) < len(formulas[part["formula"]]["stages"])]
        return max(baked, key=lambda part: number(part["g"]))["formula"] if baked else None

    def loads(self, product):
        """(loads of all its pieces, None when they are not known; minutes of one in a deck)."""
        bake = self.book.bakery["products"][product].get("bake")
        baked = self.baked_formula(product)
        if bake:
            minutes = sum(step["minutes"] for step in bake["steps"])
        else:
            minutes = sum(stage["minutes"] for stage in self.book.bakery["formulas"][baked]["stages"] if stage.get("uses") == "oven") if baked else 0
        if not self.oven() or not bake:
            return None, minutes
        return up(Fraction(self.made[product][1], bake["per_place"] * self.oven().get("places", 1))), minutes

    # -- mixes --

    def my_mixes(self):
        """(formula, its code, batches, grams of mine, grams of all, grams of mine in all mixes of that formula)."""
        for code, formula in self.book.bakery["formulas"].items():
            mine = {date: mix["for"].get((self.day, self.code), 0) for date, mix in self.shares.of(code).items()}
            for date, part in mine.items():
                if part == 0:
                    continue
                mixer = self.book.mixer(formula)
                dough = self.book.mixes(code)[date]["dough"]
                batches = max(1, up(dough / number(mixer["max_g"]))) if mixer else 1
                yield formula, code, batches, part, self.shares.of(code)[date]["asked"], sum(mine.values())

    def stage_minutes(self, formula, code, n, batches, part, asked, of_formula):
        """Minutes of one stage of one mix for one ordered piece; 0 when it does not count."""
        stage = formula["stages"][n]
        loads, _ = self.loads(self.code)
        labour = stage.get("labour")
        if labour:
            per, each = labour["per"], number(labour["minutes"])
        else:
            per = "batch" if n < self.oven_stage(formula) else "load"
            each = number(stage["minutes"] * (stage.get("hands") or 0))
        if per == "load" and (loads is None or not any(part.get("formula") == code for part in self.body["parts"])):
            per = "batch"
        baked = self.baked_formula(self.code)
        if per == "load" and baked not in (None, code) and self.oven_stage(formula) < len(formula["stages"]):
            return Fraction(0)
        times = {"mix": 1, "batch": batches, "piece": self.pieces, "load": loads}[per]
        return each * times * part / (of_formula if per in ("piece", "load") else asked) / self.ordered

    @functools.cached_property
    def all_minutes(self):
        return list(self.each_minutes())

    def minutes(self):
        return sum(self.all_minutes)

    def each_minutes(self):
        for formula, code, *mix in self.my_mixes():
            for n in range(len(formula["stages"])):
                minutes = self.stage_minutes(formula, code, n, *mix)
                if minutes:
                    yield minutes
        own = number(self.body.get("labour_minutes")) * self.pieces / self.ordered
        if own:
            yield own

    def labour(self):
        for minutes in self.all_minutes:
            yield minutes * number(self.rates["hand_hour"]) / 60

    # -- energy --

    def energy(self):
        for formula, _, batches, part, asked, _ in self.my_mixes():
            mixer = self.book.mixer(formula)
            for n, stage in enumerate(formula["stages"]):
                said = any(each.get("uses") for each in formula["stages"])
                if mixer and stage["minutes"] and (stage.get("uses") == "mixer" if said else n == 0):
                    power = mixer.get("power_w")
                    yield None if power is None else self.watt_minutes(power * stage["minutes"] * batches * part / asked)
        yield from self.baking()

    def watt_minutes(self, amount):
        return Fraction(amount) / 60000 * number(self.rates["kwh"]) / self.ordered

    def baking(self):
        oven, (loads, minutes) = self.oven(), self.loads(self.code)
        if not oven or not minutes:
            return
        if loads is None:
            yield None
        if oven.get("power_w") is None:
            yield None
        if loads is None or oven.get("power_w") is None:
            return
        yield self.watt_minutes(oven["power_w"] * minutes * loads)
        if oven["preheat_minutes"]:
            day = [self.loads(product) for product in self.made]
            known = [(count, each) for count, each in day if count and each]
            decks = min(sum(count for count, _ in known), oven["decks"])
            share = Fraction(loads * minutes, sum(count * each for count, each in known))
            yield self.watt_minutes(oven["power_w"] * oven["preheat_minutes"] * decks * share)

    # -- by rates --

    def delivery(self):
        yield number(self.rates["round"]) / self.rates["round_pieces"]

    def overhead(self):
        base = number(self.rates["overhead_month"]) / self.rates["overhead_base"]
        minutes = self.minutes()
        if self.rates.get("overhead_by", "minutes") == "pieces":
            yield base
        elif minutes:
            yield base * minutes

    def left_out(self):
        rate_of = {"labour": "hand_hour", "energy": "kwh", "delivery": "round", "overhead": "overhead_month"}
        return [kind for kind in KINDS if kind in rate_of and self.rates.get(rate_of[kind]) is None]

    def leaves(self):
        found = {kind: list(getattr(self, kind)()) for kind in KINDS[:-1] if kind not in self.left_out()}
        share = number(self.body.get("unsold_pct")) / 100
        hole = any(leaf is None for leaves in found.values() for leaf in leaves)
        sold = sum(number(money(leaf)) for leaves in found.values() for leaf in leaves if leaf is not None)
        if share:
            found["unsold"] = [sold * share / (1 - share)] + [None] * hole
        return {kind: leaves for kind, leaves in found.items() if leaves}
