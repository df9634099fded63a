/* Why a figure is what it is: a tree whose leaves are stored facts, and sum exactly to it.
 *
 * The value of every node is the sum of its children's values, to the last digit; a node without
 * children is a fact, and says where it is stored.
 */
#ifndef MORROWLOAF_BAKERY_WHY_H
#define MORROWLOAF_BAKERY_WHY_H

#include "bakery/model.h"

struct reckoning;

enum why_unit {
    WHY_NOTHING,
    WHY_GRAMS,      /* quantity in milligrams */
    WHY_PIECES,     /* whole */
    WHY_MINUTES,    /* in MINUTE_PLACES: of one pair of hands */
    WHY_WATT_HOURS, /* in milliwatt-hours */
    WHY_PERCENT     /* in PERCENT_PLACES */
};

/* What a unit of something costs: so much money for so many of it, from a date on. */
struct why_rate {
    bool known;
    int64_t micros;
    enum why_unit unit;
    int64_t quantity;
    date from;
};

struct why {
    const char *what;   /* in words */
    const char *source; /* "/api/v1/ingredients/rye/prices/2026-01-01": the stored fact; or NULL */
    int64_t value;      /* of the figure's own unit: micros, milligrams or pieces */
    bool missing;       /* not known: counts nothing, and everything above it has a hole */
    enum why_unit unit;
    int64_t quantity; /* how much of it stands behind the value */
    struct why_rate rate;
    struct why *first, *last; /* children */
    struct why *next;
    size_t child_count;
};

/* A new node, added as the last child of parent unless that is NULL. what and source are borrowed.
 * NULL when memory is short (told on the reckoning's list of faults). */
struct why *why_add(const struct reckoning *reckoning, struct why *parent, const char *what,
                    const char *source);

/* Sets the values of all nodes that have children to the sum of their children's, from the leaves
 * up, and missing where any child is. False on overflow. */
bool why_sum(const struct reckoning *reckoning, struct why *root);

#endif
