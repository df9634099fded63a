/* A bakery of loaves and tins, and asking it whether it can take more. */
#include "offer_world.h"

#include <criterion/criterion.h>
#include <string.h>

/* --- a bakery --- */

struct ripening levain_seen[1] = {{10000, 20000, 20000, 24 * 10000, 360}};

void use(struct world *w, const char *code, size_t stage, enum stage_use uses)
{
    the_formula(w, code)->stages[stage].uses = uses;
}

static void levain(struct world *w)
{
    starter(w, "levain", "100", "wheat 80, rye 20");
    struct starter *of = the_starter(w, "levain");
    of->keep_mg = mg("100");
    of->ripenings = levain_seen;
    of->ripening_count = sizeof levain_seen / sizeof *levain_seen;
    of->stays_ripe_minutes = 180;
    of->stands_c = 24 * 10000;
    of->feed_within_minutes = 1440;
    of->rest_feed_days = 7;
    of->wake_feeds = 2;
}

/* A loaf takes 100 g of levain; its dough begins 14 hours before half past six, the tins' 4. */
struct world *loaf_bakery(void)
{
    struct world *w = world_new();
    w->catalogue.bakery.feed_from = w->catalogue.bakery.feed_to = NO_CLOCK;
    levain(w);
    mixer(w, "spiral", "5000", "50000");
    formula(w, "country", BASIS_FINAL, "wheat 100, water 70, starter levain 20, salt 2");
    stages(w, "country", "mix 20, bulk 180, proof 540, bake 40, cool 60");
    use(w, "country", 0, USES_MIXER);
    use(w, "country", 3, USES_OVEN);
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, yeast 2");
    stages(w, "white", "mix 15, bulk 90, proof 60, bake 30, cool 45");
    use(w, "white", 0, USES_MIXER);
    use(w, "white", 3, USES_OVEN);
    product(w, "loaf", "country 960");
    product(w, "tin", "white 860");
    product(w, "card", "seeds 10");
    open_world(w);
    return w;
}

void one_oven(struct world *w, int64_t decks, int64_t preheat)
{
    static struct oven one;
    one = (struct oven){.code = "deck", .decks = decks, .places = 1, .preheat_minutes = preheat};
    w->catalogue.bakery.ovens = &one;
    w->catalogue.bakery.oven_count = 1;
}

instant at_clock(const struct world *w, const char *day, const char *clock)
{
    int minutes = 0;
    cr_assert(clock_parse(clock, &minutes));
    return zone_instant(w->reckoning.zone, day_of(day), minutes);
}

/* --- asking --- */

static const struct pot_state no_log[4] = {{.entries = 0}};

struct offer_world as_known(struct world *w, instant now, const struct pot_state *pots)
{
    return (struct offer_world){.reckoning = &w->reckoning,
                                .now = now,
                                .demands = w->demands,
                                .demand_count = w->demand_count,
                                .pots = pots ? pots : no_log};
}

struct offer ask_with(struct world *w, const struct pot_state *pots, instant now, const char *day,
                      const char *code, int64_t pieces)
{
    struct offer out;
    struct offer_world known = as_known(w, now, pots);
    cr_assert(offer_of(&known, day_of(day), at_product(w, code), pieces, &out), "%s",
              w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
    cr_expect_eq(out.yes, out.reason.code == NULL);
    cr_expect_eq(out.yes, out.possible == pieces);
    if (!out.yes) cr_expect_not_null(out.reason.text);
    return out;
}

struct offer ask(struct world *w, instant now, const char *day, const char *code, int64_t pieces)
{
    return ask_with(w, NULL, now, day, code, pieces);
}

/* What is said to be possible is, and one more is not. */
void expect_possible(struct world *w, const struct pot_state *pots, instant now, const char *day,
                     const char *code, const struct offer *told)
{
    if (told->yes) return;
    if (told->possible > 0)
        cr_expect(ask_with(w, pots, now, day, code, told->possible).yes, "%ld", told->possible);
    cr_expect_not(ask_with(w, pots, now, day, code, told->possible + 1).yes, "%ld + 1",
                  told->possible);
    if (told->possible_from > 0) {
        cr_expect(ask_with(w, pots, now, day, code, told->possible_from).yes);
        cr_expect_str_eq(ask_with(w, pots, now, day, code, told->possible_from - 1).reason.code,
                         "batch-small");
    }
}

struct offer refused(struct world *w, const struct pot_state *pots, instant now, const char *code,
                     int64_t pieces, const char *reason)
{
    struct offer told = ask_with(w, pots, now, "2027-05-11", code, pieces);
    cr_assert_not(told.yes);
    cr_expect_str_eq(told.reason.code, reason);
    expect_possible(w, pots, now, "2027-05-11", code, &told);
    return told;
}

struct pot_state fed(instant at, const char *grams)
{
    int64_t part = mg(grams) / 5;
    return (struct pot_state){.entries = 2,
                              .last_at = at,
                              .on_hand_mg = mg(grams),
                              .fed = true,
                              .feeds_awake = 2,
                              .feed = {.number = 2,
                                       .kind = POT_FED,
                                       .at = at,
                                       .on_hand_mg = mg(grams),
                                       .seed_mg = part,
                                       .flour_mg = 2 * part,
                                       .water_mg = 2 * part,
                                       .has_c = true,
                                       .c = 24 * 10000}};
}
