/* The blend of a starter's flours. */
#include "bakery/blend.h"

#include "bakery/model.h"
#include "base/fixed.h"

int64_t blend_part_mg(int64_t flour_mg, int64_t pct)
{
    fixed part = 0; /* a share of what fits, fits */
    fixed_muldiv(flour_mg, pct, PERCENT_WHOLE, ROUND_HALF_EVEN, &part);
    return (int64_t)part;
}
