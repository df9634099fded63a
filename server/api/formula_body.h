/* Formulas on the wire: reading a body, writing what is stored and what is worked out. */
#ifndef MORROWLOAF_API_FORMULA_BODY_H
#define MORROWLOAF_API_FORMULA_BODY_H

#include "bakery/breakdown.h"
#include "json/reader.h"
#include "json/writer.h"

/* The member names of enum line_kind: "ingredient", "starter", "formula". */
extern const char *const line_words[];

/* Name of what a line or part names. */
const char *line_name(const struct catalogue *catalogue, enum line_kind kind, size_t index);

/* Fills a zeroed formula; faults go on the body's list. */
void formula_read(struct json_object *body, struct formula *formula);
void formula_write(struct json_writer *json, const struct formula *formula);
/* Adds overall, final and allergens. False on overflow or short memory. */
bool formula_write_view(struct arena *arena, struct json_writer *json,
                        const struct breakdowns *breakdowns, size_t formula);

#endif
