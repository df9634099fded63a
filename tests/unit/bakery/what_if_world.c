/* The bakeries that changes are tried on. */
#include "what_if_world.h"

#include "random_world.h"

#include <criterion/criterion.h>

const char changed_on[] = "2027-05-12";

struct costs random_bakery(uint64_t seed)
{
    struct dice dice = {seed * 991 + 17};
    struct costs c = {.w = random_world(seed)};
    struct catalogue *catalogue = &c.w->catalogue;
    catalogue->prices = arena_array(c.w->arena, catalogue->ingredient_count,
                                    sizeof *catalogue->prices);
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        catalogue->prices[i] = (struct price){.known = true,
                                              .from = day_of("2027-01-01"),
                                              .micros = roll(&dice, 1, 60000000),
                                              .pack_mg = roll(&dice, 1, 30) * 1000000,
                                              .pack_pieces = roll(&dice, 1, 2000)};
    for (size_t f = 0; f < catalogue->formula_count; f++)
        catalogue->formulas[f].stages[0].hands = roll(&dice, 0, 2);
    for (size_t p = 0; p < catalogue->product_count; p++) {
        bakes(c.w, catalogue->products[p].code, roll(&dice, 1, 30), roll(&dice, 5, 80));
        catalogue->products[p].unsold_pct = roll(&dice, 0, 300000);
    }
    for (size_t m = 0; m < catalogue->bakery.mixer_count; m++)
        catalogue->bakery.mixers[m].power_w = roll(&dice, 500, 9000);
    powered_oven(c.w, "deck", 3, 2, 45, 5000);
    rate_labour(&c, "18.50");
    rate_energy(&c, "0.31");
    rate_delivery(&c, "24", 110);
    rate_overhead(&c, OVERHEAD_BY_MINUTES, "3300", 11000);
    c.waste = arena_array(c.w->arena, 2, sizeof *c.waste);
    for (size_t s = 0; s < 2; s++)
        c.waste[s] = (struct starter_waste){roll(&dice, 1, 9000), roll(&dice, 0, 9000)};
    random_orders(c.w, &dice, "2027-05-10", 5, 40);
    return c;
}

struct costs lane_bakery(void)
{
    struct costs c = {.w = world_new()};
    starter(c.w, "levain", "100", "wheat 100");
    formula(c.w, "poolish", BASIS_FINAL, "wheat 100, water 100");
    formula(c.w, "country", BASIS_FINAL, "wheat 100, water 68, salt 2, starter levain 20");
    formula(c.w, "tin", BASIS_TOTAL,
            "wheat 100, water 62, milk 10, salt 2, formula poolish flour 50");
    formula(c.w, "soaker", BASIS_FINAL, "seeds 100, water 50");
    formula(c.w, "twice", BASIS_FINAL, "wheat 100, water 50, formula tin 30");
    formula(c.w, "white", BASIS_FINAL, "wheat 100, water 65");
    product(c.w, "loaf", "country 1000");
    product(c.w, "tinned", "seeds 20, tin 850");
    product(c.w, "bagged", "seeds 100");
    packaging(c.w, "loaf", "bag", 1);
    open_world(c.w);
    price(c.w, "wheat", "25000", "20");
    price(c.w, "water", "1000000", "2");
    price(c.w, "salt", "10000", "5");
    price(c.w, "milk", "1000", "1.20");
    price(c.w, "seeds", "5000", "20");
    price(c.w, "bag", "1000", "30");
    return c;
}

/* FNV-1a (Fowler, Noll, Vo). */
static void digest(uint64_t *sum, const void *bytes, size_t size)
{
    for (size_t i = 0; i < size; i++)
        *sum = (*sum ^ ((const unsigned char *)bytes)[i]) * 1099511628211u;
}

uint64_t facts_digest(const struct costs *c)
{
    const struct catalogue *k = &c->w->catalogue;
    const struct breakdowns *b = &c->w->breakdowns;
    uint64_t sum = 14695981039346656037u;
    digest(&sum, k, sizeof *k);
    digest(&sum, &c->rates, sizeof c->rates);
    digest(&sum, k->ingredients, k->ingredient_count * sizeof *k->ingredients);
    digest(&sum, k->prices, k->ingredient_count * sizeof *k->prices);
    digest(&sum, k->formulas, k->formula_count * sizeof *k->formulas);
    digest(&sum, k->products, k->product_count * sizeof *k->products);
    digest(&sum, b, sizeof *b);
    digest(&sum, b->items, k->formula_count * sizeof *b->items);
    digest(&sum, b->order, k->formula_count * sizeof *b->order);
    for (size_t f = 0; f < k->formula_count; f++) {
        digest(&sum, k->formulas[f].lines, k->formulas[f].line_count * sizeof(struct line));
        digest(&sum, b->items[f].lines, k->formulas[f].line_count * sizeof(fixed));
        digest(&sum, b->items[f].ingredients, k->ingredient_count * sizeof(fixed));
    }
    for (size_t p = 0; p < k->product_count; p++)
        digest(&sum, k->products[p].parts, k->products[p].part_count * sizeof(struct part));
    digest(&sum, c->w->demands, c->w->demand_count * sizeof *c->w->demands);
    return sum;
}

struct change wet_change(const struct costs *c, const char *code, const char *percent)
{
    return (struct change){CHANGE_HYDRATION, at_formula(c->w, code), BY_VALUE, pct(percent), 0,
                           "/changes/5"};
}
