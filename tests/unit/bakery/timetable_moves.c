/* Timetables after a baker has moved things, and what cannot be reckoned. */
#include "timetable_night.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(timetable_moves, .timeout = 100);

static const char *const monday = "2027-05-10";

/* A country loaf of a kilo, in batches of at most 20 kg; fourteen in the only deck; 28 of them:
 * mixed 23:35 and 00:30, baked 03:55 and 04:50. */
static struct world *two_batches(void)
{
    struct world *w = world_new();
    dough(w, "country", "wheat 100, water 70", "mix 20, bulk 180, proof 60, bake 40, cool 60");
    product(w, "loaf", "country 1000");
    bake(w, "loaf", 14, 40);
    oven(w, "stone", 1, 1, 60, 15);
    mixer(w, "spiral", "1000", "20000");
    open_world(w);
    order(w, monday, "loaf", 28, "");
    return w;
}

static instant at(const struct world *w, const char *day, const char *time)
{
    int minutes = 0;
    cr_assert(clock_parse(time, &minutes));
    return zone_instant(w->reckoning.zone, day_of(day), minutes);
}

/* Moves one task to a time of the Monday, or of the Sunday before when it is late in the day. */
static struct timetable move_one(struct world *w, const char *id, const char *time)
{
    const char *day = strcmp(time, "12:00") > 0 ? "2027-05-09" : monday;
    struct timetable_move move = {day_of(monday), id, at(w, day, time)};
    return timetable_moved(w, monday, &move, 1);
}

/* There is one break of that kind, of that task, by so many minutes. */
static void expect_break(const struct timetable *table, enum break_kind kind, const char *id,
                         const char *other, int64_t minutes)
{
    size_t found = 0;
    for (size_t n = 0; n < table->break_count; n++) {
        const struct timetable_break *b = &table->breaks[n];
        if (b->kind != kind || strcmp(b->id, id) != 0) continue;
        found++;
        cr_expect_eq(b->minutes, minutes, "%s: %ld minutes", id, b->minutes);
        cr_expect_str_eq(table->tasks[b->task].id, id);
        if (other)
            cr_expect_str_eq(table->tasks[b->other].id, other);
        else
            cr_expect_eq(b->other, NOT_FOUND);
    }
    cr_expect_eq(found, 1, "%zu breaks %d of %s", found, (int)kind, id);
}

/* --- moves --- */

Test(timetable_moves, a_moved_task_begins_as_told_and_nothing_else_moves)
{
    struct world *w = two_batches();
    struct timetable before = timetable_on(w, monday);
    struct timetable after = move_one(w, "cool:loaf:2027-05-10:1:1", "05:00");
    cr_expect_eq(after.break_count, 0, "bread may cool later");
    cr_assert_eq(after.task_count, before.task_count);
    for (size_t n = 0; n < before.task_count; n++) {
        const struct task *task = the_task(&after, before.tasks[n].id);
        bool is_it = strcmp(task->id, "cool:loaf:2027-05-10:1:1") == 0;
        cr_expect_eq(task->moved, is_it);
        if (!is_it) cr_expect_eq(task->begins, before.tasks[n].begins);
        if (is_it) cr_expect_str_eq(hour(w, task->begins), "05:00");
        if (is_it) cr_expect_str_eq(hour(w, task->ends), "06:00");
    }
    world_free(w);
}

Test(timetable_moves, two_loads_in_one_deck)
{
    struct world *w = two_batches();
    struct timetable table = move_one(w, "load:loaf:2027-05-10:1", "04:20");
    expect_break(&table, BREAK_DECK, "load:loaf:2027-05-10:2", "load:loaf:2027-05-10:1", 25);
    expect_break(&table, BREAK_ORDER, "cool:loaf:2027-05-10:1:1", "load:loaf:2027-05-10:1", 25);
    expect_break(&table, BREAK_WAITS, "mix:country:2027-05-09:1:3", "load:loaf:2027-05-10:1", 25);
    cr_expect_eq(table.break_count, 3);
    cr_expect_eq(the_task(&table, "mix:country:2027-05-09:1:3")->waits_minutes, 25);
    table = move_one(w, "load:loaf:2027-05-10:1", "04:00");
    expect_break(&table, BREAK_DECK, "load:loaf:2027-05-10:2", "load:loaf:2027-05-10:1", 5);
    world_free(w);
}

/* A bake of three hours, moved over two short ones: both are told. */
Test(timetable_moves, a_load_over_two_others)
{
    struct world *w = two_batches();
    product(w, "slab", "country 2000");
    bake(w, "slab", 10, 180);
    open_world(w);
    order(w, monday, "slab", 1, "");
    struct timetable table = timetable_on(w, monday);
    instant begins = the_task(&table, "load:loaf:2027-05-10:1")->begins;
    instant other = the_task(&table, "load:loaf:2027-05-10:2")->begins;
    struct timetable_move move = {day_of(monday), "load:slab:2027-05-10:1",
                                  (begins < other ? begins : other) - 600};
    table = timetable_moved(w, monday, &move, 1);
    cr_expect_eq(count_breaks(&table, BREAK_DECK), 2);
    world_free(w);
}

/* Of three loads the last is taken out of its turn: the dough waits for the second. */
Test(timetable_moves, dough_waits_for_whichever_load_is_last)
{
    struct world *w = two_batches();
    w->catalogue.bakery.mixers[0].max_mg = mg("60000");
    w->demands[0].pieces = 42;
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(the_task(&table, "mix:country:2027-05-09:1:3")->waits_minutes, 110);
    table = move_one(w, "load:loaf:2027-05-10:3", "03:30");
    cr_expect_eq(the_task(&table, "mix:country:2027-05-09:1:3")->waits_minutes, 55);
    world_free(w);
}

Test(timetable_moves, two_batches_in_one_mixer)
{
    struct world *w = two_batches();
    struct timetable table = move_one(w, "mix:country:2027-05-09:1:1", "00:40");
    expect_break(&table, BREAK_MIXER, "mix:country:2027-05-09:1:1", "mix:country:2027-05-09:2:1",
                 10);
    expect_break(&table, BREAK_ORDER, "mix:country:2027-05-09:1:2", "mix:country:2027-05-09:1:1",
                 65);
    cr_expect_eq(table.break_count, 2);
    world_free(w);
}

Test(timetable_moves, what_is_baked_too_late_is_told)
{
    struct world *w = two_batches();
    struct timetable table = move_one(w, "cool:loaf:2027-05-10:2:1", "06:00");
    expect_break(&table, BREAK_LATE, "cool:loaf:2027-05-10:2:1", NULL, 30);
    cr_expect_eq(table.break_count, 1);
    cr_expect_str_eq(hour(w, table.ends), "07:00");
    world_free(w);
}

Test(timetable_moves, a_stage_may_wait_as_long_as_it_may_last)
{
    struct world *w = two_batches();
    the_stage(w, "country", "bulk")->most_minutes = 200;
    struct timetable table = move_one(w, "mix:country:2027-05-09:1:2", "23:35");
    const struct task *bulk = the_task(&table, "mix:country:2027-05-09:1:2");
    cr_expect_eq(bulk->waits_minutes, 20);
    cr_expect_eq(count_breaks(&table, BREAK_WAITS), 0, "200 minutes are allowed");
    expect_break(&table, BREAK_ORDER, bulk->id, "mix:country:2027-05-09:1:1", 20);
    table = move_one(w, "mix:country:2027-05-09:1:2", "23:30");
    expect_break(&table, BREAK_WAITS, "mix:country:2027-05-09:1:2", "mix:country:2027-05-09:1:3",
                 5);
    world_free(w);
}

Test(timetable_moves, the_cold_gets_too_full)
{
    struct world *w = two_batches();
    the_stage(w, "country", "bulk")->uses = USES_COLD;
    w->catalogue.bakery.cold_mg = mg("20000");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(table.break_count, 0);
    table = move_one(w, "mix:country:2027-05-09:1:2", "23:55");
    cr_expect_eq(count_breaks(&table, BREAK_COLD), 1);
    world_free(w);
}

Test(timetable_moves, a_task_that_is_gone)
{
    struct world *w = two_batches();
    struct timetable_move moves[] = {{day_of(monday), "load:loaf:2027-05-10:9", 0},
                                     {day_of("2027-05-11"), "load:loaf:2027-05-11:9", 0}};
    struct timetable table = timetable_moved(w, monday, moves, 2);
    cr_assert_eq(table.break_count, 1, "the other is told with its own day");
    cr_expect_eq(table.breaks[0].kind, BREAK_GONE);
    cr_expect_eq(table.breaks[0].task, NOT_FOUND);
    cr_expect_eq(table.breaks[0].other, NOT_FOUND);
    cr_expect_str_eq(table.breaks[0].id, "load:loaf:2027-05-10:9");
    moves[1].begins = at(w, monday, "03:00");
    cr_assert(run_sheet_of(&w->reckoning, day_of("2027-05-09"), w->demands, w->demand_count, moves,
                           2, &table));
    cr_assert_eq(table.break_count, 1, "by the working day in which it was to be");
    cr_expect_str_eq(table.breaks[0].id, "load:loaf:2027-05-11:9");
    world_free(w);
}

/* --- trouble --- */

Test(timetable_moves, memory_that_runs_out_is_told)
{
    for (long n = 1;; n++) {
        struct world *w = random_night(7, day_of(monday));
        struct timetable out;
        shift(w, "22:00", "23:00", 1);
        the_stage(w, "dough-0", "mix")->hands = 2;
        arena_fail_nth(n);
        bool done = run_sheet_of(&w->reckoning, day_of("2027-05-09"), w->demands, w->demand_count,
                                 NULL, 0, &out);
        arena_fail_nth(0);
        cr_assert_eq(done, !arena_failed(w->arena), "allocation %ld", n);
        if (!done) cr_assert_eq(fails_code(&w->fails), FAIL_UNAVAILABLE, "allocation %ld", n);
        world_free(w);
        if (!done) continue;
        cr_assert_gt(n, 100, "only %ld allocations failed", n - 1);
        return;
    }
}

static void expect_refused(struct world *w, const char *words)
{
    struct timetable out;
    fails_reset(&w->fails, 0);
    cr_expect_not(
        timetable_of(&w->reckoning, day_of(monday), w->demands, w->demand_count, NULL, 0, &out));
    cr_assert_gt(w->fails.count, 0);
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    cr_expect_not_null(strstr(w->fails.items[0].text, words), "%s", w->fails.items[0].text);
}

Test(timetable_moves, more_than_can_be_counted_is_told)
{
    struct world *w = two_batches();
    order(w, monday, "loaf", INT64_MAX / 2, "");
    expect_refused(w, "too large");
    w->demands[1].pieces = 1000000;
    expect_refused(w, "more batches and loads");
    w->catalogue.bakery.mixers[0].max_mg = mg("1000000000");
    expect_refused(w, "more batches and loads");
    the_product(w, "loaf")->bake.per_place = 1000000;
    fails_reset(&w->fails, 0);
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(count_kind(&table, TASK_LOAD), 2);
    world_free(w);
}

/* A piece that is larger than any batch takes all the batches that it lies in. */
Test(timetable_moves, a_piece_larger_than_a_batch)
{
    struct world *w = two_batches();
    product(w, "giant", "country 50000");
    open_world(w);
    w->demand_count = 0;
    order(w, monday, "giant", 2, "");
    struct timetable table = timetable_on(w, monday);
    size_t used = 0;
    cr_expect_eq(count_kind(&table, TASK_MIX), 5);
    for (size_t n = 0; n < table.task_count; n++)
        if (table.tasks[n].kind == TASK_LOAD)
            for (size_t k = 0; k < table.tasks[n].after_count; k++)
                used += table.tasks[table.tasks[n].after[k]].kind == TASK_STAGE;
    cr_expect_geq(used, 5, "all batches are baked");
    world_free(w);
}

Test(timetable_moves, what_a_deck_takes)
{
    struct bake_step step = {2300000, 40, false};
    struct bake loaf = {14, &step, 1};
    struct oven stone = {.code = "stone", .decks = 3, .places = 2};
    cr_expect_eq(deck_capacity(&stone, &loaf), 28);
    loaf.per_place = 0;
    cr_expect_eq(deck_capacity(&stone, &loaf), 0);
}
