/* The timetable where the cold is full, hands are missing, or the clock changes. */
#include "timetable_night.h"

#include <criterion/criterion.h>

TestSuite(timetable_room, .timeout = 60);

static const char *const monday = "2027-05-10";

/* A country loaf of a kilo: fourteen in the only deck, all of one batch. */
static struct world *one_deck(void)
{
    struct world *w = world_new();
    dough(w, "country", "wheat 100, water 70", "mix 20, bulk 180, proof 60, bake 45, cool 60");
    product(w, "loaf", "country 1000");
    bake(w, "loaf", 14, 40);
    oven(w, "stone", 1, 1, 60, 15);
    mixer(w, "spiral", "1000", "60000");
    open_world(w);
    return w;
}

static void expect_time(const struct world *w, const struct timetable *table, const char *id,
                        const char *from, const char *to)
{
    const struct task *task = the_task(table, id);
    cr_expect_str_eq(hour(w, task->begins), from, "%s begins %s", id, hour(w, task->begins));
    cr_expect_str_eq(hour(w, task->ends), to, "%s ends %s", id, hour(w, task->ends));
}

/* --- the cold and the hands --- */

static struct world *cold_night(const char *holds)
{
    struct world *w = world_new();
    dough(w, "white", "wheat 100, water 60", "mix 30, cold 300, shape 20, bake 30");
    product(w, "roll", "white 100");
    mixer(w, "spiral", "1000", "10000");
    oven(w, "stone", 2, 1, 0, 0);
    w->catalogue.bakery.cold_mg = mg(holds);
    open_world(w);
    order(w, monday, "roll", 200, "");
    return w;
}

Test(timetable_room, the_cold_holds_one_batch_at_a_time)
{
    struct world *w = cold_night("25000");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(table.break_count, 0);
    cr_expect_eq(table.minutes, 30 + 30 + 300 + 20 + 30, "mixed one after the other");
    world_free(w);
    w = cold_night("15000");
    table = timetable_on(w, monday);
    cr_expect_eq(table.break_count, 0);
    cr_expect_eq(table.minutes, 30 + 600 + 20 + 30, "the second when the first is out");
    const struct task *one = the_task(&table, "mix:white:2027-05-09:1:2");
    const struct task *two = the_task(&table, "mix:white:2027-05-09:2:2");
    cr_expect_eq(one->ends, two->begins);
    world_free(w);
}

/* What a day before has had in the cold is out of it again. */
Test(timetable_room, the_cold_of_the_night_before_is_free)
{
    struct world *w = cold_night("15000");
    instant begins = timetable_on(w, monday).begins;
    order(w, "2027-05-09", "roll", 200, "");
    cr_expect_eq(timetable_on(w, monday).begins, begins);
    world_free(w);
}

/* Ten kilos wait in the cold from four until the third load at six: the dessert has to be in and
 * out before. */
Test(timetable_room, dough_waits_in_the_cold_until_its_last_load)
{
    struct world *w = world_new();
    dough(w, "white", "wheat 100, water 60", "mix 10, cold 60, bake 30");
    dough(w, "cream", "milk 100", "mix 10, cold 30, rest 30");
    product(w, "roll", "white 100");
    product(w, "dessert", "cream 100");
    bake(w, "roll", 34, 30);
    oven(w, "stone", 1, 1, 0, 0);
    w->catalogue.bakery.cold_mg = mg("15000");
    open_world(w);
    order(w, monday, "roll", 100, "");
    order(w, monday, "dessert", 100, "");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(table.break_count, 0);
    expect_time(w, &table, "mix:white:2027-05-09:1:2", "04:00", "05:00");
    expect_time(w, &table, "mix:cream:2027-05-09:1:2", "03:30", "04:00");
    world_free(w);
}

Test(timetable_room, what_the_cold_can_never_hold_is_told)
{
    struct world *w = cold_night("5000");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(table.break_count, 1);
    cr_expect_eq(table.breaks[0].kind, BREAK_COLD);
    cr_expect_eq(table.breaks[0].minutes, 330, "two batches, the second half an hour later");
    cr_expect_str_eq(table.breaks[0].id, table.tasks[table.breaks[0].task].id);
    world_free(w);
}

Test(timetable_room, hands_that_are_not_there)
{
    struct world *w = one_deck();
    the_stage(w, "country", "mix")->hands = 1;
    the_stage(w, "country", "bake")->hands = 2;
    order(w, monday, "loaf", 14, "");
    cr_expect_eq(timetable_on(w, monday).hands_count, 0, "no shifts: nobody is counted");
    shift(w, "22:00", "05:10", 1);
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(table.hands_count, 2);
    cr_expect_str_eq(hour(w, table.hands[0].from), "04:50");
    cr_expect_str_eq(hour(w, table.hands[0].to), "05:10");
    cr_expect_eq(table.hands[0].needed, 2);
    cr_expect_eq(table.hands[0].there, 1);
    cr_expect_str_eq(hour(w, table.hands[1].to), "05:30");
    cr_expect_eq(table.hands[1].there, 0);
    w->catalogue.bakery.shifts[0].days = 1u << 1; /* begins on Mondays only */
    table = timetable_on(w, monday);
    cr_expect_eq(table.hands_count, 2, "nobody to mix on Sunday night, nor to bake");
    cr_expect_eq(table.hands[0].needed, 1);
    cr_expect_eq(table.hands[0].there, 0);
    world_free(w);
}

Test(timetable_room, hands_of_other_days_are_told_with_those_days)
{
    struct world *w = one_deck();
    the_stage(w, "country", "bake")->hands = 2;
    shift(w, "22:00", "04:00", 1);
    order(w, "2027-05-09", "loaf", 14, "");
    order(w, monday, "loaf", 14, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(table.hands_count, 1);
    cr_expect_eq(table.hands[0].from, the_task(&table, "load:loaf:2027-05-10:1")->begins);
    world_free(w);
}

/* --- clocks --- */

Test(timetable_room, twelve_hours_are_twelve_hours)
{
    static const struct {
        const char *day;
        const char *mixed;
    } nights[] = {{"2027-03-28", "16:00"}, {"2027-10-31", "18:00"}, {"2027-05-10", "17:00"}};
    struct world *w = world_new();
    dough(w, "slow", "wheat 100, water 70", "mix 30, proof 720, bake 60");
    product(w, "loaf", "slow 1000");
    open_world(w);
    for (size_t n = 0; n < 3; n++) {
        w->demand_count = 0;
        order(w, nights[n].day, "loaf", 5, "06:30");
        struct timetable table = timetable_on(w, nights[n].day);
        cr_assert_eq(table.task_count, 3);
        cr_expect_str_eq(hour(w, table.tasks[0].begins), nights[n].mixed, "%s", nights[n].day);
        cr_expect_eq(table.tasks[1].ends - table.tasks[1].begins, 12 * 3600);
        cr_expect_str_eq(hour(w, table.tasks[2].ends), "06:30");
        cr_expect_eq(table.minutes, 13 * 60 + 30);
    }
    world_free(w);
}

/* A shift over the night on which the clock goes back is an hour longer. */
Test(timetable_room, shifts_are_told_by_the_clock)
{
    struct world *w = world_new();
    dough(w, "slow", "wheat 100, water 70", "watch 540");
    the_stage(w, "slow", "watch")->hands = 1;
    product(w, "loaf", "slow 1000");
    open_world(w);
    shift(w, "22:00", "06:00", 1);
    order(w, "2027-10-31", "loaf", 5, "06:00");
    cr_expect_eq(timetable_on(w, "2027-10-31").hands_count, 0);
    order(w, "2027-03-28", "loaf", 5, "06:00");
    struct timetable table = timetable_on(w, "2027-03-28");
    cr_assert_eq(table.hands_count, 1);
    cr_expect_eq(table.hands[0].to - table.hands[0].from, 2 * 3600, "begun at 20:00");
    world_free(w);
}
