/* Reads the settings. An unset and an empty variable are the same. */
#include "settings.h"

#include "base/arena.h"
#include "base/decimal.h"

#include <string.h>

struct reading {
    struct arena *arena;
    char *(*get)(const char *name);
    const char *wrong; /* the first thing found wrong */
    bool failed;
};

static const char *text_of(const struct reading *in, const char *name, const char *otherwise)
{
    const char *value = in->get(name);
    return value != NULL && value[0] != '\0' ? value : otherwise;
}

static void refuse(struct reading *in, const char *name, const char *wants, const char *value)
{
    if (in->failed) return;
    in->failed = true;
    in->wrong = arena_printf(in->arena, "%s must be %s, not \"%s\"", name, wants, value);
}

static int64_t whole_of(struct reading *in, const char *name, int64_t min, int64_t max,
                        int64_t otherwise)
{
    const char *value = text_of(in, name, NULL);
    int64_t number = 0;
    if (value == NULL) return otherwise;
    if (decimal_parse(value, strlen(value), 0, &number) == DECIMAL_OK && number >= min &&
        number <= max)
        return number;
    const char *wants = arena_printf(in->arena, "a whole number from %lld to %lld", (long long)min,
                                     (long long)max);
    refuse(in, name, wants != NULL ? wants : "a whole number", value);
    return otherwise;
}

/* The index of the value in words, which end with NULL. */
static int word_of(struct reading *in, const char *name, const char *const words[],
                   const char *wants, int otherwise)
{
    const char *value = text_of(in, name, NULL);
    if (value == NULL) return otherwise;
    for (int i = 0; words[i] != NULL; i++)
        if (strcmp(words[i], value) == 0) return i;
    refuse(in, name, wants, value);
    return otherwise;
}

static bool yes_of(struct reading *in, const char *name)
{
    static const char *const words[] = {"no", "0", "yes", "1", NULL};
    return word_of(in, name, words, "yes or no", 0) >= 2;
}

static enum log_level level_of(struct reading *in, const char *name)
{
    static const char *const words[] = {"quiet", "error", "warning", "info", NULL};
    static const enum log_level levels[] = {LOG_QUIET, LOG_ERROR, LOG_WARNING, LOG_INFO};
    return levels[word_of(in, name, words, "quiet, error, warning or info", 3)];
}

/* "address:port"; whether the address exists is for the system to say. */
static const char *listen_of(struct reading *in, const char *name)
{
    const char *value = text_of(in, name, "127.0.0.1:8480");
    const char *colon = strrchr(value, ':');
    int64_t port = -1;
    if (colon == NULL || colon == value ||
        decimal_parse(colon + 1, strlen(colon + 1), 0, &port) != DECIMAL_OK || port < 0 ||
        port > 65535)
        refuse(in, name, "an address and a port such as 127.0.0.1:8480 or [::1]:8480", value);
    return value;
}

bool settings_read(struct arena *arena, char *(*get)(const char *name), struct settings *settings,
                   const char **wrong)
{
    struct reading in = {.arena = arena, .get = get};
    const char *share = text_of(&in, "MORROWLOAF_SHARE", MORROWLOAF_SHARE);
    *settings = (struct settings){
        .conninfo = text_of(&in, "MORROWLOAF_DB", NULL),
        .listen = listen_of(&in, "MORROWLOAF_LISTEN"),
        .sql_folder = arena_printf(arena, "%s/sql", share),
        .static_folder = arena_printf(arena, "%s/static", share),
        .demo_file = arena_printf(arena, "%s/deploy/demo.json", share),
        .readers = (int)whole_of(&in, "MORROWLOAF_READERS", 1, 64, 2),
        .writers = (int)whole_of(&in, "MORROWLOAF_WRITERS", 1, 256, 8),
        .deadline_ms = (int)whole_of(&in, "MORROWLOAF_DEADLINE_MS", 100, 600000, 5000),
        .secure_cookie = yes_of(&in, "MORROWLOAF_SECURE_COOKIE"),
        .bakery_id = whole_of(&in, "MORROWLOAF_BAKERY", 1, INT64_MAX, 1),
        .log_level = level_of(&in, "MORROWLOAF_LOG"),
    };
    *wrong = in.wrong;
    return !in.failed && !arena_failed(arena);
}
