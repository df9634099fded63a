/* Batches that were mixed, on the wire.
 *
 * Movements name the ingredient, not the line: what was taken of an ingredient is told out to its
 * lines in their order, as it was taken.
 */
#include "api/batch_body.h"

#include "api/formula_body.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/stock.h"

#include <string.h>

static void write_lot(struct json_writer *json, const struct mixed_batch *batch,
                      const struct moved *moved, int64_t mg)
{
    json_open_object(json, NULL);
    json_put_whole(json, "lot", moved->lot);
    json_put_text(json, "lot_mark", moved->lot_mark);
    json_put_date_or_null(json, "best_before", moved->best_before, moved->has_best_before);
    json_put_bool(
        json, "expired",
        best_before_passed(moved->has_best_before, moved->best_before, batch->mixing_date));
    json_put_decimal(json, "g", mg, WEIGHT_PLACES);
    json_close(json);
}

/* The lots of a line; what it took is then no longer in moved. */
static void write_lots(struct json_writer *json, const struct mixed_batch *batch,
                       const struct batch_line *line, struct moved *moved, size_t count)
{
    int64_t wanted = line->mg;
    json_open_list(json, "lots");
    for (size_t i = 0; line->kind == LINE_INGREDIENT && i < count && wanted > 0; i++) {
        if (moved[i].delta >= 0 || strcmp(moved[i].ingredient, line->code) != 0) continue;
        int64_t mg = -moved[i].delta < wanted ? -moved[i].delta : wanted;
        write_lot(json, batch, &moved[i], mg);
        moved[i].delta += mg;
        wanted -= mg;
    }
    json_close(json);
}

static void write_lines(struct json_writer *json, const struct day *day,
                        const struct mixed_batch *batch, struct moved *moved, size_t count)
{
    json_open_list(json, "lines");
    for (size_t i = 0; i < batch->line_count; i++) {
        const struct batch_line *line = &batch->lines[i];
        json_open_object(json, NULL);
        json_put_text(json, line_words[line->kind], line->code);
        json_put_text(json, "name", catalogue_thing_name(&day->catalogue, line->kind, line->code));
        json_put_decimal(json, "g", line->mg, WEIGHT_PLACES);
        if (line->kind == LINE_STARTER)
            json_put_whole_or_null(json, "log_entry", line->log_entry, line->log_entry > 0);
        if (line->kind == LINE_FORMULA)
            json_put_date_or_null(json, "part_date", line->part_date, line->has_part_date);
        write_lots(json, batch, line, moved, count);
        json_close(json);
    }
    json_close(json);
}

static void write_purposes(struct json_writer *json, const struct catalogue *catalogue,
                           const struct mixed_batch *batch)
{
    json_open_list(json, "for");
    for (size_t i = 0; i < batch->purpose_count; i++) {
        json_open_object(json, NULL);
        json_put_date(json, "date", batch->purposes[i].bread_day);
        json_put_text(json, "product", batch->purposes[i].product);
        json_put_text(json, "name", catalogue_product_name(catalogue, batch->purposes[i].product));
        json_close(json);
    }
    json_close(json);
}

static void write_batch(struct json_writer *json, const struct day *day,
                        const struct mixed_batch *batch, struct moved *moved, size_t count)
{
    const struct catalogue *catalogue = &day->catalogue;
    json_open_object(json, NULL);
    json_put_date(json, "date", batch->mixing_date);
    json_put_text(json, "formula", batch->formula);
    json_put_text(json, "name", catalogue_thing_name(catalogue, LINE_FORMULA, batch->formula));
    json_put_whole(json, "batch", batch->batch);
    json_put_whole(json, "movement", batch->posting);
    json_put_instant(json, "mixed_at", batch->mixed_at, day->reckoning.zone);
    json_put_instant(json, "posted_at", batch->posted_at, day->reckoning.zone);
    json_put_text(json, "posted_by", batch->posted_by);
    json_put_decimal(json, "dough_g", batch->dough_mg, WEIGHT_PLACES);
    write_lines(json, day, batch, moved, count);
    write_purposes(json, catalogue, batch);
    json_close(json);
}

/* Where the movements of a posting begin; they come by posting. */
static size_t moved_from(const struct moved *moved, size_t count, int64_t posting)
{
    size_t at = 0;
    while (at < count && moved[at].posting != posting)
        at++;
    return at;
}

bool batches_write(struct request *request, struct json_writer *json, const struct day *day,
                   const struct mixed_batch *batches, size_t count)
{
    struct moved *moved;
    size_t moved_count;
    int64_t *postings = arena_array(request->arena, count, sizeof *postings);
    if (postings == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < count; i++)
        postings[i] = batches[i].posting;
    if (!moved_select(request->tx, postings, count, &moved, &moved_count)) return false;
    for (size_t i = 0; i < count; i++) {
        size_t from = moved_from(moved, moved_count, batches[i].posting), of = from;
        while (of < moved_count && moved[of].posting == batches[i].posting)
            of++;
        write_batch(json, day, &batches[i], &moved[from], of - from);
    }
    return true;
}
