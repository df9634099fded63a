/* What the bakery works with: its mixers, ovens and shifts. Part of the settings (store/bakery.h).
 */
#ifndef MORROWLOAF_STORE_EQUIPMENT_H
#define MORROWLOAF_STORE_EQUIPMENT_H

#include "bakery/model.h"

struct tx;

/* Fills mixers, ovens and shifts of the bakery, in their order. */
bool equipment_get(struct tx *tx, struct bakery *bakery);
/* Replaces them. A mixer that a formula names and is no longer in the list is a fault. */
bool equipment_put(struct tx *tx, const struct bakery *bakery);

#endif
