"""A bakery worked out in exact fractions: the reckoning under oracle.py, which tells the form of a
bakery. Formulas are exploded recursively, piece by piece, and nothing is rounded before it is
printed.
"""

import datetime
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo


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
        own = self.bakery["ingredients"][line["ingredient"]].get("scale_g") if line.get("ingredient") is not None else None
        if own:
            return number(own)
        small = number(self.settings.get("small_scale_g"))
        if small and amount < number(self.settings.get("small_below_g")):
            return small
        scale = self.settings.get("scale_g")
        return number(1 if scale is None else scale)

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
