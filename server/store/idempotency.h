/* Idempotency keys: an answer given once is given again, never made again. */
#ifndef MORROWLOAF_STORE_IDEMPOTENCY_H
#define MORROWLOAF_STORE_IDEMPOTENCY_H

#include <stdbool.h>
#include <stdint.h>

struct tx;

struct idempotency {
    const char *key;
    const char *digest; /* of the request: who asks for what with which body */
    bool replay; /* the key came before with the same request: status, location, body are set */
    bool reused; /* the key came before with another request */
    int64_t status;
    const char *location; /* or NULL */
    const char *body;
};

/* Claims the key for this transaction, or finds what was answered before. A second request with the
 * key waits until the first is committed or rolled back. The row is read FOR UPDATE, so that the
 * commit of a replay waits for a standby too. */
bool idempotency_claim(struct tx *tx, struct idempotency *claim);
/* Stores the answer with the claimed key. */
bool idempotency_remember(struct tx *tx, const struct idempotency *claim);
/* Forgets keys older than 30 days. */
bool idempotency_forget_old(struct tx *tx);

#endif
