/* The catalogue that a worker keeps in memory from one request to the next, worked out.
 *
 * It is never stale: each transaction first asks the database for the catalogue's number in its own
 * snapshot, and loads anew when that is another. Several servers on one database are so always of
 * one mind, and nobody has to tell anybody of a change.
 */
#ifndef MORROWLOAF_STORE_KEPT_H
#define MORROWLOAF_STORE_KEPT_H

#include "bakery/breakdown.h"

struct arena;
struct tx;

struct kept {
    struct arena *arena; /* of all that follows; NULL: nothing is kept */
    int64_t bakery_id;
    int64_t revision;
    struct catalogue catalogue; /* resolved, without prices */
    struct breakdowns breakdowns;
};

/* The catalogue as this transaction sees it. Valid until the worker's next request; to be read
 * only. What is stored was checked before: if it does not hold together, that is FAIL_INTERNAL. */
bool kept_catalogue(struct tx *tx, const struct kept **kept);

/* Frees what is kept. */
void kept_forget(struct kept *kept);

#endif
