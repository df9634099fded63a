/* Mixing lists on the wire: written for the page, frozen in prints, read back to see what has
 * changed. */
#ifndef MORROWLOAF_API_MIXING_BODY_H
#define MORROWLOAF_API_MIXING_BODY_H

#include "api/mixing_water.h"
#include "api/reckon.h"
#include "bakery/mixing.h"
#include "json/writer.h"

struct print;

/* Writes date, mixes with their water, temperatures, starters and pieces into the open object. */
void mixing_write(struct json_writer *json, const struct day *day, const struct mixing_list *list,
                  const struct mixing_water *water);

/* Writes number, printed_at, printed_by and replaces into the open object. */
void print_write_head(struct json_writer *json, const struct print *print, const struct zone *zone);

/* Writes the members of the list exactly as they were frozen. */
void print_write_body(struct json_writer *json, const struct print *print);

/* Writes "changes": what the list differs in from a print. False, with a fault, when the print
 * cannot be read or memory is short. */
bool changes_write(struct request *request, struct json_writer *json, const struct day *day,
                   const struct mixing_list *list, const struct print *print);

#endif
