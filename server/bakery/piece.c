/* Weight of one piece. */
#include "bakery/piece.h"

#include "base/fixed.h"

int64_t piece_raw_mg(const struct product *product)
{
    int64_t sum = 0;
    for (size_t i = 0; i < product->part_count; i++) {
        if (product->parts[i].mg > ORDER_WEIGHT_MAX_MG - sum) return -1;
        sum += product->parts[i].mg;
    }
    return sum;
}

int64_t piece_baked_mg(const struct product *product)
{
    int64_t raw = piece_raw_mg(product);
    fixed baked;
    if (raw < 0 || !fixed_muldiv(raw, PERCENT_WHOLE - product->bake_loss_pct, PERCENT_WHOLE,
                                 ROUND_HALF_EVEN, &baked))
        return -1;
    return (int64_t)baked;
}

bool pieces_in_range(int64_t pieces, int64_t piece_mg)
{
    return piece_mg <= 0 || pieces <= ORDER_WEIGHT_MAX_MG / piece_mg;
}
