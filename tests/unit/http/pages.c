/* The pages: what is served, how it may be kept, and what never is. */
#include "bakehouse.h"
#include "http/static_files.h"
#include "wire.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>
#include <unistd.h>

TestSuite(pages, .timeout = 60, .init = bakehouse_start, .fini = bakehouse_stop);

static const struct answer *get(const char *path, const char *headers)
{
    char text[600];
    snprintf(text, sizeof text, "GET %s HTTP/1.1\r\n%s%s\r\n", path, HOST, headers);
    return wire_ask(bakehouse_port, text);
}

Test(pages, are_served_without_credentials)
{
    const struct answer *page = get("/", "");
    cr_expect_eq(page->status, 200);
    cr_expect_str_eq(page->body, "<!doctype html><title>bread</title>");
    cr_expect_str_eq(answer_header(page, "Content-Type"), "text/html; charset=utf-8");
    cr_expect_str_eq(answer_header(page, "Cache-Control"), "no-cache");
    cr_expect_eq(get("/index.html?x=1", "")->status, 200);
}

Test(pages, of_subfolders_and_empty_ones_too)
{
    const struct answer *script = get("/scripts/order.js", "");
    cr_expect_eq(script->status, 200);
    cr_expect_str_eq(answer_header(script, "Content-Type"), "text/javascript; charset=utf-8");
    const struct answer *style = get("/empty.css", "");
    cr_expect_eq(style->status, 200);
    cr_expect_eq(style->length, 0);
    cr_expect_str_eq(answer_header(style, "Content-Length"), "0");
}

Test(pages, carry_the_headers_that_protect_them)
{
    const struct answer *page = get("/", "");
    cr_expect_str_eq(answer_header(page, "Content-Security-Policy"),
                     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
                     "connect-src 'self'; font-src 'self'; manifest-src 'self'; "
                     "form-action 'self'; base-uri 'none'; frame-ancestors 'none'");
    cr_expect_str_eq(answer_header(page, "X-Content-Type-Options"), "nosniff");
    cr_expect_str_eq(answer_header(page, "Referrer-Policy"), "no-referrer");
    cr_expect_str_eq(answer_header(page, "Cross-Origin-Resource-Policy"), "same-origin");
}

Test(pages, that_are_kept_already_are_not_sent_again)
{
    char headers[200];
    snprintf(headers, sizeof headers, "If-None-Match: %s\r\n", answer_header(get("/", ""), "ETag"));
    const struct answer *kept = get("/", headers);
    cr_expect_eq(kept->status, 304);
    cr_expect_not_null(answer_header(kept, "ETag"));
    cr_expect_not_null(answer_header(kept, "Content-Security-Policy"));
    cr_expect_eq(get("/scripts/order.js", headers)->status, 200);
}

Test(pages, are_only_read)
{
    const struct answer *posted = wire_ask(bakehouse_port, "POST / HTTP/1.1\r\n" HOST "\r\n");
    cr_expect_eq(posted->status, 405);
    cr_expect_str_eq(answer_header(posted, "Allow"), "GET, HEAD");
    cr_expect_eq(wire_ask(bakehouse_port, "OPTIONS / HTTP/1.1\r\n" HOST "\r\n")->status, 405);
    const struct answer *head = wire_ask(bakehouse_port, "HEAD / HTTP/1.1\r\n" HOST "\r\n");
    cr_expect_eq(head->status, 200);
    cr_expect_str_eq(answer_header(head, "Content-Length"), "35");
}

Test(pages, no_address_leads_outside)
{
    static const char *const paths[] = {"/../outside.txt",
                                        "/..%2foutside.txt",
                                        "/%2e%2e/outside.txt",
                                        "/scripts/../..",
                                        "/scripts/../../outside.txt",
                                        "//outside.txt",
                                        "/scripts//order.js",
                                        "/./index.html",
                                        "/scripts/./order.js",
                                        "/scripts/../index.html",
                                        "/index.html%00.css",
                                        "/index.html/",
                                        "/scripts",
                                        "/scripts/",
                                        "/.secret",
                                        "/.hidden/page.html",
                                        "/link.txt",
                                        "/..\\outside.txt",
                                        "/%5c..%5coutside.txt",
                                        "/INDEX.HTML",
                                        "/index.html%20",
                                        "/etc/passwd",
                                        "/apiary.html",
                                        "/nothing"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        int status = get(paths[i], "")->status;
        cr_expect(status == 404 || status == 400, "%s: %d", paths[i], status);
    }
}

Test(pages, what_is_not_there_is_a_problem)
{
    const struct answer *missing = get("/no.html", "");
    cr_expect_eq(missing->status, 404);
    cr_expect_str_eq(answer_header(missing, "Content-Type"), "application/problem+json");
    cr_expect_not_null(answer_header(missing, "Content-Security-Policy"));
}

Test(pages, a_folder_that_cannot_be_read_stops_the_start)
{
    cr_expect_null(static_files_read("/no/such/folder"));
}

Test(pages, a_slash_at_the_folders_end_changes_nothing)
{
    char folder[300];
    snprintf(folder, sizeof folder, "%s//", bakehouse_settings.static_folder);
    struct static_files *files = static_files_read(folder);
    cr_assert_not_null(files);
    cr_expect_not_null(static_files_find(files, "/"));
    cr_expect_not_null(static_files_find(files, "/scripts/order.js"));
    cr_expect_null(static_files_find(files, "scripts/order.js"));
    static_files_free(files);
}
