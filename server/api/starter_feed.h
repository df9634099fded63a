/* What a feed takes from the stock. */
#ifndef MORROWLOAF_API_STARTER_FEED_H
#define MORROWLOAF_API_STARTER_FEED_H

#include "api/starter_pot.h"
#include "json/reader.h"

/* The lots that were chosen for a feed. */
struct feed_lots {
    struct feed_lot {
        const char *ingredient;
        int64_t lot;
        const char *pointer; /* of the lot */
        const char *ingredient_pointer;
    } * items;
    size_t count;
};

/* Reads "lots". */
void feed_lots_read(struct json_object *body, struct feed_lots *lots);

/* Takes the flours of a feed (by the blend, as far as stock is kept of them) from the stock; the
 * log of the starter is held. Too little is a fault at "/flour_g" or at the lot. */
bool starter_feed_take(struct request *request, const struct starter_pot *pot,
                       const struct pot_entry *entry, const struct feed_lots *lots);
/* Gives back what an entry took, when it was a feed that took anything. */
bool starter_feed_give_back(struct request *request, const char *starter, int64_t entry);

#endif
