/* Things of the book that a request names: in its path, or in the members of its body. */
#ifndef MORROWLOAF_API_NAMED_H
#define MORROWLOAF_API_NAMED_H

#include "bakery/model.h"

struct request;

/* The ingredient of the path ("code"); FAIL_NOT_FOUND when there is none. Its texts are the
 * transaction's. */
bool ingredient_of_path(struct request *request, struct ingredient *ingredient);

/* Adds a fault at "/supplier" when there is no supplier of that code; NULL: none is named. False
 * only when the book could not be read: ask fails_any() when the whole body has been read. */
bool supplier_is_known(struct request *request, const char *code);

#endif
