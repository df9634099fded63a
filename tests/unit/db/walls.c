/* The wall between bakeries, as the server's connection meets it. */
#include "database.h"

#include <criterion/criterion.h>

enum { PLENTY_MS = 5000 };

TestSuite(walls, .timeout = 60);

struct visit {
    int64_t bakery;  /* to enter; 0: none */
    int64_t put_for; /* insert a customer for this bakery; 0: none */
    const char *code;
    int64_t moved_to; /* move one's own customers to this bakery; 0: none */
    int64_t seen;     /* customers of any bakery */
};

static bool visit(struct tx *tx, void *context)
{
    struct visit *visit = context;
    struct args args;
    if (visit->bakery != 0 && !tx_enter_bakery(tx, visit->bakery, "visitor")) return false;
    if (visit->put_for != 0) {
        args_init(&args, tx);
        args_whole(&args, visit->put_for);
        args_text(&args, visit->code);
        if (!tx_execute(tx, "customer_put_for", &args, NULL)) return false;
    }
    if (visit->moved_to != 0) {
        args_init(&args, tx);
        args_whole(&args, visit->moved_to);
        if (!tx_execute(tx, "customer_move_to", &args, NULL)) return false;
    }
    return ask_whole(tx, "customer_count_all", &visit->seen);
}

Test(walls, stand_between_bakeries)
{
    struct bench bench;
    bench_open(&bench, PLENTY_MS);
    struct visit first = {.bakery = 1, .put_for = 1, .code = "corner-cafe"};
    cr_assert(bench_run(&bench, TX_WRITE, visit, &first));
    cr_expect_eq(first.seen, 1);

    struct visit stranger = {.bakery = 2};
    cr_assert(bench_run(&bench, TX_READ, visit, &stranger));
    cr_expect_eq(stranger.seen, 0);

    struct visit nobody = {.bakery = 0};
    cr_assert(bench_run(&bench, TX_READ, visit, &nobody));
    cr_expect_eq(nobody.seen, 0);

    struct visit intruder = {.bakery = 2, .put_for = 1, .code = "slipped-in"};
    cr_assert_not(bench_run(&bench, TX_WRITE, visit, &intruder));
    bench_fault(&bench, FAIL_INTERNAL, "");

    struct visit giver = {.bakery = 1, .moved_to = 2};
    cr_assert_not(bench_run(&bench, TX_WRITE, visit, &giver));
    bench_fault(&bench, FAIL_INTERNAL, "");

    struct visit homeless = {.bakery = 0, .put_for = 1, .code = "from-nowhere"};
    cr_assert_not(bench_run(&bench, TX_WRITE, visit, &homeless));
    bench_fault(&bench, FAIL_INTERNAL, "");

    struct visit unknown = {.bakery = 99, .put_for = 99, .code = "no-such-bakery"};
    cr_assert_not(bench_run(&bench, TX_WRITE, visit, &unknown));

    cr_expect_eq(test_whole(test_database(),
                            "SELECT count(*) FROM morrowloaf.customer"
                            " WHERE bakery_id IN (1, 2, 99)"),
                 1);
    bench_close(&bench);
}

static bool enter_two(struct tx *tx, void *context)
{
    int64_t *seen = context;
    return tx_enter_bakery(tx, 3, "visitor") && ask_whole(tx, "customer_count_all", &seen[0]) &&
           tx_enter_bakery(tx, 4, "visitor") && ask_whole(tx, "customer_count_all", &seen[1]) &&
           tx->bakery_id == 4;
}

Test(walls, move_when_another_bakery_is_entered)
{
    struct bench bench;
    int64_t seen[2] = {-1, -1};
    test_sql(test_database(),
             "INSERT INTO morrowloaf.bakery (bakery_id) VALUES (3), (4);"
             "INSERT INTO morrowloaf.customer (bakery_id, code, name)"
             " VALUES (3, 'a', 'A'), (3, 'b', 'B'), (4, 'c', 'C')");
    bench_open(&bench, PLENTY_MS);
    cr_assert(bench_run(&bench, TX_READ, enter_two, seen));
    cr_expect_eq(seen[0], 2);
    cr_expect_eq(seen[1], 1);
    struct visit nobody = {.bakery = 0};
    cr_assert(bench_run(&bench, TX_READ, visit, &nobody));
    cr_expect_eq(nobody.seen, 0, "the bakery outlived its transaction");
    bench_close(&bench);
}
