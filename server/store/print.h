/* Prints of mixing lists: records, never changed. */
#ifndef MORROWLOAF_STORE_PRINT_H
#define MORROWLOAF_STORE_PRINT_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct tx;

struct print {
    date mixing_date;
    int64_t number;   /* of that date, from 1 */
    int64_t replaces; /* the print before it; 0: none */
    instant printed_at;
    const char *printed_by;
    const char *body; /* JSON as it was printed; NULL in lists */
};

/* Freezes body as the next print of that date; two at once get two numbers. Sets the rest. */
bool print_add(struct tx *tx, struct print *print);
/* The prints of a date by number, without bodies. */
bool print_select(struct tx *tx, date mixing_date, struct print **items, size_t *count);
/* One print with its body; number 0: the last. *found tells whether there is one. */
bool print_get(struct tx *tx, date mixing_date, int64_t number, struct print *print, bool *found);

#endif
