/* One request on its way through the server, and the answer being made for it. */
#ifndef MORROWLOAF_HTTP_REQUEST_H
#define MORROWLOAF_HTTP_REQUEST_H

#include "base/date.h"
#include "base/fail.h"
#include "base/text.h"
#include "json/reader.h"
#include "json/writer.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct route;
struct tx;

enum role {
    ROLE_NONE,
    ROLE_COUNTER,
    ROLE_BAKER,
    ROLE_OWNER
}; /* each may do what those before it may */

enum { PARAMS_MAX = 3, QUERY_MAX = 12, ETAG_SIZE = 48 };

struct param {
    const char *name;
    const char *value;
};

/* The state that a write was built on, from If-Match and If-None-Match. */
struct precondition {
    bool must_exist;     /* If-Match was sent */
    bool must_not_exist; /* If-None-Match: * */
    int64_t revision;    /* of If-Match; 0: any ("*"); -1: none that we ever gave out */
};

struct reply {
    int status; /* 0 until set */
    struct text body;
    struct json_writer json; /* writes into body */
    const char *content_type;
    const char *location;   /* NULL: none */
    const char *set_cookie; /* the whole value of Set-Cookie; NULL: none */
    int64_t revision;       /* of the resource for its ETag; 0: a reckoned answer */
    bool has_etag;
    char etag[ETAG_SIZE];    /* with its quotes, once the answer is finished */
    int retry_after_s;       /* 0: none */
    const char *replay_body; /* what a replay by Idempotency-Key shows; NULL: the same body */
};

struct request {
    /* What came. All strings live in the arena. */
    struct arena *arena;
    struct fails fails;
    const char *method;
    const char *path;          /* decoded, without query */
    const struct route *route; /* NULL: none fits */
    const char *allow;         /* for 405: the methods that the path has; NULL otherwise */
    struct param params[PARAMS_MAX];
    size_t param_count;
    struct param query[QUERY_MAX];
    size_t query_count;
    const char *body; /* NUL-terminated */
    size_t body_length;
    const char *bearer;          /* token of the Authorization header, or NULL */
    const char *cookie;          /* our session cookie's value, or NULL */
    const char *idempotency_key; /* or NULL */
    const char *if_none_match;   /* or NULL */
    const char *client;          /* address, for the log and for limits on signing in */
    bool trusted_origin;         /* no Origin header, or one that is our own Host */
    struct precondition precondition;

    /* Who asks: set once the token or session is known. */
    enum role role;
    const char *actor;
    int64_t bakery_id;  /* the bakery it is about */
    bool secure_cookie; /* whether cookies are for HTTPS alone */
    struct tx *tx;      /* the transaction that this request runs in */

    struct reply reply;
};

/* The value of a path parameter of the route's pattern. Never NULL for a name in the pattern. */
const char *request_param(const struct request *request, const char *name);
/* A path parameter that must be a date: FAIL_INVALID else. */
bool request_date(struct request *request, const char *name, date *out);
/* The value of a query parameter or NULL. */
const char *request_query(const struct request *request, const char *name);

/* The body as a JSON value; faults go on the request's list. */
bool request_json(struct request *request, struct json_node *root);

/* --- answers --- */

/* Begins a JSON answer: write into the returned writer. A second call starts anew. */
struct json_writer *reply_json(struct request *request, int status);
/* Gives the answer the ETag of a stored resource: "revision.hash-of-body". */
void reply_revision(struct request *request, int64_t revision);
/* Gives a reckoned answer an ETag: "0.hash-of-body". */
void reply_etag(struct request *request);
/* 204 with nothing. */
void reply_nothing(struct request *request);
void reply_location(struct request *request, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
