/* Formulas of basis final, nesting, circles, and what every formula must obey. */
#include "world.h"

#include <criterion/criterion.h>
#include <stdio.h>

TestSuite(breakdown, .timeout = 30);

/* a / b in trillionths, to the nearest. */
#define OF(a, b) ((INT64_C(2000000000000) * (a) + (b)) / (2 * (b)))

Test(breakdown, a_line_is_its_percentage_over_the_sum)
{
    struct world *w = world_new();
    formula(w, "white", BASIS_FINAL, "wheat 100, water 60, salt 2, yeast 3, seeds 35");
    open_world(w);
    cr_expect_eq(share(w, "white", 0), OF(1, 2));
    cr_expect_eq(share(w, "white", 1), OF(3, 10));
    cr_expect_eq(share(w, "white", 4), OF(175, 1000));
    cr_expect_eq(composition(w, "white", "salt"), OF(1, 100));
    cr_expect_eq(composition(w, "white", "rye"), 0);
    cr_expect_eq(w->breakdowns.items[0].levels, 0);
    world_free(w);
}

Test(breakdown, starters_hold_flour_and_water_by_their_hydration)
{
    struct world *w = world_new();
    starter(w, "stiff", "60", "wheat 75, rye 25");
    formula(w, "all-starter", BASIS_FINAL, "starter stiff 160");
    open_world(w);
    cr_expect_eq(composition(w, "all-starter", "wheat"), OF(75, 160));
    cr_expect_eq(composition(w, "all-starter", "rye"), OF(25, 160));
    cr_expect_eq(composition(w, "all-starter", "water"), OF(60, 160));
    world_free(w);
}

Test(breakdown, a_dry_starter_holds_no_water)
{
    struct world *w = world_new();
    starter(w, "dry", "0", "rye 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, starter dry 100");
    open_world(w);
    cr_expect_eq(composition(w, "dough", "rye"), OF(1, 2));
    cr_expect_eq(composition(w, "dough", "water"), 0);
    world_free(w);
}

Test(breakdown, explodes_preferments_and_ignores_their_losses)
{
    struct world *w = world_new();
    formula(w, "poolish", BASIS_FINAL, "wheat 100, water 100");
    the_formula(w, "poolish")->handling_loss_pct = pct("50");
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 40, formula poolish 60");
    open_world(w);
    cr_expect_eq(composition(w, "dough", "wheat"), OF(130, 200));
    cr_expect_eq(composition(w, "dough", "water"), OF(70, 200));
    cr_expect_eq(w->breakdowns.items[at_formula(w, "dough")].levels, 1);
    world_free(w);
}

Test(breakdown, chains_add_the_minutes_of_the_longest)
{
    struct world *w = world_new();
    formula(w, "long", BASIS_FINAL, "wheat 100");
    formula(w, "short", BASIS_FINAL, "wheat 100");
    formula(w, "dough", BASIS_FINAL, "wheat 100, formula short 5, formula long 5, formula short 1");
    stages(w, "long", "ferment 600, rest 30");
    stages(w, "short", "ferment 100");
    stages(w, "dough", "bulk 180, proof 60");
    open_world(w);
    cr_expect_eq(w->breakdowns.items[at_formula(w, "dough")].minutes, 870);
    cr_expect_eq(w->breakdowns.items[at_formula(w, "short")].minutes, 100);
    world_free(w);
}

Test(breakdown, parts_stand_before_what_takes_them)
{
    struct world *w = world_new();
    formula(w, "c", BASIS_FINAL, "wheat 100");
    formula(w, "a", BASIS_FINAL, "wheat 100, formula c 10");
    formula(w, "b", BASIS_FINAL, "wheat 100, formula a 10, formula c 10");
    formula(w, "d", BASIS_FINAL, "wheat 100");
    open_world(w);
    size_t place[4];
    for (size_t i = 0; i < 4; i++)
        place[w->breakdowns.order[i]] = i;
    cr_expect_lt(place[at_formula(w, "c")], place[at_formula(w, "a")]);
    cr_expect_lt(place[at_formula(w, "a")], place[at_formula(w, "b")]);
    world_free(w);
}

/* --- faults --- */

Test(breakdown, flour_lines_must_sum_to_a_hundred_exactly)
{
    struct world *w = world_new();
    formula(w, "short", BASIS_FINAL, "wheat 99.9999, water 60");
    formula(w, "long", BASIS_FINAL, "wheat 90, rye 10.0001, water 60");
    formula(w, "right", BASIS_FINAL, "wheat 89.9999, rye 10.0001, water 60");
    formula(w, "none-total", BASIS_TOTAL, "water 60");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "short", "/lines"));
    cr_expect(formula_fault(w, "long", "/lines"));
    cr_expect(formula_fault(w, "none-total", "/lines"));
    cr_expect_eq(w->faults.count, 3);
    cr_expect_null(w->breakdowns.items[at_formula(w, "short")].lines);
    cr_expect_not_null(w->breakdowns.items[at_formula(w, "right")].lines);
    world_free(w);
}

Test(breakdown, a_soaker_needs_no_flour)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 110, salt 2");
    formula(w, "only-levain", BASIS_FINAL, "starter levain 100, water 10, salt 1");
    open_world(w);
    cr_expect_eq(w->breakdowns.items[at_formula(w, "soaker")].flour, 0);
    cr_expect_eq(composition(w, "only-levain", "wheat"), OF(50, 111));
    world_free(w);
}

Test(breakdown, flour_pct_is_for_parts_of_basis_total)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 100");
    formula(w, "soaker", BASIS_FINAL, "seeds 100, water 110");
    formula(w, "a", BASIS_FINAL, "wheat 100, water 60, starter levain flour 10");
    formula(w, "b", BASIS_TOTAL, "wheat flour 100, water 60");
    formula(w, "c", BASIS_TOTAL, "wheat 100, water 60, seeds 20, formula soaker flour 10");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "a", "/lines/2"));
    cr_expect(formula_fault(w, "b", "/lines/0"));
    cr_expect(formula_fault(w, "c", "/lines/3/flour_pct"));
    cr_expect_eq(w->faults.count, 3);
    world_free(w);
}

Test(breakdown, lines_must_sum_to_something)
{
    struct world *w = world_new();
    formula(w, "nothing", BASIS_FINAL, "water 0");
    formula(w, "empty", BASIS_FINAL, "water 1");
    the_formula(w, "empty")->line_count = 0;
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "nothing", "/lines"));
    cr_expect(formula_fault(w, "empty", "/lines"));
    world_free(w);
}

Test(breakdown, a_starters_blend_must_be_whole)
{
    struct world *w = world_new();
    starter(w, "levain", "100", "wheat 80, rye 20.0001");
    formula(w, "dough", BASIS_FINAL, "wheat 100, starter levain 20");
    cr_expect_not(work_out(w));
    cr_expect(has_fault(w, FAULT_STARTER, "levain", "/flours"));
    cr_expect_eq(w->faults.count, 1);
    cr_expect_null(w->breakdowns.starters[0]);
    cr_expect_null(w->breakdowns.items[0].lines);
    world_free(w);
}

Test(breakdown, a_formula_cannot_contain_itself)
{
    struct world *w = world_new();
    formula(w, "self", BASIS_FINAL, "wheat 100, formula self 10");
    formula(w, "a", BASIS_FINAL, "wheat 100, formula b 10");
    formula(w, "b", BASIS_FINAL, "wheat 100, water 60, formula c 10");
    formula(w, "c", BASIS_FINAL, "wheat 100, formula leaf 1, formula a 10");
    formula(w, "leaf", BASIS_FINAL, "wheat 100");
    formula(w, "outside", BASIS_FINAL, "wheat 100, formula a 10, formula self 5");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "self", "/lines/1/formula"));
    cr_expect(formula_fault(w, "a", "/lines/1/formula"));
    cr_expect(formula_fault(w, "b", "/lines/2/formula"));
    cr_expect(formula_fault(w, "c", "/lines/2/formula"));
    cr_expect_eq(w->faults.count, 4, "and none for what only contains them");
    cr_expect_null(w->breakdowns.items[at_formula(w, "outside")].lines);
    cr_expect_not_null(w->breakdowns.items[at_formula(w, "leaf")].lines);
    world_free(w);
}

/* What lies between two circles is in neither. */
Test(breakdown, a_bridge_between_circles_is_not_at_fault)
{
    struct world *w = world_new();
    formula(w, "a1", BASIS_FINAL, "wheat 100, formula a2 1");
    formula(w, "a2", BASIS_FINAL, "wheat 100, formula a1 1, formula bridge 1");
    formula(w, "bridge", BASIS_FINAL, "wheat 100, formula b1 1");
    formula(w, "b1", BASIS_FINAL, "wheat 100, formula b2 1");
    formula(w, "b2", BASIS_FINAL, "wheat 100, formula b1 1");
    cr_expect_not(work_out(w));
    cr_expect_eq(w->faults.count, 4);
    cr_expect(formula_fault(w, "a2", "/lines/1/formula"));
    cr_expect_not(formula_fault(w, "bridge", "/lines/1/formula"));
    world_free(w);
}

/* A chain of that many levels below its top: level-0 is flour and water. */
static void chain(struct world *w, int levels)
{
    char code[32];
    char lines[64];
    formula(w, "level-0", BASIS_FINAL, "wheat 100, water 50");
    for (int i = 1; i <= levels; i++) {
        snprintf(code, sizeof code, "level-%d", i);
        snprintf(lines, sizeof lines, "wheat 100, water 50, formula level-%d 150", i - 1);
        formula(w, code, BASIS_FINAL, lines);
    }
}

Test(breakdown, eight_levels_of_preferment_are_allowed)
{
    struct world *w = world_new();
    chain(w, 8);
    open_world(w);
    cr_expect_eq(w->breakdowns.items[at_formula(w, "level-8")].levels, 8);
    cr_expect_eq(composition(w, "level-8", "wheat"), OF(2, 3));
    world_free(w);
}

Test(breakdown, nine_levels_are_refused)
{
    struct world *w = world_new();
    chain(w, 10);
    formula(w, "level-9", BASIS_FINAL, "wheat 100, formula level-3 1, formula level-8 1");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "level-9", "/lines/2/formula"));
    cr_expect_eq(w->faults.count, 1, "not for the short part, nor for what contains it");
    cr_expect_null(w->breakdowns.items[at_formula(w, "level-10")].lines);
    cr_expect_not_null(w->breakdowns.items[at_formula(w, "level-8")].lines);
    world_free(w);
}

/* A rehearsal may chain formulas to any depth: the walk must not run out of stack. */
Test(breakdown, a_chain_of_thousands_is_refused_in_peace)
{
    struct world *w = world_new();
    enum { LENGTH = 20000 };
    struct formula *list = arena_array(w->arena, LENGTH, sizeof *list);
    struct line *lines = arena_array(w->arena, 2 * LENGTH, sizeof *lines);
    for (int i = 0; i < LENGTH; i++) {
        struct line *own = &lines[2 * i];
        own[0] = (struct line){.kind = LINE_INGREDIENT, .code = "wheat", .pct = pct("100")};
        own[1] = (struct line){.kind = LINE_FORMULA, .pct = pct("10"), .index = (size_t)(i + 1)};
        list[i] = (struct formula){.code = arena_printf(w->arena, "f%08d", i),
                                   .lines = own,
                                   .line_count = i + 1 < LENGTH ? 2 : 1};
        own[0].index = at_ingredient(w, "wheat");
    }
    w->catalogue.formulas = list;
    w->catalogue.formula_count = LENGTH;
    cr_expect_not(breakdown_all(w->arena, &w->catalogue, &w->faults, &w->breakdowns));
    cr_expect_eq(w->faults.count, 1);
    cr_expect_eq(w->faults.items[0].index, LENGTH - 10);
    world_free(w);
}

Test(breakdown, stages_of_a_century_are_refused)
{
    struct world *w = world_new();
    formula(w, "amber", BASIS_FINAL, "wheat 100");
    stages(w, "amber", "rest 9000000000000000000, rest 9000000000000000000");
    formula(w, "cheese", BASIS_FINAL, "wheat 100");
    stages(w, "cheese", "rest 52704000");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "amber", "/stages"));
    cr_expect(formula_fault(w, "cheese", "/stages"));
    world_free(w);
}

Test(breakdown, own_faults_are_told_beside_those_of_parts)
{
    struct world *w = world_new();
    formula(w, "bad-part", BASIS_FINAL, "wheat 90, water 60");
    formula(w, "bad-too", BASIS_FINAL, "wheat 80, formula bad-part 10");
    formula(w, "good", BASIS_FINAL, "wheat 100, formula bad-part 10");
    cr_expect_not(work_out(w));
    cr_expect(formula_fault(w, "bad-part", "/lines"));
    cr_expect(formula_fault(w, "bad-too", "/lines"));
    cr_expect_eq(w->faults.count, 2, "containing it is no fault of its own");
    cr_expect_null(w->breakdowns.items[at_formula(w, "good")].lines);
    world_free(w);
}
