/* What of each ingredient will be used, by mixing date; and what is usually used.
 *
 * Amounts are milligrams or pieces by the ingredient's unit, one per ingredient of the catalogue.
 */
#ifndef MORROWLOAF_BAKERY_STOCK_USE_H
#define MORROWLOAF_BAKERY_STOCK_USE_H

#include "bakery/mixing.h"

/* What the mixing list of a date weighs: ingredient lines batches x weigh, and the flours and water
 * of the starter it takes (starter_flour_mg of each), which are fed at other times. */
bool list_use_of(const struct reckoning *reckoning, const struct mixing_list *list, int64_t *lines,
                 int64_t *starters);

/* The same exactly, before any scale: what the formulas ask for. Starters included. */
bool list_theory_of(const struct reckoning *reckoning, const struct mixing_list *list,
                    int64_t *amounts);

/* A day on which some was used. */
struct day_use {
    date date;
    size_t ingredient;
    int64_t amount;
};

/* The usual week of one ingredient, from what was used on the days first to last (whole weeks are
 * best): the mean of every weekday, days without use counted as none. */
struct usual_week {
    bool known;       /* anything was used */
    int64_t mean[8];  /* by weekday, 1 Monday ... 7 Sunday; rounded up */
    int64_t week;     /* their sum */
    int64_t spread;   /* standard deviation of a day's use about its weekday's mean (about the mean
                         of all days when there are less than three weeks), rounded up */
    int64_t mean_day; /* mean of all days, rounded up */
};

/* uses of one ingredient; days out of the span are passed over. */
struct usual_week usual_week_of(date first, date last, const struct day_use *uses, size_t count);

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
 * before its use. *runs_out: the first day on which there is too little; false: not in these days.
 */
bool course_of(struct arena *arena, struct fails *fails, int64_t on_hand, date first, size_t days,
               const int64_t *planned, const struct usual_week *usual, date settled,
               const struct delivery *deliveries, size_t delivery_count, struct course_day **out,
               bool *runs, date *runs_out);

#endif
