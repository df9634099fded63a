/* Gaps of a lot's way forwards, and the words that both ways share. */
#include "bakery/trace_gaps.h"

#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "bakery/stock.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"

#include <inttypes.h>
#include <string.h>

enum { NAMED_MAX = 3 }; /* products that are told by name */

/* --- words --- */

static bool make_room(struct trace_gaps *gaps)
{
    size_t room = gaps->room == 0 ? 8 : 2 * gaps->room;
    if (gaps->count < gaps->room) return true;
    const char **items = amount_memory(gaps->reckoning, room, sizeof *items);
    if (items == NULL) return false;
    if (gaps->count > 0) memcpy(items, gaps->items, gaps->count * sizeof *items);
    gaps->items = items;
    gaps->room = room;
    return true;
}

bool gap_add(struct trace_gaps *gaps, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = arena_vprintf(gaps->reckoning->arena, format, args);
    va_end(args);
    if (text == NULL || arena_failed(gaps->reckoning->arena))
        return fail_memory(gaps->reckoning->fails);
    if (!make_room(gaps)) return false;
    gaps->items[gaps->count++] = text;
    return true;
}

const char *gap_amount(const struct trace_gaps *gaps, enum ingredient_unit unit, int64_t amount)
{
    return amount_words(gaps->reckoning->arena, unit, amount);
}

const char *gap_grams(const struct trace_gaps *gaps, fixed grams)
{
    int64_t mg;
    return fixed_to(grams, WEIGHT_PLACES, &mg) ? gap_amount(gaps, UNIT_GRAM, mg) : "much";
}

const char *gap_name(const struct trace_gaps *gaps, enum line_kind kind, const char *code)
{
    return catalogue_thing_name(gaps->reckoning->catalogue, kind, code);
}

bool gap_unposted(struct trace_gaps *gaps, const struct trace_blank *blank, const char *more)
{
    char day[DATE_TEXT_SIZE];
    date_print(day, blank->mixing_date);
    return gap_add(gaps, "%s of %s of %s of which no batch was posted%s",
                   gap_amount(gaps, UNIT_GRAM, blank->mg),
                   gap_name(gaps, LINE_FORMULA, blank->code), day, more);
}

bool gap_unlogged(struct trace_gaps *gaps, const struct trace_blank *blank, const char *more)
{
    return gap_add(gaps, "%s of %s of which no log was kept%s",
                   gap_amount(gaps, UNIT_GRAM, blank->mg),
                   gap_name(gaps, LINE_STARTER, blank->code), more);
}

/* --- what may hold an ingredient --- */

const char **trace_formulas_with(const struct reckoning *reckoning, size_t ingredient,
                                 size_t *count)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    const char **codes = amount_memory(reckoning, catalogue->formula_count, sizeof *codes);
    *count = 0;
    for (size_t i = 0; codes != NULL && i < catalogue->formula_count; i++) {
        const struct breakdown *breakdown = &reckoning->breakdowns->items[i];
        if (breakdown->lines != NULL && breakdown->ingredients[ingredient] > 0)
            codes[(*count)++] = catalogue->formulas[i].code;
    }
    return codes;
}

const char **trace_starters_with(const struct reckoning *reckoning, size_t ingredient,
                                 size_t *count)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    const char **codes = amount_memory(reckoning, catalogue->starter_count, sizeof *codes);
    *count = 0;
    for (size_t i = 0; codes != NULL && i < catalogue->starter_count; i++) {
        const fixed *holds = reckoning->breakdowns->starters[i];
        if (holds != NULL && holds[ingredient] > 0) codes[(*count)++] = catalogue->starters[i].code;
    }
    return codes;
}

/* --- forwards --- */

static bool out_of_the_book(struct trace_gaps *gaps, const struct trace_gaps_forward *from)
{
    const struct trace_balance *balance = from->balance;
    enum ingredient_unit unit = gaps->reckoning->catalogue->ingredients[from->lot->ingredient].unit;
    if (balance->used > 0 && !gap_add(gaps, "%s were used otherwise than in batches and feeds",
                                      gap_amount(gaps, unit, balance->used)))
        return false;
    return balance->counted >= 0 || gap_add(gaps, "%s were missing when it was counted",
                                            gap_amount(gaps, unit, -balance->counted));
}

static bool out_of_pots(struct trace_gaps *gaps, const struct trace_gaps_forward *from)
{
    for (size_t i = 0; i < from->starter_count; i++) {
        const struct trace_starter *starter = &from->starters[i];
        if (starter->astray >= FIXED_ONE / 1000 &&
            !gap_add(gaps, "%s of it were taken with %s for no batch",
                     gap_grams(gaps, starter->astray),
                     gap_name(gaps, LINE_STARTER, starter->starter)))
            return false;
    }
    return true;
}

static bool may_be_in(struct trace_gaps *gaps, const struct trace_gaps_forward *from)
{
    static const char *const more = ", which may hold some of this lot";
    for (size_t i = 0; i < from->unposted_count; i++)
        if (!gap_unposted(gaps, &from->unposted[i], more)) return false;
    for (size_t i = 0; i < from->unlogged_count; i++)
        if (!gap_unlogged(gaps, &from->unlogged[i], more)) return false;
    return true;
}

/* Whether a batch was mixed for a bread day, or anything was taken of its mix. */
static bool leads_on(const struct trace_gaps_forward *from, const struct flow_batch *batch)
{
    const struct flow_pool *pool = flow_pool_of(from->flow, batch->formula, batch->mixing_date);
    if (pool != NULL && pool->taken_mg > 0) return true;
    for (size_t i = 0; i < from->purpose_count; i++)
        if (from->purposes[i].posting == batch->posting) return true;
    return false;
}

/* One sentence a formula. */
static bool leads_nowhere(struct trace_gaps *gaps, const struct trace_gaps_forward *from)
{
    size_t formula_count = gaps->reckoning->catalogue->formula_count;
    int64_t *lost = amount_memory(gaps->reckoning, formula_count, sizeof *lost);
    if (lost == NULL) return false;
    for (size_t i = 0; i < from->carrier_count; i++) {
        const struct flow_batch *batch = from->carriers[i].batch;
        size_t formula = catalogue_formula(gaps->reckoning->catalogue, batch->formula);
        if (formula != NOT_FOUND && !leads_on(from, batch)) lost[formula]++;
    }
    for (size_t i = 0; i < formula_count; i++) {
        const char *name = gaps->reckoning->catalogue->formulas[i].name;
        if (lost[i] > 0 && !gap_add(gaps, "%" PRId64 " %s of %s for no bread day in the book",
                                    lost[i], lost[i] == 1 ? "batch" : "batches", name))
            return false;
    }
    return true;
}

static bool goes_on(const struct product *product, size_t ingredient)
{
    for (size_t i = 0; i < product->part_count; i++)
        if (product->parts[i].kind == LINE_INGREDIENT && product->parts[i].index == ingredient)
            return true;
    for (size_t i = 0; i < product->packaging_count; i++)
        if (product->packaging[i].index == ingredient) return true;
    return false;
}

/* Toppings and bags go on products without a batch. */
static bool without_batch(struct trace_gaps *gaps, const struct trace_gaps_forward *from)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    const char *names = NULL;
    size_t count = 0;
    for (size_t i = 0; i < catalogue->product_count; i++) {
        const struct product *product = &catalogue->products[i];
        if (!goes_on(product, from->lot->ingredient)) continue;
        if (count++ < NAMED_MAX)
            names = names == NULL
                        ? product->name
                        : arena_printf(gaps->reckoning->arena, "%s, %s", names, product->name);
    }
    if (count == 0) return true;
    return gap_add(gaps,
                   "%s goes on products without a batch (%s%s): which of them had this lot"
                   " is not in the book",
                   catalogue->ingredients[from->lot->ingredient].name, names,
                   count > NAMED_MAX ? " and others" : "");
}

bool trace_gaps_forward_of(const struct reckoning *reckoning, const struct trace_gaps_forward *from,
                           struct trace_gaps *out)
{
    *out = (struct trace_gaps){.reckoning = reckoning};
    return out_of_the_book(out, from) && out_of_pots(out, from) && may_be_in(out, from) &&
           leads_nowhere(out, from) && without_batch(out, from);
}
