/* Costing a day's products: the kinds one after the other, then what they sum to.
 *
 * Every leaf is rounded by itself, half to even at a millionth, and all above it are sums: the
 * figure is what its leaves add up to, to the last digit. The costs of a day of one product that
 * stay (day_fixed) and those that go with the pieces make up all its costs exactly:
 * day_fixed + ordered x each_variable = ordered x each. Both bear their part of what comes back.
 */
#include "bakery/costing_run.h"

#include "bakery/piece.h"

#include <string.h>

const char *const cost_words[COST_KINDS] = {[COST_INGREDIENTS] = "ingredients",
                                            [COST_HANDLING] = "handling",
                                            [COST_SPARE] = "spare",
                                            [COST_STARTER] = "starter",
                                            [COST_PACKAGING] = "packaging",
                                            [COST_LABOUR] = "labour",
                                            [COST_ENERGY] = "energy",
                                            [COST_DELIVERY] = "delivery",
                                            [COST_OVERHEAD] = "overhead",
                                            [COST_UNSOLD] = "unsold"};

typedef bool (*kind_step)(struct costing_item *item, struct why *node);

static const kind_step steps[COST_KINDS] = {[COST_INGREDIENTS] = costing_ingredients,
                                            [COST_HANDLING] = costing_handling,
                                            [COST_SPARE] = costing_spare,
                                            [COST_STARTER] = costing_starter,
                                            [COST_PACKAGING] = costing_packaging,
                                            [COST_LABOUR] = costing_labour,
                                            [COST_ENERGY] = costing_energy,
                                            [COST_DELIVERY] = costing_delivery,
                                            [COST_OVERHEAD] = costing_overhead,
                                            [COST_UNSOLD] = costing_unsold};

/* --- the day --- */

/* Nodes of a formula's tree, held to one more than may be shown. */
static void count_nodes(const struct costing_run *run, size_t index)
{
    const struct catalogue *catalogue = run->reckoning->catalogue;
    const struct formula *formula = &catalogue->formulas[index];
    size_t count = 0;
    for (size_t n = 0; n < formula->line_count && count <= COSTING_NODES_MAX; n++) {
        const struct line *line = &formula->lines[n];
        count += 1;
        if (line->kind == LINE_STARTER) count += catalogue->starters[line->index].flour_count + 1;
        if (line->kind == LINE_FORMULA) count += run->nodes[line->index];
    }
    run->nodes[index] = count > COSTING_NODES_MAX ? COSTING_NODES_MAX + 1 : count;
}

static bool run_memory(struct costing_run *run)
{
    const struct reckoning *reckoning = run->reckoning;
    const struct catalogue *catalogue = reckoning->catalogue;
    run->nodes = amount_memory(reckoning, catalogue->formula_count, sizeof *run->nodes);
    run->price_paths = amount_memory(reckoning, catalogue->ingredient_count, sizeof(char *));
    run->formula_paths = amount_memory(reckoning, catalogue->formula_count, sizeof(char *));
    run->starter_paths = amount_memory(reckoning, catalogue->starter_count, sizeof(char *));
    if (!run->nodes || !run->price_paths || !run->formula_paths || !run->starter_paths)
        return false;
    for (size_t i = 0; i < catalogue->formula_count; i++)
        count_nodes(run, reckoning->breakdowns->order[i]);
    return true;
}

static bool run_rates(struct costing_run *run)
{
    char from[DATE_TEXT_SIZE];
    if (run->day->rates) run->rates = *run->day->rates;
    if (!run->rates.known) run->rates = (struct rates){.known = false};
    if (!run->rates.known) return true;
    date_print(from, run->rates.from);
    run->rates_path = costing_text(run, "/api/v1/rates/%s", from);
    return run->rates_path != NULL;
}

static bool run_loads(struct costing_run *run)
{
    for (size_t i = 0; i < run->made.product_count; i++) {
        struct costing_loads loads;
        int64_t minutes;
        costing_loads_of(run->reckoning, run->made.products[i].product,
                         run->made.products[i].pieces, &loads);
        if (loads.loads == 0 || loads.minutes == 0) continue;
        if (!amount_multiply_whole(run->reckoning, loads.loads, loads.minutes, &minutes) ||
            !amount_add_whole(run->reckoning, &run->loads, loads.loads) ||
            !amount_add_whole(run->reckoning, &run->load_minutes, minutes))
            return false;
    }
    return true;
}

static bool run_init(struct costing_run *run, const struct costing_day *day)
{
    size_t count;
    *run = (struct costing_run){.day = day, .reckoning = day->reckoning};
    struct baking *bakings = bakings_of_day(day->reckoning, day->bread_day, day->demands,
                                            day->demand_count, &count);
    return bakings && production_products(day->reckoning, bakings, count, &run->made) &&
           run_memory(run) && run_rates(run) && run_loads(run) &&
           costing_mixes_of(day, &run->mixes);
}

/* --- a product --- */

static bool is_left_out(const struct rates *rates, enum cost_kind kind)
{
    switch (kind) {
    case COST_LABOUR:
        return !rates->hand_hour.known;
    case COST_ENERGY:
        return !rates->kwh.known;
    case COST_DELIVERY:
        return !rates->round.known || rates->round_pieces <= 0;
    case COST_OVERHEAD:
        return !rates->overhead_month.known || rates->overhead_base <= 0;
    default:
        return false;
    }
}

static void attach(struct why *root, struct why *kind)
{
    if (root->last)
        root->last->next = kind;
    else
        root->first = kind;
    root->last = kind;
    root->child_count++;
}

/* Minutes of labour are told even when nobody said what an hour costs. */
static bool add_kind(struct costing_item *item, enum cost_kind kind)
{
    const struct reckoning *reckoning = item->run->reckoning;
    struct product_costing *out = item->out;
    out->left_out[kind] = is_left_out(&item->run->rates, kind);
    if (out->left_out[kind]) return kind != COST_LABOUR || costing_labour(item, NULL);
    struct why *node = why_add(reckoning, NULL, cost_words[kind], item->path);
    if (!node || !steps[kind](item, node) || !why_sum(reckoning, node)) return false;
    if (!node->first) return true;
    attach(out->root, node);
    out->kinds[kind] = node;
    return amount_add_whole(reckoning, &out->root->value, node->value);
}

static bool tell_minutes(struct costing_item *item)
{
    return fixed_to(item->minutes, MINUTE_PLACES, &item->out->labour_minutes) ||
           amount_too_large(item->run->reckoning);
}

static bool add_kinds(struct costing_item *item)
{
    for (int kind = 0; kind < COST_KINDS; kind++) {
        if (!add_kind(item, (enum cost_kind)kind)) return false;
        if (kind == COST_LABOUR && !tell_minutes(item)) return false;
    }
    return why_sum(item->run->reckoning, item->out->root);
}

/* What so much of the baked piece costs, rounded half to even from the exact cost and weight. */
static bool cost_of_weight(const struct product_costing *of, int64_t mg, int64_t *micros)
{
    fixed cost;
    if (!fixed_muldiv(of->each_micros, mg, of->baked_mg, ROUND_HALF_EVEN, &cost) ||
        cost > INT64_MAX)
        return false;
    *micros = (int64_t)cost;
    return true;
}

static bool tell_weights(const struct costing_item *item)
{
    struct product_costing *out = item->out;
    out->baked_mg = piece_baked_mg(item->product);
    if (out->baked_mg == 0) return true;
    return (out->baked_mg > 0 && cost_of_weight(out, 1000000, &out->per_kg_micros) &&
            cost_of_weight(out, 100000, &out->per_100g_micros)) ||
           amount_too_large(item->run->reckoning);
}

static bool tell_figures(const struct costing_item *item)
{
    struct product_costing *out = item->out;
    out->known = !out->root->missing;
    out->each_micros = out->root->value;
    for (int kind = COST_INGREDIENTS; kind <= COST_STARTER; kind++)
        if (out->kinds[kind]) out->ingredients_micros += out->kinds[kind]->value;
    out->each_variable_micros = out->each_micros - item->fixed_micros;
    return amount_multiply_whole(item->run->reckoning, item->fixed_micros, out->ordered,
                                 &out->day_fixed_micros) &&
           tell_weights(item);
}

static bool cost_product(struct costing_run *run, const struct production_product *made,
                         struct product_costing *out)
{
    const struct product *product = &run->reckoning->catalogue->products[made->product];
    struct costing_item item = {.run = run, .product = product, .out = out};
    *out = (struct product_costing){
        .product = made->product, .ordered = made->ordered, .pieces = made->pieces};
    item.path = costing_text(run, "/api/v1/products/%s", product->code);
    item.weights = amount_memory(run->reckoning, run->mixes.count, sizeof *item.weights);
    if (!item.path || !item.weights) return false;
    costing_loads_of(run->reckoning, made->product, made->pieces, &item.loads);
    out->root = why_add(run->reckoning, NULL, product->name, item.path);
    if (!out->root) return false;
    out->root->unit = WHY_PIECES;
    out->root->quantity = 1;
    return costing_weights(&run->mixes, run->day->bread_day, made->product, item.weights) &&
           costing_explode(&item) && add_kinds(&item) && tell_figures(&item);
}

/* --- all that is asked for --- */

static bool is_ordered(const struct costing_day *day, size_t product)
{
    for (size_t i = 0; i < day->demand_count; i++)
        if (day->demands[i].product == product && day->demands[i].bread_day == day->bread_day &&
            day->demands[i].pieces > 0)
            return true;
    return false;
}

/* The day with one load of a product that nobody ordered. */
static bool with_one_load(const struct costing_day *day, size_t product, struct costing_day *out)
{
    struct demand *demands = amount_memory(day->reckoning, day->demand_count + 1, sizeof *demands);
    if (!demands) return false;
    if (day->demand_count > 0) memcpy(demands, day->demands, day->demand_count * sizeof *demands);
    demands[day->demand_count] = (struct demand){day->bread_day, product, NO_CLOCK,
                                                 costing_one_load(day->reckoning, product)};
    *out = *day;
    out->demands = demands;
    out->demand_count = day->demand_count + 1;
    return true;
}

static bool cost_products(struct costing_run *run, size_t product, struct product_costing **out,
                          size_t *count)
{
    const struct production *made = &run->made;
    *out = amount_memory(run->reckoning, made->product_count, sizeof **out);
    if (!*out) return false;
    for (size_t i = 0; i < made->product_count; i++) {
        if (product != NOT_FOUND && made->products[i].product != product) continue;
        if (made->products[i].ordered <= 0) continue;
        if (!cost_product(run, &made->products[i], &(*out)[(*count)++])) return false;
    }
    return true;
}

bool costing_of(const struct costing_day *day, size_t product, struct product_costing **out,
                size_t *count)
{
    struct costing_run run;
    struct costing_day more;
    *out = NULL;
    *count = 0;
    if (product != NOT_FOUND && !is_ordered(day, product)) {
        if (!with_one_load(day, product, &more)) return false;
        day = &more;
    }
    return run_init(&run, day) && cost_products(&run, product, out, count);
}
