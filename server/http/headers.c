/* Reading the headers of a request. Nothing is judged here, see intake.c. */
#include "http/headers.h"

#include "base/arena.h"
#include "base/decimal.h"
#include "http/etag.h"

#include <netdb.h>
#include <string.h>
#include <strings.h>

const char *header(const struct exchange *exchange, const char *name)
{
    return MHD_lookup_connection_value(exchange->connection, MHD_HEADER_KIND, name);
}

static const char *copy(struct exchange *exchange, const char *text)
{
    return text != NULL ? arena_copy(exchange->request.arena, text) : NULL;
}

/* The guard has seen to it that it is digits; a number that no size holds is too large anyway. */
static size_t announced(const struct exchange *exchange)
{
    const char *length = header(exchange, "Content-Length");
    int64_t bytes;
    if (length == NULL) return 0;
    if (decimal_parse(length, strlen(length), 0, &bytes) != DECIMAL_OK) return SIZE_MAX;
    return (size_t)bytes;
}

/* The token of "Bearer TOKEN"; NULL for no token and for other schemes. */
static const char *bearer(struct exchange *exchange)
{
    static const char scheme[] = "Bearer ";
    size_t length = sizeof scheme - 1;
    const char *value = header(exchange, "Authorization");
    if (value == NULL || strncasecmp(value, scheme, length) != 0) return NULL;
    value += length + strspn(value + length, " ");
    return *value != '\0' ? copy(exchange, value) : NULL;
}

static const char *session_cookie(struct exchange *exchange)
{
    const char *value = MHD_lookup_connection_value(exchange->connection, MHD_COOKIE_KIND,
                                                    SESSION_COOKIE);
    return value != NULL && *value != '\0' ? copy(exchange, value) : NULL;
}

/* A browser says which page sends; that must be one of ours. */
static bool own_origin(const struct exchange *exchange)
{
    const char *origin = header(exchange, "Origin");
    const char *host = header(exchange, "Host");
    if (origin == NULL) return true;
    const char *place = strstr(origin, "://");
    return place != NULL && host != NULL && strcasecmp(place + 3, host) == 0;
}

static void take_preconditions(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    const char *match = header(exchange, "If-Match");
    request->if_none_match = copy(exchange, header(exchange, "If-None-Match"));
    request->precondition = (struct precondition){
        .must_exist = match != NULL,
        .must_not_exist = request->if_none_match != NULL &&
                          strcmp(request->if_none_match, "*") == 0,
        .revision = match != NULL ? etag_revision(match) : 0,
    };
}

/* Those that find no place are counted: the count then tells of them. */
static enum MHD_Result take_query(void *context, enum MHD_ValueKind kind, const char *name,
                                  const char *value)
{
    struct exchange *exchange = context;
    struct request *request = &exchange->request;
    (void)kind;
    if (request->query_count++ >= QUERY_MAX) return MHD_NO;
    request->query[request->query_count - 1] = (struct param){
        copy(exchange, name), copy(exchange, value != NULL ? value : "")};
    return MHD_YES;
}

static const char *client(struct exchange *exchange)
{
    char address[NI_MAXHOST] = "";
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(
        exchange->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    if (info == NULL || info->client_addr == NULL) return "";
    socklen_t size = info->client_addr->sa_family == AF_INET6 ? sizeof(struct sockaddr_in6)
                                                              : sizeof(struct sockaddr_in);
    getnameinfo(info->client_addr, size, address, sizeof address, NULL, 0, NI_NUMERICHOST);
    return copy(exchange, address);
}

void headers_take(struct exchange *exchange)
{
    struct request *request = &exchange->request;
    exchange->announced = announced(exchange);
    request->bearer = bearer(exchange);
    request->cookie = session_cookie(exchange);
    request->idempotency_key = copy(exchange, header(exchange, "Idempotency-Key"));
    request->client = client(exchange);
    request->trusted_origin = own_origin(exchange);
    take_preconditions(exchange);
    MHD_get_connection_values(exchange->connection, MHD_GET_ARGUMENT_KIND, take_query, exchange);
}
