/* Which lots are in a starter's pot: every lot that fed it since it was last empty, with shares.
 *
 * The log is followed entry by entry; entries that were reversed, and reversals, are passed over.
 * What an entry takes out or throws away carries its part of everything that is in; a feed throws
 * away what is no seed, then adds its own lots. What was weighed to less evaporated and takes no
 * flour along, unless nothing was left. Grams are fixed point (base/fixed.h). What stays of a lot
 * is rounded down, what leaves is all the rest: what was fed = carried + discarded + still in,
 * exactly, and no lot changes what another comes to.
 */
#ifndef MORROWLOAF_BAKERY_POT_LOTS_H
#define MORROWLOAF_BAKERY_POT_LOTS_H

#include "bakery/pot.h"
#include "base/fixed.h"

/* Flour of a lot that a feed put in. */
struct pot_feed_lot {
    int64_t entry; /* of the log */
    int64_t lot;   /* > 0 */
    int64_t mg;
};

/* A part of a log. Of an entry only number, kind, weights, reverses and reversed_by are looked at.
 */
struct pot_stretch {
    const struct pot_entry *entries; /* the oldest first, none left out between */
    size_t count;
    int64_t before_mg; /* in the pot before the first of them, by entries that were not reversed */
    const struct pot_feed_lot *feeds; /* by entry */
    size_t feed_count;
};

struct pot_lot {
    int64_t lot;
    fixed grams; /* > 0 */
};

/* What an entry took. */
struct pot_taken {
    int64_t entry;
    int64_t mg;           /* all of it, flour and water */
    struct pot_lot *lots; /* in the order in which they were first fed */
    size_t lot_count;
    fixed unknown; /* grams that no lot is known of: begun with, or flour of which no stock was kept
                    */
};

/* What each of these entries, ascending, took of every lot. Entries that took nothing, or were
 * reversed, have no lots. *whole: nothing that was in the pot before the stretch is in any of them;
 * else the stretch has to begin earlier. */
bool pot_lots_taken(const struct reckoning *reckoning, const struct pot_stretch *stretch,
                    const int64_t *entries, size_t entry_count, struct pot_taken *taken,
                    bool *whole);

/* What one entry took or threw away of one lot. */
struct pot_carried {
    int64_t entry;
    enum pot_kind kind; /* POT_TAKEN; POT_DISCARDED, POT_FED or POT_WEIGHED: was thrown away */
    fixed grams;
};

/* Where one lot went: every entry that carried any of it, and what is still in the pot after the
 * stretch. Feeds of other lots are passed over. */
bool pot_lot_goes(const struct reckoning *reckoning, const struct pot_stretch *stretch, int64_t lot,
                  struct pot_carried **carried, size_t *carried_count, fixed *still_in);

#endif
