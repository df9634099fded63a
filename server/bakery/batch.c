/* How many batches, and what the scale says. Both judge settled grams (amount.h): a dough of
 * exactly two full mixers is two batches, and a line of exactly half a division is weighed up. */
#include "bakery/mixing.h"

#include "bakery/amount.h"
#include "base/decimal.h"

int64_t batch_count(fixed dough, const struct mixer *mixer)
{
    fixed batches;
    if (!mixer) return 1;
    if (!fixed_muldiv(settled_grams(dough), 1, fixed_from(mixer->max_mg, WEIGHT_PLACES), ROUND_UP,
                      &batches) ||
        batches > INT64_MAX)
        return INT64_MAX;
    return batches < 1 ? 1 : (int64_t)batches;
}

static int64_t division_for(const struct bakery *bakery, int64_t own_scale_mg, fixed settled)
{
    if (own_scale_mg > 0) return own_scale_mg;
    if (bakery->small_scale_mg > 0 && settled < fixed_from(bakery->small_below_mg, WEIGHT_PLACES))
        return bakery->small_scale_mg;
    return bakery->scale_mg;
}

int64_t weigh(const struct bakery *bakery, int64_t own_scale_mg, fixed grams)
{
    fixed settled = settled_grams(grams);
    int64_t division = division_for(bakery, own_scale_mg, settled);
    fixed divisions;
    fixed mg;
    if (!fixed_muldiv(settled, 1, fixed_from(division, WEIGHT_PLACES), ROUND_HALF_UP, &divisions) ||
        !fixed_muldiv(divisions, division, 1, ROUND_HALF_UP, &mg) || mg > INT64_MAX)
        return INT64_MAX;
    return (int64_t)mg;
}
