/* Numbers in addresses: the id of an order, the number of a print. */
#ifndef MORROWLOAF_API_NUMBER_H
#define MORROWLOAF_API_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

/* A positive whole number as we write it ourselves, so that one thing has one address: digits only,
 * no leading zero. False, and *number is left alone, for anything else. */
bool number_parse(const char *text, int64_t *number);

#endif
