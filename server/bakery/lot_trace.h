/* A lot's way forwards to bread days and customers; a bread day's way back is in
 * bakery/day_trace.h.
 *
 * Both ways stand on the same flow (bakery/lot_flow.h) and leave out what carries less than a
 * microgram of a lot, batch by batch: so a lot is found from a bread day exactly when the bread day
 * is found from the lot.
 */
#ifndef MORROWLOAF_BAKERY_LOT_TRACE_H
#define MORROWLOAF_BAKERY_LOT_TRACE_H

#include "bakery/lot_flow.h"

/* Less of a lot than this in a batch is not told. */
#define TRACE_LEAST (FIXED_ONE / 1000000)

/* Carried amounts are told to the microgram. */
enum { TRACE_PLACES = 6 };

/* A lot as it is told. */
struct trace_lot {
    int64_t lot;
    size_t ingredient;    /* in the catalogue */
    const char *supplier; /* NULL: it was there when its book was begun; and the next two */
    const char *supplier_name;
    const char *supplier_phone;
    const char *lot_mark; /* or NULL */
    bool has_best_before;
    date best_before;
    date received_on;
    const char *delivery_note; /* or NULL */
    bool held;
};

/* What became of a lot, by its movements; amounts of its ingredient's unit. */
struct trace_balance {
    int64_t received, mixed, fed, used, wasted, returned;
    int64_t counted; /* found more, less what was missing */
    int64_t moved;   /* to other places: nothing, unless the book is wrong */
    int64_t left;    /* as it stands in the places */
    bool has_last;
    date last; /* on which anything went out or was counted */
};

/* Whether received + counted - all that went out = left. False on overflow, too. */
bool trace_balanced(const struct trace_balance *balance);

/* --- forwards --- */

struct trace_feed {
    const char *starter;
    int64_t entry;
    instant at;
    int64_t mg;
    int64_t posting;
};

/* Where a starter took the lot. */
struct trace_starter {
    const char *starter;
    int64_t fed_mg;
    fixed carried; /* into batches, and out of the book */
    fixed discarded;
    fixed still_in;
    int64_t carried_ug, discarded_ug, still_in_ug; /* the same to the microgram; sum to fed_mg */
    fixed astray; /* of carried: by takings that belong to no batch */
    const struct pot_carried *entries;
    size_t entry_count;
};

/* Sums up what pot_lot_goes() found; astray is left to trace_astray(). */
bool trace_starter_sums(const struct reckoning *reckoning, struct trace_starter *starter);
/* The takings of starters that carried any of the lot, as the flow takes them; fills it. */
bool trace_takings_of(const struct reckoning *reckoning, const struct trace_starter *starters,
                      size_t count, int64_t lot, struct flow *flow);
/* What takings carried that no line of the flow belongs to. */
bool trace_astray(const struct reckoning *reckoning, const struct flow *flow,
                  struct trace_starter *starter);

/* By which ways a lot came into batches, each once; of which mixing list a preferment was makes no
 * difference. */
struct trace_ways {
    const struct flow_part **items;
    size_t count;
};

/* A batch that holds some of a lot. */
struct trace_carrier {
    const struct flow_batch *batch;
    fixed grams;
    struct trace_ways ways;
};

/* The batches that hold any of a lot, by date, formula and number; left_out: how many hold less
 * than TRACE_LEAST. */
bool trace_carriers(const struct reckoning *reckoning, const struct flow *flow,
                    struct flow_part *const *parts, int64_t lot, struct trace_carrier **carriers,
                    size_t *count, size_t *left_out);

/* What a batch was mixed for. */
struct trace_purpose {
    int64_t posting;
    date bread_day;
    const char *product;
};

/* Each bread day, each product, and each pair of both once, sorted. */
struct trace_goals {
    date *days;
    size_t day_count;
    const char **products;
    size_t product_count;
    struct trace_purpose *pairs; /* by day, then product; posting unset */
    size_t pair_count;
};

bool trace_goals_of(const struct reckoning *reckoning, const struct trace_purpose *purposes,
                    size_t count, struct trace_goals *out);

/* Until when any of a lot can have been used, in the book or beside it. */
date trace_last_use(const struct trace_lot *lot, const struct trace_balance *balance);

/* Pieces that a customer ordered of what holds some of the lot. */
struct trace_sale {
    const char *customer;
    date bread_day;
    const char *product;
    size_t pair; /* of the goals: bread day and product */
    int64_t pieces;
};

/* Sorts sales by customer, day, product, and adds those that have all three in common. */
bool trace_sales_joined(const struct reckoning *reckoning, struct trace_sale *sales, size_t *count);

struct trace_customer {
    const char *customer;
    const char *name;
    const char *phone;   /* or NULL */
    const char *address; /* or NULL */
    const struct trace_sale *sales;
    size_t sale_count;
    int64_t pieces; /* of all of them */
};

/* Gives every customer, by code, its sales, which come by customer. */
bool trace_customers_of(const struct reckoning *reckoning, const struct trace_sale *sales,
                        size_t sale_count, struct trace_customer *customers, size_t count);

/* --- for both ways --- */

/* Sorts codes and leaves each once; how many. */
size_t trace_each_once(const char **codes, size_t count);
/* How many parts are of a lot; of all lots (0). */
size_t trace_count_parts(const struct flow_part *parts, int64_t lot);
/* Adds the ways of a lot in a batch; there must be room for as many items as it has parts. */
void trace_ways_add(struct trace_ways *ways, int64_t lot, const struct flow_part *parts);
/* By mixing date, formula, batch. */
int trace_batch_order(const struct flow_batch *a, const struct flow_batch *b);

#endif
