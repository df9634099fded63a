/* A batch that is to be posted: as it is told, completed by the mixing list of its date. */
#ifndef MORROWLOAF_API_BATCH_POST_H
#define MORROWLOAF_API_BATCH_POST_H

#include "api/stock_post.h"
#include "store/batch.h"

struct batch_post {
    struct stock_post post;
    struct mixed_batch batch;
    size_t formula;           /* in the catalogue */
    bool timed;               /* when it was mixed was told */
    size_t *things;           /* of each line, in the catalogue */
    struct stock_take *takes; /* of each line; ingredient NOT_FOUND: not from stock */
};

/* Reads the batch of the body; post is open and the batch's mixing date is set. Without lines it is
 * taken as it stands on the mixing list, and a fault when it does not stand there. All of the batch
 * is then known but what comes with its posting: number, attempt and entries in logs. */
bool batch_post_read(struct request *request, struct batch_post *at);

#endif
