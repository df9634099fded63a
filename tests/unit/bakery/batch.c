/* Batches and scales. */
#include "world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>

TestSuite(batch, .timeout = 30);

static fixed grams(const char *text)
{
    return fixed_from(mg(text), WEIGHT_PLACES);
}

Test(batch, as_few_as_the_mixer_takes)
{
    struct mixer spiral = {.code = "spiral", .min_mg = mg("5000"), .max_mg = mg("50000")};
    cr_expect_eq(batch_count(grams("100"), &spiral), 1);
    cr_expect_eq(batch_count(grams("50000"), &spiral), 1);
    cr_expect_eq(batch_count(grams("50000.001"), &spiral), 2);
    cr_expect_eq(batch_count(grams("100000"), &spiral), 2);
    cr_expect_eq(batch_count(grams("100000.001"), &spiral), 3);
    cr_expect_eq(batch_count(0, &spiral), 1);
    cr_expect_eq(batch_count(grams("100000"), NULL), 1);
}

/* Two full mixers reached by sums of thirds are two batches, not three. */
Test(batch, rounding_noise_makes_no_batch)
{
    struct mixer spiral = {.code = "spiral", .max_mg = mg("50000")};
    cr_expect_eq(batch_count(grams("100000") + 500, &spiral), 2);
    cr_expect_eq(batch_count(grams("100000") - 500, &spiral), 2);
    cr_expect_eq(batch_count(grams("100000") + 1000000, &spiral), 3, "a nanogram is no noise");
}

Test(batch, more_than_can_be_counted)
{
    struct mixer tiny = {.code = "tiny", .max_mg = 1};
    cr_expect_eq(batch_count(FIXED_MAX, &tiny), INT64_MAX);
}

static const struct bakery scales = {
    .scale_mg = 5000, .small_scale_mg = 100, .small_below_mg = 100000};

/* grams, own division (0: none), what is weighed */
static const struct {
    const char *grams;
    const char *own;
    const char *weighed;
} cases[] = {
    {"102.499", "0", "100"},
    {"102.5", "0", "105"},
    {"107.5", "0", "110"},
    {"1002.5", "0", "1005"},
    {"0", "0", "0"},
    {"99.999", "0", "100"},
    {"100", "0", "100"},
    {"100", "7", "98"},
    {"100.001", "0", "100"},
    {"3.149", "0", "3.1"},
    {"3.15", "0", "3.2"},
    {"3.25", "0", "3.3"},
    {"0.049", "0", "0"},
    {"0.05", "0", "0.1"},
    {"250.4", "1", "250"},
    {"250.5", "1", "251"},
    {"250.25", "0.5", "250.5"},
    {"40.26", "1", "40"},
    {"99.96", "1", "100"},
    {"3.149", "0.01", "3.15"},
    {"40", "50", "50"},
};

Test(batch, the_nearest_division_halves_up)
{
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cr_expect_eq(weigh(&scales, mg(cases[i].own), grams(cases[i].grams)), mg(cases[i].weighed),
                     "%s on %s: %ld", cases[i].grams, cases[i].own,
                     weigh(&scales, mg(cases[i].own), grams(cases[i].grams)));
}

Test(batch, halves_survive_rounding_noise)
{
    fixed noise[] = {-50000, -777, -1, 0, 1, 777, 49999};
    for (size_t i = 0; i < sizeof noise / sizeof *noise; i++) {
        cr_expect_eq(weigh(&scales, 0, grams("102.5") + noise[i]), mg("105"));
        cr_expect_eq(weigh(&scales, 0, grams("3.15") + noise[i]), mg("3.2"));
        cr_expect_eq(weigh(&scales, 0, grams("100") + noise[i]), mg("100"));
    }
    cr_expect_eq(weigh(&scales, 0, grams("102.5") - 1000000), mg("100"));
}

Test(batch, without_a_small_scale_the_large_one_weighs_all)
{
    struct bakery b = {.scale_mg = 5000, .small_scale_mg = 0, .small_below_mg = 100000};
    cr_expect_eq(weigh(&b, 0, grams("3.15")), mg("5"));
    cr_expect_eq(weigh(&b, mg("0.5"), grams("3.15")), mg("3"));
}

Test(batch, what_does_not_fit_is_the_largest_number)
{
    cr_expect_eq(weigh(&scales, 0, FIXED_MAX), INT64_MAX);
}
