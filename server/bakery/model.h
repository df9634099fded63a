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
    MINUTE_PLACES = 4,                 /* of labour */
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

/* How long a feed took to ripen, as the baker has seen it. Seed, flour and water are parts by
 * weight (in PERCENT_PLACES): 1 : 2 : 2. */
struct ripening {
    int64_t seed, flour, water;
    int64_t c; /* at which it stood */
    int64_t minutes;
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
    struct ripening *ripenings; /* its ratios are those it is used to */
    size_t ripening_count;
    int64_t stays_ripe_minutes;
    int64_t stands_c;            /* where it usually ripens */
    int64_t pot_mg;              /* what its pot holds; 0: any amount */
    int64_t feed_within_minutes; /* at work, it is fed again no later than that after a feed */
    int64_t rest_feed_days;      /* in the cold, the same */
    int64_t wake_feeds;          /* feeds after the cold before anything is taken */
    const char *note;            /* or NULL */
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

/* What a stage occupies. */
enum stage_use { USES_NOTHING, USES_MIXER, USES_OVEN, USES_COLD };

/* What the labour of a stage is counted by. */
enum labour_per {
    LABOUR_USUAL,
    LABOUR_PER_MIX,
    LABOUR_PER_BATCH,
    LABOUR_PER_PIECE,
    LABOUR_PER_LOAD
};

struct stage {
    const char *name;
    int64_t minutes;
    const char *at; /* where or how warm, free text; or NULL */
    int64_t hands;  /* pairs of hands that it keeps busy */
    enum stage_use uses;
    int64_t most_minutes;       /* how long it may last when the oven is not free; 0: minutes */
    enum labour_per labour_per; /* LABOUR_USUAL: minutes x hands of every batch, from the oven on of
                                   every load */
    int64_t labour_minutes; /* of one pair of hands, in MINUTE_PLACES; unset with LABOUR_USUAL */
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

/* A part of a bake at one temperature. */
struct bake_step {
    int64_t c;
    int64_t minutes;
    bool steam; /* given at its beginning */
};

/* How a product is baked: what fits, and how hot how long. */
struct bake {
    int64_t per_place; /* pieces on one place (a tray, or the whole stone of a deck); 0: no bake */
    struct bake_step *steps;
    size_t step_count;
};

/* What a price is worked out from: one of the three that the trade uses. */
enum target_kind { TARGET_NONE, TARGET_MARGIN, TARGET_MARKUP, TARGET_INGREDIENT_SHARE };

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
    struct bake bake;
    int64_t
        labour_minutes; /* of one pair of hands for a piece, besides the stages; MINUTE_PLACES */
    int64_t unsold_pct; /* of what is made: comes back, or is thrown away */
    int64_t tax_pct;    /* on top of the net price */
    enum target_kind target;
    int64_t target_pct;
    const char *note; /* or NULL */
    int64_t revision;
};

struct mixer {
    const char *code;
    int64_t min_mg;
    int64_t max_mg;
    bool has_friction;
    int64_t friction_c; /* by how many degrees mixing warms a dough */
    int64_t power_w;    /* while it mixes; 0: not known */
};

/* Decks that are heated and loaded each by itself. */
struct oven {
    const char *code;
    int64_t decks;
    int64_t places; /* trays in a deck; 1: the stone itself */
    int64_t preheat_minutes;
    int64_t recovery_minutes; /* from emptying a deck to its next load */
    int64_t power_w;          /* of one deck, on average while it heats and bakes; 0: not known */
};

/* When somebody is there to work. */
struct shift {
    const char *name; /* or NULL */
    unsigned days;    /* bit 1 Monday ... bit 7 Sunday on which it begins */
    int from, to;     /* clock times; to <= from: of the next day */
    int64_t hands;    /* pairs of them */
};

struct temperature {
    bool known;
    int64_t c;
};

/* What is measured before mixing. */
struct temperatures {
    struct temperature room, flour, tap;
    struct temperature preferment; /* and starter */
};

/* What ingredients cost in products. */
enum cost_by { COST_BY_PACK, COST_BY_AVERAGE, COST_BY_FIFO };

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
    struct oven *ovens;
    size_t oven_count;
    struct shift *shifts;
    size_t shift_count;
    int64_t cold_mg;           /* dough that the cold space holds; 0: any amount */
    int feed_from, feed_to;    /* hours in which somebody can feed; NO_CLOCK in both: any */
    struct temperatures usual; /* when nothing else was measured */
    enum cost_by cost_by;
    int64_t revision;
};

/* The price of an ingredient in force on a day: its pack price, or what the stock cost. */
struct price {
    bool known;
    date from;
    int64_t micros;      /* of one pack */
    int64_t pack_mg;     /* or */
    int64_t pack_pieces; /* by the ingredient's unit */
    bool of_stock;       /* by the book of what came in, for as much as cost that */
};

struct money {
    bool known;
    int64_t micros;
};

enum overhead_by { OVERHEAD_BY_MINUTES, OVERHEAD_BY_PIECES };

/* What everything but ingredients costs, from a date on. A sum that is not known leaves its kind of
 * cost out. */
struct rates {
    bool known; /* any were entered */
    date from;
    struct money hand_hour; /* of one pair of hands */
    struct money kwh;
    struct money overhead_month;
    enum overhead_by overhead_by;
    int64_t overhead_base; /* minutes of labour, or pieces, of a month */
    struct money round;    /* one delivery round */
    int64_t round_pieces;  /* pieces that it carries */
};

/* What was thrown away of a starter for what was taken of it. */
struct starter_waste {
    int64_t taken_mg;
    int64_t discarded_mg;
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
