/* Postings on the wire. */
#include "api/posting_body.h"

#include "api/amount_body.h"
#include "api/number.h"
#include "api/page.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "http/request.h"

#include <inttypes.h>

bool posting_find(struct request *request, int64_t number, struct posting **posting)
{
    struct posting_filter filter = {
        .number = number, .from = DATE_FIRST, .to = DATE_LAST, .limit = 1};
    size_t count;
    if (!posting_select(request->tx, &filter, posting, &count)) return false;
    if (count == 0) *posting = NULL;
    return true;
}

static void write_batch(struct json_writer *json, const struct posting *posting)
{
    if (posting->formula == NULL) {
        json_put_null(json, "batch");
        return;
    }
    json_open_object(json, "batch");
    json_put_date(json, "date", posting->mixing_date);
    json_put_text(json, "formula", posting->formula);
    json_put_whole(json, "batch", posting->batch);
    json_close(json);
}

static void write_head(struct json_writer *json, const struct day *day,
                       const struct posting *posting)
{
    json_put_whole(json, "number", posting->number);
    json_put_text(json, "kind", stock_kinds[posting->kind]);
    json_put_date(json, "date", posting->date);
    json_put_instant(json, "at", posting->at, day->reckoning.zone);
    json_put_text(json, "by", posting->by);
    json_put_text(json, "reason", posting->reason);
    json_put_text(json, "supplier", posting->supplier);
    json_put_text(json, "starter", posting->starter);
    json_put_whole_or_null(json, "log_entry", posting->log_entry, posting->log_entry > 0);
    json_put_whole_or_null(json, "reverses", posting->reverses, posting->reverses > 0);
    json_put_whole_or_null(json, "reversed_by", posting->reversed_by, posting->reversed_by > 0);
    write_batch(json, posting);
}

static void write_line(struct json_writer *json, const struct day *day, const struct moved *moved)
{
    const struct ingredient *ingredient = catalogue_ingredient_of(&day->catalogue,
                                                                  moved->ingredient);
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_whole(json, "lot", moved->lot);
    json_put_text(json, "lot_mark", moved->lot_mark);
    json_put_text(json, "place", moved->place);
    amount_write(json, "", ingredient->unit, moved->delta);
    json_close(json);
}

/* Movements come by rising number of their posting, postings by falling number. */
static void write_postings(struct json_writer *json, const struct day *day,
                           const struct posting *postings, size_t count, const struct moved *moved,
                           size_t end)
{
    for (size_t i = 0; i < count; i++) {
        size_t begin = end;
        while (begin > 0 && moved[begin - 1].posting == postings[i].number)
            begin--;
        json_open_object(json, NULL);
        write_head(json, day, &postings[i]);
        json_open_list(json, "lines");
        for (size_t k = begin; k < end; k++)
            write_line(json, day, &moved[k]);
        json_close(json);
        json_close(json);
        end = begin;
    }
}

bool postings_write(struct request *request, struct json_writer *json, const struct day *day,
                    const struct posting *postings, size_t count)
{
    struct moved *moved;
    size_t moved_count;
    int64_t *numbers = arena_array(request->arena, count, sizeof *numbers);
    if (numbers == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < count; i++)
        numbers[i] = postings[i].number;
    if (!moved_select(request->tx, numbers, count, &moved, &moved_count)) return false;
    write_postings(json, day, postings, count, moved, moved_count);
    return true;
}

/* --- as a resource --- */

static bool is_of(const struct posting_resource *resource, const struct posting *posting)
{
    return resource->kind == STOCK_KINDS || resource->kind == posting->kind;
}

bool posting_answer(struct request *request, const struct posting_resource *resource, int status,
                    int64_t number)
{
    struct day day;
    struct posting *posting;
    if (!day_open(request, &day) || !posting_find(request, number, &posting)) return false;
    if (posting == NULL || !is_of(resource, posting))
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no %s %" PRId64,
                        resource->name, number);
    if (!resource->write(request, reply_json(request, status), &day, posting, 1)) return false;
    reply_etag(request);
    return true;
}

bool posting_get(struct request *request, const struct posting_resource *resource)
{
    int64_t number;
    return number_of_path(request, "number", resource->name, &number) &&
           posting_answer(request, resource, 200, number);
}

bool posting_list(struct request *request, const struct posting_resource *resource,
                  struct posting_filter *filter)
{
    struct day day;
    struct page page;
    struct posting *postings;
    size_t count, shown = 0;
    if (!page_read_numbered(request, &page, &filter->before) || !day_open(request, &day))
        return false;
    filter->limit = page.limit + 1;
    if (resource->kind != STOCK_KINDS) filter->kind = stock_kinds[resource->kind];
    if (!posting_select(request->tx, filter, &postings, &count)) return false;
    struct json_writer *json = page_open(request);
    while (shown < count && page_takes_number(request, &page, postings[shown].number))
        shown++;
    if (!resource->write(request, json, &day, postings, shown)) return false;
    page_close(request, &page);
    return true;
}
