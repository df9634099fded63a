/* Purchase orders: what was ordered, what of it is missing, what it costs.
 *
 * An amount is milligrams, or pieces of an ingredient that is counted.
 */
#ifndef MORROWLOAF_BAKERY_PURCHASE_H
#define MORROWLOAF_BAKERY_PURCHASE_H

#include "bakery/production.h"

struct purchase_line {
    const char *ingredient;
    int64_t amount;
    int64_t pack;       /* 0: none */
    int64_t received;   /* by deliveries that name the order and were not reversed */
    struct price price; /* in force on the day of the order */
};

struct purchase_order {
    int64_t number;
    const char *supplier;
    date ordered_on, due_on;
    bool closed;
    const char *entered_by;
    const char *note; /* or NULL */
    struct purchase_line *lines;
    size_t line_count;
    int64_t revision;
};

/* What is still to come. */
struct awaited {
    size_t ingredient; /* in the catalogue */
    date due;
    int64_t amount;
};

/* What has come of an order. Closed: nothing more of it is awaited, whatever came. */
enum purchase_state { PURCHASE_OPEN, PURCHASE_PART, PURCHASE_COMPLETE, PURCHASE_CLOSED };
extern const char *const purchase_states[]; /* their words, ends with NULL */

enum purchase_state purchase_state_of(const struct purchase_order *order);
/* What has not come yet of a line; 0 when more came than was ordered. */
int64_t purchase_missing(const struct purchase_line *line);
/* Whole packs that an amount comes to; 0 when it is not of whole packs. */
int64_t purchase_packs(int64_t amount, int64_t pack);
/* packs x pack; false when that is more than most. */
bool purchase_amount(int64_t packs, int64_t pack, int64_t most, int64_t *amount);

/* When an order usually comes; no later than the calendar ends. */
date purchase_due(date ordered_on, int64_t lead_days);

/* What an amount costs at a pack price; not known without a price for how it is counted. */
bool purchase_cost(const struct reckoning *reckoning, const struct price *price,
                   enum ingredient_unit unit, int64_t amount, struct money *cost);
/* The sum of costs; not known when one of them is not. */
bool purchase_total(const struct reckoning *reckoning, const struct money *costs, size_t count,
                    struct money *total);
/* By how much a total is under the least that a supplier takes an order of (0: it takes any); not
 * known when it is not under it, or the total is not known. */
struct money purchase_under(struct money total, int64_t minimum_micros);

#endif
