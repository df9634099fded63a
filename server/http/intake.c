/* Taking in a request.
 *
 * The order of the checks is part of the contract: what is not clear (400), no credentials (401), a
 * body over the route's limit (413), one of unknown length (411), one of another type (415), a key
 * of the wrong form (400). All the rest (whether the credentials hold, 404, 405, 403) needs the
 * database and is told by whoever performs the request. Before any of them short memory is told
 * (503), since what could not be stored looks as if it had not been sent.
 */
#include "http/intake.h"

#include "base/arena.h"
#include "base/decimal.h"
#include "http/guard.h"
#include "http/headers.h"
#include "http/router.h"
#include "json/utf8.h"

#include <string.h>
#include <strings.h>

enum { UNKNOWN_BODY_MAX = 64000, /* where no route says how much */ KEY_MAX = 255 };

/* --- what was sent --- */

static bool is_utf8(const char *text)
{
    uint32_t character;
    while (*text != '\0') {
        size_t length = utf8_decode(text, &character);
        if (length == 0) return false;
        text += length;
    }
    return true;
}

static const char *query_fault(const struct request *request)
{
    if (request->query_count > QUERY_MAX) return "the address has too many parameters";
    for (size_t i = 0; i < request->query_count; i++)
        if (!is_utf8(request->query[i].name) || !is_utf8(request->query[i].value))
            return "a parameter of the address is not UTF-8";
    return NULL;
}

static bool unclear(struct exchange *exchange, const char *why)
{
    exchange->close = true;
    return fail_add(&exchange->request.fails, FAIL_MALFORMED, "", "%s", why);
}

/* Whatever is wrong here may hide a second request in this one. */
static bool check_clear(struct exchange *exchange)
{
    if (exchange->target_fault != NULL) return unclear(exchange, exchange->target_fault);
    const char *fault = guard_headers(exchange->connection);
    return fault == NULL || unclear(exchange, fault);
}

static bool starts_api(const char *path)
{
    return strncmp(path, "/api", 4) == 0 && (path[4] == '/' || path[4] == '\0');
}

static bool take_line(struct exchange *exchange, const char *method, const char *path)
{
    struct request *request = &exchange->request;
    request->method = arena_copy(request->arena, method);
    request->path = arena_copy(request->arena, path);
    if (request->method == NULL || request->path == NULL) {
        request->method = request->path = "";
        return fail_memory(&request->fails);
    }
    exchange->for_api = starts_api(request->path);
    return true;
}

/* --- checks --- */

static bool check_credentials(struct request *request)
{
    bool needless = request->route != NULL && request->route->kind == ROUTE_SIGN_IN;
    if (needless || request->bearer != NULL || request->cookie != NULL) return true;
    return fail_add(&request->fails, FAIL_UNAUTHENTICATED, "",
                    "sign in, or send a token (Authorization: Bearer ...)");
}

static size_t body_limit(const struct exchange *exchange)
{
    if (!exchange->for_api) return 0;
    const struct route *route = exchange->request.route;
    return route != NULL ? route->body_limit : UNKNOWN_BODY_MAX;
}

static bool check_length(struct exchange *exchange)
{
    struct fails *fails = &exchange->request.fails;
    size_t limit = body_limit(exchange);
    if (exchange->announced > limit)
        return limit == 0 ? fail_add(fails, FAIL_TOO_LARGE, "", "there is nothing to send here")
                          : fail_add(fails, FAIL_TOO_LARGE, "",
                                     "a body may have %zu bytes here, this one has %zu", limit,
                                     exchange->announced);
    if (header(exchange, "Transfer-Encoding") == NULL) return true;
    exchange->close = true;
    return fail_add(fails, FAIL_LENGTH, "", "send the body with Content-Length, not in chunks");
}

static bool is_json(const char *type)
{
    static const char json[] = "application/json";
    size_t length = sizeof json - 1;
    if (type == NULL || strncasecmp(type, json, length) != 0) return false;
    type += length + strspn(type + length, " \t");
    return *type == '\0' || *type == ';';
}

static bool check_media_type(struct exchange *exchange)
{
    if (exchange->announced == 0 || is_json(header(exchange, "Content-Type"))) return true;
    return fail_add(&exchange->request.fails, FAIL_MEDIA_TYPE, "",
                    "a body must be application/json");
}

static bool check_key(struct request *request)
{
    const char *key = request->idempotency_key;
    if (key == NULL) return true;
    size_t length = 0;
    while (key[length] > ' ' && key[length] <= '~')
        length++;
    if (key[length] == '\0' && length >= 1 && length <= KEY_MAX) return true;
    return fail_add(&request->fails, FAIL_KEY_MISSING, "",
                    "an Idempotency-Key has 1 to %d visible ASCII characters", KEY_MAX);
}

static bool check_address(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    const char *fault = is_utf8(request->path) ? query_fault(request) : "the path is not UTF-8";
    return fault == NULL || fail_add(&request->fails, FAIL_MALFORMED, "", "%s", fault);
}

/* --- the intake --- */

bool intake_head(struct exchange *exchange, const struct route *routes, const char *method,
                 const char *path)
{
    struct request *request = &exchange->request;
    if (!take_line(exchange, method, path) || !check_clear(exchange)) return false;
    headers_take(exchange);
    if (exchange->for_api) route_find(routes, request);
    if (arena_failed(request->arena)) return fail_memory(&request->fails);
    text_init(&exchange->body, request->arena, body_limit(exchange));
    if (exchange->for_api && !check_credentials(request)) return false;
    return check_length(exchange) && check_media_type(exchange) && check_address(exchange) &&
           check_key(request);
}

void intake_body(struct exchange *exchange, const char *bytes, size_t length)
{
    text_add(&exchange->body, bytes, length);
}

bool intake_end(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    if (!text_ok(&exchange->body)) return fail_memory(&request->fails);
    request->body = exchange->body.data;
    request->body_length = exchange->body.length;
    return true;
}
