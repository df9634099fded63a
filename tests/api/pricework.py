"""What the tests of costs and prices share: a bakery of our own invention whose pieces can be costed,
and the trees that answers open into. Never a check of figures by itself."""

from decimal import Decimal

from bakehouse import BAKERY, CUSTOMERS, FORMULAS, INGREDIENTS, PRICES, PRODUCTS
from harness import enter

AT_PRICE = {**BAKERY,
            "mixers": [{"code": "spiral", "min_g": 5000, "max_g": 60000, "power_w": 1500},
                       {"code": "planetary", "min_g": 500, "max_g": 12000, "power_w": 750}],
            "ovens": [{"code": "stone", "decks": 3, "places": 1, "preheat_minutes": 60, "recovery_minutes": 10, "power_w": 2800}]}

STAGES = [{"stage": "mix", "minutes": 15, "uses": "mixer", "labour": {"per": "batch", "minutes": 12.5}},
          {"stage": "bulk", "minutes": 180, "labour": {"per": "mix", "minutes": 4}},
          {"stage": "shape", "minutes": 30, "hands": 2, "labour": {"per": "piece", "minutes": 0.75}},
          {"stage": "proof", "minutes": 720, "uses": "cold"},
          {"stage": "bake", "minutes": 45, "uses": "oven", "labour": {"per": "load", "minutes": 6.5}}]

COUNTRY = {**FORMULAS["/formulas/country"], "stages": STAGES}
LOAF = {**PRODUCTS["/products/country-loaf"], "labour_minutes": 0.5, "unsold_pct": 4,
        "bake": {"per_place": 12, "steps": [{"c": 250, "minutes": 10, "steam": True}, {"c": 225, "minutes": 28}]}}
BUN = {**PRODUCTS["/products/bun"], "bake": {"per_place": 30, "steps": [{"c": 210, "minutes": 14}]}}

RATES = {"hand_hour": "24.50", "kwh": "0.31", "overhead_month": "4200", "overhead_base": 21000, "round": "18.00", "round_pieces": 240}
COUNTER = {"name": "Counter", "with_tax": True, "step": "0.05"}
TRADE = {"name": "Trade", "with_tax": False, "step": "1.00", "ending": "0.95", "note": "From ten a day"}

CATALOGUE = {"/bakery": AT_PRICE, **INGREDIENTS, **PRICES, **FORMULAS, "/formulas/country": COUNTRY, **PRODUCTS,
             "/products/country-loaf": LOAF, "/products/bun": BUN, **CUSTOMERS}
MONEY = {"/rates/2020-01-01": RATES, "/price-lists/counter": COUNTER, "/price-lists/trade": TRADE,
         "/products/country-loaf/pricing": {"tax_pct": 7, "target": {"margin_pct": 60}},
         "/products/bun/pricing": {"tax_pct": 7, "target": {"markup_pct": 150}},
         "/products/baguette/pricing": {"target": {"ingredient_share_pct": 25}},
         "/price-lists/counter/prices/country-loaf/2020-01-01": {"breaks": [{"pieces": 1, "price": "4.20"}, {"pieces": 20, "price": "3.80"}]},
         "/price-lists/counter/prices/bun/2020-01-01": {"breaks": [{"pieces": 1, "price": "1.40"}]},
         "/price-lists/trade/prices/country-loaf/2020-01-01": {"breaks": [{"pieces": 1, "price": "2.95"}]}}


def open_shop(owner):
    """Enters everything but orders."""
    enter(owner, {**CATALOGUE, **MONEY})


# --- trees ---


def leaves(node):
    """What has no children."""
    return [leaf for child in node["children"] for leaf in leaves(child)] if node["children"] else [node]


def figure(node):
    return Decimal(node["value"])


def unsound(node, path=""):
    """Where a tree does not hold: a node that is not the sum of its children or hides their holes, a fact that says
    nowhere where it is stored, a hole that counts."""
    here = f"{path}/{node['what']}"
    if not node["children"]:
        return [here] if "where" not in node or (node["missing"] and figure(node) != 0) else []
    holes = any(child["missing"] for child in node["children"])
    wrong = [here] if figure(node) != sum(map(figure, node["children"])) or node["missing"] != holes else []
    return wrong + [fault for child in node["children"] for fault in unsound(child, here)]


def not_adding_up(cost):
    """What does not hold in an answer of GET /products/{code}/cost?why=1."""
    wrong = [fault for line in cost["lines"] for fault in unsound(line)]
    known = sum(Decimal(line["known"]) for line in cost["lines"])
    hole = any(line["missing"] for line in cost["lines"])
    checks = {"lines are the known cost": Decimal(cost["known_cost"]) == known,
              "leaves are the known cost": Decimal(cost["known_cost"]) == sum(figure(leaf) for line in cost["lines"] for leaf in leaves(line)),
              "a hole has no figure": (cost["cost_each"] is None) == hole and (cost["ingredients_each"] is None) >= (cost["cost_each"] is None),
              "no hole, the figure": hole or Decimal(cost["cost_each"]) == known,
              "holes are named": bool(cost["missing"]) == hole,
              "ingredients are four lines": hole or Decimal(cost["ingredients_each"]) == sum(
                  Decimal(line["known"]) for line in cost["lines"] if line["what"] in ("ingredients", "handling", "spare", "starter"))}
    for line in cost["lines"]:
        checks[f"{line['what']} is its tree"] = (line["known"], line["missing"]) == (line["value"], line["cost"] is None)
    return wrong + [words for words, holds in checks.items() if not holds]
