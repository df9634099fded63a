/* What a dough is made of: a formula's lines as shares of its dough, and its composition down to
 * ingredients, through every preferment and starter.
 *
 * Baker's percentage (common practice of the trade): flour is 100 %. Basis final: percentages of
 * the flour weighed into the final mix. Basis total: ingredient lines are percentages of all flour,
 * prefermented flour included; what the parts hold is taken out of them to get the final mix.
 */
#ifndef MORROWLOAF_BAKERY_BREAKDOWN_H
#define MORROWLOAF_BAKERY_BREAKDOWN_H

#include "bakery/catalogue.h"
#include "base/fixed.h"

/* Shares are by weight, in units of 10^-24 (SHARE_ONE is the whole dough). */
struct breakdown {
    fixed *lines;       /* per line of the formula: what is weighed into the final mix */
    fixed *ingredients; /* per ingredient of the catalogue: composition, everything exploded */
    fixed flour;        /* all flour */
    fixed final_flour;  /* flour weighed into the final mix as lines of its own */
    fixed base; /* what is called 100 %: all flour; for a formula without flour, its own 100 */
    /* What the final mix's percentages are of: with basis final what its baker calls 100 (the flour
     * lines, when it has any); with basis total final_flour, and base when that is nothing. */
    fixed final_base;
    int levels;      /* of preferment below it: 0 for a dough of ingredients and starters only */
    int64_t minutes; /* longest chain of stages from the first preferment's mix to the dough's end;
                        CHAIN_MINUTES_MAX at most */
};

/* Longer chains than a century are not reckoned with. */
#define CHAIN_MINUTES_MAX ((int64_t)100 * 366 * MINUTES_PER_DAY)

/* One breakdown per formula of the catalogue. */
struct breakdowns {
    const struct catalogue *catalogue;
    struct breakdown *items;
    fixed **starters; /* per starter: its composition, per ingredient of the catalogue; NULL when it
                         is faulty */
    size_t *order;    /* the formulas, as many as the catalogue has: every part before what takes it
                       */
};

/* Works out all formulas of a resolved catalogue. Faults: a formula that contains itself
 * ("/lines/n/formula", at each formula of the circle), more than NESTING_MAX levels
 * ("/lines/n/formula"), flour lines that do not sum to 100 ("/lines"), a flour_pct with basis final
 * or on an ingredient ("/lines/n"), a flour_pct of a part that holds no flour
 * ("/lines/n/flour_pct"), a line that would go below zero ("/lines/n" of the ingredient line, with
 * how much is missing), an ingredient of a part that has no line ("/lines/n" of the part), lines
 * that sum to nothing ("/lines"), stages longer than a century ("/stages"), a starter's flours that
 * do not sum to 100 ("/flours" of the starter). A faulty formula has lines == NULL, and so have
 * formulas that contain it (without a fault of their own). False when there was any fault, or
 * memory was short (faults->failed).
 *
 * When an ingredient stands in several lines of a formula of basis total, what the parts hold of it
 * is taken out of the first, then of the next; only the last can go below zero. */
bool breakdown_all(struct arena *arena, const struct catalogue *catalogue,
                   struct catalogue_faults *faults, struct breakdowns *out);

/* The elapsed minutes of a formula's own stages; CHAIN_MINUTES_MAX at most. */
int64_t formula_minutes(const struct formula *formula);

/* A formula's figures as they are shown; percentages rounded half to even at four decimals. */
struct formula_view {
    bool has_flour;        /* without flour the three figures below are unset */
    int64_t hydration_pct; /* water, and the water in other ingredients, over all flour */
    int64_t salt_pct;
    int64_t
        prefermented_flour_pct; /* share of all flour that comes in through starters and parts */
    struct {
        size_t ingredient;
        int64_t pct;
    } * overall; /* all flour = 100, in the order of first use */
    size_t overall_count;
    int64_t *final_pct; /* per line: percentage of the final mix's flour */
};

/* part / whole as a percentage, rounded half to even at four decimals. False when it does not fit.
 */
bool breakdown_percentage(fixed part, fixed whole, int64_t *pct);

/* The water in so much of an ingredient: all of water, a share of others; the moisture of flour is
 * not counted. False when it does not fit. */
bool breakdown_water(const struct ingredient *ingredient, fixed share, fixed *water);

/* False on overflow or short memory, and for a faulty formula. */
bool breakdown_view(struct arena *arena, const struct breakdowns *all, size_t formula,
                    struct formula_view *view);

/* The allergens of a formula through all its parts: sorted, each once. Owned by the arena; NULL
 * when memory is short. */
const char *const *breakdown_allergens(struct arena *arena, const struct breakdowns *all,
                                       size_t formula, size_t *count);

#endif
