/* Loading what a costing needs: the day's orders or a typical day's, prices, rates, waste. */
#ifndef MORROWLOAF_API_COST_DAY_H
#define MORROWLOAF_API_COST_DAY_H

#include "api/reckon.h"
#include "bakery/costing.h"
#include "store/price_book.h"

enum { TYPICAL_DAYS = 28 };

struct cost_day {
    struct day day;
    struct price_book book; /* of the day's catalogue */
    struct rates rates;
    struct costing_day costing;
    bool typical;
};

/* The costing of a bread day: of its orders, or, typical, of the mean orders of the TYPICAL_DAYS
 * before it. Prices and rates are those of that day. The struct points into itself: do not copy it.
 */
bool cost_day_open(struct request *request, date bread_day, bool typical, struct cost_day *out);
/* The same with the day of the query's "date"; without one a typical day as of today. */
bool cost_day_of_query(struct request *request, struct cost_day *out);

/* The product of that code, FAIL_NOT_FOUND when there is none. */
bool cost_day_product(struct request *request, const struct cost_day *at, const char *code,
                      size_t *product);

#endif
