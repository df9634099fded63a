/* Bread days that share machines and mixes, and the working days in which they are made. */
#include "timetable_night.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(timetable_days, .timeout = 100);

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

static void expect_time(const struct world *w, const struct timetable *table, const char *id,
                        const char *from, const char *to)
{
    const struct task *task = the_task(table, id);
    cr_expect_str_eq(hour(w, task->begins), from, "%s begins %s", id, hour(w, task->begins));
    cr_expect_str_eq(hour(w, task->ends), to, "%s ends %s", id, hour(w, task->ends));
}

/* A loaf that proofs for a day. */
static struct world *two_days(void)
{
    struct world *w = world_new();
    dough(w, "slow", "wheat 100, water 70", "mix 60, proof 1440, bake 40");
    product(w, "loaf", "slow 1000");
    bake(w, "loaf", 14, 40);
    mixer(w, "spiral", "1000", "60000");
    oven(w, "stone", 1, 1, 0, 0);
    open_world(w);
    order(w, monday, "loaf", 14, "06:30");
    order(w, "2027-05-11", "loaf", 14, "06:10");
    return w;
}

/* Tuesday's dough stands a day and wants the mixer while Monday's dough is in it. */
Test(timetable_days, a_mixer_that_a_day_before_has_taken)
{
    struct world *w = two_days();
    dough(w, "quick", "wheat 100, water 60", "mix 60, bake 40");
    product(w, "roll", "quick 100");
    bake(w, "roll", 200, 40);
    open_world(w);
    w->demand_count = 0;
    order(w, monday, "roll", 100, "06:30");      /* mixed 04:50 to 05:50 */
    order(w, "2027-05-11", "loaf", 14, "06:50"); /* would be mixed 05:10 to 06:10 on Monday */
    struct timetable first = timetable_on(w, monday);
    struct timetable second = timetable_on(w, "2027-05-11");
    cr_expect_str_eq(hour(w, first.tasks[0].begins), "04:50");
    cr_expect_str_eq(hour(w, second.tasks[0].begins), "03:50", "before it");
    cr_expect_eq(second.tasks[1].waits_minutes, 80);
    world_free(w);
}

Test(timetable_days, a_shared_mix_is_in_both_timetables)
{
    struct world *w = two_batches();
    the_stage(w, "country", "proof")->minutes = 660;
    order(w, "2027-05-11", "loaf", 5, "01:00"); /* from 09:00 on Monday: the same working day */
    struct timetable first = timetable_on(w, monday);
    struct timetable second = timetable_on(w, "2027-05-11");
    const struct task *mixing = the_task(&first, "mix:country:2027-05-09:1:1");
    cr_expect_eq(mixing->bread_day_count, 2);
    cr_expect_eq(mixing->bread_day, day_of(monday));
    cr_expect_eq(mixing->begins, the_task(&second, "mix:country:2027-05-09:1:1")->begins);
    cr_expect_eq(count_kind(&first, TASK_LOAD), 2);
    cr_expect_eq(count_kind(&second, TASK_LOAD), 1);
    cr_expect_str_eq(hour(w, the_task(&second, "load:loaf:2027-05-11:1")->ends), "00:00");
    world_free(w);
}

Test(timetable_days, a_run_sheet_is_all_that_is_done_in_a_working_day)
{
    struct world *w = two_days();
    struct timetable sheet;
    cr_assert(run_sheet_of(&w->reckoning, day_of("2027-05-09"), w->demands, w->demand_count, NULL,
                           0, &sheet));
    cr_assert_eq(sheet.task_count, 4, "Monday's bread is baked, Tuesday's mixed");
    cr_expect_eq(the_task(&sheet, "load:loaf:2027-05-10:1")->bread_day, day_of(monday));
    cr_expect_eq(the_task(&sheet, "mix:slow:2027-05-09:1:1")->bread_day, day_of("2027-05-11"));
    the_task(&sheet, "mix:slow:2027-05-08:1:2"); /* proofs on from the day before */
    the_task(&sheet, "mix:slow:2027-05-09:1:2"); /* into the day after */
    cr_assert(run_sheet_of(&w->reckoning, day_of("2027-05-12"), w->demands, w->demand_count, NULL,
                           0, &sheet));
    cr_expect_eq(sheet.task_count, 0);
    world_free(w);
}

Test(timetable_days, run_sheets_tell_what_timetables_tell)
{
    size_t compared = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        struct world *w = random_night(seed, day_of(monday));
        struct timetable table = timetable_on(w, monday);
        for (date day = day_of(monday) - 4; day <= day_of(monday); day++) {
            struct timetable sheet;
            cr_assert(
                run_sheet_of(&w->reckoning, day, w->demands, w->demand_count, NULL, 0, &sheet));
            for (size_t n = 0; n < sheet.task_count; n++)
                for (size_t k = 0; k < table.task_count; k++) {
                    if (strcmp(sheet.tasks[n].id, table.tasks[k].id) != 0) continue;
                    cr_expect_eq(sheet.tasks[n].begins, table.tasks[k].begins, "%lu: %s",
                                 (unsigned long)seed, table.tasks[k].id);
                    compared++;
                }
        }
        world_free(w);
    }
    cr_expect_gt(compared, 1000);
}

/* Six hours from mixing to packing. Monday's first minute is mixed for on Sunday, for which nothing
 * before Sunday is mixed, and one day before; its last minute on Monday, with Tuesday's bread. */
Test(timetable_days, few_days_are_looked_at)
{
    struct world *w = two_batches();
    date first;
    date last;
    timetable_horizon(&w->reckoning, day_of(monday), &first, &last);
    cr_expect_str_eq(day_text(first), "2027-05-08");
    cr_expect_str_eq(day_text(last), "2027-05-11");
    run_sheet_horizon(&w->reckoning, day_of("2027-05-09"), &first, &last);
    cr_expect_str_eq(day_text(first), "2027-05-07");
    cr_expect_str_eq(day_text(last), "2027-05-12");
    world_free(w);
}

/* Twenty loads in one deck for half past midnight begin on the morning before. */
Test(timetable_days, what_is_crowded_out_of_its_night_is_on_the_sheet)
{
    struct world *w = two_batches();
    struct timetable sheet;
    w->demand_count = 0;
    order(w, "2027-05-11", "loaf", 280, "00:30");
    cr_assert(run_sheet_of(&w->reckoning, day_of("2027-05-09"), w->demands, w->demand_count, NULL,
                           0, &sheet));
    cr_expect_gt(count_kind(&sheet, TASK_LOAD), 5);
    cr_expect_gt(count_kind(&sheet, TASK_MIX), 5);
    world_free(w);
}

/* Orders outside of the horizon change nothing. */
Test(timetable_days, the_horizon_is_wide_enough)
{
    for (uint64_t seed = 1; seed <= 30; seed++) {
        struct world *w = random_night(seed, day_of(monday));
        date first;
        date last;
        timetable_horizon(&w->reckoning, day_of(monday), &first, &last);
        struct timetable before = timetable_on(w, monday);
        order(w, day_text(first - 1), "bread-0", 50, "");
        order(w, day_text(last + 1), "bread-1", 50, "00:00");
        struct timetable after = timetable_on(w, monday);
        cr_assert_eq(before.task_count, after.task_count);
        for (size_t n = 0; n < before.task_count; n++)
            cr_expect_eq(before.tasks[n].begins, after.tasks[n].begins);
        world_free(w);
    }
}

/* --- preferments for several days --- */

/* A levain build for the rolls of one day and the loaves of the next, which are mixed from ten to
 * ten, and one oven. */
static struct world *shared_build(const char *quick, const char *slow)
{
    struct world *w = world_new();
    dough(w, "build", "wheat 100, water 100", "mix 10, ferment 600");
    dough(w, "quick", "wheat 100, water 60, formula build 40", quick);
    dough(w, "slow", "wheat 100, water 60, formula build 20, formula build 20", slow);
    dough(w, "white", "wheat 100, water 60", "mix 20, cold 1000, bake 40");
    dough(w, "endless", "wheat 100, water 60", "mix 810, rest 60");
    product(w, "cracker", "endless 10");
    product(w, "loaf", "slow 1000");
    product(w, "roll", "quick 100");
    product(w, "tin", "white 800");
    mixer(w, "spiral", "10", "60000");
    oven(w, "stone", 1, 1, 0, 0);
    open_world(w);
    order(w, monday, "roll", 100, "");
    order(w, "2027-05-11", "loaf", 20, "");
    return w;
}

/* Half past four for Monday, half past five in the evening for Tuesday: one build for both. */
Test(timetable_days, a_part_shared_by_two_days_is_ready_for_the_first)
{
    struct world *w = shared_build("mix 20, proof 60, bake 40", "mix 20, bulk 720, bake 40");
    struct timetable table = timetable_on(w, "2027-05-11");
    expect_time(w, &table, "mix:build:2027-05-09:1:2", "18:30", "04:30");
    const struct task *slow = the_task(&table, "mix:slow:2027-05-10:1:1");
    cr_expect_str_eq(hour(w, slow->begins), "17:30");
    cr_expect_eq(slow->after_count, 1, "the build once, though two lines take it");
    cr_expect_eq(the_task(&table, "mix:build:2027-05-09:1:2")->waits_minutes, 13 * 60);
    table = timetable_on(w, monday);
    expect_time(w, &table, "mix:build:2027-05-09:1:2", "18:30", "04:30");
    expect_time(w, &table, "mix:quick:2027-05-09:1:1", "04:30", "04:50");
    world_free(w);
}

/* Tuesday's dough needs the build before Monday's does, and Monday's is in the mixer: it has to be
 * mixed, and the build to be ready, ten minutes earlier still. */
Test(timetable_days, a_part_that_the_later_day_needs_first)
{
    struct world *w = shared_build("mix 20, proof 80, bake 40", "mix 20, bulk 1530, bake 40");
    struct timetable table = timetable_on(w, "2027-05-11");
    struct timetable before = timetable_on(w, monday);
    const struct task *quick = the_task(&before, "mix:quick:2027-05-09:1:1");
    const struct task *slow = the_task(&table, "mix:slow:2027-05-09:1:1");
    const struct task *build = the_task(&table, "mix:build:2027-05-09:1:2");
    cr_expect_eq(table.break_count, 0);
    cr_expect_leq(build->ends, slow->begins);
    cr_expect_leq(build->ends, quick->begins);
    cr_expect(slow->ends <= quick->begins || quick->ends <= slow->begins);
    cr_expect_eq(before.break_count, 0);
    world_free(w);
}

/* Sharing a build with Monday puts the loaves of Tuesday before no other bread of Tuesday: the tins
 * take longest and are baked last. */
Test(timetable_days, the_loads_of_a_day_are_scheduled_together)
{
    struct world *w = shared_build("mix 20, proof 80, bake 40", "mix 20, bulk 700, bake 40");
    order(w, "2027-05-11", "tin", 20, "");
    struct timetable table = timetable_on(w, "2027-05-11");
    cr_expect_eq(the_task(&table, "mix:build:2027-05-09:1:1")->bread_day_count, 2);
    expect_time(w, &table, "load:tin:2027-05-11:1", "05:50", "06:30");
    expect_time(w, &table, "load:loaf:2027-05-11:1", "05:10", "05:50");
    world_free(w);
}

/* Monday evening's crackers keep the mixer from the early morning on, which nobody could guess:
 * that Tuesday's dough has to be mixed before its build is ready is told. */
Test(timetable_days, a_part_that_comes_too_late_is_told)
{
    struct world *w = shared_build("mix 20, proof 80, bake 40", "mix 20, bulk 700, bake 40");
    order(w, monday, "cracker", 20, "19:00");
    struct timetable table = timetable_on(w, "2027-05-11");
    cr_expect_eq(count_breaks(&table, BREAK_ORDER), 1);
    cr_expect_str_eq(table.breaks[0].id, "mix:slow:2027-05-10:1:1");
    world_free(w);
}
