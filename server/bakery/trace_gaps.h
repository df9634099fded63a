/* What a trace cannot follow, said in sentences: so that nobody takes what is not in the book for
 * what did not happen.
 *
 * Water is never missed: from the tap it has no lots.
 */
#ifndef MORROWLOAF_BAKERY_TRACE_GAPS_H
#define MORROWLOAF_BAKERY_TRACE_GAPS_H

#include "bakery/lot_trace.h"

struct trace_gaps {
    const struct reckoning *reckoning;
    const char **items;
    size_t count;
    size_t room;
};

/* Something that went into batches and cannot be followed. */
struct trace_blank {
    const char *code; /* of a preferment or a starter */
    date mixing_date; /* of a preferment, else 0 */
    int64_t mg;
};

/* What the gaps of a lot's way forwards are told from. */
struct trace_gaps_forward {
    const struct trace_lot *lot;
    const struct trace_balance *balance;
    const struct trace_starter *starters;
    size_t starter_count;
    const struct flow *flow;
    const struct trace_carrier *carriers;
    size_t carrier_count;
    const struct trace_purpose *purposes; /* of the carriers */
    size_t purpose_count;
    const struct trace_blank *unposted; /* preferments that may be made of it, without a batch */
    size_t unposted_count;
    const struct trace_blank *unlogged; /* starters that may have been fed with it, without a log */
    size_t unlogged_count;
};

bool trace_gaps_forward_of(const struct reckoning *reckoning, const struct trace_gaps_forward *from,
                           struct trace_gaps *out);

/* What the gaps of a bread day's way back are told from. */
struct trace_gaps_backward {
    const struct flow *flow;      /* with all lines */
    const struct trace_lot *lots; /* of the flow's moves at least, by number */
    size_t lot_count;
    const char *const *products; /* that were ordered or mixed for */
    size_t product_count;
    const struct trace_purpose *purposes; /* of the day */
    size_t purpose_count;
};

bool trace_gaps_backward_of(const struct reckoning *reckoning,
                            const struct trace_gaps_backward *from, struct trace_gaps *out);

/* The formulas that hold an ingredient through all their parts, and the starters that are fed with
 * it, by code, as they are now; NULL when memory is short. */
const char **trace_formulas_with(const struct reckoning *reckoning, size_t ingredient,
                                 size_t *count);
const char **trace_starters_with(const struct reckoning *reckoning, size_t ingredient,
                                 size_t *count);

/* --- for the two files of gaps --- */

bool gap_add(struct trace_gaps *gaps, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* "3.2 kg", "850 g" or "12 pieces"; NULL when memory is short. */
const char *gap_amount(const struct trace_gaps *gaps, enum ingredient_unit unit, int64_t amount);
/* The same of grams, to the milligram. */
const char *gap_grams(const struct trace_gaps *gaps, fixed grams);
/* The name of a formula or starter. */
const char *gap_name(const struct trace_gaps *gaps, enum line_kind kind, const char *code);
/* "12 g of Poolish of 2026-11-03 of which no batch was posted", and what follows it. */
bool gap_unposted(struct trace_gaps *gaps, const struct trace_blank *blank, const char *more);
bool gap_unlogged(struct trace_gaps *gaps, const struct trace_blank *blank, const char *more);

#endif
