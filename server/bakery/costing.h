/* What one piece of a product costs: everything, built up in lines that open down to stored facts.
 *
 * Costs are of a piece that is ordered, on a bread day with so many orders: what is made in spare
 * and what comes back unsold is carried by those that are sold. Common practice of the trade
 * (process costing by lines; overhead absorbed by labour minutes or by pieces).
 *
 *   ingredients   grams of every line through preferments and starter x pack price in force
 *   handling      what goes into the mix and does not come out of it
 *   spare         ingredients of the spare pieces over the ordered ones
 *   starter       what is thrown away of a starter for what is taken of it
 *   packaging     by piece
 *   labour        minutes of every stage (per mix, batch, piece or load) x cost of an hour; a mix
 *                 that several products or days share is divided by weight
 *   energy        power x minutes x tariff: mixers by batch, decks by load, preheating shared by
 *                 the minutes that loads of the day are in the decks
 *   delivery      cost of a round / pieces that it carries
 *   overhead      monthly sum / monthly base x labour minutes of the piece, or x 1
 *   unsold        the sum of all these x u / (1 - u)
 *
 * A kind whose rate was never entered is left out, and named (left_out). A fact that is missing
 * although its rate is there, or a pack price, is a hole (missing): the figure is then not known.
 */
#ifndef MORROWLOAF_BAKERY_COSTING_H
#define MORROWLOAF_BAKERY_COSTING_H

#include "bakery/needs.h"
#include "bakery/why.h"

enum cost_kind {
    COST_INGREDIENTS,
    COST_HANDLING,
    COST_SPARE,
    COST_STARTER,
    COST_PACKAGING,
    COST_LABOUR,
    COST_ENERGY,
    COST_DELIVERY,
    COST_OVERHEAD,
    COST_UNSOLD,
    COST_KINDS
};

extern const char *const cost_words[COST_KINDS]; /* as on the wire */

struct costing_day {
    const struct reckoning *reckoning; /* with the prices of the day */
    date bread_day;
    const struct demand *demands; /* that cover the mixes of the day: costing_horizon() */
    size_t demand_count;
    const struct rates *rates;         /* in force that day */
    const struct starter_waste *waste; /* per starter of the catalogue */
};

struct missing_fact {
    const char *what;   /* "price of Wholemeal rye flour" */
    const char *source; /* where to enter it */
};

struct product_costing {
    size_t product;
    int64_t ordered, pieces; /* that day, spare included in pieces */
    struct why *root;        /* value: cost of one ordered piece in micros; children: the kinds that
                                count, in their order, each a tree */
    struct why *kinds[COST_KINDS]; /* NULL: nothing of that kind */
    bool left_out[COST_KINDS];     /* no rate was entered for it */
    struct missing_fact *missing;
    size_t missing_count;
    bool known;                 /* nothing is missing */
    int64_t each_micros;        /* root's value; without the missing ones when not known */
    int64_t ingredients_micros; /* of it: ingredients, handling, spare and starter */
    int64_t per_kg_micros;      /* of baked weight; 0 when nothing is left of the piece */
    int64_t per_100g_micros;    /* the same, rounded by itself */
    int64_t baked_mg;
    int64_t labour_minutes;   /* of one ordered piece, MINUTE_PLACES */
    int64_t day_fixed_micros; /* what the day's costs of it do not fall by with fewer pieces: labour
                                 per mix and batch and load, preheating, overhead; of all its
                                 pieces, with their part of what comes back */
    int64_t each_variable_micros; /* the rest, of one piece: day_fixed + ordered x each_variable =
                                     ordered x each */
};

/* The bread days whose orders have a part in the mixes of a bread day. */
void costing_horizon(const struct reckoning *reckoning, date bread_day, date *first, date *last);

/* Costs one product, or all of the day when product is NOT_FOUND (by code). A product that nobody
 * ordered that day is costed as if one load (or one piece, when no load is known) were ordered. */
bool costing_of(const struct costing_day *day, size_t product, struct product_costing **out,
                size_t *count);

/* The orders of a typical day: of every product the mean pieces of the bread days in history on
 * which it was ordered at all, rounded half up; a product that never was: one load, or one piece.
 * All for bread_day. NULL when memory is short. */
struct demand *typical_demands(const struct reckoning *reckoning, date bread_day,
                               const struct demand *history, size_t history_count, size_t *count);

/* The need of an ingredient of a bread day as a tree in milligrams (or pieces): product, line by
 * line through the formulas, orders. */
struct order_pieces {
    int64_t order_id;
    size_t product;
    const char *customer; /* its name */
    int64_t pieces;
};
bool need_why(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
              size_t demand_count, const struct order_pieces *orders, size_t order_count,
              size_t ingredient, struct why **out);

#endif
