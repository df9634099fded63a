/* Offers that the store binds: to the last milligram, from the right day on, and never for what was
 * short already. */
#include "offer_world.h"
#include "random_world.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(offer_flour, .timeout = 60);

/* A loaf takes 500 g of wheat (100 of 192 of 960 g), of which its levain brings none, and 100 g of
 * levain: 40 g of wheat, 10 g of rye. Its dough is mixed on the evening before. */
static const char *const bread_day = "2027-05-11";

static const struct pot_state no_logs[4] = {{.entries = 0}};

static struct world *store_bakery(void)
{
    struct world *w = loaf_bakery();
    w->catalogue.bakery.mixers[0].min_mg = 0;
    return w;
}

static struct offer_stock some(const struct world *w, const char *code, int64_t usable)
{
    return (struct offer_stock){.ingredient = at_ingredient(w, code), .usable = usable};
}

static struct offer_world knows(struct world *w, const struct offer_stock *stock, size_t count)
{
    struct offer_world known = as_known(w, at_clock(w, "2027-05-10", "13:00"), NULL);
    known.store = (struct offer_store){.stock = stock,
                                       .stock_count = count,
                                       .demands = w->demands,
                                       .demand_count = w->demand_count};
    return known;
}

static struct offer ask_store(struct world *w, const struct offer_world *known, const char *day,
                              const char *code, int64_t pieces)
{
    struct offer out;
    cr_assert(offer_of(known, day_of(day), at_product(w, code), pieces, &out), "%s",
              w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
    cr_expect_eq(out.yes, out.possible == pieces);
    return out;
}

static struct offer flour_short(struct world *w, const struct offer_world *known, const char *code,
                                int64_t pieces)
{
    struct offer told = ask_store(w, known, bread_day, code, pieces);
    cr_assert_not(told.yes);
    cr_expect_str_eq(told.reason.code, "flour-short");
    cr_expect_str_eq(told.reason.text, "there is not enough");
    cr_expect_eq(told.reason.starter, NOT_FOUND);
    cr_expect_eq(told.reason.formula, NOT_FOUND);
    if (told.possible > 0) cr_expect(ask_store(w, known, bread_day, code, told.possible).yes);
    cr_expect_not(ask_store(w, known, bread_day, code, told.possible + 1).yes);
    return told;
}

Test(offer_flour, the_last_milligram_suffices_and_one_less_does_not)
{
    struct world *w = store_bakery();
    order(w, bread_day, "loaf", 30, "");
    struct offer_stock stock = some(w, "wheat", mg("20000"));
    struct offer_world known = knows(w, &stock, 1);
    cr_expect(ask_store(w, &known, bread_day, "loaf", 10).yes);
    stock.usable--;
    struct offer told = flour_short(w, &known, "loaf", 10);
    cr_expect_eq(told.reason.short_mg, 1);
    cr_expect_eq(told.reason.ingredient, at_ingredient(w, "wheat"));
    cr_expect_eq(told.possible, 9);
    world_free(w);
}

/* 860 g of tin are 172 parts of which wheat is 100: 500 g. Seven pieces of thirds do not come out
 * even, and are judged exactly. */
Test(offer_flour, amounts_that_do_not_come_out_even_are_judged_exactly)
{
    struct world *w = store_bakery();
    the_product(w, "tin")->parts[0].mg = mg("571");
    /* 7 x 571 x 100 / 172 g = 2323.837209... g */
    struct offer_stock stock = some(w, "wheat", mg("2323.838"));
    struct offer_world known = knows(w, &stock, 1);
    cr_expect(ask_store(w, &known, bread_day, "tin", 7).yes);
    stock.usable = mg("2323.837");
    cr_expect_eq(flour_short(w, &known, "tin", 7).reason.short_mg, 1, "0.21 mg, rounded up");
    world_free(w);
}

Test(offer_flour, what_is_not_kept_binds_nothing)
{
    struct world *w = store_bakery();
    struct offer_stock stock[] = {some(w, "rye", 0), some(w, "bag", 0)};
    struct offer_world known = knows(w, stock, 2);
    cr_expect(ask_store(w, &known, bread_day, "tin", 500).yes, "no rye in it");
    cr_expect(ask_store(w, &known, bread_day, "loaf", 50).yes, "in the levain, which has no log");
    known.store.stock_count = 0;
    known.store.stock = NULL;
    cr_expect(ask_store(w, &known, bread_day, "loaf", 50).yes);
    world_free(w);
}

/* The store lacks 5 kg for what is ordered already. */
Test(offer_flour, only_what_is_added_is_told)
{
    struct world *w = store_bakery();
    order(w, bread_day, "loaf", 30, "");
    order(w, "2027-05-12", "tin", 8, "");
    struct offer_stock stock = some(w, "wheat", mg("10000"));
    struct offer_world known = knows(w, &stock, 1);
    struct offer told = flour_short(w, &known, "tin", 2);
    cr_expect_eq(told.reason.short_mg, mg("1000"), "what is added, not what was short");
    cr_expect_eq(told.possible, 0);
    stock = some(w, "rye", 0);
    cr_expect(ask_store(w, &known, bread_day, "tin", 2).yes, "touches no rye");
    world_free(w);
}

Test(offer_flour, the_worst_ingredient_is_named)
{
    struct world *w = store_bakery();
    struct offer_stock stock[] = {some(w, "salt", 0), some(w, "wheat", 0), some(w, "yeast", 0)};
    struct offer_world known = knows(w, stock, 3);
    struct offer told = flour_short(w, &known, "tin", 4);
    cr_expect_eq(told.reason.ingredient, at_ingredient(w, "wheat"));
    cr_expect_eq(told.reason.short_mg, mg("2000"));
    world_free(w);
}

Test(offer_flour, what_is_due_by_the_mixing_date_counts)
{
    struct world *w = store_bakery();
    date mixing = day_of("2027-05-10");
    struct offer_stock stock = some(w, "wheat", mg("1000"));
    struct awaited awaited[] = {{at_ingredient(w, "wheat"), mixing, mg("1000")},
                                {at_ingredient(w, "rye"), mixing, mg("9000")},
                                {at_ingredient(w, "wheat"), mixing + 1, mg("9000")},
                                {at_ingredient(w, "wheat"), mixing - 3, mg("500")}};
    struct offer_world known = knows(w, &stock, 1);
    known.store.awaited = awaited;
    known.store.awaited_count = 4;
    cr_expect_eq(flour_short(w, &known, "tin", 10).possible, 5, "2.5 kg; one was due before");
    cr_expect(ask_store(w, &known, "2027-05-12", "tin", 23).yes, "mixed on the 11th: 11.5 kg");
    cr_expect_not(ask_store(w, &known, "2027-05-12", "tin", 24).yes);
    world_free(w);
}

/* What is taken today is no longer there tomorrow; what is there tomorrow is of no use today. */
Test(offer_flour, orders_of_other_days_take_of_the_same_store)
{
    struct world *w = store_bakery();
    order(w, bread_day, "tin", 10, "");
    order(w, "2027-05-12", "tin", 10, "");
    order(w, "2027-05-20", "tin", 100, "");
    struct offer_stock stock[] = {some(w, "wheat", mg("12000")), some(w, "salt", mg("99000"))};
    struct offer_world known = knows(w, stock, 2);
    cr_expect_eq(ask_store(w, &known, "2027-05-12", "tin", 9).possible, 4);
    cr_expect_eq(ask_store(w, &known, bread_day, "tin", 20).possible, 14,
                 "until its own night: nothing is known of when more comes");
    stock[0].orderable = stock[1].orderable = true;
    stock[0].more_on = day_of("2027-05-12");
    stock[1].more_on = day_of("2027-05-30");
    cr_expect_eq(ask_store(w, &known, bread_day, "tin", 20).possible, 4,
                 "it would be taken from tomorrow's bread");
    cr_expect(ask_store(w, &known, "2027-05-13", "tin", 500).yes, "mixed when more can be there");
    world_free(w);
}

Test(offer_flour, what_was_mixed_is_in_the_dough_already)
{
    struct world *w = store_bakery();
    order(w, bread_day, "tin", 10, "");
    struct offer_stock stock = some(w, "wheat", mg("2000"));
    struct posted_batch posted[] = {{day_of("2027-05-10"), at_formula(w, "white"), 1, mg("5160")},
                                    {day_of("2027-05-10"), at_formula(w, "country"), 1, mg("9000")},
                                    {day_of("2027-05-11"), at_formula(w, "white"), 1, mg("860")}};
    struct offer_world known = knows(w, &stock, 1);
    cr_expect_eq(ask_store(w, &known, bread_day, "tin", 3).possible, 0);
    known.store.posted = posted;
    known.store.posted_count = 3;
    cr_expect_eq(ask_store(w, &known, bread_day, "tin", 3).possible, 0, "four of ten are to come");
    stock.usable = mg("3000");
    cr_expect_eq(ask_store(w, &known, bread_day, "tin", 3).possible, 2);
    posted[0].dough_mg = mg("99000");
    cr_expect(ask_store(w, &known, bread_day, "tin", 3).yes, "all of it was mixed");
    known.store.posted_count = 1;
    cr_expect_eq(ask_store(w, &known, "2027-05-12", "tin", 9).possible, 6,
                 "too much of one night is nothing for the next");
    world_free(w);
}

/* 20 loaves take 2 kg of levain, of which 1.5 are in the pot: 0.5 kg are 200 g of wheat, 50 g of
 * rye. */
Test(offer_flour, of_a_starter_only_what_is_not_in_the_pot)
{
    struct world *w = store_bakery();
    struct pot_state pot = {.entries = 2, .on_hand_mg = mg("1500")};
    struct offer_stock stock[] = {some(w, "rye", mg("50")), some(w, "wheat", mg("10200"))};
    struct offer_world known = knows(w, stock, 2);
    the_starter(w, "levain")->ripening_count = 0; /* else the pot itself would bind */
    known.pots = &pot;
    cr_expect(ask_store(w, &known, bread_day, "loaf", 20).yes);
    stock[0].usable--;
    struct offer told = flour_short(w, &known, "loaf", 20);
    cr_expect_eq(told.reason.ingredient, at_ingredient(w, "rye"));
    cr_expect_eq(told.reason.short_mg, 1);
    cr_expect_eq(told.possible, 19);
    stock[0].usable++;
    stock[1].usable--;
    cr_expect_eq(flour_short(w, &known, "loaf", 20).reason.ingredient, at_ingredient(w, "wheat"));
    known.pots = no_logs;
    stock[0].usable = 0;
    stock[1].usable = mg("10000");
    cr_expect(ask_store(w, &known, bread_day, "loaf", 20).yes, "nobody knows of its pot");
    world_free(w);
}

Test(offer_flour, a_preferment_takes_its_flour_on_its_own_night)
{
    struct world *w = store_bakery();
    formula(w, "sponge", BASIS_FINAL, "wheat 100, water 60, yeast 0.1");
    stages(w, "sponge", "ferment 1440");
    formula(w, "white", BASIS_FINAL, "wheat 100, water 68, salt 2, formula sponge 80");
    stages(w, "white", "all 240");
    the_product(w, "tin")->parts[0].mg = mg("1000");
    open_world(w); /* 400 g of wheat, 320 g of sponge: 199.875 g of wheat */
    struct offer_stock stock = some(w, "wheat", mg("4000"));
    struct offer_world known = knows(w, &stock, 1);
    /* Ready on the 13th: the sponge is mixed on the 11th, the dough on the 12th, when 8 kg come. */
    struct awaited awaited = {at_ingredient(w, "wheat"), day_of("2027-05-12"), mg("8000")};
    known.store.awaited = &awaited;
    known.store.awaited_count = 1;
    cr_expect_eq(ask_store(w, &known, "2027-05-13", "tin", 40).possible, 20,
                 "20.004 by the dough, 20.01 by the sponge");
    awaited.amount = mg("80000");
    cr_expect_eq(ask_store(w, &known, "2027-05-13", "tin", 40).possible, 20, "the sponge's night");
    world_free(w);
}

/* --- monotone --- */

/* Whatever binds at a number of pieces binds at more of them; the figure grows with them. */
Test(offer_flour, more_pieces_are_never_easier)
{
    size_t refusals = 0, asked = 0;
    for (uint64_t seed = 1; seed <= 16; seed++) {
        struct world *w = random_world(seed);
        struct dice dice = {seed};
        random_orders(w, &dice, "2027-05-10", 5, 30);
        size_t count = w->catalogue.ingredient_count;
        struct offer_stock stock[64];
        struct awaited awaited[8];
        struct pot_state pots[64] = {{.entries = 0}};
        for (size_t i = 0; i < count; i++)
            stock[i] = (struct offer_stock){i, roll(&dice, 0, 900) * mg("1000"),
                                            roll(&dice, 0, 1) == 1,
                                            day_of("2027-05-10") + (date)roll(&dice, 0, 4)};
        for (size_t i = 0; i < 8; i++)
            awaited[i] = (struct awaited){(size_t)roll(&dice, 0, (int64_t)count - 1),
                                          day_of("2027-05-08") + (date)roll(&dice, 0, 5),
                                          roll(&dice, 0, 100) * mg("1000")};
        for (size_t i = 0; i < w->catalogue.starter_count; i++) {
            w->catalogue.starters[i].ripening_count = 0;
            pots[i] = (struct pot_state){.entries = roll(&dice, 0, 1),
                                         .on_hand_mg = roll(&dice, 0, 5000000)};
        }
        w->catalogue.bakery.mixer_count = 0; /* nothing else binds */
        struct offer_world known = knows(w, stock, count);
        known.now = at_clock(w, "2027-05-08", "13:00");
        known.store.awaited = awaited;
        known.store.awaited_count = 8;
        known.pots = pots;
        size_t product = (size_t)roll(&dice, 0, (int64_t)w->catalogue.product_count - 1);
        int64_t lacked = 0;
        for (int64_t pieces = 1; pieces <= 1024; pieces *= 2) {
            struct offer told;
            if (!offer_of(&known, day_of("2027-05-12"), product, pieces, &told))
                cr_assert_fail("%s", w->fails.items[0].text);
            asked++;
            if (!told.yes && strcmp(told.reason.code, "flour-short") != 0) break;
            cr_assert_geq(told.reason.short_mg, lacked, "seed %lu, %ld pieces", seed, pieces);
            cr_assert(told.yes == (told.reason.short_mg == 0));
            lacked = told.reason.short_mg;
            refusals += !told.yes;
        }
        world_free(w);
    }
    cr_expect(refusals > 30 && refusals < asked - 30, "%zu of %zu", refusals, asked);
}

/* --- what goes wrong --- */

Test(offer_flour, short_memory_is_told)
{
    bool done = false;
    for (long n = 1; !done; n++) {
        struct world *w = store_bakery();
        order(w, bread_day, "loaf", 5, "");
        struct offer_stock stock = some(w, "wheat", mg("3000"));
        struct offer_world known = knows(w, &stock, 1);
        struct offer out;
        arena_fail_nth(n);
        done = offer_of(&known, day_of(bread_day), at_product(w, "loaf"), 2, &out);
        arena_fail_nth(0);
        cr_expect_eq(done, !fails_any(&w->fails));
        if (!done) cr_assert_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
        if (done) cr_expect_str_eq(out.reason.code, "flour-short");
        world_free(w);
        cr_assert_lt(n, 100000);
    }
}

Test(offer_flour, what_does_not_fit_is_told)
{
    struct world *w = store_bakery();
    struct offer_stock stock = some(w, "wheat", INT64_MAX);
    struct awaited awaited = {at_ingredient(w, "wheat"), day_of("2027-05-10"), 1};
    struct offer_world known = knows(w, &stock, 1);
    struct offer out;
    known.store.awaited = &awaited;
    known.store.awaited_count = 1;
    cr_expect_not(offer_of(&known, day_of(bread_day), at_product(w, "loaf"), 2, &out));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}

Test(offer_flour, the_horizon_reaches_until_more_can_come)
{
    struct world *w = store_bakery();
    date first, last, sooner;
    instant now = at_clock(w, "2027-05-10", "13:00");
    struct offer_stock stock = some(w, "wheat", 0);
    offer_store_horizon(&w->reckoning, now, day_of(bread_day), &stock, 1, &first, &sooner);
    cr_expect_leq(first, day_of(bread_day));
    cr_expect_geq(sooner, day_of(bread_day));
    stock.orderable = true;
    stock.more_on = day_of("2027-05-20");
    offer_store_horizon(&w->reckoning, now, day_of(bread_day), &stock, 1, &first, &last);
    cr_expect_geq(last, day_of("2027-05-20"), "bread mixed on the 19th");
    cr_expect_gt(last, sooner);
    world_free(w);
}
