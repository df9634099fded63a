/* What happened to the stock, day by day and week by week. */
#ifndef MORROWLOAF_BAKERY_STOCK_PAST_H
#define MORROWLOAF_BAKERY_STOCK_PAST_H

#include "bakery/production.h"
#include "bakery/stock.h"

/* What was moved of an ingredient on a day by one kind of movement; reversals are taken off. */
struct moved_sum {
    size_t ingredient; /* in the catalogue */
    date date;
    enum stock_kind kind;
    int64_t delta;
};

/* Whether it is what a bakery keeps an ingredient for: mixed, fed to a starter, used otherwise. */
bool moved_is_use(enum stock_kind kind);

/* --- day by day --- */

struct past_day {
    date date;
    int64_t left; /* at its end, by the book */
    int64_t in;   /* received, and what counts found more */
    int64_t out;  /* all else */
    int64_t received;
};

/* The days from first on of one ingredient of which there is now so much. sums: all of it from the
 * first day until now and later. */
bool past_course_of(const struct reckoning *reckoning, int64_t now, const struct moved_sum *sums,
                    size_t sum_count, date first, size_t days, struct past_day *out);

/* --- week by week --- */

/* The year and number of a day's week (ISO 8601: from Monday; the first holds the first Thursday).
 */
void iso_week_of(date day, int *year, int *week);
/* The Monday of a day's week. */
date iso_monday_of(date day);

/* What was used of an ingredient in a week, held against what the formulas asked for. */
struct week_use {
    int64_t theory;
    int64_t posted; /* mixed, fed, used */
    int64_t wasted;
    int64_t counted;  /* more was found by counts; negative: less */
    int64_t actual;   /* posted + wasted - counted */
    int64_t over;     /* actual - theory */
    bool has_pct;     /* theory is not nothing */
    int64_t over_pct; /* of theory */
    bool any;         /* something was asked for, or moved */
};

/* out: weeks rows of the catalogue's ingredients, as theory. sums of other days are passed over. */
bool week_uses_of(const struct reckoning *reckoning, const struct moved_sum *sums, size_t sum_count,
                  date monday, size_t weeks, const int64_t *theory, struct week_use *out);

#endif
