/* What each batch carries of every lot, by whatever way: weighed in directly, with what was taken
 * of a starter, or with a preferment, which may itself be made with a starter or preferments.
 *
 * All batches of a preferment for one mixing list are one mix: whatever is taken of it carries of
 * every lot the same share, its weight over the weight of the mix. When more is taken than was
 * posted as mixed, the takers share what was posted, and the rest is of unknown lots: no lot is
 * ever carried further in a larger amount than went in.
 */
#ifndef MORROWLOAF_BAKERY_LOT_FLOW_H
#define MORROWLOAF_BAKERY_LOT_FLOW_H

#include "bakery/pot_lots.h"

/* A batch that was mixed and not reversed. */
struct flow_batch {
    int64_t posting;
    date mixing_date;
    const char *formula;
    int64_t batch; /* of the mix, from 1 */
    instant mixed_at;
    int64_t dough_mg; /* what was weighed in */
};

/* What was weighed into it. */
struct flow_line {
    int64_t posting;
    enum line_kind kind;
    const char *code;
    int64_t mg;
    int64_t log_entry; /* of the taking in the starter's log; 0: its log was not kept */
    bool has_part_date;
    date part_date; /* on whose mixing list the preferment stood */
};

/* What went into a batch of a lot of its own. */
struct flow_move {
    int64_t posting;
    int64_t lot;
    int64_t mg;
};

/* A preferment of one mixing list, whoever made and whoever took it. */
struct flow_pool {
    const char *part;
    date mixing_date;
    int64_t posted_mg; /* all its batches */
    int64_t taken_mg;  /* by all batches */
};

struct flow_taking {
    const char *starter;
    struct pot_taken taken;
};

struct flow {
    const struct flow_batch *batches; /* by posting */
    size_t batch_count;
    const struct flow_line *lines; /* by posting; of starters and preferments at least */
    size_t line_count;
    const struct flow_move *moves; /* by posting, then lot */
    size_t move_count;
    const struct flow_pool *pools; /* by part, then date: of every line that names a preferment */
    size_t pool_count;
    const struct flow_taking *takings; /* by starter, then entry */
    size_t taking_count;
};

/* So much of a lot in a batch, by one way. */
struct flow_part {
    int64_t lot;
    enum line_kind way; /* LINE_INGREDIENT: directly */
    const char *code;   /* of the starter or preferment; NULL: directly */
    date part_date;     /* of a preferment, else 0 */
    fixed grams;        /* > 0 */
    struct flow_part *next;
};

/* Works out the parts of every batch: *parts one list per batch, NULL for none. A batch that takes
 * of its own mix (the second takes what the first left over) takes of what that was without it. */
bool flow_of(const struct reckoning *reckoning, const struct flow *flow, struct flow_part ***parts);

/* Grams of a lot in a batch by all ways. */
fixed flow_grams(const struct flow_part *parts, int64_t lot);

/* The order of takings, for qsort(). */
int flow_taking_order(const void *a, const void *b);

/* The pool that a line takes of, the batch of a posting; NULL when there is none. */
const struct flow_pool *flow_pool_of(const struct flow *flow, const char *part, date mixing_date);
const struct flow_batch *flow_batch_of(const struct flow *flow, int64_t posting);

#endif
