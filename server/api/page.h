/* Pages of lists: ?limit= and ?after=, and the address of the next page. */
#ifndef MORROWLOAF_API_PAGE_H
#define MORROWLOAF_API_PAGE_H

#include "http/request.h"

enum { PAGE_DEFAULT = 500, PAGE_MAX = 1000 };

struct page {
    int64_t limit;     /* items to show */
    const char *after; /* the last item of the page before; NULL: from the first */
    int64_t shown;
    bool more; /* there was another item after the last one shown */
    const char *last;
};

/* Reads limit and after of the query; a bad limit is FAIL_INVALID. Ask the store for one more than
 * the limit, so that it is known whether there is a next page. */
bool page_read(struct request *request, struct page *page);

/* The same of a list by number, newest first: *before is the number after which it goes on; 0: from
 * the newest. */
bool page_read_numbered(struct request *request, struct page *page, int64_t *before);

/* Opens the answer up to its list of items. */
struct json_writer *page_open(struct request *request);
/* Whether the item of that key goes on the page; keys come ascending. */
bool page_takes(struct page *page, const char *key);
/* The same of a list by number. */
bool page_takes_number(struct request *request, struct page *page, int64_t number);
/* Closes the list and writes "next" (other filters of the query are repeated in it); members of the
 * list as a whole may follow. */
void page_close_items(struct request *request, const struct page *page);
/* Ends the answer after that. */
void page_end(struct request *request);
/* Both. */
void page_close(struct request *request, const struct page *page);

#endif
