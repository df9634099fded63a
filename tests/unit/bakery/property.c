/* What holds for every bakery: seeded random ones are asked. */
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(property, .timeout = 120);

enum { SEEDS = 150 };

/* Two sums of shares that are the same in exact arithmetic. */
static bool near(fixed a, fixed b)
{
    fixed off = a > b ? a - b : b - a;
    return off <= SHARE_ONE / fixed_power10(18);
}

Test(property, nothing_is_lost_or_made_within_a_dough)
{
    size_t totals = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        for (size_t f = 0; f < w->catalogue.formula_count; f++) {
            const struct breakdown *b = &w->breakdowns.items[f];
            fixed lines = 0;
            fixed composition_sum = 0;
            fixed flour = 0;
            for (size_t n = 0; n < w->catalogue.formulas[f].line_count; n++) {
                cr_assert_geq(b->lines[n], 0);
                lines += b->lines[n];
            }
            for (size_t i = 0; i < w->catalogue.ingredient_count; i++) {
                cr_assert_geq(b->ingredients[i], 0);
                composition_sum += b->ingredients[i];
                if (w->catalogue.ingredients[i].kind == KIND_FLOUR) flour += b->ingredients[i];
            }
            cr_assert(near(lines, SHARE_ONE), "seed %lu formula %zu", seed, f);
            cr_assert(near(composition_sum, SHARE_ONE), "seed %lu formula %zu", seed, f);
            cr_assert(near(flour, b->flour), "seed %lu formula %zu", seed, f);
            totals += w->catalogue.formulas[f].basis == BASIS_TOTAL;
        }
        world_free(w);
    }
    cr_expect_gt(totals, SEEDS * 3, "only %zu formulas of basis total were drawn", totals);
}

/* The lines of a dough, exploded, are its composition: also with basis total, where the composition
 * was told and the lines were worked out. */
Test(property, the_lines_explode_to_the_composition)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        for (size_t f = 0; f < w->catalogue.formula_count; f++) {
            const struct formula *formula = &w->catalogue.formulas[f];
            const struct breakdown *b = &w->breakdowns.items[f];
            fixed sum[16] = {0};
            for (size_t n = 0; n < formula->line_count; n++) {
                const struct line *line = &formula->lines[n];
                const fixed *of = line->kind == LINE_STARTER
                                      ? w->breakdowns.starters[line->index]
                                      : w->breakdowns.items[line->index].ingredients;
                if (line->kind == LINE_INGREDIENT) {
                    sum[line->index] += b->lines[n];
                    continue;
                }
                for (size_t i = 0; i < w->catalogue.ingredient_count; i++) {
                    fixed more;
                    cr_assert(fixed_muldiv(of[i], b->lines[n], SHARE_ONE, ROUND_HALF_EVEN, &more));
                    sum[i] += more;
                }
            }
            for (size_t i = 0; i < w->catalogue.ingredient_count; i++)
                cr_assert(near(sum[i], b->ingredients[i]), "seed %lu formula %zu", seed, f);
        }
        world_free(w);
    }
}

/* --- the mixes of a bread day and its needs --- */

/* What all mixes of all dates weigh, exact, by ingredient; starters exploded. In micrograms. */
struct weighed {
    fixed ingredients[16];
    int64_t figures; /* printed figures times batches: each is off by half a milligram at most */
};

static void weigh_mix(const struct world *w, const struct mix *mix, struct weighed *sum)
{
    int64_t line_sum = 0;
    for (size_t n = 0; n < w->catalogue.formulas[mix->formula].line_count; n++) {
        const struct mix_line *line = &mix->lines[n];
        fixed mg_total = (fixed)line->exact_mg * mix->batches;
        line_sum += line->exact_mg;
        sum->figures += mix->batches;
        if (line->line->kind == LINE_INGREDIENT)
            sum->ingredients[line->line->index] += mg_total * 1000;
        for (size_t i = 0; line->line->kind == LINE_STARTER && i < w->catalogue.ingredient_count;
             i++) {
            fixed more;
            cr_assert(fixed_muldiv(w->breakdowns.starters[line->line->index][i], mg_total * 1000,
                                   SHARE_ONE, ROUND_HALF_EVEN, &more));
            sum->ingredients[i] += more;
        }
    }
    int64_t lines = (int64_t)w->catalogue.formulas[mix->formula].line_count;
    cr_assert_leq(llabs(line_sum - mix->batch_mg), (lines + 1) / 2 + 1);
    cr_assert_leq(llabs(mix->batch_mg * mix->batches - mix->dough_mg), (mix->batches + 1) / 2 + 1);
}

static void weigh_all_mixes(struct world *w, const char *day, struct weighed *sum)
{
    for (date d = day_of(day) - 8; d <= day_of(day) + 2; d++) {
        struct mixing_list list = list_on(w, day_text(d));
        for (size_t i = 0; i < list.mix_count; i++)
            weigh_mix(w, &list.mixes[i], sum);
    }
}

/* Ingredients that go into the pieces beside the dough. */
static void add_toppings(struct world *w, const char *day, struct weighed *sum)
{
    struct production p = production_on(w, day);
    for (size_t k = 0; k < p.product_count; k++) {
        const struct product *of = &w->catalogue.products[p.products[k].product];
        for (size_t n = 0; n < of->part_count; n++)
            if (of->parts[n].kind == LINE_INGREDIENT)
                sum->ingredients[of->parts[n].index] += (fixed)p.products[k].pieces *
                                                        of->parts[n].mg * 1000;
    }
}

Test(property, needs_are_the_sum_of_what_the_mixes_weigh)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        struct dice dice = {seed};
        struct weighed sum = {.figures = 0};
        random_orders(w, &dice, "2027-03-28", 1, 12);
        weigh_all_mixes(w, "2027-03-28", &sum);
        add_toppings(w, "2027-03-28", &sum);
        struct needs needs = needs_on(w, "2027-03-28");
        for (size_t i = 0; i < needs.ingredient_count; i++) {
            const struct need *need = &needs.ingredients[i];
            if (w->catalogue.ingredients[need->ingredient].unit == UNIT_PIECE) continue;
            fixed off = sum.ingredients[need->ingredient] - (fixed)need->mg * 1000;
            cr_assert_leq(off < 0 ? -off : off, (fixed)500 * (sum.figures + 1), "seed %lu", seed);
        }
        cr_assert_gt(needs.ingredient_count, 5);
        world_free(w);
    }
}

/* --- the horizon --- */

static bool same_list(const struct world *w, const struct mixing_list *a,
                      const struct mixing_list *b)
{
    if (a->mix_count != b->mix_count || a->pieces_count != b->pieces_count ||
        a->starter_count != b->starter_count)
        return false;
    for (size_t i = 0; i < a->mix_count; i++) {
        const struct mix *x = &a->mixes[i];
        const struct mix *y = &b->mixes[i];
        if (x->formula != y->formula || x->begins != y->begins || x->dough_mg != y->dough_mg ||
            x->bread_day_count != y->bread_day_count ||
            memcmp(x->bread_days, y->bread_days, x->bread_day_count * sizeof(date)) != 0)
            return false;
        for (size_t n = 0; n < w->catalogue.formulas[x->formula].line_count; n++)
            if (x->lines[n].weigh_mg != y->lines[n].weigh_mg) return false;
    }
    for (size_t i = 0; i < a->starter_count; i++)
        if (a->starters[i].total_mg != b->starters[i].total_mg) return false;
    return memcmp(a->pieces, b->pieces, a->pieces_count * sizeof *a->pieces) == 0;
}

/* The demands of the horizon alone. */
static struct mixing_list list_of_horizon(struct world *w, date day, size_t *left_out)
{
    date first;
    date last;
    struct mixing_list out;
    mixing_horizon(&w->reckoning, day, &first, &last);
    struct demand *inside = arena_array(w->arena, w->demand_count, sizeof *inside);
    size_t count = 0;
    for (size_t i = 0; i < w->demand_count; i++)
        if (w->demands[i].bread_day >= first && w->demands[i].bread_day <= last)
            inside[count++] = w->demands[i];
    *left_out += w->demand_count - count;
    cr_assert(mixing_list_of(&w->reckoning, day, inside, count, &out));
    return out;
}

Test(property, bread_days_out_of_the_horizon_change_nothing)
{
    static const char *const from[] = {"2027-03-20", "2027-10-24", "2027-11-01"};
    size_t left_out = 0;
    size_t mixes = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        struct dice dice = {seed};
        const char *first = from[seed % 3];
        random_orders(w, &dice, first, 16, 60);
        for (date d = day_of(first) + 4; d < day_of(first) + 12; d++) {
            struct mixing_list all = list_on(w, day_text(d));
            struct mixing_list some = list_of_horizon(w, d, &left_out);
            cr_assert(same_list(w, &all, &some), "seed %lu, list of %s", seed, day_text(d));
            mixes += all.mix_count;
        }
        world_free(w);
    }
    cr_expect_gt(left_out, 1000);
    cr_expect_gt(mixes, 1000);
}

/* --- from basis total to basis final and back --- */

/* The final form at the four decimals that are stored; flours made whole in the largest. */
static bool enter_final_form(struct world *w, size_t index)
{
    struct formula_view view;
    struct formula made = w->catalogue.formulas[index];
    struct line *lines = arena_array(w->arena, made.line_count, sizeof *lines);
    int64_t flour = 0;
    size_t largest = NOT_FOUND;
    cr_assert(breakdown_view(w->arena, &w->breakdowns, index, &view));
    for (size_t n = 0; n < made.line_count; n++) {
        lines[n] = made.lines[n];
        lines[n].pct = view.final_pct[n];
        lines[n].flour_share = false;
        if (lines[n].kind != LINE_INGREDIENT ||
            w->catalogue.ingredients[lines[n].index].kind != KIND_FLOUR)
            continue;
        flour += lines[n].pct;
        if (largest == NOT_FOUND || lines[n].pct > lines[largest].pct) largest = n;
    }
    if (largest == NOT_FOUND || flour == 0) return false;
    lines[largest].pct += PERCENT_WHOLE - flour;
    made.code = "turned";
    made.basis = BASIS_FINAL;
    made.lines = lines;
    return catalogue_put_formula(w->arena, &w->catalogue, &made);
}

Test(property, the_final_form_weighs_the_same)
{
    size_t turned = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct world *w = random_world(seed);
        size_t index = at_formula(w, "f31");
        const struct breakdown before = w->breakdowns.items[index];
        if (w->catalogue.formulas[index].basis == BASIS_TOTAL && enter_final_form(w, index)) {
            open_world(w);
            const struct breakdown *after = &w->breakdowns.items[at_formula(w, "turned")];
            for (size_t n = 0; n < w->catalogue.formulas[index].line_count; n++) {
                fixed off = after->lines[n] - before.lines[n];
                cr_assert_leq(off < 0 ? -off : off, SHARE_ONE / 500000, "seed %lu line %zu", seed,
                              n);
            }
            turned++;
        }
        world_free(w);
    }
    cr_expect_gt(turned, SEEDS / 5);
}

/* Work that grows with the number of demands and not with its square. */
Test(property, many_orders_take_their_time_once)
{
    struct world *w = random_world(7);
    struct dice dice = {7};
    random_orders(w, &dice, "2027-03-20", 2, 200000);
    struct mixing_list list = list_on(w, "2027-03-19");
    cr_expect_gt(list.mix_count, 0);
    cr_expect_gt(needs_on(w, "2027-03-20").ingredient_count, 0);
    world_free(w);
}
