/* Price lists, as other endpoints need them. */
#ifndef MORROWLOAF_API_PRICE_LISTS_H
#define MORROWLOAF_API_PRICE_LISTS_H

#include "bakery/pricing.h"

struct request;

/* Adds a fault at pointer when code names no price list; NULL names none and is fine. False only
 * when the book could not be read. */
bool price_list_check(struct request *request, const char *pointer, const char *code);

/* The list of that code; a fault at pointer when there is none. Without a code:
 * the first by code, or when there are none, one with tax in the currency's smallest unit whose
 * code is NULL. */
bool price_list_find(struct request *request, const char *pointer, const char *code,
                     struct price_list *list);

#endif
