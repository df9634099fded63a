/* When to order, and how much. */
#include "bakery/reorder.h"

#include "bakery/model.h"

#include <math.h>

static const double LEAST_Z = -8; /* beyond any level of six digits */
static const double NOISE = 1e-9; /* of a sum that should be whole */

/* --- how safe --- */

/* What lies above z in a standard normal distribution; erfc keeps its digits far out. */
static double above(double z)
{
    return erfc(z / sqrt(2)) / 2;
}

/* above() falls as z grows, so halving finds it: 60 halvings of 16 leave less than 1e-16. */
double service_z(int64_t service_pct)
{
    double tail = (double)(PERCENT_WHOLE - service_pct) / (double)PERCENT_WHOLE;
    double low = LEAST_Z, high = -LEAST_Z;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (above(middle) > tail)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

int64_t safety_stock(int64_t service_pct, int64_t spread, int64_t days)
{
    if (service_pct <= PERCENT_WHOLE / 2 || spread <= 0 || days <= 0) return 0;
    double stock = service_z(service_pct) * (double)spread * sqrt((double)days);
    if (stock >= (double)INT64_MAX) return INT64_MAX;
    return (int64_t)ceil(stock - NOISE);
}

/* --- when --- */

static date order_day(unsigned order_days, date from)
{
    date day = from;
    while ((order_days & 1u << date_weekday(day)) == 0)
        day++;
    return day;
}

struct delivery_days delivery_days_of(unsigned order_days, int64_t lead_days, date on)
{
    struct delivery_days when = {.order_on = order_day(order_days, on)};
    when.due_on = when.order_on + (date)lead_days;
    when.next_due = order_day(order_days, when.order_on + 1) + (date)lead_days;
    return when;
}

/* --- how much --- */

static bool add(int64_t *sum, int64_t more)
{
    return !__builtin_add_overflow(*sum, more, sum);
}

/* Use from today until the end of the day before until. */
static bool add_use(const struct reorder_case *of, date until, int64_t *sum)
{
    date today = of->course[0].date;
    for (date day = today; day < until; day++) {
        size_t at = (size_t)(day - today);
        int64_t use = at < of->course_days ? of->course[at].use
                      : of->usual->known   ? of->usual->mean[date_weekday(day)]
                                           : 0;
        if (!add(sum, use)) return false;
    }
    return true;
}

/* What is usable, and what of the orders comes before next_due. */
static bool position_of(const struct reorder_case *of, date next_due, int64_t *position)
{
    *position = of->usable;
    if (!add(position, of->on_order)) return false;
    for (size_t i = 0; i < of->course_days; i++)
        if (of->course[i].date >= next_due && !add(position, -of->course[i].delivered))
            return false;
    return true;
}

static bool round_to_packs(struct reorder *out, int64_t pack)
{
    if (pack == 0) {
        out->amount = out->lacking;
        return true;
    }
    out->packs = out->lacking / pack + (out->lacking % pack > 0);
    return !__builtin_mul_overflow(out->packs, pack, &out->amount);
}

bool reorder_of(const struct reorder_case *of, const struct delivery_days *when,
                struct reorder *out)
{
    date today = of->course[0].date;
    int64_t spread = of->usual->known ? of->usual->spread : 0;
    *out = (struct reorder){0};
    out->safety = safety_stock(of->service_pct, spread, when->next_due - today);
    out->reorder_point = safety_stock(of->service_pct, spread, when->due_on - today);
    if (!add_use(of, when->next_due, &out->expected) ||
        !add_use(of, when->due_on, &out->reorder_point) ||
        !position_of(of, when->next_due, &out->position))
        return false;
    int64_t lacking = out->expected;
    if (!add(&lacking, out->safety) || !add(&lacking, -out->position)) return false;
    if (lacking > 0) out->lacking = lacking;
    return round_to_packs(out, of->pack);
}
