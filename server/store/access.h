/* Who may come in: people with passwords, their browser sessions, and tokens of programs. Only
 * digests and hashes are stored. */
#ifndef MORROWLOAF_STORE_ACCESS_H
#define MORROWLOAF_STORE_ACCESS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct tx;

enum { SESSION_DAYS = 30, FAILURES_BEFORE_LOCK = 5, LOCK_SECONDS = 60 };

/* The words of roles, least first: "counter", "baker", "owner". */

/* A person, without the password. */
struct person {
    const char *name;
    const char *role;
    int64_t revision;
};

struct access_token {
    const char *name;
    const char *role;
    int64_t created_at; /* instant */
};

/* Name and role behind the digest of a token; NULL in both when there is none. Strings live in the
 * transaction's arena. */
bool access_by_token(struct tx *tx, const char *digest, const char **name, const char **role);
/* The same for a browser session that has not expired. */
bool access_by_session(struct tx *tx, const char *digest, const char **name, const char **role);

/* --- tokens --- */

/* A second token of a name is FAIL_CONFLICT at "/name". */
bool access_add_token(struct tx *tx, const char *name, const char *role, const char *digest);
bool access_select_tokens(struct tx *tx, struct access_token **items, size_t *count);
bool access_delete_token(struct tx *tx, const char *name, bool *found);

/* --- sessions --- */

bool access_add_session(struct tx *tx, const char *person, const char *digest);
bool access_delete_session(struct tx *tx, const char *digest);
/* Deletes those that have expired. */
bool access_forget_sessions(struct tx *tx);

/* What a sign-in is checked against. */
struct credentials {
    const char *password_hash; /* NULL: no such person */
    const char *role;
    int64_t locked_s; /* seconds until the next attempt is allowed; 0: now */
};

/* Locks the person's row, so that attempts are counted one by one. */
bool access_credentials(struct tx *tx, const char *name, struct credentials *found);
/* After FAILURES_BEFORE_LOCK failures in a row each further one locks for LOCK_SECONDS. */
bool access_count_attempt(struct tx *tx, const char *name, bool success);

/* --- people --- */

/* password_hash NULL keeps the one there is. A new role or password ends the person's sessions. */
bool access_put_person(struct tx *tx, const char *name, const char *role,
                       const char *password_hash);
/* One person of that name, or all (NULL), by name. */
bool access_select_people(struct tx *tx, const char *name, struct person **items, size_t *count);
bool access_delete_person(struct tx *tx, const char *name);
/* How many owners there are besides that person: the last one may not go. */
bool access_other_owners(struct tx *tx, const char *name, int64_t *count);

#endif
