/* Reading a batch, and finding on the mixing list of its date what was not told. */
#include "api/batch_post.h"

#include "api/formula_body.h"
#include "api/limits.h"
#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "bakery/mixing.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"

#include <inttypes.h>

enum { BATCHES_MAX = 1000, AHEAD_SECONDS = 300 /* by which clocks may differ */ };

/* A batch, and what is on the mixing list of it. */
struct reading {
    struct request *request;
    struct batch_post *at;
    bool listed; /* lines were told */
    struct mixing_list list;
    const struct mix *mix; /* NULL: not on the list */
};

/* --- reading --- */

/* Exactly one of ingredient, starter, formula, and that there is such a thing. */
static bool read_thing(struct json_object *line, const struct catalogue *catalogue,
                       struct batch_line *out, size_t *thing)
{
    int found = 0;
    if (line->node.value == NULL) return false; /* no object, which is told already */
    for (enum line_kind kind = LINE_INGREDIENT; kind <= LINE_FORMULA; kind++) {
        if (!json_has(line, line_words[kind])) continue;
        found++;
        out->kind = kind;
        out->code = json_code(line, line_words[kind], JSON_REQUIRED);
    }
    if (found != 1)
        return fail_add(line->node.fails, FAIL_INVALID, line->node.path,
                        "must have exactly one of ingredient, starter and formula");
    if (out->code == NULL) return false;
    *thing = catalogue_thing(catalogue, out->kind, out->code);
    return *thing != NOT_FOUND ||
           json_fault(line, line_words[out->kind], "names something that does not exist");
}

static void read_line(struct json_object *line, struct batch_post *at, size_t n)
{
    const struct catalogue *catalogue = &at->post.day.catalogue;
    struct batch_line *out = &at->batch.lines[n];
    struct stock_take *take = &at->takes[n];
    bool known = read_thing(line, catalogue, out, &at->things[n]);
    out->mg = json_decimal(line, "g", JSON_REQUIRED, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    bool from_stock = known && out->kind == LINE_INGREDIENT;
    *take = (struct stock_take){.ingredient = from_stock ? at->things[n] : NOT_FOUND,
                                .amount = out->mg,
                                .pointer = json_path(line, "g"),
                                .lot_pointer = json_path(line, "lot")};
    take->lot = json_whole(line, "lot", JSON_OPTIONAL, 1, INT64_MAX, 0);
    if (known && take->lot != 0 && !from_stock) json_fault(line, "lot", "is for ingredients alone");
    if (from_stock && catalogue->ingredients[at->things[n]].unit != UNIT_GRAM)
        json_fault(line, "ingredient", "is counted by the piece: it cannot be weighed into a mix");
}

static bool make_lines(struct request *request, struct batch_post *at, size_t count)
{
    at->batch.lines = arena_array(request->arena, count, sizeof *at->batch.lines);
    at->things = arena_array(request->arena, count, sizeof *at->things);
    at->takes = arena_array(request->arena, count, sizeof *at->takes);
    at->batch.line_count = count;
    if (!at->batch.lines || !at->things || !at->takes) return fail_memory(&request->fails);
    return true;
}

static bool read_lines(struct reading *reading, struct json_object *body)
{
    struct json_list list;
    struct json_node item;
    reading->listed = json_has(body, "lines");
    json_list_member(body, "lines", JSON_OPTIONAL, 1, STOCK_LINES_MAX, &list);
    if (!make_lines(reading->request, reading->at, list.length)) return false;
    for (size_t n = 0; json_list_next(&list, &item); n++) {
        struct json_object line;
        json_object_open(&line, item);
        read_line(&line, reading->at, n);
        json_object_close(&line);
    }
    return true;
}

static void read_time(struct json_object *body, struct batch_post *at)
{
    instant now = instant_now();
    at->batch.mixed_at = now;
    at->timed = json_instant(body, "at", JSON_OPTIONAL, &at->batch.mixed_at);
    if (at->batch.mixed_at > now + AHEAD_SECONDS)
        json_fault(body, "at", "this has not happened yet");
    else if (at->batch.mixed_at > now)
        at->batch.mixed_at = now;
}

static bool read_batch(struct reading *reading)
{
    struct json_node root;
    struct json_object body;
    struct batch_post *at = reading->at;
    if (!request_json(reading->request, &root)) return false;
    json_object_open(&body, root);
    const char *code = json_code(&body, "formula", JSON_REQUIRED);
    at->batch.formula = code;
    at->formula = catalogue_formula(&at->post.day.catalogue, code);
    if (code != NULL && at->formula == NOT_FOUND)
        json_fault(&body, "formula", "names a formula that does not exist");
    at->batch.batch = json_whole(&body, "batch", JSON_REQUIRED, 1, BATCHES_MAX, 1);
    read_time(&body, at);
    return read_lines(reading, &body) && json_object_close(&body);
}

/* --- what is on the list of it --- */

static bool find_mix(struct reading *reading)
{
    struct day *day = &reading->at->post.day;
    date first, last, mixing_date = reading->at->batch.mixing_date;
    mixing_horizon(&day->reckoning, mixing_date, &first, &last);
    if (!day_load_demands(reading->request, day, first, last) ||
        !mixing_list_of(&day->reckoning, mixing_date, day->demands, day->demand_count,
                        &reading->list))
        return false;
    for (size_t i = 0; i < reading->list.mix_count; i++)
        if (reading->list.mixes[i].formula == reading->at->formula)
            reading->mix = &reading->list.mixes[i];
    return true;
}

/* Without lines the batch is taken as it stands on the list. */
static bool take_lines_of_list(struct reading *reading)
{
    struct batch_post *at = reading->at;
    const struct mix *mix = reading->mix;
    struct fails *fails = &reading->request->fails;
    if (mix == NULL)
        return fail_add(fails, FAIL_INVALID, "/formula",
                        "is not on the mixing list of that date: say what was weighed");
    if (at->batch.batch > mix->batches)
        return fail_add(fails, FAIL_INVALID, "/batch",
                        "the mixing list has only %" PRId64 " of it: say what was weighed",
                        mix->batches);
    size_t count = at->post.day.catalogue.formulas[at->formula].line_count;
    if (!make_lines(reading->request, at, count)) return false;
    for (size_t n = 0; n < count; n++) {
        const struct line *line = mix->lines[n].line;
        bool from_stock = line->kind == LINE_INGREDIENT;
        at->things[n] = line->index;
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
static void find_part_dates(const struct reading *reading)
{
    struct batch_post *at = reading->at;
    const struct reckoning *reckoning = &at->post.day.reckoning;
    instant begins = reading->mix != NULL ? reading->mix->begins : at->batch.mixed_at;
    for (size_t n = 0; n < at->batch.line_count; n++) {
        struct batch_line *line = &at->batch.lines[n];
        if (line->kind != LINE_FORMULA) continue;
        line->has_part_date = true;
        line->part_date = working_day(reckoning, mix_begins(reckoning, at->things[n], begins));
    }
}

static bool weigh_dough(const struct reckoning *reckoning, struct mixed_batch *batch)
{
    for (size_t n = 0; n < batch->line_count; n++)
        if (!amount_add_whole(reckoning, &batch->dough_mg, batch->lines[n].mg)) return false;
    return batch->dough_mg > 0 ||
           fail_add(reckoning->fails, FAIL_INVALID, "/lines", "nothing was weighed");
}

static bool is_part_of(const struct product *product, size_t formula)
{
    for (size_t k = 0; k < product->part_count; k++)
        if (product->parts[k].kind == LINE_FORMULA && product->parts[k].index == formula)
            return true;
    return false;
}

/* The bread days and products on the list that the dough is a direct part of. */
static bool find_purposes(const struct reading *reading)
{
    struct request *request = reading->request;
    const struct mixing_list *list = &reading->list;
    const struct catalogue *catalogue = &reading->at->post.day.catalogue;
    struct mixed_batch *batch = &reading->at->batch;
    batch->purposes = arena_array(request->arena, list->pieces_count, sizeof *batch->purposes);
    if (batch->purposes == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; reading->mix != NULL && i < list->pieces_count; i++) {
        const struct mixing_pieces *pieces = &list->pieces[i];
        const struct product *product = &catalogue->products[pieces->product];
        if (is_part_of(product, reading->at->formula))
            batch->purposes[batch->purpose_count++] = (struct batch_purpose){
                .bread_day = pieces->bread_day, .product = product->code};
    }
    return true;
}

bool batch_post_read(struct request *request, struct batch_post *at)
{
    struct reading reading = {.request = request, .at = at};
    if (!read_batch(&reading) || !find_mix(&reading) ||
        (!reading.listed && !take_lines_of_list(&reading)) ||
        !weigh_dough(&at->post.day.reckoning, &at->batch) || !find_purposes(&reading))
        return false;
    find_part_dates(&reading);
    return true;
}
