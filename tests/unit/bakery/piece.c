/* The weight of one piece, and the decimals of money. */
#include "bakery/piece.h"

#include "bakery/currency.h"
#include "world.h"

#include "csv.h"

#include <criterion/criterion.h>

TestSuite(piece, .timeout = 30);

static struct product product_of(struct part *parts, size_t count, int64_t bake_loss)
{
    return (struct product){.parts = parts, .part_count = count, .bake_loss_pct = bake_loss};
}

Test(piece, weighs_its_parts)
{
    struct part parts[] = {{.mg = mg("900")}, {.mg = mg("12.5")}};
    struct product product = product_of(parts, 2, pct("12"));
    cr_expect_eq(piece_raw_mg(&product), mg("912.5"));
    cr_expect_eq(piece_baked_mg(&product), mg("803"));
}

Test(piece, halves_go_to_the_even_milligram)
{
    struct part parts[] = {{.mg = 1}};
    struct product product = product_of(parts, 1, pct("50"));
    cr_expect_eq(piece_baked_mg(&product), 0);
    parts[0].mg = 3;
    cr_expect_eq(piece_baked_mg(&product), 2);
}

Test(piece, too_heavy_is_no_weight)
{
    struct part parts[] = {{.mg = ORDER_WEIGHT_MAX_MG}, {.mg = 1}};
    struct product product = product_of(parts, 1, 0);
    cr_expect_eq(piece_raw_mg(&product), ORDER_WEIGHT_MAX_MG);
    product.part_count = 2;
    cr_expect_eq(piece_raw_mg(&product), -1);
    cr_expect_eq(piece_baked_mg(&product), -1);
}

Test(piece, many_stay_in_range)
{
    cr_expect(pieces_in_range(1000000, mg("1000000")));
    cr_expect_not(pieces_in_range(1000000, mg("1000000") + 1));
    cr_expect(pieces_in_range(1000000, 0));
}

/* tests/sources/09_currency_minor_units.csv: ISO 4217. */
Test(currency, minor_units_of_iso_4217)
{
    struct arena *arena = arena_new(0);
    struct csv csv = csv_read(arena, "09_currency_minor_units.csv");
    for (size_t i = 0; i < csv.count; i++) {
        const char *code = csv_cell(&csv, i, "code");
        cr_expect_eq(currency_places(code), (int)units(csv_cell(&csv, i, "iso4217_digits"), 0),
                     "%s", code);
    }
    cr_expect_gt(csv.count, 10);
    arena_free(arena);
}

Test(currency, has_three_capitals)
{
    cr_expect(currency_form("EUR"));
    cr_expect_not(currency_form("eur"));
    cr_expect_not(currency_form("EURO"));
    cr_expect_not(currency_form("E1R"));
    cr_expect_not(currency_form(""));
}
