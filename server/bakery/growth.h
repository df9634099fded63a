/* How fast sourdough microbes grow at a temperature, as a share of their fastest.
 *
 * Shares are floating, being estimates of hours and not of anything weighed or paid. Between
 * published anchors (M. Gaenzle with M. Brandt, rec.food.sourdough FAQ, question 39; Brandt, Hammes
 * and Gaenzle 2004, Eur Food Res Technol 218:333) a monotone curve runs through every anchor.
 */
#ifndef MORROWLOAF_BAKERY_GROWTH_H
#define MORROWLOAF_BAKERY_GROWTH_H

#include <stdint.h>

/* c in 1/10,000 degree. 0 where nothing grows, 1 at the optimum; monotone on either side of it. */
/* None at 4 and 41, a quarter at 15 and 39, half at 20 and 37, fastest at 32-33. */
double growth_lactobacilli(int64_t c);
/* None at 8 and 35, a quarter at 14 and 34, half at 20 and 32, fastest at 28. */
double growth_yeast(int64_t c);
/* A starter as its baker sees it rise: none at 4 and 41, a quarter at 15 and 39, half at 20 and 37,
 * fastest at 28-32. */
double growth_starter(int64_t c);

enum {
    STARTER_BEST_FROM_C = 280000, /* growth_starter() is 1 from here */
    STARTER_BEST_TO_C = 320000,   /* to here */
    GROWTH_NEVER = -1,
    GROWTH_LONGEST = 1000000000
};

/* For those who reckon in whole numbers: how long a starter takes at c for what takes at_best (0 or
 * more, in any unit) where it grows fastest, rounded. GROWTH_NEVER when nothing grows there, or
 * from GROWTH_LONGEST on. */
int64_t growth_time(int64_t at_best, int64_t c);

#endif
