/* Tokens, session cookies, passwords and digests (libsodium). */
#ifndef MORROWLOAF_HTTP_SECRET_H
#define MORROWLOAF_HTTP_SECRET_H

#include <stdbool.h>
#include <stddef.h>

enum {
    SECRET_TEXT_SIZE = 48,   /* a new token or cookie value, with NUL */
    DIGEST_TEXT_SIZE = 65,   /* 32 bytes in hex, with NUL */
    PASSWORD_HASH_SIZE = 128 /* libsodium's argon2id string, with NUL */
};

/* Call once before anything else. */
bool secret_init(void);
/* A new random secret of 256 bits as text of [A-Za-z0-9_-]. */
void secret_new(char out[SECRET_TEXT_SIZE]);
/* BLAKE2b-256 in hex: how tokens and cookies are stored, and bodies compared. */
void digest_text(char out[DIGEST_TEXT_SIZE], const void *bytes, size_t length);
/* Argon2id. False when memory is short. */
bool password_hash(char out[PASSWORD_HASH_SIZE], const char *password);
/* Takes as long when hash is NULL (no such user), and is then false. When memory was too short to
 * tell, false with errno ENOMEM; errno is 0 otherwise. */
bool password_matches(const char *hash, const char *password);

#endif
