/* The orders of a typical day: means over the days on which a product was ordered at all. */
#include "bakery/costing.h"

#include "bakery/amount.h"
#include "bakery/costing_loads.h"

#include <stdlib.h>
#include <string.h>

static int by_product_and_day(const void *left, const void *right)
{
    const struct demand *a = left;
    const struct demand *b = right;
    if (a->product != b->product) return a->product < b->product ? -1 : 1;
    return (a->bread_day > b->bread_day) - (a->bread_day < b->bread_day);
}

static struct demand *sorted(const struct reckoning *reckoning, const struct demand *history,
                             size_t count)
{
    struct demand *copy = amount_memory(reckoning, count, sizeof *copy);
    if (!copy || count == 0) return copy;
    memcpy(copy, history, count * sizeof *copy);
    qsort(copy, count, sizeof *copy, by_product_and_day);
    return copy;
}

/* The mean pieces of a product's orders, which stand together: pieces over days, halves up. */
static bool mean_of(const struct reckoning *reckoning, const struct demand *first, size_t count,
                    int64_t *mean)
{
    int64_t sum = 0;
    int64_t days = 0;
    date last = 0;
    fixed rounded;
    for (size_t i = 0; i < count; i++) {
        if (first[i].pieces == 0) continue;
        if (days == 0 || first[i].bread_day != last) days++;
        last = first[i].bread_day;
        if (!amount_add_whole(reckoning, &sum, first[i].pieces)) return false;
    }
    *mean = 0;
    if (days == 0) return true;
    if (!fixed_muldiv(sum, 1, days, ROUND_HALF_UP, &rounded)) return amount_too_large(reckoning);
    *mean = (int64_t)rounded;
    return true;
}

static size_t run_length(const struct demand *first, size_t count, size_t product)
{
    size_t n = 0;
    while (n < count && first[n].product == product)
        n++;
    return n;
}

struct demand *typical_demands(const struct reckoning *reckoning, date bread_day,
                               const struct demand *history, size_t history_count, size_t *count)
{
    size_t products = reckoning->catalogue->product_count;
    struct demand *typical = amount_memory(reckoning, products, sizeof *typical);
    struct demand *past = sorted(reckoning, history, history_count);
    *count = 0;
    if (!typical || !past) return NULL;
    size_t at = 0;
    for (size_t p = 0; p < products; p++) {
        size_t n = run_length(past + at, history_count - at, p);
        typical[p] = (struct demand){bread_day, p, NO_CLOCK, 0};
        if (!mean_of(reckoning, past + at, n, &typical[p].pieces)) return NULL;
        if (typical[p].pieces == 0) typical[p].pieces = costing_one_load(reckoning, p);
        at += n;
    }
    *count = products;
    return typical;
}
