/* What one piece of a product weighs, raw and baked. */
#ifndef MORROWLOAF_BAKERY_PIECE_H
#define MORROWLOAF_BAKERY_PIECE_H

#include "bakery/model.h"

/* No line of an order may weigh more than this raw: a thousand thousand tonnes. */
#define ORDER_WEIGHT_MAX_MG INT64_C(1000000000000000)

/* Sum of the parts in milligrams; -1 when it is over ORDER_WEIGHT_MAX_MG. */
int64_t piece_raw_mg(const struct product *product);
/* Baked weight: raw x (1 - bake loss), the loss being a share of the dough weight (definition of
 * bake loss in the handbooks), rounded half to even. -1 when raw is out of range. */
int64_t piece_baked_mg(const struct product *product);
/* Whether that many pieces stay within ORDER_WEIGHT_MAX_MG. */
bool pieces_in_range(int64_t pieces, int64_t piece_mg);

#endif
