/* Postings on the wire: what happened to the stock, with its movements. */
#ifndef MORROWLOAF_API_POSTING_BODY_H
#define MORROWLOAF_API_POSTING_BODY_H

#include "api/reckon.h"
#include "store/stock.h"
#include "json/writer.h"

struct request;

/* The posting of that number; NULL when there is none. */
bool posting_find(struct request *request, int64_t number, struct posting **posting);

/* One object for each, newest first as they were selected. */
bool postings_write(struct request *request, struct json_writer *json, const struct day *day,
                    const struct posting *postings, size_t count);

/* Postings as a resource: all of them, or those of one kind in their own words. */
struct posting_resource {
    const char *name;     /* "delivery" */
    enum stock_kind kind; /* STOCK_KINDS: any */
    bool (*write)(struct request *request, struct json_writer *json, const struct day *day,
                  const struct posting *postings, size_t count);
};

/* Answers with the posting of that number, or of the path; FAIL_NOT_FOUND when there is none. */
bool posting_answer(struct request *request, const struct posting_resource *resource, int status,
                    int64_t number);
bool posting_get(struct request *request, const struct posting_resource *resource);
/* A page of those that the filter lets through; its kind, limit and beginning are set here. */
bool posting_list(struct request *request, const struct posting_resource *resource,
                  struct posting_filter *filter);

#endif
