/* Tokens, session cookies, passwords and digests, all by libsodium.
 *
 * Invariant: how long a refusal takes does not tell whether the name exists: for nobody's password
 * the same work is done.
 */
#include "http/secret.h"

#include <errno.h>
#include <sodium.h>
#include <string.h>

enum { SECRET_BYTES = 32, DIGEST_BYTES = 32 };

/* Argon2id with 32 MiB in 3 passes: above the least that is advised for servers, and a few people
 * who sign in at once do not exhaust a small machine. */
enum { PASSES = 3, MEMORY = 32 * 1024 * 1024 };

_Static_assert(PASSWORD_HASH_SIZE >= crypto_pwhash_STRBYTES, "a password's hash must fit");
_Static_assert(DIGEST_TEXT_SIZE == 2 * DIGEST_BYTES + 1, "a digest in hex must fit");
_Static_assert(SECRET_TEXT_SIZE >=
                   sodium_base64_ENCODED_LEN(SECRET_BYTES,
                                             sodium_base64_VARIANT_URLSAFE_NO_PADDING),
               "a secret as text must fit");

bool secret_init(void)
{
    return sodium_init() >= 0;
}

void secret_new(char out[SECRET_TEXT_SIZE])
{
    unsigned char bytes[SECRET_BYTES];
    randombytes_buf(bytes, sizeof bytes);
    sodium_bin2base64(out, SECRET_TEXT_SIZE, bytes, sizeof bytes,
                      sodium_base64_VARIANT_URLSAFE_NO_PADDING);
    sodium_memzero(bytes, sizeof bytes);
}

void digest_text(char out[DIGEST_TEXT_SIZE], const void *bytes, size_t length)
{
    unsigned char digest[DIGEST_BYTES];
    crypto_generichash(digest, sizeof digest, bytes, length, NULL, 0);
    sodium_bin2hex(out, DIGEST_TEXT_SIZE, digest, sizeof digest);
}

bool password_hash(char out[PASSWORD_HASH_SIZE], const char *password)
{
    return crypto_pwhash_str_alg(out, password, strlen(password), PASSES, MEMORY,
                                 crypto_pwhash_ALG_ARGON2ID13) == 0;
}

/* A hash that was compared and differs, or is none at all, is told by EINVAL: whatever else stopped
 * libsodium was a want of memory. */
bool password_matches(const char *hash, const char *password)
{
    char unused[PASSWORD_HASH_SIZE];
    bool able;
    errno = 0;
    if (hash == NULL) {
        able = password_hash(unused, password);
    } else {
        if (crypto_pwhash_str_verify(hash, password, strlen(password)) == 0) return true;
        able = errno == EINVAL;
    }
    errno = able ? 0 : ENOMEM;
    return false;
}
