"""Random bakeries, the same for the same seed: whatever the contract allows within three levels of
preferment, both bases, several bread days around ordinary nights and nights of clock changes.

bakery(seed) gives {"bakery": body, "ingredients": {code: body}, "prices": {code: {from: body}},
"starters": …, "formulas": …, "products": …, "customers": …, "orders": [body]} with all numbers as
int or Decimal, in an order in which they can be entered.
"""

import datetime
import math
import random
from decimal import Decimal
from fractions import Fraction

LEVELS = 3
UNIT = 10000  # percentages are whole numbers of 1/10,000 here
ALL = 100 * UNIT
DAYS = ["2027-03-28", "2027-10-31", "2027-11-07", "2027-06-10", "2028-02-29", "2027-01-01"]
ZONES = ["Europe/London", "America/New_York", "Europe/Berlin", "Asia/Kolkata", "Australia/Lord_Howe", "UTC"]


def pct(units):
    return Decimal(units) / UNIT


class Maker:
    def __init__(self, seed):
        self.rng = random.Random(seed)
        self.made = {}
        self.shares = {}  # code of a formula or starter -> {ingredient: share by weight}
        self.level = {}   # code of a formula -> levels of preferment below it

    # --- numbers ---

    def percent(self, low, high):
        """In units; with four decimals, or two, or none."""
        step = self.rng.choice([1, 100, UNIT // 2, UNIT])
        return max(1, self.rng.randint(int(low * UNIT), int(high * UNIT)) // step * step)

    def grams(self, low, high):
        """Mostly whole, else to the milligram."""
        if self.rng.random() < 0.7:
            return Decimal(self.rng.randint(low, high))
        return Decimal(self.rng.randint(low * 1000, high * 1000)) / 1000

    def split(self, whole, count):
        """Positive units that sum to the whole."""
        cuts = sorted(self.rng.sample(range(1, whole), count - 1))
        return [b - a for a, b in zip([0] + cuts, cuts + [whole])]

    def clock(self, first, last):
        minutes = self.rng.randint(first * 4, last * 4) * 15
        return f"{minutes // 60:02}:{minutes % 60:02}"

    def some(self, items, low, high):
        return self.rng.sample(items, min(len(items), self.rng.randint(low, high)))

    # --- what is bought ---

    def settings(self):
        rng = self.rng
        mixers = [{"code": f"mixer-{n}", "min_g": rng.choice([0, 500, 3000]), "max_g": rng.choice([4000, 12500, 45000, 80000])}
                  for n in range(rng.randint(0, 3))]
        return {"name": "Bakery", "currency": rng.choice(["EUR", "GBP", "JPY", "KWD"]), "time_zone": rng.choice(ZONES),
                "ready_at": self.clock(3, 9), "day_starts_at": rng.choice(["12:00", "00:00", "18:30", "09:00"]),
                "mixers": mixers, "scale_g": rng.choice([1, 5, 10, Decimal("0.5"), Decimal("2.5")]),
                "small_scale_g": rng.choice([0, Decimal("0.1"), Decimal("0.01"), 1]),
                "small_below_g": rng.choice([0, 50, 100, 1000])}

    def ingredients(self):
        made = {code: {"name": code, "kind": "flour", "unit": "g", "allergens": self.some(["gluten", "soya"], 0, 2)}
                for code in ("flour-a", "flour-b", "flour-c")}
        made["water"] = {"name": "Water", "kind": "water", "unit": "g"}
        made["salt"] = {"name": "Salt", "kind": "salt", "unit": "g"}
        for n in range(5):
            made[f"other-{n}"] = {"name": f"Other {n}", "kind": "other", "unit": "g",
                                  "allergens": self.some(["milk", "egg", "sesame", "nuts"], 0, 2)}
            if self.rng.random() < 0.5:
                made[f"other-{n}"]["water_pct"] = pct(self.percent(0, 100))
            if self.rng.random() < 0.3:
                made[f"other-{n}"]["scale_g"] = self.rng.choice([Decimal("0.05"), 2, 25])
        for code in ("bag", "label"):
            made[code] = {"name": code, "kind": "packaging", "unit": "piece"}
        return made

    def prices(self):
        made = {}
        for code, body in self.made["ingredients"].items():
            dates = ["2020-01-01"] + self.some(["2027-03-28", "2027-06-11", "2027-11-01"], 0, 2)
            if self.rng.random() < 0.06:
                dates = dates[1:]  # some have no price, or none yet
            made[code] = {date: self.price(body["unit"]) for date in sorted(dates)}
        return made

    def price(self, unit):
        price = Decimal(self.rng.randint(0, 50_000_000)) / self.rng.choice([100, 1000000])
        pack = {"pack_pieces": self.rng.choice([1, 100, 999])} if unit == "piece" else \
            {"pack_g": self.rng.choice([1000, 25000, Decimal("1030.5"), Decimal("0.333"), 7])}
        return {**pack, "price": str(price)}

    # --- formulas ---

    def starter(self, code):
        blend = self.some(["flour-a", "flour-b", "flour-c"], 1, 3)
        parts = self.split(ALL, len(blend)) if len(blend) > 1 else [ALL]
        hydration = self.percent(40, 180)
        self.remember(code, {**{flour: Fraction(part) for flour, part in zip(blend, parts)}, "water": Fraction(hydration)})
        return {"name": code, "hydration_pct": pct(hydration), "keep_g": self.grams(0, 2000),
                "flours": [{"ingredient": flour, "pct": pct(part)} for flour, part in zip(blend, parts)]}

    def remember(self, code, weights):
        whole = sum(weights.values())
        self.shares[code] = {ingredient: weight / whole for ingredient, weight in weights.items() if weight}

    def flour_in(self, code):
        return sum(share for ingredient, share in self.shares[code].items() if ingredient.startswith("flour"))

    def parts(self, level):
        """What goes in beside ingredients: one formula of the level below, so that the levels are
        reached, and perhaps more."""
        codes = []
        if level > 0:
            codes += self.some([code for code, below in self.level.items() if below == level - 1], 1, 1)
            codes += [code for code in self.some(list(self.level), 0, 1) if self.level[code] < level and code not in codes]
        if self.rng.random() < 0.6:
            codes.append(self.rng.choice(["starter-0", "starter-1"]))
        return codes

    def lines_final(self, level):
        lines, weights = [], {}
        if level > 0 or self.rng.random() < 0.75:
            blend = self.some(["flour-a", "flour-b", "flour-c"], 1, 3)
            lines += list(zip(blend, self.split(ALL, len(blend)) if len(blend) > 1 else [ALL]))
            lines.append(("water", self.percent(20, 120)))
        else:
            lines += [(code, self.percent(1, 150)) for code in ("water", "other-0")]
        lines += [(code, self.percent(0, 30)) for code in self.some(["salt", "other-1", "other-2", "other-3", "other-4"], 0, 3)]
        entered = [{"ingredient": code, "pct": pct(units)} for code, units in lines]
        for code, units in lines:
            weights[code] = weights.get(code, 0) + Fraction(units)
        for code in self.parts(level):
            units = self.percent(0.5, 80)
            entered.append({self.kind(code): code, "pct": pct(units)})
            for ingredient, share in self.shares[code].items():
                weights[ingredient] = weights.get(ingredient, 0) + units * share
        return entered, weights

    def kind(self, code):
        return "starter" if code.startswith("starter") else "formula"

    def lines_total(self, level):
        """Ingredient lines are what the parts hold, and something on top of most."""
        held, entered = {}, []
        for code in self.parts(level):
            flour = self.flour_in(code)
            if flour and self.rng.random() < 0.7:
                units = self.percent(0.5, 25)
                entered.append({self.kind(code): code, "flour_pct": pct(units)})
                amount = units / flour
            else:
                units = amount = self.percent(0.5, 20)
                entered.append({self.kind(code): code, "pct": pct(units)})
            for ingredient, share in self.shares[code].items():
                held[ingredient] = held.get(ingredient, 0) + amount * share
        lines = {code: math.ceil(amount) for code, amount in held.items() if not code.startswith("flour")}
        for code in ["water"] + self.some(["salt", "other-1", "other-2", "other-3"], 0, 3):
            lines[code] = lines.get(code, 0) + self.percent(0.5, 60 if code == "water" else 12)
        lines.update(self.flours_total({code: amount for code, amount in held.items() if code.startswith("flour")}))
        entered += [{"ingredient": code, "pct": pct(units)} for code, units in lines.items()]
        self.rng.shuffle(entered)
        return entered, {code: Fraction(units) for code, units in lines.items()}

    def flours_total(self, held):
        flours = {code: math.ceil(amount) for code, amount in held.items()}
        left = ALL - sum(flours.values())
        more = sorted(set(flours) | set(self.some(["flour-a", "flour-b", "flour-c"], 1, 2)))
        for code, units in zip(more, self.split(left, len(more)) if len(more) > 1 else [left]):
            flours[code] = flours.get(code, 0) + units
        return flours

    def formula(self, code, level):
        basis = self.rng.choice(["final", "total"])
        lines, weights = self.lines_final(level) if basis == "final" else self.lines_total(level)
        self.remember(code, weights)
        self.level[code] = level
        body = {"name": code, "basis": basis, "lines": lines, "stages": [
            {"stage": f"stage {n}", "minutes": self.rng.choice([0, 7, 30, 45, 240, 600])} for n in range(self.rng.randint(0, 3))]}
        if self.rng.random() < 0.6:
            body["handling_loss_pct"] = pct(self.percent(0.0001, self.rng.choice([3, 60])))
        mixers = self.made["bakery"]["mixers"]
        if mixers and self.rng.random() < 0.4:
            body["mixer"] = self.rng.choice(mixers)["code"]
        elif self.rng.random() < 0.2:
            body["by_hand"] = True
        return body

    def formulas(self):
        made = {}
        for level in range(LEVELS + 1):
            for n in range(2):
                code = f"level-{level}-{n}"
                made[code] = self.formula(code, level)
        return made

    # --- what is sold ---

    def product(self, code):
        doughs = self.some(list(self.level), 1, 2)
        parts = [{"formula": dough, "g": self.grams(20, 2000)} for dough in doughs]
        if self.rng.random() < 0.4:
            parts.append({"ingredient": self.rng.choice(["other-0", "other-1", "flour-a"]), "g": self.grams(1, 40)})
        body = {"name": code, "parts": parts, "spare_pct": pct(self.percent(0.0001, 12)) if self.rng.random() < 0.6 else 0,
                "bake_loss_pct": pct(self.percent(0.0001, 25)),
                "packaging": [{"ingredient": bag, "pieces": self.rng.randint(1, 3)} for bag in self.some(["bag", "label"], 0, 2)]}
        if self.rng.random() < 0.3:
            body["ready_at"] = self.clock(2, 16)
        return body

    def customer(self, code):
        return {"name": code, **({"ready_at": self.clock(0, 12)} if self.rng.random() < 0.5 else {})}

    def orders(self):
        first = datetime.date.fromisoformat(self.rng.choice(DAYS))
        return [{"customer": self.rng.choice(list(self.made["customers"])),
                 "date": (first + datetime.timedelta(days=self.rng.randint(-1, 1))).isoformat(),
                 "lines": [{"product": product, "pieces": self.rng.choice([1, 3, 17, 120, 1001])}
                           for product in self.some(list(self.made["products"]), 1, 4)]}
                for _ in range(self.rng.randint(2, 6))]

    def make(self):
        self.made["bakery"] = self.settings()
        self.made["ingredients"] = self.ingredients()
        self.made["prices"] = self.prices()
        self.made["starters"] = {code: self.starter(code) for code in ("starter-0", "starter-1")}
        self.made["formulas"] = self.formulas()
        self.made["products"] = {code: self.product(code) for code in ("product-0", "product-1", "product-2", "product-3")}
        self.made["customers"] = {code: self.customer(code) for code in ("customer-0", "customer-1", "customer-2")}
        self.made["orders"] = self.orders()
        return self.made


def bakery(seed):
    return Maker(seed).make()


def things(made):
    """path -> body of everything but orders, in an order in which it can be entered."""
    paths = {"/bakery": made["bakery"]}
    paths.update({f"/ingredients/{code}": body for code, body in made["ingredients"].items()})
    paths.update({f"/ingredients/{code}/prices/{date}": body for code, dates in made["prices"].items() for date, body in dates.items()})
    for kind in ("starters", "formulas", "products", "customers"):
        paths.update({f"/{kind}/{code}": body for code, body in made[kind].items()})
    return paths
