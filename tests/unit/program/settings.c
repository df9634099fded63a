/* The settings: their defaults, what they take and what they refuse. */
#include "settings.h"

#include "base/arena.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

TestSuite(settings, .timeout = 20);

/* The environment of a test: one variable of its choice. */
static const char *set_name;
static char set_value[200];

static char *get(const char *name)
{
    return set_name != NULL && strcmp(name, set_name) == 0 ? set_value : NULL;
}

static void set(const char *name, const char *value)
{
    set_name = name;
    snprintf(set_value, sizeof set_value, "%s", value);
}

Test(settings, defaults)
{
    struct arena *arena = arena_new(0);
    struct settings settings;
    const char *wrong = "?";
    set_name = NULL;
    cr_assert(settings_read(arena, get, &settings, &wrong));
    cr_assert_null(wrong);
    cr_assert_null(settings.conninfo);
    cr_assert_str_eq(settings.listen, "127.0.0.1:8480");
    cr_assert_str_eq(settings.sql_folder, MORROWLOAF_SHARE "/sql");
    cr_assert_str_eq(settings.demo_file, MORROWLOAF_SHARE "/deploy/demo.json");
    cr_assert_eq(settings.readers, 2);
    cr_assert_eq(settings.writers, 8);
    cr_assert_eq(settings.deadline_ms, 5000);
    cr_assert_not(settings.secure_cookie);
    cr_assert_eq(settings.bakery_id, 1);
    cr_assert_eq((int)settings.log_level, (int)LOG_INFO);
    arena_free(arena);
}

Test(settings, share_names_the_folders)
{
    struct arena *arena = arena_new(0);
    struct settings settings;
    const char *wrong = NULL;
    set("MORROWLOAF_SHARE", "/usr/share/bread");
    cr_assert(settings_read(arena, get, &settings, &wrong));
    cr_assert_str_eq(settings.sql_folder, "/usr/share/bread/sql");
    cr_assert_str_eq(settings.static_folder, "/usr/share/bread/static");
    arena_free(arena);
}

/* Whether the value is taken; when it is not, the sentence names the variable and the value. */
static bool takes(const char *name, const char *value)
{
    struct arena *arena = arena_new(0);
    struct settings settings;
    const char *wrong = NULL;
    set(name, value);
    bool taken = settings_read(arena, get, &settings, &wrong);
    if (!taken) {
        cr_assert_not_null(wrong);
        cr_assert_not_null(strstr(wrong, name), "%s", wrong);
        cr_assert_not_null(strstr(wrong, value), "%s", wrong);
    }
    arena_free(arena);
    return taken;
}

Test(settings, good_values)
{
    static const char *const good[][2] = {
        {"MORROWLOAF_LISTEN", "0.0.0.0:80"},
        {"MORROWLOAF_LISTEN", "[::1]:0"},
        {"MORROWLOAF_READERS", "1"},
        {"MORROWLOAF_READERS", "64"},
        {"MORROWLOAF_WRITERS", "256"},
        {"MORROWLOAF_WRITERS", ""},
        {"MORROWLOAF_DEADLINE_MS", "600000"},
        {"MORROWLOAF_SECURE_COOKIE", "yes"},
        {"MORROWLOAF_SECURE_COOKIE", "0"},
        {"MORROWLOAF_LOG", "quiet"},
        {"MORROWLOAF_BAKERY", "9223372036854775807"},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        cr_assert(takes(good[i][0], good[i][1]), "%s=%s", good[i][0], good[i][1]);
}

Test(settings, bad_values)
{
    static const char *const bad[][2] = {
        {"MORROWLOAF_LISTEN", "8480"},
        {"MORROWLOAF_LISTEN", ":8480"},
        {"MORROWLOAF_LISTEN", "localhost:"},
        {"MORROWLOAF_LISTEN", "localhost:65536"},
        {"MORROWLOAF_LISTEN", "localhost:-1"},
        {"MORROWLOAF_LISTEN", "localhost:http"},
        {"MORROWLOAF_READERS", "0"},
        {"MORROWLOAF_READERS", "65"},
        {"MORROWLOAF_READERS", "2.5"},
        {"MORROWLOAF_READERS", "two"},
        {"MORROWLOAF_READERS", " 2"},
        {"MORROWLOAF_WRITERS", "257"},
        {"MORROWLOAF_DEADLINE_MS", "99"},
        {"MORROWLOAF_SECURE_COOKIE", "maybe"},
        {"MORROWLOAF_LOG", "loud"},
        {"MORROWLOAF_BAKERY", "0"},
        {"MORROWLOAF_BAKERY", "9223372036854775808"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        cr_assert_not(takes(bad[i][0], bad[i][1]), "%s=%s", bad[i][0], bad[i][1]);
}

Test(settings, secure_cookie)
{
    struct arena *arena = arena_new(0);
    struct settings settings;
    const char *wrong = NULL;
    set("MORROWLOAF_SECURE_COOKIE", "1");
    cr_assert(settings_read(arena, get, &settings, &wrong));
    cr_assert(settings.secure_cookie);
    arena_free(arena);
}

Test(settings, short_memory_is_no_wrong_value)
{
    for (long n = 1; n <= 3; n++) {
        struct arena *arena = arena_new(0);
        struct settings settings;
        const char *wrong = "?";
        set_name = NULL;
        arena_fail_nth(n);
        cr_assert_not(settings_read(arena, get, &settings, &wrong));
        cr_assert_null(wrong);
        arena_fail_nth(0);
        arena_free(arena);
    }
}
