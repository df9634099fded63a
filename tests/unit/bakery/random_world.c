/* Drawing formulas until they are sound. */
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

enum { LEVELS = 4, PER_LEVEL = 3, TRIES = 40, TEXT = 1024 };

/* Xorshift (Marsaglia, Xorshift RNGs, 2003). */
int64_t roll(struct dice *dice, int64_t low, int64_t high)
{
    dice->state ^= dice->state << 13;
    dice->state ^= dice->state >> 7;
    dice->state ^= dice->state << 17;
    return low + (int64_t)(dice->state % (uint64_t)(high - low + 1));
}

struct drawing {
    char text[TEXT];
    size_t length;
};

/* Adds an entry with a number of four decimals. */
static void put(struct drawing *d, const char *what, int64_t percent)
{
    d->length += (size_t)snprintf(d->text + d->length, TEXT - d->length, "%s%s %ld.%04ld",
                                  d->length > 0 ? ", " : "", what, percent / 10000,
                                  percent % 10000);
}

/* Three flours that sum to a hundred, none under `least`. */
static void put_flours(struct drawing *d, struct dice *dice, int64_t least)
{
    int64_t wheat = roll(dice, least, PERCENT_WHOLE - 2 * least);
    int64_t rye = roll(dice, least, PERCENT_WHOLE - least - wheat);
    put(d, "wheat", wheat);
    put(d, "rye", rye);
    put(d, "spelt", PERCENT_WHOLE - wheat - rye);
}

static void put_parts(struct drawing *d, struct dice *dice, int level, bool total)
{
    char what[64];
    const char *how = total && roll(dice, 0, 2) > 0 ? " flour" : "";
    if (roll(dice, 0, 1)) {
        snprintf(what, sizeof what, "starter s%ld%s", roll(dice, 0, 1), how);
        put(d, what, roll(dice, 10000, 200000));
    }
    for (int64_t n = level == 0 ? 0 : roll(dice, 0, 2); n > 0; n--) {
        how = total && roll(dice, 0, 1) ? " flour" : "";
        snprintf(what, sizeof what, "formula f%ld%ld%s", roll(dice, 0, level - 1),
                 roll(dice, 0, PER_LEVEL - 1), how);
        put(d, what, roll(dice, 10000, 150000));
    }
}

static void draw_formula(struct world *w, struct dice *dice, const char *code, int level)
{
    bool total = roll(dice, 0, 1);
    struct drawing d = {.length = 0};
    put_flours(&d, dice, 50000);
    put(&d, "water", roll(dice, 500000, 900000));
    put(&d, "salt", roll(dice, 5000, 30000));
    put(&d, "yeast", roll(dice, 1, 10000));
    put(&d, "seeds", roll(dice, 10000, 200000));
    put(&d, "milk", roll(dice, 10000, 200000));
    put_parts(&d, dice, level, total);
    formula(w, code, total ? BASIS_TOTAL : BASIS_FINAL, d.text);
}

/* Draws a formula again until it holds enough of what its parts hold. */
static void add_formula(struct world *w, struct dice *dice, int level, int n)
{
    char code[8];
    char list[64];
    snprintf(code, sizeof code, "f%d%d", level, n);
    for (int tries = 0; tries < TRIES; tries++) {
        draw_formula(w, dice, code, level);
        if (work_out(w)) break;
    }
    if (w->faults.count > 0) formula(w, code, BASIS_FINAL, "wheat 100, water 70");
    open_world(w);
    the_formula(w, code)->handling_loss_pct = roll(dice, 0, 2) ? 0 : roll(dice, 0, 100000);
    the_formula(w, code)->by_hand = roll(dice, 0, 3) == 0;
    snprintf(list, sizeof list, "bulk %ld, proof %ld", roll(dice, 0, 300), roll(dice, 0, 900));
    stages(w, code, list);
}

static void add_product(struct world *w, struct dice *dice, int n)
{
    char code[8];
    char parts[64];
    snprintf(code, sizeof code, "p%d", n);
    snprintf(parts, sizeof parts, "f%ld%ld %ld, f%ld%ld %ld, seeds %ld", roll(dice, 0, LEVELS - 1),
             roll(dice, 0, PER_LEVEL - 1), roll(dice, 20, 1500), roll(dice, 0, LEVELS - 1),
             roll(dice, 0, PER_LEVEL - 1), roll(dice, 1, 90), roll(dice, 1, 30));
    product(w, code, parts);
    packaging(w, code, "bag", roll(dice, 1, 3));
    the_product(w, code)->spare_pct = roll(dice, 0, 100000);
    if (roll(dice, 0, 1)) the_product(w, code)->ready_at = (int)roll(dice, 0, MINUTES_PER_DAY - 1);
}

struct world *random_world(uint64_t seed)
{
    struct dice dice = {seed * 2654435761u + 88172645463325252u};
    struct world *w = world_new();
    if (seed % 3 == 1) set_zone(w, "America/New_York");
    w->catalogue.bakery.day_starts_at = (int)roll(&dice, 0, MINUTES_PER_DAY - 1);
    w->catalogue.bakery.scale_mg = roll(&dice, 1, 10000);
    w->catalogue.bakery.small_scale_mg = roll(&dice, 0, 500);
    w->catalogue.bakery.small_below_mg = 100000;
    if (seed % 4 > 0) mixer(w, "spiral", "5000", "40000");
    if (seed % 4 > 1) mixer(w, "planetary", "500", "6000");
    starter(w, "s0", "100", "wheat 80, rye 20");
    starter(w, "s1", "55.5555", "rye 33.3333, spelt 66.6667");
    for (int level = 0; level < LEVELS; level++)
        for (int n = 0; n < PER_LEVEL; n++)
            add_formula(w, &dice, level, n);
    for (int n = 0; n < 5; n++)
        add_product(w, &dice, n);
    open_world(w);
    return w;
}

void random_orders(struct world *w, struct dice *dice, const char *first, int days, int orders)
{
    for (int i = 0; i < orders; i++) {
        char code[8];
        char clock[6] = "";
        int64_t minutes = roll(dice, 0, MINUTES_PER_DAY - 1);
        snprintf(code, sizeof code, "p%ld", roll(dice, 0, 4));
        if (roll(dice, 0, 1))
            snprintf(clock, sizeof clock, "%02d:%02d", (int)minutes / 60 % 24, (int)minutes % 60);
        date day = day_of(first) + (date)roll(dice, 0, days - 1);
        order(w, day_text(day), code, roll(dice, 1, 60), clock);
    }
}
