/* The layers of an ingredient by first in first out.
 *
 * One layer a lot, in the order in which lots first came in. Invariants: value is the sum of the
 * values of the layers whose lot has a price; a layer without an amount has no value; a bit is set
 * for exactly those layers that have an amount. Bits stand in words, those words that are not zero
 * in words again, and so on up to one: the oldest layer is found in as many steps as there are
 * levels (three for 262,144 lots), also after something came back to an older layer.
 */
#ifndef MORROWLOAF_BAKERY_LEDGER_LAYERS_H
#define MORROWLOAF_BAKERY_LEDGER_LAYERS_H

#include "bakery/ledger.h"

enum { LAYER_LEVELS_MAX = 11 }; /* of 6 bits each */

struct ledger_layer {
    size_t lot; /* in the ledger's lots */
    date from;  /* on which it came in */
    int64_t amount;
    int64_t value;
};

struct ledger_layers {
    const struct ledger_lot *lots;
    struct ledger_layer *items; /* in the order of receipt */
    size_t count;
    size_t *place; /* per lot of the ledger: one more than in items; 0: did not come in yet */
    uint64_t *bits[LAYER_LEVELS_MAX];
    int level_count;
    int64_t value;
    size_t unknown;    /* layers with an amount, without a price */
    size_t last_known; /* of those with a price the last that was taken from; NOT_FOUND: none */
};

/* False when memory is short. */
bool layers_init(struct ledger_layers *layers, struct arena *arena, const struct ledger *ledger);

/* Part of a value by amounts, rounded half to even; all of it for the whole. 0 < part <= whole. */
int64_t ledger_part(int64_t value, int64_t part, int64_t whole);

/* Adds to a lot's layer. False when the sums do not fit; the sum of all amounts does. */
bool layers_add(struct ledger_layers *layers, size_t lot, date day, int64_t amount,
                struct money worth);
/* Takes from the layer of own (NOT_FOUND: none) as long as it has any, then from the oldest. There
 * is as much as that. */
struct money layers_take(struct ledger_layers *layers, size_t own, int64_t amount);
/* The oldest layer that has an amount; NULL: none. */
const struct ledger_layer *layers_oldest(const struct ledger_layers *layers);

#endif
