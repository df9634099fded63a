/* The pot of a starter: one entry of the log after the other.
 *
 * Weights come from the entries themselves, which carry what was on hand after them; what is folded
 * here is the state alone: what counts is every entry that is neither reversed nor a reversal. A
 * ripening that was seen belongs to the feed that stood when it was entered: when that feed is
 * reversed later, what was seen counts no more, and is not taken for the feed before it.
 */
#include "bakery/pot.h"

#include "bakery/amount.h"
#include "base/arena.h"
#include "base/fail.h"

#include <string.h>

enum { SECONDS_PER_MINUTE = 60, AHEAD_SECONDS = 5 * SECONDS_PER_MINUTE };

const char *const pot_kinds[] = {"begun",   "fed",   "taken", "discarded", "weighed",
                                 "chilled", "woken", "ripe",  "reversed",  NULL};

/* --- the state --- */

struct fold {
    struct pot_state *state;
    const struct pot_entry *standing; /* the last feed that stood when the present entry came */
    bool at_work;                     /* the feed that counts was given and has stood at work */
};

static bool counts(const struct pot_entry *entry)
{
    return entry->kind != POT_REVERSED && entry->reversed_by == 0;
}

static void fold_waking(struct fold *fold, const struct pot_entry *entry)
{
    fold->state->asleep = false;
    fold->state->woken = entry->kind == POT_WOKEN;
    fold->state->awake_since = entry->at;
    fold->state->feeds_awake = 0;
}

static void fold_feed(struct fold *fold, const struct pot_entry *entry)
{
    struct pot_state *state = fold->state;
    state->fed = true;
    state->feed = *entry;
    state->seen_ripe = false;
    fold->at_work = !state->asleep;
    if (!state->asleep) state->feeds_awake++;
}

/* The first time that a feed is seen to be ripe is when it ripened. */
static void fold_ripe(struct fold *fold, const struct pot_entry *entry)
{
    struct pot_state *state = fold->state;
    if (!state->fed || state->seen_ripe) return;
    if (!fold->standing || fold->standing->number != state->feed.number) return;
    state->seen_ripe = true;
    state->seen_ripe_at = entry->at;
    int64_t minutes = (entry->at - state->feed.at) / SECONDS_PER_MINUTE;
    if (!fold->at_work || !state->feed.has_c || minutes == 0) return;
    state->logged[state->logged_count++] = (struct ripening_logged){.seed = state->feed.seed_mg,
                                                                    .flour = state->feed.flour_mg,
                                                                    .water = state->feed.water_mg,
                                                                    .c = state->feed.c,
                                                                    .minutes = minutes};
}

static void fold_entry(struct fold *fold, const struct pot_entry *entry)
{
    switch (entry->kind) {
    case POT_BEGUN:
        fold->state->fed = false;
        fold_waking(fold, entry);
        break;
    case POT_FED:
        fold_feed(fold, entry);
        break;
    case POT_CHILLED:
        fold->state->asleep = true;
        fold->state->asleep_since = entry->at;
        fold->at_work = false;
        break;
    case POT_WOKEN:
        fold_waking(fold, entry);
        break;
    case POT_RIPE:
        fold_ripe(fold, entry);
        break;
    default:
        break; /* takings, discards and weighings change the weight alone */
    }
}

static size_t count_ripe(const struct pot_entry *entries, size_t count)
{
    size_t ripe = 0;
    for (size_t i = 0; i < count; i++)
        ripe += entries[i].kind == POT_RIPE;
    return ripe;
}

static void newest_first(struct ripening_logged *logged, size_t count)
{
    for (size_t i = 0; i < count / 2; i++) {
        struct ripening_logged other = logged[i];
        logged[i] = logged[count - 1 - i];
        logged[count - 1 - i] = other;
    }
}

/* The last feed before entries[i] that stood then: not reversed, or reversed only later. */
static const struct pot_entry *standing_feed(const struct pot_entry *entries, size_t i)
{
    for (size_t k = i; k-- > 0;)
        if (entries[k].kind == POT_FED &&
            (entries[k].reversed_by == 0 || entries[k].reversed_by > entries[i].number))
            return &entries[k];
    return NULL;
}

bool pot_state_of(const struct reckoning *reckoning, const struct pot_entry *entries, size_t count,
                  struct pot_state *out)
{
    struct fold fold = {.state = out};
    *out = (struct pot_state){.entries = 0};
    out->logged = amount_memory(reckoning, count_ripe(entries, count), sizeof *out->logged);
    if (!out->logged) return false;
    for (size_t i = 0; i < count; i++) {
        if (!counts(&entries[i])) continue;
        if (entries[i].kind == POT_RIPE) fold.standing = standing_feed(entries, i);
        fold_entry(&fold, &entries[i]);
    }
    newest_first(out->logged, out->logged_count);
    if (count > 0) {
        out->entries = entries[count - 1].number;
        out->last_at = entries[count - 1].at;
        out->on_hand_mg = entries[count - 1].on_hand_mg;
    }
    return true;
}

/* --- a new entry --- */

/* What is at hand when an entry is worked out. */
struct entering {
    struct fails *fails;
    const struct starter *starter;
    const struct pot_state *state;
    const struct pot_request *request;
    const struct pot_entry *reversed;
    struct pot_entry *out;
    int64_t division_mg; /* of the bakery's scale */
    bool faulty;
};

static void fault(struct entering *entering, const char *path, const char *text)
{
    entering->faulty = true;
    fail_add(entering->fails, FAIL_INVALID, path, "%s", text);
}

static void check_time(struct entering *entering, instant now)
{
    const struct pot_state *state = entering->state;
    if (state->entries > 0 && entering->request->at < state->last_at)
        fault(entering, "/at", "this is before the last entry of the log");
    if (entering->request->at > now + AHEAD_SECONDS)
        fault(entering, "/at", "this has not happened yet");
}

static void check_kind(struct entering *entering)
{
    const struct pot_state *state = entering->state;
    enum pot_kind kind = entering->request->kind;
    if (state->entries == 0 && kind != POT_BEGUN)
        fault(entering, "/kind", "the log is empty: the starter has to be begun first");
    else if (kind == POT_CHILLED && state->asleep)
        fault(entering, "/kind", "the starter is in the cold already");
    else if (kind == POT_WOKEN && !state->asleep)
        fault(entering, "/kind", "the starter is at work already");
    else if (kind == POT_RIPE && !state->fed)
        fault(entering, "/kind", "the starter has not been fed yet, so nothing can have ripened");
}

static bool weighs_something(struct entering *entering, const char *path, int64_t mg)
{
    if (mg > 0) return true;
    fault(entering, path, "this must be more than nothing");
    return false;
}

static void enter_weight(struct entering *entering)
{
    enum pot_kind kind = entering->request->kind;
    int64_t mg = entering->request->mg, on_hand = entering->state->on_hand_mg;
    if (kind == POT_WEIGHED) {
        if (mg < 0)
            fault(entering, "/g", "this must not be less than nothing");
        else
            entering->out->delta_mg = mg - on_hand;
        return;
    }
    if (!weighs_something(entering, "/g", mg)) return;
    if (kind == POT_BEGUN && mg > INT64_MAX - on_hand)
        fault(entering, "/g", "the amounts are too large to be worked out");
    else if (kind != POT_BEGUN && mg > on_hand)
        fault(entering, "/g", "this is more than there is");
    else
        entering->out->delta_mg = kind == POT_BEGUN ? mg : -mg;
}

/* Within one percentage point of the starter's hydration, or, of so little that the scale cannot
 * tell that, within one of its divisions. */
static void check_hydration(struct entering *entering)
{
    const struct pot_request *request = entering->request;
    __int128 flour = request->flour_mg, water = request->water_mg;
    __int128 off = water * PERCENT_WHOLE - flour * entering->starter->hydration_pct;
    __int128 division = (__int128)entering->division_mg * PERCENT_WHOLE;
    if (off <= division && -off <= division) return;
    if (off > flour * PERCENT_ONE)
        fault(entering, "/water_g", "with so much water this would be another starter");
    else if (-off > flour * PERCENT_ONE)
        fault(entering, "/water_g", "with so little water this would be another starter");
}

/* The seed: what the request says, else all that is there. */
static int64_t seed_of(struct entering *entering)
{
    int64_t on_hand = entering->state->on_hand_mg;
    int64_t seed = entering->request->has_seed ? entering->request->seed_mg : on_hand;
    if (seed > on_hand)
        fault(entering, "/seed_g", "this is more than there is");
    else if (!entering->request->has_seed && seed <= 0)
        fault(entering, "/seed_g", "there is nothing left that could be fed");
    else
        weighs_something(entering, "/seed_g", seed);
    return seed;
}

static void enter_feed(struct entering *entering)
{
    const struct pot_request *request = entering->request;
    struct pot_entry *out = entering->out;
    int64_t after;
    out->seed_mg = seed_of(entering);
    out->flour_mg = request->flour_mg;
    out->water_mg = request->water_mg;
    if (request->water_mg < 0) {
        fault(entering, "/water_g", "this must not be less than nothing");
    } else if (weighs_something(entering, "/flour_g", request->flour_mg)) {
        check_hydration(entering);
    }
    if (entering->faulty) return;
    if (__builtin_add_overflow(out->seed_mg, out->flour_mg, &after) ||
        __builtin_add_overflow(after, out->water_mg, &after))
        fault(entering, "/flour_g", "the amounts are too large to be worked out");
    else
        out->delta_mg = after - entering->state->on_hand_mg;
    if (!out->has_c && !entering->state->asleep) {
        out->has_c = true;
        out->c = entering->starter->stands_c;
    }
}

static void enter_reversal(struct entering *entering)
{
    const struct pot_entry *reversed = entering->reversed;
    if (!reversed || reversed->number != entering->request->reverses) {
        fault(entering, "/reverses", "the log has no such entry");
    } else if (reversed->kind == POT_REVERSED) {
        fault(entering, "/reverses", "this entry undoes another and cannot be undone itself");
    } else if (reversed->reversed_by != 0) {
        fault(entering, "/reverses", "this entry is undone already");
    } else if (reversed->delta_mg > entering->state->on_hand_mg) {
        fault(entering, "/reverses", "without this entry there would be less than nothing left");
    } else if (reversed->delta_mg < 0 &&
               entering->state->on_hand_mg > INT64_MAX + reversed->delta_mg) {
        fault(entering, "/reverses", "the amounts are too large to be worked out");
    } else {
        entering->out->reverses = reversed->number;
        entering->out->delta_mg = -reversed->delta_mg;
    }
}

static void enter(struct entering *entering)
{
    switch (entering->request->kind) {
    case POT_BEGUN:
    case POT_TAKEN:
    case POT_DISCARDED:
    case POT_WEIGHED:
        enter_weight(entering);
        break;
    case POT_FED:
        enter_feed(entering);
        break;
    case POT_REVERSED:
        enter_reversal(entering);
        break;
    default:
        break; /* the others weigh nothing */
    }
}

bool pot_entry_of(const struct reckoning *reckoning, const struct starter *starter,
                  const struct pot_state *state, const struct pot_request *request,
                  const struct pot_entry *reversed, instant now, struct pot_entry *out)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    struct entering entering = {.fails = reckoning->fails,
                                .division_mg = catalogue ? catalogue->bakery.scale_mg : 0,
                                .starter = starter,
                                .state = state,
                                .request = request,
                                .reversed = reversed,
                                .out = out};
    *out = (struct pot_entry){.number = state->entries + 1,
                              .kind = request->kind,
                              .at = request->at,
                              .has_c = request->has_c,
                              .c = request->has_c ? request->c : 0,
                              .note = request->note};
    check_time(&entering, now);
    check_kind(&entering);
    /* On an empty log whatever takes from it would be told a second time. */
    if (state->entries > 0 || request->kind == POT_BEGUN) enter(&entering);
    out->on_hand_mg = state->on_hand_mg + (entering.faulty ? 0 : out->delta_mg);
    return !entering.faulty;
}

/* --- the outlook --- */

static instant later_of(instant a, instant b)
{
    return a > b ? a : b;
}

/* Until when it must be fed, at work or in the cold. */
static instant hungry_at(const struct starter *starter, const struct pot_state *state,
                         const struct pot_outlook *outlook)
{
    const int64_t within = starter->feed_within_minutes * SECONDS_PER_MINUTE;
    const int64_t rest = starter->rest_feed_days * SECONDS_PER_DAY;
    if (state->asleep) return (state->fed ? state->feed.at : state->asleep_since) + rest;
    if (!state->fed || state->feeds_awake == 0) return state->awake_since + within;
    instant by = state->feed.at + within;
    return outlook->ripens ? later_of(by, outlook->ripe_until) : by;
}

static int64_t feeds_due(const struct starter *starter, const struct pot_state *state)
{
    if (state->asleep) return starter->wake_feeds;
    if (!state->woken || state->feeds_awake >= starter->wake_feeds) return 0;
    return starter->wake_feeds - state->feeds_awake;
}

void pot_outlook_of(const struct starter *starter, const struct pot_state *state,
                    struct pot_outlook *out)
{
    const struct pot_entry *feed = &state->feed;
    *out = (struct pot_outlook){.estimate = {.minutes = RIPENING_NEVER}};
    if (state->entries == 0) return;
    if (state->fed)
        out->estimate = ripening_of(starter, state->logged, state->logged_count, feed->seed_mg,
                                    feed->flour_mg, feed->water_mg,
                                    feed->has_c ? feed->c : starter->stands_c);
    bool grows = state->seen_ripe || out->estimate.minutes != RIPENING_NEVER;
    out->ripens = !state->asleep && state->fed && state->feeds_awake > 0 && grows;
    if (out->ripens) {
        out->ripe_from = state->seen_ripe ? state->seen_ripe_at
                                          : feed->at + out->estimate.minutes * SECONDS_PER_MINUTE;
        out->ripe_until = out->ripe_from + starter->stays_ripe_minutes * SECONDS_PER_MINUTE;
    }
    out->has_feed_by = state->on_hand_mg > 0;
    out->feed_by = hungry_at(starter, state, out);
    out->feeds_to_wake = feeds_due(starter, state);
}
