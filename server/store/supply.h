/* Where an ingredient is ordered, in which packs, how safe its stock must be, where it stands. */
#ifndef MORROWLOAF_STORE_SUPPLY_H
#define MORROWLOAF_STORE_SUPPLY_H

#include "bakery/model.h"

struct tx;

#define SERVICE_PCT_DEFAULT INT64_C(950000)
#define PLACE_DEFAULT       "store"

struct supply {
    const char *ingredient;
    const char *supplier; /* or NULL */
    int64_t pack;         /* by the ingredient's unit; 0: none */
    int64_t service_pct;
    const char *place; /* or NULL */
    int64_t revision;  /* 0: nothing was entered */
};

/* What was entered; without an entry all is unset. */
bool supply_get(struct tx *tx, const char *ingredient, struct supply *supply);
bool supply_put(struct tx *tx, struct supply *supply);
bool supply_delete(struct tx *tx, const char *ingredient);
/* What is in force on a day: what was entered, else supplier and pack of the pack price in force,
 * SERVICE_PCT_DEFAULT, PLACE_DEFAULT. */
bool supply_in_force(struct tx *tx, const char *ingredient, date day, struct supply *supply);

/* The same per ingredient of the catalogue. NULL with a fault on the list. */
struct supply *supplies_load(struct tx *tx, const struct catalogue *catalogue, date day);

#endif
