/* Sorting formulas so that parts come before what takes them, and finding circles on the way.
 *
 * One walk in depth over all lines. Every formula gets a number when it is met, and the lowest
 * number that it reaches among those still open. One that reaches nothing below itself closes a
 * circle: itself and all that was opened after it; mostly that is itself alone. Circles close parts
 * first, which is the order sought. The walk keeps its own stack: a stored catalogue nests eight
 * levels, but what is being rehearsed need not.
 */
#include "bakery/order.h"

#include "base/arena.h"

enum { UNSEEN = 0 };

struct walk {
    const struct catalogue *catalogue;
    struct formula_order *out;
    size_t *number; /* per formula: when it was met, from 1; UNSEEN before */
    size_t *lowest;
    size_t *next_line; /* per formula: the line to follow next */
    bool *open;        /* its circle is not closed yet */
    size_t *path;      /* from the root of the walk to where it is */
    size_t path_length;
    size_t *opened; /* those not closed yet, in the order met */
    size_t opened_count;
    size_t met;
    size_t closed;
};

static bool walk_init(struct arena *arena, struct walk *walk)
{
    size_t n = walk->catalogue->formula_count;
    walk->out->formulas = arena_array(arena, n, sizeof(size_t));
    walk->out->circle = arena_array(arena, n, sizeof(size_t));
    walk->number = arena_array(arena, n, sizeof(size_t));
    walk->lowest = arena_array(arena, n, sizeof(size_t));
    walk->next_line = arena_array(arena, n, sizeof(size_t));
    walk->open = arena_array(arena, n, sizeof(bool));
    walk->path = arena_array(arena, n, sizeof(size_t));
    walk->opened = arena_array(arena, n, sizeof(size_t));
    return walk->out->formulas && walk->out->circle && walk->number && walk->lowest &&
           walk->next_line && walk->open && walk->path && walk->opened;
}

static void lower(struct walk *walk, size_t formula, size_t number)
{
    if (number < walk->lowest[formula]) walk->lowest[formula] = number;
}

static void enter(struct walk *walk, size_t formula)
{
    walk->number[formula] = walk->lowest[formula] = ++walk->met;
    walk->open[formula] = true;
    walk->opened[walk->opened_count++] = formula;
    walk->path[walk->path_length++] = formula;
}

/* The next part of a formula that was not followed yet, or NOT_FOUND. */
static size_t next_part(struct walk *walk, size_t formula)
{
    const struct formula *f = &walk->catalogue->formulas[formula];
    while (walk->next_line[formula] < f->line_count) {
        const struct line *line = &f->lines[walk->next_line[formula]++];
        if (line->kind == LINE_FORMULA && line->index != NOT_FOUND) return line->index;
    }
    return NOT_FOUND;
}

/* Everything opened since this formula was met makes one circle with it. */
static void close_circle(struct walk *walk, size_t formula)
{
    size_t circle = walk->closed;
    size_t member;
    do {
        member = walk->opened[--walk->opened_count];
        walk->open[member] = false;
        walk->out->circle[member] = circle;
        walk->out->formulas[walk->closed++] = member;
    } while (member != formula);
}

static void leave(struct walk *walk, size_t formula)
{
    if (walk->lowest[formula] == walk->number[formula]) close_circle(walk, formula);
    walk->path_length--;
    if (walk->path_length > 0)
        lower(walk, walk->path[walk->path_length - 1], walk->lowest[formula]);
}

static void walk_from(struct walk *walk, size_t root)
{
    enter(walk, root);
    while (walk->path_length > 0) {
        size_t formula = walk->path[walk->path_length - 1];
        size_t part = next_part(walk, formula);
        if (part == NOT_FOUND)
            leave(walk, formula);
        else if (walk->number[part] == UNSEEN)
            enter(walk, part);
        else if (walk->open[part])
            lower(walk, formula, walk->number[part]);
    }
}

bool formula_order_of(struct arena *arena, const struct catalogue *catalogue,
                      struct formula_order *out)
{
    struct walk walk = {.catalogue = catalogue, .out = out};
    if (!walk_init(arena, &walk)) return false;
    for (size_t i = 0; i < catalogue->formula_count; i++)
        if (walk.number[i] == UNSEEN) walk_from(&walk, i);
    return true;
}
