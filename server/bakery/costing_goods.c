/* What goes into a piece, and what is lost on the way: ingredients, handling, spare, starter,
 * packaging.
 *
 * Let a piece hold g grams of a dough that loses l of what is mixed. Then g / (1 - l) are mixed; g
 * are ingredients of the piece, line by line as if nothing were lost anywhere, and the rest is what
 * stays behind. What is mixed, with losses, of everything below it leaves its own rest behind. The
 * sum of the piece and of all rests, each told as if nothing were lost in it, is the cost with all
 * losses: what a dough takes of a preferment is there as a line of the dough, lost or not, and only
 * what the preferment itself loses comes on top. Losses are therefore gathered per formula.
 *
 * A product that is ordered o times and made p times has the spare p - o on its ordered pieces.
 */
#include "bakery/costing_run.h"

/* --- what a piece takes, losses included --- */

static bool explode_line(struct costing_item *item, const struct line *line, fixed share,
                         fixed mixed, fixed *doughs)
{
    fixed *sum = line->kind == LINE_STARTER ? &item->taken[line->index] : &doughs[line->index];
    if (line->kind == LINE_INGREDIENT) return true;
    return amount_add_scaled(item->run->reckoning, sum, mixed, share, SHARE_ONE);
}

static bool explode_formula(struct costing_item *item, size_t index, fixed *doughs)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct formula *formula = &reckoning->catalogue->formulas[index];
    fixed mixed;
    if (doughs[index] == 0) return true;
    const fixed *shares = amount_lines(reckoning, index);
    if (!shares || !amount_with_loss(reckoning, index, doughs[index], &mixed)) return false;
    item->lost[index] = mixed - doughs[index];
    for (size_t n = 0; n < formula->line_count; n++)
        if (!explode_line(item, &formula->lines[n], shares[n], mixed, doughs)) return false;
    return true;
}

bool costing_explode(struct costing_item *item)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct catalogue *catalogue = reckoning->catalogue;
    fixed *doughs = amount_memory(reckoning, catalogue->formula_count, sizeof *doughs);
    item->lost = amount_memory(reckoning, catalogue->formula_count, sizeof *item->lost);
    item->taken = amount_memory(reckoning, catalogue->starter_count, sizeof *item->taken);
    if (!doughs || !item->lost || !item->taken) return false;
    for (size_t k = 0; k < item->product->part_count; k++) {
        const struct part *part = &item->product->parts[k];
        if (part->kind == LINE_FORMULA &&
            !amount_add_pieces(reckoning, &doughs[part->index], 1, part->mg))
            return false;
    }
    for (size_t i = catalogue->formula_count; i > 0; i--)
        if (!explode_formula(item, reckoning->breakdowns->order[i - 1], doughs)) return false;
    return true;
}

/* --- trees --- */

/* Leaves of everything that so many grams are made of, by weight. */
static bool add_composition(struct costing_item *item, struct why *node, const fixed *composition,
                            fixed grams)
{
    const struct reckoning *reckoning = item->run->reckoning;
    for (size_t i = 0; i < reckoning->catalogue->ingredient_count; i++) {
        fixed part;
        if (composition[i] == 0) continue;
        if (!amount_scaled(reckoning, grams, composition[i], SHARE_ONE, &part) ||
            !costing_add_grams(item, node, i, part))
            return false;
    }
    return true;
}

static bool add_starter(struct costing_item *item, struct why *parent, size_t index, fixed grams)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const char *path = costing_starter_path(item->run, index);
    if (!path) return false;
    struct why *node = why_add(reckoning, parent, reckoning->catalogue->starters[index].name, path);
    return node && costing_set_grams(item, node, grams) &&
           add_composition(item, node, reckoning->breakdowns->starters[index], grams);
}

static bool add_lines(struct costing_item *item, struct why *node, size_t index, fixed grams);

static bool add_formula(struct costing_item *item, struct why *parent, size_t index, fixed grams)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const char *path = costing_formula_path(item->run, index);
    if (!path) return false;
    struct why *node = why_add(reckoning, parent, reckoning->catalogue->formulas[index].name, path);
    return node && costing_set_grams(item, node, grams) && add_lines(item, node, index, grams);
}

/* The lines of so many grams of a formula, nothing lost. As deep as formulas nest. */
static bool add_lines(struct costing_item *item, struct why *node, size_t index, fixed grams)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct formula *formula = &reckoning->catalogue->formulas[index];
    const fixed *shares = amount_lines(reckoning, index);
    if (!shares) return false;
    if (item->run->nodes[index] > COSTING_NODES_MAX)
        return add_composition(item, node, reckoning->breakdowns->items[index].ingredients, grams);
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = &formula->lines[n];
        fixed part;
        if (!amount_scaled(reckoning, grams, shares[n], SHARE_ONE, &part)) return false;
        if (part == 0) continue;
        bool added = line->kind == LINE_INGREDIENT
                         ? costing_add_grams(item, node, line->index, part)
                     : line->kind == LINE_STARTER ? add_starter(item, node, line->index, part)
                                                  : add_formula(item, node, line->index, part);
        if (!added) return false;
    }
    return true;
}

/* --- the kinds --- */

/* The parts of so many pieces among so many. */
static bool add_parts(struct costing_item *item, struct why *node, int64_t pieces, int64_t among)
{
    const struct reckoning *reckoning = item->run->reckoning;
    for (size_t k = 0; k < item->product->part_count; k++) {
        const struct part *part = &item->product->parts[k];
        fixed grams;
        if (!amount_scaled(reckoning, fixed_from(part->mg, WEIGHT_PLACES), pieces, among, &grams))
            return false;
        if (grams == 0) continue;
        if (!(part->kind == LINE_INGREDIENT ? costing_add_grams(item, node, part->index, grams)
                                            : add_formula(item, node, part->index, grams)))
            return false;
    }
    return true;
}

static bool add_rest(struct costing_item *item, struct why *parent, size_t index, fixed grams)
{
    const struct formula *formula = &item->run->reckoning->catalogue->formulas[index];
    const char *path = costing_formula_path(item->run, index);
    const char *what = costing_text(item->run, "%s left behind in handling", formula->name);
    if (!path || !what) return false;
    struct why *node = why_add(item->run->reckoning, parent, what, path);
    return node && costing_set_grams(item, node, grams) && add_lines(item, node, index, grams);
}

static bool add_rests(struct costing_item *item, struct why *node, int64_t pieces, int64_t among)
{
    const struct reckoning *reckoning = item->run->reckoning;
    for (size_t f = 0; f < reckoning->catalogue->formula_count; f++) {
        fixed grams;
        if (item->lost[f] == 0) continue;
        if (!amount_scaled(reckoning, item->lost[f], pieces, among, &grams) ||
            !add_rest(item, node, f, grams))
            return false;
    }
    return true;
}

bool costing_ingredients(struct costing_item *item, struct why *node)
{
    return add_parts(item, node, 1, 1);
}

bool costing_handling(struct costing_item *item, struct why *node)
{
    return add_rests(item, node, 1, 1);
}

bool costing_spare(struct costing_item *item, struct why *node)
{
    int64_t spare = item->out->pieces - item->out->ordered;
    if (spare == 0) return true;
    node->unit = WHY_PIECES;
    node->quantity = spare;
    return add_parts(item, node, spare, item->out->ordered) &&
           add_rests(item, node, spare, item->out->ordered);
}

/* A starter's part: what is thrown away of it for what the pieces take. */
static bool add_discard(struct costing_item *item, struct why *parent, size_t index)
{
    const struct reckoning *reckoning = item->run->reckoning;
    const struct starter_waste *waste = &item->run->day->waste[index];
    const char *path = costing_starter_path(item->run, index);
    const char *what = costing_text(item->run, "%s thrown away at its feeds",
                                    reckoning->catalogue->starters[index].name);
    fixed grams;
    if (!path || !what ||
        !amount_scaled(reckoning, item->taken[index], item->out->pieces, item->out->ordered,
                       &grams) ||
        !amount_scaled(reckoning, grams, waste->discarded_mg, waste->taken_mg, &grams))
        return false;
    struct why *node = why_add(reckoning, parent, what, path);
    return node && costing_set_grams(item, node, grams) &&
           add_composition(item, node, reckoning->breakdowns->starters[index], grams);
}

bool costing_starter(struct costing_item *item, struct why *node)
{
    const struct starter_waste *waste = item->run->day->waste;
    for (size_t s = 0; waste && s < item->run->reckoning->catalogue->starter_count; s++)
        if (item->taken[s] != 0 && waste[s].taken_mg > 0 && waste[s].discarded_mg > 0 &&
            !add_discard(item, node, s))
            return false;
    return true;
}

static bool add_packaging(struct costing_item *item, struct why *node, int64_t pieces,
                          int64_t among)
{
    for (size_t k = 0; k < item->product->packaging_count; k++) {
        const struct packaging *packaging = &item->product->packaging[k];
        int64_t count;
        if (!amount_multiply_whole(item->run->reckoning, pieces, packaging->pieces, &count) ||
            !costing_add_pieces(item, node, packaging->index, count, among))
            return false;
    }
    return true;
}

/* Spare pieces are packed, too. */
bool costing_packaging(struct costing_item *item, struct why *node)
{
    int64_t spare = item->out->pieces - item->out->ordered;
    if (!add_packaging(item, node, 1, 1)) return false;
    if (spare == 0 || item->product->packaging_count == 0) return true;
    struct why *more = why_add(item->run->reckoning, node, "of the spare pieces", item->path);
    if (!more) return false;
    more->unit = WHY_PIECES;
    more->quantity = spare;
    return add_packaging(item, more, spare, item->out->ordered);
}
