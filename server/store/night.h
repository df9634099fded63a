/* What was measured before mixing on a date. */
#ifndef MORROWLOAF_STORE_NIGHT_H
#define MORROWLOAF_STORE_NIGHT_H

#include "bakery/model.h"

struct tx;

struct night {
    date mixing_date;
    bool measured; /* anything was entered for that date */
    struct temperatures temperatures;
    int64_t revision; /* 0: nothing was entered */
};

bool night_get(struct tx *tx, date mixing_date, struct night *night);
/* Creates or replaces it; sets its new revision. */
bool night_put(struct tx *tx, struct night *night);

#endif
