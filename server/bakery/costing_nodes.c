/* Leaves of a costing: facts with what they cost, each rounded half to even at a millionth. */
#include "bakery/costing_run.h"

#include "bakery/prices.h"
#include "base/arena.h"
#include "base/fail.h"

#include <stdarg.h>
#include <string.h>

/* --- where facts are stored --- */

const char *costing_text(const struct costing_run *run, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = arena_vprintf(run->reckoning->arena, format, args);
    va_end(args);
    if (!text) fail_memory(run->reckoning->fails);
    return text;
}

const char *costing_formula_path(const struct costing_run *run, size_t formula)
{
    const char **path = &run->formula_paths[formula];
    const char *code = run->reckoning->catalogue->formulas[formula].code;
    if (!*path) *path = costing_text(run, "/api/v1/formulas/%s", code);
    return *path;
}

const char *costing_starter_path(const struct costing_run *run, size_t starter)
{
    const char **path = &run->starter_paths[starter];
    const char *code = run->reckoning->catalogue->starters[starter].code;
    if (!*path) *path = costing_text(run, "/api/v1/starters/%s", code);
    return *path;
}

static bool comes_from_stock(const struct costing_run *run, size_t ingredient)
{
    const struct price *prices = run->reckoning->catalogue->prices;
    return prices && prices[ingredient].of_stock;
}

/* Of the price in force, or where to enter one: the pack price, or the lots that it comes from. */
static const char *price_path(const struct costing_run *run, size_t ingredient)
{
    const char **path = &run->price_paths[ingredient];
    const char *code = run->reckoning->catalogue->ingredients[ingredient].code;
    const struct price *price = price_of(run->reckoning, ingredient);
    char from[DATE_TEXT_SIZE];
    if (*path) return *path;
    if (comes_from_stock(run, ingredient))
        return *path = costing_text(run, "/api/v1/stock/%s", code);
    if (price) date_print(from, price->from);
    *path = price ? costing_text(run, "/api/v1/ingredients/%s/prices/%s", code, from)
                  : costing_text(run, "/api/v1/ingredients/%s/prices", code);
    return *path;
}

/* --- holes --- */

static bool is_listed(const struct product_costing *out, const char *what, const char *source)
{
    for (size_t i = 0; i < out->missing_count; i++)
        if (strcmp(out->missing[i].what, what) == 0 && strcmp(out->missing[i].source, source) == 0)
            return true;
    return false;
}

/* Room for more, twice as much each time. */
static bool missing_room(struct costing_item *item)
{
    struct product_costing *out = item->out;
    if (out->missing_count < item->missing_room) return true;
    size_t room = 2 * item->missing_room + 4;
    struct missing_fact *list = amount_memory(item->run->reckoning, room, sizeof *list);
    if (!list) return false;
    if (out->missing_count > 0) memcpy(list, out->missing, out->missing_count * sizeof *list);
    out->missing = list;
    item->missing_room = room;
    return true;
}

bool costing_missing(struct costing_item *item, struct why *leaf, const char *source,
                     const char *what)
{
    if (!what) return false;
    leaf->missing = true;
    if (is_listed(item->out, what, source)) return true;
    if (!missing_room(item)) return false;
    item->out->missing[item->out->missing_count++] = (struct missing_fact){what, source};
    return true;
}

/* --- values --- */

bool costing_set_money(const struct costing_item *item, struct why *leaf, fixed money)
{
    return amount_micros(item->run->reckoning, money, &leaf->value);
}

bool costing_set_grams(const struct costing_item *item, struct why *node, fixed grams)
{
    node->unit = WHY_GRAMS;
    return amount_milligrams(item->run->reckoning, grams, &node->quantity);
}

static struct why *add_ingredient(struct costing_item *item, struct why *parent, size_t ingredient)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const char *path = price_path(item->run, ingredient);
    if (!path) return NULL;
    return why_add(reckoning, parent, reckoning->catalogue->ingredients[ingredient].name, path);
}

static bool no_price(struct costing_item *item, struct why *leaf)
{
    return costing_missing(item, leaf, leaf->source,
                           costing_text(item->run, "price of %s", leaf->what));
}

bool costing_add_grams(struct costing_item *item, struct why *parent, size_t ingredient,
                       fixed grams)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct price *price = price_of(reckoning, ingredient);
    fixed money = 0;
    if (grams == 0) return true;
    struct why *leaf = add_ingredient(item, parent, ingredient);
    if (!leaf || !costing_set_grams(item, leaf, grams)) return false;
    if (!price) return no_price(item, leaf);
    leaf->rate = (struct why_rate){true, price->micros, WHY_GRAMS, price->pack_mg, price->from};
    return price_add_grams(reckoning, price, grams, &money) && costing_set_money(item, leaf, money);
}

bool costing_add_pieces(struct costing_item *item, struct why *parent, size_t ingredient,
                        int64_t pieces, int64_t among)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct price *price = price_of(reckoning, ingredient);
    fixed money = 0;
    if (pieces == 0) return true;
    struct why *leaf = add_ingredient(item, parent, ingredient);
    if (!leaf) return false;
    leaf->unit = WHY_PIECES;
    leaf->quantity = pieces;
    if (!price) return no_price(item, leaf);
    leaf->rate = (struct why_rate){true, price->micros, WHY_PIECES, price->pack_pieces,
                                   price->from};
    return price_add_pieces(reckoning, price, pieces, &money) &&
           amount_scaled(reckoning, money, 1, among, &money) &&
           costing_set_money(item, leaf, money);
}
