/* Ripening times: lines through what was seen, corrected by what was logged.
 *
 * Two words of this page. The multiplication of a feed is told by its logarithm. The work of a feed
 * is the minutes that it would take where a starter grows fastest: minutes x growth_starter().
 * Invariant: only rows that tell something (usable()) have a part in lines; a row of a temperature
 * at which nothing should grow is believed at that temperature and nowhere else.
 */
#include "bakery/ripening.h"

#include "bakery/growth.h"

#include <math.h>

enum { LOGGED_LAST = 5, LOGGED_ENOUGH = 3, HALF_DEGREE = 5000 };

static const double SAME = 1e-9;       /* two logarithms of one multiplication */
static const double TELLS_SLOPE = .05; /* apart enough */
static const double ALIKE = .01;       /* parts of two feeds that are called the same */
static const double NONE = -1;         /* no time, no ratio; both are positive when there is one */

/* --- feeds --- */

static double multiplication(int64_t seed, int64_t flour, int64_t water)
{
    return seed > 0 ? log1p(((double)flour + (double)water) / (double)seed) : 0;
}

static double multiplication_of(const struct ripening *r)
{
    return multiplication(r->seed, r->flour, r->water);
}

static bool usable(const struct ripening *r)
{
    return multiplication_of(r) > 0 && r->minutes > 0 && growth_starter(r->c) > 0;
}

static bool near(double a, double b, double tolerance)
{
    return fabs(a - b) <= tolerance * fmax(fabs(a), fabs(b));
}

/* Whether parts are the same within a tolerance and temperatures within c units. */
static bool same_feed(const struct ripening *a, const struct ripening *b, double parts, int64_t c)
{
    if (a->seed <= 0 || b->seed <= 0) return false;
    double one = (double)a->seed, other = (double)b->seed;
    return fabs((double)a->c - (double)b->c) <= (double)c &&
           near((double)a->flour / one, (double)b->flour / other, parts) &&
           near((double)a->water / one, (double)b->water / other, parts);
}

/* The mean of what was seen of that feed, NONE when nothing was. */
static double mean_seen(const struct starter *starter, const struct ripening *feed, double parts,
                        int64_t c)
{
    double sum = 0;
    size_t found = 0;
    for (size_t i = 0; i < starter->ripening_count; i++) {
        const struct ripening *r = &starter->ripenings[i];
        if (r->minutes <= 0 || !same_feed(r, feed, parts, c)) continue;
        sum += (double)r->minutes;
        found++;
    }
    return found > 0 ? sum / (double)found : NONE;
}

/* --- one ratio at several temperatures --- */

static bool of_ratio(const struct ripening *r, double ratio)
{
    return usable(r) && fabs(multiplication_of(r) - ratio) <= SAME;
}

/* The row of that ratio whose temperature is nearest to c from below (or at it), or from above. */
static const struct ripening *nearest(const struct starter *starter, double ratio, int64_t c,
                                      bool above)
{
    const struct ripening *best = NULL;
    for (size_t i = 0; i < starter->ripening_count; i++) {
        const struct ripening *r = &starter->ripenings[i];
        if (!of_ratio(r, ratio) || (above ? r->c < c : r->c > c)) continue;
        if (!best || (above ? r->c < best->c : r->c > best->c)) best = r;
    }
    return best;
}

/* Mean work of the rows of a ratio at exactly that temperature. */
static double work_seen(const struct starter *starter, double ratio, int64_t c)
{
    double sum = 0;
    size_t found = 0;
    for (size_t i = 0; i < starter->ripening_count; i++) {
        const struct ripening *r = &starter->ripenings[i];
        if (r->c != c || !of_ratio(r, ratio)) continue;
        sum += (double)r->minutes;
        found++;
    }
    return sum / (double)found * growth_starter(c);
}

/* Where a temperature stands on a scale on which growth changes evenly: negative in the cold, from
 * 0 to 1 where it is fastest, more than 1 in the heat. */
static double stand(int64_t c)
{
    if (c < STARTER_BEST_FROM_C) return log(growth_starter(c));
    if (c > STARTER_BEST_TO_C) return 1 - log(growth_starter(c));
    return (double)(c - STARTER_BEST_FROM_C) / (STARTER_BEST_TO_C - STARTER_BEST_FROM_C);
}

/* How far c is on the way from one seen temperature to another. The way is on one side of the
 * optimum only, or across the optimum only: the work then never changes faster than growth does,
 * unless what was seen asks for it, and colder stays slower. */
static double way(int64_t c, int64_t from_c, int64_t to_c)
{
    double from = stand(from_c), to = stand(to_c);
    if (from < 0 && to > 1) {
        from = 0;
        to = 1;
    } else if (from < 0 && to > 0)
        to = 0;
    else if (from >= 0 && from < 1 && to > 1)
        from = 1;
    return to > from ? fmin(fmax((stand(c) - from) / (to - from), 0), 1) : 0;
}

/* The work of a seen ratio at c. */
static double work_at(const struct starter *starter, double ratio, int64_t c)
{
    const struct ripening *below = nearest(starter, ratio, c, false);
    const struct ripening *above = nearest(starter, ratio, c, true);
    if (!below || !above || below->c == above->c)
        return work_seen(starter, ratio, below ? below->c : above->c);
    double cold = log(work_seen(starter, ratio, below->c));
    double warm = log(work_seen(starter, ratio, above->c));
    return exp(cold + (warm - cold) * way(c, below->c, above->c));
}

/* --- several ratios --- */

/* The seen ratio next to one, by more than apart, richer or leaner; NONE when there is none. */
static double next_ratio(const struct starter *starter, double ratio, bool leaner, double apart)
{
    double best = NONE;
    for (size_t i = 0; i < starter->ripening_count; i++) {
        const struct ripening *r = &starter->ripenings[i];
        double found = usable(r) ? multiplication_of(r) : ratio;
        if ((leaner ? found - ratio : ratio - found) <= apart) continue;
        if (best < 0 || (leaner ? found < best : found > best)) best = found;
    }
    return best;
}

/* The work per unit of the logarithm, from the outermost seen ratio inwards. */
static double slope_from(const struct starter *starter, double ratio, bool leaner, int64_t c)
{
    double work = work_at(starter, ratio, c);
    double other = next_ratio(starter, ratio, leaner, TELLS_SLOPE);
    if (other < 0) return work / ratio;
    return fmax((work_at(starter, other, c) - work) / (other - ratio), 0);
}

/* The work of any ratio at c; NONE when nothing was seen. */
static double work_of(const struct starter *starter, double ratio, int64_t c)
{
    double richer = next_ratio(starter, ratio + 2 * SAME, false, 0);
    double leaner = next_ratio(starter, ratio - 2 * SAME, true, 0);
    if (richer < 0 && leaner < 0) return NONE;
    if (leaner < 0)
        return work_at(starter, richer, c) +
               slope_from(starter, richer, false, c) * (ratio - richer);
    double lean = work_at(starter, leaner, c);
    if (richer < 0)
        return fmax(lean - slope_from(starter, leaner, true, c) * (leaner - ratio),
                    lean * ratio / leaner);
    double rich = work_at(starter, richer, c);
    if (leaner - richer <= 2 * SAME) return rich;
    return rich + (lean - rich) * (ratio - richer) / (leaner - richer);
}

/* The minutes by what was seen, before any correction; NONE: never. */
static double uncorrected(const struct starter *starter, const struct ripening *feed)
{
    double growth = growth_starter(feed->c);
    double seen = mean_seen(starter, feed, SAME, 0);
    if (seen < 0 && growth <= 0) seen = mean_seen(starter, feed, ALIKE, HALF_DEGREE);
    if (seen > 0 || growth <= 0) return seen;
    double ratio = multiplication_of(feed);
    double work = ratio > 0 ? work_of(starter, ratio, feed->c) : NONE;
    return work < 0 ? NONE : fmin(work / growth, RIPENING_MOST);
}

/* --- what the log says --- */

static struct ripening feed_of(const struct ripening_logged *l)
{
    return (struct ripening){l->seed, l->flour, l->water, l->c, l->minutes};
}

/* The mean of the last logged feeds like that one; NONE when there are none. */
static double mean_logged(const struct ripening_logged *logged, size_t logged_count,
                          const struct ripening *feed, size_t *count)
{
    double sum = 0;
    size_t found = 0;
    for (size_t i = 0; i < logged_count && found < LOGGED_LAST; i++) {
        struct ripening one = feed_of(&logged[i]);
        if (one.minutes <= 0 || !same_feed(&one, feed, ALIKE, HALF_DEGREE)) continue;
        sum += (double)one.minutes;
        found++;
    }
    if (found == 0) return NONE;
    *count = found;
    return sum / (double)found;
}

/* The geometric mean of real over estimated of the last logged feeds; *count of them. */
static double correction(const struct starter *starter, const struct ripening_logged *logged,
                         size_t logged_count, size_t *count)
{
    double sum = 0;
    *count = 0;
    for (size_t i = 0; i < logged_count && *count < LOGGED_LAST; i++) {
        struct ripening one = feed_of(&logged[i]);
        double estimated = uncorrected(starter, &one);
        if (one.minutes <= 0 || estimated <= 0) continue;
        sum += log((double)one.minutes / estimated);
        ++*count;
    }
    return *count > 0 ? exp(sum / (double)*count) : 1;
}

/* How many rows of the log tell anything, LOGGED_LAST at most. */
static size_t told(const struct ripening_logged *logged, size_t logged_count)
{
    size_t found = 0;
    for (size_t i = 0; i < logged_count && found < LOGGED_LAST; i++)
        found += logged[i].seed > 0 && logged[i].minutes > 0;
    return found;
}

static int64_t whole_minutes(double minutes)
{
    return minutes < 0 ? RIPENING_NEVER : (int64_t)fmax(round(minutes), 1);
}

static void tell_off(struct ripening_estimate *out, int64_t before)
{
    out->corrected = true;
    if (before <= 0) return;
    out->off_minutes = out->minutes - before;
    out->off_pct = (int64_t)round((double)out->off_minutes * PERCENT_WHOLE / (double)before);
}

struct ripening_estimate ripening_of(const struct starter *starter,
                                     const struct ripening_logged *logged, size_t logged_count,
                                     int64_t seed, int64_t flour, int64_t water, int64_t c)
{
    struct ripening feed = {seed, flour, water, c, 0};
    double before = uncorrected(starter, &feed);
    struct ripening_estimate out = {.minutes = whole_minutes(before),
                                    .logged_count = told(logged, logged_count)};
    if (out.logged_count < LOGGED_ENOUGH) return out;
    double after = mean_logged(logged, logged_count, &feed, &out.logged_count);
    if (after < 0 && before > 0) {
        double factor = correction(starter, logged, logged_count, &out.logged_count);
        if (out.logged_count < LOGGED_ENOUGH) return out;
        after = fmin(before * factor, RIPENING_MOST);
    }
    if (after < 0) return out;
    out.minutes = whole_minutes(after);
    tell_off(&out, whole_minutes(before));
    return out;
}
