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
double growth_lactobacilli(int64_t c); /* none at 4 and 41, half at 20 and 37, fastest at 32-33 */
double growth_yeast(int64_t c);        /* none at 8 and 35, half at 20 and 32, fastest at 28 */
/* A starter as its baker sees it rise: none at 4 and 41, a quarter at 15, half at 20, fastest at
 * 28-32. */
double growth_starter(int64_t c);

#endif
