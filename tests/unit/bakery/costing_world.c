/* Rates and trees for the tests of costing. */
#include "costing_world.h"

#include <criterion/criterion.h>
#include <string.h>

static struct money money(const char *text)
{
    struct money sum = {.known = *text != '\0'};
    if (sum.known) sum.micros = micros(text);
    return sum;
}

static void enter(struct costs *c)
{
    c->rates.known = true;
    c->rates.from = day_of("2027-01-01");
}

void rate_labour(struct costs *c, const char *hand_hour)
{
    enter(c);
    c->rates.hand_hour = money(hand_hour);
}

void rate_energy(struct costs *c, const char *kwh)
{
    enter(c);
    c->rates.kwh = money(kwh);
}

void rate_delivery(struct costs *c, const char *round, int64_t pieces)
{
    enter(c);
    c->rates.round = money(round);
    c->rates.round_pieces = pieces;
}

void rate_overhead(struct costs *c, enum overhead_by by, const char *month, int64_t base)
{
    enter(c);
    c->rates.overhead_by = by;
    c->rates.overhead_month = money(month);
    c->rates.overhead_base = base;
}

void works(struct world *w, const char *code, size_t stage, int64_t hands, enum stage_use uses)
{
    the_formula(w, code)->stages[stage].hands = hands;
    the_formula(w, code)->stages[stage].uses = uses;
}

void labour(struct world *w, const char *code, size_t stage, enum labour_per per,
            const char *minutes)
{
    the_formula(w, code)->stages[stage].labour_per = per;
    the_formula(w, code)->stages[stage].labour_minutes = units(minutes, MINUTE_PLACES);
}

void powered_oven(struct world *w, const char *code, int64_t decks, int64_t places, int64_t preheat,
                  int64_t power_w)
{
    struct bakery *b = &w->catalogue.bakery;
    struct oven *list = arena_array(w->arena, b->oven_count + 1, sizeof *list);
    cr_assert_not_null(list);
    if (b->oven_count > 0) memcpy(list, b->ovens, b->oven_count * sizeof *list);
    list[b->oven_count++] = (struct oven){.code = code,
                                          .decks = decks,
                                          .places = places,
                                          .preheat_minutes = preheat,
                                          .power_w = power_w};
    b->ovens = list;
}

struct costing_day costing_day_of(const struct costs *c, const char *day)
{
    return (struct costing_day){.reckoning = &c->w->reckoning,
                                .bread_day = day_of(day),
                                .demands = c->w->demands,
                                .demand_count = c->w->demand_count,
                                .rates = &c->rates,
                                .waste = c->waste};
}

struct product_costing *costings(const struct costs *c, const char *day, const char *product,
                                 size_t *count)
{
    struct costing_day of = costing_day_of(c, day);
    struct product_costing *out;
    size_t index = product ? at_product(c->w, product) : NOT_FOUND;
    cr_assert(costing_of(&of, index, &out, count), "%s",
              c->w->fails.count > 0 ? c->w->fails.items[0].text : "no fault told");
    return out;
}

struct product_costing costing(const struct costs *c, const char *day, const char *product)
{
    size_t count;
    struct product_costing *out = costings(c, day, product, &count);
    cr_assert_eq(count, 1);
    cr_assert_eq(out->product, at_product(c->w, product));
    return *out;
}

int64_t kind_value(const struct product_costing *costing, enum cost_kind kind)
{
    return costing->kinds[kind] ? costing->kinds[kind]->value : 0;
}

const struct why *child(const struct why *node, size_t n)
{
    cr_assert_not_null(node);
    cr_assert_lt(n, node->child_count, "%s", node->what);
    const struct why *at = node->first;
    while (n-- > 0)
        at = at->next;
    return at;
}

int64_t check_tree(const struct why *node, size_t *leaves)
{
    int64_t children = 0;
    int64_t of_leaves = 0;
    size_t count = 0;
    bool missing = false;
    cr_assert_not_null(node->what);
    cr_assert(strncmp(node->source, "/api/v1/", 8) == 0, "%s: %s", node->what, node->source);
    if (!node->first) {
        *leaves += 1;
        return node->value;
    }
    for (const struct why *at = node->first; at; at = at->next, count++) {
        children += at->value;
        of_leaves += check_tree(at, leaves);
        missing |= at->missing;
        cr_assert(at->next != NULL || at == node->last);
    }
    cr_assert_eq(count, node->child_count);
    cr_assert_eq(children, node->value, "%s", node->what);
    cr_assert_eq(of_leaves, node->value, "%s", node->what);
    cr_assert_eq(missing, node->missing, "%s", node->what);
    return of_leaves;
}
