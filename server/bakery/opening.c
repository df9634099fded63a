/* The next open bread day. */
#include "bakery/opening.h"

#include "base/arena.h"
#include "base/fail.h"

#include <stdlib.h>

enum { DAYS_AHEAD_MAX = 60 };

static int by_instant(const void *a, const void *b)
{
    const instant *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

/* When every dough of every product begins for that bread day; returns their number. */
static size_t dough_begins(const struct reckoning *reckoning, date bread_day, instant *begins)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    size_t count = 0;
    for (size_t p = 0; p < catalogue->product_count; p++) {
        const struct product *product = &catalogue->products[p];
        struct demand demand = {.bread_day = bread_day, .product = p, .ready_at = NO_CLOCK};
        instant ready = ready_instant(reckoning, &demand);
        for (size_t i = 0; i < product->part_count; i++)
            if (product->parts[i].kind == LINE_FORMULA)
                begins[count++] = mix_begins(reckoning, product->parts[i].index, ready);
    }
    return count;
}

static size_t part_count(const struct catalogue *catalogue)
{
    size_t count = 0;
    for (size_t p = 0; p < catalogue->product_count; p++)
        count += catalogue->products[p].part_count;
    return count;
}

bool opening_of(const struct reckoning *reckoning, instant now, struct opening *out)
{
    date today;
    int minutes;
    instant *begins = arena_array(reckoning->arena, part_count(reckoning->catalogue),
                                  sizeof *begins);
    if (begins == NULL) return fail_memory(reckoning->fails);
    zone_wall(reckoning->zone, now, &today, &minutes);
    for (date day = today; day <= today + DAYS_AHEAD_MAX; day++) {
        size_t count = dough_begins(reckoning, day, begins);
        *out = (struct opening){.bread_day = day, .has_mixing = count > 0};
        if (count == 0) {
            out->bread_day = today + 1;
            return true;
        }
        qsort(begins, count, sizeof *begins, by_instant);
        out->mixing_begins = begins[count / 2];
        if (out->mixing_begins > now) return true;
    }
    return true;
}
