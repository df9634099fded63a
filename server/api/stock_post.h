/* What all postings to the stock have in common: the day, the ingredients that are held, what is
 * taken of their lots. */
#ifndef MORROWLOAF_API_STOCK_POST_H
#define MORROWLOAF_API_STOCK_POST_H

#include "api/reckon.h"
#include "store/stock.h"
#include "json/reader.h"

struct request;

enum { STOCK_LINES_MAX = 100, DAYS_AHEAD_MAX = 2 * 366 };

struct stock_post {
    struct day day;
    date today;
    struct stock_set set; /* of the ingredients that are moved */
    struct shelf *shelves;
    size_t shelf_count;
};

/* Opens the day with an empty set. The struct points into itself: do not copy it. */
bool stock_post_open(struct request *request, struct stock_post *post);

/* The date of a posting: today when absent; more than DAYS_AHEAD_MAX days ahead is a fault. */
date stock_post_date(struct json_object *body, const char *name, enum json_need need, date today);

/* The ingredient in member "ingredient"; NOT_FOUND with a fault when there is none. Then its amount
 * cannot be read: its members count as read. */
size_t stock_post_ingredient(struct json_object *body, const struct catalogue *catalogue);

/* Begins the book of the ingredients of the set where it is needed, which nothing else may do at
 * the same time. */
bool stock_post_begin(struct request *request, struct stock_post *post);
/* Holds the ingredients of the set, leaves those in it of which stock is kept, and loads their
 * shelves as shelves_load() does. */
bool stock_post_hold(struct request *request, struct stock_post *post, date day, int64_t after);
/* The loaded shelf that a move is of; NULL: it is empty, and was on every later day. */
struct shelf *stock_post_shelf(const struct stock_post *post, const struct stock_move *move);
/* Takes from the shelves that were loaded. */
bool stock_post_take(struct request *request, struct stock_post *post, date day, bool allow_held,
                     const struct stock_take *takes, size_t take_count, struct stock_move **moves,
                     size_t *move_count);
/* Holds the ingredients of the takes, loads their shelves, and takes what stock is kept of. A lot
 * that was chosen where none is kept is a fault. Takes of no amount, or of ingredient NOT_FOUND,
 * are passed over; all of them are used up. */
bool stock_post_take_kept(struct request *request, struct stock_post *post, date day,
                          struct stock_take *takes, size_t take_count, struct stock_move **moves,
                          size_t *move_count);

#endif
