/* From which lots an amount is taken.
 *
 * Shelves are sorted once, in the order of taking; every take then walks those of its ingredient.
 * A take that cannot be met leaves a fault and takes nothing, so that the faults of those after it
 * tell what there really is.
 */
#include "bakery/stock.h"

#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum { MG_PER_KG = 1000000, KILO_PLACES = 6 };

const char *const stock_kinds[] = {"received", "mixed",   "fed",   "used",     "wasted",
                                   "returned", "counted", "moved", "reversed", NULL};

/* --- the order --- */

static int compare(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

bool best_before_passed(bool has_best_before, date best_before, date day)
{
    return has_best_before && best_before < day;
}

static bool expired(const struct shelf *shelf, date day)
{
    return best_before_passed(shelf->has_best_before, shelf->best_before, day);
}

int shelf_order(const struct shelf *a, const struct shelf *b, date day)
{
    int order = compare(expired(a, day), expired(b, day));
    if (order == 0) order = compare(!a->has_best_before, !b->has_best_before);
    if (order == 0 && a->has_best_before) order = compare(a->best_before, b->best_before);
    if (order == 0) order = compare(a->lot, b->lot);
    return order != 0 ? order : strcmp(a->place, b->place);
}

static int by_ingredient_and_order(const void *left, const void *right, void *context)
{
    const struct shelf *a = left, *b = right;
    int order = compare((int64_t)a->ingredient, (int64_t)b->ingredient);
    return order != 0 ? order : shelf_order(a, b, *(const date *)context);
}

/* --- one take --- */

struct taking {
    struct stock_shelves *from;
    struct stock_move *moves;
    size_t move_count;
    bool faulty;
};

const char *amount_words(struct arena *arena, enum ingredient_unit unit, int64_t amount)
{
    char text[DECIMAL_TEXT_SIZE];
    bool kilos = amount >= MG_PER_KG;
    if (unit == UNIT_PIECE) return arena_printf(arena, "%" PRId64 " pieces", amount);
    decimal_print(text, amount, kilos ? KILO_PLACES : WEIGHT_PLACES, 0);
    return arena_printf(arena, "%s %s", text, kilos ? "kg" : "g");
}

static void too_little(struct taking *taking, const struct stock_take *take, int64_t there)
{
    const struct stock_shelves *from = taking->from;
    const struct ingredient *ingredient = &from->catalogue->ingredients[take->ingredient];
    const char *amount = amount_words(from->arena, ingredient->unit, there);
    const char *where = take->place != NULL ? take->place : take->lot != 0 ? "this lot" : NULL;
    const char *in = where == NULL ? "" : take->place != NULL ? " left in " : " left of ";
    taking->faulty = true;
    if (amount == NULL)
        fail_memory(from->fails);
    else if (there == 0)
        fail_add(from->fails, FAIL_INVALID, take->pointer, "there is no %s%s%s", ingredient->name,
                 where != NULL ? in : " left", where != NULL ? where : "");
    else
        fail_add(from->fails, FAIL_INVALID, take->pointer, "there are only %s of %s%s%s", amount,
                 ingredient->name, in, where != NULL ? where : "");
}

static bool lot_fault(struct taking *taking, const struct stock_take *take, const char *text)
{
    taking->faulty = true;
    return fail_add(taking->from->fails, FAIL_INVALID, take->lot_pointer, "%s", text);
}

/* Whether the chosen lot can be taken from at all. */
static bool check_lot(struct taking *taking, const struct stock_take *take)
{
    for (size_t i = 0; i < taking->from->count; i++) {
        const struct shelf *shelf = &taking->from->items[i];
        if (shelf->lot != take->lot) continue;
        if (shelf->ingredient != take->ingredient)
            return lot_fault(taking, take, "is a lot of another ingredient");
        if (shelf->received_on > taking->from->day)
            return lot_fault(taking, take, "came in later than that day");
        if (shelf->held && !taking->from->allow_held)
            return lot_fault(taking, take, "is held: nothing may be used of it");
        return true;
    }
    return lot_fault(taking, take, "is no lot of which anything is left");
}

static bool gives(const struct taking *taking, const struct stock_take *take,
                  const struct shelf *shelf)
{
    return shelf->ingredient == take->ingredient && shelf->available > 0 &&
           (take->lot == 0 || shelf->lot == take->lot) &&
           (take->place == NULL || strcmp(shelf->place, take->place) == 0) &&
           (!shelf->held || taking->from->allow_held) && shelf->received_on <= taking->from->day;
}

/* What there is for a take, as much as it needs at most. */
static int64_t there_is(const struct taking *taking, const struct stock_take *take)
{
    int64_t there = 0;
    for (size_t i = 0; i < taking->from->count && there < take->amount; i++)
        if (gives(taking, take, &taking->from->items[i]))
            there += taking->from->items[i].available < take->amount - there
                         ? taking->from->items[i].available
                         : take->amount - there;
    return there;
}

/* Joins what is taken from one shelf by several takes. */
static void add_move(struct taking *taking, const struct shelf *shelf, int64_t amount)
{
    for (size_t i = 0; i < taking->move_count; i++) {
        struct stock_move *move = &taking->moves[i];
        if (move->lot != shelf->lot || strcmp(move->place, shelf->place) != 0) continue;
        move->delta -= amount;
        return;
    }
    taking->moves[taking->move_count++] = (struct stock_move){.ingredient = shelf->ingredient,
                                                              .lot = shelf->lot,
                                                              .place = shelf->place,
                                                              .delta = -amount};
}

static void take_one(struct taking *taking, const struct stock_take *take)
{
    int64_t wanted = take->amount;
    if (take->lot != 0 && !check_lot(taking, take)) return;
    int64_t there = there_is(taking, take);
    if (there < wanted) {
        too_little(taking, take, there);
        return;
    }
    for (size_t i = 0; i < taking->from->count && wanted > 0; i++) {
        struct shelf *shelf = &taking->from->items[i];
        if (!gives(taking, take, shelf)) continue;
        int64_t part = shelf->available < wanted ? shelf->available : wanted;
        add_move(taking, shelf, part);
        shelf->available -= part;
        wanted -= part;
    }
}

bool stock_take(struct stock_shelves *shelves, const struct stock_take *takes, size_t take_count,
                struct stock_move **moves, size_t *move_count)
{
    struct taking taking = {.from = shelves,
                            .moves = arena_array(shelves->arena, shelves->count, sizeof **moves)};
    if (taking.moves == NULL) return fail_memory(shelves->fails);
    qsort_r(shelves->items, shelves->count, sizeof *shelves->items, by_ingredient_and_order,
            &shelves->day);
    for (size_t i = 0; i < take_count; i++)
        take_one(&taking, &takes[i]);
    *moves = taking.moves;
    *move_count = taking.move_count;
    return !taking.faulty;
}
