/* The bakery's settings, and its whole catalogue. */
#ifndef MORROWLOAF_STORE_BAKERY_H
#define MORROWLOAF_STORE_BAKERY_H

#include "bakery/model.h"

struct tx;

extern const char *const cost_bys[]; /* words of enum cost_by; ends with NULL */

/* The settings with the mixers; name is NULL until they are entered. */
bool bakery_get(struct tx *tx, struct bakery *bakery);
/* Only the name of the time zone; NULL until the settings are entered. */
bool bakery_time_zone(struct tx *tx, const char **name);
/* Replaces the settings and the list of mixers; sets the new revision. A mixer that a formula names
 * and is no longer in the list is a fault: ask reference_users() first. */
bool bakery_put(struct tx *tx, struct bakery *bakery);

/* Whoever changes the catalogue (anything but orders) holds this until the end of the transaction,
 * so that what was checked is still so when it is stored. Readers and orders do not wait for it. */
bool bakery_lock(struct tx *tx);

/* Everything but orders and prices, as of one moment: settings, ingredients, starters, formulas and
 * products, each list by code. Codes are not resolved yet. It is the transaction's own, to be
 * changed at will; who only reads takes the one that is kept (store/kept.h). */
bool catalogue_load(struct tx *tx, struct catalogue *catalogue);

/* The number that changes with every change of any of these. */
bool catalogue_revision(struct tx *tx, int64_t *revision);

#endif
