/* The pot of a starter: what each entry of its log does to it, and in what state it is after them.
 *
 * Invariants: entries are numbered from 1 without gaps and their times never go back; on_hand after
 * an entry is on_hand before it plus its delta, never below zero; an entry is reversed once at
 * most, by a later one of delta = -delta, and counts no more for the state.
 */
#ifndef MORROWLOAF_BAKERY_POT_H
#define MORROWLOAF_BAKERY_POT_H

#include "bakery/production.h"
#include "bakery/ripening.h"

enum pot_kind {
    POT_BEGUN,     /* g came in: raised, or given by another baker */
    POT_FED,       /* seed stays, the rest is thrown away, flour and water come in */
    POT_TAKEN,     /* g went into a mix */
    POT_DISCARDED, /* g was thrown away */
    POT_WEIGHED,   /* there are g: what evaporated or stuck to the spoon is made up for */
    POT_CHILLED,   /* put to sleep in the cold */
    POT_WOKEN,     /* brought back to work */
    POT_RIPE,      /* was seen to be ripe */
    POT_REVERSED   /* undoes another entry */
};

extern const char *const pot_kinds[]; /* their words on the wire, ends with NULL */

struct pot_entry {
    int64_t number;
    enum pot_kind kind;
    instant at;
    instant entered_at;
    const char *entered_by;
    int64_t delta_mg;
    int64_t on_hand_mg;                  /* after it */
    int64_t seed_mg, flour_mg, water_mg; /* of a feed */
    bool has_c;
    int64_t c;           /* at which it stands from then on; of feeds, and of chilling */
    int64_t reverses;    /* number; 0: none */
    int64_t reversed_by; /* number; 0: not */
    const char *note;    /* or NULL */
    int64_t movement;    /* of the stock, of a feed; 0: none */
    const char *formula; /* of the batch that a taking belongs to, or NULL */
    date mixing_date;
    int64_t batch;
};

/* What a feed threw away: what was there before it and is no seed. */
static inline int64_t pot_discard_mg(const struct pot_entry *feed)
{
    return feed->flour_mg + feed->water_mg - feed->delta_mg;
}

/* What a new entry says, before its effect is known. */
struct pot_request {
    enum pot_kind kind;
    instant at;
    int64_t mg;    /* of begun, taken, discarded, weighed */
    bool has_seed; /* of a feed; without: all that is there */
    int64_t seed_mg, flour_mg, water_mg;
    bool has_c;
    int64_t c;
    int64_t reverses;
    const char *note;
};

struct pot_state {
    int64_t entries; /* number of the last entry; 0: none */
    instant last_at;
    int64_t on_hand_mg;
    bool asleep; /* in the cold */
    instant asleep_since;
    bool woken;          /* it has been in the cold and was brought back: at awake_since */
    instant awake_since; /* when it was last woken or begun; set when awake */
    int64_t feeds_awake; /* since it was last woken (or begun) */
    bool fed;            /* there is a feed that counts */
    struct pot_entry feed;
    bool seen_ripe; /* since that feed */
    instant seen_ripe_at;
    struct ripening_logged *logged; /* feeds that were seen to ripen, newest first */
    size_t logged_count;
};

/* The state after entries, oldest first. The list may begin anywhere as long as it reaches back
 * before the last feed, chilling and waking that count. Logged are feeds at work that were seen to
 * ripen and stood at one known temperature until then. False when memory is short. */
bool pot_state_of(const struct reckoning *reckoning, const struct pot_entry *entries, size_t count,
                  struct pot_state *out);

/* Works out what a request does to the pot: fills *out but for who and when it is entered. A feed
 * at work that says no temperature stands where the starter usually stands. Faults: "/at" before
 * the last entry or more than five minutes after now; "/g", "/seed_g" more than there is, or not
 * more than nothing (weighed may be nothing), "/flour_g", "/water_g" likewise; "/reverses" no such
 * entry, reversed already, or a reversal; "/kind" chilling what is asleep, waking what is awake,
 * anything but begun on an empty log, ripe without a feed; a feed of a water share that is off the
 * hydration by more than one percentage point, and by more than one division of the scale, at
 * "/water_g", which would make it another starter. reversed: the entry that is to be reversed, or
 * NULL. A reversal that would leave less than nothing is a fault at "/reverses". */
bool pot_entry_of(const struct reckoning *reckoning, const struct starter *starter,
                  const struct pot_state *state, const struct pot_request *request,
                  const struct pot_entry *reversed, instant now, struct pot_entry *out);

/* When it is ripe and when it must be fed. What was fed before it was last woken is not ripe,
 * however long it stood; feeds to wake are due after the cold alone. */
struct pot_outlook {
    bool ripens;       /* at work, fed there, and warm enough */
    instant ripe_from; /* seen, or estimated */
    instant ripe_until;
    bool has_feed_by;
    instant feed_by;
    int64_t feeds_to_wake;             /* feeds still due before anything may be taken */
    struct ripening_estimate estimate; /* of the last feed */
};

void pot_outlook_of(const struct starter *starter, const struct pot_state *state,
                    struct pot_outlook *out);

#endif
