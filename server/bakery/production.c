/* Orders become pieces, pieces become dough, and the clock tells on which date it is mixed.
 *
 * Demands are sorted once and joined in passing, so that the work grows with their number and not
 * with its square. Elapsed time is counted in seconds of the real clock: a night with a clock
 * change is an hour longer or shorter between the same wall times.
 */
#include "bakery/production.h"

#include "bakery/amount.h"

#include <stdlib.h>

enum { SECONDS_PER_MINUTE = 60 };

/* --- time --- */

instant day_begins(const struct reckoning *reckoning, date day)
{
    return zone_instant(reckoning->zone, day, reckoning->catalogue->bakery.day_starts_at);
}

/* Judged by instants and not by what the clock shows: a time that the clock skips or shows twice
 * still begins a working day once. */
date working_day(const struct reckoning *reckoning, instant at)
{
    date day;
    int minutes;
    zone_wall(reckoning->zone, at, &day, &minutes);
    while (at < day_begins(reckoning, day))
        day--;
    while (at >= day_begins(reckoning, day + 1))
        day++;
    return day;
}

instant ready_instant(const struct reckoning *reckoning, const struct demand *demand)
{
    int minutes = demand->ready_at;
    if (minutes == NO_CLOCK) minutes = reckoning->catalogue->products[demand->product].ready_at;
    if (minutes == NO_CLOCK) minutes = reckoning->catalogue->bakery.ready_at;
    return zone_instant(reckoning->zone, demand->bread_day, minutes);
}

instant mix_begins(const struct reckoning *reckoning, size_t formula, instant ready)
{
    return ready - SECONDS_PER_MINUTE * formula_minutes(&reckoning->catalogue->formulas[formula]);
}

/* --- pieces --- */

static int baking_order(const void *left, const void *right)
{
    const struct baking *a = left;
    const struct baking *b = right;
    if (a->bread_day != b->bread_day) return a->bread_day < b->bread_day ? -1 : 1;
    if (a->product != b->product) return a->product < b->product ? -1 : 1;
    return (a->ready > b->ready) - (a->ready < b->ready);
}

/* Joins neighbours that are baked together; returns how many bakings are left, or NOT_FOUND. */
static size_t join(const struct reckoning *reckoning, struct baking *bakings, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (kept == 0 || baking_order(&bakings[kept - 1], &bakings[i]) != 0)
            bakings[kept++] = bakings[i];
        else if (!amount_add_whole(reckoning, &bakings[kept - 1].ordered, bakings[i].ordered))
            return NOT_FOUND;
    }
    return kept;
}

/* The spare of a product for a day, reckoned on all that is ordered of it: ceil, in whole pieces.
 */
static bool spare_of(const struct reckoning *reckoning, const struct baking *first, size_t count,
                     int64_t *spare)
{
    int64_t ordered = 0;
    fixed pieces;
    for (size_t i = 0; i < count; i++)
        if (!amount_add_whole(reckoning, &ordered, first[i].ordered)) return false;
    int64_t pct = reckoning->catalogue->products[first->product].spare_pct;
    if (!fixed_muldiv(ordered, pct, PERCENT_WHOLE, ROUND_UP, &pieces) || pieces > INT64_MAX)
        return amount_too_large(reckoning);
    *spare = (int64_t)pieces;
    return true;
}

/* How many bakings from the first on are of its product and day. */
static size_t same_product(const struct baking *first, size_t count)
{
    size_t n = 1;
    while (n < count && first[n].product == first->product &&
           first[n].bread_day == first->bread_day)
        n++;
    return n;
}

static bool add_spare(const struct reckoning *reckoning, struct baking *bakings, size_t count)
{
    for (size_t i = 0; i < count;) {
        size_t n = same_product(&bakings[i], count - i);
        if (!spare_of(reckoning, &bakings[i], n, &bakings[i].spare)) return false;
        for (size_t end = i + n; i < end; i++) {
            bakings[i].pieces = bakings[i].ordered;
            if (!amount_add_whole(reckoning, &bakings[i].pieces, bakings[i].spare)) return false;
        }
    }
    return true;
}

struct baking *bakings_of(const struct reckoning *reckoning, const struct demand *demands,
                          size_t demand_count, size_t *count)
{
    *count = 0;
    struct baking *bakings = amount_memory(reckoning, demand_count, sizeof *bakings);
    if (!bakings) return NULL;
    for (size_t i = 0; i < demand_count; i++)
        bakings[i] = (struct baking){.bread_day = demands[i].bread_day,
                                     .product = demands[i].product,
                                     .ready = ready_instant(reckoning, &demands[i]),
                                     .ordered = demands[i].pieces};
    if (demand_count > 0) qsort(bakings, demand_count, sizeof *bakings, baking_order);
    size_t kept = join(reckoning, bakings, demand_count);
    if (kept == NOT_FOUND || !add_spare(reckoning, bakings, kept)) return NULL;
    *count = kept;
    return bakings;
}

struct baking *bakings_of_day(const struct reckoning *reckoning, date bread_day,
                              const struct demand *demands, size_t demand_count, size_t *count)
{
    *count = 0;
    struct demand *of_day = amount_memory(reckoning, demand_count, sizeof *of_day);
    if (!of_day) return NULL;
    size_t n = 0;
    for (size_t i = 0; i < demand_count; i++)
        if (demands[i].bread_day == bread_day) of_day[n++] = demands[i];
    return bakings_of(reckoning, of_day, n, count);
}

bool production_products(const struct reckoning *reckoning, const struct baking *bakings,
                         size_t baking_count, struct production *out)
{
    out->product_count = 0;
    out->products = amount_memory(reckoning, baking_count, sizeof *out->products);
    if (!out->products) return false;
    for (size_t i = 0; i < baking_count;) {
        size_t n = same_product(&bakings[i], baking_count - i);
        struct production_product *line = &out->products[out->product_count++];
        line->product = bakings[i].product;
        for (size_t end = i + n; i < end; i++)
            if (!amount_add_whole(reckoning, &line->ordered, bakings[i].ordered) ||
                !amount_add_whole(reckoning, &line->spare, bakings[i].spare) ||
                !amount_add_whole(reckoning, &line->pieces, bakings[i].pieces))
                return false;
    }
    return true;
}

/* --- dough --- */

/* One product's part that is dough of a formula, mixed from an instant on. */
struct dough_part {
    size_t formula;
    instant begins;
    int64_t pieces;
    int64_t mg; /* a piece */
};

static int dough_order(const void *left, const void *right)
{
    const struct dough_part *a = left;
    const struct dough_part *b = right;
    if (a->formula != b->formula) return a->formula < b->formula ? -1 : 1;
    return (a->begins > b->begins) - (a->begins < b->begins);
}

/* All parts of the bakings that are doughs, by formula, then begin. NULL when memory is short. */
static struct dough_part *dough_parts(const struct reckoning *reckoning,
                                      const struct baking *bakings, size_t baking_count,
                                      size_t *count)
{
    size_t most = 0;
    for (size_t i = 0; i < baking_count; i++)
        most += reckoning->catalogue->products[bakings[i].product].part_count;
    struct dough_part *parts = amount_memory(reckoning, most, sizeof *parts);
    *count = 0;
    if (!parts) return NULL;
    for (size_t i = 0; i < baking_count; i++) {
        const struct product *product = &reckoning->catalogue->products[bakings[i].product];
        for (size_t k = 0; k < product->part_count; k++) {
            const struct part *part = &product->parts[k];
            if (part->kind != LINE_FORMULA) continue;
            parts[(*count)++] = (struct dough_part){
                part->index, mix_begins(reckoning, part->index, bakings[i].ready),
                bakings[i].pieces, part->mg};
        }
    }
    if (*count > 0) qsort(parts, *count, sizeof *parts, dough_order);
    return parts;
}

/* One dough of one working day: takes parts from the first on, returns how many; 0 on overflow. */
static size_t join_dough(const struct reckoning *reckoning, const struct dough_part *parts,
                         size_t count, struct production_dough *out)
{
    fixed grams = 0;
    fixed mixed;
    size_t n = 0;
    out->formula = parts->formula;
    out->mixing_date = working_day(reckoning, parts->begins);
    instant end = day_begins(reckoning, out->mixing_date + 1);
    for (; n < count && parts[n].formula == parts->formula && parts[n].begins < end; n++)
        if (!amount_add_pieces(reckoning, &grams, parts[n].pieces, parts[n].mg)) return 0;
    if (!amount_with_loss(reckoning, parts->formula, grams, &mixed) ||
        !amount_milligrams(reckoning, mixed, &out->mg))
        return 0;
    return n;
}

static bool production_doughs(const struct reckoning *reckoning, const struct baking *bakings,
                              size_t baking_count, struct production *out)
{
    size_t count;
    out->dough_count = 0;
    struct dough_part *parts = dough_parts(reckoning, bakings, baking_count, &count);
    out->doughs = parts ? amount_memory(reckoning, count, sizeof *out->doughs) : NULL;
    if (!out->doughs) return false;
    for (size_t i = 0; i < count;) {
        size_t n = join_dough(reckoning, &parts[i], count - i, &out->doughs[out->dough_count++]);
        if (n == 0) return false;
        i += n;
    }
    return true;
}

bool production_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                   size_t demand_count, struct production *out)
{
    size_t count;
    struct baking *bakings = bakings_of_day(reckoning, bread_day, demands, demand_count, &count);
    return bakings && production_products(reckoning, bakings, count, out) &&
           production_doughs(reckoning, bakings, count, out);
}
