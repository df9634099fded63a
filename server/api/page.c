/* Pages of lists. */
#include "api/page.h"

#include "api/number.h"
#include "base/arena.h"
#include "base/decimal.h"

#include <inttypes.h>
#include <string.h>

bool page_read(struct request *request, struct page *page)
{
    const char *limit = request_query(request, "limit");
    *page = (struct page){.limit = PAGE_DEFAULT, .after = request_query(request, "after")};
    if (limit == NULL) return true;
    if (decimal_parse(limit, strlen(limit), 0, &page->limit) == DECIMAL_OK && page->limit >= 1 &&
        page->limit <= PAGE_MAX)
        return true;
    return fail_add(&request->fails, FAIL_INVALID, "", "limit must be a whole number from 1 to %d",
                    PAGE_MAX);
}

bool page_read_numbered(struct request *request, struct page *page, int64_t *before)
{
    *before = 0;
    if (!page_read(request, page)) return false;
    if (page->after == NULL || number_parse(page->after, before)) return true;
    return fail_add(&request->fails, FAIL_INVALID, "", "after must be the number of an entry");
}

struct json_writer *page_open(struct request *request)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_open_list(json, "items");
    return json;
}

bool page_takes(struct page *page, const char *key)
{
    if (page->shown == page->limit) {
        page->more = true;
        return false;
    }
    page->shown++;
    page->last = key;
    return true;
}

bool page_takes_number(struct request *request, struct page *page, int64_t number)
{
    return page_takes(page, arena_printf(request->arena, "%" PRId64, number));
}

/* RFC 3986: everything but unreserved characters as %XX, byte by byte. */
static void add_encoded(struct text *text, const char *value)
{
    static const char unreserved[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
        "0123456789-._~";
    for (; *value != '\0'; value++) {
        if (strchr(unreserved, *value) != NULL)
            text_add(text, value, 1);
        else
            text_addf(text, "%%%02X", (unsigned)(unsigned char)*value);
    }
}

static const char *next_address(struct request *request, const struct page *page)
{
    struct text next;
    text_init(&next, request->arena, 4096);
    text_addf(&next, "%s?limit=%" PRId64 "&after=%s", request->path, page->limit, page->last);
    for (size_t i = 0; i < request->query_count; i++) {
        const struct param *query = &request->query[i];
        if (strcmp(query->name, "limit") == 0 || strcmp(query->name, "after") == 0) continue;
        text_add_string(&next, "&");
        add_encoded(&next, query->name);
        text_add_string(&next, "=");
        add_encoded(&next, query->value);
    }
    return text_ok(&next) ? next.data : NULL;
}

void page_close_items(struct request *request, const struct page *page)
{
    struct json_writer *json = &request->reply.json;
    json_close(json);
    json_put_text(json, "next", page->more ? next_address(request, page) : NULL);
}

void page_end(struct request *request)
{
    json_close(&request->reply.json);
    reply_etag(request);
}

void page_close(struct request *request, const struct page *page)
{
    page_close_items(request, page);
    page_end(request);
}
