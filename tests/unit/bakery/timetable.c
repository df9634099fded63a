/* The timetable: nights that a baker would know, worked out by hand. */
#include "timetable_night.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(timetable, .timeout = 60);

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

static bool is_after(const struct timetable *table, const char *id, const char *before)
{
    const struct task *task = the_task(table, id);
    for (size_t n = 0; n < task->after_count; n++)
        if (strcmp(table->tasks[task->after[n]].id, before) == 0) return true;
    return false;
}

/* --- backwards from the ready time --- */

Test(timetable, one_deck_three_loads)
{
    struct world *w = one_deck();
    order(w, monday, "loaf", 36, "");
    struct timetable table = timetable_on(w, monday);
    expect_time(w, &table, "load:loaf:2027-05-10:3", "04:50", "05:30");
    expect_time(w, &table, "cool:loaf:2027-05-10:3:1", "05:30", "06:30");
    expect_time(w, &table, "load:loaf:2027-05-10:2", "03:55", "04:35");
    expect_time(w, &table, "load:loaf:2027-05-10:1", "03:00", "03:40");
    expect_time(w, &table, "heat:stone:1:2027-05-10:1", "02:00", "03:00");
    expect_time(w, &table, "mix:country:2027-05-09:1:3", "02:00", "03:00");
    expect_time(w, &table, "mix:country:2027-05-09:1:2", "23:00", "02:00");
    expect_time(w, &table, "mix:country:2027-05-09:1:1", "22:40", "23:00");
    cr_expect_eq(table.task_count, 10);
    cr_expect_eq(table.minutes, 470);
    cr_expect_eq(table.at_least_minutes, 470, "20 + 180 + 60 + 3 x 40 + 2 x 15 + 60");
    cr_expect_eq(table.break_count, 0);
    world_free(w);
}

Test(timetable, what_is_told_of_a_task)
{
    struct world *w = one_deck();
    order(w, monday, "loaf", 36, "");
    struct timetable table = timetable_on(w, monday);
    const struct task *mixing = the_task(&table, "mix:country:2027-05-09:1:1");
    cr_expect_eq(mixing->kind, TASK_MIX);
    cr_expect_str_eq(mixing->mixer->code, "spiral");
    cr_expect_eq(mixing->dough_mg, mg("36000"));
    cr_expect_eq(mixing->batch, 1);
    cr_expect_eq(mixing->batches, 1);
    cr_expect_eq(mixing->mixing_date, day_of("2027-05-09"));
    cr_expect_eq(mixing->bread_day, day_of(monday));
    const struct task *proof = the_task(&table, "mix:country:2027-05-09:1:3");
    cr_expect_eq(proof->kind, TASK_STAGE);
    cr_expect_null(proof->mixer);
    cr_expect_eq(proof->waits_minutes, 110, "the last loaves wait for two loads");
    const struct task *load = the_task(&table, "load:loaf:2027-05-10:3");
    cr_expect_eq(load->kind, TASK_LOAD);
    cr_expect_eq(load->item_count, 1);
    cr_expect_eq(load->items[0].pieces, 8, "what 14 and 14 leave of 36");
    cr_expect_eq(load->dough_mg, mg("8000"));
    cr_expect_eq(load->bake, &the_product(w, "loaf")->bake);
    cr_expect_str_eq(load->oven->code, "stone");
    cr_expect_eq(load->deck, 1);
    cr_expect_eq(load->ends - load->begins, 2400, "the product's own bake, not the stage's");
    cr_expect(is_after(&table, load->id, proof->id));
    cr_expect(is_after(&table, "load:loaf:2027-05-10:1", "heat:stone:1:2027-05-10:1"));
    cr_expect(is_after(&table, "cool:loaf:2027-05-10:3:1", load->id));
    cr_expect_eq(count_kind(&table, TASK_PREHEAT), 1, "a deck in use stays hot");
    world_free(w);
}

Test(timetable, two_doughs_and_one_mixer)
{
    struct world *w = world_new();
    dough(w, "white", "wheat 100, water 60", "mix 15, bulk 60, bake 30");
    dough(w, "rye", "rye 100, water 80", "mix 25, bulk 60, bake 30");
    product(w, "roll", "white 100");
    product(w, "brick", "rye 1000");
    mixer(w, "spiral", "1000", "60000");
    oven(w, "stone", 2, 1, 0, 0);
    open_world(w);
    order(w, monday, "roll", 100, "");
    order(w, monday, "brick", 10, "");
    struct timetable table = timetable_on(w, monday);
    const struct task *white = the_task(&table, "mix:white:2027-05-09:1:1");
    const struct task *rye = the_task(&table, "mix:rye:2027-05-09:1:1");
    cr_expect(white->ends <= rye->begins || rye->ends <= white->begins, "one at a time");
    cr_expect_eq(table.minutes, 130, "the longer mixing first: 15 + 25 + 60 + 30");
    cr_expect_eq(table.at_least_minutes, 130);
    cr_expect_str_eq(hour(w, white->begins > rye->begins ? white->ends : rye->ends), "05:00");
    world_free(w);
}

Test(timetable, a_mixer_that_is_too_small_takes_batches)
{
    struct world *w = one_deck();
    w->catalogue.bakery.mixers[0].max_mg = mg("20000");
    order(w, monday, "loaf", 28, "");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(count_kind(&table, TASK_MIX), 2);
    cr_expect_eq(count_kind(&table, TASK_LOAD), 2);
    cr_expect(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:1:3"));
    cr_expect_not(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:2:3"));
    cr_expect(is_after(&table, "load:loaf:2027-05-10:2", "mix:country:2027-05-09:2:3"));
    cr_expect_eq(the_task(&table, "mix:country:2027-05-09:1:3")->waits_minutes, 0);
    cr_expect_eq(the_task(&table, "mix:country:2027-05-09:2:3")->waits_minutes, 0);
    expect_time(w, &table, "mix:country:2027-05-09:2:1", "00:30", "00:50");
    expect_time(w, &table, "mix:country:2027-05-09:1:1", "23:35", "23:55");
    world_free(w);
}

/* A batch of 15 loaves: the second load takes one of the first batch and 13 of the second. */
Test(timetable, a_load_takes_pieces_of_two_batches)
{
    struct world *w = one_deck();
    w->catalogue.bakery.mixers[0].max_mg = mg("15000");
    order(w, monday, "loaf", 30, "");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(count_kind(&table, TASK_LOAD), 3);
    cr_expect(is_after(&table, "load:loaf:2027-05-10:2", "mix:country:2027-05-09:1:3"));
    cr_expect(is_after(&table, "load:loaf:2027-05-10:2", "mix:country:2027-05-09:2:3"));
    cr_expect_not(is_after(&table, "load:loaf:2027-05-10:3", "mix:country:2027-05-09:1:3"));
    world_free(w);
}

Test(timetable, a_preferment_is_ready_for_the_first_batch)
{
    struct world *w = world_new();
    dough(w, "build", "wheat 100, water 100", "mix 10, ferment 600");
    dough(w, "country", "wheat 100, water 60, formula build 40", "mix 20, bulk 120, bake 40");
    product(w, "loaf", "country 1000");
    mixer(w, "spiral", "1000", "20000");
    oven(w, "stone", 1, 1, 0, 0);
    open_world(w);
    order(w, monday, "loaf", 40, "");
    struct timetable table = timetable_on(w, monday);
    const struct task *first = the_task(&table, "mix:country:2027-05-09:1:1");
    const struct task *second = the_task(&table, "mix:country:2027-05-09:2:1");
    const struct task *ferment = the_task(&table, "mix:build:2027-05-09:1:2");
    cr_expect_eq(ferment->ends, first->begins);
    cr_expect_eq(ferment->waits_minutes, (second->begins - first->begins) / 60);
    cr_expect(is_after(&table, first->id, ferment->id));
    cr_expect(is_after(&table, second->id, ferment->id));
    cr_expect_eq(count_kind(&table, TASK_MIX), 3, "the build is mixed as well");
    world_free(w);
}

/* Two hours of proof at the most: the dough whose mixer is taken proofs longer, the oven is kept.
 */
Test(timetable, a_stage_is_stretched_before_anything_waits)
{
    struct world *w = world_new();
    dough(w, "white", "wheat 100, water 60", "mix 30, proof 60, bake 30");
    product(w, "roll", "white 100");
    product(w, "bun", "white 100");
    bake(w, "roll", 100, 30);
    bake(w, "bun", 100, 40);
    mixer(w, "spiral", "1000", "10000");
    oven(w, "stone", 2, 1, 0, 0);
    the_stage(w, "white", "proof")->most_minutes = 120;
    open_world(w);
    order(w, monday, "roll", 100, "06:00");
    order(w, monday, "bun", 100, "06:00");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(table.break_count, 0);
    int64_t stretched = 0;
    for (size_t n = 0; n < table.task_count; n++) {
        cr_expect_eq(table.tasks[n].waits_minutes, 0, "%s", table.tasks[n].id);
        if (table.tasks[n].kind == TASK_STAGE)
            stretched += (table.tasks[n].ends - table.tasks[n].begins) / 60 - 60;
    }
    cr_expect_eq(stretched, 20, "mixed 30 earlier, baked 10 earlier");
    world_free(w);
}

/* The same with a proof that is what it is: the bulk is longer, nothing waits. */
Test(timetable, a_stage_in_the_middle_is_stretched)
{
    struct world *w = world_new();
    dough(w, "white", "wheat 100, water 60", "mix 30, bulk 90, proof 60, bake 30");
    product(w, "roll", "white 100");
    mixer(w, "spiral", "1000", "10000");
    oven(w, "stone", 2, 1, 0, 0);
    the_stage(w, "white", "bulk")->most_minutes = 150;
    open_world(w);
    order(w, monday, "roll", 200, "");
    struct timetable table = timetable_on(w, monday);
    for (size_t n = 0; n < table.task_count; n++)
        cr_expect_eq(table.tasks[n].waits_minutes, 0, "%s", table.tasks[n].id);
    expect_time(w, &table, "load:roll:2027-05-10:1", "06:00", "06:30");
    expect_time(w, &table, "load:roll:2027-05-10:2", "06:00", "06:30");
    cr_expect_eq(table.minutes, 240);
    world_free(w);
}

/* What is wanted within three hours goes along while there is room, and is ready with the first. */
Test(timetable, what_is_wanted_a_little_later_goes_along)
{
    struct world *w = one_deck();
    order(w, monday, "loaf", 5, "04:00");
    order(w, monday, "loaf", 5, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 1);
    expect_time(w, &table, "load:loaf:2027-05-10:1", "02:20", "03:00");
    cr_expect_eq(the_task(&table, "load:loaf:2027-05-10:1")->item_count, 1);
    cr_expect_eq(the_task(&table, "load:loaf:2027-05-10:1")->items[0].pieces, 10);
    world_free(w);
}

Test(timetable, what_is_wanted_much_later_is_a_load_of_its_own)
{
    struct world *w = one_deck();
    order(w, monday, "loaf", 5, "03:29");
    order(w, monday, "loaf", 5, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 2);
    expect_time(w, &table, "load:loaf:2027-05-10:2", "04:50", "05:30");
    world_free(w);
}

/* Seven places of the one and ten of the other fill a deck for 14 and 20. */
Test(timetable, products_share_a_load)
{
    struct world *w = one_deck();
    product(w, "small", "country 500");
    bake(w, "small", 20, 40);
    open_world(w);
    order(w, monday, "loaf", 7, "");
    order(w, monday, "small", 11, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 2);
    const struct task *full = the_task(&table, "load:loaf:2027-05-10:1");
    cr_assert_eq(full->item_count, 2);
    cr_expect_eq(full->items[0].pieces, 7);
    cr_expect_eq(full->items[1].pieces, 10);
    cr_expect_eq(the_task(&table, "load:small:2027-05-10:1")->items[0].pieces, 1);
    cr_expect_eq(full->dough_mg, mg("12000"));
    world_free(w);
}

/* 21 loaves in three batches of seven: the first load has those of two. */
Test(timetable, a_shared_load_takes_of_every_batch)
{
    struct world *w = one_deck();
    product(w, "other", "country 1000");
    bake(w, "other", 14, 40);
    open_world(w);
    w->catalogue.bakery.mixers[0].max_mg = mg("7000");
    order(w, monday, "loaf", 6, "");
    order(w, monday, "other", 15, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 2);
    cr_expect(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:1:3"));
    cr_expect(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:2:3"));
    cr_expect_not(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:3:3"));
    cr_expect(is_after(&table, "load:other:2027-05-10:1", "mix:country:2027-05-09:3:3"));
    cr_expect_not(is_after(&table, "load:other:2027-05-10:1", "mix:country:2027-05-09:2:3"));
    world_free(w);
}

/* Of seven pieces in two batches the fourth is begun in the first. */
Test(timetable, a_piece_is_of_the_batch_in_which_it_begins)
{
    struct world *w = one_deck();
    the_product(w, "loaf")->bake = (struct bake){.per_place = 0};
    w->catalogue.bakery.mixers[0].max_mg = mg("4000");
    order(w, monday, "loaf", 7, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 2);
    cr_expect_eq(the_task(&table, "load:loaf:2027-05-10:1")->items[0].pieces, 4);
    cr_expect_not(is_after(&table, "load:loaf:2027-05-10:1", "mix:country:2027-05-09:2:3"));
    cr_expect_not(is_after(&table, "load:loaf:2027-05-10:2", "mix:country:2027-05-09:1:3"));
    world_free(w);
}

/* Of two doughs the heavier tells how a piece is baked; both must be there. */
Test(timetable, a_piece_of_two_doughs)
{
    struct world *w = one_deck();
    dough(w, "crust", "rye 100, water 60", "mix 10, rest 20, bake 20, cool 15");
    product(w, "marbled", "crust 200, country 800");
    product(w, "turned", "country 800, crust 200");
    open_world(w);
    order(w, monday, "turned", 10, "");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(the_task(&table, "load:turned:2027-05-10:1")->formula, at_formula(w, "country"));
    w->demand_count = 0;
    order(w, monday, "marbled", 10, "");
    table = timetable_on(w, monday);
    const struct task *load = the_task(&table, "load:marbled:2027-05-10:1");
    cr_expect_eq(load->formula, at_formula(w, "country"));
    cr_expect_eq(load->ends - load->begins, 2700);
    cr_expect_eq(load->dough_mg, mg("10000"));
    cr_expect(is_after(&table, load->id, "mix:country:2027-05-09:1:3"));
    cr_expect(is_after(&table, load->id, "mix:crust:2027-05-09:1:2"));
    world_free(w);
}

Test(timetable, a_shared_load_cools_as_long_as_its_slowest)
{
    struct world *w = one_deck();
    dough(w, "dense", "rye 100, water 80", "mix 20, proof 90, bake 45, cool 120, rest 30");
    product(w, "brick", "dense 1000");
    bake(w, "brick", 14, 40);
    open_world(w);
    order(w, monday, "loaf", 7, "");
    order(w, monday, "brick", 7, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 1);
    cr_expect_eq(count_kind(&table, TASK_COOL), 2);
    cr_expect_eq(table.tasks[table.task_count - 1].ends - 150 * 60,
                 table.tasks[table.task_count - 3].ends);
    world_free(w);
}

/* Three decks for fourteen and one for twice as many: seventy loaves at once. */
Test(timetable, loads_are_cut_for_the_ovens)
{
    struct world *w = one_deck();
    w->catalogue.bakery.oven_count = 0;
    oven(w, "rack", 1, 2, 0, 0);
    oven(w, "stone", 3, 1, 0, 0);
    w->catalogue.bakery.mixers[0].max_mg = mg("100000");
    order(w, monday, "loaf", 70, "");
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(count_kind(&table, TASK_LOAD), 4);
    for (size_t n = 0; n < table.task_count; n++) {
        const struct task *load = &table.tasks[n];
        if (load->kind != TASK_LOAD) continue;
        cr_expect_str_eq(hour(w, load->begins), "04:50");
        cr_expect_str_eq(load->oven->code, load->items[0].pieces == 28 ? "rack" : "stone");
    }
    world_free(w);
}

/* --- equipment that is not there --- */

Test(timetable, without_a_bake_one_load_a_batch)
{
    struct world *w = one_deck();
    the_product(w, "loaf")->bake = (struct bake){.per_place = 0};
    w->catalogue.bakery.mixers[0].max_mg = mg("20000");
    order(w, monday, "loaf", 36, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 2);
    const struct task *load = the_task(&table, "load:loaf:2027-05-10:1");
    cr_expect_eq(load->items[0].pieces, 18);
    cr_expect_eq(load->ends - load->begins, 2700, "by the stage");
    cr_expect_null(load->bake);
    cr_expect_not_null(load->oven);
    world_free(w);
}

Test(timetable, without_machines_nothing_has_to_wait)
{
    struct world *w = one_deck();
    w->catalogue.bakery.mixer_count = w->catalogue.bakery.oven_count = 0;
    order(w, monday, "loaf", 500, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(count_kind(&table, TASK_LOAD), 1);
    const struct task *load = the_task(&table, "load:loaf:2027-05-10:1");
    cr_expect_null(load->oven);
    cr_expect_eq(load->deck, 0);
    cr_expect_null(the_task(&table, "mix:country:2027-05-09:1:1")->mixer);
    cr_expect_eq(table.minutes, 360);
    cr_expect_eq(table.at_least_minutes, 360);
    world_free(w);
}

/* When nothing is said, the first stage is in the mixer, and the last ends when it is ready. */
Test(timetable, stages_that_do_not_say_what_they_use)
{
    struct world *w = one_deck();
    dough(w, "flat", "wheat 100, water 70", "knead 15, rest 30, roll 20");
    product(w, "cracker", "flat 50");
    open_world(w);
    order(w, monday, "cracker", 40, "");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(table.task_count, 3);
    cr_expect_eq(table.tasks[0].kind, TASK_MIX);
    cr_expect_str_eq(table.tasks[0].mixer->code, "spiral");
    cr_expect_eq(table.tasks[1].kind, TASK_STAGE);
    expect_time(w, &table, "mix:flat:2027-05-09:1:3", "06:10", "06:30");
    the_formula(w, "flat")->by_hand = true;
    table = timetable_on(w, monday);
    cr_expect_eq(table.tasks[0].kind, TASK_STAGE);
    cr_expect_null(table.tasks[0].mixer);
    world_free(w);
}

/* Two batches of one mix, for two times. */
Test(timetable, what_is_not_baked_ends_when_it_is_wanted)
{
    struct world *w = one_deck();
    dough(w, "flat", "wheat 100, water 70", "knead 15, rest 30");
    product(w, "cracker", "flat 100");
    open_world(w);
    order(w, monday, "cracker", 200, "06:30");
    order(w, monday, "cracker", 200, "09:00");
    w->catalogue.bakery.mixers[0].max_mg = mg("20000");
    struct timetable table = timetable_on(w, monday);
    expect_time(w, &table, "mix:flat:2027-05-09:1:2", "06:00", "06:30");
    expect_time(w, &table, "mix:flat:2027-05-09:2:2", "08:30", "09:00");
    world_free(w);
}

Test(timetable, a_mix_without_stages_is_a_moment)
{
    struct world *w = one_deck();
    formula(w, "pancake", BASIS_FINAL, "wheat 100, milk 200");
    product(w, "pancakes", "pancake 80");
    open_world(w);
    order(w, monday, "pancakes", 10, "12:30");
    struct timetable table = timetable_on(w, monday);
    cr_assert_eq(table.task_count, 1);
    expect_time(w, &table, "mix:pancake:2027-05-10:1:1", "12:30", "12:30");
    dough(w, "pancake", "wheat 100, milk 200", "bake 15");
    open_world(w);
    table = timetable_on(w, monday);
    cr_assert_eq(table.task_count, 3, "straight into the oven");
    expect_time(w, &table, "load:pancakes:2027-05-10:1", "12:15", "12:30");
    expect_time(w, &table, "mix:pancake:2027-05-10:1:1", "12:15", "12:15");
    cr_expect_eq(count_kind(&table, TASK_PREHEAT), 1);
    world_free(w);
}

Test(timetable, a_day_without_orders_is_empty)
{
    struct world *w = one_deck();
    struct timetable table = timetable_on(w, monday);
    cr_expect_eq(table.task_count, 0);
    cr_expect_eq(table.break_count, 0);
    cr_expect_eq(table.minutes, 0);
    cr_expect_eq(table.at_least_minutes, 0);
    world_free(w);
}

Test(timetable, a_part_may_be_baked_itself)
{
    struct world *w = world_new();
    dough(w, "crumbs", "wheat 100, water 50", "mix 10, bake 30, cool 60");
    dough(w, "country", "wheat 100, water 60, formula crumbs 10", "mix 20, bulk 120, bake 40");
    product(w, "loaf", "country 1000");
    oven(w, "stone", 1, 1, 30, 0);
    open_world(w);
    order(w, monday, "loaf", 17, "");
    struct timetable table = timetable_on(w, monday);
    const struct task *baked = the_task(&table, "load:part.crumbs:2027-05-09:1");
    cr_expect_eq(baked->item_count, 0);
    cr_expect_eq(baked->dough_mg, mg("1000"));
    expect_time(w, &table, baked->id, "02:00", "02:30");
    expect_time(w, &table, "cool:part.crumbs:2027-05-09:1:1", "02:30", "03:30");
    expect_time(w, &table, "mix:country:2027-05-09:1:1", "03:30", "03:50");
    cr_expect_eq(count_kind(&table, TASK_PREHEAT), 1, "three hours and twenty minutes stay hot");
    world_free(w);
}
