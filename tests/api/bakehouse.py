"""A small bakery of our own invention to ask questions about. Never a check of figures by itself."""

import datetime

from harness import enter

# Far enough ahead that nothing of it is past while the tests run.
TODAY = datetime.date.today()


def day(n):
    """The n-th bread day of the tests."""
    return (TODAY + datetime.timedelta(days=200 + n)).isoformat()


BAKERY = {"name": "Mill Lane", "currency": "EUR", "time_zone": "Europe/London", "ready_at": "06:30",
          "day_starts_at": "12:00", "scale_g": 5, "small_scale_g": 0.1, "small_below_g": 100,
          "mixers": [{"code": "spiral", "min_g": 5000, "max_g": 60000},
                     {"code": "planetary", "min_g": 500, "max_g": 12000}]}

INGREDIENTS = {
    "/ingredients/bread-flour": {"name": "Bread flour", "kind": "flour", "unit": "g",
                                 "allergens": ["gluten"]},
    "/ingredients/rye-flour": {"name": "Rye flour", "kind": "flour", "unit": "g",
                               "allergens": ["gluten"]},
    "/ingredients/water": {"name": "Water", "kind": "water", "unit": "g"},
    "/ingredients/salt": {"name": "Salt", "kind": "salt", "unit": "g"},
    "/ingredients/yeast": {"name": "Yeast", "kind": "other", "unit": "g", "scale_g": 0.5},
    "/ingredients/sunflower": {"name": "Sunflower seeds", "kind": "other", "unit": "g"},
    "/ingredients/milk": {"name": "Milk", "kind": "other", "unit": "g", "water_pct": 87.5,
                          "allergens": ["milk"]},
    "/ingredients/butter": {"name": "Butter", "kind": "other", "unit": "g", "water_pct": 16,
                            "allergens": ["milk"]},
    "/ingredients/sesame": {"name": "Sesame", "kind": "other", "unit": "g", "allergens": ["sesame"]},
    "/ingredients/bag": {"name": "Paper bag", "kind": "packaging", "unit": "piece"},
}

PRICES = {
    "/suppliers/mill": {"name": "The mill", "note": "Tuesdays"},
    "/ingredients/bread-flour/prices/2020-01-01": {"pack_g": 25000, "price": "18.40",
                                                   "supplier": "mill"},
    "/ingredients/rye-flour/prices/2020-01-01": {"pack_g": 25000, "price": "21"},
    "/ingredients/water/prices/2020-01-01": {"pack_g": 1000000, "price": "2.15"},
    "/ingredients/salt/prices/2020-01-01": {"pack_g": 10000, "price": "4.99"},
    "/ingredients/yeast/prices/2020-01-01": {"pack_g": 500, "price": "2.49"},
    "/ingredients/sunflower/prices/2020-01-01": {"pack_g": 5000, "price": "13.333333"},
    "/ingredients/milk/prices/2020-01-01": {"pack_g": 1030, "price": "1.05"},
    "/ingredients/butter/prices/2020-01-01": {"pack_g": 250, "price": "1.79"},
    "/ingredients/sesame/prices/2020-01-01": {"pack_g": 1000, "price": "5.20"},
    "/ingredients/bag/prices/2020-01-01": {"pack_pieces": 1000, "price": "31.00"},
}

FORMULAS = {
    "/starters/levain": {"name": "Levain", "hydration_pct": 100, "keep_g": 500,
                         "flours": [{"ingredient": "bread-flour", "pct": 80},
                                    {"ingredient": "rye-flour", "pct": 20}]},
    "/formulas/poolish": {"name": "Poolish", "basis": "final",
                          "lines": [{"ingredient": "bread-flour", "pct": 100},
                                    {"ingredient": "water", "pct": 100},
                                    {"ingredient": "yeast", "pct": 0.2}],
                          "stages": [{"stage": "ferment", "minutes": 720, "at": "18 °C"}]},
    "/formulas/seed-soaker": {"name": "Seed soaker", "basis": "final", "by_hand": True,
                              "lines": [{"ingredient": "sunflower", "pct": 100},
                                        {"ingredient": "water", "pct": 100},
                                        {"ingredient": "salt", "pct": 2}],
                              "stages": [{"stage": "soak", "minutes": 600}]},
    "/formulas/country": {"name": "Country dough", "basis": "total", "handling_loss_pct": 1.5,
                          "dough_c": 25,
                          "lines": [{"ingredient": "bread-flour", "pct": 90},
                                    {"ingredient": "rye-flour", "pct": 10},
                                    {"ingredient": "water", "pct": 72},
                                    {"ingredient": "salt", "pct": 2},
                                    {"starter": "levain", "flour_pct": 15}],
                          "stages": [{"stage": "mix", "minutes": 15},
                                     {"stage": "bulk", "minutes": 180, "at": "24 °C"},
                                     {"stage": "shape", "minutes": 30, "hands": 2},
                                     {"stage": "proof", "minutes": 720, "at": "fridge, 4 °C"},
                                     {"stage": "bake", "minutes": 45}]},
    "/formulas/seeded": {"name": "Seeded dough", "basis": "total",
                         "lines": [{"ingredient": "bread-flour", "pct": 95},
                                   {"ingredient": "rye-flour", "pct": 5},
                                   {"ingredient": "water", "pct": 75},
                                   {"ingredient": "salt", "pct": 2.2},
                                   {"ingredient": "sunflower", "pct": 10},
                                   {"formula": "seed-soaker", "pct": 20.2},
                                   {"starter": "levain", "flour_pct": 8}],
                         "stages": [{"stage": "mix and proof", "minutes": 420}]},
    "/formulas/baguette": {"name": "Baguette dough", "basis": "final", "handling_loss_pct": 2,
                           "mixer": "spiral",
                           "lines": [{"ingredient": "bread-flour", "pct": 100},
                                     {"ingredient": "water", "pct": 60},
                                     {"ingredient": "salt", "pct": 2.4},
                                     {"ingredient": "yeast", "pct": 0.4},
                                     {"formula": "poolish", "pct": 50}],
                           "stages": [{"stage": "mix and proof", "minutes": 300}]},
    "/formulas/bun": {"name": "Bun dough", "basis": "final", "mixer": "planetary",
                      "lines": [{"ingredient": "bread-flour", "pct": 100},
                                {"ingredient": "milk", "pct": 62},
                                {"ingredient": "butter", "pct": 15},
                                {"ingredient": "salt", "pct": 1.8},
                                {"ingredient": "yeast", "pct": 3}],
                      "stages": [{"stage": "mix and proof", "minutes": 240}]},
}

PRODUCTS = {
    "/products/country-loaf": {"name": "Country loaf", "parts": [{"formula": "country", "g": 920}],
                               "spare_pct": 2, "bake_loss_pct": 12, "declared_g": 800,
                               "packaging": [{"ingredient": "bag", "pieces": 1}]},
    "/products/seeded-loaf": {"name": "Seeded loaf", "spare_pct": 3,
                              "parts": [{"formula": "seeded", "g": 850},
                                        {"ingredient": "sunflower", "g": 12.5}]},
    "/products/baguette": {"name": "Baguette", "parts": [{"formula": "baguette", "g": 350}],
                           "bake_loss_pct": 20},
    "/products/bun": {"name": "Sesame bun", "ready_at": "07:00",
                      "parts": [{"formula": "bun", "g": 90}, {"ingredient": "sesame", "g": 2}],
                      "packaging": [{"ingredient": "bag", "pieces": 2}]},
}

CUSTOMERS = {
    "/customers/cafe": {"name": "Café at the bridge", "ready_at": "05:30"},
    "/customers/shop": {"name": "Corner shop", "phone": "555 0101", "address": "2 Mill Lane"},
}

ALL = {"/bakery": BAKERY, **INGREDIENTS, **PRICES, **FORMULAS, **PRODUCTS, **CUSTOMERS}


def open_bakehouse(owner):
    """Enters everything but orders."""
    enter(owner, ALL)
