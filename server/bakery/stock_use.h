/* What of each ingredient will be used, by day; and what is usually used.
 *
 * Amounts are milligrams or pieces by the ingredient's unit, one per ingredient of the catalogue.
 */
#ifndef MORROWLOAF_BAKERY_STOCK_USE_H
#define MORROWLOAF_BAKERY_STOCK_USE_H

#include "bakery/mixing.h"

/* Adds what the mixing list of a date weighs: ingredient lines batches x weigh, and, per starter of
 * the catalogue, what its mixes take of it. Only the mixes are read: whoever wants to know what is
 * still to come lowers their batches first. */
bool list_use_of(const struct reckoning *reckoning, const struct mixing_list *list, int64_t *lines,
                 int64_t *starters);

/* Adds the flours and water of so much of every starter, each rounded half to even. */
bool starters_use_of(const struct reckoning *reckoning, const int64_t *starters, int64_t *amounts);

/* Adds the same before any scale: what the formulas ask for, the flours and water of starters
 * included. */
bool list_theory_of(const struct reckoning *reckoning, const struct mixing_list *list,
                    int64_t *amounts);

/* Adds what stands in no mixing list: ingredients that are parts of products themselves, and
 * packaging, by the working day in which the bread is ready. amounts: days rows of the catalogue's
 * ingredients; other days are passed over. */
bool products_use_of(const struct reckoning *reckoning, const struct demand *demands,
                     size_t demand_count, date first, size_t days, int64_t *amounts);

/* A day on which some was used. */
struct day_use {
    date date;
    size_t ingredient;
    int64_t amount;
};

/* The usual week of one ingredient, from what was used on the days first to last (whole weeks are
 * best): the mean of every weekday, days without use counted as none. A weekday that is not among
 * these days has the mean of them all. */
struct usual_week {
    bool known;       /* anything was used */
    int64_t mean[8];  /* by weekday, 1 Monday ... 7 Sunday; rounded up */
    int64_t week;     /* their sum */
    int64_t spread;   /* standard deviation of a day's use about its weekday's mean, of seven means
                         (about the mean of all days when there are less than three weeks, of one),
                         rounded up */
    int64_t mean_day; /* mean of all days, rounded up */
};

/* uses of one ingredient, each date once; days out of the span are passed over. */
struct usual_week usual_week_of(date first, date last, const struct day_use *uses, size_t count);

/* What is still expected of a day of which some was used already: what is planned and not done, or
 * what is usual and was not used yet, whatever is more. */
int64_t use_left_of(const struct usual_week *usual, date day, int64_t planned, int64_t used);

/* --- how long it lasts --- */

struct delivery {
    date due;
    int64_t amount;
};

struct course_day {
    date date;
    int64_t use;       /* expected */
    int64_t delivered; /* expected */
    int64_t left;      /* at the end of the day; 0 when there is too little */
    int64_t lacking;   /* of the day's use */
};

/* Days from first on: what is left at the end of each. planned: use of each day by the orders that
 * are in, usual: the week (may be unknown); the greater of the two is expected, but for the days
 * before settled (whose lists were printed), where planned alone is. Deliveries of a day come
 * before its use, those that are overdue on the first day. *runs_out: the first day on which there
 * is too little; *runs false: not in these days. */
bool course_of(struct arena *arena, struct fails *fails, int64_t on_hand, date first, size_t days,
               const int64_t *planned, const struct usual_week *usual, date settled,
               const struct delivery *deliveries, size_t delivery_count, struct course_day **out,
               bool *runs, date *runs_out);

#endif
