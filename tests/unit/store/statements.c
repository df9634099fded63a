/* Every statement of the registry against the migrated schema, and every constraint that is
 * explained to the user. */
#include "store/statements.h"

#include "../db/database.h"

#include "base/arena.h"
#include "base/log.h"
#include "store/book.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <string.h>

TestSuite(statements, .timeout = 60);

static PGconn *connect_to_schema(void)
{
    PGconn *link = PQconnectdb(test_database());
    cr_assert_eq(PQstatus(link), CONNECTION_OK, "%s", PQerrorMessage(link));
    PQclear(PQexec(link, "SET search_path = morrowloaf"));
    return link;
}

Test(statements, each_can_be_prepared)
{
    PGconn *link = connect_to_schema();
    size_t count = 0;
    for (size_t t = 0; store_statements[t] != NULL; t++) {
        for (size_t i = 0; i < store_statements[t]->count; i++, count++) {
            const struct statement *statement = &store_statements[t]->statements[i];
            /* A name that came before is refused by the server: names are unique. */
            PGresult *result = PQprepare(link, statement->name, statement->text, 0, NULL);
            cr_expect_eq(PQresultStatus(result), PGRES_COMMAND_OK, "%s: %s", statement->name,
                         PQresultErrorMessage(result));
            PQclear(result);
        }
    }
    cr_expect_gt(count, 50);
    PQfinish(link);
}

Test(statements, each_names_its_bakery)
{
    for (size_t t = 0; store_statements[t] != NULL; t++)
        for (size_t i = 0; i < store_statements[t]->count; i++)
            cr_expect_not_null(strstr(store_statements[t]->statements[i].text, "$1"), "%s",
                               store_statements[t]->statements[i].name);
}

Test(statements, each_explained_constraint_exists)
{
    PGconn *link = connect_to_schema();
    for (const struct db_constraint *rule = store_constraints; rule->name != NULL; rule++) {
        const char *values[] = {rule->name};
        PGresult *result = PQexecParams(link, "SELECT 1 FROM pg_constraint WHERE conname = $1", 1,
                                        NULL, values, NULL, NULL, 0);
        cr_expect_eq(PQntuples(result), 1, "%s is no constraint of the schema", rule->name);
        PQclear(result);
    }
    PQfinish(link);
}

static bool do_nothing(struct tx *tx, void *context)
{
    (void)context;
    return book_enter(tx, 1);
}

Test(statements, a_book_opens_with_all_of_them)
{
    struct arena *arena = arena_new(0);
    struct fails fails;
    fails_init(&fails, arena);
    struct book *book = book_open(test_database(), 5000);
    cr_assert_not_null(book);
    cr_expect(book_read(book, arena, &fails, do_nothing, NULL));
    cr_expect_not(fails_any(&fails));
    book_close(book);
    arena_free(arena);
}
