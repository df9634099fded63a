/* The route table: what fits, and what is allowed where nothing does. */
#include "http/router.h"
#include "base/arena.h"

#include <criterion/criterion.h>

TestSuite(router, .timeout = 20);

static const struct route table[] = {{.method = "GET", .pattern = "/api/v1"},
                                     {.method = "POST", .pattern = "/api/v1/formulas/preview"},
                                     {.method = "GET", .pattern = "/api/v1/formulas"},
                                     {.method = "GET", .pattern = "/api/v1/formulas/{code}"},
                                     {.method = "PUT", .pattern = "/api/v1/formulas/{code}"},
                                     {.method = "DELETE", .pattern = "/api/v1/formulas/{code}"},
                                     {.method = "DELETE", .pattern = "/api/v1/tokens/{name}"},
                                     {.method = "GET", .pattern = "/a/{one}/b/{two}/{three}"},
                                     {.method = NULL}};

static struct request request;

static const struct route *find(const char *method, const char *path)
{
    request.method = method;
    request.path = path;
    route_find(table, &request);
    return request.route;
}

static void begin(void)
{
    request = (struct request){.arena = arena_new(0)};
    fails_init(&request.fails, request.arena);
}

static void end(void)
{
    arena_free(request.arena);
}

Test(router, takes_parameters_by_name, .init = begin, .fini = end)
{
    cr_assert_eq(find("GET", "/a/x/b/y-1/z"), &table[7]);
    cr_expect_str_eq(request_param(&request, "one"), "x");
    cr_expect_str_eq(request_param(&request, "two"), "y-1");
    cr_expect_str_eq(request_param(&request, "three"), "z");
    cr_expect_str_eq(request_param(&request, "four"), "");
}

Test(router, head_finds_get, .init = begin, .fini = end)
{
    cr_expect_eq(find("HEAD", "/api/v1/formulas/rye"), &table[3]);
    cr_expect_str_eq(request.method, "HEAD");
}

Test(router, the_first_that_fits_is_taken, .init = begin, .fini = end)
{
    cr_expect_eq(find("POST", "/api/v1/formulas/preview"), &table[1]);
    cr_expect_eq(find("GET", "/api/v1/formulas/preview"), &table[3]);
    cr_expect_eq(find("GET", "/api/v1"), &table[0]);
}

Test(router, unknown_paths_have_no_route_and_allow_nothing, .init = begin, .fini = end)
{
    static const char *const paths[] = {"/",
                                        "/api/v1/",
                                        "/api/v",
                                        "/api/v1/formulas/",
                                        "/api/v1//formulas",
                                        "/api/v1/formulas/rye/",
                                        "/api/v1/formulas/rye/more",
                                        "/api/v1/formulasx",
                                        "/a/x/b/y/",
                                        "/a//b/y/z",
                                        ""};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        cr_expect_null(find("GET", paths[i]), "%s", paths[i]);
        cr_expect_null(request.allow, "%s", paths[i]);
    }
}

Test(router, a_wrong_method_tells_the_right_ones_once, .init = begin, .fini = end)
{
    cr_expect_null(find("PATCH", "/api/v1/formulas/rye"));
    cr_expect_str_eq(request.allow, "GET, HEAD, PUT, DELETE");
    cr_expect_null(find("PATCH", "/api/v1/formulas/preview"));
    cr_expect_str_eq(request.allow, "POST, GET, HEAD, PUT, DELETE");
    cr_expect_null(find("HEAD", "/api/v1/tokens/one"));
    cr_expect_str_eq(request.allow, "DELETE");
    cr_expect_null(find("get", "/api/v1/formulas"));
    cr_expect_str_eq(request.allow, "GET, HEAD");
}

Test(router, short_memory_is_remembered, .init = begin, .fini = end)
{
    arena_fail_nth(1);
    cr_expect_null(find("GET", "/api/v1/formulas/rye"));
    cr_expect(arena_failed(request.arena));
}

Test(router, dates_are_checked, .init = begin, .fini = end)
{
    date day;
    find("GET", "/api/v1/formulas/2027-02-28");
    cr_expect(request_date(&request, "code", &day));
    cr_expect_eq(day, date_from_civil(2027, 2, 28));
    find("GET", "/api/v1/formulas/2027-02-29");
    cr_expect_not(request_date(&request, "code", &day));
    cr_expect_eq(fails_code(&request.fails), FAIL_INVALID);
}
