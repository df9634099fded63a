/* Short memory: whichever allocation fails, of the arena or inside the parser, the outcome is
 * FAIL_UNAVAILABLE, never a fault of the body, and nothing leaks.
 */
#include "body.h"

TestSuite(memory, .timeout = 60);

static const char good_order[] =
    "{\"name\":\"  Caf\\u00e9 \",\"customer\":\"corner-cafe\",\"note\":\"a \\\"quoted\\\" note\","
    "\"basis\":\"final\",\"price\":\"3.45\",\"weight\":68.125,\"date\":\"2027-03-28\","
    "\"inner\":{\"deep\":[1,2,3]},\"lines\":[{\"product\":\"rye\",\"pieces\":12},"
    "{\"product\":\"bun\",\"pieces\":2.0},{\"product\":\"roll\",\"pieces\":3}]}";

static const char faulty_order[] =
    "{\"name\":\"\",\"customer\":\"Corner\",\"note\":7,\"basis\":\"other\",\"price\":3.45,"
    "\"weight\":\"x\",\"date\":\"2027-02-30\",\"unknown\":{\"a\":[1.5]},\"inner\":[],"
    "\"lines\":[{\"product\":\"rye\"},{\"pieces\":0},3]}";

static void read_line(struct json_node item)
{
    struct json_object line;
    json_object_open(&line, item);
    json_code(&line, "product", JSON_REQUIRED);
    json_whole(&line, "pieces", JSON_REQUIRED, 1, 100, 0);
    json_object_close(&line);
}

static void read_inner(struct json_object *order)
{
    struct json_object inner;
    if (!json_object_member(order, "inner", JSON_REQUIRED, &inner)) return;
    struct json_list deep;
    struct json_node item;
    json_list_member(&inner, "deep", JSON_REQUIRED, 1, 5, &deep);
    while (json_list_next(&deep, &item))
        json_dump(&item);
    json_object_close(&inner);
}

/* Reads an order with every kind of member; whether all went well. */
static bool read_order(struct arena *arena, struct fails *fails, const char *text)
{
    static const char *const bases[] = {"final", "total", NULL};
    struct json_node root, item;
    if (!json_parse(arena, fails, text, strlen(text), &root)) return false;
    struct json_object order;
    json_object_open(&order, root);
    json_name(&order, "name", JSON_REQUIRED);
    json_code(&order, "customer", JSON_REQUIRED);
    json_text(&order, "note", JSON_OPTIONAL, 100);
    json_word(&order, "basis", JSON_REQUIRED, bases, 0);
    json_money(&order, "price", JSON_REQUIRED, 0, 10000000, 0);
    json_decimal(&order, "weight", JSON_REQUIRED, 3, 0, 1000000, 0);
    date day;
    json_date(&order, "date", JSON_REQUIRED, &day);
    read_inner(&order);
    struct json_list lines;
    json_list_member(&order, "lines", JSON_REQUIRED, 1, 5, &lines);
    while (json_list_next(&lines, &item))
        read_line(item);
    bool good = json_object_close(&order);
    return json_dump(&root) != NULL && good;
}

/* Fails each allocation in turn until none is left to fail; gives how many there were. */
static long fail_each(const char *text, enum fail_code without)
{
    for (long n = 1;; n++) {
        struct fails fails;
        struct arena *arena = arena_new(0);
        fails_init(&fails, arena);
        arena_fail_nth(n);
        bool good = read_order(arena, &fails, text);
        /* A counter that is left has not come to its end: no allocation failed. */
        bool hit = true;
        for (long i = 0; i < n && hit; i++)
            hit = !arena_fail_now();
        arena_fail_nth(0);
        enum fail_code code = fails_code(&fails);
        arena_free(arena);
        cr_assert_eq(code, hit ? FAIL_UNAVAILABLE : without, "allocation %ld: code %d", n,
                     (int)code);
        cr_assert_eq(good, code == FAIL_NONE, "allocation %ld", n);
        if (!hit) return n - 1;
        cr_assert_lt(n, 5000);
    }
}

Test(memory, a_good_body_is_never_called_bad)
{
    cr_assert_gt(fail_each(good_order, FAIL_NONE), 60);
}

Test(memory, a_faulty_body_is_not_judged_without_memory)
{
    cr_assert_gt(fail_each(faulty_order, FAIL_INVALID), 60);
}

Test(memory, a_malformed_body_is_not_judged_without_memory)
{
    cr_assert_gt(fail_each("{\"a\":[1,2,{\"b\":\"text\"}],\"a\":2}", FAIL_MALFORMED), 5);
}

/* The real allocator may fail as well: an arena of a few bytes. */
Test(memory, an_arena_at_its_limit_is_unavailable)
{
    struct arena *arena = arena_new(64);
    struct fails fails;
    fails_init(&fails, arena);
    cr_assert_not(read_order(arena, &fails, faulty_order));
    cr_assert_eq(fails_code(&fails), FAIL_UNAVAILABLE);
    arena_free(arena);
}
