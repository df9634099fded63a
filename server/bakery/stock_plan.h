/* What the orders that are in will use of each ingredient, by working day; and what printed mixing
 * lists have spoken for.
 *
 * Batches that were posted are done: what they took is no longer in the stock, and is not counted
 * again. What the mixes take of a starter is first taken from its pot, whose flour left the stock
 * with its feeds; only what goes beyond that is flour still to come.
 */
#ifndef MORROWLOAF_BAKERY_STOCK_PLAN_H
#define MORROWLOAF_BAKERY_STOCK_PLAN_H

#include "bakery/pot.h"
#include "bakery/stock_use.h"

/* A line of a printed mixing list. */
struct printed_line {
    date mixing_date;
    size_t formula; /* NOT_FOUND: there is none of that code any more */
    int64_t batches;
    size_t ingredient;
    int64_t weigh_mg; /* of one batch */
};

/* Adds what the lines weigh in batches that are not posted. */
bool printed_use_of(const struct reckoning *reckoning, const struct printed_line *lines,
                    size_t line_count, const struct posted_batch *posted, size_t posted_count,
                    int64_t *amounts);

struct stock_plan {
    const struct reckoning *reckoning;
    date first; /* working day */
    size_t days;
    const struct demand *demands; /* by bread day; of stock_plan_horizon() */
    size_t demand_count;
    const struct posted_batch *posted;
    size_t posted_count;
    const struct pot_state *pots; /* one per starter of the catalogue; entries 0: not known */
};

/* The bread days whose orders can have a part in these days. */
void stock_plan_horizon(const struct reckoning *reckoning, date first, size_t days, date *from,
                        date *to);

/* amounts: days rows of the catalogue's ingredients. */
bool planned_use_of(const struct stock_plan *plan, int64_t *amounts);

/* What the formulas ask for on these days before any scale, posted or not, and whatever is in the
 * pots. amounts as above. */
bool theory_use_of(const struct stock_plan *plan, int64_t *amounts);
/* The same by week: rows of seven days from the first on. begun: per ingredient the day from which
 * on it counts (0: never), or NULL: always. */
bool week_theory_of(const struct stock_plan *plan, const date *begun, int64_t *weeks);

#endif
