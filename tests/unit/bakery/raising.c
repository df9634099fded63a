/* Raising a starter: running weights that hang together to the milligram, the clock on the wall,
 * and what must be said with it. */
#include "bakery/raising.h"
#include "bakery/growth.h"
#include "csv.h"
#include "world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

TestSuite(raising, .timeout = 30);

static instant at_clock(const struct world *w, const char *day, const char *clock)
{
    int minutes = 0;
    cr_assert(clock_parse(clock, &minutes));
    return zone_instant(w->reckoning.zone, day_of(day), minutes);
}

static struct raising_wanted usual(const struct world *w)
{
    return (struct raising_wanted){.begins = at_clock(w, "2027-05-10", "09:30"),
                                   .hydration_pct = pct("100"),
                                   .c = units("28", TEMPERATURE_PLACES),
                                   .keep_mg = mg("50"),
                                   .ready_mg = mg("1000")};
}

static struct raising raise(struct world *w, const struct raising_wanted *wanted)
{
    struct raising out;
    cr_assert(raising_of(&w->reckoning, wanted, &out), "%s",
              w->fails.count > 0 ? w->fails.items[0].text : "");
    return out;
}

/* --- the usual programme --- */

Test(raising, five_days_at_the_warmest_it_likes)
{
    static const struct {
        enum raising_kind kind;
        int day;
        const char *at;
        const char *before, *discard, *keep, *flour, *water, *after;
    } steps[] = {
        {RAISE_MIX, 1, "2027-05-10T09:30:00+01:00", "0", "0", "0", "50", "50", "100"},
        {RAISE_STIR, 2, "2027-05-11T09:30:00+01:00", "100", "0", "100", "0", "0", "100"},
        {RAISE_FEED, 3, "2027-05-12T09:30:00+01:00", "100", "50", "50", "50", "50", "150"},
        {RAISE_FEED, 4, "2027-05-13T09:30:00+01:00", "150", "100", "50", "50", "50", "150"},
        {RAISE_FEED, 4, "2027-05-13T21:30:00+01:00", "150", "100", "50", "50", "50", "150"},
        {RAISE_FEED, 5, "2027-05-14T09:30:00+01:00", "150", "100", "50", "75", "75", "200"},
        {RAISE_FEED, 5, "2027-05-14T21:30:00+01:00", "200", "0", "200", "400", "400", "1000"},
        {RAISE_READY, 6, "2027-05-15T09:30:00+01:00", "1000", "0", "1000", "0", "0", "1000"}};
    enum { STEPS = sizeof steps / sizeof *steps };
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    struct raising out = raise(w, &wanted);
    cr_assert_eq(out.step_count, STEPS);
    for (size_t n = 0; n < STEPS; n++) {
        const struct raising_step *s = &out.steps[n];
        cr_expect_eq(s->kind, steps[n].kind, "step %zu", n);
        cr_expect_eq(s->day, steps[n].day, "step %zu", n);
        cr_expect_str_eq(clock_text(w, s->at), steps[n].at);
        cr_expect_eq(s->before_mg, mg(steps[n].before), "step %zu", n);
        cr_expect_eq(s->discard_mg, mg(steps[n].discard), "step %zu", n);
        cr_expect_eq(s->keep_mg, mg(steps[n].keep), "step %zu", n);
        cr_expect_eq(s->flour_mg, mg(steps[n].flour), "step %zu", n);
        cr_expect_eq(s->water_mg, mg(steps[n].water), "step %zu", n);
        cr_expect_eq(s->after_mg, mg(steps[n].after), "step %zu", n);
        cr_expect_eq(s->sweetener_mg, 0);
    }
    cr_expect_eq(out.ready, out.steps[STEPS - 1].at);
    cr_expect_eq(out.flour_mg, mg("675"));
    cr_expect_eq(out.water_mg, mg("675"));
    cr_expect_eq(out.discard_mg, mg("350"));
    cr_expect_not(out.too_cold);
    world_free(w);
}

/* --- temperature --- */

static int64_t half_days_at(struct world *w, int64_t tenths)
{
    struct raising_wanted wanted = usual(w);
    wanted.c = tenths * 1000;
    struct raising out = raise(w, &wanted);
    return out.too_cold ? -1 : (out.ready - wanted.begins) / (SECONDS_PER_DAY / 2);
}

/* tests/sources/03_fermentation_anchors.csv by growth_starter(): half as fast at 20, a quarter at
 * 15, nothing at 4 and 41. */
Test(raising, lengthens_as_growth_slows)
{
    struct world *w = world_new();
    cr_expect_eq(half_days_at(w, 320), 10);
    cr_expect_eq(half_days_at(w, 200), 20);
    cr_expect_eq(half_days_at(w, 150), 40);
    cr_expect_eq(half_days_at(w, 370), 20);
    cr_expect_eq(half_days_at(w, 40), -1);
    cr_expect_eq(half_days_at(w, 410), -1);
    cr_expect_eq(half_days_at(w, 90), -1, "slower than it would go bad");
    for (int64_t tenths = 0; tenths < 280; tenths++) {
        int64_t longer = half_days_at(w, tenths), shorter = half_days_at(w, tenths + 1);
        cr_expect(longer < 0 || (shorter > 0 && shorter <= longer), "%d", (int)tenths);
        cr_expect_leq(longer, 60);
    }
    world_free(w);
}

Test(raising, where_nothing_grows_there_are_no_steps)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    wanted.c = units("4", TEMPERATURE_PLACES);
    struct raising out = raise(w, &wanted);
    cr_expect(out.too_cold);
    cr_expect_eq(out.step_count, 0);
    cr_expect_eq(out.flour_mg, 0);
    world_free(w);
}

Test(raising, in_the_cool_it_is_stirred_every_day)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    wanted.c = units("15", TEMPERATURE_PLACES);
    struct raising out = raise(w, &wanted);
    for (size_t n = 1; n + 1 < out.step_count; n++)
        cr_expect_leq(out.steps[n].at - out.steps[n - 1].at, SECONDS_PER_DAY);
    cr_expect_eq(out.steps[7].kind, RAISE_STIR);
    cr_expect_eq(out.steps[8].kind, RAISE_FEED, "after eight days");
    cr_expect_eq(out.steps[8].day, 9);
    world_free(w);
}

/* --- the clock --- */

static void check_clock(struct world *w, const char *begins, const char *zone)
{
    set_zone(w, zone);
    struct raising_wanted wanted = usual(w);
    wanted.begins = at_clock(w, begins, "20:00");
    struct raising out = raise(w, &wanted);
    date first, day;
    int minutes;
    zone_wall(w->reckoning.zone, wanted.begins, &first, &minutes);
    for (size_t n = 0; n < out.step_count; n++) {
        zone_wall(w->reckoning.zone, out.steps[n].at, &day, &minutes);
        cr_expect(minutes == 20 * 60 || minutes == 8 * 60, "%d at step %zu", minutes, n);
        cr_expect_eq(out.steps[n].day, day - first + 1);
        if (n > 0) cr_expect_gt(out.steps[n].at, out.steps[n - 1].at);
    }
    cr_expect_eq(day - first, 5);
    cr_expect_eq(minutes, 20 * 60);
}

Test(raising, keeps_the_clock_time_over_a_clock_change)
{
    struct world *w = world_new();
    check_clock(w, "2027-03-26", "Europe/London");
    check_clock(w, "2027-10-28", "Europe/London");
    check_clock(w, "2027-03-12", "America/New_York");
    check_clock(w, "2027-05-10", "Asia/Kathmandu");
    struct raising_wanted wanted = usual(w);
    set_zone(w, "Europe/London");
    wanted.begins = at_clock(w, "2027-10-29", "09:30");
    struct raising out = raise(w, &wanted);
    cr_expect_eq(out.ready - wanted.begins, 5 * SECONDS_PER_DAY + 3600, "an hour more");
    wanted.begins += 17;
    cr_expect_eq(raise(w, &wanted).ready, out.ready + 17, "seconds are kept");
    world_free(w);
}

/* --- weights --- */

static void check_step(const struct raising_wanted *wanted, const struct raising_step *s,
                       int64_t before)
{
    fixed water = 0;
    cr_expect_eq(s->before_mg, before);
    cr_expect(s->discard_mg >= 0 && s->keep_mg >= 0 && s->flour_mg >= 0 && s->water_mg >= 0);
    cr_expect_eq(s->keep_mg, s->before_mg - s->discard_mg);
    cr_expect_eq(s->after_mg, s->keep_mg + s->flour_mg + s->water_mg + s->sweetener_mg);
    cr_assert(
        fixed_muldiv(s->flour_mg, wanted->hydration_pct, PERCENT_WHOLE, ROUND_HALF_EVEN, &water));
    cr_expect_eq(s->water_mg, (int64_t)water);
    cr_expect_str_not_empty(s->look);
    if (s->kind == RAISE_STIR || s->kind == RAISE_READY) {
        cr_expect_eq(s->after_mg, s->before_mg, "nothing goes in or out");
        cr_expect_eq(s->discard_mg, 0);
    } else if (s->kind == RAISE_FEED) {
        cr_expect_leq(s->flour_mg, 2 * s->keep_mg + (s->keep_mg == wanted->keep_mg),
                      "no feed is too large for a young starter");
    }
    cr_expect_eq(s->kind == RAISE_MIX, before == 0);
}

static void check_programme(const struct raising_wanted *wanted, const struct raising *out)
{
    int64_t before = 0, flour = 0, water = 0, discard = 0, sweetener = 0;
    for (size_t n = 0; n < out->step_count; n++) {
        const struct raising_step *s = &out->steps[n];
        check_step(wanted, s, before);
        if (n > 0) cr_expect_gt(s->at, out->steps[n - 1].at);
        before = s->after_mg;
        flour += s->flour_mg;
        water += s->water_mg;
        discard += s->discard_mg;
        sweetener += s->sweetener_mg;
    }
    cr_expect_eq(out->flour_mg, flour);
    cr_expect_eq(out->water_mg, water);
    cr_expect_eq(out->discard_mg, discard);
    cr_expect_eq(sweetener, wanted->sweetener_mg);
    cr_expect_eq(flour + water + sweetener - discard, before);
    bool usual = out->steps[out->step_count - 2].keep_mg == wanted->keep_mg;
    int64_t over = before - wanted->ready_mg;
    int64_t most = usual ? 2 + wanted->hydration_pct / PERCENT_WHOLE : 0;
    cr_expect(over >= 0 && over <= most, "%lld over", (long long)over);
}

Test(raising, weights_hang_together_to_the_milligram)
{
    struct world *w = world_new();
    srandom(6);
    for (int i = 0; i < 3000; i++) {
        struct raising_wanted wanted = usual(w);
        wanted.begins += random() % (400 * SECONDS_PER_DAY);
        wanted.hydration_pct = i % 3 == 0 ? pct("100") : random() % pct("200");
        wanted.c = units("12", TEMPERATURE_PLACES) + random() % units("27", TEMPERATURE_PLACES);
        wanted.keep_mg = 1 + random() % (i % 2 == 0 ? mg("1000") : 100);
        wanted.ready_mg = 1 + random() % (i % 5 == 0 ? mg("100000") : mg("2000"));
        wanted.sweetener_mg = i % 4 == 0 ? random() % mg("10") : 0;
        struct raising out = raise(w, &wanted);
        if (!out.too_cold) check_programme(&wanted, &out);
    }
    world_free(w);
}

Test(raising, round_weights_are_met_exactly)
{
    struct world *w = world_new();
    static const char *const ready[] = {"60", "100", "150", "151", "333", "500", "5000", "20000"};
    for (size_t i = 0; i < sizeof ready / sizeof *ready; i++) {
        struct raising_wanted wanted = usual(w);
        wanted.ready_mg = mg(ready[i]);
        struct raising out = raise(w, &wanted);
        check_programme(&wanted, &out);
        cr_expect_eq(out.steps[out.step_count - 1].after_mg, mg(ready[i]), "%s g", ready[i]);
    }
    world_free(w);
}

Test(raising, a_spoon_of_sweetener_goes_into_the_first_mix)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    wanted.sweetener_mg = mg("7.5");
    struct raising out = raise(w, &wanted);
    check_programme(&wanted, &out);
    cr_expect_eq(out.steps[0].sweetener_mg, mg("7.5"));
    cr_expect_eq(out.steps[0].after_mg, mg("107.5"));
    cr_expect_eq(out.steps[2].discard_mg, mg("57.5"));
    world_free(w);
}

/* --- what is said --- */

static bool said(const char *words)
{
    for (size_t i = 0; raising_cautions[i]; i++)
        if (strstr(raising_cautions[i], words)) return true;
    return false;
}

/* tests/sources/11_safety.csv: honey (Quebec INSPQ, UK FSA), raw flour (FDA, FSA). */
Test(raising, cautions_say_what_they_must)
{
    struct arena *arena = arena_new(0);
    struct csv table = csv_read(arena, "11_safety.csv");
    size_t found = 0;
    for (size_t n = 0; n < table.count; n++) {
        const char *name = csv_cell(&table, n, "case");
        if (strcmp(name, "honey") == 0) {
            cr_expect(strstr(raising_caution_sweetener, "Honey is never for infants"));
            cr_expect(strstr(raising_caution_sweetener, csv_cell(&table, n, "expected")));
            found++;
        } else if (strcmp(name, "raw-flour") == 0) {
            cr_expect(said("Do not taste it raw"));
            found++;
        }
    }
    cr_expect_eq(found, 2);
    cr_expect(strstr(raising_caution_sweetener, "food-safety rules of your place come before"));
    cr_expect(said("Wash your hands, the jar"));
    cr_expect(said("mould") && said("pink, orange or red"));
    cr_expect(said("food-safety rules of your place come before"));
    arena_free(arena);
}

Test(raising, says_that_a_bad_smell_is_normal_at_first)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    struct raising out = raise(w, &wanted);
    cr_expect(strstr(out.steps[1].look, "false start"));
    cr_expect(strstr(out.steps[1].look, "unpleasant smell is normal"));
    cr_expect(strstr(out.steps[out.step_count - 1].look, "three feeds in a row"));
    world_free(w);
}

/* --- trouble --- */

static void expect_refused(struct world *w, const struct raising_wanted *wanted)
{
    struct raising out;
    fails_reset(&w->fails, 0);
    cr_expect_not(raising_of(&w->reckoning, wanted, &out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
}

Test(raising, what_cannot_be_weighed_is_told)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    wanted.keep_mg = INT64_MAX / 2;
    expect_refused(w, &wanted);
    wanted.keep_mg = INT64_MAX;
    expect_refused(w, &wanted);
    wanted.keep_mg = 0;
    expect_refused(w, &wanted);
    wanted = usual(w);
    wanted.ready_mg = 0;
    expect_refused(w, &wanted);
    wanted = usual(w);
    wanted.sweetener_mg = INT64_MAX;
    expect_refused(w, &wanted);
    wanted.sweetener_mg = -1;
    expect_refused(w, &wanted);
    wanted = usual(w);
    wanted.keep_mg = mg("50000");
    wanted.hydration_pct = INT64_MAX;
    expect_refused(w, &wanted);
    wanted.hydration_pct = -1;
    expect_refused(w, &wanted);
    wanted = usual(w);
    wanted.begins = at_clock(w, "9999-12-30", "12:00");
    expect_refused(w, &wanted);
    world_free(w);
}

Test(raising, short_memory_is_told)
{
    struct world *w = world_new();
    struct raising_wanted wanted = usual(w);
    struct raising out;
    arena_fail_nth(1);
    cr_expect_not(raising_of(&w->reckoning, &wanted, &out));
    arena_fail_nth(0);
    cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
    fails_reset(&w->fails, 0);
    cr_expect(raising_of(&w->reckoning, &wanted, &out));
    world_free(w);
}
