/* Batches that were mixed, on the wire. */
#ifndef MORROWLOAF_API_BATCH_BODY_H
#define MORROWLOAF_API_BATCH_BODY_H

#include "api/reckon.h"
#include "store/batch.h"
#include "json/writer.h"

struct request;

/* One object for each: what was weighed, and of which lots. */
bool batches_write(struct request *request, struct json_writer *json, const struct day *day,
                   const struct mixed_batch *batches, size_t count);

#endif
