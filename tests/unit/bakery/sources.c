/* Published check values: baker's percentage, dough needed for a baked weight, clock changes. */
#include "csv.h"
#include "world.h"

#include "bakery/piece.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(sources, .timeout = 30);

/* --- baker's percentage --- */

/* A worked example: the formula, and what is scaled of it. One gram here is one `unit` there. */
struct example {
    const char *name;
    const char *lines; /* in our words */
    int64_t pieces;
    const char *piece;
    const char *unit;
};

static const struct example examples[] = {
    {"bp-73-baguettes", "flour 100, water 67, salt 2, yeast 1", 73, "390", "g"},
    {"bp-pmq-weights-to-percent", "flour 100, salt 1.75, instant-yeast 0.375, oil 1, water 58", 1,
     "1031.2", "oz"},
    {"bp-pmq-rescale-50lb", "flour 100, salt 1.75, instant-yeast 0.375, oil 1, water 58", 1, "1289",
     "oz"},
    {"bp-lehmann-total-pct", "flour 100, salt 1.75, sugar 2, instant-yeast 0.375, water 58", 1,
     "1037.6", "oz"},
    {"bp-gisslen-new-yield", "flour 100, all-else 277.5", 1, "3000", "g"},
    {"bp-lean-dough-mixed-units", "flour 100, water 66.6667, salt 2.0833, yeast 1.4881", 1, "143",
     "oz"},
    {"bp-hamelman-750", "flour 100, water 65, salt 1.9", 1, "750", "g"},
};

enum { EXAMPLES = sizeof examples / sizeof *examples, OUNCES_A_POUND = 16 };

/* The book's name of a line in ours. */
static const char *our_name(struct arena *arena, const char *item)
{
    char *name = arena_copy(arena, item);
    for (char *c = name; *c; c++)
        if (*c == ' ') *c = '-';
    return name;
}

static void scale_example(struct world *w, const struct example *e)
{
    ingredient(w, "flour", KIND_FLOUR);
    ingredient(w, "instant-yeast", KIND_OTHER);
    ingredient(w, "oil", KIND_OTHER);
    ingredient(w, "sugar", KIND_OTHER);
    ingredient(w, "all-else", KIND_OTHER);
    formula(w, "dough", BASIS_FINAL, e->lines);
    product(w, "loaf", "dough 1");
    the_product(w, "loaf")->parts[0].mg = mg(e->piece);
    open_world(w);
    order(w, "2027-05-10", "loaf", e->pieces, "");
}

/* What our list says for a row, in thousandths of the row's unit. */
static int64_t found(struct world *w, const struct example *e, const char *item, const char *unit)
{
    struct mixing_list list = list_on(w, "2027-05-09");
    if (list.mix_count == 0) list = list_on(w, "2027-05-10");
    cr_assert_eq(list.mix_count, 1);
    const struct mix *mix = &list.mixes[0];
    if (strcmp(item, "total dough") == 0) return mix->dough_mg;
    size_t n = 0;
    while (strcmp(mix->lines[n].line->code, our_name(w->arena, item)) != 0)
        n++;
    if (strcmp(unit, "%") == 0) return mix->lines[n].exact_mg * 100000 / mix->lines[0].exact_mg;
    if (strcmp(unit, e->unit) == 0) return mix->lines[n].exact_mg;
    cr_assert_str_eq(unit, "lb");
    return mix->lines[n].exact_mg / OUNCES_A_POUND;
}

/* "0.01 oz; 0.1 g" for g is 0.1; "exact" is our last printed digit. In thousandths. */
static int64_t tolerance(const char *text, const char *unit)
{
    char number[32] = "0.001";
    char of[32] = "";
    const char *other = strchr(text, ';');
    if (strcmp(text, "exact") == 0) return 1;
    cr_assert_geq(sscanf(text, "%31[0-9.] %31[a-z]", number, of), 1, "tolerance %s", text);
    if (other != NULL && strcmp(of, unit) != 0)
        cr_assert_eq(sscanf(other, "; %31[0-9.]", number), 1);
    return units(number, 3);
}

static void check_row(struct world *w, const struct csv *table, size_t n, const struct example *e)
{
    const char *item = csv_cell(table, n, "item");
    const char *unit = csv_cell(table, n, "unit");
    int64_t expected = units(csv_cell(table, n, "expected"), 3);
    if (strcmp(item, "total formula percentage") == 0) {
        /* 40 lb of flour are 100 %, so the dough is the sum of the percentages. */
        struct mixing_list list = list_on(w, "2027-05-09");
        cr_expect_eq(list.mixes[0].dough_mg * 100 / 640, expected);
        return;
    }
    /* Cases that name ounces beside grams: 96 oz there are 3000 g here. */
    int64_t value = strcmp(e->unit, "g") == 0 && strcmp(unit, "oz") == 0
                        ? found(w, e, item, "g") * 96 / 3000
                        : found(w, e, item, unit);
    int64_t off = llabs(value - expected);
    cr_expect_leq(off, tolerance(csv_cell(table, n, "tolerance"), unit), "%s %s: %ld against %ld",
                  e->name, item, value, expected);
}

Test(sources, bakers_percentage)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "01_bakers_percentage.csv");
    size_t checked = 0;
    for (size_t i = 0; i < EXAMPLES; i++) {
        struct world *w = world_new();
        scale_example(w, &examples[i]);
        for (size_t n = 0; n < table.count; n++) {
            if (strcmp(csv_cell(&table, n, "case"), examples[i].name) != 0) continue;
            check_row(w, &table, n, &examples[i]);
            checked++;
        }
        world_free(w);
    }
    cr_expect_eq(checked, table.count, "every row of the table is checked");
    arena_free(arena);
}

/* --- dough needed --- */

/* Dough that must be mixed so that so much is left after a loss on the dough's weight. */
static int64_t mixed_for(const char *left, int64_t loss_pct)
{
    struct world *w = world_new();
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 65");
    the_formula(w, "dough")->handling_loss_pct = loss_pct;
    product(w, "loaf", "dough 1");
    the_product(w, "loaf")->parts[0].mg = mg(left);
    open_world(w);
    order(w, "2027-05-10", "loaf", 1, "");
    int64_t dough = production_on(w, "2027-05-10").doughs[0].mg;
    world_free(w);
    return dough;
}

Test(sources, dough_needed_is_the_weight_over_one_less_the_loss)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "04_dough_needed.csv");
    for (size_t n = 0; n < table.count; n++) {
        const char *baked = csv_cell(&table, n, "baked_g");
        int64_t loss = units(csv_cell(&table, n, "loss_fraction"), 6);
        int64_t expected = mg(csv_cell(&table, n, "expected_dough_g"));
        cr_expect_leq(llabs(mixed_for(baked, loss) - expected), mg("0.01"), "%s",
                      csv_cell(&table, n, "case"));
        /* And baking that dough leaves the weight again. */
        struct part part = {.kind = LINE_FORMULA, .mg = expected};
        struct product loaf = {.parts = &part, .part_count = 1, .bake_loss_pct = loss};
        cr_expect_leq(llabs(piece_baked_mg(&loaf) - mg(baked)), mg("0.01"));
    }
    arena_free(arena);
}

/* 120 g lost per kg of finished rye loaf is 10.7 % of the dough, and 13 % of the dough is 74.7 g
 * per 500 g of bread: the two ways of telling a loss are not the same (notes of the table). */
Test(sources, a_loss_is_a_share_of_the_dough)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "04_bake_loss_ranges.csv");
    size_t n = 0;
    while (strcmp(csv_cell(&table, n, "case"), "rye") != 0)
        n++;
    int64_t finished = mg("1000") + units(csv_cell(&table, n, "low"), 0) * 1000;
    int64_t loss = 120 * INT64_C(1000000) / 1120;
    cr_expect_leq(llabs(mixed_for("1000", loss) - finished), mg("0.01"));
    cr_expect_leq(llabs(loss - pct("10.7")), pct("0.05"));
    cr_expect_leq(llabs(mixed_for("500", pct("13")) - mg("574.7")), mg("0.05"));
    arena_free(arena);
}

/* --- clock changes --- */

static const char *cell_of(const struct csv *table, const char *name, const char *column)
{
    for (size_t n = 0; n < table->count; n++)
        if (strcmp(csv_cell(table, n, "case"), name) == 0) return csv_cell(table, n, column);
    cr_assert_fail("no case %s", name);
    return "";
}

/* A mix that takes the elapsed minutes and is ready at the wall time begins at the other. */
static void expect_begin(const char *zone, const char *ready, const char *minutes,
                         const char *begin)
{
    char day[11];
    char clock[6];
    char stage[32];
    struct world *w = world_new();
    set_zone(w, zone);
    cr_assert_eq(sscanf(ready, "%10[0-9-]T%5[0-9:]", day, clock), 2);
    formula(w, "dough", BASIS_FINAL, "wheat 100, water 65");
    snprintf(stage, sizeof stage, "proof %s", minutes);
    stages(w, "dough", stage);
    product(w, "loaf", "dough 900");
    open_world(w);
    order(w, day, "loaf", 1, clock);
    struct mixing_list list = {0};
    for (date d = day_of(day) - 1; d <= day_of(day) && list.mix_count == 0; d++)
        list = list_on(w, day_text(d));
    cr_assert_eq(list.mix_count, 1);
    cr_expect_eq(strncmp(clock_text(w, list.mixes[0].begins), begin, 16), 0, "%s, not %s",
                 clock_text(w, list.mixes[0].begins), begin);
    world_free(w);
}

Test(sources, proofs_over_a_clock_change_take_elapsed_time)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "09_dst.csv");
    size_t checked = 0;
    for (size_t n = 0; n < table.count; n++) {
        if (strcmp(csv_cell(&table, n, "operation"), "+12 h elapsed") != 0) continue;
        expect_begin(csv_cell(&table, n, "zone"), csv_cell(&table, n, "expected"), "720",
                     csv_cell(&table, n, "local_start"));
        checked++;
    }
    cr_expect_eq(checked, 4);
    cr_expect_str_eq(cell_of(&table, "wall-london-spring", "expected"), "11 h elapsed");
    expect_begin("Europe/London", "2027-03-28T09:00", "660",
                 cell_of(&table, "wall-london-spring", "local_start"));
    arena_free(arena);
}

/* Bread wanted at a time that the clock skips, and at one that it shows twice. */
Test(sources, a_time_in_the_gap_and_one_that_comes_twice)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "09_dst.csv");
    struct world *w = world_new();
    product(w, "loaf", "seeds 1");
    open_world(w);
    order(w, "2027-03-28", "loaf", 1, "01:30");
    order(w, "2027-10-31", "loaf", 1, "01:30");
    cr_expect_str_eq(cell_of(&table, "gap-london", "local_start"), "2027-03-28T01:30");
    cr_expect_str_eq(clock_text(w, ready_instant(&w->reckoning, &w->demands[0])),
                     "2027-03-28T02:30:00+01:00", "with the offset before the gap");
    cr_expect_str_eq(cell_of(&table, "fold-london", "local_start"), "2027-10-31T01:30");
    cr_expect_str_eq(clock_text(w, ready_instant(&w->reckoning, &w->demands[1])),
                     "2027-10-31T01:30:00+01:00", "the first of the two");
    world_free(w);
    arena_free(arena);
}
