/* Numbers in addresses: the id of an order, the number of a print. */
#ifndef MORROWLOAF_API_NUMBER_H
#define MORROWLOAF_API_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

struct request;

/* A positive whole number as we write it ourselves, so that one thing has one address: digits only,
 * no leading zero. False, and *number is left alone, for anything else. */
bool number_parse(const char *text, int64_t *number);

/* The number of a thing of that kind in the path; FAIL_NOT_FOUND ("there is no lot 07") when it is
 * written otherwise. */
bool number_of_path(struct request *request, const char *name, const char *kind, int64_t *number);

#endif
