"""Random bakeries for oracle.py: sound, and the same for the same seed."""

import datetime
import random
from decimal import Decimal

from oracle_book import Book, Unsound

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
