/* token add, user add, user list. What they store they store through the API's own routes. */
#include "commands.h"

#include "base/arena.h"
#include "http/secret.h"
#include "local.h"
#include "password.h"

#include <stdio.h>
#include <string.h>

enum { BODY_CAP = 4096, PATH_CAP = 512 };

/* --- "NAME --role ROLE" --- */

struct entry {
    const char *name;
    const char *role;
};

static bool is_role(const char *word)
{
    return strcmp(word, "owner") == 0 || strcmp(word, "baker") == 0 || strcmp(word, "counter") == 0;
}

/* Takes the next word as a part of the entry; false when it makes no sense there. */
static bool take_word(struct entry *entry, const char *word, const char *next, int *taken)
{
    static const char option[] = "--role=";
    *taken = 1;
    if (strcmp(word, "--role") == 0) {
        entry->role = next;
        *taken = 2;
        return next != NULL;
    }
    if (strncmp(word, option, sizeof option - 1) == 0) {
        entry->role = word + sizeof option - 1;
        return true;
    }
    if (word[0] == '-' || entry->name != NULL) return false;
    entry->name = word;
    return true;
}

static bool read_entry(struct entry *entry, int count, char *const words[])
{
    int taken = 0;
    *entry = (struct entry){0};
    for (int i = 0; i < count; i += taken) {
        const char *next = i + 1 < count ? words[i + 1] : NULL;
        if (!take_word(entry, words[i], next, &taken)) return false;
    }
    return entry->name != NULL && entry->role != NULL && is_role(entry->role);
}

static int usage(const char *command)
{
    fprintf(stderr, "usage: morrowloaf %s add NAME --role owner|baker|counter\n", command);
    return EXIT_USAGE;
}

/* --- bodies --- */

/* {"name": …, "role": …, "password": …}, without what is NULL; NULL when memory is short. */
static const char *entry_body(struct arena *arena, const char *name, const char *role,
                              const char *password)
{
    struct text text;
    struct json_writer writer;
    text_init(&text, arena, BODY_CAP);
    json_writer_init(&writer, &text);
    json_open_object(&writer, NULL);
    if (name != NULL) json_put_text(&writer, "name", name);
    json_put_text(&writer, "role", role);
    if (password != NULL) json_put_text(&writer, "password", password);
    json_close(&writer);
    return text_ok(&text) ? text.data : NULL;
}

/* --- tokens --- */

static bool print_token(struct request *answer)
{
    struct json_node root;
    struct json_object object;
    if (!local_answer(answer, &root)) return false;
    json_object_open(&object, root);
    const char *token = json_text(&object, "token", JSON_REQUIRED, 200);
    return token != NULL && printf("%s\n", token) > 0 && fflush(stdout) == 0;
}

static bool add_token(struct local *local, struct arena *arena, const struct entry *entry)
{
    char key[SECRET_TEXT_SIZE];
    secret_new(key);
    const char *body = entry_body(arena, entry->name, entry->role, NULL);
    struct local_call call = {"POST", "/api/v1/tokens", body, key};
    struct request *answer = body != NULL ? local_demand(local, arena, &call) : NULL;
    return answer != NULL && print_token(answer);
}

/* --- people --- */

static bool add_user(struct local *local, struct arena *arena, const struct entry *entry)
{
    char password[PASSWORD_MAX_BYTES];
    const char *wrong = password_read(password);
    if (wrong != NULL) {
        fprintf(stderr, "morrowloaf: %s\n", wrong);
        return false;
    }
    const char *path = arena_printf(arena, "/api/v1/people/%.*s", PATH_CAP, entry->name);
    const char *body = entry_body(arena, NULL, entry->role, password);
    struct local_call call = {"PUT", path, body, NULL};
    if (path == NULL || body == NULL || local_demand(local, arena, &call) == NULL) return false;
    return printf("%s may sign in as %s\n", entry->name, entry->role) > 0 && fflush(stdout) == 0;
}

static bool list_users(struct local *local, struct arena *arena, const struct entry *entry)
{
    (void)entry;
    struct local_call call = {"GET", "/api/v1/people", NULL, NULL};
    struct request *answer = local_demand(local, arena, &call);
    struct json_node root;
    struct json_node item;
    struct json_object object;
    struct json_list list;
    if (answer == NULL || !local_answer(answer, &root)) return false;
    json_object_open(&object, root);
    json_list_member(&object, "items", JSON_REQUIRED, 0, SIZE_MAX, &list);
    while (json_list_next(&list, &item)) {
        struct json_object person;
        json_object_open(&person, item);
        const char *name = json_text(&person, "name", JSON_REQUIRED, NAME_MAX_CHARACTERS);
        const char *role = json_text(&person, "role", JSON_REQUIRED, NAME_MAX_CHARACTERS);
        if (name != NULL && role != NULL) printf("%s %s\n", name, role);
    }
    return !fails_any(&answer->fails) && fflush(stdout) == 0;
}

/* --- both --- */

typedef bool (*local_work)(struct local *local, struct arena *arena, const struct entry *entry);

static int do_locally(const struct settings *settings, local_work work, const struct entry *entry)
{
    struct local local = {0};
    struct arena *arena = arena_new(0);
    bool done = arena != NULL && local_open(&local, settings, "command line") &&
                work(&local, arena, entry);
    local_close(&local);
    arena_free(arena);
    return done ? EXIT_DONE : EXIT_FAILED;
}

static int add(const struct settings *settings, const char *command, local_work work, int count,
               char *const words[])
{
    struct entry entry;
    if (count < 1 || strcmp(words[0], "add") != 0 || !read_entry(&entry, count - 1, words + 1))
        return usage(command);
    if (strchr(entry.name, '/') != NULL) {
        fprintf(stderr, "morrowloaf: a name has no slash\n");
        return EXIT_USAGE;
    }
    return do_locally(settings, work, &entry);
}

int command_token(const struct settings *settings, int count, char *const words[])
{
    return add(settings, "token", add_token, count, words);
}

int command_user(const struct settings *settings, int count, char *const words[])
{
    if (count == 1 && strcmp(words[0], "list") == 0) return do_locally(settings, list_users, NULL);
    return add(settings, "user", add_user, count, words);
}
