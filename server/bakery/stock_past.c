/* Sums of movements, put in the order of days and weeks. */
#include "bakery/stock_past.h"

#include "bakery/amount.h"

enum { THURSDAY = 4 };

bool moved_is_use(enum stock_kind kind)
{
    return kind == STOCK_MIXED || kind == STOCK_FED || kind == STOCK_USED;
}

/* --- day by day --- */

static bool add_sum(const struct reckoning *reckoning, const struct moved_sum *sum,
                    struct past_day *day)
{
    bool in = sum->kind == STOCK_RECEIVED || (sum->kind == STOCK_COUNTED && sum->delta > 0);
    if (sum->kind == STOCK_RECEIVED && !amount_add_whole(reckoning, &day->received, sum->delta))
        return false;
    return in ? amount_add_whole(reckoning, &day->in, sum->delta)
              : amount_add_whole(reckoning, &day->out, -sum->delta);
}

bool past_course_of(const struct reckoning *reckoning, int64_t now, const struct moved_sum *sums,
                    size_t sum_count, date first, size_t days, struct past_day *out)
{
    int64_t left = now;
    for (size_t i = 0; i < days; i++)
        out[i] = (struct past_day){.date = first + (date)i};
    for (size_t i = 0; i < sum_count; i++) {
        int64_t row = (int64_t)sums[i].date - first;
        bool done = row < 0               ? true
                    : row < (int64_t)days ? add_sum(reckoning, &sums[i], &out[row])
                                          : amount_add_whole(reckoning, &left, -sums[i].delta);
        if (!done) return false;
    }
    for (size_t i = days; i > 0; i--) {
        out[i - 1].left = left;
        if (!amount_add_whole(reckoning, &left, out[i - 1].out) ||
            !amount_add_whole(reckoning, &left, -out[i - 1].in))
            return false;
    }
    return true;
}

/* --- week by week --- */

date iso_monday_of(date day)
{
    return day - date_weekday(day) + 1;
}

void iso_week_of(date day, int *year, int *week)
{
    int month, of_month;
    date thursday = iso_monday_of(day) + THURSDAY - 1;
    date_to_civil(thursday, year, &month, &of_month);
    *week = (int)(thursday - date_from_civil(*year, 1, 1)) / DAYS_PER_WEEK + 1;
}

static bool add_moved(const struct reckoning *reckoning, const struct moved_sum *sum,
                      struct week_use *week)
{
    week->any = true;
    if (moved_is_use(sum->kind)) return amount_add_whole(reckoning, &week->posted, -sum->delta);
    if (sum->kind == STOCK_WASTED) return amount_add_whole(reckoning, &week->wasted, -sum->delta);
    if (sum->kind == STOCK_COUNTED) return amount_add_whole(reckoning, &week->counted, sum->delta);
    return true;
}

static bool compare_week(const struct reckoning *reckoning, int64_t theory, struct week_use *week)
{
    week->theory = theory;
    week->any = week->any || theory != 0;
    week->has_pct = theory > 0;
    if (!amount_add_whole(reckoning, &week->actual, week->posted) ||
        !amount_add_whole(reckoning, &week->actual, week->wasted) ||
        !amount_add_whole(reckoning, &week->actual, -week->counted))
        return false;
    week->over = week->actual;
    if (!amount_add_whole(reckoning, &week->over, -theory)) return false;
    return !week->has_pct || breakdown_percentage(week->over, theory, &week->over_pct) ||
           amount_too_large(reckoning);
}

bool week_uses_of(const struct reckoning *reckoning, const struct moved_sum *sums, size_t sum_count,
                  date monday, size_t weeks, const int64_t *theory, struct week_use *out)
{
    size_t count = reckoning->catalogue->ingredient_count;
    for (size_t i = 0; i < sum_count; i++) {
        int64_t day = (int64_t)sums[i].date - monday;
        if (day < 0 || day >= (int64_t)weeks * DAYS_PER_WEEK) continue;
        size_t row = (size_t)day / DAYS_PER_WEEK;
        if (!add_moved(reckoning, &sums[i], &out[row * count + sums[i].ingredient])) return false;
    }
    for (size_t i = 0; i < weeks * count; i++)
        if (!compare_week(reckoning, theory[i], &out[i])) return false;
    return true;
}
