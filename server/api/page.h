/* Pages of lists: ?limit= and ?after=, and the address of the next page. */
#ifndef MORROWLOAF_API_PAGE_H
#define MORROWLOAF_API_PAGE_H

#include "http/request.h"

enum { PAGE_DEFAULT = 500, PAGE_MAX = 1000 };

struct page {
    int64_t limit;     /* items to show */
    const char *after; /* NULL: from the first */
};

/* Reads limit and after of the query; a bad limit is FAIL_INVALID. */
bool page_read(struct request *request, struct page *page);

/* Ends a list of which count items were found when one more than the limit was asked for: closes it
 * and writes "next". last is the cursor of the last item shown; other filters of the query are
 * repeated. */
void page_end(struct request *request, const struct page *page, size_t count, const char *last);

/* How many of count found items are shown. */
size_t page_shown(const struct page *page, size_t count);

#endif
