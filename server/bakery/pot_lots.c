/* Following a starter's log to see which lots are in the pot.
 *
 * How much is in the pot is the sum of what entries that count add, not what stands in the log: an
 * entry that was reversed later stands in the weights between. When entries contradict each other
 * because of that, what is taken is at most all there is, and a pot with nothing in it holds no
 * lots.
 */
#include "bakery/pot_lots.h"

#include "bakery/amount.h"
#include "base/decimal.h"

enum {
    UNKNOWN_LOT = 0, /* came in without a lot */
    OLDER_LOT = -1   /* was in before the stretch */
};

/* More of it than there can have been: what is weighed may have lost any amount of water. When
 * nothing of so much is left, nothing is left of anything that was in. */
#define OLDER_GRAMS fixed_from(INT64_MAX, WEIGHT_PLACES)

/* Where the walk through a stretch stands. */
struct walk {
    const struct pot_stretch *stretch;
    size_t next;         /* entry */
    size_t feed;         /* the first of the feeds of it, or after it */
    int64_t on_hand_mg;  /* before it */
    int64_t out_mg;      /* that it takes out of before_mg */
    int64_t before_mg;   /* the same as it was */
    bool empties;        /* it takes all, or leaves nothing */
    int64_t unlotted_mg; /* that it brings in without a lot */
};

static bool counts(const struct pot_entry *entry)
{
    return entry->kind != POT_REVERSED && entry->reversed_by == 0;
}

/* What an entry takes out of the pot. */
static int64_t taken_out(const struct pot_entry *entry)
{
    switch (entry->kind) {
    case POT_FED:
        return pot_discard_mg(entry);
    case POT_TAKEN:
    case POT_DISCARDED:
        return -entry->delta_mg;
    default:
        return 0;
    }
}

/* What it brings in that may have a lot, before the lots are taken off. */
static int64_t brought_in(const struct pot_entry *entry, int64_t before_mg)
{
    if (entry->kind == POT_FED) return entry->flour_mg;
    if (entry->kind == POT_BEGUN) return entry->delta_mg;
    return entry->kind == POT_WEIGHED && before_mg <= 0 ? entry->delta_mg : 0;
}

static int64_t lots_of_feed(struct walk *walk, int64_t entry)
{
    const struct pot_stretch *stretch = walk->stretch;
    int64_t mg = 0;
    while (walk->feed < stretch->feed_count && stretch->feeds[walk->feed].entry < entry)
        walk->feed++;
    for (size_t i = walk->feed; i < stretch->feed_count && stretch->feeds[i].entry == entry; i++)
        mg += stretch->feeds[i].mg;
    return mg;
}

/* The next entry that counts; NULL after the last. */
static const struct pot_entry *walk_on(struct walk *walk)
{
    const struct pot_stretch *stretch = walk->stretch;
    while (walk->next < stretch->count && !counts(&stretch->entries[walk->next]))
        walk->next++;
    if (walk->next == stretch->count) return NULL;
    const struct pot_entry *entry = &stretch->entries[walk->next++];
    walk->before_mg = walk->on_hand_mg;
    walk->on_hand_mg += entry->delta_mg;
    walk->out_mg = taken_out(entry);
    walk->empties = walk->out_mg >= walk->before_mg ||
                    (entry->kind != POT_FED && walk->on_hand_mg <= 0);
    walk->unlotted_mg = brought_in(entry, walk->before_mg) - lots_of_feed(walk, entry->number);
    return entry;
}

/* What an entry takes of a lot; the lot keeps the rest. */
static bool leave(const struct reckoning *reckoning, const struct walk *walk, fixed *grams,
                  fixed *left)
{
    *left = walk->empties ? *grams : 0;
    if (!walk->empties && walk->out_mg > 0 &&
        !fixed_muldiv(*grams, walk->out_mg, walk->before_mg, ROUND_UP, left))
        return amount_too_large(reckoning);
    *grams -= *left;
    return true;
}

/* --- one lot --- */

static fixed fed_with(const struct walk *walk, int64_t entry, int64_t lot)
{
    const struct pot_stretch *stretch = walk->stretch;
    fixed grams = 0;
    for (size_t i = walk->feed; i < stretch->feed_count && stretch->feeds[i].entry == entry; i++)
        if (stretch->feeds[i].lot == lot) grams += fixed_from(stretch->feeds[i].mg, WEIGHT_PLACES);
    return grams;
}

bool pot_lot_goes(const struct reckoning *reckoning, const struct pot_stretch *stretch, int64_t lot,
                  struct pot_carried **carried, size_t *carried_count, fixed *still_in)
{
    struct walk walk = {.stretch = stretch, .on_hand_mg = stretch->before_mg};
    const struct pot_entry *entry;
    fixed left;
    *carried = amount_memory(reckoning, stretch->count, sizeof **carried);
    *carried_count = 0;
    *still_in = 0;
    while (*carried != NULL && (entry = walk_on(&walk)) != NULL) {
        if (!leave(reckoning, &walk, still_in, &left)) return false;
        if (left > 0)
            (*carried)[(*carried_count)++] = (struct pot_carried){entry->number, entry->kind, left};
        *still_in += fed_with(&walk, entry->number, lot);
    }
    return *carried != NULL;
}

/* --- all lots --- */

/* What is in the pot: lots of which anything is left, in the order of their coming. */
struct contents {
    struct pot_lot *lots;
    size_t count;
};

static void put_in(struct contents *in, int64_t lot, fixed grams)
{
    size_t i = 0;
    if (grams <= 0) return;
    while (i < in->count && in->lots[i].lot != lot)
        i++;
    if (i == in->count) in->lots[in->count++] = (struct pot_lot){.lot = lot};
    in->lots[i].grams += grams;
}

static void put_feed_in(struct contents *in, const struct walk *walk, int64_t entry)
{
    const struct pot_stretch *stretch = walk->stretch;
    put_in(in, UNKNOWN_LOT, fixed_from(walk->unlotted_mg, WEIGHT_PLACES));
    for (size_t i = walk->feed; i < stretch->feed_count && stretch->feeds[i].entry == entry; i++)
        put_in(in, stretch->feeds[i].lot, fixed_from(stretch->feeds[i].mg, WEIGHT_PLACES));
}

/* Takes what an entry takes out of everything; out: what it took of each, or NULL. */
static bool take_out(const struct reckoning *reckoning, const struct walk *walk,
                     struct contents *in, struct contents *out)
{
    size_t kept = 0;
    for (size_t i = 0; i < in->count; i++) {
        struct pot_lot lot = in->lots[i];
        fixed left;
        if (!leave(reckoning, walk, &lot.grams, &left)) return false;
        if (out != NULL) put_in(out, lot.lot, left);
        if (lot.grams > 0) in->lots[kept++] = lot;
    }
    in->count = kept;
    return true;
}

/* Sorts what was taken into lots, what no lot is known of, and what is older than the stretch. */
static void tell(struct pot_taken *taken, const struct contents *out, bool *whole)
{
    for (size_t i = 0; i < out->count; i++) {
        if (out->lots[i].lot == OLDER_LOT)
            *whole = false;
        else if (out->lots[i].lot == UNKNOWN_LOT)
            taken->unknown = out->lots[i].grams;
        else
            taken->lots[taken->lot_count++] = out->lots[i];
    }
}

static bool take_wanted(const struct reckoning *reckoning, const struct walk *walk,
                        struct contents *in, struct pot_taken *taken, bool *whole)
{
    struct contents out = {.lots = amount_memory(reckoning, in->count, sizeof *out.lots)};
    if (!out.lots || !take_out(reckoning, walk, in, &out)) return false;
    taken->mg = walk->out_mg;
    taken->lots = amount_memory(reckoning, out.count, sizeof *taken->lots);
    if (!taken->lots) return false;
    tell(taken, &out, whole);
    return true;
}

bool pot_lots_taken(const struct reckoning *reckoning, const struct pot_stretch *stretch,
                    const int64_t *entries, size_t entry_count, struct pot_taken *taken,
                    bool *whole)
{
    struct walk walk = {.stretch = stretch, .on_hand_mg = stretch->before_mg};
    struct contents in = {
        .lots = amount_memory(reckoning, stretch->feed_count + 2, sizeof *in.lots)};
    const struct pot_entry *entry;
    size_t wanted = 0;
    if (!in.lots) return false;
    *whole = true;
    if (stretch->count > 0 && stretch->entries[0].number > 1) put_in(&in, OLDER_LOT, OLDER_GRAMS);
    for (size_t i = 0; i < entry_count; i++)
        taken[i] = (struct pot_taken){.entry = entries[i]};
    while (wanted < entry_count && (entry = walk_on(&walk)) != NULL) {
        while (wanted < entry_count && entries[wanted] < entry->number)
            wanted++;
        bool is_wanted = wanted < entry_count && entries[wanted] == entry->number;
        if (is_wanted ? !take_wanted(reckoning, &walk, &in, &taken[wanted], whole)
                      : !take_out(reckoning, &walk, &in, NULL))
            return false;
        put_feed_in(&in, &walk, entry->number);
    }
    return true;
}
