/* People, sessions and tokens. */
#include "store/access.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(access_statements,
           {"access_by_token",
            "SELECT name, role FROM access_token WHERE bakery_id = $1 AND digest = $2"},
           {"access_by_session",
            "SELECT p.name, p.role FROM web_session s"
            " JOIN person p ON p.bakery_id = s.bakery_id AND p.name = s.person"
            " WHERE s.bakery_id = $1 AND s.digest = $2 AND s.expires_at > now()"},
           {"access_add_token",
            "INSERT INTO access_token (bakery_id, name, role, digest)"
            " VALUES ($1, $2, $3, $4)"},
           {"access_list_tokens",
            "SELECT name, role, extract(epoch FROM created_at)::bigint"
            " FROM access_token WHERE bakery_id = $1"
            " ORDER BY name COLLATE \"C\""},
           {"access_delete_token", "DELETE FROM access_token WHERE bakery_id = $1 AND name = $2"},
           {"access_add_session",
            "INSERT INTO web_session (bakery_id, person, digest, expires_at)"
            " VALUES ($1, $2, $3, now() + make_interval(days => $4))"},
           {"access_delete_session",
            "DELETE FROM web_session WHERE bakery_id = $1 AND digest = $2"},
           {"access_forget_sessions",
            "DELETE FROM web_session WHERE bakery_id = $1 AND expires_at < now()"},
           {"access_credentials",
            "SELECT password_hash, role, greatest(0,"
            " ceil(extract(epoch FROM locked_until - now())))::bigint"
            " FROM person WHERE bakery_id = $1 AND name = $2 FOR UPDATE"},
           {"access_count_attempt",
            "UPDATE person SET failures = CASE WHEN $3 THEN 0 ELSE failures + 1"
            " END, locked_until = CASE WHEN $3 OR failures + 1 < $4 THEN NULL"
            " ELSE now() + make_interval(secs => $5) END"
            " WHERE bakery_id = $1 AND name = $2"},
           {"access_put_person",
            "INSERT INTO person (bakery_id, name, role, password_hash)"
            " VALUES ($1, $2, $3, $4) ON CONFLICT (bakery_id, name) DO UPDATE SET"
            " role = excluded.role, password_hash = excluded.password_hash,"
            " failures = 0, locked_until = NULL, revision = excluded.revision"},
           {"access_put_role",
            "UPDATE person SET role = $3, revision = nextval('revision_number')"
            " WHERE bakery_id = $1 AND name = $2"},
           {"access_end_sessions", "DELETE FROM web_session WHERE bakery_id = $1 AND person = $2"},
           {"access_list_people",
            "SELECT name, role, revision FROM person WHERE bakery_id = $1"
            " AND ($2::text IS NULL OR name = $2) ORDER BY name COLLATE \"C\""},
           {"access_delete_person", "DELETE FROM person WHERE bakery_id = $1 AND name = $2"},
           {"access_other_owners",
            "SELECT count(*) FROM person WHERE bakery_id = $1 AND role = 'owner'"
            " AND name <> $2"});

static bool name_and_role(struct tx *tx, const char *statement, const char *digest,
                          const char **name, const char **role)
{
    struct args args;
    struct rows rows;
    *name = *role = NULL;
    args_init(&args, tx);
    args_text(&args, digest);
    if (!tx_query(tx, statement, &args, &rows)) return false;
    if (rows_next(&rows)) {
        *name = row_text(&rows);
        *role = row_text(&rows);
    }
    return true;
}

bool access_by_token(struct tx *tx, const char *digest, const char **name, const char **role)
{
    return name_and_role(tx, "access_by_token", digest, name, role);
}

bool access_by_session(struct tx *tx, const char *digest, const char **name, const char **role)
{
    return name_and_role(tx, "access_by_session", digest, name, role);
}

bool access_add_token(struct tx *tx, const char *name, const char *role, const char *digest)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, name);
    args_text(&args, role);
    args_text(&args, digest);
    return tx_execute(tx, "access_add_token", &args, NULL);
}

bool access_select_tokens(struct tx *tx, struct access_token **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    if (!tx_query(tx, "access_list_tokens", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct access_token *token = *items; token != NULL && rows_next(&rows); token++) {
        token->name = row_text(&rows);
        token->role = row_text(&rows);
        token->created_at = row_instant(&rows);
    }
    return *items != NULL;
}

bool access_delete_token(struct tx *tx, const char *name, bool *found)
{
    struct args args;
    int64_t deleted = 0;
    args_init(&args, tx);
    args_text(&args, name);
    bool ok = tx_execute(tx, "access_delete_token", &args, &deleted);
    *found = deleted > 0;
    return ok;
}

bool access_add_session(struct tx *tx, const char *person, const char *digest)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, person);
    args_text(&args, digest);
    args_whole(&args, SESSION_DAYS);
    return tx_execute(tx, "access_add_session", &args, NULL);
}

bool access_delete_session(struct tx *tx, const char *digest)
{
    return tx_delete(tx, "access_delete_session", digest);
}

bool access_forget_sessions(struct tx *tx)
{
    struct args args;
    args_init(&args, tx);
    return tx_execute(tx, "access_forget_sessions", &args, NULL);
}

bool access_credentials(struct tx *tx, const char *name, struct credentials *found)
{
    struct args args;
    struct rows rows;
    *found = (struct credentials){0};
    args_init(&args, tx);
    args_text(&args, name);
    if (!tx_query(tx, "access_credentials", &args, &rows)) return false;
    if (rows_next(&rows)) {
        found->password_hash = row_text(&rows);
        found->role = row_text(&rows);
        found->locked_s = row_whole(&rows);
    }
    return true;
}

bool access_count_attempt(struct tx *tx, const char *name, bool success)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, name);
    args_bool(&args, success);
    args_whole(&args, FAILURES_BEFORE_LOCK);
    args_whole(&args, LOCK_SECONDS);
    return tx_execute(tx, "access_count_attempt", &args, NULL);
}

bool access_put_person(struct tx *tx, const char *name, const char *role, const char *password_hash)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, name);
    args_text(&args, role);
    if (password_hash != NULL) args_text(&args, password_hash);
    const char *statement = password_hash != NULL ? "access_put_person" : "access_put_role";
    return tx_execute(tx, statement, &args, NULL) && tx_delete(tx, "access_end_sessions", name);
}

bool access_select_people(struct tx *tx, const char *name, struct person **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, name);
    if (!tx_query(tx, "access_list_people", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct person *person = *items; person != NULL && rows_next(&rows); person++) {
        person->name = row_text(&rows);
        person->role = row_text(&rows);
        person->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool access_delete_person(struct tx *tx, const char *name)
{
    return tx_delete(tx, "access_delete_person", name);
}

bool access_other_owners(struct tx *tx, const char *name, int64_t *count)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, name);
    return tx_query_whole(tx, "access_other_owners", &args, count);
}
