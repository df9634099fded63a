/* Starters in a trace: as much of their logs as it takes. */
#ifndef MORROWLOAF_API_TRACE_POTS_H
#define MORROWLOAF_API_TRACE_POTS_H

#include "api/reckon.h"
#include "bakery/lot_trace.h"

/* Where the feeds of a lot, by starter and entry, went: one item per starter. */
bool trace_pots_forward(struct request *request, const struct day *day, int64_t lot,
                        const struct trace_feed *feeds, size_t feed_count,
                        struct trace_starter **starters, size_t *count);

/* What the flow's lines took of starters; fills its takings. */
bool trace_pots_backward(struct request *request, const struct day *day, struct flow *flow);

#endif
