/* Loading what a day's reckoning needs: catalogue, breakdowns, zone, demands. */
#ifndef MORROWLOAF_API_RECKON_H
#define MORROWLOAF_API_RECKON_H

#include "bakery/production.h"

struct request;

struct day {
    struct catalogue catalogue; /* the kept one; prices are the day's own */
    struct breakdowns breakdowns;
    struct reckoning reckoning;
    struct demand *demands;
    size_t demand_count;
    int money_places; /* least decimals of money in answers */
};

/* Everything but demands and prices. FAIL_CONFLICT before the bakery's settings are entered. The
 * day points into itself: do not copy it. */
bool day_open(struct request *request, struct day *day);
/* The orders of those bread days. */
bool day_load_demands(struct request *request, struct day *day, date first, date last);

/* Today by the bakery's clock. */
date today_of(const struct day *day);

#endif
