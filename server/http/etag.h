/* Entity tags (RFC 9110, section 8.8.3): "revision.hash" of an answer, and what a client says about
 * those that it holds. Internal to http/. */
#ifndef MORROWLOAF_HTTP_ETAG_H
#define MORROWLOAF_HTTP_ETAG_H

#include "http/request.h"

/* Writes the tag of a body, with its quotes. */
void etag_print(char out[ETAG_SIZE], int64_t revision, const void *body, size_t length);

/* Whether an If-None-Match header names this tag; "*" names every one. */
bool etag_listed(const char *header, const char *tag);

/* What an If-Match header asks for: 0 for "*", else the newest revision that it names, -1 when
 * there is none that we ever gave out. */
int64_t etag_revision(const char *header);

#endif
