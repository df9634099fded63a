/* /counts: what was found, and what that was off the book. */
#include "api/amount_body.h"
#include "api/count_body.h"
#include "api/counting.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/posting_body.h"
#include "bakery/purchase.h"
#include "base/arena.h"
#include "store/lot.h"
#include "store/supply.h"

#include <inttypes.h>
#include <string.h>

enum { COUNT_LINES_MAX = 500, PACKS_MOST = 100000 };

/* Packs of a line, still to be worked out into its amount. */
struct packs {
    int64_t count;
    const char *pointer;
};

struct count_request {
    struct posting posting;
    struct counted *lines;
    struct packs *packs; /* of each line */
    size_t count;
};

/* --- reading --- */

static void read_counted(struct json_object *line, const struct catalogue *catalogue,
                         struct counted *counted, struct packs *packs)
{
    counted->ingredient = stock_post_ingredient(line, catalogue);
    counted->lot = json_whole(line, "lot", JSON_OPTIONAL, 1, INT64_MAX, 0);
    counted->place = json_line(line, "place", JSON_OPTIONAL, PLACE_MAX_CHARACTERS);
    counted->lot_pointer = json_path(line, "lot");
    bool packed = json_has(line, "packs");
    packs->count = json_whole(line, "packs", JSON_OPTIONAL, 0, PACKS_MOST, 0);
    packs->pointer = json_path(line, "packs");
    if (counted->ingredient == NOT_FOUND) return;
    enum ingredient_unit unit = catalogue->ingredients[counted->ingredient].unit;
    counted->amount = amount_read(line, packed ? JSON_OPTIONAL : JSON_REQUIRED, unit, 0);
    counted->pointer = json_path(line, amount_member(unit));
}

static bool read_lines(struct json_object *body, const struct catalogue *catalogue,
                       struct count_request *wanted)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "lines", JSON_REQUIRED, 1, COUNT_LINES_MAX, &list);
    wanted->lines = arena_array(body->node.arena, list.length, sizeof *wanted->lines);
    wanted->packs = arena_array(body->node.arena, list.length, sizeof *wanted->packs);
    if (wanted->lines == NULL || wanted->packs == NULL) return fail_memory(body->node.fails);
    while (json_list_next(&list, &item)) {
        struct json_object line;
        json_object_open(&line, item);
        read_counted(&line, catalogue, &wanted->lines[wanted->count],
                     &wanted->packs[wanted->count]);
        json_object_close(&line);
        wanted->count++;
    }
    return true;
}

static bool read_count(struct request *request, const struct stock_post *post,
                       struct count_request *wanted)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    wanted->posting.date = stock_post_date(&body, "date", JSON_OPTIONAL, post->today);
    wanted->posting.reason = json_text(&body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    return read_lines(&body, &post->day.catalogue, wanted) && json_object_close(&body);
}

/* --- sacks and part-sacks --- */

static bool pack_of(struct request *request, const struct counted *line,
                    const struct supply *supplies, int64_t *pack)
{
    struct lot_filter filter = {.number = line->lot, .limit = 1};
    struct lot *lots;
    size_t count = 0;
    if (line->lot > 0 && !lot_select(request->tx, &filter, &lots, &count)) return false;
    *pack = count > 0 && lots[0].pack > 0 ? lots[0].pack : supplies[line->ingredient].pack;
    return true;
}

/* False with a fault. */
static bool add_packs(struct request *request, const struct supply *supplies,
                      const struct packs *packs, struct counted *line)
{
    int64_t pack, amount;
    if (packs->count == 0) return true;
    if (!pack_of(request, line, supplies, &pack)) return false;
    if (pack == 0)
        return fail_add(&request->fails, FAIL_INVALID, packs->pointer,
                        "it is not known what a pack of it holds");
    if (!purchase_amount(packs->count, pack, WEIGHT_MAX, &amount))
        return fail_add(&request->fails, FAIL_INVALID, packs->pointer,
                        "is more than the book can hold");
    line->amount += amount;
    return true;
}

static bool add_all_packs(struct request *request, struct stock_post *post,
                          struct count_request *wanted)
{
    bool right = true;
    const struct supply *supplies = supplies_load(request->tx, &post->day.catalogue,
                                                  wanted->posting.date);
    if (supplies == NULL) return false;
    for (size_t i = 0; i < wanted->count; i++)
        right = add_packs(request, supplies, &wanted->packs[i], &wanted->lines[i]) && right;
    return right;
}

static bool same(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* The same lot in the same place, here and there on the sheet, is counted once. */
static void join_lines(struct count_request *wanted)
{
    size_t kept = 0;
    for (size_t i = 0; i < wanted->count; i++) {
        struct counted *line = &wanted->lines[i];
        size_t k = 0;
        while (k < kept &&
               (wanted->lines[k].ingredient != line->ingredient ||
                wanted->lines[k].lot != line->lot || !same(wanted->lines[k].place, line->place)))
            k++;
        if (k < kept)
            wanted->lines[k].amount += line->amount;
        else
            wanted->lines[kept++] = *line;
    }
    wanted->count = kept;
}

/* --- the endpoints --- */

static const struct posting_resource counts = {"count", STOCK_COUNTED, counts_write};

bool post_count(struct request *request)
{
    struct stock_post post;
    struct count_request wanted = {.count = 0};
    if (!stock_post_open(request, &post) || !read_count(request, &post, &wanted) ||
        !add_all_packs(request, &post, &wanted))
        return false;
    join_lines(&wanted);
    if (!counting_post(request, &post, &wanted.posting, wanted.lines, wanted.count)) return false;
    reply_location(request, "/api/v1/counts/%" PRId64, wanted.posting.number);
    return posting_answer(request, &counts, 201, wanted.posting.number);
}

bool get_count(struct request *request)
{
    return posting_get(request, &counts);
}

bool list_counts(struct request *request)
{
    struct posting_filter filter = {.from = DATE_FIRST, .to = DATE_LAST};
    return posting_list(request, &counts, &filter);
}
