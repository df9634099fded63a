/* Why a bread day needs so much of an ingredient: every way on which it comes into a product, and
 * at the end of each the orders that it is for.
 *
 * The need is summed up exactly and rounded once, as in needs.c; then it is divided among the
 * leaves by their exact grams, so that they sum to it. Where a formula takes the ingredient in more
 * ways than anybody would read, the tree ends at the formula; where there are too many orders for
 * so many ways, it ends at the lines.
 */
#include "bakery/costing.h"

#include "bakery/amount.h"
#include "bakery/apportion.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <stdarg.h>

enum { WAYS_MAX = 2000, ENDS_MAX = 100000 };

struct end {
    struct end *previous;
    struct why *leaf;
    fixed weight; /* grams, or pieces */
};

struct need_tree {
    const struct reckoning *reckoning;
    size_t ingredient;
    const struct order_pieces *orders;
    size_t order_count;
    size_t *ways;  /* per formula, WAYS_MAX + 1 at most: lines that bring the ingredient in */
    fixed *a_gram; /* per formula that ends the tree: grams of the ingredient for a gram, losses
                      included, in shares */
    struct end *ends;
    size_t end_count;
    fixed sum;
    const struct production_product *made; /* at hand */
    bool to_orders;                        /* its ways end at the orders */
};

static const char *words(const struct need_tree *t, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static const char *words(const struct need_tree *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = arena_vprintf(t->reckoning->arena, format, args);
    va_end(args);
    if (!text) fail_memory(t->reckoning->fails);
    return text;
}

/* Words that are NULL for want of memory make no node. */
static struct why *add(const struct need_tree *t, struct why *parent, const char *what,
                       const char *source)
{
    return what && source ? why_add(t->reckoning, parent, what, source) : NULL;
}

/* --- ways --- */

/* What a gram of a line's thing holds of the ingredient, losses included, as a share. */
static fixed held_by(const struct need_tree *t, const struct line *line)
{
    if (line->kind == LINE_INGREDIENT) return line->index == t->ingredient ? SHARE_ONE : 0;
    if (line->kind == LINE_STARTER)
        return t->reckoning->breakdowns->starters[line->index][t->ingredient];
    return t->a_gram[line->index];
}

static size_t ways_of(const struct need_tree *t, const struct line *line)
{
    if (line->kind == LINE_FORMULA) return t->ways[line->index];
    return held_by(t, line) != 0;
}

static void count_ways(struct need_tree *t, size_t index)
{
    const struct formula *formula = &t->reckoning->catalogue->formulas[index];
    const fixed *shares = t->reckoning->breakdowns->items[index].lines;
    size_t ways = 0;
    for (size_t n = 0; shares && n < formula->line_count && ways <= WAYS_MAX; n++)
        if (shares[n] != 0) ways += ways_of(t, &formula->lines[n]);
    t->ways[index] = ways > WAYS_MAX ? WAYS_MAX + 1 : ways;
}

/* Needed of a formula with too many ways, and of those that it takes. */
static bool gram_of(struct need_tree *t, size_t index)
{
    const struct formula *formula = &t->reckoning->catalogue->formulas[index];
    const fixed *shares = amount_lines(t->reckoning, index);
    fixed mixed = 0;
    if (!shares) return false;
    for (size_t n = 0; n < formula->line_count; n++)
        if (!amount_add_scaled(t->reckoning, &mixed, shares[n], held_by(t, &formula->lines[n]),
                               SHARE_ONE))
            return false;
    return amount_with_loss(t->reckoning, index, mixed, &t->a_gram[index]);
}

static void mark_parts(const struct formula *formula, bool *marked)
{
    for (size_t n = 0; n < formula->line_count; n++)
        if (formula->lines[n].kind == LINE_FORMULA) marked[formula->lines[n].index] = true;
}

static bool tree_init(struct need_tree *t)
{
    const struct catalogue *catalogue = t->reckoning->catalogue;
    const size_t *order = t->reckoning->breakdowns->order;
    size_t count = catalogue->formula_count;
    bool *marked = amount_memory(t->reckoning, count, sizeof *marked);
    t->ways = amount_memory(t->reckoning, count, sizeof *t->ways);
    t->a_gram = amount_memory(t->reckoning, count, sizeof *t->a_gram);
    if (!marked || !t->ways || !t->a_gram) return false;
    for (size_t i = 0; i < count; i++)
        count_ways(t, order[i]);
    for (size_t i = count; i > 0; i--) {
        if (t->ways[order[i - 1]] > WAYS_MAX) marked[order[i - 1]] = true;
        if (marked[order[i - 1]]) mark_parts(&catalogue->formulas[order[i - 1]], marked);
    }
    for (size_t i = 0; i < count; i++)
        if (marked[order[i]] && !gram_of(t, order[i])) return false;
    return true;
}

/* --- ends --- */

static bool end_at(struct need_tree *t, struct why *leaf, fixed weight)
{
    struct end *end = amount_memory(t->reckoning, 1, sizeof *end);
    if (!end) return false;
    *end = (struct end){t->ends, leaf, weight};
    t->ends = end;
    t->end_count++;
    return true;
}

static bool end_at_pieces(struct need_tree *t, struct why *parent, const char *what,
                          const char *source, int64_t pieces, fixed amount)
{
    fixed part;
    struct why *leaf = add(t, parent, what, source);
    if (!leaf || !amount_scaled(t->reckoning, amount, pieces, t->made->pieces, &part)) return false;
    leaf->unit = WHY_PIECES;
    leaf->quantity = pieces;
    return end_at(t, leaf, part);
}

static bool end_at_orders(struct need_tree *t, struct why *parent, fixed amount, int64_t *told)
{
    for (size_t i = 0; i < t->order_count; i++) {
        const struct order_pieces *order = &t->orders[i];
        if (order->product != t->made->product || order->pieces == 0) continue;
        const char *source = words(t, "/api/v1/orders/%lld", (long long)order->order_id);
        if (!amount_add_whole(t->reckoning, told, order->pieces) ||
            !end_at_pieces(t, parent, order->customer, source, order->pieces, amount))
            return false;
    }
    return true;
}

/* The end of a way: what the pieces of the product take of the ingredient on it. */
static bool end_way(struct need_tree *t, struct why *line, fixed amount)
{
    int64_t told = 0;
    const char *code = t->reckoning->catalogue->products[t->made->product].code;
    if (!amount_add(t->reckoning, &t->sum, amount)) return false;
    if (!t->to_orders) return end_at(t, line, amount);
    if (!end_at_orders(t, line, amount, &told)) return false;
    if (told < t->made->ordered &&
        !end_at_pieces(t, line, told == 0 ? "orders" : "other orders", "/api/v1/orders",
                       t->made->ordered - told, amount))
        return false;
    return t->made->spare == 0 ||
           end_at_pieces(t, line, "spare", words(t, "/api/v1/products/%s", code), t->made->spare,
                         amount);
}

/* --- through the formulas --- */

static const char *line_words(const struct need_tree *t, const struct formula *formula,
                              const char *what)
{
    return words(t, "%s, in %s", what, formula->name);
}

static bool add_formula(struct need_tree *t, struct why *parent, size_t index, fixed grams);

static bool add_line(struct need_tree *t, struct why *node, size_t index, const struct line *line,
                     fixed grams)
{
    const struct catalogue *catalogue = t->reckoning->catalogue;
    const struct formula *formula = &catalogue->formulas[index];
    fixed part;
    if (ways_of(t, line) == 0) return true;
    if (line->kind == LINE_FORMULA) return add_formula(t, node, line->index, grams);
    const char *name = line->kind == LINE_INGREDIENT ? catalogue->ingredients[line->index].name
                                                     : catalogue->starters[line->index].name;
    struct why *leaf = add(t, node, line_words(t, formula, name),
                           words(t, "/api/v1/formulas/%s", formula->code));
    if (!leaf || !amount_scaled(t->reckoning, grams, held_by(t, line), SHARE_ONE, &part) ||
        !amount_milligrams(t->reckoning, grams, &leaf->quantity))
        return false;
    leaf->unit = WHY_GRAMS;
    return end_way(t, leaf, part);
}

static const char *formula_words(const struct need_tree *t, const struct formula *formula)
{
    char loss[DECIMAL_TEXT_SIZE];
    if (formula->handling_loss_pct == 0) return formula->name;
    decimal_print(loss, formula->handling_loss_pct, PERCENT_PLACES, 0);
    return words(t, "%s, %s %% of it left behind in handling", formula->name, loss);
}

/* So many grams that must come out of a formula. As deep as formulas nest. */
static bool add_formula(struct need_tree *t, struct why *parent, size_t index, fixed grams)
{
    const struct formula *formula = &t->reckoning->catalogue->formulas[index];
    const fixed *shares = amount_lines(t->reckoning, index);
    fixed mixed;
    if (!shares) return false;
    if (t->ways[index] == 0 || grams == 0) return true;
    struct why *node = add(t, parent, formula_words(t, formula),
                           words(t, "/api/v1/formulas/%s", formula->code));
    if (!node || !amount_with_loss(t->reckoning, index, grams, &mixed) ||
        !amount_milligrams(t->reckoning, mixed, &node->quantity))
        return false;
    node->unit = WHY_GRAMS;
    if (t->ways[index] > WAYS_MAX)
        return amount_scaled(t->reckoning, grams, t->a_gram[index], SHARE_ONE, &mixed) &&
               end_way(t, node, mixed);
    for (size_t n = 0; n < formula->line_count; n++) {
        fixed part;
        if (!amount_scaled(t->reckoning, mixed, shares[n], SHARE_ONE, &part)) return false;
        if (part != 0 && !add_line(t, node, index, &formula->lines[n], part)) return false;
    }
    return true;
}

/* --- products --- */

static bool add_part(struct need_tree *t, struct why *node, const struct product *product,
                     const struct part *part)
{
    const struct ingredient *ingredient = &t->reckoning->catalogue->ingredients[t->ingredient];
    fixed grams = 0;
    if (!amount_add_pieces(t->reckoning, &grams, t->made->pieces, part->mg)) return false;
    if (part->kind == LINE_FORMULA) return add_formula(t, node, part->index, grams);
    if (part->index != t->ingredient || grams == 0) return true;
    struct why *leaf = add(t, node, words(t, "%s, in %s", ingredient->name, product->name),
                           words(t, "/api/v1/products/%s", product->code));
    if (!leaf || !amount_milligrams(t->reckoning, grams, &leaf->quantity)) return false;
    leaf->unit = WHY_GRAMS;
    return end_way(t, leaf, grams);
}

static bool add_packaging(struct need_tree *t, struct why *node, const struct product *product,
                          const struct packaging *packaging)
{
    int64_t pieces;
    if (packaging->index != t->ingredient) return true;
    struct why *leaf = add(t, node, words(t, "packaging of %s", product->name),
                           words(t, "/api/v1/products/%s", product->code));
    if (!leaf || !amount_multiply_whole(t->reckoning, t->made->pieces, packaging->pieces, &pieces))
        return false;
    leaf->unit = WHY_PIECES;
    leaf->quantity = pieces;
    return pieces == 0 || end_way(t, leaf, pieces);
}

/* How many ways lead into a product, held to a number that is too many in any case. */
static size_t ways_into(const struct need_tree *t, const struct product *product)
{
    size_t ways = product->packaging_count;
    for (size_t k = 0; k < product->part_count && ways <= ENDS_MAX; k++)
        ways += product->parts[k].kind == LINE_FORMULA ? t->ways[product->parts[k].index] : 1;
    return ways;
}

static size_t orders_of(const struct need_tree *t)
{
    size_t count = 2; /* others, and spare */
    for (size_t i = 0; i < t->order_count; i++)
        count += t->orders[i].product == t->made->product;
    return count;
}

static bool is_taken(const struct need_tree *t, const struct product *product)
{
    for (size_t k = 0; k < product->part_count; k++) {
        const struct part *part = &product->parts[k];
        if (part->kind == LINE_FORMULA ? t->ways[part->index] > 0 : part->index == t->ingredient)
            return true;
    }
    for (size_t k = 0; k < product->packaging_count; k++)
        if (product->packaging[k].index == t->ingredient) return true;
    return false;
}

static bool add_product(struct need_tree *t, struct why *root,
                        const struct production_product *made)
{
    const struct product *product = &t->reckoning->catalogue->products[made->product];
    if (made->pieces == 0 || !is_taken(t, product)) return true;
    t->made = made;
    t->to_orders = ways_into(t, product) <= ENDS_MAX / orders_of(t);
    struct why *node = add(t, root, product->name, words(t, "/api/v1/products/%s", product->code));
    if (!node) return false;
    node->unit = WHY_PIECES;
    node->quantity = made->pieces;
    for (size_t k = 0; k < product->part_count; k++)
        if (!add_part(t, node, product, &product->parts[k])) return false;
    for (size_t k = 0; k < product->packaging_count; k++)
        if (!add_packaging(t, node, product, &product->packaging[k])) return false;
    return true;
}

/* --- dividing the need among the ends --- */

static bool total_of(const struct need_tree *t, int64_t *total)
{
    bool counted = t->reckoning->catalogue->ingredients[t->ingredient].unit == UNIT_PIECE;
    if (!counted) return amount_milligrams(t->reckoning, t->sum, total);
    if (t->sum > INT64_MAX) return amount_too_large(t->reckoning);
    *total = (int64_t)t->sum;
    return true;
}

static bool divide(const struct need_tree *t)
{
    int64_t total;
    size_t n = 0;
    if (!total_of(t, &total)) return false;
    if (t->sum == 0) return true;
    fixed *weights = amount_memory(t->reckoning, t->end_count, sizeof *weights);
    int64_t *parts = amount_memory(t->reckoning, t->end_count, sizeof *parts);
    if (!weights || !parts) return false;
    for (const struct end *end = t->ends; end; end = end->previous)
        weights[n++] = end->weight;
    if (!apportion(t->reckoning->arena, total, weights, n, parts))
        return arena_failed(t->reckoning->arena) ? fail_memory(t->reckoning->fails)
                                                 : amount_too_large(t->reckoning);
    n = 0;
    for (const struct end *end = t->ends; end; end = end->previous)
        end->leaf->value = parts[n++];
    return true;
}

static bool tree_of(struct need_tree *t, date bread_day, const struct demand *demands,
                    size_t demand_count, struct why *root)
{
    struct production made;
    size_t count;
    struct baking *bakings = bakings_of_day(t->reckoning, bread_day, demands, demand_count, &count);
    if (!bakings || !production_products(t->reckoning, bakings, count, &made) || !tree_init(t))
        return false;
    for (size_t i = 0; i < made.product_count; i++)
        if (!add_product(t, root, &made.products[i])) return false;
    return divide(t) && why_sum(t->reckoning, root);
}

bool need_why(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
              size_t demand_count, const struct order_pieces *orders, size_t order_count,
              size_t ingredient, struct why **out)
{
    const struct ingredient *of = &reckoning->catalogue->ingredients[ingredient];
    struct need_tree t = {.reckoning = reckoning,
                          .ingredient = ingredient,
                          .orders = orders,
                          .order_count = order_count};
    char path[DATE_TEXT_SIZE];
    date_print(path, bread_day);
    *out = add(&t, NULL, of->name, words(&t, "/api/v1/days/%s/needs", path));
    if (!*out || !tree_of(&t, bread_day, demands, demand_count, *out)) return false;
    (*out)->unit = of->unit == UNIT_PIECE ? WHY_PIECES : WHY_GRAMS;
    (*out)->quantity = (*out)->value;
    return true;
}
