/* What the answers of both ways of a trace have in common. */
#ifndef MORROWLOAF_API_TRACE_BODY_H
#define MORROWLOAF_API_TRACE_BODY_H

#include "api/reckon.h"
#include "bakery/lot_trace.h"
#include "json/writer.h"

/* Members lot, ingredient, name, supplier, supplier_name, supplier_phone, lot_mark, best_before,
 * received_on, delivery_note, held. */
void trace_lot_write(struct json_writer *json, const struct day *day, const struct trace_lot *lot);
/* Members date, formula, name, batch, movement, mixed_at. */
void trace_batch_write(struct json_writer *json, const struct day *day,
                       const struct flow_batch *batch);
/* Member via: "direct", "starter:levain", "formula:poolish". */
void trace_ways_write(struct json_writer *json, struct arena *arena, const struct trace_ways *ways);
/* Carried grams, to the microgram. */
bool trace_grams_write(struct json_writer *json, const struct day *day, const char *name,
                       fixed grams);
void trace_texts_write(struct json_writer *json, const char *name, const char *const *texts,
                       size_t count);

#endif
