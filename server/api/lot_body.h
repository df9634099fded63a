/* Lots and deliveries on the wire. Prices are for owners alone. */
#ifndef MORROWLOAF_API_LOT_BODY_H
#define MORROWLOAF_API_LOT_BODY_H

#include "api/reckon.h"
#include "store/lot.h"
#include "store/stock.h"
#include "json/writer.h"

struct request;

/* One object. */
void lot_write(struct request *request, struct json_writer *json, const struct day *day,
               const struct lot *lot);

/* Member places: what is left of it in each. */
void lot_places_write(struct json_writer *json, enum ingredient_unit unit, const struct lot *lot);

/* One object for each delivery, newest first as they were selected, with the lots that it made. */
bool deliveries_write(struct request *request, struct json_writer *json, const struct day *day,
                      const struct posting *postings, size_t count);

#endif
