/* Layers that are found by their bits. */
#include "bakery/ledger_layers.h"

#include "base/arena.h"
#include "base/fixed.h"

enum { BITS = 64 };

static size_t words_for(size_t bits)
{
    return bits / BITS + (bits % BITS > 0);
}

static bool bits_init(struct ledger_layers *layers, struct arena *arena, size_t lots)
{
    size_t words = lots;
    do {
        words = words > 0 ? words_for(words) : 1;
        uint64_t *level = arena_array(arena, words, sizeof *level);
        if (!level) return false;
        layers->bits[layers->level_count++] = level;
    } while (words > 1);
    return true;
}

bool layers_init(struct ledger_layers *layers, struct arena *arena, const struct ledger *ledger)
{
    size_t lots = ledger->lot_count;
    *layers = (struct ledger_layers){.lots = ledger->lots, .last_known = NOT_FOUND};
    layers->items = arena_array(arena, lots, sizeof *layers->items);
    layers->place = arena_array(arena, lots, sizeof *layers->place);
    return layers->items && layers->place && bits_init(layers, arena, lots);
}

static void mark(struct ledger_layers *layers, size_t place)
{
    for (int level = 0; level < layers->level_count; level++, place /= BITS)
        layers->bits[level][place / BITS] |= UINT64_C(1) << place % BITS;
}

/* A word stays marked above as long as anything is marked in it. */
static void unmark(struct ledger_layers *layers, size_t place)
{
    for (int level = 0; level < layers->level_count; level++, place /= BITS) {
        uint64_t *word = &layers->bits[level][place / BITS];
        *word &= ~(UINT64_C(1) << place % BITS);
        if (*word != 0) return;
    }
}

static size_t oldest(const struct ledger_layers *layers)
{
    size_t place = 0;
    for (int level = layers->level_count - 1; level >= 0; level--) {
        uint64_t word = layers->bits[level][place];
        if (word == 0) return NOT_FOUND;
        place = place * BITS + (size_t)__builtin_ctzll(word);
    }
    return place;
}

const struct ledger_layer *layers_oldest(const struct ledger_layers *layers)
{
    size_t place = oldest(layers);
    return place != NOT_FOUND ? &layers->items[place] : NULL;
}

int64_t ledger_part(int64_t value, int64_t part, int64_t whole)
{
    fixed result = value;
    if (part < whole) fixed_muldiv(value, part, whole, ROUND_HALF_EVEN, &result);
    return (int64_t)result; /* no more than value */
}

static bool priced(const struct ledger_layers *layers, const struct ledger_layer *layer)
{
    return layers->lots[layer->lot].price.known;
}

static size_t place_of(struct ledger_layers *layers, size_t lot, date day)
{
    if (layers->place[lot] == 0) {
        layers->items[layers->count] = (struct ledger_layer){.lot = lot, .from = day};
        layers->place[lot] = ++layers->count;
    }
    return layers->place[lot] - 1;
}

bool layers_add(struct ledger_layers *layers, size_t lot, date day, int64_t amount,
                struct money worth)
{
    size_t place = place_of(layers, lot, day);
    struct ledger_layer *layer = &layers->items[place];
    if (layer->amount == 0) {
        mark(layers, place);
        layers->unknown += !priced(layers, layer);
    }
    layer->amount += amount;
    if (!worth.known) return true;
    if (__builtin_add_overflow(layers->value, worth.micros, &layers->value)) return false;
    layer->value += worth.micros; /* no more than all of them together */
    return true;
}

/* Takes from one layer; what that was worth. */
static struct money take_part(struct ledger_layers *layers, size_t place, int64_t part)
{
    struct ledger_layer *layer = &layers->items[place];
    struct money worth = {.known = priced(layers, layer)};
    worth.micros = ledger_part(layer->value, part, layer->amount);
    if (worth.known) layers->last_known = place;
    layer->value -= worth.micros;
    layers->value -= worth.micros;
    layer->amount -= part;
    if (layer->amount > 0) return worth;
    unmark(layers, place);
    layers->unknown -= !worth.known;
    return worth;
}

struct money layers_take(struct ledger_layers *layers, size_t own, int64_t amount)
{
    struct money sum = {.known = true};
    size_t first = own != NOT_FOUND ? layers->place[own] : 0;
    bool own_first = first > 0 && layers->items[first - 1].amount > 0;
    while (amount > 0) {
        size_t place = own_first ? first - 1 : oldest(layers);
        int64_t left = layers->items[place].amount;
        int64_t part = amount < left ? amount : left;
        struct money worth = take_part(layers, place, part);
        sum.known = sum.known && worth.known;
        sum.micros += worth.micros; /* no more than all of them together */
        amount -= part;
        own_first = false;
    }
    if (!sum.known) sum.micros = 0;
    return sum;
}
