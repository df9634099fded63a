/* The last touch to an answer: its ETag, and 304 when the client holds it already. */
#include "http/daemon.h"
#include "http/etag.h"

#include <string.h>

static bool is_read(const char *method)
{
    return strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0;
}

const char *reply_finish(struct request *request)
{
    struct reply *reply = &request->reply;
    if (!reply->has_etag) return NULL;
    etag_print(reply->etag, reply->revision, reply->body.data, reply->body.length);
    bool held = request->if_none_match != NULL && etag_listed(request->if_none_match, reply->etag);
    if (held && reply->status == 200 && is_read(request->method)) {
        reply_nothing(request);
        reply->status = 304;
    }
    return reply->etag;
}
