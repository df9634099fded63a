/* What the answers of both ways have in common. */
#include "api/trace_body.h"

#include "api/formula_body.h"
#include "bakery/amount.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/decimal.h"

void trace_lot_write(struct json_writer *json, const struct day *day, const struct trace_lot *lot)
{
    const struct ingredient *ingredient = &day->catalogue.ingredients[lot->ingredient];
    json_put_whole(json, "lot", lot->lot);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_text(json, "supplier", lot->supplier);
    json_put_text(json, "supplier_name", lot->supplier_name);
    json_put_text(json, "supplier_phone", lot->supplier_phone);
    json_put_text(json, "lot_mark", lot->lot_mark);
    json_put_date_or_null(json, "best_before", lot->best_before, lot->has_best_before);
    json_put_date(json, "received_on", lot->received_on);
    json_put_text(json, "delivery_note", lot->delivery_note);
    json_put_bool(json, "held", lot->held);
}

void trace_batch_write(struct json_writer *json, const struct day *day,
                       const struct flow_batch *batch)
{
    json_put_date(json, "date", batch->mixing_date);
    json_put_text(json, "formula", batch->formula);
    json_put_text(json, "name",
                  catalogue_thing_name(&day->catalogue, LINE_FORMULA, batch->formula));
    json_put_whole(json, "batch", batch->batch);
    json_put_whole(json, "movement", batch->posting);
    json_put_instant(json, "mixed_at", batch->mixed_at, day->reckoning.zone);
}

static void write_way(struct json_writer *json, struct arena *arena, const struct flow_part *part)
{
    if (part->way == LINE_INGREDIENT)
        json_put_text(json, NULL, "direct");
    else
        json_put_text(json, NULL, arena_printf(arena, "%s:%s", line_words[part->way], part->code));
}

void trace_ways_write(struct json_writer *json, struct arena *arena, const struct trace_ways *ways)
{
    json_open_list(json, "via");
    for (size_t i = 0; i < ways->count; i++)
        write_way(json, arena, ways->items[i]);
    json_close(json);
}

bool trace_grams_write(struct json_writer *json, const struct day *day, const char *name,
                       fixed grams)
{
    int64_t micrograms;
    if (!fixed_to(grams, TRACE_PLACES, &micrograms)) return amount_too_large(&day->reckoning);
    json_put_decimal(json, name, micrograms, TRACE_PLACES);
    return true;
}

void trace_texts_write(struct json_writer *json, const char *name, const char *const *texts,
                       size_t count)
{
    json_open_list(json, name);
    for (size_t i = 0; i < count; i++)
        json_put_text(json, NULL, texts[i]);
    json_close(json);
}
