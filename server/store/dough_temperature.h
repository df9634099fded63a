/* How warm doughs came out of the mixer: a record that friction is learnt from. */
#ifndef MORROWLOAF_STORE_DOUGH_TEMPERATURE_H
#define MORROWLOAF_STORE_DOUGH_TEMPERATURE_H

#include "bakery/temperature.h"

struct tx;

struct dough_temperature {
    int64_t number;
    instant at;
    const char *entered_by;
    const char *formula;
    const char *mixer;
    int64_t dough_c, water_c, flour_c, room_c;
    struct temperature preferment;
    int64_t friction_c;
};

struct dough_temperature_filter {
    const char *mixer;   /* NULL: any */
    const char *formula; /* NULL: any */
    int64_t before;      /* only smaller numbers; 0: from the last */
    int64_t limit;
};

/* Sets number and entered_by. */
bool dough_temperature_add(struct tx *tx, struct dough_temperature *entry);
/* The newest first. */
bool dough_temperature_select(struct tx *tx, const struct dough_temperature_filter *filter,
                              struct dough_temperature **items, size_t *count);

/* What friction_learnt() needs of all mixers and doughs: of each dough in each mixer the last
 * ones, newest first. */
bool friction_seen_load(struct tx *tx, struct friction_seen **items, size_t *count);

#endif
