/* /sessions: signing in and out on the page. */
#include "api/handlers.h"
#include "api/sign_in.h"
#include "api/zone.h"
#include "bakery/production.h"
#include "base/arena.h"
#include "http/secret.h"
#include "store/access.h"
#include "store/bakery.h"
#include "store/idempotency.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>

enum { PASSWORD_MAX = 200 };

static const char *cookie(struct request *request, const char *value, int64_t seconds)
{
    return arena_printf(request->arena,
                        "morrowloaf_session=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%" PRId64
                        "%s",
                        value, seconds, request->secure_cookie ? "; Secure" : "");
}

/* Refused, but committed: the attempt is counted. */
static bool refuse(struct request *request, const char *name)
{
    fail_add(&request->fails, FAIL_UNAUTHENTICATED, "", "the name or the password is not right");
    return access_count_attempt(request->tx, name, false);
}

static bool locked(struct request *request, int64_t seconds)
{
    request->reply.retry_after_s = (int)seconds;
    return fail_add(&request->fails, FAIL_TOO_MANY, "",
                    "too many attempts; wait %" PRId64 " seconds", seconds);
}

static bool begin_session(struct request *request, const char *name, const char *role)
{
    char credential[CREDENTIAL_SIZE], digest[DIGEST_TEXT_SIZE];
    sign_in_new_credential(request->bakery_id, credential, digest);
    if (!access_count_attempt(request->tx, name, true) || !access_forget_sessions(request->tx) ||
        !idempotency_forget_old(request->tx) || !access_add_session(request->tx, name, digest))
        return false;
    struct json_writer *json = reply_json(request, 201);
    json_open_object(json, NULL);
    json_put_text(json, "name", name);
    json_put_text(json, "role", role);
    json_close(json);
    request->reply.set_cookie = cookie(request, credential,
                                       (int64_t)SESSION_DAYS * SECONDS_PER_DAY);
    return request->reply.set_cookie != NULL;
}

bool sign_in(struct request *request)
{
    struct json_node root;
    struct json_object body;
    struct credentials found;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    const char *name = json_text(&body, "name", JSON_REQUIRED, NAME_MAX_CHARACTERS);
    const char *password = json_text(&body, "password", JSON_REQUIRED, PASSWORD_MAX);
    if (!json_object_close(&body) || !access_credentials(request->tx, name, &found)) return false;
    if (found.locked_s > 0) return locked(request, found.locked_s);
    if (!password_matches(found.password_hash, password))
        return errno == ENOMEM ? fail_memory(&request->fails) : refuse(request, name);
    return begin_session(request, name, found.role);
}

/* The bakery's own day, so that a page need not trust its own clock and zone. */
static bool write_today(struct request *request, struct json_writer *json)
{
    struct bakery bakery;
    struct catalogue catalogue = {0};
    date today;
    int minutes;
    const struct zone *zone;
    if (!bakery_get(request->tx, &bakery)) return false;
    json_put_text(json, "bakery", bakery.name);
    json_put_text(json, "currency", bakery.currency);
    json_put_text(json, "time_zone", bakery.time_zone);
    if (bakery.name == NULL) {
        json_put_null(json, "today");
        json_put_null(json, "working_day");
        return true;
    }
    if (!request_zone(request, &zone)) return false;
    catalogue.bakery = bakery;
    struct reckoning reckoning = {.catalogue = &catalogue, .zone = zone};
    zone_wall(zone, instant_now(), &today, &minutes);
    json_put_date(json, "today", today);
    json_put_date(json, "working_day", working_day(&reckoning, instant_now()));
    return true;
}

bool get_session(struct request *request)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_text(json, "name", request->actor);
    json_put_text(json, "role", role_words[request->role - ROLE_COUNTER]);
    if (!write_today(request, json)) return false;
    json_close(json);
    reply_etag(request);
    return true;
}

bool sign_out(struct request *request)
{
    char digest[DIGEST_TEXT_SIZE];
    reply_nothing(request);
    if (request->cookie == NULL) return true;
    digest_text(digest, request->cookie, strlen(request->cookie));
    request->reply.set_cookie = cookie(request, "", 0);
    return request->reply.set_cookie != NULL && access_delete_session(request->tx, digest);
}
