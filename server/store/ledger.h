/* Loading what the reckoning of the stock's worth needs: lots, and the movements that were of them.
 */
#ifndef MORROWLOAF_STORE_LEDGER_H
#define MORROWLOAF_STORE_LEDGER_H

#include "bakery/ledger.h"

struct tx;

/* The histories up to the end of a day, one per ingredient of the catalogue; those that had no
 * movement by then are empty. ingredient: only of that one; NULL: of all. NULL with a fault on the
 * list. */
struct ledger *ledgers_load(struct tx *tx, const struct catalogue *catalogue,
                            const char *ingredient, date until);

#endif
