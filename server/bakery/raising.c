/* The programme: when each step is, what goes in and out, and what to look for.
 *
 * Time is counted in half days of the wall clock. Where a starter grows fastest the mix stands for
 * two days with a stir between, is fed after two days and after three, then three more times every
 * half day, and is ready half a day after the last feed; where it is cooler the spaces between grow
 * as growth slows, and it is stirred once a day while nothing else is done.
 *
 * Weights are worked out backwards: every feed gives what the next one keeps, and the last gives
 * what is wanted. Invariants: after = before - discard + flour + water + sweetener at every step,
 * before = after of the step before; water is flour x hydration, rounded half to even.
 */
#include "bakery/raising.h"

#include "bakery/amount.h"
#include "bakery/growth.h"
#include "base/fail.h"

enum {
    HALF_DAYS_MOST = 2 * 28, /* a mix that takes longer goes bad first */
    HALF_DAY_MINUTES = MINUTES_PER_DAY / 2,
    SECONDS_PER_MINUTE = 60,
    FEEDS = 5,
    MIXED = 0,  /* number of the first mix among the feeds */
    DOUBLED = 2 /* a young starter is given at most twice its weight of flour */
};

const char *const raising_cautions[] = {
    "Wash your hands, the jar and the spoon before every step, and cover the jar with something "
    "clean that lets gas out.",
    "Throw everything away at any mould and at any pink, orange or red streak or drop, also when "
    "only a little of it shows. Clean the jar and begin again.",
    "Do not taste it raw, and wash your hands after touching it: raw flour can carry germs that "
    "only baking kills.",
    "Bake with it only when it has risen and fallen reliably three feeds in a row and smells "
    "pleasantly sour.",
    "The food-safety rules of your place come before this page: ask there when in doubt.",
    NULL};

const char *const raising_caution_sweetener =
    "Take sugar, malt or fruit rather than honey. Honey is never for infants under 12 months, not "
    "in bread either: if there was honey in the starter, mark every bread that is made with it. "
    "The food-safety rules of your place come before this page.";

/* --- what to look for --- */

static const char *const looks_of_feeds[FEEDS + 1] = {
    "A thick, even paste without dry flour that smells of flour and nothing else. Mark its height "
    "on the jar.",
    "It may have risen and fallen back, or have done nothing at all, and it may still smell of "
    "cheese or old socks. Both are normal. Feed it all the same.",
    "Often quiet now, with few bubbles, as if it had died. It has not: it is turning sour, and the "
    "unpleasant smell gives way to a sharp one. Keep feeding.",
    "Bubbles all through, and a rise by about half. It begins to smell sour and fruity.",
    "It rises to about double and begins to fall back before the next feed. The smell is clean and "
    "sour, like yoghurt or apples.",
    "It doubles well before the next feed, domed on top and full of bubbles at the side. Mark the "
    "height again after this feed: it is the last."};
static const char *const look_at_first =
    "A few small bubbles, or already a lively rise: that is a false start by other germs, not yet "
    "your starter. An unpleasant smell is normal now, and so is liquid on top: stir it in.";
static const char *const look_at_rest =
    "It works slowly where it is cool: some bubbles, a sharp smell, perhaps liquid on top. Stir it "
    "and let it go on.";
static const char *const look_when_ready =
    "It has risen to its mark as after the feeds before, is just beginning to sink in the middle, "
    "and smells pleasantly sour. If it does not rise between its marks three feeds in a row, go on "
    "feeding in the same way until it does.";

/* --- when --- */

/* In half days from the first mix: [MIXED], the feeds, and last when it is ready. False when it
 * would take too long. */
static bool half_days(int64_t c, int64_t at[FEEDS + 2])
{
    int64_t whole = growth_time(2 * FEEDS, c);
    if (whole == GROWTH_NEVER || whole > HALF_DAYS_MOST) return false;
    at[MIXED] = 0;
    at[1] = 2 * growth_time(2, c);
    at[2] = 2 * growth_time(3, c);
    for (int n = 3; n < FEEDS + 2; n++)
        at[n] = at[2] + growth_time(n - 2, c);
    return true;
}

/* The instant so many half days after the programme began, by the clock on the wall. */
static instant after_half_days(const struct reckoning *reckoning, instant begins, int64_t count,
                               int *day)
{
    date first;
    int minutes;
    if (count == 0) {
        *day = 1;
        return begins;
    }
    zone_wall(reckoning->zone, begins, &first, &minutes);
    int64_t elapsed = minutes + count * HALF_DAY_MINUTES;
    date days = (date)(elapsed / MINUTES_PER_DAY);
    int64_t seconds = begins % SECONDS_PER_MINUTE;
    *day = days + 1;
    return zone_instant(reckoning->zone, first + days, (int)(elapsed % MINUTES_PER_DAY)) +
           (seconds < 0 ? seconds + SECONDS_PER_MINUTE : seconds);
}

/* --- how much --- */

/* What goes in. */
struct portion {
    int64_t flour, water;
};

static bool water_of(const struct reckoning *reckoning, int64_t flour, int64_t hydration,
                     int64_t *water)
{
    fixed out;
    if (!amount_scaled(reckoning, flour, hydration, PERCENT_WHOLE, &out)) return false;
    if (out > INT64_MAX) return amount_too_large(reckoning);
    *water = (int64_t)out;
    return true;
}

/* The least flour that with its water weighs total or more; or the most that weighs no more. */
static bool portion_of(const struct reckoning *reckoning, int64_t total, int64_t hydration,
                       bool at_most, struct portion *out)
{
    fixed flour;
    *out = (struct portion){0};
    if (!amount_scaled(reckoning, total, PERCENT_WHOLE, (fixed)PERCENT_WHOLE + hydration, &flour))
        return false;
    for (out->flour = flour > 1 ? (int64_t)flour - 2 : 0;; out->flour++) {
        if (!water_of(reckoning, out->flour, hydration, &out->water)) return false;
        if ((fixed)out->flour + out->water >= total) break;
    }
    if (!at_most || (fixed)out->flour + out->water == total) return true;
    out->flour--;
    return water_of(reckoning, out->flour, hydration, &out->water);
}

/* What is kept for each feed, and what goes in: keeps[n] and portions[n] of the n-th feed. */
struct feeds {
    int64_t keeps[FEEDS + 1];
    struct portion portions[FEEDS + 1];
};

/* The weight after an equal feed: what is kept, as much flour, and its water. */
static bool equal_feed(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                       int64_t *after)
{
    int64_t water = 0;
    *after = wanted->keep_mg;
    return water_of(reckoning, wanted->keep_mg, wanted->hydration_pct, &water) &&
           amount_add_whole(reckoning, after, wanted->keep_mg) &&
           amount_add_whole(reckoning, after, water);
}

/* What to keep for a feed that makes target: the usual, or more when that cannot grow to it in one
 * feed; in its share of less than an equal feed. */
static bool seed_for(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                     int64_t equal, int64_t target, int64_t *seed)
{
    fixed needed;
    *seed = wanted->keep_mg;
    if (target < equal) {
        if (!amount_scaled(reckoning, target, wanted->keep_mg, equal, &needed)) return false;
        *seed = needed > 0 ? (int64_t)needed : 1;
        return true;
    }
    fixed most = (fixed)(1 + DOUBLED) * PERCENT_WHOLE + (fixed)DOUBLED * wanted->hydration_pct;
    if (!fixed_muldiv(target, PERCENT_WHOLE, most, ROUND_UP, &needed))
        return amount_too_large(reckoning);
    if (needed > *seed) *seed = (int64_t)needed;
    return true;
}

/* One feed that makes target. When more or less than usual is kept, by so much that target is met
 * to the milligram. */
static bool weigh_feed(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                       int64_t equal, int64_t target, int64_t *keep, struct portion *portion)
{
    if (!seed_for(reckoning, wanted, equal, target, keep)) return false;
    bool usual = *keep == wanted->keep_mg;
    if (!portion_of(reckoning, target - *keep, wanted->hydration_pct, !usual, portion))
        return false;
    if (!usual) *keep = target - portion->flour - portion->water;
    return true;
}

/* From the last feed to the first mix, which is as much as goes into an equal feed or what the
 * first feed keeps. */
static bool weigh_feeds(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                        struct feeds *out)
{
    int64_t equal, target = wanted->ready_mg;
    if (!equal_feed(reckoning, wanted, &equal)) return false;
    for (int n = FEEDS; n > MIXED; n--) {
        if (!weigh_feed(reckoning, wanted, equal, target, &out->keeps[n], &out->portions[n]))
            return false;
        target = out->keeps[n] > equal ? out->keeps[n] : equal;
    }
    target = equal - wanted->keep_mg;
    if (out->keeps[1] > target) target = out->keeps[1];
    out->keeps[MIXED] = 0;
    return portion_of(reckoning, target, wanted->hydration_pct, false, &out->portions[MIXED]);
}

/* --- the steps --- */

/* A programme while it is written. */
struct raiser {
    const struct reckoning *reckoning;
    const struct raising_wanted *wanted;
    struct raising *out;
    int64_t before; /* what is in the jar */
};

static struct raising_step *next_step(struct raiser *raiser, enum raising_kind kind,
                                      int64_t half_day, const char *look)
{
    struct raising_step *step = &raiser->out->steps[raiser->out->step_count++];
    *step = (struct raising_step){.kind = kind,
                                  .before_mg = raiser->before,
                                  .keep_mg = raiser->before,
                                  .after_mg = raiser->before,
                                  .look = look};
    step->at = after_half_days(raiser->reckoning, raiser->wanted->begins, half_day, &step->day);
    return step;
}

/* The first mix or a feed: throws away all but keep and puts flour and water in. */
static bool write_feed(struct raiser *raiser, int64_t half_day, int n, const struct feeds *feeds)
{
    const struct reckoning *reckoning = raiser->reckoning;
    struct raising *out = raiser->out;
    struct raising_step *step = next_step(raiser, n == MIXED ? RAISE_MIX : RAISE_FEED, half_day,
                                          looks_of_feeds[n]);
    step->keep_mg = step->after_mg = feeds->keeps[n];
    step->discard_mg = step->before_mg - step->keep_mg;
    step->flour_mg = feeds->portions[n].flour;
    step->water_mg = feeds->portions[n].water;
    step->sweetener_mg = n == MIXED ? raiser->wanted->sweetener_mg : 0;
    if (!amount_add_whole(reckoning, &step->after_mg, step->flour_mg) ||
        !amount_add_whole(reckoning, &step->after_mg, step->water_mg) ||
        !amount_add_whole(reckoning, &step->after_mg, step->sweetener_mg))
        return false;
    raiser->before = step->after_mg;
    return amount_add_whole(reckoning, &out->flour_mg, step->flour_mg) &&
           amount_add_whole(reckoning, &out->water_mg, step->water_mg) &&
           amount_add_whole(reckoning, &out->discard_mg, step->discard_mg);
}

static bool write_steps(struct raiser *raiser, const int64_t at[FEEDS + 2],
                        const struct feeds *feeds)
{
    for (int n = MIXED; n <= FEEDS; n++) {
        if (!write_feed(raiser, at[n], n, feeds)) return false;
        if (n == FEEDS) break; /* until it is ready it is only looked at */
        for (int64_t half_day = at[n] + 2; half_day < at[n + 1]; half_day += 2)
            next_step(raiser, RAISE_STIR, half_day, n == MIXED ? look_at_first : look_at_rest);
    }
    raiser->out->ready = next_step(raiser, RAISE_READY, at[FEEDS + 1], look_when_ready)->at;
    return true;
}

/* Weights that a programme can begin with, and a calendar that it can end in. */
static bool check(const struct reckoning *reckoning, const struct raising_wanted *wanted)
{
    date day;
    int minutes;
    if (wanted->keep_mg <= 0 || wanted->ready_mg <= 0 || wanted->sweetener_mg < 0 ||
        wanted->hydration_pct < 0)
        return fail_add(reckoning->fails, FAIL_INVALID, "",
                        "what is kept and what is to be ready must weigh more than nothing");
    zone_wall(reckoning->zone, wanted->begins, &day, &minutes);
    if (day < DATE_FIRST || day > DATE_LAST - HALF_DAYS_MOST)
        return fail_add(reckoning->fails, FAIL_INVALID, "", "that is out of the calendar");
    return true;
}

bool raising_of(const struct reckoning *reckoning, const struct raising_wanted *wanted,
                struct raising *out)
{
    int64_t at[FEEDS + 2];
    struct feeds feeds;
    struct raiser raiser = {reckoning, wanted, out, 0};
    *out = (struct raising){0};
    if (!check(reckoning, wanted)) return false;
    out->too_cold = !half_days(wanted->c, at);
    if (out->too_cold) return true;
    out->steps = amount_memory(reckoning, (size_t)at[FEEDS + 1] + 1, sizeof *out->steps);
    return out->steps && weigh_feeds(reckoning, wanted, &feeds) && write_steps(&raiser, at, &feeds);
}
