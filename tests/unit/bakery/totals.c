/* Formulas of basis total: what parts hold is taken out of the ingredient lines. */
#include "world.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(totals, .timeout = 30);

/* a / b in trillionths, to the nearest. */
#define OF(a, b) ((INT64_C(2000000000000) * (a) + (b)) / (2 * (b)))

/* A line's final percentage: of the flour weighed into the final mix. */
static int64_t final_pct(struct world *w, const char *code, size_t line)
{
    struct formula_view view;
    cr_assert(breakdown_view(w->arena, &w->breakdowns, at_formula(w, code), &view));
    return view.final_pct[line];
}

Test(totals, the_parts_flour_and_water_are_taken_out)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "country", BASIS_TOTAL,
            "wheat 90, rye 10, water 70, salt 2, starter levain flour 20");
    open_world(w);
    /* Of 172: levain 40, holding wheat 16, rye 4, water 20. */
    cr_expect_eq(share(w, "country", 0), OF(74, 172));
    cr_expect_eq(share(w, "country", 1), OF(6, 172));
    cr_expect_eq(share(w, "country", 2), OF(50, 172));
    cr_expect_eq(share(w, "country", 3), OF(2, 172));
    cr_expect_eq(share(w, "country", 4), OF(40, 172));
    cr_expect_eq(composition(w, "country", "wheat"), OF(90, 172));
    cr_expect_eq(composition(w, "country", "water"), OF(70, 172));
    cr_expect_eq(final_pct(w, "country", 0), pct("92.5"));
    cr_expect_eq(final_pct(w, "country", 4), pct("50"));
    world_free(w);
}

Test(totals, a_plain_pct_is_grams_per_hundred_of_all_flour)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "soaker", BASIS_FINAL, "seeds 60, water 40");
    formula(w, "dough", BASIS_TOTAL,
            "wheat 100, water 70, seeds 12, salt 2, formula soaker 20, starter levain 30");
    open_world(w);
    cr_expect_eq(share(w, "dough", 0), OF(85, 184));
    cr_expect_eq(share(w, "dough", 1), OF(47, 184));
    cr_expect_eq(share(w, "dough", 2), 0, "all seeds are in the soaker");
    cr_expect_eq(w->breakdowns.items[at_formula(w, "dough")].lines[2], 0);
    cr_expect_eq(share(w, "dough", 4), OF(20, 184));
    cr_expect_eq(share(w, "dough", 5), OF(30, 184));
    world_free(w);
}

Test(totals, everything_may_be_in_the_parts)
{
    struct world *w = world_new();
    starter(w, "levain", "70", "wheat 100");
    formula(w, "dough", BASIS_TOTAL, "wheat 100, water 70, salt 2, starter levain flour 100");
    open_world(w);
    const struct breakdown *b = &w->breakdowns.items[at_formula(w, "dough")];
    cr_expect_eq(b->lines[0], 0);
    cr_expect_eq(b->lines[1], 0);
    cr_expect_eq(b->final_flour, 0);
    cr_expect_eq(final_pct(w, "dough", 3), pct("170"), "with no flour left, of all flour");
    world_free(w);
}

/* Shares that have no end in decimals still meet at exactly nothing. */
Test(totals, what_is_wholly_used_up_is_exactly_nothing)
{
    struct world *w = world_new();
    starter(w, "levain", "70", "wheat 33.3333, rye 33.3333, spelt 33.3334");
    formula(w, "poolish", BASIS_FINAL,
            "wheat 33.3333, rye 33.3333, spelt 33.3334, water 70, starter levain 37");
    formula(w, "sponge", BASIS_FINAL,
            "wheat 33.3333, rye 33.3333, spelt 33.3334, water 70, formula poolish 41.7");
    formula(w, "dough", BASIS_TOTAL,
            "wheat 33.3333, rye 33.3333, spelt 33.3334, water 70, salt 1.9, "
            "formula sponge flour 61.3, formula poolish flour 17.9, starter levain flour 20.8");
    open_world(w);
    const struct breakdown *b = &w->breakdowns.items[at_formula(w, "dough")];
    for (size_t n = 0; n < 4; n++)
        cr_expect_eq(b->lines[n], 0, "line %zu", n);
    cr_expect_gt(b->lines[4], 0);
    world_free(w);
}

/* The same, with one line a single unit of the last stored digit too low. */
Test(totals, one_stored_unit_below_zero_is_refused)
{
    struct world *w = world_new();
    starter(w, "levain", "70", "wheat 33.3333, rye 33.3333, spelt 33.3334");
    formula(w, "sponge", BASIS_FINAL,
            "wheat 33.3333, rye 33.3333, spelt 33.3334, water 70, starter levain 37");
    formula(w, "dough", BASIS_TOTAL,
            "wheat 33.3333, rye 33.3333, spelt 33.3334, water 69.9999, salt 1.9, "
            "formula sponge flour 79.2, starter levain flour 20.8");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "dough", "/lines/3"));
    cr_expect_eq(w->faults.count, 1);
    cr_expect_not_null(strstr(w->faults.items[0].text, " 0.0001 %"), "%s", w->faults.items[0].text);
    world_free(w);
}

/* The same in the largest formulas that can be entered: the unit is then 10^-10 of the dough. */
Test(totals, one_stored_unit_is_seen_in_the_wettest_formula)
{
    struct world *w = world_new();
    starter(w, "soup", "1000000", "wheat 100");
    formula(w, "full", BASIS_TOTAL, "wheat 100, water 1000000, starter soup flour 100");
    formula(w, "short", BASIS_TOTAL, "wheat 100, water 999999.9999, starter soup flour 100");
    formula(w, "spare", BASIS_TOTAL, "wheat 100, water 1000000, starter soup flour 99.9999");
    cr_expect_not(work_out(w));
    cr_expect_eq(w->faults.count, 1);
    cr_expect(formula_fault(w, "short", "/lines/1"));
    cr_expect_eq(w->breakdowns.items[at_formula(w, "full")].lines[1], 0);
    cr_expect_gt(w->breakdowns.items[at_formula(w, "spare")].lines[0], 0);
    world_free(w);
}

/* A part of which less than a ten thousand millionth is flour: its weight, and with it the error,
 * is its flour times that. All water is in it, and then a unit less. */
Test(totals, nothing_and_one_unit_are_told_apart_in_the_thinnest_part)
{
    struct world *w = world_new();
    formula(w, "soup", BASIS_FINAL, "wheat 100, water 1000000");
    formula(w, "thin", BASIS_FINAL, "water 1000000, formula soup 0.8");
    formula(w, "full", BASIS_TOTAL, "wheat 100, water 1250126, formula thin flour 0.0001");
    formula(w, "short", BASIS_TOTAL, "wheat 100, water 1250125.9999, formula thin flour 0.0001");
    cr_expect_not(work_out(w));
    cr_expect_eq(w->faults.count, 1);
    cr_expect(formula_fault(w, "short", "/lines/1"));
    cr_expect_not_null(w->breakdowns.items[at_formula(w, "full")].lines);
    cr_expect_eq(w->breakdowns.items[at_formula(w, "full")].lines[1], 0);
    world_free(w);
}

/* A third of a unit below zero cannot be stored away: it is below zero all the same. */
Test(totals, less_than_a_stored_unit_below_zero_is_refused)
{
    struct world *w = world_new();
    starter(w, "levain", "66.6667", "wheat 100");
    formula(w, "short", BASIS_TOTAL, "wheat 100, water 33.3333, starter levain flour 50");
    formula(w, "enough", BASIS_TOTAL, "wheat 100, water 33.3334, starter levain flour 50");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "short", "/lines/1"));
    cr_expect_eq(w->faults.count, 1);
    world_free(w);
}

Test(totals, every_line_below_zero_is_told)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 50, rye 50");
    formula(w, "dough", BASIS_TOTAL, "wheat 95, rye 5, water 12.5, starter levain flour 20");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "dough", "/lines/1"));
    cr_expect(formula_fault(w, "dough", "/lines/2"));
    cr_expect_eq(w->faults.count, 2);
    cr_expect_not_null(strstr(w->faults.items[0].text, " 5 %"), "%s", w->faults.items[0].text);
    cr_expect_not_null(strstr(w->faults.items[1].text, " 7.5 %"), "%s", w->faults.items[1].text);
    world_free(w);
}

Test(totals, an_ingredient_of_a_part_needs_a_line)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, salt 2");
    formula(w, "outer", BASIS_FINAL, "water 50, formula soaker 50");
    formula(w, "dough", BASIS_TOTAL,
            "wheat 100, water 70, starter levain flour 10, formula outer 10");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "dough", "/lines/2"), "rye");
    cr_expect(formula_fault(w, "dough", "/lines/3"), "seeds and salt");
    cr_expect_eq(w->faults.count, 3);
    cr_expect_not_null(strstr(w->faults.items[0].text, "rye"));
    world_free(w);
}

/* Water that is added twice: what the parts hold leaves the first line first. */
Test(totals, several_lines_of_one_ingredient_give_in_turn)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "dough", BASIS_TOTAL, "water 15, wheat 100, starter levain flour 20, water 50");
    formula(w, "tight", BASIS_TOTAL, "water 15, wheat 100, starter levain flour 20, water 5");
    formula(w, "short", BASIS_TOTAL, "water 15, wheat 100, starter levain flour 20, water 4");
    cr_expect_not(work_out(w));
    cr_expect_eq(w->faults.count, 1);
    cr_expect(formula_fault(w, "short", "/lines/3"));
    cr_expect_eq(share(w, "dough", 0), 0);
    cr_expect_eq(share(w, "dough", 3), OF(45, 165));
    cr_expect_eq(share(w, "tight", 3), 0);
    world_free(w);
}

Test(totals, parts_may_be_of_basis_total_themselves)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "sponge", BASIS_TOTAL, "wheat 100, water 100, starter levain flour 10");
    formula(w, "dough", BASIS_TOTAL, "wheat 100, water 60, salt 2, formula sponge flour 50");
    open_world(w);
    cr_expect_eq(share(w, "dough", 0), OF(50, 162));
    cr_expect_eq(share(w, "dough", 1), OF(10, 162));
    cr_expect_eq(share(w, "dough", 3), OF(100, 162));
    world_free(w);
}

/* A formula of basis total that says the same as one of basis final gives the same lines. */
Test(totals, both_bases_give_the_same_weights)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "by-final", BASIS_FINAL, "wheat 100, water 60, salt 2.5, starter levain 50");
    /* All flour 125: wheat 100, water 85, salt 2.5, a fifth of the flour in the levain. */
    formula(w, "by-total", BASIS_TOTAL, "wheat 100, water 68, salt 2, starter levain flour 20");
    open_world(w);
    for (size_t n = 0; n < 4; n++)
        cr_expect_eq(share(w, "by-final", n), share(w, "by-total", n), "line %zu", n);
    for (size_t n = 0; n < 4; n++)
        cr_expect_eq(final_pct(w, "by-total", n), the_formula(w, "by-final")->lines[n].pct);
    world_free(w);
}

/* The final form of a formula of basis total, entered as one of basis final, weighs the same; and
 * back again: where four decimals hold the figures, to the last place. */
static void enter_final_form(struct world *w, const char *from, const char *code)
{
    struct formula_view view;
    struct formula made = *the_formula(w, from);
    cr_assert(breakdown_view(w->arena, &w->breakdowns, at_formula(w, from), &view));
    made.code = code;
    made.basis = BASIS_FINAL;
    made.lines = arena_array(w->arena, made.line_count, sizeof *made.lines);
    for (size_t n = 0; n < made.line_count; n++) {
        made.lines[n] = the_formula(w, from)->lines[n];
        made.lines[n].flour_share = false;
        made.lines[n].pct = view.final_pct[n];
    }
    cr_assert(catalogue_put_formula(w->arena, &w->catalogue, &made));
}

static void enter_total_form(struct world *w, const char *from, const char *code)
{
    struct formula_view view;
    struct formula made = *the_formula(w, from);
    cr_assert(breakdown_view(w->arena, &w->breakdowns, at_formula(w, from), &view));
    made.code = code;
    made.basis = BASIS_TOTAL;
    made.lines = arena_array(w->arena, made.line_count, sizeof *made.lines);
    for (size_t n = 0; n < made.line_count; n++) {
        made.lines[n] = the_formula(w, from)->lines[n];
        for (size_t i = 0; i < view.overall_count; i++)
            if (made.lines[n].kind == LINE_INGREDIENT &&
                view.overall[i].ingredient == made.lines[n].index)
                made.lines[n].pct = view.overall[i].pct;
        if (made.lines[n].kind == LINE_INGREDIENT) continue;
        made.lines[n].flour_share = true;
        made.lines[n].pct = view.prefermented_flour_pct;
    }
    cr_assert(catalogue_put_formula(w->arena, &w->catalogue, &made));
}

Test(totals, turning_one_into_the_other_and_back)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "total", BASIS_TOTAL, "wheat 80, rye 20, water 75, salt 2, starter levain flour 20");
    open_world(w);
    enter_final_form(w, "total", "final");
    open_world(w);
    enter_total_form(w, "final", "total-again");
    open_world(w);
    for (size_t n = 0; n < 5; n++) {
        cr_expect_eq(share(w, "final", n), share(w, "total", n), "line %zu", n);
        cr_expect_eq(the_formula(w, "total-again")->lines[n].pct,
                     the_formula(w, "total")->lines[n].pct, "line %zu", n);
    }
    world_free(w);
}
