/* Who uses a thing: what a refused deletion tells. */
#ifndef MORROWLOAF_STORE_REFERENCE_H
#define MORROWLOAF_STORE_REFERENCE_H

#include <stdbool.h>

struct tx;

/* A sentence's part such as "formula country-loaf, product tin-loaf and others"; NULL when nobody
 * uses it. kind: "ingredient", "starter", "formula", "product", "customer", "supplier", "mixer". */
bool reference_users(struct tx *tx, const char *kind, const char *code, const char **users);

#endif
