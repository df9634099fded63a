/* Telling a bakery's equipment in few words, and drawing bakeries at random. */
#include "timetable_night.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

void dough(struct world *w, const char *code, const char *lines, const char *list)
{
    formula(w, code, BASIS_FINAL, lines);
    stages(w, code, list);
    struct formula *of = the_formula(w, code);
    for (size_t n = 0; n < of->stage_count; n++) {
        struct stage *stage = &of->stages[n];
        if (strcmp(stage->name, "mix") == 0) stage->uses = USES_MIXER;
        if (strcmp(stage->name, "cold") == 0) stage->uses = USES_COLD;
        if (strcmp(stage->name, "bake") == 0) stage->uses = USES_OVEN;
    }
}

struct stage *the_stage(struct world *w, const char *code, const char *name)
{
    struct formula *of = the_formula(w, code);
    for (size_t n = 0; n < of->stage_count; n++)
        if (strcmp(of->stages[n].name, name) == 0) return &of->stages[n];
    cr_assert_fail("stage %s of %s", name, code);
    return NULL;
}

void bake(struct world *w, const char *code, int64_t per_place, int64_t minutes)
{
    struct bake_step *step = arena_alloc(w->arena, sizeof *step);
    cr_assert_not_null(step);
    *step = (struct bake_step){.c = 2300000, .minutes = minutes, .steam = true};
    the_product(w, code)->bake = (struct bake){per_place, step, 1};
}

/* A list with room for one more. */
static void *longer(struct world *w, const void *list, size_t count, size_t size)
{
    void *made = arena_array(w->arena, count + 1, size);
    cr_assert_not_null(made);
    if (count > 0) memcpy(made, list, count * size);
    return made;
}

void oven(struct world *w, const char *code, int64_t decks, int64_t places, int64_t preheat,
          int64_t recovery)
{
    struct bakery *b = &w->catalogue.bakery;
    b->ovens = longer(w, b->ovens, b->oven_count, sizeof *b->ovens);
    b->ovens[b->oven_count++] = (struct oven){.code = code,
                                              .decks = decks,
                                              .places = places,
                                              .preheat_minutes = preheat,
                                              .recovery_minutes = recovery};
}

void shift(struct world *w, const char *from, const char *to, int64_t hands)
{
    struct bakery *b = &w->catalogue.bakery;
    struct shift made = {.days = 0xfe, .hands = hands};
    cr_assert(clock_parse(from, &made.from) && clock_parse(to, &made.to));
    b->shifts = longer(w, b->shifts, b->shift_count, sizeof *b->shifts);
    b->shifts[b->shift_count++] = made;
}

struct timetable timetable_moved(struct world *w, const char *day,
                                 const struct timetable_move *moves, size_t count)
{
    struct timetable out;
    bool done = timetable_of(&w->reckoning, day_of(day), w->demands, w->demand_count, moves, count,
                             &out);
    cr_assert(done, "%s", w->fails.count > 0 ? w->fails.items[0].text : "no reason");
    return out;
}

struct timetable timetable_on(struct world *w, const char *day)
{
    return timetable_moved(w, day, NULL, 0);
}

const struct task *the_task(const struct timetable *table, const char *id)
{
    for (size_t n = 0; n < table->task_count; n++)
        if (strcmp(table->tasks[n].id, id) == 0) return &table->tasks[n];
    for (size_t n = 0; n < table->task_count; n++)
        cr_log_error("there is %s", table->tasks[n].id);
    cr_assert_fail("no task %s", id);
    return NULL;
}

const char *hour(const struct world *w, instant at)
{
    static char texts[4][CLOCK_TEXT_SIZE];
    static int turn;
    date day;
    int minutes;
    turn = (turn + 1) % 4;
    zone_wall(w->reckoning.zone, at, &day, &minutes);
    clock_print(texts[turn], minutes);
    return texts[turn];
}

size_t count_kind(const struct timetable *table, enum task_kind kind)
{
    size_t count = 0;
    for (size_t n = 0; n < table->task_count; n++)
        count += table->tasks[n].kind == kind;
    return count;
}

size_t count_breaks(const struct timetable *table, enum break_kind kind)
{
    size_t count = 0;
    for (size_t n = 0; n < table->break_count; n++)
        count += table->breaks[n].kind == kind;
    return count;
}

/* --- at random --- */

enum { DOUGHS = 5, PRODUCTS = 6, TEXT = 200 };

static void random_equipment(struct world *w, struct dice *dice)
{
    static const char *const names[] = {"stone", "rack"};
    if (roll(dice, 0, 5) > 0) mixer(w, "spiral", "2000", "40000");
    if (roll(dice, 0, 2) == 0) mixer(w, "planetary", "500", "12000");
    for (int64_t n = roll(dice, 0, 5) > 0 ? roll(dice, 1, 2) : 0; n > 0; n--)
        oven(w, names[n - 1], roll(dice, 1, 3), roll(dice, 1, 3), 15 * roll(dice, 0, 6),
             5 * roll(dice, 0, 4));
    if (roll(dice, 0, 2) == 0) w->catalogue.bakery.cold_mg = roll(dice, 20, 90) * 1000000;
}

/* Two preferments, one of which holds the other, a filling, and a part that is baked. */
static void random_parts(struct world *w, struct dice *dice)
{
    char list[TEXT];
    snprintf(list, sizeof list, "mix %ld, ferment %ld", roll(dice, 0, 3) * 5,
             roll(dice, 10, 80) * 10);
    dough(w, "build", "wheat 100, water 100", list);
    snprintf(list, sizeof list, "mix 10, ferment %ld", roll(dice, 10, 60) * 10);
    dough(w, "sponge", "wheat 100, water 60, formula build 20", list);
    dough(w, "filling", "milk 100, seeds 50", "mix 15, rest 45");
    dough(w, "crumbs", "wheat 100, water 50", "mix 10, bake 30, cool 60");
    the_formula(w, "filling")->by_hand = true;
}

static void random_stages(struct dice *dice, char list[TEXT])
{
    size_t length = (size_t)snprintf(list, TEXT, "mix %ld, bulk %ld", roll(dice, 1, 6) * 5,
                                     roll(dice, 0, 40) * 5);
    if (roll(dice, 0, 2) == 0)
        length += (size_t)snprintf(list + length, TEXT - length, ", cold %ld",
                                   roll(dice, 20, 72) * 10);
    length += (size_t)snprintf(list + length, TEXT - length, ", proof %ld", roll(dice, 4, 24) * 5);
    if (roll(dice, 0, 5) > 0)
        length += (size_t)snprintf(list + length, TEXT - length, ", bake %ld",
                                   roll(dice, 4, 12) * 5);
    if (roll(dice, 0, 2) > 0)
        snprintf(list + length, TEXT - length, ", cool %ld", roll(dice, 2, 12) * 10);
}

static void random_dough(struct world *w, struct dice *dice, int n)
{
    static const char *const parts[] = {
        "", "", "", ", formula build 30", ", formula sponge 40", ", formula crumbs 10"};
    char code[24];
    char lines[TEXT];
    char list[TEXT];
    snprintf(code, sizeof code, "dough-%d", n);
    snprintf(lines, sizeof lines, "wheat 100, water 65, salt 2%s", parts[roll(dice, 0, 5)]);
    random_stages(dice, list);
    dough(w, code, lines, list);
    if (roll(dice, 0, 3) == 0)
        the_stage(w, code, "proof")->most_minutes = the_stage(w, code, "proof")->minutes +
                                                    roll(dice, 0, 20) * 10;
    if (roll(dice, 0, 3) == 0)
        the_stage(w, code, "bulk")->most_minutes = the_stage(w, code, "bulk")->minutes +
                                                   roll(dice, 0, 12) * 10;
    if (roll(dice, 0, 7) == 0)
        for (size_t k = 0; k < the_formula(w, code)->stage_count; k++)
            the_formula(w, code)->stages[k].uses = USES_NOTHING;
    the_formula(w, code)->handling_loss_pct = roll(dice, 0, 3) * 10000;
}

static void random_product(struct world *w, struct dice *dice, int n)
{
    char code[24];
    char parts[TEXT];
    int64_t main_dough = roll(dice, 0, DOUGHS - 1);
    snprintf(code, sizeof code, "bread-%d", n);
    if (roll(dice, 0, 5) == 0)
        snprintf(parts, sizeof parts, "dough-%ld %ld, dough-%ld %ld", main_dough,
                 roll(dice, 200, 900), (main_dough + 1) % DOUGHS, roll(dice, 100, 400));
    else if (roll(dice, 0, 5) == 0)
        snprintf(parts, sizeof parts, "dough-%ld %ld, filling %ld", main_dough,
                 roll(dice, 200, 900), roll(dice, 20, 90));
    else
        snprintf(parts, sizeof parts, "dough-%ld %ld", main_dough, roll(dice, 80, 1900));
    product(w, code, parts);
    if (roll(dice, 0, 4) > 0) bake(w, code, roll(dice, 6, 24), 5 * roll(dice, 4, 8));
    if (roll(dice, 0, 3) == 0) the_product(w, code)->ready_at = (int)roll(dice, 8, 28) * 30;
    the_product(w, code)->spare_pct = roll(dice, 0, 4) * 10000;
}

struct world *random_night(uint64_t seed, date day)
{
    struct dice dice = {seed * 2654435761u + 88172645463325252u};
    struct world *w = world_new();
    random_equipment(w, &dice);
    random_parts(w, &dice);
    for (int n = 0; n < DOUGHS; n++)
        random_dough(w, &dice, n);
    for (int n = 0; n < PRODUCTS; n++)
        random_product(w, &dice, n);
    open_world(w);
    for (int64_t n = roll(&dice, 3, 14); n > 0; n--) {
        char code[24];
        char clock[CLOCK_TEXT_SIZE] = "";
        snprintf(code, sizeof code, "bread-%d", (int)roll(&dice, 0, PRODUCTS - 1));
        if (roll(&dice, 0, 4) == 0) clock_print(clock, (int)roll(&dice, 4, 20) * 30);
        date of = day + (date)(roll(&dice, 0, 1) * roll(&dice, -1, 1));
        order(w, day_text(of), code, roll(&dice, 1, 60), clock);
    }
    return w;
}

/* --- by measure --- */

struct world *large_night(int64_t loads, const char *day)
{
    static const char *const breads[] = {"country", "rye", "white"};
    struct world *w = world_new();
    mixer(w, "spiral", "2000", "60000");
    mixer(w, "small", "1000", "25000");
    oven(w, "stone", 4, 1, 60, 10);
    dough(w, "build", "wheat 100, water 100", "mix 10, ferment 600");
    dough(w, "country", "wheat 100, water 70, salt 2, formula build 30",
          "mix 20, bulk 180, shape 20, proof 120, bake 45, cool 60");
    dough(w, "rye", "rye 100, water 80, salt 2, formula build 60",
          "mix 15, bulk 60, proof 90, bake 55, cool 120");
    dough(w, "white", "wheat 100, water 62, salt 2", "mix 12, bulk 90, proof 60, bake 30, cool 30");
    the_formula(w, "white")->mixer = "small";
    for (size_t n = 0; n < 3; n++) {
        char parts[TEXT];
        snprintf(parts, sizeof parts, "%s 1000", breads[n]);
        product(w, breads[n], parts);
        bake(w, breads[n], 14, 30 + 10 * (int64_t)n);
    }
    open_world(w);
    for (size_t n = 0; n < 3; n++)
        order(w, day, breads[n], 14 * (loads / 3), "");
    return w;
}
