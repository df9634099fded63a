/* Batches that were mixed: records of what was weighed into each, and for what. */
#ifndef MORROWLOAF_STORE_BATCH_H
#define MORROWLOAF_STORE_BATCH_H

#include "bakery/model.h"

struct tx;

struct batch_line {
    enum line_kind kind;
    const char *code;
    int64_t mg;
    int64_t log_entry; /* taking in the starter's log; 0: none */
    bool has_part_date;
    date part_date; /* on whose mixing list the preferment stood */
};

struct batch_purpose {
    date bread_day;
    const char *product;
};

struct mixed_batch {
    int64_t posting;
    date mixing_date;
    const char *formula;
    int64_t batch; /* of the mix, from 1 */
    int64_t attempt;
    instant mixed_at;
    instant posted_at; /* read only, and who */
    const char *posted_by;
    int64_t dough_mg; /* what was weighed in */
    struct batch_line *lines;
    size_t line_count;
    struct batch_purpose *purposes; /* that its dough is a direct part of */
    size_t purpose_count;
};

/* Claims the batch for its posting, so that nobody else can post it: sets attempt. *claimed false:
 * it is posted and not reversed. Two at once: one of them is FAIL_CONFLICT at "/batch". */
bool batch_claim(struct tx *tx, struct mixed_batch *batch, bool *claimed);
/* Stores the lines and purposes of a claimed batch. */
bool batch_add_contents(struct tx *tx, const struct mixed_batch *batch);

struct batch_filter {
    date mixing_date;
    const char *formula; /* NULL: all */
    int64_t batch;       /* 0: all */
};

/* Batches that are not reversed, by formula and number, with lines and purposes. */
bool batch_select(struct tx *tx, const struct batch_filter *filter, struct mixed_batch **items,
                  size_t *count);

struct batch_taking {
    const char *starter;
    int64_t log_entry;
};
/* The takings of a batch, by starter. */
bool batch_takings(struct tx *tx, int64_t posting, struct batch_taking **items, size_t *count);

#endif
