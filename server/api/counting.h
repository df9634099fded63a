/* Counting: the book is set right by what was found. */
#ifndef MORROWLOAF_API_COUNTING_H
#define MORROWLOAF_API_COUNTING_H

#include "api/stock_post.h"

/* What was found of an ingredient: of all of it, of a lot, or of a lot in a place. */
struct counted {
    size_t ingredient;
    int64_t lot;       /* 0: all */
    const char *place; /* NULL: all */
    int64_t amount;
    const char *pointer;     /* of the amount */
    const char *lot_pointer; /* of the lot */
    int64_t expected;        /* set by counting_post(), and the lot where a book was begun */
};

/* Posts a count of kind "counted": sets the book right by a movement for every difference, and
 * keeps what was expected and found. More than the book says goes to the lot (without one to the
 * newest, and in its place to where there is most of it), less is missed from the oldest first. An
 * ingredient without a book begins it with a lot of no supplier at the pack price in force. Faults:
 * an unknown lot, or one of another ingredient, at lot_pointer; too little to be missed on a later
 * day, at pointer. */
bool counting_post(struct request *request, struct stock_post *post, struct posting *posting,
                   struct counted *counts, size_t count);

#endif
