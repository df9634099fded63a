/* A bread day's way back to the lots in it, through everything that its batches were made of. */
#ifndef MORROWLOAF_BAKERY_DAY_TRACE_H
#define MORROWLOAF_BAKERY_DAY_TRACE_H

#include "bakery/lot_trace.h"

/* So much of a lot in the batches that were mixed for a bread day. */
struct trace_share {
    int64_t lot;
    fixed grams;
    int64_t share_pct; /* of the weight of those batches that hold any of it */
    struct trace_ways ways;
};

/* The lots in these batches (postings, each once), by number; left_out: how many lots are in them
 * with less than TRACE_LEAST in each. */
bool trace_shares(const struct reckoning *reckoning, const struct flow *flow,
                  struct flow_part *const *parts, const int64_t *postings, size_t posting_count,
                  struct trace_share **shares, size_t *count, size_t *left_out);

/* The products that were mixed for or ordered, each once, by code. */
bool day_trace_products(const struct reckoning *reckoning, const struct trace_purpose *mixed,
                        size_t mixed_count, const char *const *ordered, size_t ordered_count,
                        const char ***products, size_t *count);
/* The batches that were mixed for the day, each once. */
bool day_trace_postings(const struct reckoning *reckoning, const struct trace_purpose *mixed,
                        size_t mixed_count, int64_t **postings, size_t *count);
/* The numbers of all lots that are told of, or went into a batch, each once. */
bool day_trace_numbers(const struct reckoning *reckoning, const struct flow *flow,
                       const struct trace_share *shares, size_t share_count, int64_t **numbers,
                       size_t *count);
/* The flow's batches by date, formula and number; NULL when memory is short. */
const struct flow_batch **day_trace_batches(const struct reckoning *reckoning,
                                            const struct flow *flow);

/* What was weighed into a batch of one thing; lines of the same thing are added. */
struct day_line {
    enum line_kind kind;
    const char *code;
    int64_t mg;
    bool has_part_date;
    date part_date;
    const struct flow_part **parts; /* what came in by it of each lot, from TRACE_LEAST on */
    size_t part_count;
};

/* The lines of a batch, in the order of weighing. parts: of the batch; lots by number. */
bool day_trace_lines(const struct reckoning *reckoning, const struct flow *flow,
                     const struct flow_part *parts, int64_t posting, const struct trace_lot *lots,
                     size_t lot_count, struct day_line **lines, size_t *count);

/* The lot of a number among lots by number; NULL when it is not there. */
const struct trace_lot *day_trace_lot(const struct trace_lot *lots, size_t count, int64_t lot);

#endif
