/* The bakery's facts as the arithmetic sees them: plain structs, no I/O.
 *
 * A catalogue holds everything but orders. Things name each other by code; catalogue_resolve()
 * turns the codes into indexes, so that the sums never search. All memory belongs to the arena of
 * the request that loaded it. Units as in base/decimal.h: *_mg milligrams, *_pct 1/10,000 of a
 * percent, *_c 1/10,000 of a degree Celsius, micros millionths of the currency unit.
 */
#ifndef MORROWLOAF_BAKERY_MODEL_H
#define MORROWLOAF_BAKERY_MODEL_H

#include "base/date.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define NOT_FOUND ((size_t)-1)

enum {
    PERCENT_ONE = 10000,               /* 1 % */
    PERCENT_WHOLE = 100 * PERCENT_ONE, /* 100 % */
    NESTING_MAX = 8                    /* levels of preferment below a dough */
};

enum ingredient_kind { KIND_FLOUR, KIND_WATER, KIND_SALT, KIND_OTHER, KIND_PACKAGING };
enum ingredient_unit { UNIT_GRAM, UNIT_PIECE };

struct ingredient {
    const char *code;
    const char *name;
    enum ingredient_kind kind;
    enum ingredient_unit unit;
    bool has_water_pct;
    int64_t water_pct; /* of a kind "other": counts towards hydration */
    const char *const *allergens;
    size_t allergen_count;
    int64_t scale_mg; /* division of its own scale; 0: the bakery's */
    int64_t revision;
};

struct flour_share {
    const char *ingredient;
    size_t index; /* in catalogue.ingredients */
    int64_t pct;  /* of the starter's flour */
};

struct starter {
    const char *code;
    const char *name;
    int64_t hydration_pct; /* water over flour */
    struct flour_share *flours;
    size_t flour_count;
    const char *water;
    size_t water_index;
    int64_t keep_mg;
    const char *note; /* or NULL */
    int64_t revision;
};

enum line_kind { LINE_INGREDIENT, LINE_STARTER, LINE_FORMULA };

struct line {
    enum line_kind kind;
    const char *code;
    size_t index;     /* in the catalogue's list of that kind */
    bool flour_share; /* pct is the share of all flour that is fermented in this part ("flour_pct")
                       */
    int64_t pct;
};

struct stage {
    const char *name;
    int64_t minutes;
    const char *at; /* where or how warm, free text; or NULL */
    int64_t hands;  /* pairs of hands that it keeps busy */
};

enum basis { BASIS_FINAL, BASIS_TOTAL };

struct formula {
    const char *code;
    const char *name;
    enum basis basis;
    struct line *lines;
    size_t line_count;
    int64_t handling_loss_pct;
    bool has_dough_c;
    int64_t dough_c;
    const char *mixer; /* NULL: the largest */
    bool by_hand;      /* no mixer: one batch */
    struct stage *stages;
    size_t stage_count;
    const char *note; /* or NULL */
    int64_t revision;
};

struct part {
    enum line_kind kind; /* LINE_INGREDIENT or LINE_FORMULA */
    const char *code;
    size_t index;
    int64_t mg; /* scaled raw, of one piece */
};

struct packaging {
    const char *ingredient;
    size_t index;
    int64_t pieces; /* for one piece of the product */
};

struct product {
    const char *code;
    const char *name;
    struct part *parts;
    size_t part_count;
    struct packaging *packaging;
    size_t packaging_count;
    int64_t spare_pct;
    int64_t bake_loss_pct;
    int64_t declared_mg; /* 0: none */
    int ready_at;        /* NO_CLOCK: the bakery's */
    const char *note;    /* or NULL */
    int64_t revision;
};

struct mixer {
    const char *code;
    int64_t min_mg;
    int64_t max_mg;
};

struct bakery {
    const char *name;      /* NULL: not entered yet */
    const char *currency;  /* ISO 4217 */
    const char *time_zone; /* IANA name */
    int ready_at;
    int day_starts_at;
    struct mixer *mixers;
    size_t mixer_count;
    int64_t scale_mg;
    int64_t small_scale_mg; /* 0: none */
    int64_t small_below_mg;
    int64_t revision;
};

/* The pack price of an ingredient in force on a day. */
struct price {
    bool known;
    int64_t micros;      /* of one pack */
    int64_t pack_mg;     /* or */
    int64_t pack_pieces; /* by the ingredient's unit */
};

struct catalogue {
    struct bakery bakery;
    struct ingredient *ingredients;
    size_t ingredient_count;
    struct starter *starters;
    size_t starter_count;
    struct formula *formulas;
    size_t formula_count;
    struct product *products;
    size_t product_count;
    struct price *prices; /* one per ingredient, or NULL when no day was asked for */
};

/* Pieces ordered of one product for one bread day, by customers who want them at ready_at. */
struct demand {
    date bread_day;
    size_t product;
    int ready_at; /* the customer's; NO_CLOCK: none of their own */
    int64_t pieces;
};

#endif
