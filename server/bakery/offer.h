/* "Can we take it?": whether more pieces of a product can still be made for a bread day, what binds
 * when they cannot, and until when they can be ordered.
 *
 * The reasons are one table in offer.c: what else can bind is added there as one more row, a code
 * and a function.
 */
#ifndef MORROWLOAF_BAKERY_OFFER_H
#define MORROWLOAF_BAKERY_OFFER_H

#include "bakery/purchase.h"
#include "bakery/starter_plan.h"
#include "bakery/stock_plan.h"
#include "bakery/timetable.h"

/* What there is of an ingredient of which stock is kept. */
struct offer_stock {
    size_t ingredient;
    int64_t usable; /* neither held nor expired */
    bool orderable; /* it is known when more would come that is ordered now: */
    date more_on;   /* then, and nothing is short from that day on */
};

/* What of the store matters. stock_count 0: no stock is kept, and nothing is short. */
struct offer_store {
    const struct offer_stock *stock;
    size_t stock_count;
    const struct awaited *awaited;
    size_t awaited_count;
    const struct posted_batch *posted; /* of today's working day and later */
    size_t posted_count;
    const struct demand *demands; /* of offer_store_horizon() */
    size_t demand_count;
};

/* What is known of the bakery at this moment. */
struct offer_world {
    const struct reckoning *reckoning;
    instant now;
    const struct demand *demands; /* of offer_horizon() */
    size_t demand_count;
    const struct pot_state *pots; /* one per starter of the catalogue; entries 0: its log is not
                                     kept, and it binds nothing */
    struct offer_store store;
};

/* What binds. Only the figures that the reason has are set, the others are 0 or NULL. */
struct offer_reason {
    const char *code;  /* "mix-begun", "mixer-full", "batch-small", "flour-short", "starter-short",
                          "oven-full", "cold-full", "hands-short"; NULL: nothing binds */
    const char *text;  /* the same in a few words, from the same row: "the mixer is full" */
    size_t formula;    /* the dough or preferment; NOT_FOUND: none */
    size_t starter;    /* NOT_FOUND: none */
    size_t ingredient; /* NOT_FOUND: none */
    const struct mixer *mixer;
    const struct oven *oven;
    int64_t short_mg;      /* of the ingredient, of starter, or under the mixer's least */
    int64_t short_minutes; /* how late the bread would be, or minutes of hands missing */
    instant at;            /* when the mix began, or the starter is needed */
};

struct offer {
    bool yes;
    struct offer_reason reason;
    int64_t possible;      /* the most pieces up to those asked for that can be taken */
    int64_t possible_from; /* more than asked for that could be taken instead, when a batch is too
                              small; 0: none */
};

/* The bread days whose orders matter. */
void offer_horizon(const struct reckoning *reckoning, instant now, date bread_day, date *first,
                   date *last);

/* The bread days whose orders take of the same stock: those that are mixed from today's working day
 * on, until the last night of the bread day or until more can come. */
void offer_store_horizon(const struct reckoning *reckoning, instant now, date bread_day,
                         const struct offer_stock *stock, size_t stock_count, date *first,
                         date *last);

/* The reasons are asked in the order of the table; the first that binds is told. Only what the
 * added pieces make worse binds: a night that is too full already refuses no bread that it does not
 * touch. Of machines the timetable is asked: a mixer, an oven or the cold is full when for want of
 * it a dough would have to begin before now, or half a day earlier than it need, or to wait a tenth
 * longer than it may. possible is always an offer that was reckoned through; since timetables are
 * searched for, a very full night may have room for more than is told. False with faults on the
 * list: overflow, or short memory. */
bool offer_of(const struct offer_world *world, date bread_day, size_t product, int64_t pieces,
              struct offer *out);

/* The last moment at which one more piece can be ordered. */
struct last_order {
    bool any;  /* whether the product is made of any dough */
    bool over; /* it has passed */
    instant at;
    size_t formula; /* whose mix begins then, or */
    size_t starter; /* whose last feed before the mix is then; the other is NOT_FOUND */
};

/* For every product of the catalogue: the earliest begin of any mix below it as scheduled by the
 * timetable with today's orders, or the last feed of a starter before it when the plan of feeds
 * leaves nothing over for one more piece. */
bool last_orders_of(const struct offer_world *world, date bread_day, struct last_order *out);

#endif
