/* Mixing lists on the wire. */
#include "api/mixing_body.h"

#include "api/equipment_body.h"
#include "api/formula_body.h"
#include "api/water_body.h"
#include "base/decimal.h"
#include "store/print.h"

#include <string.h>

static void write_line(struct json_writer *json, const struct catalogue *catalogue,
                       const struct mix *mix, const struct mix_line *line)
{
    json_open_object(json, NULL);
    json_put_text(json, line_words[line->line->kind], line->line->code);
    json_put_text(json, "name", line_name(catalogue, line->line->kind, line->line->index));
    json_put_decimal(json, "pct", line->pct, PERCENT_PLACES);
    json_put_decimal(json, "exact_g", line->exact_mg, WEIGHT_PLACES);
    json_put_decimal(json, "weigh_g", line->weigh_mg, WEIGHT_PLACES);
    json_put_decimal(json, "total_g", mix_line_total_mg(mix, line), WEIGHT_PLACES);
    json_close(json);
}

static void write_steps(struct json_writer *json, const struct zone *zone,
                        const struct formula *formula, const struct mix *mix)
{
    json_open_list(json, "steps");
    for (size_t i = 0; i < formula->stage_count; i++) {
        const struct mix_step *step = &mix->steps[i];
        json_open_object(json, NULL);
        json_put_text(json, "stage", step->stage->name);
        json_put_instant(json, "begins_at", step->begins, zone);
        json_put_instant(json, "ends_at", step->ends, zone);
        json_put_whole(json, "minutes", step->stage->minutes);
        json_put_text(json, "at", step->stage->at);
        json_put_whole(json, "hands", step->stage->hands);
        json_close(json);
    }
    json_close(json);
}

static void write_mix_head(struct json_writer *json, const struct zone *zone,
                           const struct formula *formula, const struct mix *mix)
{
    json_put_text(json, "formula", formula->code);
    json_put_text(json, "name", formula->name);
    json_open_list(json, "for");
    for (size_t i = 0; i < mix->bread_day_count; i++)
        json_put_date(json, NULL, mix->bread_days[i]);
    json_close(json);
    json_put_instant(json, "begins_at", mix->begins, zone);
    json_put_decimal(json, "dough_g", mix->dough_mg, WEIGHT_PLACES);
    json_put_whole(json, "batches", mix->batches);
    json_put_decimal(json, "batch_g", mix->batch_mg, WEIGHT_PLACES);
    json_put_text(json, "mixer", mix->mixer != NULL ? mix->mixer->code : NULL);
    json_put_bool(json, "under_minimum", mix->under_minimum);
    json_put_bool(json, "by_hand", formula->by_hand);
    json_put_decimal_or_null(json, "dough_c", formula->dough_c, TEMPERATURE_PLACES,
                             formula->has_dough_c);
}

static void write_water(struct json_writer *json, const struct formula *formula,
                        const struct mix_water *water)
{
    if (formula->has_dough_c && water->water_mg > 0)
        mix_water_write(json, water);
    else
        json_put_null(json, "water");
}

static void write_mix(struct json_writer *json, const struct day *day, const struct mix *mix,
                      const struct mix_water *water)
{
    const struct formula *formula = &day->catalogue.formulas[mix->formula];
    json_open_object(json, NULL);
    write_mix_head(json, day->reckoning.zone, formula, mix);
    write_water(json, formula, water);
    json_open_list(json, "lines");
    for (size_t i = 0; i < formula->line_count; i++)
        write_line(json, &day->catalogue, mix, &mix->lines[i]);
    json_close(json);
    write_steps(json, day->reckoning.zone, formula, mix);
    json_open_list(json, "allergens");
    for (size_t i = 0; i < mix->allergen_count; i++)
        json_put_text(json, NULL, mix->allergens[i]);
    json_close(json);
    json_close(json);
}

static void write_starters(struct json_writer *json, const struct catalogue *catalogue,
                           const struct mixing_list *list)
{
    json_open_list(json, "starters");
    for (size_t i = 0; i < list->starter_count; i++) {
        const struct starter_ready *ready = &list->starters[i];
        json_open_object(json, NULL);
        json_put_text(json, "starter", catalogue->starters[ready->starter].code);
        json_put_text(json, "name", catalogue->starters[ready->starter].name);
        json_put_decimal(json, "g", ready->mg, WEIGHT_PLACES);
        json_put_decimal(json, "keep_g", ready->keep_mg, WEIGHT_PLACES);
        json_put_decimal(json, "total_g", ready->total_mg, WEIGHT_PLACES);
        json_close(json);
    }
    json_close(json);
}

static void write_temperatures(struct json_writer *json, const struct mixing_water *water)
{
    json_open_object(json, "temperatures");
    temperatures_write(json, &water->temperatures);
    json_close(json);
    json_put_bool(json, "measured", water->measured);
}

void mixing_write(struct json_writer *json, const struct day *day, const struct mixing_list *list,
                  const struct mixing_water *water)
{
    json_put_date(json, "date", list->mixing_date);
    json_open_list(json, "mixes");
    for (size_t i = 0; i < list->mix_count; i++)
        write_mix(json, day, &list->mixes[i], &water->mixes[i]);
    json_close(json);
    write_temperatures(json, water);
    write_starters(json, &day->catalogue, list);
    json_open_list(json, "pieces");
    for (size_t i = 0; i < list->pieces_count; i++) {
        const struct product *product = &day->catalogue.products[list->pieces[i].product];
        json_open_object(json, NULL);
        json_put_date(json, "date", list->pieces[i].bread_day);
        json_put_text(json, "product", product->code);
        json_put_text(json, "name", product->name);
        json_put_whole(json, "pieces", list->pieces[i].pieces);
        json_close(json);
    }
    json_close(json);
}

void print_write_head(struct json_writer *json, const struct print *print, const struct zone *zone)
{
    json_put_whole(json, "number", print->number);
    json_put_instant(json, "printed_at", print->printed_at, zone);
    json_put_text(json, "printed_by", print->printed_by);
    json_put_whole_or_null(json, "replaces", print->replaces, print->replaces > 0);
}

/* The stored body is an object: its members stand between its braces. */
void print_write_body(struct json_writer *json, const struct print *print)
{
    json_put_members(json, print->body + 1, strlen(print->body) - 2);
}
