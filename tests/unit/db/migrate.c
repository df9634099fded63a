/* Migrating: from nothing, again, both at once, and everything that is refused. */
#include "db/migrate.h"
#include "database.h"

#include "base/log.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_SIZE = 256 };

#define PROGRAM_SQL MORROWLOAF_SOURCE "/sql"

/* --- a folder of migrations to play with --- */

static char folder[PATH_SIZE];

static void write_file(const char *name, const char *text)
{
    char path[2 * PATH_SIZE];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    cr_assert_not_null(file);
    cr_assert(fputs(text, file) >= 0);
    cr_assert_eq(fclose(file), 0);
}

static void remove_file(const char *name)
{
    char path[2 * PATH_SIZE];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    cr_assert_eq(unlink(path), 0);
}

static void copy_roles(void)
{
    char text[8192];
    FILE *file = fopen(PROGRAM_SQL "/roles.sql", "r");
    cr_assert_not_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    cr_assert(length > 0 && length < sizeof text - 1);
    text[length] = '\0';
    fclose(file);
    write_file("roles.sql", text);
}

#define VERIFY(table)                                                                              \
    "DO $$ BEGIN IF to_regclass('morrowloaf." table                                                \
    "') IS NULL THEN"                                                                              \
    " RAISE EXCEPTION '" table " is missing'; END IF; END $$"

/* Two sound migrations. */
static void make_folder(void)
{
    log_set_level(LOG_QUIET);
    snprintf(folder, sizeof folder, "/tmp/morrowloaf-migrate-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    char path[2 * PATH_SIZE];
    snprintf(path, sizeof path, "%s/migrations", folder);
    cr_assert_eq(mkdir(path, 0700), 0);
    snprintf(path, sizeof path, "%s/verify", folder);
    cr_assert_eq(mkdir(path, 0700), 0);
    copy_roles();
    write_file("migrations/0001_flour.sql", "CREATE TABLE flour (name text)");
    write_file("verify/0001.sql", VERIFY("flour"));
    write_file("migrations/0002_water.sql",
               "CREATE TABLE water (name text);\nINSERT INTO flour VALUES ('brød');");
    write_file("verify/0002.sql", VERIFY("water"));
}

static void remove_folder(void)
{
    char command[PATH_SIZE + 16];
    snprintf(command, sizeof command, "rm -r %s", folder);
    cr_assert_eq(system(command), 0);
}

TestSuite(migrate, .timeout = 60, .init = make_folder, .fini = remove_folder);

/* What the database holds, as one number: migrations recorded, and tables made. */
static int64_t state(const char *conninfo)
{
    return test_whole(
        conninfo,
        "SELECT 10 * (SELECT count(*) FROM morrowloaf.migration) + (SELECT count(*)"
        " FROM pg_tables WHERE schemaname = 'morrowloaf' AND tablename <> 'migration')");
}

/* --- the way it should go --- */

Test(migrate, makes_the_programs_schema_and_finds_it_made)
{
    const char *database = test_database_new();
    cr_expect_not(migrate_check(database, PROGRAM_SQL));
    cr_assert(migrate(database, PROGRAM_SQL));
    cr_expect(migrate_check(database, PROGRAM_SQL));
    int64_t made = state(database);
    cr_expect_gt(made, 20);
    cr_assert(migrate(database, PROGRAM_SQL));
    cr_expect_eq(state(database), made);
}

Test(migrate, applies_what_is_missing_in_order)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    cr_expect_eq(state(database), 22);
    write_file("migrations/0003_salt.sql", "CREATE TABLE salt (name text)");
    write_file("verify/0003.sql", VERIFY("salt"));
    cr_expect_not(migrate_check(database, folder));
    cr_assert(migrate(database, folder));
    cr_expect_eq(state(database), 33);
    cr_expect(migrate_check(database, folder));
    cr_expect_eq(test_whole(database, "SELECT count(*) FROM morrowloaf.flour"), 1);
    cr_expect_eq(test_whole(database,
                            "SELECT count(*) FROM pg_tables WHERE schemaname ="
                            " 'morrowloaf' AND tableowner <> 'morrowloaf_owner'"),
                 0);
}

static void *migrate_in_thread(void *database)
{
    return migrate(database, folder) ? database : NULL;
}

Test(migrate, by_several_at_once_happens_once)
{
    enum { COUNT = 4 };
    static char database[1024];
    pthread_t threads[COUNT];
    snprintf(database, sizeof database, "%s", test_database_new());
    for (int i = 0; i < COUNT; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, migrate_in_thread, database), 0);
    for (int i = 0; i < COUNT; i++) {
        void *migrated;
        pthread_join(threads[i], &migrated);
        cr_expect_not_null(migrated);
    }
    cr_expect_eq(state(database), 22);
    cr_expect_eq(test_whole(database, "SELECT count(*) FROM morrowloaf.flour"), 1);
}

/* --- what is refused --- */

/* Neither migrates nor serves, and leaves the database as it is. */
static void expect_refused(const char *database, int64_t expected_state)
{
    cr_expect_not(migrate(database, folder));
    cr_expect_not(migrate_check(database, folder));
    cr_expect_eq(state(database), expected_state);
}

Test(migrate, refuses_a_migration_that_was_changed)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    write_file("migrations/0001_flour.sql", "CREATE TABLE flour (name text) ");
    expect_refused(database, 22);
}

Test(migrate, refuses_a_schema_newer_than_the_program)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    remove_file("migrations/0002_water.sql");
    remove_file("verify/0002.sql");
    expect_refused(database, 22);
}

Test(migrate, refuses_a_schema_with_a_gap)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    test_sql(database, "DELETE FROM morrowloaf.migration WHERE number = 1");
    expect_refused(database, 12);
}

Test(migrate, refuses_a_folder_that_does_not_count)
{
    static const char *const odd[] = {"migrations/0004_gap.sql",   "migrations/0002_again.sql",
                                      "migrations/3_short.sql",    "migrations/0003.sql",
                                      "migrations/0003_.sql",      "migrations/0003_Upper.sql",
                                      "migrations/0003_copy.sql~", "migrations/notes.txt"};
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    write_file("verify/0003.sql", "SELECT 1");
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        write_file(odd[i], "SELECT 1");
        expect_refused(database, 22);
        remove_file(odd[i]);
    }
    cr_expect(migrate_check(database, folder));
}

Test(migrate, refuses_a_migration_without_verify_script)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    write_file("migrations/0003_salt.sql", "CREATE TABLE salt (name text)");
    expect_refused(database, 22);
}

Test(migrate, refuses_a_folder_that_is_not_there)
{
    const char *database = test_database_new();
    cr_expect_not(migrate(database, "/nowhere"));
    cr_expect_not(migrate(database, "/tmp"));
    cr_expect_not(migrate_check(database, folder));
}

Test(migrate, refuses_a_server_that_is_not_there)
{
    cr_expect_not(migrate("host=/nowhere", folder));
    cr_expect_not(migrate_check("host=/nowhere", folder));
}

/* The third migration fails in some way; the first two stay. */
static void expect_third_fails(const char *text, const char *verify)
{
    const char *database = test_database_new();
    write_file("migrations/0003_salt.sql", text);
    write_file("verify/0003.sql", verify);
    expect_refused(database, 22);
    write_file("migrations/0003_salt.sql", "CREATE TABLE salt (name text)");
    write_file("verify/0003.sql", VERIFY("salt"));
    cr_assert(migrate(database, folder));
    cr_expect_eq(state(database), 33);
}

Test(migrate, takes_back_a_migration_that_fails)
{
    expect_third_fails("CREATE TABLE salt (name text);\nSELECT 'ø' FROM nowhere;", "SELECT 1");
}

Test(migrate, takes_back_a_migration_that_lacks_something)
{
    expect_third_fails("CREATE TABLE pepper (name text)", VERIFY("salt"));
}

Test(migrate, takes_back_a_migration_that_fails_at_commit)
{
    expect_third_fails(
        "CREATE TABLE salt (name text UNIQUE DEFERRABLE INITIALLY DEFERRED);"
        "INSERT INTO salt VALUES ('x'), ('x')",
        VERIFY("salt"));
}

Test(migrate, takes_back_a_migration_that_copies_from_the_client)
{
    expect_third_fails("CREATE TABLE salt (name text); COPY salt FROM STDIN", VERIFY("salt"));
}

Test(migrate, refuses_a_migration_that_ends_its_own_transaction)
{
    const char *database = test_database_new();
    cr_assert(migrate(database, folder));
    write_file("migrations/0003_salt.sql", "CREATE TABLE salt (name text); COMMIT");
    write_file("verify/0003.sql", VERIFY("salt"));
    cr_expect_not(migrate(database, folder));
    cr_expect_eq(test_whole(database, "SELECT count(*) FROM morrowloaf.migration"), 2);
}

/* --- without a superuser --- */

Test(migrate, works_for_a_role_that_may_make_roles)
{
    const char *database = test_database_new();
    char login[64], sql[512], conninfo[1200];
    snprintf(login, sizeof login, "morrowloaf_test_login_%d", (int)getpid());
    snprintf(sql, sizeof sql,
             "CREATE ROLE %s LOGIN CREATEROLE;"
             "DO $$ BEGIN EXECUTE format('ALTER DATABASE %%I OWNER TO %s', current_database());"
             " END $$",
             login, login);
    test_sql(database, sql);
    snprintf(conninfo, sizeof conninfo, "%s user=%s", database, login);
    cr_expect(migrate(conninfo, folder));
    snprintf(sql, sizeof sql, "ALTER ROLE %s NOCREATEROLE", login);
    test_sql(database, sql);
    cr_expect(migrate(conninfo, folder));
    cr_expect(migrate_check(conninfo, folder));
    snprintf(sql, sizeof sql,
             "DO $$ BEGIN EXECUTE format('ALTER DATABASE %%I OWNER TO CURRENT_USER',"
             " current_database()); END $$; DROP OWNED BY %s; DROP ROLE %s",
             login, login);
    test_sql(database, sql);
}
