/* /mixing-lists/{date}/batches: what was really weighed into each batch, taken from the stock once.
 *
 * A batch is claimed first, then the logs of its starters are held in the order of their codes,
 * then the stock: so nobody waits in a circle, and of two that post the same batch one is refused.
 */
#include "api/batch_body.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/number.h"
#include "api/page.h"
#include "api/starter_taking.h"
#include "api/stock_post.h"
#include "bakery/catalogue.h"
#include "bakery/mixing.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "store/batch.h"
#include "store/starter_log.h"

#include <inttypes.h>
#include <string.h>

enum { BATCHES_MAX = 1000, AHEAD_SECONDS = 300 };

static const char *const line_members[] = {"ingredient", "starter", "formula", NULL};

/* A batch as it is told, and what is on the mixing list of it. */
struct batch_post {
    struct stock_post post;
    struct mixed_batch batch;
    size_t formula;
    bool timed;            /* "at" was told */
    bool listed;           /* lines were told */
    const struct mix *mix; /* NULL: not on the list */
    struct mixing_list list;
    size_t *indexes;          /* of each line's thing, in the catalogue */
    struct stock_take *takes; /* of each line; ingredient NOT_FOUND: not from stock */
    const char *batch_name;   /* "Batch 2 of Country loaf" */
};

/* --- reading --- */

/* Exactly one of ingredient, starter, formula, and that there is such a thing. */
static bool read_thing(struct json_object *line, const struct catalogue *catalogue,
                       struct batch_line *out, size_t *index)
{
    int found = 0;
    if (line->node.value == NULL) return false; /* no object, which is told already */
    for (int kind = 0; kind < 3; kind++) {
        if (!json_has(line, line_members[kind])) continue;
        found++;
        out->kind = (enum line_kind)kind;
        out->code = json_code(line, line_members[kind], JSON_REQUIRED);
    }
    if (found != 1)
        return fail_add(line->node.fails, FAIL_INVALID, line->node.path,
                        "must have exactly one of ingredient, starter and formula");
    if (out->code == NULL) return false;
    *index = catalogue_thing(catalogue, out->kind, out->code);
    return *index != NOT_FOUND ||
           json_fault(line, line_members[out->kind], "names something that does not exist");
}

static void read_line(struct json_object *line, struct batch_post *at, size_t n)
{
    const struct catalogue *catalogue = &at->post.day.catalogue;
    struct batch_line *out = &at->batch.lines[n];
    struct stock_take *take = &at->takes[n];
    bool known = read_thing(line, catalogue, out, &at->indexes[n]);
    out->mg = json_decimal(line, "g", JSON_REQUIRED, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    bool from_stock = known && out->kind == LINE_INGREDIENT;
    *take = (struct stock_take){.ingredient = from_stock ? at->indexes[n] : NOT_FOUND,
                                .amount = out->mg,
                                .pointer = json_path(line, "g"),
                                .lot_pointer = json_path(line, "lot")};
    take->lot = json_whole(line, "lot", JSON_OPTIONAL, 1, INT64_MAX, 0);
    if (known && take->lot != 0 && !from_stock) json_fault(line, "lot", "is for ingredients alone");
    if (from_stock && catalogue->ingredients[at->indexes[n]].unit != UNIT_GRAM)
        json_fault(line, "ingredient", "is counted by the piece: it cannot be weighed into a mix");
}

static bool make_lines(struct request *request, struct batch_post *at, size_t count)
{
    at->batch.lines = arena_array(request->arena, count, sizeof *at->batch.lines);
    at->indexes = arena_array(request->arena, count, sizeof *at->indexes);
    at->takes = arena_array(request->arena, count, sizeof *at->takes);
    at->batch.line_count = count;
    if (!at->batch.lines || !at->indexes || !at->takes) return fail_memory(&request->fails);
    return true;
}

static bool read_lines(struct request *request, struct json_object *body, struct batch_post *at)
{
    struct json_list list;
    struct json_node item;
    at->listed = json_has(body, "lines");
    json_list_member(body, "lines", JSON_OPTIONAL, 1, STOCK_LINES_MAX, &list);
    if (!make_lines(request, at, list.length)) return false;
    for (size_t n = 0; json_list_next(&list, &item); n++) {
        struct json_object line;
        json_object_open(&line, item);
        read_line(&line, at, n);
        json_object_close(&line);
    }
    return true;
}

static bool read_batch(struct request *request, struct batch_post *at)
{
    struct json_node root;
    struct json_object body;
    struct mixed_batch *batch = &at->batch;
    instant now = instant_now();
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    batch->formula = json_code(&body, "formula", JSON_REQUIRED);
    at->formula = batch->formula != NULL
                      ? catalogue_formula(&at->post.day.catalogue, batch->formula)
                      : NOT_FOUND;
    if (batch->formula != NULL && at->formula == NOT_FOUND)
        json_fault(&body, "formula", "names a formula that does not exist");
    batch->batch = json_whole(&body, "batch", JSON_REQUIRED, 1, BATCHES_MAX, 1);
    batch->mixed_at = now;
    at->timed = json_instant(&body, "at", JSON_OPTIONAL, &batch->mixed_at);
    if (batch->mixed_at > now + AHEAD_SECONDS)
        json_fault(&body, "at", "this has not happened yet");
    else if (batch->mixed_at > now)
        batch->mixed_at = now;
    return read_lines(request, &body, at) && json_object_close(&body);
}

/* --- what is on the list of it --- */

static bool reckon(struct request *request, struct batch_post *at)
{
    struct day *day = &at->post.day;
    date first, last;
    mixing_horizon(&day->reckoning, at->batch.mixing_date, &first, &last);
    if (!day_load_demands(request, day, first, last) ||
        !mixing_list_of(&day->reckoning, at->batch.mixing_date, day->demands, day->demand_count,
                        &at->list))
        return false;
    for (size_t i = 0; i < at->list.mix_count; i++)
        if (at->list.mixes[i].formula == at->formula) at->mix = &at->list.mixes[i];
    return true;
}

/* Without lines the batch is taken as it stands on the list. */
static bool take_lines_of_list(struct request *request, struct batch_post *at)
{
    const struct mix *mix = at->mix;
    const struct formula *formula = &at->post.day.catalogue.formulas[at->formula];
    if (mix == NULL)
        return fail_add(&request->fails, FAIL_INVALID, "/formula",
                        "is not on the mixing list of that date: say what was weighed");
    if (at->batch.batch > mix->batches)
        return fail_add(&request->fails, FAIL_INVALID, "/batch",
                        "the mixing list has only %" PRId64 " of it: say what was weighed",
                        mix->batches);
    if (!make_lines(request, at, formula->line_count)) return false;
    for (size_t n = 0; n < formula->line_count; n++) {
        const struct line *line = mix->lines[n].line;
        bool from_stock = line->kind == LINE_INGREDIENT;
        at->indexes[n] = line->index;
        at->batch.lines[n] = (struct batch_line){
            .kind = line->kind, .code = line->code, .mg = mix->lines[n].weigh_mg};
        at->takes[n] = (struct stock_take){.ingredient = from_stock ? line->index : NOT_FOUND,
                                           .amount = mix->lines[n].weigh_mg,
                                           .pointer = "",
                                           .lot_pointer = ""};
    }
    return true;
}

/* A preferment was ready when the mix began that takes it: that tells on whose list it stood. */
static void find_part_dates(struct batch_post *at)
{
    const struct reckoning *reckoning = &at->post.day.reckoning;
    instant begins = at->mix != NULL ? at->mix->begins : at->batch.mixed_at;
    for (size_t n = 0; n < at->batch.line_count; n++) {
        struct batch_line *line = &at->batch.lines[n];
        if (line->kind != LINE_FORMULA) continue;
        line->has_part_date = true;
        line->part_date = working_day(reckoning, mix_begins(reckoning, at->indexes[n], begins));
    }
}

static bool weigh_dough(struct request *request, struct mixed_batch *batch)
{
    for (size_t n = 0; n < batch->line_count; n++)
        batch->dough_mg += batch->lines[n].mg;
    return batch->dough_mg > 0 ||
           fail_add(&request->fails, FAIL_INVALID, "/lines", "nothing was weighed");
}

static bool is_part_of(const struct product *product, size_t formula)
{
    for (size_t k = 0; k < product->part_count; k++)
        if (product->parts[k].kind == LINE_FORMULA && product->parts[k].index == formula)
            return true;
    return false;
}

/* The bread days and products on the list that the dough is a direct part of. */
static bool find_purposes(struct request *request, struct batch_post *at)
{
    const struct catalogue *catalogue = &at->post.day.catalogue;
    struct mixed_batch *batch = &at->batch;
    batch->purposes = arena_array(request->arena, at->list.pieces_count, sizeof *batch->purposes);
    if (batch->purposes == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; at->mix != NULL && i < at->list.pieces_count; i++) {
        const struct mixing_pieces *pieces = &at->list.pieces[i];
        const struct product *product = &catalogue->products[pieces->product];
        if (is_part_of(product, at->formula))
            batch->purposes[batch->purpose_count++] = (struct batch_purpose){
                .bread_day = pieces->bread_day, .product = product->code};
    }
    return true;
}

/* --- posting --- */

/* The calendar date of the mixing, which is one of the two that the working day has. A batch that
 * is entered at another time is taken to have been mixed on the first. */
static date date_of(const struct batch_post *at)
{
    const struct reckoning *reckoning = &at->post.day.reckoning;
    date mixing_date = at->batch.mixing_date, day;
    int minutes;
    if (!at->timed && working_day(reckoning, at->batch.mixed_at) != mixing_date) return mixing_date;
    zone_wall(reckoning->zone, at->batch.mixed_at, &day, &minutes);
    return day < mixing_date ? mixing_date : day > mixing_date + 1 ? mixing_date + 1 : day;
}

/* Who was quicker. */
static bool posted_already(struct request *request, const struct batch_post *at)
{
    const struct mixed_batch *batch = &at->batch;
    struct batch_filter filter = {
        .mixing_date = batch->mixing_date, .formula = batch->formula, .batch = batch->batch};
    struct mixed_batch *found;
    size_t count;
    char clock[CLOCK_TEXT_SIZE] = "";
    date day;
    int minutes;
    if (!batch_select(request->tx, &filter, &found, &count)) return false;
    if (count == 0) return fail_add(&request->fails, FAIL_CONFLICT, "/batch", "was posted already");
    zone_wall(at->post.day.reckoning.zone, found[0].posted_at, &day, &minutes);
    clock_print(clock, minutes);
    return fail_add(&request->fails, FAIL_CONFLICT, "/batch", "was posted by %s at %s",
                    found[0].posted_by, clock);
}

static bool claim(struct request *request, struct batch_post *at, struct posting *posting)
{
    bool claimed;
    if (!posting_add(request->tx, posting)) return false;
    at->batch.posting = posting->number;
    if (!batch_claim(request->tx, &at->batch, &claimed)) return false;
    return claimed || posted_already(request, at);
}

static bool hold_starters(struct request *request, const struct batch_post *at)
{
    const struct catalogue *catalogue = &at->post.day.catalogue;
    for (size_t s = 0; s < catalogue->starter_count; s++) {
        bool taken = false, found;
        for (size_t n = 0; n < at->batch.line_count; n++)
            taken = taken || (at->batch.lines[n].kind == LINE_STARTER && at->indexes[n] == s);
        if (taken && !starter_log_lock(request->tx, catalogue->starters[s].code, &found))
            return false;
    }
    return true;
}

static bool take_starters(struct request *request, struct batch_post *at)
{
    bool right = hold_starters(request, at);
    for (size_t n = 0; right && n < at->batch.line_count; n++) {
        struct batch_line *line = &at->batch.lines[n];
        if (line->kind == LINE_STARTER)
            right = starter_taking_add(request, &at->post.day, at->indexes[n], line->mg,
                                       at->batch.mixed_at, at->batch_name, at->takes[n].pointer,
                                       &line->log_entry);
    }
    return right;
}

/* The takes of what stock is kept of, and the lots that were chosen where none is. */
static size_t kept_takes(struct request *request, struct batch_post *at)
{
    size_t kept = 0;
    for (size_t n = 0; n < at->batch.line_count; n++) {
        struct stock_take take = at->takes[n];
        if (take.ingredient == NOT_FOUND || take.amount == 0) continue;
        if (at->post.set.in[take.ingredient])
            at->takes[kept++] = take;
        else if (take.lot != 0)
            fail_add(&request->fails, FAIL_INVALID, take.lot_pointer,
                     "is no lot: no stock is kept of this");
    }
    return kept;
}

static bool take_stock(struct request *request, struct batch_post *at, struct posting *posting)
{
    struct stock_post *post = &at->post;
    struct stock_move *moves;
    size_t count;
    for (size_t n = 0; n < at->batch.line_count; n++)
        if (at->takes[n].ingredient != NOT_FOUND) post->set.in[at->takes[n].ingredient] = true;
    if (!stock_post_hold(request, post, posting->date, 0)) return false;
    size_t kept = kept_takes(request, at);
    return stock_post_take(request, post, posting->date, false, at->takes, kept, &moves, &count) &&
           !fails_any(&request->fails) &&
           moves_add(request->tx, posting, STOCK_MIXED, &post->day.catalogue, moves, count);
}

/* Both are asked, so that all that is missing is told at once. */
static bool store(struct request *request, struct batch_post *at)
{
    struct posting posting = {.kind = STOCK_MIXED, .date = date_of(at)};
    if (!claim(request, at, &posting)) return false;
    bool starters = take_starters(request, at);
    bool stock = take_stock(request, at, &posting);
    return starters && stock && batch_add_contents(request->tx, &at->batch);
}

static bool answer(struct request *request, int status, date mixing_date, const char *formula,
                   int64_t batch)
{
    struct batch_filter filter = {.mixing_date = mixing_date, .formula = formula, .batch = batch};
    struct day day;
    struct mixed_batch *batches;
    size_t count;
    if (!day_open(request, &day) || !batch_select(request->tx, &filter, &batches, &count))
        return false;
    if (count == 0)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "batch %" PRId64 " is not posted",
                        batch);
    if (!batches_write(request, reply_json(request, status), &day, batches, 1)) return false;
    reply_etag(request);
    return true;
}

bool post_batch(struct request *request)
{
    struct batch_post at = {.listed = false};
    struct mixed_batch *batch = &at.batch;
    char text[DATE_TEXT_SIZE];
    if (!request_date(request, "date", &batch->mixing_date) || !stock_post_open(request, &at.post))
        return false;
    if (batch->mixing_date > at.post.today + DAYS_AHEAD_MAX)
        return fail_add(&request->fails, FAIL_INVALID, "", "the date is more than a month ahead");
    if (!read_batch(request, &at) || !reckon(request, &at) ||
        (!at.listed && !take_lines_of_list(request, &at)) || !weigh_dough(request, batch) ||
        !find_purposes(request, &at))
        return false;
    find_part_dates(&at);
    at.batch_name = arena_printf(request->arena, "Batch %" PRId64 " of %s", batch->batch,
                                 at.post.day.catalogue.formulas[at.formula].name);
    if (at.batch_name == NULL) return fail_memory(&request->fails);
    if (!store(request, &at)) return false;
    date_print(text, batch->mixing_date);
    reply_location(request, "/api/v1/mixing-lists/%s/batches/%s/%" PRId64, text, batch->formula,
                   batch->batch);
    return answer(request, 201, batch->mixing_date, batch->formula, batch->batch);
}

/* --- showing --- */

bool get_batch(struct request *request)
{
    date mixing_date;
    int64_t batch = 0;
    if (!request_date(request, "date", &mixing_date)) return false;
    if (!number_parse(request_param(request, "batch"), &batch))
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no batch %s",
                        request_param(request, "batch"));
    return answer(request, 200, mixing_date, request_param(request, "formula"), batch);
}

bool list_batches(struct request *request)
{
    struct batch_filter filter = {.formula = NULL};
    struct day day;
    struct mixed_batch *batches;
    size_t count;
    struct page page = {.limit = INT64_MAX};
    if (!request_date(request, "date", &filter.mixing_date) || !day_open(request, &day) ||
        !batch_select(request->tx, &filter, &batches, &count))
        return false;
    struct json_writer *json = page_open(request);
    if (!batches_write(request, json, &day, batches, count)) return false;
    page_close(request, &page);
    return true;
}
