/* Amounts of ingredients on the wire: grams of what is weighed, pieces of what is counted. */
#ifndef MORROWLOAF_API_AMOUNT_BODY_H
#define MORROWLOAF_API_AMOUNT_BODY_H

#include "bakery/model.h"
#include "json/reader.h"
#include "json/writer.h"

/* The member of an amount by itself: "g" or "pieces". */
const char *amount_member(enum ingredient_unit unit);

/* Writes "stem_g" or "stem_pieces"; stem "": "g" or "pieces". The stem is a literal. */
void amount_write(struct json_writer *json, const char *stem, enum ingredient_unit unit,
                  int64_t amount);
/* The same, or null. */
void amount_write_or_null(struct json_writer *json, const char *stem, enum ingredient_unit unit,
                          int64_t amount, bool known);

/* Reads "g" or "pieces", from min on; the member of the other unit is a fault. 0 when absent or
 * faulty. */
int64_t amount_read(struct json_object *body, enum json_need need, enum ingredient_unit unit,
                    int64_t min);
/* The same of "pack_g" or "pack_pieces"; a pack holds something. */
int64_t amount_read_pack(struct json_object *body, enum json_need need, enum ingredient_unit unit);

#endif
