/* Objects and lists: what is there, what is missing, what nobody asked for. */
#include "body.h"

#include <stdio.h>

TestSuite(object, .timeout = 20);

Test(object, an_order_is_read)
{
    struct body body;
    body_open(&body,
              "{\"customer\":\"corner-cafe\",\"date\":\"2027-03-28\",\"note\":null,"
              "\"lines\":[{\"product\":\"rye\",\"pieces\":12},"
              "{\"product\":\"bun\",\"pieces\":2.0}]}");
    struct json_object order;
    json_object_open(&order, body.root);
    cr_assert_str_eq(json_code(&order, "customer", JSON_REQUIRED), "corner-cafe");
    date day = 0;
    cr_assert(json_date(&order, "date", JSON_REQUIRED, &day));
    cr_assert_eq(day, date_from_civil(2027, 3, 28));
    cr_assert_null(json_text(&order, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS));
    struct json_list lines;
    json_list_member(&order, "lines", JSON_REQUIRED, 1, 200, &lines);
    cr_assert_eq(lines.length, 2);
    struct json_node item;
    int64_t pieces = 0;
    while (json_list_next(&lines, &item)) {
        struct json_object line;
        json_object_open(&line, item);
        cr_assert_not_null(json_code(&line, "product", JSON_REQUIRED));
        pieces += json_whole(&line, "pieces", JSON_REQUIRED, 1, 1000000, 0);
        cr_assert(json_object_close(&line));
    }
    cr_assert_eq(pieces, 14);
    cr_assert_str_eq(item.path, "/lines/1");
    cr_assert(json_object_close(&order));
    cr_assert_not(fails_any(&body.fails));
    body_close(&body);
}

Test(object, all_faults_are_found_together)
{
    struct body body;
    body_open(&body,
              "{\"date\":\"2027-02-29\",\"colour\":1,"
              "\"lines\":[{\"product\":\"Rye\",\"pieces\":1},{\"pieces\":0,\"x\":null}]}");
    struct json_object order;
    json_object_open(&order, body.root);
    cr_assert_null(json_code(&order, "customer", JSON_REQUIRED));
    date day = 4711;
    cr_assert_not(json_date(&order, "date", JSON_REQUIRED, &day));
    cr_assert_eq(day, 4711);
    struct json_list lines;
    json_list_member(&order, "lines", JSON_REQUIRED, 1, 200, &lines);
    struct json_node item;
    while (json_list_next(&lines, &item)) {
        struct json_object line;
        json_object_open(&line, item);
        json_code(&line, "product", JSON_REQUIRED);
        json_whole(&line, "pieces", JSON_REQUIRED, 1, 1000000, 0);
        cr_assert_not(json_object_close(&line));
    }
    cr_assert_not(json_object_close(&order));
    cr_assert_eq(body.fails.count, 7);
    expect_fault(&body, "/customer", "is required");
    expect_fault(&body, "/date", "must be a day of the calendar as YYYY-MM-DD");
    expect_fault(&body, "/lines/0/product", "must be a code");
    expect_fault(&body, "/lines/1/product", "is required");
    expect_fault(&body, "/lines/1/pieces", "must be a whole number from 1 to 1000000");
    expect_fault(&body, "/lines/1/x", "is not a member that is known here");
    expect_fault(&body, "/colour", "is not a member that is known here");
    cr_assert_eq(fails_code(&body.fails), FAIL_INVALID);
    body_close(&body);
}

Test(object, unknown_members_have_escaped_pointers)
{
    struct body body;
    body_open(&body, "{\"a/b\":1,\"m~n\":2,\"\":3,\"known\":true}");
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert(json_bool(&object, "known", JSON_OPTIONAL, false));
    cr_assert_not(json_object_close(&object));
    cr_assert_eq(body.fails.count, 3);
    expect_fault(&body, "/a~1b", "is not a member");
    expect_fault(&body, "/m~0n", "is not a member");
    expect_fault(&body, "/", "is not a member");
    body_close(&body);
}

Test(object, a_value_of_another_type_is_one_fault)
{
    static const char *const texts[] = {"[]", "1", "1.5", "\"x\"", "true", "null"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        struct body body;
        body_open(&body, texts[i]);
        cr_assert(body.parsed);
        struct json_object object;
        json_object_open(&object, body.root);
        cr_assert_null(json_name(&object, "name", JSON_REQUIRED));
        cr_assert_eq(json_whole(&object, "pieces", JSON_REQUIRED, 1, 9, -7), -7);
        struct json_object member;
        cr_assert_not(json_object_member(&object, "member", JSON_REQUIRED, &member));
        struct json_list list;
        json_list_member(&object, "list", JSON_REQUIRED, 1, 9, &list);
        struct json_node item;
        cr_assert_not(json_list_next(&list, &item));
        cr_assert_not(json_has(&object, "name"));
        cr_assert_not(json_object_close(&object), "%s", texts[i]);
        cr_assert_eq(body.fails.found, 1, "%s", texts[i]);
        expect_fault(&body, "", "must be an object");
        body_close(&body);
    }
}

Test(object, null_is_the_same_as_absent)
{
    struct body body;
    body_open(&body, "{\"a\":null,\"b\":null,\"c\":null,\"d\":null,\"e\":null}");
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert_not(json_has(&object, "a"));
    cr_assert_eq(json_whole(&object, "b", JSON_OPTIONAL, 1, 5, 3), 3);
    struct json_object member;
    cr_assert_not(json_object_member(&object, "c", JSON_OPTIONAL, &member));
    struct json_list list;
    json_list_member(&object, "d", JSON_OPTIONAL, 1, 5, &list);
    cr_assert_eq(list.length, 0);
    cr_assert(json_bool(&object, "absent", JSON_OPTIONAL, true));
    cr_assert_null(json_name(&object, "e", JSON_REQUIRED));
    cr_assert_not(json_object_close(&object));
    cr_assert_eq(body.fails.found, 1);
    expect_fault(&body, "/e", "is required");
    body_close(&body);
}

Test(object, members_that_are_objects)
{
    struct body body;
    body_open(&body, "{\"good\":{\"x\":1},\"wrong\":[],\"bad\":{\"y\":1}}");
    struct json_object object, member;
    json_object_open(&object, body.root);
    cr_assert(json_object_member(&object, "good", JSON_REQUIRED, &member));
    cr_assert_eq(json_whole(&member, "x", JSON_REQUIRED, 0, 9, 0), 1);
    cr_assert(json_object_close(&member));
    cr_assert_not(json_object_member(&object, "missing", JSON_REQUIRED, &member));
    cr_assert_not(json_object_member(&object, "wrong", JSON_OPTIONAL, &member));
    cr_assert_not(json_object_close(&member));
    cr_assert(json_object_member(&object, "bad", JSON_OPTIONAL, &member));
    cr_assert_str_eq(json_path(&member, "y"), "/bad/y");
    cr_assert_not(json_object_close(&member));
    cr_assert_not(json_object_close(&object));
    cr_assert_eq(body.fails.found, 3);
    expect_fault(&body, "/missing", "is required");
    expect_fault(&body, "/wrong", "must be an object");
    expect_fault(&body, "/bad/y", "is not a member");
    body_close(&body);
}

Test(object, faults_of_others_do_not_count_against_it)
{
    struct body body;
    body_open(&body, "{\"a\":1}");
    fail_add(&body.fails, FAIL_INVALID, "/elsewhere", "is wrong");
    struct json_object object;
    json_object_open(&object, body.root);
    cr_assert_eq(json_whole(&object, "a", JSON_REQUIRED, 0, 9, 0), 1);
    cr_assert(json_object_close(&object));
    json_object_open(&object, body.root);
    cr_assert(json_has(&object, "a"));
    cr_assert_not(json_fault(&object, "a", "must not be %d", 1));
    cr_assert_not(json_object_close(&object));
    expect_fault(&body, "/a", "must not be 1");
    body_close(&body);
}

Test(object, as_many_members_as_may_be_read)
{
    struct body body;
    body_open(&body, "{}");
    struct json_object object;
    json_object_open(&object, body.root);
    static char names[OBJECT_MEMBERS_MAX][8];
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < OBJECT_MEMBERS_MAX; i++) {
            snprintf(names[i], sizeof names[i], "m%d", i);
            cr_assert_not(json_has(&object, names[i]));
        }
    }
    cr_assert(json_object_close(&object));
    body_close(&body);
}

/* --- lists --- */

static void list_is(const char *text, size_t length, const char *words)
{
    struct body body;
    body_open(&body, text);
    struct json_object object;
    json_object_open(&object, body.root);
    struct json_list list;
    json_list_member(&object, "list", JSON_REQUIRED, 2, 3, &list);
    cr_assert_eq(list.length, length, "%s", text);
    size_t seen = 0;
    struct json_node item;
    while (json_list_next(&list, &item))
        seen++;
    cr_assert_eq(seen, length);
    cr_assert_eq(json_object_close(&object), words == NULL);
    cr_assert_eq(body.fails.found, words == NULL ? 0 : 1);
    if (words != NULL) expect_fault(&body, "/list", words);
    body_close(&body);
}

Test(object, lists_have_a_length)
{
    list_is("{\"list\":[1,2]}", 2, NULL);
    list_is("{\"list\":[1,2,null]}", 3, NULL);
    list_is("{\"list\":[1]}", 0, "must have 2 to 3 items, not 1");
    list_is("{\"list\":[1,2,3,4]}", 0, "must have 2 to 3 items, not 4");
    list_is("{\"list\":[]}", 0, "must have 2 to 3 items, not 0");
    list_is("{\"list\":{\"a\":1,\"b\":2}}", 0, "must be a list");
    list_is("{\"list\":\"ab\"}", 0, "must be a list");
    list_is("{\"list\":null}", 0, "is required");
    list_is("{}", 0, "is required");
}

Test(object, items_that_are_texts)
{
    struct body body;
    body_open(&body, "{\"list\":[\"gluten\",\"Soy\",7,null,\"\"]}");
    struct json_object object;
    json_object_open(&object, body.root);
    struct json_list list;
    struct json_node item;
    json_list_member(&object, "list", JSON_REQUIRED, 0, 9, &list);
    cr_assert(json_list_next(&list, &item));
    cr_assert_str_eq(json_item_text(&item, 6), "gluten");
    cr_assert_null(json_item_text(&item, 5));
    cr_assert(json_list_next(&list, &item));
    cr_assert_str_eq(json_item_text(&item, 5), "Soy");
    cr_assert(json_list_next(&list, &item));
    cr_assert_null(json_item_text(&item, 5));
    cr_assert(json_list_next(&list, &item));
    cr_assert_null(json_item_text(&item, 5));
    cr_assert(json_list_next(&list, &item));
    cr_assert_null(json_item_text(&item, 5));
    cr_assert_not(json_list_next(&list, &item));
    cr_assert_not(json_list_next(&list, &item));
    cr_assert_eq(body.fails.found, 4);
    expect_fault(&body, "/list/0", "must be text of 1 to 5 characters, not 6");
    expect_fault(&body, "/list/2", "must be text of 1 to 5 characters");
    expect_fault(&body, "/list/3", "must be text of 1 to 5 characters");
    expect_fault(&body, "/list/4", "must not be empty");
    body_close(&body);
}
