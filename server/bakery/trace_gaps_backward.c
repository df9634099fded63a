/* Gaps of a bread day's way back. */
#include "bakery/amount.h"
#include "bakery/day_trace.h"
#include "bakery/trace_gaps.h"
#include "base/decimal.h"

#include <string.h>

/* Of what was taken of a preferment so much may be missing in what was posted as mixed without a
 * word: scales and spoons. In 1/100. */
enum { SHORT_PCT = 1 };

/* --- preferments --- */

/* Adds the lines of a kind and code that fit. */
static bool add_lines(const struct trace_gaps *gaps, const struct flow *flow, enum line_kind kind,
                      const char *code, bool (*fits)(const struct flow_line *line, date day),
                      date day, int64_t *mg)
{
    for (size_t i = 0; i < flow->line_count; i++) {
        const struct flow_line *line = &flow->lines[i];
        if (line->kind == kind && strcmp(line->code, code) == 0 && fits(line, day) &&
            !amount_add_whole(gaps->reckoning, mg, line->mg))
            return false;
    }
    return true;
}

static bool is_of_day(const struct flow_line *line, date day)
{
    return line->has_part_date && line->part_date == day;
}

static bool is_unlogged(const struct flow_line *line, date day)
{
    (void)day;
    return line->log_entry == 0;
}

static bool is_undated(const struct flow_line *line, date day)
{
    (void)day;
    return !line->has_part_date;
}

static bool short_pool(struct trace_gaps *gaps, const struct flow_pool *pool)
{
    char day[DATE_TEXT_SIZE];
    int64_t missing = pool->taken_mg - pool->posted_mg;
    if (missing <= pool->taken_mg / 100 * SHORT_PCT) return true;
    date_print(day, pool->mixing_date);
    return gap_add(gaps, "of %s of %s of %s that were taken only %s were posted as mixed",
                   gap_amount(gaps, UNIT_GRAM, pool->taken_mg),
                   gap_name(gaps, LINE_FORMULA, pool->part), day,
                   gap_amount(gaps, UNIT_GRAM, pool->posted_mg));
}

static bool dated_preferments(struct trace_gaps *gaps, const struct flow *flow)
{
    for (size_t i = 0; i < flow->pool_count; i++) {
        const struct flow_pool *pool = &flow->pools[i];
        struct trace_blank blank = {.code = pool->part, .mixing_date = pool->mixing_date};
        if (!add_lines(gaps, flow, LINE_FORMULA, pool->part, is_of_day, pool->mixing_date,
                       &blank.mg) ||
            (pool->posted_mg == 0 ? !gap_unposted(gaps, &blank, "") : !short_pool(gaps, pool)))
            return false;
    }
    return true;
}

static bool undated_preferments(struct trace_gaps *gaps, const struct flow *flow)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    for (size_t i = 0; i < catalogue->formula_count; i++) {
        const struct formula *formula = &catalogue->formulas[i];
        int64_t mg = 0;
        if (!add_lines(gaps, flow, LINE_FORMULA, formula->code, is_undated, 0, &mg)) return false;
        if (mg > 0 && !gap_add(gaps, "%s of %s of which no mixing date was kept",
                               gap_amount(gaps, UNIT_GRAM, mg), formula->name))
            return false;
    }
    return true;
}

/* --- starters --- */

static bool before_the_book(struct trace_gaps *gaps, const struct flow *flow, const char *starter)
{
    int64_t taken_mg = 0;
    fixed unknown = 0;
    for (size_t i = 0; i < flow->taking_count; i++) {
        if (strcmp(flow->takings[i].starter, starter) != 0) continue;
        if (!amount_add_whole(gaps->reckoning, &taken_mg, flow->takings[i].taken.mg) ||
            !amount_add(gaps->reckoning, &unknown, flow->takings[i].taken.unknown))
            return false;
    }
    return unknown < FIXED_ONE / 1000 ||
           gap_add(gaps, "of %s of %s %s came in before the book was kept",
                   gap_amount(gaps, UNIT_GRAM, taken_mg), gap_name(gaps, LINE_STARTER, starter),
                   gap_grams(gaps, unknown));
}

static bool starters(struct trace_gaps *gaps, const struct flow *flow)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    for (size_t i = 0; i < catalogue->starter_count; i++) {
        const char *code = catalogue->starters[i].code;
        struct trace_blank blank = {.code = code};
        if (!add_lines(gaps, flow, LINE_STARTER, code, is_unlogged, 0, &blank.mg) ||
            (blank.mg > 0 && !gap_unlogged(gaps, &blank, "")))
            return false;
        if (!before_the_book(gaps, flow, code)) return false;
    }
    return true;
}

/* --- ingredients --- */

/* What was weighed in and is in no movement, per ingredient. */
static bool take_off(const struct trace_gaps *gaps, const struct trace_gaps_backward *from,
                     int64_t *missing)
{
    for (size_t i = 0; i < from->flow->move_count; i++) {
        const struct flow_move *move = &from->flow->moves[i];
        const struct trace_lot *lot = day_trace_lot(from->lots, from->lot_count, move->lot);
        if (lot != NULL && !amount_add_whole(gaps->reckoning, &missing[lot->ingredient], -move->mg))
            return false;
    }
    return true;
}

static bool ingredients(struct trace_gaps *gaps, const struct trace_gaps_backward *from)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    int64_t *missing = amount_memory(gaps->reckoning, catalogue->ingredient_count, sizeof *missing);
    if (missing == NULL) return false;
    for (size_t i = 0; i < from->flow->line_count; i++) {
        const struct flow_line *line = &from->flow->lines[i];
        if (line->kind != LINE_INGREDIENT) continue;
        size_t ingredient = catalogue_ingredient(catalogue, line->code);
        if (ingredient != NOT_FOUND &&
            !amount_add_whole(gaps->reckoning, &missing[ingredient], line->mg))
            return false;
    }
    if (!take_off(gaps, from, missing)) return false;
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        if (missing[i] > 0 && catalogue->ingredients[i].kind != KIND_WATER &&
            !gap_add(gaps, "%s of %s of which no stock was kept",
                     gap_amount(gaps, UNIT_GRAM, missing[i]), catalogue->ingredients[i].name))
            return false;
    return true;
}

/* --- products --- */

static bool was_mixed_for(const struct trace_gaps_backward *from, const char *product,
                          const char *formula)
{
    for (size_t i = 0; i < from->purpose_count; i++) {
        const struct flow_batch *batch = flow_batch_of(from->flow, from->purposes[i].posting);
        if (batch != NULL && strcmp(from->purposes[i].product, product) == 0 &&
            strcmp(batch->formula, formula) == 0)
            return true;
    }
    return false;
}

/* As the product is now. */
static bool product_gaps(struct trace_gaps *gaps, const struct trace_gaps_backward *from,
                         const struct product *product)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    for (size_t i = 0; i < product->part_count; i++) {
        const struct part *part = &product->parts[i];
        if (part->kind == LINE_INGREDIENT) {
            if (catalogue->ingredients[part->index].kind != KIND_WATER &&
                !gap_add(gaps, "%s goes on %s without a batch: of which lots is not in the book",
                         catalogue->ingredients[part->index].name, product->name))
                return false;
        } else if (!was_mixed_for(from, product->code, part->code) &&
                   !gap_add(gaps, "no batch of %s was posted for %s",
                            catalogue->formulas[part->index].name, product->name)) {
            return false;
        }
    }
    return true;
}

static bool products(struct trace_gaps *gaps, const struct trace_gaps_backward *from)
{
    const struct catalogue *catalogue = gaps->reckoning->catalogue;
    for (size_t i = 0; i < from->product_count; i++) {
        size_t at = catalogue_product(catalogue, from->products[i]);
        if (at != NOT_FOUND && !product_gaps(gaps, from, &catalogue->products[at])) return false;
    }
    return true;
}

bool trace_gaps_backward_of(const struct reckoning *reckoning,
                            const struct trace_gaps_backward *from, struct trace_gaps *out)
{
    *out = (struct trace_gaps){.reckoning = reckoning};
    return products(out, from) && dated_preferments(out, from->flow) &&
           undated_preferments(out, from->flow) && starters(out, from->flow) &&
           ingredients(out, from);
}
