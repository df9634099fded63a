/* Limits of what may be entered, in the units of base/decimal.h. Wide enough for any bakery, narrow
 * enough that no sum of theirs overflows. */
#ifndef MORROWLOAF_API_LIMITS_H
#define MORROWLOAF_API_LIMITS_H

#include <stdint.h>

#define WEIGHT_MAX      INT64_C(1000000000000000) /* 10^12 g: 15 digits of a JSON number */
#define PERCENT_MAX     INT64_C(10000000000)      /* 1,000,000 % */
#define PERCENT_ALL     INT64_C(1000000)          /* 100 % */
#define PIECES_MAX      INT64_C(1000000)
#define PRICE_MAX       INT64_C(1000000000000000) /* 10^9 of the currency unit */
#define MINUTES_MAX     INT64_C(20160)            /* a fortnight */
#define HANDS_MAX       INT64_C(99)
#define LINES_MAX       100
#define STAGES_MAX      50
#define ORDER_LINES_MAX 1000
#define MIXERS_MAX      20
#define OVENS_MAX       20
#define DECKS_MAX       INT64_C(50)
#define PLACES_MAX      INT64_C(100)
#define SHIFTS_MAX      50
#define RIPENINGS_MAX   50
#define PARTS_MAX       INT64_C(10000000) /* 1,000 parts, in PERCENT_PLACES */
#define BAKE_STEPS_MAX  20
#define POWER_MAX       INT64_C(1000000)   /* watts */
#define LABOUR_MAX      INT64_C(201600000) /* a fortnight of minutes, in MINUTE_PLACES */
#define BREAKS_MAX      20
#define BASE_MAX        INT64_C(1000000000) /* minutes of labour or pieces */
#define CHANGES_MAX     50
#define PER_PLACE_MAX   INT64_C(10000)
#define MOVES_MAX       500
#define ALLERGENS_MAX   30

/* In characters. */
#define MARK_MAX_CHARACTERS  100
#define PLACE_MAX_CHARACTERS 60

#endif
