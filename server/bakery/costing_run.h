/* Costing at work: what the files of costing share. Everything lives in the reckoning's arena. */
#ifndef MORROWLOAF_BAKERY_COSTING_RUN_H
#define MORROWLOAF_BAKERY_COSTING_RUN_H

#include "bakery/amount.h"
#include "bakery/costing.h"
#include "bakery/costing_loads.h"
#include "bakery/mixing.h"
#include "bakery/plan.h"
#include "base/decimal.h"

/* A mix that the day's breads may have a part in. */
struct costing_mix {
    const struct planned_mix *planned;
    fixed asked;     /* what must come out of it, for whomever */
    int64_t batches; /* 0: not divided yet */
    const struct mixer *mixer;
};

/* Who takes so much of a mix. */
struct costing_use {
    size_t baking; /* of the plan, or */
    size_t user;   /* the mix; the other is NOT_FOUND */
    size_t mix;    /* NOT_FOUND: before the dates of the plan */
    fixed grams;
};

struct costing_mixes {
    struct mixing_plan plan;
    struct costing_mix *items; /* whatever takes a mix stands before it */
    size_t count;
    struct costing_use *uses; /* by bakings first, then by mixes in their order */
    size_t use_count;
};

/* The working days on which mixes for a bread day can begin. False when memory is short. */
bool costing_mixing_dates(const struct reckoning *reckoning, date bread_day, date *first,
                          date *last);
/* Plans every mix of the day. */
bool costing_mixes_of(const struct costing_day *day, struct costing_mixes *out);
/* Grams of every mix that are for a product's bread of the day: of its dough, or within the mixes
 * that take it. weights has room for all mixes. */
bool costing_weights(const struct costing_mixes *mixes, date bread_day, size_t product,
                     fixed *weights);
/* Fills in the batches and the mixer of a mix. */
bool costing_divide(const struct costing_mixes *mixes, struct costing_mix *mix);

/* The costing of a day. */
struct costing_run {
    const struct costing_day *day;
    const struct reckoning *reckoning;
    struct rates rates;     /* none known when there are none */
    const char *rates_path; /* where they are stored; NULL */
    struct production made; /* the products of the day */
    struct costing_mixes mixes;
    int64_t loads;            /* of all products of the day whose loads are known */
    int64_t load_minutes;     /* sum of loads x minutes in the deck */
    size_t *nodes;            /* per formula: of its tree, COSTING_NODES_MAX + 1 at most */
    const char **price_paths; /* per ingredient; NULL until asked for, and so on */
    const char **formula_paths;
    const char **starter_paths;
};

/* A formula with a larger tree opens into its ingredients at once. */
enum { COSTING_NODES_MAX = 2000 };

/* A product of it. */
struct costing_item {
    struct costing_run *run;
    const struct product *product;
    const char *path; /* of the product */
    struct product_costing *out;
    size_t missing_room;
    struct costing_loads loads;
    fixed *lost;          /* per formula: grams that a piece leaves behind in its mix */
    fixed *taken;         /* per starter: grams for a piece, losses included */
    fixed *weights;       /* per mix */
    fixed minutes;        /* labour of one ordered piece */
    int64_t fixed_micros; /* of one ordered piece: what stays with fewer pieces */
};

/* --- nodes --- */

/* Words or a path; NULL when memory is short, and so the others. */
const char *costing_text(const struct costing_run *run, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
const char *costing_formula_path(const struct costing_run *run, size_t formula);
const char *costing_starter_path(const struct costing_run *run, size_t starter);

/* Marks a leaf as a hole, and lists the fact that is missing, once. what may be NULL for want of
 * memory: then false. */
bool costing_missing(struct costing_item *item, struct why *leaf, const char *source,
                     const char *what);

/* Sets what a leaf costs. */
bool costing_set_money(const struct costing_item *item, struct why *leaf, fixed money);
/* Sets how much of something a node stands for. */
bool costing_set_grams(const struct costing_item *item, struct why *node, fixed grams);
/* A leaf of so many grams or pieces of an ingredient; nothing for nothing. */
bool costing_add_grams(struct costing_item *item, struct why *parent, size_t ingredient,
                       fixed grams);
/* Pieces of an ingredient, of which one ordered piece bears pieces / among. */
bool costing_add_pieces(struct costing_item *item, struct why *parent, size_t ingredient,
                        int64_t pieces, int64_t among);

/* "Country dough, mixed on 2027-05-09 in 3 batches: 41.2 % of it". NULL when memory is short or the
 * share does not fit. */
const char *costing_mix_words(const struct costing_item *item, const struct costing_mix *mix,
                              fixed part);

/* --- the kinds: each adds what there is of it to a node, maybe nothing --- */

/* Must come first: fills lost and taken. */
bool costing_explode(struct costing_item *item);
bool costing_ingredients(struct costing_item *item, struct why *node);
bool costing_handling(struct costing_item *item, struct why *node);
bool costing_spare(struct costing_item *item, struct why *node);
bool costing_starter(struct costing_item *item, struct why *node);
bool costing_packaging(struct costing_item *item, struct why *node);
/* node NULL: the minutes alone. */
bool costing_labour(struct costing_item *item, struct why *node);
bool costing_energy(struct costing_item *item, struct why *node);
bool costing_delivery(struct costing_item *item, struct why *node);
/* After labour. */
bool costing_overhead(struct costing_item *item, struct why *node);
/* After all others have been summed up. */
bool costing_unsold(struct costing_item *item, struct why *node);

#endif
