/* How so much flour divides by a starter's blend. */
#ifndef MORROWLOAF_BAKERY_BLEND_H
#define MORROWLOAF_BAKERY_BLEND_H

#include <stdint.h>

/* A flour's part of so much flour, rounded half to even at a milligram. */
int64_t blend_part_mg(int64_t flour_mg, int64_t pct);

#endif
