/* Serving files without ever opening one while serving.
 *
 * Invariants: only what was found in the folder at the start has a name here, so no address leads
 * outside of it, however it is written. Names that begin with a dot, links and whatever is no plain
 * file are left out. The answers are made once and shared; they borrow the file's bytes.
 */
#include "http/static_files.h"

#include "base/log.h"
#include "http/answer.h"
#include "http/etag.h"

#include <errno.h>
#include <fcntl.h>
#include <fts.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { FILE_MAX = 16 * 1024 * 1024 };

struct static_files {
    struct static_file *items; /* in order of path */
    size_t count;
    size_t room;
};

/* --- what a file is --- */

static const struct {
    const char *ending;
    const char *type;
} types[] = {
    {".html", "text/html; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".mjs", "text/javascript; charset=utf-8"},
    {".json", "application/json"},
    {".webmanifest", "application/manifest+json"},
    {".yaml", "application/yaml"},
    {".txt", "text/plain; charset=utf-8"},
    {".svg", "image/svg+xml"},
    {".png", "image/png"},
    {".jpg", "image/jpeg"},
    {".webp", "image/webp"},
    {".ico", "image/x-icon"},
    {".woff2", "font/woff2"},
    {".pdf", "application/pdf"},
};

static const char *type_of(const char *path)
{
    const char *ending = strrchr(path, '.');
    for (size_t i = 0; ending != NULL && i < sizeof types / sizeof types[0]; i++)
        if (strcmp(ending, types[i].ending) == 0) return types[i].type;
    return "application/octet-stream";
}

/* --- reading --- */

static bool read_all(int descriptor, char *bytes, size_t length)
{
    size_t done = 0;
    while (done < length) {
        ssize_t got = read(descriptor, bytes + done, length - done);
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) return false;
        done += (size_t)got;
    }
    return true;
}

/* The bytes of a file; one more than its length is allocated, so that no file is NULL. */
static bool read_file(const char *name, struct static_file *file)
{
    struct stat status;
    bool done = false;
    int descriptor = open(name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
    if (descriptor < 0 || fstat(descriptor, &status) != 0 || status.st_size > FILE_MAX)
        goto cleanup;
    file->length = (size_t)status.st_size;
    file->bytes = malloc(file->length + 1);
    done = file->bytes != NULL && read_all(descriptor, file->bytes, file->length);
cleanup:
    if (descriptor >= 0) close(descriptor);
    return done;
}

static bool make_answers(struct static_file *file)
{
    struct answer_head head = {type_of(file->path), "no-cache", file->etag};
    etag_print(file->etag, 0, file->bytes, file->length);
    file->whole = answer_new(file->bytes, file->length, &head);
    head.content_type = NULL;
    file->unmoved = answer_new(NULL, 0, &head);
    return file->whole != NULL && file->unmoved != NULL;
}

static bool make_room(struct static_files *files)
{
    if (files->count < files->room) return true;
    size_t room = files->room == 0 ? 32 : files->room * 2;
    struct static_file *items = reallocarray(files->items, room, sizeof *items);
    if (items == NULL) return false;
    files->items = items;
    files->room = room;
    return true;
}

static bool add_file(struct static_files *files, const char *name, const char *path)
{
    if (!make_room(files)) return false;
    struct static_file *file = &files->items[files->count];
    *file = (struct static_file){.path = strdup(path)};
    files->count++;
    return file->path != NULL && read_file(name, file) && make_answers(file);
}

static bool is_hidden(const FTSENT *entry)
{
    return entry->fts_level > FTS_ROOTLEVEL && entry->fts_name[0] == '.';
}

static bool take_entry(struct static_files *files, FTS *tree, FTSENT *entry, size_t folder_length)
{
    if (is_hidden(entry)) {
        fts_set(tree, entry, FTS_SKIP);
        return true;
    }
    switch (entry->fts_info) {
    case FTS_F:
        return add_file(files, entry->fts_path, entry->fts_path + folder_length);
    case FTS_DNR:
    case FTS_ERR:
    case FTS_NS:
        errno = entry->fts_errno;
        return false;
    default:
        return true;
    }
}

static bool take_tree(struct static_files *files, char *folder)
{
    char *const roots[] = {folder, NULL};
    const char *at = folder;
    bool done = true;
    FTSENT *entry;
    FTS *tree = fts_open(roots, FTS_PHYSICAL | FTS_NOCHDIR, NULL);
    if (tree == NULL) goto failed;
    while (done && (errno = 0, entry = fts_read(tree)) != NULL) {
        at = entry->fts_path;
        done = take_entry(files, tree, entry, strlen(folder));
        if (!done) log_error("%s cannot be served: %s", at, strerror(errno));
    }
    fts_close(tree);
    return done;
failed:
    log_error("%s cannot be read: %s", folder, strerror(errno));
    return false;
}

static int by_path(const void *one, const void *other)
{
    const struct static_file *a = one, *b = other;
    return strcmp(a->path, b->path);
}

struct static_files *static_files_read(const char *folder)
{
    struct static_files *files = calloc(1, sizeof *files);
    char *root = strdup(folder);
    bool done = false;
    if (files == NULL || root == NULL) goto cleanup;
    for (size_t end = strlen(root); end > 1 && root[end - 1] == '/'; end--)
        root[end - 1] = '\0';
    done = take_tree(files, root);
    if (done) qsort(files->items, files->count, sizeof *files->items, by_path);
cleanup:
    free(root);
    if (done) return files;
    static_files_free(files);
    return NULL;
}

static void free_file(struct static_file *file)
{
    if (file->whole != NULL) MHD_destroy_response(file->whole);
    if (file->unmoved != NULL) MHD_destroy_response(file->unmoved);
    free(file->bytes);
    free(file->path);
}

void static_files_free(struct static_files *files)
{
    if (files == NULL) return;
    for (size_t i = 0; i < files->count; i++)
        free_file(&files->items[i]);
    free(files->items);
    free(files);
}

const struct static_file *static_files_find(const struct static_files *files, const char *path)
{
    struct static_file wanted = {.path = (char *)(strcmp(path, "/") == 0 ? "/index.html" : path)};
    if (files->count == 0) return NULL;
    return bsearch(&wanted, files->items, files->count, sizeof *files->items, by_path);
}
