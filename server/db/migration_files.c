/* Reading the SQL folder. What does not fit the scheme is refused rather than passed over: a file
 * misnamed would be a migration forgotten. */
#include "db/migration_files.h"

#include "base/arena.h"
#include "base/log.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SQL_FILE_MAX = 4 * 1024 * 1024, NUMBER_DIGITS = 4 };

/* The whole of an open file as a string in the arena; NULL with errno set when that cannot be. */
static const char *read_open(struct arena *arena, FILE *file)
{
    if (fseek(file, 0, SEEK_END) != 0) return NULL;
    long size = ftell(file);
    if (size < 0 || fseek(file, 0, SEEK_SET) != 0) return NULL;
    char *text = size > SQL_FILE_MAX ? NULL : arena_alloc(arena, (size_t)size + 1);
    errno = size > SQL_FILE_MAX ? EFBIG : ENOMEM;
    if (text == NULL) return NULL;
    errno = EIO; /* shorter than it was, or a NUL that would hide the rest */
    bool whole = fread(text, 1, (size_t)size, file) == (size_t)size && strlen(text) == (size_t)size;
    return whole ? text : NULL;
}

static const char *read_file(struct arena *arena, const char *path)
{
    if (path == NULL) {
        log_error("memory is short");
        return NULL;
    }
    FILE *file = fopen(path, "re");
    const char *text = file == NULL ? NULL : read_open(arena, file);
    if (text == NULL) log_error("cannot read %s: %s", path, strerror(errno));
    if (file != NULL) fclose(file);
    return text;
}

/* Every file but hidden ones: the scheme is checked afterwards, with a word about what is wrong. */
static int is_visible(const struct dirent *entry)
{
    return entry->d_name[0] != '.';
}

/* Whether it is NNNN_name.sql with that number. */
static bool name_fits(const char *file, size_t number)
{
    char expected[NUMBER_DIGITS + 20];
    snprintf(expected, sizeof expected, "%04zu_", number);
    size_t prefix = strlen(expected);
    if (strncmp(file, expected, prefix) != 0) return false;
    size_t word = strspn(file + prefix, "abcdefghijklmnopqrstuvwxyz0123456789_");
    return word > 0 && strcmp(file + prefix + word, ".sql") == 0;
}

static bool read_migration(struct arena *arena, const char *folder, const char *file,
                           struct migration *migration)
{
    const char *word = file + NUMBER_DIGITS + 1;
    migration->file = arena_copy(arena, file);
    migration->name = arena_copy_n(arena, word, strlen(word) - strlen(".sql"));
    if (migration->file == NULL || migration->name == NULL) {
        log_error("memory is short");
        return false;
    }
    migration->text = read_file(arena, arena_printf(arena, "%s/migrations/%s", folder, file));
    migration->verify = read_file(
        arena, arena_printf(arena, "%s/verify/%.*s.sql", folder, NUMBER_DIGITS, file));
    return migration->text != NULL && migration->verify != NULL;
}

/* The files are sorted by name, so their numbers must simply count. */
static bool read_all(struct arena *arena, const char *folder, struct dirent **entries,
                     struct migration_files *files)
{
    for (size_t i = 0; i < files->count; i++) {
        const char *file = entries[i]->d_name;
        if (!name_fits(file, i + 1)) {
            log_error("%s/migrations/%s is not the migration %04zu_name.sql that is expected there",
                      folder, file, i + 1);
            return false;
        }
        if (!read_migration(arena, folder, file, &files->items[i])) return false;
    }
    return true;
}

bool migration_files_read(struct arena *arena, const char *sql_folder,
                          struct migration_files *files)
{
    *files = (struct migration_files){0};
    files->roles = read_file(arena, arena_printf(arena, "%s/roles.sql", sql_folder));
    const char *path = arena_printf(arena, "%s/migrations", sql_folder);
    if (files->roles == NULL || path == NULL) return false;

    struct dirent **entries = NULL;
    int found = scandir(path, &entries, is_visible, alphasort);
    if (found <= 0) {
        log_error("no migrations in %s: %s", path, found < 0 ? strerror(errno) : "it is empty");
        free(entries);
        return false;
    }
    files->count = (size_t)found;
    files->items = arena_array(arena, files->count, sizeof *files->items);
    bool read = files->items != NULL && read_all(arena, sql_folder, entries, files);
    for (int i = 0; i < found; i++)
        free(entries[i]);
    free(entries);
    return read;
}
