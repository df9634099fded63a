/* What the trace of a lot or of a bread day is worked out from. Every list is one statement,
 * however many batches there are. Batches and feeds that were reversed are left out everywhere.
 */
#ifndef MORROWLOAF_STORE_TRACE_H
#define MORROWLOAF_STORE_TRACE_H

#include "bakery/trace_gaps.h"

struct tx;

/* Lots of these numbers, by number. */
bool trace_lots_load(struct tx *tx, const struct catalogue *catalogue, const int64_t *numbers,
                     size_t number_count, struct trace_lot **items, size_t *count);
bool trace_balance_load(struct tx *tx, int64_t lot, struct trace_balance *balance);
/* What a lot fed, by starter, then entry. */
bool trace_feeds_load(struct tx *tx, int64_t lot, struct trace_feed **items, size_t *count);

/* A part of a starter's log that is wanted, by numbers of entries. */
struct trace_reach {
    const char *starter;
    int64_t first, last;
};

/* The entries of each, without the feeds; stretches: one per reach, which come by starter. */
bool trace_stretches_load(struct tx *tx, const struct trace_reach *reaches, size_t count,
                          struct pot_stretch *stretches);
/* The lots of the feeds in each. */
bool trace_pot_feeds_load(struct tx *tx, const struct trace_reach *reaches, size_t count,
                          struct pot_stretch *stretches);

/* The batches that a lot, or any of the flow's takings, can be in, by posting. */
bool trace_batches_forward(struct tx *tx, int64_t lot, struct flow *flow);
/* The batches of these postings, and all that have a part in them, by posting. */
bool trace_batches_backward(struct tx *tx, const int64_t *postings, size_t posting_count,
                            struct flow *flow);
/* The lines of the flow's batches, all or those of starters and preferments; what went into them of
 * one lot, or of all (0); the pools of the lines. */
bool trace_contents_load(struct tx *tx, bool all_lines, int64_t lot, struct flow *flow);

bool trace_purposes_load(struct tx *tx, const int64_t *postings, size_t posting_count,
                         struct trace_purpose **items, size_t *count);
/* What was mixed for a bread day, by product, then posting; product NULL: any. */
bool trace_purposes_of_day(struct tx *tx, date bread_day, const char *product,
                           struct trace_purpose **items, size_t *count);
/* The products that were ordered for a bread day, by code; product NULL: any. */
bool trace_ordered_load(struct tx *tx, date bread_day, const char *product, const char ***items,
                        size_t *count);

/* What was ordered of these pairs of bread day and product, in no order, line by line. */
bool trace_sales_load(struct tx *tx, const struct trace_goals *goals, struct trace_sale **items,
                      size_t *count);

/* The customers of sales, which come by customer, by code, without their sales. */
bool trace_customers_load(struct tx *tx, const struct trace_sale *sales, size_t sale_count,
                          struct trace_customer **items, size_t *count);

/* What was weighed into batches and cannot be followed, of these codes, mixed between two dates:
 * preferments of which no batch was posted, and starters whose log was not kept. */
bool trace_unposted_load(struct tx *tx, const char *const *parts, size_t part_count, date first,
                         date last, struct trace_blank **items, size_t *count);
bool trace_unlogged_load(struct tx *tx, const char *const *starters, size_t starter_count,
                         date first, date last, struct trace_blank **items, size_t *count);

#endif
