/* Idempotency keys. */
#include "store/idempotency.h"

#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

#include <string.h>

STATEMENTS(idempotency_statements,
           {"idempotency_claim",
            "INSERT INTO idempotency (bakery_id, key, digest)"
            " VALUES ($1, $2, $3) ON CONFLICT DO NOTHING"},
           {"idempotency_find",
            "SELECT digest, status, location, body FROM idempotency"
            " WHERE bakery_id = $1 AND key = $2 FOR UPDATE"},
           {"idempotency_remember",
            "UPDATE idempotency SET status = $3, location = $4, body = $5"
            " WHERE bakery_id = $1 AND key = $2"},
           {"idempotency_forget_old",
            "DELETE FROM idempotency WHERE bakery_id = $1"
            " AND created_at < now() - interval '30 days'"});

static bool find_earlier(struct tx *tx, struct idempotency *claim)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, claim->key);
    if (!tx_query(tx, "idempotency_find", &args, &rows)) return false;
    if (!rows_next(&rows)) /* forgotten in this very moment */
        return fail_add(tx->fails, FAIL_UNAVAILABLE, "", "try again");
    claim->reused = strcmp(row_text(&rows), claim->digest) != 0;
    claim->replay = !claim->reused;
    claim->status = row_whole(&rows);
    claim->location = row_text(&rows);
    claim->body = row_text(&rows);
    return true;
}

bool idempotency_claim(struct tx *tx, struct idempotency *claim)
{
    struct args args;
    int64_t claimed = 0;
    claim->replay = claim->reused = false;
    args_init(&args, tx);
    args_text(&args, claim->key);
    args_text(&args, claim->digest);
    if (!tx_execute(tx, "idempotency_claim", &args, &claimed)) return false;
    return claimed == 1 || find_earlier(tx, claim);
}

bool idempotency_remember(struct tx *tx, const struct idempotency *claim)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, claim->key);
    args_whole(&args, claim->status);
    args_text(&args, claim->location);
    args_text(&args, claim->body);
    return tx_execute(tx, "idempotency_remember", &args, NULL);
}

bool idempotency_forget_old(struct tx *tx)
{
    struct args args;
    args_init(&args, tx);
    return tx_execute(tx, "idempotency_forget_old", &args, NULL);
}
