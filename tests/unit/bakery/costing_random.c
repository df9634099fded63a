/* What holds for the costs of every bakery: seeded random ones are asked. And trouble: figures that
 * do not fit, memory that runs out. */
#include "costing_world.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <stdlib.h>

TestSuite(costing_random, .timeout = 120);

enum { SEEDS = 100, STAGES = 5 };

static const char day[] = "2027-05-12";

/* --- drawing --- */

static void draw_prices(struct world *w, struct dice *dice)
{
    struct price *list = arena_array(w->arena, w->catalogue.ingredient_count, sizeof *list);
    for (size_t i = 0; i < w->catalogue.ingredient_count; i++)
        list[i] = (struct price){.known = roll(dice, 0, 40) > 0,
                                 .from = day_of("2027-01-01"),
                                 .micros = roll(dice, 1, 60000000),
                                 .pack_mg = roll(dice, 1, 30) * 1000000,
                                 .pack_pieces = roll(dice, 1, 2000)};
    w->catalogue.prices = list;
}

static void draw_stage(struct dice *dice, struct stage *stage)
{
    static const enum stage_use uses[] = {USES_NOTHING, USES_MIXER, USES_OVEN, USES_COLD};
    stage->uses = uses[roll(dice, 0, 3)];
    stage->hands = roll(dice, 0, 2);
    stage->labour_per = (enum labour_per)roll(dice, LABOUR_USUAL, LABOUR_PER_LOAD);
    stage->labour_minutes = stage->labour_per == LABOUR_USUAL ? 0 : roll(dice, 0, 300000);
}

static void draw_equipment(struct world *w, struct dice *dice)
{
    struct bakery *b = &w->catalogue.bakery;
    for (size_t i = 0; i < b->mixer_count; i++)
        b->mixers[i].power_w = roll(dice, 0, 10) > 0 ? roll(dice, 1, 9000) : 0;
    if (roll(dice, 0, 3) > 0) powered_oven(w, "deck", roll(dice, 1, 4), roll(dice, 1, 3), 45, 5000);
    if (roll(dice, 0, 3) > 0) powered_oven(w, "old", 1, roll(dice, 1, 3), roll(dice, 0, 90), 7777);
    for (size_t p = 0; p < w->catalogue.product_count; p++) {
        struct product *product = &w->catalogue.products[p];
        if (roll(dice, 0, 3) > 0) bakes(w, product->code, roll(dice, 1, 30), roll(dice, 5, 80));
        product->labour_minutes = roll(dice, 0, 1) ? roll(dice, 0, 30000) : 0;
        product->unsold_pct = roll(dice, 0, 1) ? roll(dice, 0, 300000) : 0;
        product->bake_loss_pct = roll(dice, 0, 200000);
    }
}

static void draw_rates(struct costs *c, struct dice *dice)
{
    struct rates *r = &c->rates;
    r->known = roll(dice, 0, 5) > 0;
    r->from = day_of("2027-02-01");
    r->hand_hour = (struct money){roll(dice, 0, 3) > 0, roll(dice, 0, 40000000)};
    r->kwh = (struct money){roll(dice, 0, 3) > 0, roll(dice, 0, 500000)};
    r->round = (struct money){roll(dice, 0, 3) > 0, roll(dice, 0, 40000000)};
    r->overhead_month = (struct money){roll(dice, 0, 3) > 0, roll(dice, 0, 4000000000)};
    r->overhead_by = roll(dice, 0, 1) ? OVERHEAD_BY_MINUTES : OVERHEAD_BY_PIECES;
    r->overhead_base = roll(dice, 1, 20000);
    r->round_pieces = roll(dice, 1, 300);
}

static struct costs draw(uint64_t seed)
{
    struct dice dice = {seed * 977 + 5};
    struct costs c = {.w = random_world(seed)};
    for (size_t f = 0; f < c.w->catalogue.formula_count; f++)
        for (size_t n = 0; n < c.w->catalogue.formulas[f].stage_count; n++)
            draw_stage(&dice, &c.w->catalogue.formulas[f].stages[n]);
    draw_prices(c.w, &dice);
    draw_equipment(c.w, &dice);
    draw_rates(&c, &dice);
    c.waste = arena_array(c.w->arena, 2, sizeof *c.waste);
    for (size_t s = 0; s < 2; s++)
        c.waste[s] = (struct starter_waste){roll(&dice, 0, 9000), roll(&dice, 0, 9000)};
    random_orders(c.w, &dice, "2027-05-10", 5, 30);
    return c;
}

/* --- leaves sum to the figure --- */

/* A leaf is its quantity at its rate, up to the last digits of both. */
static void check_rates(const struct why *node)
{
    for (const struct why *at = node->first; at; at = at->next)
        check_rates(at);
    if (node->first || node->missing || !node->rate.known || node->unit == WHY_PIECES) return;
    fixed exact = (fixed)node->quantity * node->rate.micros;
    fixed off = exact - (fixed)node->value * node->rate.quantity;
    cr_assert_leq(off < 0 ? -off : off, ((fixed)node->rate.micros + node->rate.quantity) / 2 + 1,
                  "%s", node->what);
}

static void check_costing(const struct product_costing *of)
{
    size_t leaves = 0;
    int64_t sum = 0;
    cr_assert_eq(check_tree(of->root, &leaves), of->each_micros);
    for (int kind = 0; kind < COST_KINDS; kind++) {
        sum += kind_value(of, (enum cost_kind)kind);
        if (of->kinds[kind]) cr_assert_gt(of->kinds[kind]->child_count, 0);
        if (of->left_out[kind]) cr_assert_null(of->kinds[kind]);
    }
    cr_assert_eq(sum, of->each_micros);
    cr_assert_eq(of->known, !of->root->missing);
    cr_assert_eq(of->known, of->missing_count == 0);
    cr_assert_eq(of->day_fixed_micros + of->ordered * of->each_variable_micros,
                 of->ordered * of->each_micros);
    cr_assert_geq(of->day_fixed_micros, 0);
    cr_assert_geq(of->each_variable_micros, 0);
    check_rates(of->root);
}

Test(costing_random, leaves_sum_to_the_figure)
{
    size_t known = 0;
    size_t holes = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        size_t count;
        const struct product_costing *all = costings(&c, day, NULL, &count);
        for (size_t i = 0; i < count; i++) {
            check_costing(&all[i]);
            if (i > 0) cr_assert_gt(all[i].product, all[i - 1].product);
            known += all[i].known;
            holes += !all[i].known;
        }
        world_free(c.w);
    }
    cr_expect_gt(known, SEEDS, "%zu without a hole", known);
    cr_expect_gt(holes, SEEDS, "%zu with a hole", holes);
}

/* One by one they cost the same as together, ordered or not. */
Test(costing_random, a_product_by_itself_costs_the_same)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        size_t count;
        const struct product_costing *all = costings(&c, day, NULL, &count);
        for (size_t p = 0, i = 0; p < c.w->catalogue.product_count; p++) {
            struct product_costing one = costing(&c, day, c.w->catalogue.products[p].code);
            check_costing(&one);
            if (i == count || all[i].product != p) continue;
            cr_assert_eq(one.each_micros, all[i].each_micros);
            cr_assert_eq(one.day_fixed_micros, all[i].day_fixed_micros);
            cr_assert_eq(one.labour_minutes, all[i++].labour_minutes);
        }
        world_free(c.w);
    }
}

/* --- against the other sums of the house --- */

static size_t leaves_of(const struct product_costing *of)
{
    size_t leaves = 0;
    check_tree(of->root, &leaves);
    return leaves;
}

static void fill_prices(struct costs *c)
{
    for (size_t i = 0; i < c->w->catalogue.ingredient_count; i++)
        c->w->catalogue.prices[i].known = true;
}

/* Ingredients, handling, spare and packaging of all ordered pieces are what the day's cost says,
 * within half a millionth a leaf and piece. */
Test(costing_random, goods_agree_with_the_cost_of_the_day)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        size_t count;
        fill_prices(&c);
        struct day_cost cost = cost_on(c.w, day);
        const struct product_costing *all = costings(&c, day, NULL, &count);
        cr_assert_eq(count, cost.product_count);
        for (size_t i = 0; i < count; i++) {
            int64_t each = kind_value(&all[i], COST_INGREDIENTS) +
                           kind_value(&all[i], COST_HANDLING) + kind_value(&all[i], COST_SPARE) +
                           kind_value(&all[i], COST_PACKAGING);
            int64_t off = llabs(2 * (each * all[i].ordered - cost.products[i].micros));
            cr_assert_leq(off, all[i].ordered * ((int64_t)leaves_of(&all[i]) + 1), "seed %lu",
                          seed);
        }
        world_free(c.w);
    }
}

/* With no spare, rates or waste, a piece costs what the day's cost says of it. */
Test(costing_random, without_anything_else_a_piece_costs_its_ingredients)
{
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        size_t count;
        fill_prices(&c);
        c.rates.known = false;
        c.waste = NULL;
        for (size_t p = 0; p < c.w->catalogue.product_count; p++)
            c.w->catalogue.products[p].spare_pct = c.w->catalogue.products[p].unsold_pct = 0;
        struct day_cost cost = cost_on(c.w, day);
        const struct product_costing *all = costings(&c, day, NULL, &count);
        for (size_t i = 0; i < count; i++)
            cr_assert_leq(2 * llabs(all[i].each_micros - cost.products[i].each_micros),
                          (int64_t)leaves_of(&all[i]) + 1);
        world_free(c.w);
    }
}

/* Minutes of hands that a mix of the lists takes, in MINUTE_PLACES: per mix and per batch. */
static int64_t mix_minutes(const struct world *w, const struct mix *mix)
{
    const struct formula *formula = &w->catalogue.formulas[mix->formula];
    int64_t sum = 0;
    for (size_t n = 0; n < formula->stage_count; n++)
        sum += formula->stages[n].labour_minutes *
               (formula->stages[n].labour_per == LABOUR_PER_BATCH ? mix->batches : 1);
    return sum;
}

/* Minutes counted by mix and batch, over all products and days, are those of all mixes of the
 * lists: nothing of them is lost or counted twice. */
Test(costing_random, all_minutes_of_all_mixes_are_borne)
{
    size_t shared = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        struct dice dice = {seed};
        int64_t of_mixes = 0;
        int64_t of_products = 0;
        int64_t ordered = 0;
        for (size_t f = 0; f < c.w->catalogue.formula_count; f++)
            for (size_t n = 0; n < c.w->catalogue.formulas[f].stage_count; n++) {
                c.w->catalogue.formulas[f].stages[n].labour_per = roll(&dice, 0, 1)
                                                                      ? LABOUR_PER_MIX
                                                                      : LABOUR_PER_BATCH;
                c.w->catalogue.formulas[f].stages[n].labour_minutes = roll(&dice, 0, 300000);
            }
        for (size_t p = 0; p < c.w->catalogue.product_count; p++)
            c.w->catalogue.products[p].labour_minutes = 0;
        for (date d = day_of("2027-05-10") - 9; d <= day_of("2027-05-16"); d++) {
            struct mixing_list list = list_on(c.w, day_text(d));
            for (size_t i = 0; i < list.mix_count; i++) {
                of_mixes += mix_minutes(c.w, &list.mixes[i]);
                shared += list.mixes[i].bread_day_count > 1;
            }
        }
        for (date d = day_of("2027-05-10"); d < day_of("2027-05-15"); d++) {
            size_t count;
            const struct product_costing *all = costings(&c, day_text(d), NULL, &count);
            for (size_t i = 0; i < count; i++) {
                of_products += all[i].ordered * all[i].labour_minutes;
                ordered += all[i].ordered;
            }
        }
        cr_assert_gt(of_mixes, 0);
        cr_assert_leq(2 * llabs(of_mixes - of_products), ordered + 1, "seed %lu: %ld, %ld", seed,
                      of_mixes, of_products);
        world_free(c.w);
    }
    cr_expect_gt(shared, SEEDS, "%zu mixes of several days", shared);
}

/* Orders beyond the horizon change nothing, nor does a change of the clock. */
Test(costing_random, the_horizon_is_wide_enough)
{
    static const char *const days[][2] = {{"2027-05-12", "2027-05-01"},
                                          {"2027-03-28", "2027-03-17"},
                                          {"2027-10-31", "2027-10-20"},
                                          {"2027-03-15", "2027-03-04"}};
    size_t passed_over = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct costs c = draw(seed);
        struct dice dice = {seed + 7};
        const char *of = days[seed / 4 % 4][0];
        date first;
        date last;
        size_t count;
        size_t less;
        random_orders(c.w, &dice, days[seed / 4 % 4][1], 24, 80);
        const struct product_costing *all = costings(&c, of, NULL, &count);
        costing_horizon(&c.w->reckoning, day_of(of), &first, &last);
        size_t kept = 0;
        for (size_t i = 0; i < c.w->demand_count; i++)
            if (c.w->demands[i].bread_day >= first && c.w->demands[i].bread_day <= last)
                c.w->demands[kept++] = c.w->demands[i];
        passed_over += c.w->demand_count - kept;
        c.w->demand_count = kept;
        const struct product_costing *same = costings(&c, of, NULL, &less);
        cr_assert_eq(count, less);
        for (size_t i = 0; i < count; i++) {
            cr_assert_eq(all[i].each_micros, same[i].each_micros, "seed %lu", seed);
            cr_assert_eq(all[i].labour_minutes, same[i].labour_minutes, "seed %lu", seed);
        }
        world_free(c.w);
    }
    cr_expect_gt(passed_over, 20 * SEEDS, "%zu orders passed over", passed_over);
}

/* --- trouble --- */

static bool ask_costing(struct costs *c)
{
    struct costing_day of = costing_day_of(c, day);
    struct product_costing *out;
    size_t count;
    return costing_of(&of, NOT_FOUND, &out, &count);
}

static bool ask_unordered(struct costs *c)
{
    struct costing_day of = costing_day_of(c, "2027-06-20");
    struct product_costing *out;
    size_t count;
    return costing_of(&of, 0, &out, &count);
}

static bool ask_typical(struct costs *c)
{
    size_t count;
    return typical_demands(&c->w->reckoning, day_of(day), c->w->demands, c->w->demand_count,
                           &count) != NULL;
}

static bool ask_horizon(struct costs *c)
{
    date first;
    date last;
    costing_horizon(&c->w->reckoning, day_of(day), &first, &last);
    return !fails_any(&c->w->fails);
}

static void fail_each_allocation(bool (*ask)(struct costs *), long at_least)
{
    for (long n = 1;; n++) {
        struct costs c = draw(3);
        arena_fail_nth(n);
        bool done = ask(&c);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(c.w->arena), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&c.w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        world_free(c.w);
        if (!done) continue;
        cr_assert_gt(n, at_least, "only %ld allocations failed", n - 1);
        return;
    }
}

Test(costing_random, short_memory_is_told)
{
    fail_each_allocation(ask_unordered, 50);
    fail_each_allocation(ask_typical, 1);
    fail_each_allocation(ask_horizon, 2);
}

static void expect_too_large(struct costs *c)
{
    cr_expect_not(ask_costing(c));
    cr_expect_eq(fails_code(&c->w->fails), FAIL_INVALID);
    world_free(c->w);
}

Test(costing_random, figures_beyond_counting_are_told)
{
    struct costs c = draw(3);
    c.rates = (struct rates){.known = true, .hand_hour = {true, INT64_MAX}};
    c.w->catalogue.formulas[0].stages[0].hands = INT64_MAX / 2;
    for (size_t f = 0; f < c.w->catalogue.formula_count; f++)
        c.w->catalogue.formulas[f].stages[0] = (struct stage){
            .name = "all", .minutes = 3, .hands = INT64_MAX / 2};
    expect_too_large(&c);

    c = draw(3);
    fill_prices(&c);
    for (size_t i = 0; i < c.w->catalogue.ingredient_count; i++)
        c.w->catalogue.prices[i] = (struct price){
            .known = true, .micros = INT64_MAX, .pack_mg = 1, .pack_pieces = 1};
    expect_too_large(&c);

    c = draw(3);
    rate_delivery(&c, "24", 1);
    c.rates.round.micros = INT64_MAX;
    expect_too_large(&c);

    c = draw(3);
    rate_energy(&c, "0.30");
    powered_oven(c.w, "sun", INT64_MAX, 10, INT64_MAX, INT64_MAX);
    for (size_t p = 0; p < c.w->catalogue.product_count; p++)
        bakes(c.w, c.w->catalogue.products[p].code, 1, INT64_MAX / 2);
    expect_too_large(&c);

    c = draw(3);
    c.w->demands[0].pieces = INT64_MAX;
    c.w->demands[0].bread_day = day_of(day);
    expect_too_large(&c);
}
