/* What is left of each ingredient, what of it is spoken for, and how long it lasts. */
#ifndef MORROWLOAF_API_STOCK_OUTLOOK_H
#define MORROWLOAF_API_STOCK_OUTLOOK_H

#include "api/reckon.h"
#include "bakery/stock.h"
#include "bakery/stock_use.h"

struct request;

enum {
    OUTLOOK_DAYS = 42,  /* that are looked ahead */
    USUAL_DAYS = 8 * 7, /* that the usual week is learnt from */
    SOON_DAYS = 14      /* a best-before that is so near is told */
};

struct stock_item {
    size_t ingredient;
    int64_t on_hand;
    int64_t usable; /* neither held nor expired */
    int64_t held, expired;
    bool has_best_before;
    date best_before; /* the next of what is usable */
    int64_t spoken_for;
    int64_t unspoken; /* usable less spoken for; negative: too little */
    int64_t on_order;
    struct usual_week usual;
    struct course_day *course; /* OUTLOOK_DAYS from today */
    bool runs;
    date runs_out;
    int64_t cover_days; /* until then */
};

struct stock_outlook {
    date today;    /* the working day */
    date calendar; /* the day that the wall clock shows: the same or the next; what is expired is
                      so on that day */
    struct stock_item *items; /* by ingredient code; those of which stock is kept */
    size_t count;
    struct shelf *shelves; /* by ingredient, lot and place */
    size_t shelf_count;
};

/* Opens the day, and works everything out as of now. by, today or later: movements that are dated
 * after it are left out, and what their batches took is still spoken for; DATE_LAST: none is. */
bool stock_outlook_load(struct request *request, struct day *day, date by,
                        struct stock_outlook *out);

#endif
