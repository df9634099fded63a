/* A day to cost. */
#include "api/cost_day.h"

#include "bakery/amount.h"
#include "http/request.h"
#include "store/rates.h"
#include "store/starter_log.h"

/* The orders that the costing is of. */
static bool load_demands(struct request *request, struct cost_day *out, date bread_day)
{
    struct day *day = &out->day;
    date first, last;
    if (!out->typical) {
        costing_horizon(&day->reckoning, bread_day, &first, &last);
        return day_load_demands(request, day, first, last);
    }
    if (!day_load_demands(request, day, bread_day - TYPICAL_DAYS, bread_day - 1)) return false;
    day->demands = typical_demands(&day->reckoning, bread_day, day->demands, day->demand_count,
                                   &day->demand_count);
    return day->demands != NULL;
}

static const struct starter_waste *load_waste(struct request *request, const struct day *day,
                                              date bread_day)
{
    const struct reckoning *reckoning = &day->reckoning;
    struct starter_waste *waste = amount_memory(reckoning, day->catalogue.starter_count,
                                                sizeof *waste);
    if (waste == NULL ||
        !starter_waste_load(request->tx, &day->catalogue,
                            zone_instant(reckoning->zone, bread_day - TYPICAL_DAYS, 0),
                            zone_instant(reckoning->zone, bread_day + 1, 0), waste))
        return NULL;
    return waste;
}

static bool load(struct request *request, date bread_day, struct cost_day *out)
{
    struct day *day = &out->day;
    if (!price_book_open(request->tx, &day->catalogue, &out->book) ||
        !price_book_turn(&out->book, bread_day) || !rates_on(request->tx, bread_day, &out->rates) ||
        !load_demands(request, out, bread_day))
        return false;
    const struct starter_waste *waste = load_waste(request, day, bread_day);
    out->costing = (struct costing_day){.reckoning = &day->reckoning,
                                        .bread_day = bread_day,
                                        .demands = day->demands,
                                        .demand_count = day->demand_count,
                                        .rates = &out->rates,
                                        .waste = waste};
    return waste != NULL;
}

bool cost_day_open(struct request *request, date bread_day, bool typical, struct cost_day *out)
{
    out->typical = typical;
    return day_open(request, &out->day) && load(request, bread_day, out);
}

bool cost_day_of_query(struct request *request, struct cost_day *out)
{
    const char *wanted = request_query(request, "date");
    date bread_day;
    if (!day_open(request, &out->day)) return false;
    out->typical = wanted == NULL;
    bread_day = today_of(&out->day);
    if (wanted != NULL && !date_parse(wanted, &bread_day))
        return fail_add(&request->fails, FAIL_INVALID, "", "date must be a day as YYYY-MM-DD");
    return load(request, bread_day, out);
}

bool cost_day_product(struct request *request, const struct cost_day *at, const char *code,
                      size_t *product)
{
    *product = catalogue_product(&at->day.catalogue, code);
    return *product != NOT_FOUND ||
           fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no product %s", code);
}
