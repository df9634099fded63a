/* Who asks: tokens of programs and sessions of browsers.
 *
 * Both have the form "<bakery>.<secret>", so that the bakery is known before the book is opened;
 * the digest of the whole is what is stored.
 */
#ifndef MORROWLOAF_API_SIGN_IN_H
#define MORROWLOAF_API_SIGN_IN_H

#include "http/request.h"

struct tx;

/* Opens the book at the bakery of the token or session and sets request->role and request->actor.
 * For a route that signs in, opens it at default_bakery. FAIL_UNAUTHENTICATED when the token or
 * session is not known; FAIL_FORBIDDEN for a browser's unsafe request from a page of another site.
 */
bool sign_in_identify(struct request *request, struct tx *tx, int64_t default_bakery);

/* The words of roles for enum role, from ROLE_COUNTER on; ends with NULL. */
extern const char *const role_words[];

enum { CREDENTIAL_SIZE = 80 }; /* text of a token or cookie value with NUL */

/* A new token or cookie value for that bakery, and its digest (DIGEST_TEXT_SIZE bytes). */
void sign_in_new_credential(int64_t bakery_id, char out[CREDENTIAL_SIZE], char *digest);

#endif
