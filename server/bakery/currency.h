/* Currencies: how many decimals their smallest unit has (ISO 4217). */
#ifndef MORROWLOAF_BAKERY_CURRENCY_H
#define MORROWLOAF_BAKERY_CURRENCY_H

#include <stdbool.h>

/* Three capital letters: the form of a code of ISO 4217. */
bool currency_form(const char *code);
/* Decimals of the minor unit: 2 but for the exceptions of ISO 4217's list one. */
int currency_places(const char *code);

#endif
