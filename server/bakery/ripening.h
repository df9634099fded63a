/* How long a fed starter takes to ripen: exponential growth from the seed's share of the feed to
 * the full culture, at a temperature, between what its baker has seen.
 *
 * What was seen always wins: at a seen ratio and temperature the estimate is exactly that (the
 * mean, when it was seen more than once). Between two seen ratios the time, brought to one
 * temperature by growth_starter(), is a straight line in the logarithm of the multiplication (seed
 * + flour + water) / seed, as for exponential growth with a lag. Outside them it goes on with the
 * nearest slope (ratios that multiply by nearly the same tell none), never falling with a leaner
 * feed and never faster than growth without a lag; so it does from a single ratio. Between two
 * temperatures seen at one ratio the curve is bent to meet both, so that it stays slower the colder
 * it is wherever what was seen is; beyond them it follows growth_starter().
 */
#ifndef MORROWLOAF_BAKERY_RIPENING_H
#define MORROWLOAF_BAKERY_RIPENING_H

#include "bakery/model.h"

enum { RIPENING_NEVER = -1, RIPENING_MOST = 30 * MINUTES_PER_DAY };

/* What the log says of one feed: how long it really took. */
struct ripening_logged {
    int64_t seed, flour, water; /* by weight, any unit */
    int64_t c;
    int64_t minutes;
};

struct ripening_estimate {
    int64_t minutes; /* RIPENING_NEVER: nothing grows at that temperature, or nothing was seen; else
                        1 or more; RIPENING_MOST is the longest that is worked out */
    bool corrected;  /* by the log: three or more feeds of it were seen to ripen */
    int64_t off_minutes; /* by how much the uncorrected estimate was off: positive when it really
                            takes longer; 0 when there is none */
    int64_t off_pct;     /* the same in PERCENT_PLACES percent of the uncorrected estimate */
    size_t logged_count; /* feeds that the correction rests on, 5 at most; without one, how many
                            there are */
};

/* The estimate for a feed seed : flour : water at c. logged: newest first; the last five feeds
 * whose ripening was logged correct the estimate by their geometric mean of real over estimated,
 * from three on. A ratio and temperature that the log itself has (c within half a degree, parts
 * within 1 %) then gives the mean of what was logged for it, of the last five of those. Rows
 * without seed or minutes are passed over. */
struct ripening_estimate ripening_of(const struct starter *starter,
                                     const struct ripening_logged *logged, size_t logged_count,
                                     int64_t seed, int64_t flour, int64_t water, int64_t c);

#endif
