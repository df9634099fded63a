/* Arguments that go out and columns that come back. */
#include "database.h"

#include <criterion/criterion.h>
#include <string.h>

enum { PLENTY_MS = 5000 };

TestSuite(values, .timeout = 60);

static bool scalars(struct tx *tx, void *context)
{
    (void)context;
    struct args args;
    struct rows rows;
    if (!tx_enter_bakery(tx, 7, NULL)) return false;
    args_init(&args, tx);
    args_text(&args, "Pain de l'\"été\"\\ {NULL}\n");
    args_whole(&args, INT64_MIN);
    args_whole_or_null(&args, 5, false);
    args_bool(&args, true);
    args_date(&args, date_from_civil(2028, 2, 29));
    args_clock(&args, 389);
    args_clock(&args, NO_CLOCK);
    if (!tx_query(tx, "type_scalars", &args, &rows)) return false;
    cr_assert_eq(rows.count, 1);
    cr_assert(rows_next(&rows));
    cr_expect_str_eq(row_text(&rows), "Pain de l'\"été\"\\ {NULL}\n");
    cr_expect_eq(row_whole(&rows), INT64_MIN);
    cr_expect(row_is_null(&rows));
    cr_expect_eq(row_whole(&rows), 0);
    cr_expect(row_bool(&rows));
    cr_expect_eq(row_date(&rows), date_from_civil(2028, 2, 29));
    cr_expect_eq(row_clock(&rows), 389);
    cr_expect_eq(row_clock(&rows), NO_CLOCK);
    cr_expect_eq(row_whole(&rows), 7);
    cr_expect_not(rows_next(&rows));
    return true;
}

Test(values, of_every_kind_come_back)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, scalars, NULL));
    bench_close(&bench);
}

static bool text_lists(struct tx *tx, void *context)
{
    static const char *const texts[] = {"",     "plain", NULL, "NULL",    "null", "a,b",
                                        "{a}",  "\"q\"", "\\", "\\\"",    " ",    "two\nlines",
                                        "brød", "}",     "\t", "end\\\\", NULL};
    enum { COUNT = sizeof texts / sizeof texts[0] };
    struct args args;
    struct rows rows;
    (void)context;
    args_init(&args, tx);
    args_texts(&args, texts, COUNT);
    if (!tx_query(tx, "type_texts", &args, &rows)) return false;
    cr_assert_eq(rows.count, COUNT);
    for (size_t i = 0; rows_next(&rows); i++) {
        const char *text = row_text(&rows);
        cr_assert_eq(text == NULL, texts[i] == NULL, "element %zu", i);
        if (text != NULL) cr_expect_str_eq(text, texts[i]);
        cr_expect_eq(row_bool(&rows), texts[i] == NULL);
    }
    args_init(&args, tx);
    args_texts(&args, NULL, 0);
    if (!tx_query(tx, "type_texts", &args, &rows)) return false;
    cr_expect_eq(rows.count, 0);
    cr_expect_not(rows_next(&rows));
    return true;
}

Test(values, in_lists_of_texts_come_back)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, text_lists, NULL));
    bench_close(&bench);
}

static bool whole_lists(struct tx *tx, void *context)
{
    static const int64_t wholes[] = {0, -1, INT64_MAX, INT64_MIN, INT64_MIN + 1};
    struct args args;
    struct rows rows;
    (void)context;
    args_init(&args, tx);
    args_wholes(&args, wholes, 5);
    if (!tx_query(tx, "type_wholes", &args, &rows)) return false;
    cr_assert_eq(rows.count, 5);
    for (size_t i = 0; rows_next(&rows); i++) {
        cr_expect_eq(row_is_null(&rows), wholes[i] == INT64_MIN);
        cr_expect_eq(row_whole(&rows), wholes[i] == INT64_MIN ? 0 : wholes[i]);
    }
    args_init(&args, tx);
    args_wholes(&args, NULL, 0);
    if (!tx_query(tx, "type_wholes", &args, &rows)) return false;
    cr_expect_eq(rows.count, 0);
    return true;
}

Test(values, in_lists_of_numbers_come_back)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, whole_lists, NULL));
    bench_close(&bench);
}

/* Beside the list: one date, or none. */
static bool date_lists(struct tx *tx, void *context)
{
    static const date dates[] = {0, -1, DATE_FIRST, NO_DATE, DATE_LAST, 20000};
    struct args args;
    struct rows rows;
    (void)context;
    for (size_t count = 0; count <= 6; count += 6) {
        args_init(&args, tx);
        args_dates(&args, dates, count);
        args_date_or_null(&args, 7, count > 0);
        if (!tx_query(tx, "type_dates", &args, &rows)) return false;
        cr_assert_eq(rows.count, (int)count);
        for (size_t i = 0; rows_next(&rows); i++) {
            cr_expect_eq(row_is_null(&rows), dates[i] == NO_DATE);
            cr_expect_eq(row_date(&rows), dates[i] == NO_DATE ? 0 : dates[i]);
            cr_expect_eq(row_date(&rows), 7);
        }
    }
    args_init(&args, tx);
    args_dates(&args, dates, 1);
    args_date_or_null(&args, 7, false);
    if (!tx_query(tx, "type_dates", &args, &rows) || !rows_next(&rows)) return false;
    row_date(&rows);
    cr_expect(row_is_null(&rows));
    return true;
}

Test(values, in_lists_of_dates_come_back)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, date_lists, NULL));
    bench_close(&bench);
}

static bool nulls(struct tx *tx, void *context)
{
    struct args args;
    struct rows rows;
    (void)context;
    args_init(&args, tx);
    if (!tx_query(tx, "type_nulls", &args, &rows) || !rows_next(&rows)) return false;
    cr_expect(row_is_null(&rows));
    cr_expect_null(row_text(&rows));
    cr_expect_eq(row_whole(&rows), 0);
    cr_expect_not(row_bool(&rows));
    cr_expect_eq(row_date(&rows), 0);
    cr_expect_eq(row_clock(&rows), NO_CLOCK);
    cr_expect_eq(row_instant(&rows), 0);
    args_init(&args, tx);
    args_text(&args, "2026-03-29 01:00:00+01:00");
    if (!tx_query(tx, "type_instant", &args, &rows) || !rows_next(&rows)) return false;
    cr_expect_eq(row_instant(&rows), 1774742400);
    args_init(&args, tx);
    return tx_query(tx, "type_none", &args, &rows) && !rows_next(&rows);
}

Test(values, that_are_null_read_as_nothing)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, nulls, NULL));
    bench_close(&bench);
}

/* --- defects --- */

struct misreading {
    const char *text;
    enum { AS_WHOLE, AS_BOOL, AS_DATE, AS_CLOCK, TOO_MANY, TOO_EARLY } as;
};

static bool misread(struct tx *tx, void *context)
{
    const struct misreading *misreading = context;
    struct args args;
    struct rows rows;
    if (!put_probe(tx, "misread", 1)) return false;
    args_init(&args, tx);
    args_text(&args, misreading->text);
    if (!tx_query(tx, "type_odd", &args, &rows)) return false;
    if (misreading->as == TOO_EARLY) return row_text(&rows) == NULL;
    if (!rows_next(&rows)) return false;
    switch (misreading->as) {
    case AS_WHOLE:
        return row_whole(&rows) == 0;
    case AS_BOOL:
        return !row_bool(&rows);
    case AS_DATE:
        return row_date(&rows) == 0;
    case AS_CLOCK:
        return row_clock(&rows) == NO_CLOCK;
    default:
        row_text(&rows);
        return row_text(&rows) == NULL;
    }
}

/* What is read wrongly must not be stored or answered. */
Test(values, that_are_misread_fail_the_transaction)
{
    static const struct misreading list[] = {
        {"", AS_WHOLE},          {"1.5", AS_WHOLE},  {"9223372036854775808", AS_WHOLE},
        {"twelve", AS_WHOLE},    {"true", AS_BOOL},  {"infinity", AS_DATE},
        {"2026-02-30", AS_DATE}, {"1440", AS_CLOCK}, {"-1", AS_CLOCK},
        {"x", TOO_MANY},         {"x", TOO_EARLY},
    };
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        struct misreading misreading = list[i];
        cr_assert_not(bench_run(&bench, TX_WRITE, misread, &misreading), "%zu", i);
        bench_fault(&bench, FAIL_INTERNAL, "");
    }
    cr_expect_eq(probes("misread"), 0);
    bench_close(&bench);
}

static bool too_many(struct tx *tx, void *context)
{
    struct args args;
    (void)context;
    args_init(&args, tx);
    for (int i = 0; i < ARGS_MAX; i++)
        args_whole(&args, i);
    return tx_execute(tx, "probe_count", &args, NULL);
}

Test(values, that_are_too_many_are_a_defect)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    cr_assert_not(bench_run(&bench, TX_READ, too_many, NULL));
    bench_fault(&bench, FAIL_INTERNAL, "");
    bench_close(&bench);
}
