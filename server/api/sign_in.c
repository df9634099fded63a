/* Identity from a token or a session cookie. */
#include "api/sign_in.h"

#include "base/decimal.h"
#include "http/router.h"
#include "http/secret.h"
#include "store/access.h"
#include "store/book.h"
#include "store/words.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

const char *const role_words[] = {"counter", "baker", "owner", NULL};

void sign_in_new_credential(int64_t bakery_id, char out[CREDENTIAL_SIZE], char *digest)
{
    char secret[SECRET_TEXT_SIZE];
    secret_new(secret);
    snprintf(out, CREDENTIAL_SIZE, "%" PRId64 ".%s", bakery_id, secret);
    digest_text(digest, out, strlen(out));
}

/* The bakery that a credential says it is for; false when it has not our form. */
static bool credential_bakery(const char *credential, int64_t *bakery_id)
{
    const char *dot = strchr(credential, '.');
    return dot != NULL && strlen(credential) < CREDENTIAL_SIZE &&
           decimal_parse(credential, (size_t)(dot - credential), 0, bakery_id) == DECIMAL_OK &&
           *bakery_id > 0;
}

static bool unknown(struct request *request)
{
    return fail_add(&request->fails, FAIL_UNAUTHENTICATED, "",
                    "sign in, or send a token that is known here");
}

static bool identify_by(struct request *request, struct tx *tx, const char *credential)
{
    int64_t bakery_id;
    char digest[DIGEST_TEXT_SIZE];
    const char *name, *role;
    if (!credential_bakery(credential, &bakery_id)) return unknown(request);
    digest_text(digest, credential, strlen(credential));
    if (!book_enter(tx, bakery_id)) return false;
    request->bakery_id = bakery_id;
    bool found = request->bearer != NULL ? access_by_token(tx, digest, &name, &role)
                                         : access_by_session(tx, digest, &name, &role);
    if (!found) return false;
    if (name == NULL) return unknown(request);
    request->actor = name;
    request->role = (enum role)(ROLE_COUNTER + word_index(role_words, role));
    book_signed_by(tx, name);
    return true;
}

/* A browser sends its cookie whoever made the page: a page of another site may only look. */
static bool from_own_page(struct request *request)
{
    bool safe = strcmp(request->method, "GET") == 0 || strcmp(request->method, "HEAD") == 0;
    if (safe || request->trusted_origin) return true;
    return fail_add(&request->fails, FAIL_FORBIDDEN, "", "this page is not of this server");
}

bool sign_in_identify(struct request *request, struct tx *tx, int64_t default_bakery)
{
    request->role = ROLE_NONE;
    request->actor = "";
    request->bakery_id = default_bakery;
    if (request->route != NULL && request->route->kind == ROUTE_SIGN_IN)
        return from_own_page(request) && book_enter(tx, default_bakery);
    if (request->bearer != NULL) return identify_by(request, tx, request->bearer);
    if (request->cookie == NULL) return unknown(request);
    return from_own_page(request) && identify_by(request, tx, request->cookie);
}
