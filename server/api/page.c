/* Pages of lists. */
#include "api/page.h"

#include "base/arena.h"
#include "base/decimal.h"

#include <inttypes.h>
#include <string.h>

bool page_read(struct request *request, struct page *page)
{
    const char *limit = request_query(request, "limit");
    page->limit = PAGE_DEFAULT;
    page->after = request_query(request, "after");
    if (limit == NULL) return true;
    if (decimal_parse(limit, strlen(limit), 0, &page->limit) == DECIMAL_OK && page->limit >= 1 &&
        page->limit <= PAGE_MAX)
        return true;
    return fail_add(&request->fails, FAIL_INVALID, "", "limit must be a whole number from 1 to %d",
                    PAGE_MAX);
}

size_t page_shown(const struct page *page, size_t count)
{
    return count > (size_t)page->limit ? (size_t)page->limit : count;
}

void page_end(struct request *request, const struct page *page, size_t count, const char *last)
{
    struct json_writer *json = &request->reply.json;
    json_close(json);
    if (count <= (size_t)page->limit) {
        json_put_null(json, "next");
        return;
    }
    struct text next;
    text_init(&next, request->arena, 4096);
    text_addf(&next, "%s?limit=%" PRId64 "&after=%s", request->path, page->limit, last);
    for (size_t i = 0; i < request->query_count; i++) {
        const struct param *query = &request->query[i];
        if (strcmp(query->name, "limit") != 0 && strcmp(query->name, "after") != 0)
            text_addf(&next, "&%s=%s", query->name, query->value);
    }
    json_put_text(json, "next", next.data);
}
