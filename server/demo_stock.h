/* The flour store of the demo bakery: deliveries and what was used in the last weeks, and the
 * batches of the last nights. */
#ifndef MORROWLOAF_DEMO_STOCK_H
#define MORROWLOAF_DEMO_STOCK_H

#include "base/date.h"
#include "local.h"
#include "json/reader.h"

#include <stddef.h>

/* Deliveries of one supplier on the same weekdays of some weeks. */
struct demo_delivery {
    const char *supplier;
    const char *mark; /* what its lot marks begin with */
    bool weekdays[8];
    int64_t from, to; /* days ago */
    struct demo_goods {
        const char *ingredient;
        int64_t amount;     /* as the ingredient is counted */
        const char *member; /* "g" or "pieces" */
        int64_t keeps_days; /* until its best-before; 0: none */
    } * goods;
    size_t count;
};

/* What a day used of an ingredient, a tenth more or less. */
struct demo_use {
    const char *ingredient;
    bool weekdays[8];
    int64_t from, to;
    int64_t amount;
    const char *member;
};

struct demo_stock {
    struct demo_delivery *deliveries;
    size_t delivery_count;
    struct demo_use *uses;
    size_t use_count;
    int64_t nights; /* before today, whose batches are mixed as the lists have them */
};

/* "135": Monday, Wednesday, Friday. */
void demo_weekdays_read(const char *days, bool weekdays[8]);

/* Reads the member "store". False when memory is short; faults go on the list of the reader. */
bool demo_stock_read(struct json_object *file, struct demo_stock *stock);
/* Sends the deliveries and what was used. False when a request was refused, which is told. */
bool demo_stock_send(struct local *local, const struct demo_stock *stock, date today);

/* The batches of the last nights, by their time, that are still to be entered. */
struct demo_batches {
    struct local *local;
    struct demo_batch {
        const char *path;
        const char *formula;
        const char *at_text;
        int64_t number;
        instant at;
    } * items;
    size_t count;
    size_t sent;
};

/* What the mixing lists of these nights and of today hold. False as above. */
bool demo_batches_read(struct local *local, struct arena *arena, const struct demo_stock *stock,
                       date today, struct demo_batches *batches);
/* Enters those that begin by then. False as above. */
bool demo_batches_send(struct demo_batches *batches, instant until);

/* A tenth more or less than usual, the same for the same words and date. */
int64_t demo_vary(const char *one, const char *other, date day, int64_t amount);

#endif
