/* /mixing-lists/{date}/batches: what was really weighed into each batch, taken from the stock once.
 *
 * A batch is claimed first, then the logs of its starters are held in the order of their codes,
 * then the stock: so nobody waits in a circle, and of two that post the same batch one is refused.
 */
#include "api/batch_body.h"
#include "api/batch_post.h"
#include "api/handlers.h"
#include "api/number.h"
#include "api/page.h"
#include "api/starter_taking.h"
#include "base/arena.h"
#include "store/starter_log.h"

#include <inttypes.h>

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
            taken = taken || (at->batch.lines[n].kind == LINE_STARTER && at->things[n] == s);
        if (taken && !starter_log_lock(request->tx, catalogue->starters[s].code, &found))
            return false;
    }
    return true;
}

/* "Batch 2 of Country loaf": the note of its takings. NULL when memory is short. */
static const char *name_of(struct request *request, const struct batch_post *at)
{
    return arena_printf(request->arena, "Batch %" PRId64 " of %s", at->batch.batch,
                        at->post.day.catalogue.formulas[at->formula].name);
}

static bool take_starters(struct request *request, struct batch_post *at)
{
    const char *note = name_of(request, at);
    if (note == NULL) return fail_memory(&request->fails);
    if (!hold_starters(request, at)) return false;
    bool right = true;
    for (size_t n = 0; n < at->batch.line_count; n++) {
        struct batch_line *line = &at->batch.lines[n];
        if (line->kind == LINE_STARTER)
            right = starter_taking_add(request, &at->post.day, at->things[n], line->mg,
                                       at->batch.mixed_at, note, at->takes[n].pointer,
                                       &line->log_entry) &&
                    right;
    }
    return right;
}

static bool take_stock(struct request *request, struct batch_post *at, struct posting *posting)
{
    struct stock_move *moves;
    size_t count;
    return stock_post_take_kept(request, &at->post, posting->date, at->takes, at->batch.line_count,
                                &moves, &count) &&
           moves_add(request->tx, posting, STOCK_MIXED, &at->post.day.catalogue, moves, count);
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
    struct batch_post at = {.timed = false};
    const struct mixed_batch *batch = &at.batch;
    char text[DATE_TEXT_SIZE];
    if (!request_date(request, "date", &at.batch.mixing_date) ||
        !stock_post_open(request, &at.post))
        return false;
    if (batch->mixing_date > at.post.today + DAYS_AHEAD_MAX)
        return fail_add(&request->fails, FAIL_INVALID, "", "the date is more than two years ahead");
    if (!batch_post_read(request, &at) || !store(request, &at)) return false;
    date_print(text, batch->mixing_date);
    reply_location(request, "/api/v1/mixing-lists/%s/batches/%s/%" PRId64, text, batch->formula,
                   batch->batch);
    return answer(request, 201, batch->mixing_date, batch->formula, batch->batch);
}

/* --- showing --- */

bool get_batch(struct request *request)
{
    date mixing_date;
    int64_t batch;
    return request_date(request, "date", &mixing_date) &&
           number_of_path(request, "batch", "batch", &batch) &&
           answer(request, 200, mixing_date, request_param(request, "formula"), batch);
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
