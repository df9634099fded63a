/* Which lots are in a starter's pot: every lot that fed it since it was last empty, with shares.
 *
 * Entries that were reversed, and reversals, are passed over. A feed leaves seed / on hand of
 * everything that was in, and adds its own lots; a taking or discard carries its part of
 * everything; what was weighed to less evaporated and takes no flour along, unless nothing was
 * left. Grams are fixed point (base/fixed.h): what is fed = carried + discarded + still in, to a
 * millionth of a milligram.
 */
#ifndef MORROWLOAF_BAKERY_POT_LOTS_H
#define MORROWLOAF_BAKERY_POT_LOTS_H

#include "bakery/pot.h"
#include "base/fixed.h"

/* Flour of a lot that a feed put in. */
struct pot_feed_lot {
    int64_t entry; /* of the log */
    int64_t lot;
    int64_t mg;
};

struct pot_lot {
    int64_t lot;
    fixed grams;
};

/* What one entry took or threw away of one lot. */
struct pot_carried {
    int64_t entry;
    enum pot_kind kind; /* POT_TAKEN, POT_DISCARDED, or POT_FED for what a feed threw away */
    fixed grams;
};

/* Everything in the pot just before an entry (0: now), by lot; and what that entry took of each.
 * entries oldest first from the beginning of the log, feeds by entry. */
bool pot_lots_at(const struct reckoning *reckoning, const struct pot_entry *entries, size_t count,
                 const struct pot_feed_lot *feeds, size_t feed_count, int64_t entry,
                 struct pot_lot **in_pot, struct pot_lot **carried, size_t *lot_count);

/* Where one lot went: every entry that carried any of it, and what is still in the pot. */
bool pot_lot_goes(const struct reckoning *reckoning, const struct pot_entry *entries, size_t count,
                  const struct pot_feed_lot *feeds, size_t feed_count, int64_t lot,
                  struct pot_carried **carried, size_t *carried_count, fixed *still_in);

#endif
